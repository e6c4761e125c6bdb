"""The published number of each limit, or why there is none: reads tests/outside/limits/PACK.yaml and compares.

An entry names a number of a pack as `tests.literals.Where` does and gives either `published` (as the source prints it),
`source` and `seen`, or `unpublished` with the reason. The numbers are copied from the sources by hand; nothing here
evaluates a rule.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, Final, get_args

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from rxlint.units import PLAIN, find_unit, without_basis
from tests.literals import In, Kind, Limit

FOLDER: Final = Path(__file__).resolve().parent / "outside" / "limits"
SEEN: Final = {
    "read": "read on a page that showed it",
    "digest": "read in a digest of the source",
    "memory": "from memory",
}
_KEYS: Final = frozenset({"of", "rule", "row", "part", "in", "nth", "published", "source", "seen", "unpublished"})
_QUANTITY: Final = re.compile(r"(-?\d+(?:\.\d+)?)(?: (\S+)(?: of (.+))?)?")
_PLACES: Final = get_args(In)


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry. `place` is empty and `nth` 0 where it stands for every number that no other entry names.

    `text` is the published number as written, `published` the same in base units, `basis` the weight it is counted by;
    all are empty where there is `unpublished`, and `basis` where it is left out.
    """

    kind: Kind
    name: str
    row: int | None
    part: int | None
    place: str
    nth: int
    text: str = ""
    published: Fraction | None = None
    unit: str = ""
    basis: str = ""
    source: str = ""
    seen: str = ""
    unpublished: str = ""

    def __str__(self) -> str:
        row = f", row {self.row}" if self.row else f", part {self.part}" if self.part else ""
        which = f", {self.place}, number {self.nth or 'any'}" if self.place else ""
        return f"{self.kind}: {self.name}{row}{which}"

    def names(self, limit: Limit) -> bool:
        """Whether it stands for this number."""
        where = limit.where
        if (self.kind, self.name) != (where.kind, where.name):
            return False
        if not self.place:
            return True
        own = (self.row, self.part, self.place) == (where.row, where.part, where.place)
        return own and self.nth in (0, where.nth)

    @property
    def rank(self) -> int:
        """Which entry counts where several name a number: the most precise one."""
        return 0 if not self.place else 1 if not self.nth else 2

    def agrees(self, limit: Limit) -> bool:
        """Whether a number of a pack is the published one, exactly, and measures the same."""
        unit = find_unit(self.unit) if self.unit else PLAIN
        same = unit is not None and unit.dimension == without_basis(limit.dimension)
        return same and limit.value == self.published and (not self.basis or limit.text.endswith(f"of {self.basis}"))


class EntryError(ValueError):
    """An entry that can't be read; the message says which and why."""


def entries_of(name: str, folder: Path = FOLDER) -> tuple[Entry, ...]:
    """The entries of a pack; none where it has no file. Raises EntryError."""
    path = folder / f"{name}.yaml"
    if not path.is_file():
        return ()
    try:
        found: Any = YAML(typ="safe", pure=True).load(path.read_text(encoding="utf-8")) or []
    except YAMLError as error:
        raise EntryError(f"{path.name}: {error}") from None
    if not isinstance(found, list):
        raise EntryError(f"{path.name}: a list of entries is expected")
    return tuple(_entry(each, f"{path.name}, entry {number}") for number, each in enumerate(found, 1))


def _entry(read: Any, where: str) -> Entry:
    if not isinstance(read, dict) or not set(read) <= _KEYS:
        raise EntryError(f"{where}: an entry is a mapping with the keys {', '.join(sorted(_KEYS))}: {read}")
    if ("of" in read) == ("rule" in read) or ("published" in read) == ("unpublished" in read):
        raise EntryError(f"{where}: one of `of` and `rule`, one of `published` and `unpublished`: {read}")
    kind: Kind = "of" if "of" in read else "rule"
    place, nth = _which(read, kind, where)
    address = (kind, str(read[kind]), _whole(read, "row", where), _whole(read, "part", where), place, nth)
    if "unpublished" in read:
        if not str(read["unpublished"] or "").strip() or {"source", "seen"} & set(read):
            raise EntryError(f"{where}: `unpublished` gives the reason, without `source` and `seen`: {read}")
        return Entry(*address, unpublished=" ".join(str(read["unpublished"]).split()))
    return _with_number(Entry(*address), read, where)


def _which(read: dict[str, Any], kind: Kind, where: str) -> tuple[str, int]:
    """The expression and which number of it; empty and 0 for an entry of a whole term or rule."""
    if "unpublished" in read and not {"row", "part", "in", "nth"} & set(read):
        return "", 0
    default = "require" if kind == "rule" else "is" if "row" in read else "as"
    place = read.get("in", default)
    if place not in _PLACES:
        raise EntryError(f"{where}: `in` is one of {', '.join(_PLACES)}: {read}")
    if read.get("nth") == "all":
        if "published" in read:
            raise EntryError(f"{where}: `nth: all` goes with `unpublished`: {read}")
        return place, 0
    return place, _whole(read, "nth", where) or 1


def _whole(read: dict[str, Any], key: str, where: str) -> int | None:
    value = read.get(key)
    if value is not None and (not isinstance(value, int) or value < 1):
        raise EntryError(f"{where}: `{key}` is counted from 1: {read}")
    return value


def _with_number(entry: Entry, read: dict[str, Any], where: str) -> Entry:
    text = str(read["published"])
    match = _QUANTITY.fullmatch(text)
    unit = None if match is None else find_unit(match[2]) if match[2] else PLAIN
    if match is None or unit is None:
        raise EntryError(f"{where}: `published` is a number with a unit of the notation: {text}")
    if read.get("seen") not in SEEN or not str(read.get("source") or "").strip():
        raise EntryError(f"{where}: a published number has `source`, and `seen`: {', '.join(SEEN)}: {read}")
    source = " ".join(str(read["source"]).split())
    at = (entry.kind, entry.name, entry.row, entry.part, entry.place, entry.nth)
    return Entry(*at, text, Fraction(match[1]) * unit.factor, match[2] or "", match[3] or "", source, read["seen"])


@dataclass(frozen=True, slots=True)
class Matched:
    """A pack's numbers with their entries, the numbers that lack one, and everything that is wrong, in words."""

    entries: dict[Limit, Entry]
    missing: tuple[Limit, ...]
    faults: tuple[str, ...]


def match(limits: Sequence[Limit], entries: Sequence[Entry]) -> Matched:
    """Give each number its entry: the most precise that names it. What is excepted needs none, but may have one.

    Nothing at all (0) can't have one, for no change of it would be seen.
    """
    given: dict[Limit, Entry] = {}
    faults: list[str] = []
    for limit in limits:
        named = sorted((each for each in entries if each.names(limit) and limit.value), key=lambda each: each.rank)
        if not named or (limit.excepted and named[-1].published is None):
            continue
        given[limit] = named[-1]
        if len(named) > 1 and named[-1].rank == named[-2].rank:
            faults.append(f"{limit.where}: two entries name {limit.text}")
    missing = tuple(limit for limit in limits if not limit.excepted and limit not in given)
    faults += [f"{limit.where}: {limit.text} has no entry" for limit in missing]
    used = set(given.values())
    faults += [f"{each}: matches no number that needs it" for each in entries if each not in used]
    faults += [
        f"{limit.where}: the pack has {limit.text}, published is {entry.text} ({entry.source})"
        for limit, entry in given.items()
        if entry.published is not None and not entry.agrees(limit)
    ]
    return Matched(given, missing, tuple(faults))
