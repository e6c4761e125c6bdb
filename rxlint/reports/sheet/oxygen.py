"""The picture of the oxygen: what is left in the cylinders against time, and how long it has to last."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Final

from rxlint.model.facts import Facts
from rxlint.model.names import derived_terms
from rxlint.packs import Defined
from rxlint.physiology.cylinders import whole_minutes
from rxlint.reports.sheet.axes import Box, Scale, nice_ticks, tick_text, whole_steps
from rxlint.reports.sheet.drawing import WIDTH, Disc, Drawing, Path, Shape, Text, rectangle, svg_of
from rxlint.reports.sheet.labels import SIZE, SMALL, Flag, placed, wrapped
from rxlint.reports.sheet.oxygen_lines import Line, Supply, change_times, supply_of
from rxlint.reports.sheet.picture import NotDrawn, Picture, Table
from rxlint.units import UNITS, from_base, show

HEADING: Final = "Oxygen supply"

_LEFT, _RIGHT = 72.0, 600.0
_HEIGHT = 190.0
_LANE = 15.0
_MOST_CHANGES: Final = 8  # more changes than these are told in words alone
_FAR: Final = 4  # a line that lasts longer than so many times the journey runs out of the picture
_HOURS_FROM: Final = 240  # minutes from which a scale is in hours
_OF_MOST: Final = (2.6, "")  # width and dashes of the line to plan with
_OF_LEAST: Final = (1.6, "7 4")
_KEY: Final = 9.0  # radius of a line's letter
_STEPS: Final = {"min": (1, 2, 5, 10, 15, 20, 30, 60), "h": (1, 2, 3, 6, 12, 24, 48, 96, 192, 384, 768)}


def oxygen_picture(facts: Facts, defined: Mapping[str, Defined], prefix: str = "oxygen") -> Picture | NotDrawn:
    """The oxygen supply of one scope over time.

    The facts have to be made with the nodes of ``defined``, the terms of the rules. Raises ImportError without jinja2.
    """
    supply = supply_of(facts)
    if not isinstance(supply, Supply):
        return NotDrawn(HEADING, supply)
    alt = _alt(supply)
    notes = tuple(_notes(supply, defined))
    return Picture(HEADING, svg_of(oxygen_drawing(supply, alt), prefix), alt, _table(supply), notes)


# ---- the drawing


def oxygen_drawing(supply: Supply, alt: str) -> Drawing:
    """Contents downwards over time, one line for each draw; upright lines for the times that matter."""
    minutes = _domain(supply)
    unit = "h" if minutes > _HOURS_FROM else "min"
    end = minutes / 60 if unit == "h" else minutes
    ticks = _time_ticks(end, unit)
    across = Scale(0.0, max(end, ticks[-1]), _LEFT, _RIGHT)
    per = UNITS[unit].factor
    at = {key: across.at(float(time / per)) for key, time in _times(supply)}
    flags = placed([Flag(text, at[text], "right", bold=True) for text in at], _LEFT, WIDTH - 6)
    top = 10 + _LANE * (max((each.lane for each in flags), default=-1) + 1) + 6
    high = whole_steps(0.0, float(from_base(supply.contents, UNITS["L"])), 5)[1]
    upright = Scale(0.0, high, top + _HEIGHT, top)
    shapes: list[Shape] = [*_frame(across, upright, ticks, unit)]
    for each in flags:
        baseline = top - 8 - _LANE * each.lane
        shapes.append(Text(each.left, baseline, each.flag.text, SIZE, bold=True))
        covers = each.left - 1 < each.flag.at < each.right + 1
        start = baseline + 3 if covers else baseline - 9
        shapes.append(Path(((each.flag.at, start), (each.flag.at, top + _HEIGHT)), 1.8, "5 3"))
    shapes += _reserve_zone(supply, across, per, top)
    shapes += _levels(supply, upright)
    for index, line in enumerate(supply.drawn):
        shapes += _line(line, supply, across, upright, per)
        shapes += _letter(line, index > 0, per, across, upright, tuple(at.values()))
    y = _words(supply, top + _HEIGHT + 38, shapes)
    return Drawing(y + 12, HEADING, alt, tuple(shapes))


def _domain(supply: Supply) -> float:
    """How many minutes are shown: all that has to be covered, and the lines as far as they are of use."""
    longest = max(float(line.lasts) for line in supply.lines) / 60
    needed = [float(each) / 60 for each in (supply.way, supply.must_last, supply.twice) if each is not None]
    if not needed:
        return 1.04 * longest
    return max(1.15 * max(needed), min(1.04 * longest, _FAR * max(needed)))


def _time_ticks(end: float, unit: str) -> tuple[float, ...]:
    """Ticks that a clock has: 10, 15 or 30 minutes, 2 or 6 hours apart."""
    step = next((each for each in _STEPS[unit] if end / each <= 9), None)
    if step is None or end < 3:
        return nice_ticks(0.0, end, 9)
    return tuple(float(step * number) for number in range(int(end / step) + 1))


def _times(supply: Supply) -> Iterator[tuple[str, Fraction]]:
    if supply.way is not None:
        yield f"end of the way, {_time(supply.way)}", supply.way
    if supply.must_last is not None and supply.must_last != supply.way:
        yield f"way and reserve, {_time(supply.must_last)}", supply.must_last
    if supply.twice is not None and supply.margin is not None:
        yield f"{float(supply.margin):g} times the way, {_time(supply.twice)}", supply.twice


def _time(seconds: Fraction) -> str:
    """A time as a clock tells it; never more than there is."""
    minutes = whole_minutes(float(seconds))
    if minutes < 120:
        return f"{minutes} min"
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def _litres(volume: Fraction) -> str:
    return show(volume, UNITS["L"])


def _frame(across: Scale, upright: Scale, ticks: Sequence[float], unit: str) -> Iterator[Shape]:
    bottom = upright.start
    yield Path(((_LEFT, upright.end), (_LEFT, bottom), (_RIGHT, bottom)), 1.4)
    for tick in ticks:
        x = across.at(tick)
        yield Path(((x, bottom), (x, bottom + 5)), 1.0)
        yield Text(x, bottom + 17, tick_text(tick, ticks), SMALL, "middle")
    yield Text((_LEFT + _RIGHT) / 2, bottom + 31, f"time from the start, {unit}", SMALL, "middle")
    litres = nice_ticks(0.0, upright.high, 6)
    for tick in litres:
        y = upright.at(tick)
        yield Path(((_LEFT - 5, y), (_LEFT, y)), 1.0)
        yield Text(_LEFT - 8, y + 4, f"{tick_text(tick, litres)} L", SMALL, "end")


def _reserve_zone(supply: Supply, across: Scale, per: Fraction, top: float) -> Iterator[Shape]:
    """The time of the reserve, hatched along the foot of the picture."""
    last = supply.must_last if supply.must_last != supply.way else supply.twice
    if supply.way is None or last is None or last <= supply.way:
        return
    left, right = across.at(float(supply.way / per)), across.at(float(last / per))
    yield rectangle(Box(left, top + _HEIGHT - 9, right, top + _HEIGHT), 1.0, "hatch")


def _levels(supply: Supply, upright: Scale) -> Iterator[Shape]:
    """Where a cylinder is empty and the next one is opened."""
    if not 1 < supply.cylinders <= _MOST_CHANGES:
        return
    for number in range(1, supply.cylinders):
        left = from_base(supply.contents - supply.one * number, UNITS["L"])
        y = upright.at(float(left))
        yield Path(((_LEFT, y), (_RIGHT, y)), 0.8, "1 4")


def _left(line: Line, across: Scale, upright: Scale, per: Fraction, share: float) -> tuple[float, float]:
    """The point of a line at a share of the time for which it is in the picture."""
    lasts = float(line.lasts / per)
    full = upright.start - (upright.start - upright.end) * _full_share(line, upright)
    time = share * min(lasts, across.high)
    return across.at(time), full + (upright.start - full) * time / lasts


def _full_share(line: Line, upright: Scale) -> float:
    """The contents at the start as a share of the scale."""
    return float(from_base(line.draw * line.lasts, UNITS["L"])) / upright.high


def _line(line: Line, supply: Supply, across: Scale, upright: Scale, per: Fraction) -> Iterator[Shape]:
    """What is left at one draw, with a dot where a cylinder is changed."""
    points = (_left(line, across, upright, per, 0.0), _left(line, across, upright, per, 1.0))
    yield Path(points, *_pen(supply, line))
    if supply.cylinders > _MOST_CHANGES:
        return
    shown_for = min(float(line.lasts / per), across.high)
    for time in change_times(supply, line):
        share = float(time / per) / shown_for
        if share <= 1:
            yield Disc(*_left(line, across, upright, per, share), 4, "solid", 0.0)


def _soonest_empty(supply: Supply) -> Line:
    """The line that has to be planned with, which is the one to catch the eye."""
    return min(supply.drawn, key=lambda line: line.lasts)


def _pen(supply: Supply, line: Line) -> tuple[float, str]:
    return _OF_MOST if line is _soonest_empty(supply) else _OF_LEAST


def _letter(
    line: Line, below: bool, per: Fraction, across: Scale, upright: Scale, uprights: Sequence[float]
) -> Iterator[Shape]:
    """The line's letter: above the slower line, below the faster one, clear of the upright lines."""
    places = []
    for share in (0.8, 0.72, 0.64, 0.56, 0.48, 0.88, 0.4, 0.3):
        x, y = _left(line, across, upright, per, share)
        places.append((x - 12, y + 12) if below and x > _LEFT + 30 else (x + 12, y - 12))
    x, y = next((place for place in places if all(abs(place[0] - each) > _KEY + 4 for each in uprights)), places[0])
    yield Disc(x, y, _KEY, "none", 1.2)
    yield Text(x, y + 4, line.letter, SMALL, "middle", bold=True)


