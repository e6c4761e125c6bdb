"""The events that rules can be found by: all of them, the fields that some share, and which one a name may mean."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from rxlint.expressions.problems import near, nearest
from rxlint.notation.events import EVENTS as READER_EVENTS
from rxlint.packs.events import EVENTS as SCREENING_EVENTS

EVENTS: Final[Mapping[str, tuple[str, ...]]] = {**READER_EVENTS, **SCREENING_EVENTS}
_MOST: Final = 3


def shared_fields(events: Sequence[str]) -> tuple[str, ...]:
    """The fields that every one of some events carries, so that one message fits them all."""
    known = [EVENTS[event] for event in events if event in EVENTS]
    return tuple(field for field in (known[0] if known else ()) if all(field in each for each in known))


def near_events(name: str) -> tuple[str, ...]:
    """The events that a name may mean, the likeliest first; none where it is like nothing.

    A name may be a slip away from an event, lack what stands before the point or have another there, have its words in
    another order, or be one of its words.
    """
    close = near(name, EVENTS)
    if close:
        return close
    _, _, own = name.rpartition(".")
    slips = {event: nearest(own, [event.rpartition(".")[2]]) for event in EVENTS}
    alike = sorted((distance, event) for event, (distance, found) in slips.items() if found)
    wanted = _words(own)
    same = [event for event in EVENTS if wanted and wanted == _words(event.rpartition(".")[2])]
    holding = [event for event in EVENTS if wanted and wanted < _words(event)]
    return tuple(dict.fromkeys((*same, *(event for _, event in alike), *holding)))[:_MOST]


def _words(name: str) -> frozenset[str]:
    return frozenset(each for each in re.split(r"[^a-z0-9]+", name.casefold()) if each)
