"""What the reader has to say about a line. Rules that are `found by` the reader turn events into findings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

_NOTHING: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Event:
    """Something found at a place of a statement (code points from 0 in the statement's text).

    ``fields`` fill the rule's message; ``readings`` are near readings: whole texts that could stand in place of
    start..end, none of them applied. ``over`` is the stretch that they could stand in place of where that is another:
    an empty one is where they could be put in.
    """

    name: str
    start: int
    end: int
    fields: Mapping[str, str] = field(default_factory=lambda: _NOTHING)
    readings: tuple[str, ...] = ()
    related: tuple[tuple[int, int, str], ...] = ()
    over: tuple[int, int] | None = None


# Every event of the reader, with the fields it carries. Packs are checked against this table.
EVENTS: Mapping[str, tuple[str, ...]] = {
    "reader.not-understood": ("what", "expected"),
    "reader.unknown-term": ("what", "section"),
    "reader.unknown-word": ("what", "place"),
    "reader.misplaced-term": ("what", "section", "right"),
    "reader.repeated-term": ("what", "section"),
    "reader.repeated-line": ("what", "section"),
    "reader.unit-missing": ("what", "expected"),
    "reader.unit-mismatch": ("what", "unit", "found", "needed", "expected"),
    "reader.unit-discouraged": ("unit", "standard", "why"),
    "reader.leading-zero": ("what", "better"),
    "reader.trailing-zero": ("what", "better"),
    "reader.decimal-comma": ("what",),
    "reader.range-dash": ("what",),
    "reader.glued-unit": ("what", "better"),
    "reader.look-alike": ("what", "plain", "where"),
    "reader.odd-space": ("code",),
    "reader.hidden-character": ("code", "where"),
    "reader.reversed-range": ("what", "low", "high"),
    "reader.outside-allowed": ("what", "set", "allowed"),
    "reader.implausible": ("what", "value", "range", "slips"),
    "reader.reference-missing": ("what", "stated", "needed"),
    "reader.limit-reference-missing": ("what", "stated", "needed"),
    "reader.reference-mismatch": ("what", "stated", "needed"),
    "reader.age-coarse": ("age",),
    "reader.basis-missing": ("what", "value"),
    "reader.off-without-reason": ("what",),
    "reader.line-too-long": ("length", "limit"),
    "reader.no-document": ("found",),
    "reader.second-document": ("first",),
    "reader.readings-alone": ("id",),
    "reader.readings-unnamed": (),
    "reader.not-readings": ("what",),
    "reader.no-section": ("what",),
    "reader.heading-has-no-details": ("what",),
}
