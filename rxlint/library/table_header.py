"""The header of a table of orders: which term each column states, in which unit, and what belongs to every value."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

from rxlint.expressions.problems import near
from rxlint.notation.events import Event
from rxlint.notation.statements import read_detail
from rxlint.screening.ruleset import builtin_rules
from rxlint.units import ALIASES, DISCOURAGED, find_unit
from rxlint.vocabulary import PhraseTrie, Term, chunks_of, vocabulary

MAX_COLUMNS: Final = 300
_LONGEST: Final = 200
MEASURED: Final = frozenset({"quantity", "fraction", "age", "number", "ratio", "count", "delay"})
_WITHOUT_UNIT: Final = frozenset({"fraction", "age", "number", "ratio", "count"})
_FORMS: Final = MEASURED | {
    "words", "mode", "list", "text", "date", "signed", "identifier", "link", "state", "cylinder", "pre-oxygenation",
}  # fmt: skip
_OTHERS: Final[Mapping[str, Literal["title", "moment"]]] = {"title": "title", "readings at": "moment"}
_PER_WEIGHT: Final = re.compile(r"per kg of (.+)", re.IGNORECASE)
_SILENT: Final = frozenset({"reader.implausible", "reader.outside-allowed"})  # of a number that stands for any


@dataclass(frozen=True, slots=True)
class Column:
    """A column: what it says (``kind``), of which term, in which unit, and what follows each of its values."""

    text: str
    kind: Literal["term", "list", "title", "moment", "comment"]
    section: str = ""
    term: Term | None = None
    unit: str = ""
    tail: str = ""

    @property
    def is_measured(self) -> bool:
        """Whether its cells are numbers."""
        return self.term is not None and self.term.form in MEASURED


@dataclass(frozen=True, slots=True)
class HeaderFault:
    """Why a column can't be used; ``column`` counts from 1."""

    column: int
    message: str


def read_header(cells: Sequence[str]) -> tuple[tuple[Column, ...], tuple[HeaderFault, ...]]:
    """The columns of a table, and what is wrong with its header."""
    columns: list[Column] = []
    faults: list[HeaderFault] = []
    seen: dict[tuple[str, str, str], int] = {}
    if len(cells) > MAX_COLUMNS:
        return (), (HeaderFault(MAX_COLUMNS + 1, f"the table has {len(cells):,} columns, the limit is {MAX_COLUMNS}"),)
    for number, cell in enumerate(cells, 1):
        column = read_column(cell)
        if isinstance(column, str):
            faults.append(HeaderFault(number, column))
            continue
        key = (column.kind, column.section, column.term.phrase if column.term is not None else "")
        first = seen.setdefault(key, number)
        if first != number and column.kind != "comment":
            same = " ".join(cells[first - 1].split())
            faults.append(
                HeaderFault(number, f"{column.text} states the same as column {first}, {same}: keep one of them")
            )
        columns.append(column)
    if not faults and not any(column.kind in ("term", "list") for column in columns):
        faults.append(HeaderFault(1, "no column states anything of an order"))
    return tuple(columns), tuple(faults)


def read_column(cell: str) -> Column | str:
    """A column by its header; what is wrong with it where it can't be used."""
    text = " ".join(cell.split())
    if not text:
        return "a column needs a header"
    if len(text) > _LONGEST:
        return f"the header has {len(text):,} characters, the limit is {_LONGEST}"
    if text.casefold().startswith("sep="):
        return "sep= tells a spreadsheet program what stands between cells, and is no header: take this line out"
    if text.startswith("#"):
        return Column(text, "comment")
    name, unit = _unit_of(text)
    kind = _OTHERS.get(name.casefold())
    if kind is not None:
        return f"{name} has no unit" if unit else Column(text, kind)
    found = _spellings().longest(chunks_of(name), 0)
    if found is None:
        close = near(name, _spellings().phrases)
        hint = f"; did you mean {' or '.join(close)}?" if close else ""
        return f"{name} is no term of the notation{hint} (a column that begins with # is kept as a comment)"
    section, _, phrase = found[1].partition("\n")
    chunks = chunks_of(name)
    rest = name[chunks[found[0]].start :] if found[0] < len(chunks) else ""
    if not phrase:
        return f"{name}: expected {section} alone" if rest or unit else Column(text, "list", section)
    term = vocabulary().sections[section].terms[phrase]
    weight = _PER_WEIGHT.fullmatch(rest)
    return _checked(Column(text, "term", section, term, unit, f"of {weight.group(1)}" if weight else rest))


def _unit_of(text: str) -> tuple[str, str]:
    """The name of a column and the unit in its brackets: `PEEP [cmH2O]`, `patient resistance (cmH2O/(L/s))`."""
    closing = text[-1]
    if closing not in ")]":
        return text, ""
    opening = "[" if closing == "]" else "("
    depth = 0
    for at in range(len(text) - 1, -1, -1):
        depth += (text[at] == closing) - (text[at] == opening)
        if depth == 0:
            return text[:at].strip(), text[at + 1 : -1].strip()
    return text, ""


def _checked(column: Column) -> Column | str:
    term, unit = column.term, column.unit
    assert term is not None
    if term.form not in _FORMS:
        return f"{term.phrase} is a sentence and can't stand in a table"
    if not column.is_measured:
        return (
            f"{term.phrase} has no unit" if unit else column if not column.tail else f"{column.tail} is not understood"
        )
    if not unit:
        if term.form in _WITHOUT_UNIT:
            return column
        first = f" [{term.unit.symbol}]" if term.unit is not None else ""
        return f"{term.phrase} needs a unit, as in {term.key}{first}"
    if unit in DISCOURAGED:
        return f"the unit {unit} can be misread; write {DISCOURAGED[unit][0]} if that is meant"
    if find_unit(ALIASES.get(unit, unit)) is None:
        close = near(unit, [each.symbol for each in term.units])
        return f"{unit} is no unit{f'; did you mean {close[0]}?' if close else ''}"
    statement = read_detail(column.section, line_of(column, "1"))
    events = [each for each in statement.events if each.name not in _SILENT]
    return column if statement.readable or not events else told_event(events[0])


def line_of(column: Column, value: str) -> str:
    """A value of a column as a detail of its section would write it."""
    assert column.term is not None
    manner = "after " if column.term.form == "delay" and column.unit else ""
    return " ".join(f"{column.term.phrase} {manner}{value} {column.unit} {column.tail}".split(" ")).rstrip()


def told_event(event: Event) -> str:
    """What the reader has to say, in the words that a finding has for it."""
    rules = builtin_rules().found_by.get(event.name, ())
    if not rules:
        return event.name
    parts = (part if isinstance(part, str) else event.fields.get(part.text, "") for part in rules[0].say.parts)
    return f"{' '.join(''.join(parts).split())} [{rules[0].id}]"


@cache
def _spellings() -> PhraseTrie:
    """Every way to name a term of a table: as in expressions; a term of the head also without `document`."""
    words: dict[str, str] = {}
    for name, section in vocabulary().sections.items():
        if section.bare == "list":
            words[name] = name
        for spelling, phrase in section.trie.phrases.items():
            words.setdefault(f"{section.qualifier} {spelling}".strip(), f"{name}\n{phrase}")
    head = vocabulary().sections["head"]
    for spelling, phrase in head.trie.phrases.items():
        words.setdefault(spelling, f"head\n{phrase}")
    return PhraseTrie(words)
