"""Tidies files: what the canonical layout would make of each, and writing it where nothing but white space changes.

A file is written in one step and only if its new text reads the same: the same statements, the same check code and the
same events of the reader. Else it is a fault of ours, told as such, and the file stays as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rxlint.library.discover import Input, read_input
from rxlint.model.content import check_code, is_read
from rxlint.notation.document import read_document
from rxlint.notation.tidy import Plan, applied, plan, same_reading
from rxlint.text import Problem, Source, read_source
from rxlint.text.files import ChangedError, linked_file, write_whole

_FAULT = (
    "is left as it stands, for the tidied text would not read the same; this is a fault of rxlint, please report it"
)
_LEADS_OUT = "is a link that leads out of its folder; name the file itself"


@dataclass(frozen=True, slots=True)
class Tidied:
    """What became of a file, or would: its old and its new text, and what stays as written (see notation.tidy.Plan).

    With a ``problem``, the file could not be read, tidied or written, and stays as it is.
    """

    shown: str
    old: str = ""
    new: str = ""
    unread: tuple[int, ...] = ()
    left: tuple[int, ...] = ()
    problem: str | None = None

    @property
    def is_changed(self) -> bool:
        """Whether the layout makes another text of it."""
        return self.problem is None and self.old != self.new


def plan_of(source: Source, lines: tuple[int, int] | None = None) -> Plan:
    """What tidying replaces in a text, or in the sections that a range of lines touches (see notation.tidy.plan)."""
    return plan(source, lines, is_read)


def tidy_files(inputs: Iterable[Input], *, write: bool) -> Iterator[Tidied]:
    """Tidy files, one after another; without ``write`` only tell what would be made of them."""
    for found in inputs:
        yield _file(found, write=write)


def tidy_bytes(shown: str, data: bytes | Problem) -> Tidied:
    """What the canonical layout makes of some bytes."""
    source = read_source(data) if isinstance(data, bytes) else data
    if isinstance(source, Problem):
        place = f":{source.line}:{source.column}" if source.line is not None else ""
        return Tidied(f"{shown}{place}", problem=source.message)
    found = plan_of(source)
    new = applied(source, found.edits)
    if not _reads_the_same(source, new):
        return Tidied(shown, problem=_FAULT)
    return Tidied(shown, source.text(), new, found.unread, found.left)


def _reads_the_same(source: Source, new: str) -> bool:
    if new == source.text():
        return True
    after = read_source(new.encode("utf-8"))
    if isinstance(after, Problem):
        return False
    one, other = read_document(source), read_document(after)
    return same_reading(one, other, is_read) and check_code(one) == check_code(other)


def _file(found: Input, *, write: bool) -> Tidied:
    """One file. A link is followed to a file in its own folder, and not where it leads out of that."""
    if found.path is None or found.problem is not None:
        return tidy_bytes(found.shown, read_input(found))
    target = linked_file(found.path)
    if target is None:
        return Tidied(found.shown, problem=_LEADS_OUT)
    data = read_input(Input(found.shown, target))
    result = tidy_bytes(found.shown, data)
    if not write or not result.is_changed or isinstance(data, Problem):
        return result
    try:
        write_whole(target, result.new.encode("utf-8"), instead_of=data)
    except ChangedError:
        return Tidied(found.shown, problem="was changed meanwhile by somebody else; nothing is written")
    except OSError as error:
        return Tidied(found.shown, problem=f"can't be written: {error.strerror or error}")
    return result
