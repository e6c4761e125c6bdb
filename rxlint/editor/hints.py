"""What follows from a value, shown beside it: worked out, never judged. Nothing where it can't be worked out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from rxlint.editor.shapes import Hint, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.model.facts import AS_WRITTEN, Facts
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.tree import Entry
from rxlint.reports.calculations import Value, values_of
from rxlint.screening.calculation import is_list
from rxlint.screening.values import show_number

_MOST_SCOPES: Final = 6  # calculations told in one tooltip; a table by age may have dozens of rows

Applies = Callable[[Facts, Stated], bool]


@dataclass(frozen=True, slots=True)
class _Beside:
    """A derived term to show beside a line, the words around its number, and whether that says anything new there."""

    term: str
    before: str = ""
    after: str = ""
    applies: Applies = lambda _facts, _stated: True


def _is_above_peep(_facts: Facts, stated: Stated) -> bool:
    return _quantity(stated, "reference") == "PEEP"


def _is_above_ambient(_facts: Facts, stated: Stated) -> bool:
    return _quantity(stated, "reference") == "ambient"


def _is_whole(_facts: Facts, stated: Stated) -> bool:
    return _quantity(stated, "basis") is None


def _is_whole_of_measured(facts: Facts, stated: Stated) -> bool:
    """An estimate is no weight to count by, and a weight at birth no weight of today."""
    weight = facts.scope.by_key.get("patient weight")
    body = weight.statement.body if weight is not None else None
    manner = body.qualifier("manner") if isinstance(body, n.Measure) else None
    return _is_whole(facts, stated) and (manner is None or manner.word == "measured")


def _is_per_kilogram(_facts: Facts, stated: Stated) -> bool:
    return _quantity(stated, "basis") is not None


def _quantity(stated: Stated, what: str) -> str | None:
    value = stated.statement.values.get("")
    found = getattr(value, what) if value is not None else None
    return found if isinstance(found, str) else None


_OF_VOLUME: Final = (
    _Beside("volume per predicted weight", after=" of predicted weight", applies=_is_whole),
    _Beside("volume per measured weight", after=" of measured weight", applies=_is_whole_of_measured),
    _Beside("expected tidal volume", applies=_is_per_kilogram),
)
_RATIO: Final = (_Beside("ratio of times", before="I:E "),)
_SUPPLY: Final = (_Beside("oxygen lasts", before="lasts "),)
_MINUTE_VOLUME: Final = (_Beside("expected minute volume", before="expected minute volume "),)

# Of each line the first that can be worked out is shown.
_BESIDE: Final[Mapping[str, tuple[_Beside, ...]]] = {
    "tidal volume": _OF_VOLUME,
    "volume target": _OF_VOLUME,
    "rate": _RATIO,
    "back-up rate": _RATIO,
    "inspiratory time": _RATIO,
    "inspiratory flow": _RATIO,
    "I:E": (_Beside("inspiration", before="inspiration "),),
    "inspiratory pressure": (
        _Beside("mandatory peak", before="peak ", after=" above ambient", applies=_is_above_peep),
        _Beside("pressure above baseline", after=" above PEEP", applies=_is_above_ambient),
    ),
    "pressure support": (_Beside("supported peak", before="peak ", after=" above ambient"),),
    "IPAP": (
        _Beside("support above baseline", after=" above the baseline"),
        _Beside("pressure above baseline", after=" above the baseline"),
    ),
    "oxygen cylinder": _SUPPLY,
    "alarm low minute volume": _MINUTE_VOLUME,
    "alarm high minute volume": _MINUTE_VOLUME,
}
# Beside these stands what they are compared with, which does not follow from them.
_COMPARED: Final = frozenset({"alarm low minute volume", "alarm high minute volume"})

_Scope = tuple[str | None, str | None]  # period and band


def hints(snapshot: Snapshot, first_line: int, last_line: int) -> tuple[Hint, ...]:
    """The hints of some lines, in their order. Values are those as set; where only a range is told, its two ends."""
    lines: dict[int, _Shown] = {}
    for facts in snapshot.facts:
        if facts.scope.readings is None:
            for key, stated in _lines_of(facts):
                entry = _entry_in(facts, key, stated)
                if first_line <= entry.lines[-1].number <= last_line:
                    lines.setdefault(entry.lines[0].number, _Shown(entry, key)).scopes.append((facts, stated))
    terms = frozenset(beside.term for line in lines.values() for beside in line.fitting())
    values: dict[tuple[_Scope, str], list[Value]] = {}
    for value in values_of(snapshot.document, terms) if snapshot.document is not None and terms else ():
        if value.readings is None:
            values.setdefault(((value.period, value.band), value.term), []).append(value)
    found = (_hint(line, values) for _, line in sorted(lines.items()))
    return tuple(hint for hint in found if hint is not None)


@dataclass(frozen=True, slots=True)
class _Shown:
    """A line that may have a hint, with the facts of every period and row of a table in which it holds."""

    entry: Entry
    key: str
    scopes: list[tuple[Facts, Stated]] = field(default_factory=list)

    def fitting(self) -> Iterator[_Beside]:
        """What may be shown beside it."""
        for beside in _BESIDE[self.key]:
            if all(
                beside.applies(facts, stated) and _follows(beside, self.key, facts) for facts, stated in self.scopes
            ):
                yield beside


def _lines_of(facts: Facts) -> Iterator[tuple[str, Stated]]:
    for key in _BESIDE:
        stated = facts.scope.by_key.get(key)
        if stated is None or not stated.statement.readable or key in facts.scope.repeated:
            continue
        if not isinstance(stated.statement.body, n.State):  # what is switched off has no value to look beside
            yield key, stated


def _entry_in(facts: Facts, key: str, stated: Stated) -> Entry:
    """The line that gives a term its value in some facts: of a table, the row."""
    row = facts.band.rows.get(key) if facts.band is not None else None
    if row is None or not isinstance(stated.statement.body, n.TableHead):
        return stated.entry
    same = (each for each in stated.entry.rows if each.statement is not None and row in each.statement.values.values())
    return next(same, stated.entry)


def _hint(line: _Shown, values: Mapping[tuple[_Scope, str], Sequence[Value]]) -> Hint | None:
    """The hint of one line: of what fits there the first that can be worked out everywhere."""
    for beside in line.fitting():
        each_scope = [values.get((_scope_of(facts), beside.term), ()) for facts, _ in line.scopes]
        if all(each_scope):
            found = list(dict.fromkeys(value for values in each_scope for value in values))
            told = f"{beside.before}{_told(found)}{beside.after}"
            text = line.entry.text
            at = Position(line.entry.lines[-1].number, len(text) - text.rfind("\n"))
            return Hint(at, told, _calculation(found))
    return None


def _follows(beside: _Beside, key: str, facts: Facts) -> bool:
    """Whether a value is worked out from the line that it would stand beside, where that is what it is shown for."""
    return key in _COMPARED or bool({key, key + AS_WRITTEN} & facts.closure((beside.term,)))


def _scope_of(facts: Facts) -> _Scope:
    return facts.period, facts.band.label if facts.band is not None else None


def _told(found: Sequence[Value]) -> str:
    """One number where all scopes agree, else the lowest and the highest."""
    unit, term = found[0].unit, found[0].term
    low, high = min(each.low for each in found), max(each.high for each in found)
    first, last = show_number(low, unit, term), show_number(high, unit, term)
    if first == last:
        return first
    number, space, symbol = first.rpartition(" ")
    return f"{number} to {last}" if space and last.endswith(f" {symbol}") else f"{first} to {last}"


def _calculation(found: Sequence[Value]) -> str:
    """How a value was worked out, once for each scope where that differs."""
    told: dict[str, list[str]] = {}
    for value in found:
        joint = ", over " if value.is_range else ", " if is_list(value.numbers) else " = "
        numbers = f"{joint}{value.numbers}" if value.numbers and value.numbers != value.formula else ""
        ends = [show_number(end, value.unit, value.term) for end in (value.low, value.high)]
        result = f"{':' if value.is_range else ' ='} {' to '.join(dict.fromkeys(ends))}"
        text = f"{value.term} = {value.formula}{numbers}{result}"
        told.setdefault(text, []).append(", ".join(part for part in (value.period, value.band) if part))
    shown = [
        text if len(told) == 1 else f"{'; '.join(filter(None, where))}: {text}"
        for text, where in list(told.items())[:_MOST_SCOPES]
    ]
    more = [f"and {len(told) - _MOST_SCOPES} more"] if len(told) > _MOST_SCOPES else []
    return "\n".join([*shown, *more, f"{found[0].means}; source: {found[0].source}"])