def _words(supply: Supply, top: float, shapes: list[Shape]) -> float:
    """What each line is and how long it lasts, and what the signs mean."""
    y = top
    for line in supply.drawn:
        shapes += [
            Disc(20, y + 9, _KEY, "none", 1.2),
            Text(20, y + 13, line.letter, SMALL, "middle", bold=True),
            Path(((34, y + 9), (66, y + 9)), *_pen(supply, line)),
        ]
        bold = len(supply.drawn) > 1 and line is _soonest_empty(supply)
        for text in wrapped(_line_text(line), WIDTH - 82, SIZE, 3, bold)[0]:
            y += _LANE
            shapes.append(Text(74, y - 2, text, SIZE, bold=bold))
        y += 6
    for text in _said(supply):
        for each in wrapped(text, WIDTH - 20, SIZE, 3)[0]:
            y += _LANE
            shapes.append(Text(8, y, each, SIZE))
    return y


def _line_text(line: Line) -> str:
    return f"{show(line.draw, UNITS['L/min'])} lasts {_time(line.lasts)}: {line.words}"


def _said(supply: Supply) -> Iterator[str]:
    yield f"At the start: {_start(supply)}."
    if supply.cylinders > 1:
        sign = "A dot is a change of cylinder." if _has_dots(supply) else ""
        times = ", ".join(f"{line.letter} every {_time(_first_change(supply, line))}" for line in supply.drawn)
        yield f"Change of cylinder: {times}. {sign}".rstrip()
    if supply.way is None:
        yield "How long the supply has to last is not stated."
    elif supply.twice is not None:
        yield "No reserve is stated; hatched: what is usually carried beyond the way."
    else:
        yield f"Reserve: {supply.reserve} (hatched)."


