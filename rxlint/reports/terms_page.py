"""The page of what rules may name besides the notation's own terms: derived terms, and what stands beside a value.

``python -m rxlint.reports.terms_page --write`` renews it.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final

from rxlint.data import data_folder
from rxlint.expressions import BoolType, ListType, NumberType, Type, WordsType
from rxlint.model.context import HOMES
from rxlint.model.derived import DERIVED
from rxlint.model.names import WayNode, base_names, derived_terms
from rxlint.vocabulary import vocabulary

NAME: Final = "TERMS.md"
_HEAD: Final = """# Names for rules

What the expressions of a rule may name, besides the terms of the notation (`grammar/README.md` lists those). This page
is made from the model and the vocabulary by `python -m rxlint.reports.terms_page --write`; a test holds it fresh. How
expressions are written is told in `rules/README.md`.
"""
_DERIVED: Final = """## Derived terms

What follows from what an order states. A term has its value as soon as all names of one of its ways have theirs; the
first such way is taken. A way may use derived terms in turn, and a function of physiology gives no value outside its
domain. Without a value, the rule that needs it is *not checked*. `rxlint calculations FILE` shows them for an order,
with formula, numbers and source.
"""
_BESIDE: Final = """## What stands beside a value

Part of a term's line, with a name of its own. Such a name has a value where the line states that part.
"""
_OTHERS: Final = """## Further names

What a document says elsewhere: dates against the day of the screening, the words of a mode, lists as a whole. A name
has its value where the line that it comes from is there.
"""
_PATTERNS: Final[Mapping[str, tuple[str, str]]] = {  # by how the names end or begin: how it is written, what it is
    r"alarm .+ state": ("alarm TERM state", "whether the alarm is on, whatever its value"),
    r".+ basis": ("TERM basis", "which weight a value per kilogram counts by"),
    r".+ reference": ("TERM reference", "what the pressure is written above"),
    r".+ manner": ("TERM manner", "how the value was found"),
    r"oxygen .+ place": ("TERM place", "where on the circuit it is"),
    r".+ duration": ("TERM duration", "for how long"),
    r"(leak port flow|.*trigger sensitivity) pressure": (
        "TERM pressure",
        "the pressure at which the value holds, or the value where it is a pressure",
    ),
    r".+ share": ("TERM share", "the value where it is written as a share"),
    r"target low .+": ("target low TERM", "the low end of a target"),
    r"target high .+": ("target high TERM", "the high end of a target"),
    r"earlier reading .+": ("earlier reading TERM", "what the set of readings before this one says"),
}


def page() -> str:
    """The whole page."""
    return "\n".join((_HEAD, _DERIVED, *_derived(), "", _BESIDE, *_beside(), "", _OTHERS, *_others())) + "\n"


def further_names() -> tuple[str, ...]:
    """The names that are neither terms of the notation nor derived."""
    known = {*vocabulary().terms, *derived_terms()}
    return tuple(name for name in base_names().types if name not in known)


def pattern_of(name: str) -> str | None:
    """The pattern of what stands beside a value that a name follows."""
    return next((pattern for pattern in _PATTERNS if re.fullmatch(pattern, name)), None)


def meaning_of(name: str) -> str:
    """What a further name is, in words; "" where nothing more is known than where its value comes from."""
    pattern = pattern_of(name)
    return _PATTERNS[pattern][1] if pattern is not None else ""


def _derived() -> Iterator[str]:
    ways = derived_terms()
    rows = [
        (f"`{each.key}`", f"`{each.unit}`" if each.unit else "", each.means, _ways(ways[each.key].ways))
        for each in sorted(DERIVED, key=lambda each: each.key.casefold())
    ]
    return _table(("term", "unit", "meaning", "has a value with"), rows)


def _ways(ways: Sequence[WayNode]) -> str:
    return "; or ".join(", ".join(f"`{key}`" for key in _in_order(way)) for way in ways)


def _in_order(way: WayNode) -> list[str]:
    """The names of a way in the order in which it writes them."""
    found = {key: way.text.find(key) for key in way.keys}
    return sorted(way.keys, key=lambda key: (found[key] < 0, found[key], -len(key), key))


def _beside() -> Iterator[str]:
    groups: dict[str, list[str]] = {}
    for name in further_names():
        pattern = pattern_of(name)
        if pattern is not None:
            groups.setdefault(pattern, []).append(name)
    rows = [
        (f"`{_PATTERNS[pattern][0]}`", _kinds(names), _PATTERNS[pattern][1], _names(names))
        for pattern, names in groups.items()
    ]
    return _table(("written", "value", "what it is", "names"), rows)


def _others() -> Iterator[str]:
    rows = [
        (f"`{name}`", kind_in_words(base_names().types[name]), f"`{HOMES[name]}`" if name in HOMES else "")
        for name in further_names()
        if pattern_of(name) is None
    ]
    return _table(("name", "value", "comes from"), rows)


def _names(names: Iterable[str]) -> str:
    return ", ".join(f"`{name}`" for name in names)


def _kinds(names: Iterable[str]) -> str:
    """What the values of some names are; of different ones, that each is its term's."""
    kinds = {kind_in_words(base_names().types[name]) for name in names}
    return kinds.pop() if len(kinds) == 1 else "as of the term"


def kind_in_words(kind: Type) -> str:
    """What a name's value is."""
    match kind:
        case NumberType():
            return kind.dimension.describe() if kind.dimension.exponents else "number"
        case WordsType():
            words = sorted(kind.words)
            return _names(words) if len(words) <= 8 else f"one of {len(words)} words"
        case ListType():
            return "list of parts"
        case BoolType():
            return "yes or no"
        case _:
            return "text"


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    for line in (head, ["---"] * len(head), *rows):
        yield "| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |"


def main(arguments: Sequence[str]) -> int:
    """Brings the page up to date (`--write`), or says that it is not (exit code 1)."""
    path = data_folder("rules") / NAME
    fresh = page()
    if path.is_file() and path.read_text(encoding="utf-8") == fresh:
        return 0
    if "--write" in arguments:
        path.write_text(fresh, encoding="utf-8")
        return 0
    print(f"{path} is out of date: run python -m rxlint.reports.terms_page --write", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
