"""Which minutes of the day the named periods of a document hold for: whether they leave one without a name, and which
lie in the hours of another.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.document import period_name
from rxlint.notation.tree import Block

_DAY: Final = 24 * 60
_WHOLE: Final = (1 << _DAY) - 1
_REST: Final = (("night", "day"), ("asleep", "awake"))
"""Words of which the second is whatever the first is not, as long as no hours are stated for the second."""
_AT_TIMES: Final = frozenset({"as needed", "during transfer"})
"""Uses that may not come about: whatever their hours, something else holds meanwhile."""


def fill_the_day(blocks: Iterable[Block]) -> bool:
    """Whether named periods hold for every minute of the day, so that no time is left for sections without a name.

    Of a period that is told with different hours in several sections, the hours that all of them name count. An hour
    that ends at 21:59 where the next begins at 22:00 leaves nothing: one minute is a manner of writing, two are a gap.
    """
    minutes, bare = _hours_of(blocks)
    told = minutes.keys() | bare
    if any(first in told and rest in bare - minutes.keys() for first, rest in _REST):
        return True
    covered = 0
    for each in minutes.values():
        covered |= each
    return covered | _minute_later(covered) == _WHOLE


def around(blocks: Iterable[Block]) -> Mapping[str, tuple[str, ...]]:
    """For each period whose hours all lie in those of others, these, the widest first: what they say holds in it too.

    Two periods of the same hours lie in each other. Of hours that several sections tell differently, those count that
    all of them name; a period without hours, or one that may not come about, lies in none and holds none.
    """
    minutes, _ = _hours_of(blocks)
    return {
        name: tuple(
            sorted(
                (each for each in minutes if each != name and own & ~minutes[each] == 0),
                key=lambda each: -minutes[each].bit_count(),
            )
        )
        for name, own in minutes.items()
        if own
    }


def _hours_of(blocks: Iterable[Block]) -> tuple[dict[str, int], set[str]]:
    """The minutes of each period that is told with hours, and the names of those told without."""
    minutes: dict[str, int] = {}
    bare: set[str] = set()
    for block in blocks:
        period, name = block.heading.period if block.heading is not None else None, period_name(block)
        if period is None or name is None or period.use in _AT_TIMES or period.up_to is not None:
            continue
        if period.windows:
            minutes[name] = minutes.get(name, _WHOLE) & _of_windows(period.windows)
        else:
            bare.add(name)
    return minutes, bare


def _of_windows(windows: Iterable[n.Window]) -> int:
    found = 0
    for each in windows:
        found |= _of_window(each)
    return found


def _of_window(window: n.Window) -> int:
    """The minutes of a window as bits, midnight the lowest; none for what is no time of day or has no length."""
    start, end = _minute(window.start_time), _minute(window.end_time)
    if start is None or end is None or start == end:
        return 0
    if start < end:
        return (1 << end) - (1 << start)
    return _WHOLE ^ ((1 << start) - (1 << end))


def _minute(time: str) -> int | None:
    hours, minutes = int(time[:2]), int(time[3:])
    at = hours * 60 + minutes
    return at if minutes < 60 and at <= _DAY else None


def _minute_later(minutes: int) -> int:
    return (minutes << 1 | minutes >> _DAY - 1) & _WHOLE