def _first_change(supply: Supply, line: Line) -> Fraction:
    return change_times(supply, line)[0]


def _has_dots(supply: Supply) -> bool:
    """Whether a change of cylinder falls within the time that is shown."""
    if supply.cylinders > _MOST_CHANGES:
        return False
    end = _domain(supply)
    return any(float(time) / 60 <= end for line in supply.drawn for time in change_times(supply, line))


def _start(supply: Supply) -> str:
    if supply.cylinders == 1:
        return f"one cylinder, {_litres(supply.contents)}"
    return f"{supply.cylinders} cylinders of {_litres(supply.one)}, {_litres(supply.contents)} in all"


# ---- the same in words


def _left_at(supply: Supply, line: Line, time: Fraction | None) -> str:
    if time is None:
        return ""
    left = supply.contents - line.draw * time
    return _litres(left) if left >= 0 else f"empty {_time(time - line.lasts)} before"


def _table(supply: Supply) -> Table:
    last = supply.must_last if supply.twice is None else supply.twice
    after = "way and reserve" if supply.margin is None else f"{float(supply.margin):g} times the way"
    rows = [
        (
            line.letter or "not drawn",
            show(line.draw, UNITS["L/min"]),
            line.words,
            _time(line.lasts),
            _changes(supply, line),
            _left_at(supply, line, supply.way),
            _left_at(supply, line, last),
        )
        for line in supply.lines
    ]
    headings: tuple[str, ...] = ("line", "draw", "what it is", "lasts", "cylinder changed")
    if supply.way is None:
        return Table(f"Oxygen supply: {_start(supply)}", headings, tuple(row[: len(headings)] for row in rows))
    headings += ("left at the end of the way", f"left after {after}")
    return Table(f"Oxygen supply: {_start(supply)}", headings, tuple(rows))


def _changes(supply: Supply, line: Line) -> str:
    if supply.cylinders == 1:
        return "never"
    if supply.cylinders > _MOST_CHANGES:
        return f"every {_time(_first_change(supply, line))}"
    return f"at {', '.join(map(_time, change_times(supply, line)))}"


def _alt(supply: Supply) -> str:
    told = [f"At the start {_start(supply)}"]
    told += [text for text, _ in _times(supply)]
    told += [f"{line.letter}: {_line_text(line)}" if line.letter else _line_text(line) for line in supply.lines]
    told += [text.rstrip(".") for text in _said(supply)][1:]
    return ". ".join(told) + "."


def _notes(supply: Supply, defined: Mapping[str, Defined]) -> Iterator[str]:
    """What the lines rest on."""
    for key in dict.fromkeys(line.key for line in supply.lines):
        name = key.split(": ")[-1]
        if key in derived_terms():
            yield f"{name}: {derived_terms()[key].means}; source: {derived_terms()[key].ways[-1].source}"
        elif key in defined:
            yield f"{name}: {defined[key].means}"
    if supply.twice is not None and "oxygen: oxygen margin" in defined:
        margin = defined["oxygen: oxygen margin"]
        yield f"{margin.means}; source: {margin.source}"
    yield "Each line goes on at one draw."
    yield "Driving gas of the ventilator, and breaths beyond the set rate, are not counted."
