"""Checks with a code: whether the document still says what it said when it was checked."""

from __future__ import annotations

from typing import Final

from rxlint.model.content import content_of, holds, is_code
from rxlint.notation import nodes as n
from rxlint.notation.tree import Document
from rxlint.screening.walks import Walk
from rxlint.text import printable

_BROKEN: Final = "checks.code-broken"
CHECK_EVENTS: Final = (_BROKEN,)
_CHANGED: Final = "holds no longer, for what is ordered was changed after it; the order needs a new check"
_NO_CODE: Final = "has the code {code}, which is none: a code is 32 or more of the digits 0 to 9 and a to f"


def walk_checks(document: Document) -> Walk:
    """Each check of a document is judged by its own code. One without a code vouches for no wording."""
    walk = Walk()
    checks = [(block.entry, block.heading) for block in document.blocks_of("checked")]
    coded = [(entry, heading) for entry, heading in checks if heading is not None and heading.code is not None]
    if not coded:
        return walk
    content = content_of(document)
    for entry, heading in coded:
        assert heading.code is not None
        what = _broken(heading.code, content)
        if what:
            walk.whole(_BROKEN, entry, by=printable(heading.by or ""), when=_when(heading), what=what)
    if content is None:  # that line has its own finding, and may well be all that was changed
        walk.unsure[_BROKEN] = "a line of the document can't be read"
    walk.ran.add(_BROKEN)
    return walk


def _broken(code: str, content: bytes | None) -> str:
    if not is_code(code):
        return _NO_CODE.format(code=printable(code))
    return _CHANGED if content is not None and not holds(code, content) else ""


def _when(heading: n.Heading) -> str:
    moment = heading.moment
    return " ".join(filter(None, (moment.date, moment.time))) if moment is not None else ""
