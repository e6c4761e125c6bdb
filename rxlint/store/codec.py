"""Values to JSON and back: dataclasses of a given list, tuples, lists, frozen sets, mappings, fractions, plain ones.

Values are written as a pool: plain values first, then one row an object, `[maker, part, part, ...]`, whose parts are
numbers of earlier entries. Equal parts are written once, and reading needs no recursion, however deep a value is.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

Make = Callable[..., Any]
_PLAIN: Final = (str, int, float, bool, type(None))


class Unwritable(TypeError):
    """A value holds something that is not of the codec's classes."""


@dataclass(frozen=True, slots=True)
class Named:
    """Values of one class that are made again from other values: a function from its name, say."""

    kind: type
    parts_of: Callable[[Any], tuple[Any, ...]]
    make: Make


def _pairs(*parts: Any) -> dict[Any, Any]:
    return dict(zip(parts[::2], parts[1::2], strict=True))


def _tuple(*parts: Any) -> tuple[Any, ...]:
    return parts


def _list(*parts: Any) -> list[Any]:
    return list(parts)


def _frozen(*parts: Any) -> frozenset[Any]:
    return frozenset(parts)


_BUILT_IN: Final[Mapping[str, Make]] = {"(": _tuple, "[": _list, "{": _frozen, ":": _pairs, "/": Fraction}


class Codec:
    """Writes and reads values made of ``classes``, which are dataclasses, and of ``named`` values."""

    def __init__(self, classes: Iterable[type], named: Iterable[Named] = ()) -> None:
        self._fields: dict[type, tuple[str, ...]] = {}
        self._makers: dict[str, Make] = dict(_BUILT_IN)
        for each in classes:
            fields = [field for field in dataclasses.fields(each) if field.init]
            ordered = [field for field in fields if not field.kw_only] + [field for field in fields if field.kw_only]
            self._fields[each] = tuple(field.name for field in ordered)
            self._makers[_tag(each)] = _maker(each, [field.name for field in ordered if field.kw_only])
        self._named = {each.kind: each for each in named}
        for name in self._named.values():
            self._makers[_tag(name.kind)] = name.make

    def write(self, value: Any) -> dict[str, Any]:
        """The value as something that JSON can hold. Raises Unwritable, and RecursionError where it is too deep."""
        return _Writer(self._fields, self._named).whole(value)

    def read(self, data: Mapping[str, Any]) -> Any:
        """The value that was written. Raises LookupError, TypeError or ValueError for anything else."""
        makers = [self._makers[tag] for tag in data["makers"]]
        values: list[Any] = list(data["plain"])
        for maker, *parts in data["rows"]:
            values.append(makers[maker](*[values[part] for part in parts]))
        return values[data["root"]]


def _tag(kind: type) -> str:
    return f"{kind.__module__}.{kind.__qualname__}"


def _maker(kind: type, by_name: Sequence[str]) -> Make:
    if not by_name:
        return kind
    cut = len(by_name)

    def make(*parts: Any) -> Any:
        return kind(*parts[:-cut], **dict(zip(by_name, parts[-cut:], strict=True)))

    return make


class _Writer:
    """Numbers every value; a plain one is known by a negative number until all of them are counted."""

    def __init__(self, fields: Mapping[type, tuple[str, ...]], named: Mapping[type, Named]) -> None:
        self._fields = fields
        self._named = named
        self._plain: dict[tuple[type, Any], int] = {}
        self._rows: dict[tuple[int, ...], int] = {}
        self._makers: dict[str, int] = {}
        self._done: dict[int, tuple[Any, int]] = {}  # by identity, with the value, so that it stays its own

    def whole(self, value: Any) -> dict[str, Any]:
        root = self._number(value)
        plain = len(self._plain)
        found = [[row[0], *(self._final(part, plain) for part in row[1:])] for row in self._rows]
        return {
            "makers": list(self._makers),
            "plain": [each for _, each in self._plain],
            "rows": found,
            "root": self._final(root, plain),
        }

    @staticmethod
    def _final(number: int, plain: int) -> int:
        return -number - 1 if number < 0 else number + plain

    def _number(self, value: Any) -> int:
        if isinstance(value, _PLAIN):
            return -self._plain.setdefault((type(value), value), len(self._plain)) - 1
        known = self._done.get(id(value))
        if known is not None:
            return known[1]
        tag, parts = self._parts(value)
        row = (self._makers.setdefault(tag, len(self._makers)), *(self._number(part) for part in parts))
        number = self._rows.setdefault(row, len(self._rows))
        self._done[id(value)] = value, number
        return number

    def _parts(self, value: Any) -> tuple[str, Iterable[Any]]:
        kind = type(value)
        if kind in self._named:
            return _tag(kind), self._named[kind].parts_of(value)
        if kind in self._fields:
            return _tag(kind), (getattr(value, name) for name in self._fields[kind])
        if kind is tuple:
            return "(", value
        if kind is list:
            return "[", value
        if kind is frozenset:
            return "{", sorted(value, key=repr)
        if kind is Fraction:
            return "/", (value.numerator, value.denominator)
        if isinstance(value, Mapping):
            return ":", (part for pair in value.items() for part in pair)
        raise Unwritable(f"{kind.__qualname__} can't be kept")
