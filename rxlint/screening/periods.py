"""The periods of a document: windows that overlap, windows that are no time of day, hours that no period covers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions.problems import near, nearest
from rxlint.notation import nodes as n
from rxlint.notation.document import period_name
from rxlint.notation.tree import Block, Document
from rxlint.screening.walks import Found, Walk, minutes_text

_DAY: Final = 24 * 60
_SLACK: Final = 60  # minutes a day that periods may cover beyond the hours that are stated
_MORNING: Final = 8 * 60
_EVENING: Final = 20 * 60
_USUAL: Final = frozenset({"night", "day", "morning", "afternoon", "evening", "asleep", "awake", "sleep"})
_OTHERS: Final = frozenset({"nights", "days", "mornings", "afternoons", "evenings", "sleeps", "sleepy"})
_HALVES: Final = {
    "night": frozenset({"night", "nights", "asleep", "sleep"}),
    "day": frozenset({"day", "days", "awake"}),
}


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
    _misspelt(document, blocks, walk)
    _unusual(blocks, walk)
    _wrong_half(document, walk)
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
    walk.ran |= {"periods.gap", "periods.over"}
    covered = sum(high - low for low, high in _union([(each.start, each.end) for each in stretches]))
    covered += sum(_extra(block) for block in blocks)
    over = covered > needed + _SLACK and not document.blocks_of("off ventilator")  # time off is taken out of a period
    if covered < needed or over:
        fields = {"covered": minutes_text(covered), "needed": minutes_text(needed)}
        entry = blocks[0].entry
        hours = next(
            (detail for block in document.blocks_of("patient") for detail in block.details if _is_hours(detail)), None
        )
        related = ((hours, "the hours a day are stated here"),) if hours is not None else ()
        event = "periods.gap" if covered < needed else "periods.over"
        walk.found.append(Found(event, entry, entry.indent, len(entry.text.rstrip()), fields, related))


def _misspelt(document: Document, settings: Sequence[Block], walk: Walk) -> None:
    """Names of periods that no settings have, and that are a slip away from one that they have."""
    names = {name for block in settings if (name := period_name(block)) is not None}
    for block in document.blocks:
        period, name = _period(block), period_name(block)
        if period is None or period.name is None or name is None or block.section == "settings" or not names:
            continue
        walk.ran.add("periods.misspelt")
        meant = near(name, names) if name not in names else ()
        if meant:
            entry = block.entry
            related = tuple(
                (each.entry, f"{meant[0]} stands here") for each in settings if period_name(each) == meant[0]
            )
            fields = {"name": name, "near": meant[0]}
            walk.found.append(
                Found("periods.misspelt", entry, entry.indent, len(entry.text.rstrip()), fields, related[:1])
            )


def _unusual(settings: Sequence[Block], walk: Walk) -> None:
    """Periods of the settings that are called almost, but not quite, what such a period is usually called.

    One slip of the hand and no more: a name of one's own, such as an activity, lies further off.
    """
    told = {found.fields["near"] for found in walk.found if found.name == "periods.misspelt"}
    for block in settings:
        period, name = _period(block), period_name(block)
        if period is None or period.name is None or name is None:
            continue
        walk.ran.add("periods.unusual")
        slips, meant = nearest(name, _USUAL - {name})
        if name in _USUAL | _OTHERS | told or slips != 1:
            continue
        told.add(name)
        entry = block.entry
        fields = {"name": name, "near": meant[0]}
        walk.found.append(Found("periods.unusual", entry, entry.indent, len(entry.text.rstrip()), fields))


def _wrong_half(document: Document, walk: Walk) -> None:
    """Periods that are called after one half of the day and hold mostly in the other."""
    for block in document.blocks:
        period = _period(block)
        called = period.name or period.use if period is not None else None
        half = next((half for half, names in _HALVES.items() if called in names), None)
        if period is None or called is None or half is None or not period.windows:
            continue
        walk.ran.add("periods.wrong-half")
        stretches = [stretch for window in period.windows for stretch in _stretches(window, block)]
        by_day = sum(max(0, min(each.end, _EVENING) - max(each.start, _MORNING)) for each in stretches)
        whole = sum(each.end - each.start for each in stretches)
        if whole and (2 * by_day > whole) != (half == "day"):
            told = " and ".join(f"{window.start_time} to {window.end_time}" for window in period.windows)
            fields = {"name": called, "window": told, "half": "night" if half == "day" else "day"}
            first = period.windows[0]
            walk.found.append(Found("periods.wrong-half", block.entry, first.start, period.windows[-1].end, fields))


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
