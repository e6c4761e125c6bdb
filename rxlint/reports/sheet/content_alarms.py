"""Alarm limits beside what is expected to happen: which expected value each limit watches, and on which side.

Expected is what the rules compare limits with; their terms are named here, and none is worked out anew.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from rxlint.expressions import Node, keys_in, nodes
from rxlint.model.facts import Facts
from rxlint.reports.sheet.content_parts import Ends, ends_of

Side = Literal["above", "below"]


@dataclass(frozen=True, slots=True)
class Distance:
    """How far a limit lies from what is expected: ``node`` is the distance, positive on the side meant, of ``keys``."""

    alarm: str
    what: str
    how: str
    node: Node
    keys: tuple[str, ...]
    ends: Ends


@dataclass(frozen=True, slots=True)
class _Watched:
    """What a limit watches: the first of ``expected`` that has a value, each with what it is called."""

    alarm: str
    side: Side
    expected: tuple[tuple[str, str], ...]


_VOLUME: Final = (("expected tidal volume", "the set tidal volume"),)
_MINUTE: Final = (("expected minute volume", "the minute volume of the set breaths"),)
_RATE: Final = (("set rate", "the set rate"),)
WATCHED: Final = (
    _Watched("alarm low inspiratory pressure", "below", (("alarms: lowest peak", "the lowest peak of breaths"),)),
    _Watched("alarm high inspiratory pressure", "above", (("alarms: highest peak", "the highest peak of breaths"),)),
    _Watched("alarm low PEEP", "below", (("baseline", "the baseline"),)),
    _Watched(
        "alarm low minute volume",
        "below",
        (*_MINUTE, ("alarms: least wanted minute volume", "set rate \u00d7 lowest volume aimed at")),
    ),
    _Watched(
        "alarm high minute volume",
        "above",
        (*_MINUTE, ("alarms: largest wanted minute volume", "set rate \u00d7 highest volume aimed at")),
    ),
    _Watched(
        "alarm low tidal volume",
        "below",
        (*_VOLUME, ("target low expired tidal volume", "the lowest volume aimed at")),
    ),
    _Watched(
        "alarm high tidal volume",
        "above",
        (*_VOLUME, ("target high expired tidal volume", "the highest volume aimed at")),
    ),
    _Watched("alarm low rate", "below", _RATE),
    _Watched("alarm high rate", "above", _RATE),
    _Watched("alarm apnoea", "above", (("alarms: slowest back-up cycle", "the time from breath to breath"),)),
    _Watched("alarm low SpO2", "below", (("target low SpO2", "the low end of the target"),)),
    _Watched("alarm high SpO2", "above", (("target high SpO2", "the high end of the target"),)),
    _Watched("alarm low EtCO2", "below", (("target low EtCO2", "the low end of the target"),)),
    _Watched("alarm high EtCO2", "above", (("target high EtCO2", "the high end of the target"),)),
    _Watched("alarm low FiO2", "below", (("FiO2", "the set fraction"),)),
    _Watched("alarm high FiO2", "above", (("FiO2", "the set fraction"),)),
)  # fmt: skip


def distances(facts: Facts) -> Iterator[Distance]:
    """The distance of each limit that is stated from what is expected, where that is known."""
    for watched in WATCHED:
        if watched.alarm in facts.off or not facts.is_stated(watched.alarm) or _moves_along(watched.alarm, facts):
            continue
        candidates = (_distance(watched, key, told, facts) for key, told in watched.expected)
        found = next((each for each in candidates if each is not None), None)
        if found is not None:
            yield found


def _distance(watched: _Watched, key: str, told: str, facts: Facts) -> Distance | None:
    """The distance of a limit from one expected value; None where that has none."""
    phrase = watched.alarm.removeprefix("alarm ")
    alarm, expected = nodes.Name(watched.alarm, phrase), nodes.Name(key, key.rpartition(": ")[2])
    first, second = (alarm, expected) if watched.side == "above" else (expected, alarm)
    node = nodes.Binary("-", first, second)
    ends = ends_of(node, facts)
    if ends is None:
        return None
    side = "longer than" if phrase == "apnoea" else watched.side
    what = f"{phrase[:1].upper()}{phrase[1:]} alarm: {side} {told}, by"
    how = "limit \u2212 expected" if watched.side == "above" else "expected \u2212 limit"
    return Distance(watched.alarm, what, how, node, (watched.alarm, key), ends)


def _moves_along(alarm: str, facts: Facts) -> bool:
    """Whether a relation ties a limit that is stated as a range to what it watches: then no two ends go together."""
    relations = (each.node for each in facts.relations.readable if each.node is not None)
    return alarm in facts.axes and any(alarm in keys_in(node) for node in relations)
