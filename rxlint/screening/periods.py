"""The periods of a document: windows that overlap, windows that are no time of day, hours that no period covers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.document import period_name
from rxlint.notation.tree import Block, Document
from rxlint.screening.walks import Found, Walk, minutes_text

_DAY: Final = 24 * 60


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Minutes of the day, start included, end excluded; one that crosses midnight is cut in two."""

    start: int
    end: int
    window: n.Window
    block: Block


def walk_periods(document: Document) -> Walk:
    """What is wrong with the windows of the settings' periods, and the hours that they leave open."""
    walk = Walk()
    blocks = [block for block in document.blocks_of("settings") if _period(block) is not None]
    for block in document.blocks:
        if _period(block) is not None:
            walk.ran.add("periods.window")
        for window in _windows(block):
            _check_window(window, block, walk)
    stretches = [stretch for block in blocks for window in _windows(block) for stretch in _stretches(window, block)]
    if len({period_name(stretch.block) for stretch in stretches}) > 1:
        walk.ran.add("periods.overlap")
        _overlaps(stretches, walk)
    _gap(document, blocks, stretches, walk)
    return walk


def _period(block: Block) -> n.Period | None:
    return block.heading.period if block.heading is not None else None


def _windows(block: Block) -> tuple[n.Window, ...]:
    period = _period(block)
    return period.windows if period is not None else ()


def minute_of(time: str) -> int | None:
    """Minutes since midnight; 24:00 is the end of the day. None for what is no time of day."""
    hours, minutes = int(time[:2]), int(time[3:])
    if minutes > 59 or hours > 24 or (hours == 24 and minutes):
        return None
    return hours * 60 + minutes


def _check_window(window: n.Window, block: Block, walk: Walk) -> None:
    start, end = minute_of(window.start_time), minute_of(window.end_time)
    what = ""
    if start is None or end is None:
        what = f"{window.start_time if start is None else window.end_time} is no time of day"
    elif start == end:
        what = f"{window.start_time} to {window.end_time} has no length"
    if what:
        walk.found.append(Found("periods.window", block.entry, window.start, window.end, {"what": what}))


def _stretches(window: n.Window, block: Block) -> list[_Stretch]:
    start, end = minute_of(window.start_time), minute_of(window.end_time)
    if start is None or end is None or start == end:
        return []
    if end > start:
        return [_Stretch(start, end, window, block)]
    return (
        [_Stretch(start, _DAY, window, block), _Stretch(0, end, window, block)]
        if end
        else [_Stretch(start, _DAY, window, block)]
    )


def _overlaps(stretches: Sequence[_Stretch], walk: Walk) -> None:
    told: set[tuple[str | None, str | None]] = set()
    for index, first in enumerate(stretches):
        for second in stretches[index + 1 :]:
            low, high = max(first.start, second.start), min(first.end, second.end)
            names = period_name(first.block), period_name(second.block)
            if low >= high or names[0] == names[1] or names in told:
                continue
            told.add(names)
            fields = {"first": names[0] or "", "second": names[1] or "", "from": _clock(low), "to": _clock(high)}
            related = (
                (first.block.entry, f"{names[0]} runs from {first.window.start_time} to {first.window.end_time}"),
            )
            walk.found.append(
                Found("periods.overlap", second.block.entry, second.window.start, second.window.end, fields, related)
            )


def _clock(minutes: int) -> str:
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _gap(document: Document, blocks: Sequence[Block], stretches: Sequence[_Stretch], walk: Walk) -> None:
    settings = document.blocks_of("settings")
    if not settings or len(blocks) != len(settings):
        return  # unnamed settings hold for every other hour
    needed = _hours_needed(document)
    if needed is None:
        return
    if any(
        block.heading is not None and block.heading.period is not None and _is_open(block.heading.period)
        for block in blocks
    ):
        walk.unsure["periods.gap"] = "a period without stated hours"
        return
    walk.ran.add("periods.gap")
    covered = sum(high - low for low, high in _union([(each.start, each.end) for each in stretches]))
    covered += sum(_extra(block) for block in blocks)
    if covered < needed:
        fields = {"covered": minutes_text(covered), "needed": minutes_text(needed)}
        entry = blocks[0].entry
        hours = next(
            (detail for block in document.blocks_of("patient") for detail in block.details if _is_hours(detail)), None
        )
        related = ((hours, "the hours a day are stated here"),) if hours is not None else ()
        walk.found.append(Found("periods.gap", entry, entry.indent, len(entry.text.rstrip()), fields, related))


def _is_open(period: n.Period) -> bool:
    """A period of which nobody can say how long it lasts."""
    return not period.windows and not (period.use == "as needed" and period.up_to is not None)


def _extra(block: Block) -> int:
    period = block.heading.period if block.heading is not None else None
    if period is None or period.windows or period.up_to is None:
        return 0
    part = period.up_to.parts[0]
    return int(part.number * (60 if part.unit in ("h/day", "h", "hours/day") else 1))


def _is_hours(detail: object) -> bool:
    statement = getattr(detail, "statement", None)
    return statement is not None and statement.term is not None and statement.term.key == "patient hours ventilated"


def _hours_needed(document: Document) -> int | None:
    for block in document.blocks_of("patient"):
        for detail in block.details:
            if _is_hours(detail) and detail.statement is not None and "" in detail.statement.values:
                quantity = detail.statement.values[""]
                if quantity.kind == "exact":
                    return int(quantity.points[0] * Fraction(_DAY))
    return None


def _union(ranges: list[tuple[int, int]]) -> list[tuple[int, int]]:
    merged: list[tuple[int, int]] = []
    for low, high in sorted(ranges):
        if merged and low <= merged[-1][1]:
            merged[-1] = merged[-1][0], max(high, merged[-1][1])
        else:
            merged.append((low, high))
    return merged
