"""The picture of the alarm limits: a row for each quantity, its limits around what is expected of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.model.facts import Facts
from rxlint.model.names import derived_terms
from rxlint.packs import Defined
from rxlint.reports.sheet.alarm_rows import POWER, Limit, Mark, Row, rows_of
from rxlint.reports.sheet.axes import Box, Scale, whole_steps
from rxlint.reports.sheet.drawing import Disc, Drawing, Path, Shape, Text, rectangle, svg_of
from rxlint.reports.sheet.labels import ASCENT, SIZE, SMALL, Flag, Placed, Side, cut, placed, shown, text_width, wrapped
from rxlint.reports.sheet.picture import NotDrawn, Picture, Table
from rxlint.reports.sheet.spans import Span, between, float_in, not_known
from rxlint.units import Unit, from_base, show

HEADING: Final = "Alarm limits"

_LEFT, _RIGHT = 190.0, 590.0  # of the strips
_NAMES = 142.0  # room for a quantity's name
_STRIP = 20.0
_LANE = 15.0
_EDGE = 636.0
_TICKS = 6
_AIMED: Final = "aimed at"
_LEFTWARDS: Final[Side] = "left"
_RIGHTWARDS: Final[Side] = "right"
_RING = 8.5  # round what is read: wider than the sign of what is expected, which may lie in the same place
_NO_SOURCE: Final = ("by row", "definition")  # of a term that has none of its own


def alarm_picture(facts: Facts, defined: Mapping[str, Defined], prefix: str = "alarms") -> Picture | NotDrawn:
    """The limits of one scope around the expected values.

    The facts have to be made with the nodes of ``defined``, the terms of the rules: without them no peak and no volume
    aimed at is expected. Raises ImportError without jinja2.
    """
    rows = rows_of(facts)
    power = facts.stated(POWER)
    said = [row for row in rows if row.is_said]
    if not said and power is None:
        return NotDrawn(HEADING, ("the order states no alarm",))
    words = _power_words(facts)
    silent = tuple(row.watched.name for row in rows if not row.is_said)
    alt = _alt(said, silent, words)
    drawing = alarm_drawing(said, silent, words, alt)
    return Picture(HEADING, svg_of(drawing, prefix), alt, _table(said, words), tuple(_notes(said, defined)))


def _power_words(facts: Facts) -> str:
    stated = facts.stated(POWER)
    if stated is None:
        return "not stated"
    if POWER in facts.unreadable:
        return "stated, could not be read"
    word = getattr(stated.statement.body, "word", "")
    reason = getattr(stated.statement.body, "because", None)
    return f'{word}, "{shown(reason)}"' if reason else word


# ---- the drawing


def alarm_drawing(rows: list[Row], silent: tuple[str, ...], power: str, alt: str) -> Drawing:
    """The rows one below the other, then the legend and what stands on no scale."""
    shapes: list[Shape] = []
    y = 8.0
    for row in rows:
        y = _draw_row(row, y, shapes) + 12
    y = _draw_legend(rows, y + 2, shapes)
    for line in _foot(silent, power):
        y += _LANE
        shapes.append(Text(8, y, line, SIZE))
    return Drawing(y + 10, HEADING, alt, tuple(shapes))


def _foot(silent: tuple[str, ...], power: str) -> Iterator[str]:
    room = _EDGE - 8
    yield cut(f"power loss alarm: {power}", room, SIZE)
    if silent:
        yield from wrapped(f"no limit stated for: {', '.join(silent)}", room, SIZE, 6)[0]


def _draw_row(row: Row, top: float, shapes: list[Shape]) -> float:
    """One row from its top; its bottom is returned."""
    scale = _scale(row)
    above = placed([_limit_flag(limit, row, scale) for limit in row.limits], _LEFT - 14, _EDGE)
    below = placed([*_mark_flags(row, scale)], _NAMES + 16, _EDGE)
    strip = top + _LANE * _lanes(above) + 3
    bottom = strip + _STRIP
    hang = bottom + (7 if row.of("aimed") else 2)
    names, _ = wrapped(row.watched.name, _NAMES, SIZE, 3, bold=True)
    if scale is not None:
        _draw_strip(row, scale, strip, shapes)
    else:
        shapes.append(rectangle(Box(_LEFT, strip, _RIGHT, bottom), 1.0, dash="2 4"))
    first = strip + 14 - _LANE / 2 * (len(names) - 1)
    shapes += [Text(8, first + _LANE * index, name, SIZE, bold=True) for index, name in enumerate(names)]
    for each in above:
        baseline = strip - 5 - _LANE * each.lane
        shapes += _flag(each, baseline, strip, above=True)
    for each in below:
        baseline = hang + 12 + _LANE * each.lane
        shapes += _flag(each, baseline, bottom + (6 if each.flag.text.startswith(_AIMED) else 0), above=False)
    return max(hang + _LANE * _lanes(below), first + _LANE * len(names) - 10)


def _flag(each: Placed, baseline: float, strip: float, above: bool) -> Iterator[Shape]:
    """A label with its line to the strip."""
    yield Text(each.left, baseline, each.flag.text, SIZE, bold=each.flag.bold)
    if each.flag.tail:
        yield Text(each.left + each.flag.head(SIZE), baseline, each.flag.tail, SIZE)
    if not each.flag.leads:
        return
    covers = each.left - 1 < each.flag.at < each.right + 1
    if above:
        start = baseline + 3 if covers else baseline - ASCENT * SIZE + 1
    else:
        start = baseline - ASCENT * SIZE - 1 if covers else baseline
    yield Path(((each.flag.at, start), (each.flag.at, strip)), 0.8)


def _lanes(labels: tuple[Placed, ...]) -> int:
    return max((each.lane for each in labels), default=-1) + 1


def _ends(low: Fraction | None, high: Fraction | None) -> Iterator[Fraction]:
    yield from (end for end in (low, high) if end is not None)


def _scale(row: Row) -> Scale | None:
    """From about 0, or from a little below what is shown, to a little above; None where the row has no number."""
    values = [value for limit in row.limits if limit.span for value in _ends(limit.span.low, limit.span.high)]
    values += [value for mark in row.marks for value in _ends(mark.low, mark.high)]
    if not values:
        return None
    numbers = [float_in(value, row.unit) for value in values]
    low, high = min(numbers), max(numbers)
    top = float(from_base(row.watched.top, row.unit)) if row.watched.top is not None else None
    # a share near its top is told apart on a part of the scale only
    begins = top is None or low < 0.5 * top
    start = 0.0 if begins and low >= 0 else low - 0.3 * max(high - low, 0.2 * abs(high))
    start, end = whole_steps(start, high + 0.15 * (high - start or 1), _TICKS)
    return Scale(start, max(end if top is None else min(end, top), high), _LEFT, _RIGHT)


def _draw_strip(row: Row, scale: Scale, top: float, shapes: list[Shape]) -> None:
    bottom = top + _STRIP
    at = _Place(scale, row.unit)
    shapes.append(Text(_LEFT - 5, top + 14, f"{scale.low:g}", SMALL, "end"))
    shapes.append(Text(_RIGHT + 5, top + 14, f"{scale.high:g}", SMALL))
    for limit in row.limits:
        if limit.span is not None:
            shapes += _zone(limit, limit.span, at, top, bottom)
    shapes.append(rectangle(Box(_LEFT, top, _RIGHT, bottom), 1.0))
    for mark in row.marks:
        shapes += _mark(mark, at, top, bottom)


@dataclass(frozen=True, slots=True)
class _Place:
    scale: Scale
    unit: Unit

    def __call__(self, value: Fraction) -> float:
        return self.scale.at(float_in(value, self.unit))


def _zone(limit: Limit, span: Span, at: _Place, top: float, bottom: float) -> Iterator[Shape]:
    """Where the alarm sounds, hatched; where the limit may itself be moved, its two ends with a line between."""
    low, high = at(span.low), at(span.high)
    outer = Box(_LEFT, top, low, bottom) if limit.side == "low" else Box(high, top, _RIGHT, bottom)
    if outer.right > outer.left:
        yield rectangle(outer, 0.0, "hatch")
    for x in {low, high}:
        yield Path(((x, top - 3), (x, bottom + 3)), 3.0)
    if high - low > 1:
        yield Path(((low, top - 1), (high, top - 1)), 2.0)
        yield Path(((low, bottom + 1), (high, bottom + 1)), 2.0)


def _mark(mark: Mark, at: _Place, top: float, bottom: float) -> Iterator[Shape]:
    middle = (top + bottom) / 2
    low = at(mark.low) if mark.low is not None else _LEFT
    high = at(mark.high) if mark.high is not None else _RIGHT
    set_at = at(mark.as_set) if mark.as_set is not None else None
    if mark.kind == "aimed":
        y = bottom + 5
        yield Path(((low, y), (high, y)), 2.0)
        for x, end in ((low, mark.low), (high, mark.high)):
            if end is not None:
                yield Path(((x, y - 4), (x, y + 3)), 2.0)
    elif mark.kind == "read":
        yield Disc(set_at if set_at is not None else low, middle, _RING, "none", 2.0)
    elif mark.kind == "beside":
        yield Path(((set_at or low, top), (set_at or low, bottom)), 1.5, "3 2")
        if high - low > 1:
            yield Path(((low, bottom - 3), (high, bottom - 3)), 1.5, "3 2")
    else:
        if high - low > 1:
            yield rectangle(Box(low, middle - 3, high, middle + 3), 0.0, "solid")
        point = set_at if set_at is not None else low if high - low <= 1 else None
        if point is not None:
            yield _diamond(point, middle)


def _diamond(x: float, y: float) -> Path:
    return Path(((x - 7, y), (x, y - 8), (x + 7, y), (x, y + 8)), 0.0, fill="solid", closed=True)


# ---- labels


def _limit_flag(limit: Limit, row: Row, scale: Scale | None) -> Flag:
    outwards: Side = "left" if limit.side == "low" else "right"
    if limit.span is None or scale is None:
        end, inwards = (_LEFT, _RIGHTWARDS) if limit.side == "low" else (_RIGHT, _LEFTWARDS)
        text = cut(f"{limit.side} {limit.why}", _RIGHT - _LEFT, SIZE, bold=True)
        room = _RIGHT - _LEFT + 14 - text_width(text + " ", SIZE, bold=True)
        tail = cut(f'"{limit.reason}"', room, SIZE) if limit.reason else ""
        return Flag(text, end, inwards, leads=False, bold=True, tail=tail)
    text = cut(f"{limit.side} {_limit_text(limit, row.unit)}", _RIGHT - _LEFT, SIZE, bold=True)
    at = _Place(scale, row.unit)
    outer = at(limit.span.low) if limit.side == "low" else at(limit.span.high)
    return Flag(text, outer, outwards, bold=True)


def _limit_text(limit: Limit, unit: Unit) -> str:
    """A limit in words, in the unit of its row."""
    if limit.span is None:
        return f'{limit.why}, "{limit.reason}"' if limit.reason else limit.why
    return limit.span.text(unit) + (f" after {limit.delay}" if limit.delay else "")


def _mark_flags(row: Row, scale: Scale | None) -> Iterator[Flag]:
    for text in _absent(row):
        yield Flag(cut(text, _RIGHT - _LEFT, SIZE), _LEFT, "right", leads=False)
    if scale is None:
        return
    at = _Place(scale, row.unit)
    marks = sorted(row.marks, key=lambda mark: _centre(mark, at))
    room = _EDGE - _NAMES - 16
    for index, mark in enumerate(marks):
        side: Side = "left" if index == 0 and len(marks) > 1 else "right"
        text, at_mark = _mark_text(mark, row.unit), _centre(mark, at)
        if mark.kind == "expected" and text_width(text, SIZE) > room:
            text, words = text.removesuffix(f", {mark.words}"), f"= {mark.words}"
            yield Flag(cut(words, room, SIZE), at_mark, "middle", leads=False)
        yield Flag(cut(text, room, SIZE), at_mark, side)


def _absent(row: Row) -> Iterator[str]:
    """That nothing is expected, or aimed at, where it could be."""
    if row.watched.ways and not row.of("expected"):
        yield f"expected: {_expected_cell(row)}"
    if not row.watched.ways and row.watched.target is not None and not row.of("aimed"):
        yield f"{_AIMED}: not stated"


def _centre(mark: Mark, at: _Place) -> float:
    if mark.as_set is not None:
        return at(mark.as_set)
    low = at(mark.low) if mark.low is not None else _LEFT
    high = at(mark.high) if mark.high is not None else _RIGHT
    return (low + high) / 2


def _mark_text(mark: Mark, unit: Unit) -> str:
    value = _mark_value(mark, unit)
    return f"expected {_expected_text(mark, unit)}" if mark.kind == "expected" else f"{mark.words} {value}"


def _expected_text(mark: Mark, unit: Unit) -> str:
    words = "as allowed" if mark.words == "as set" and mark.as_set is None else mark.words
    return f"{_mark_value(mark, unit)}, {words}"


def _mark_value(mark: Mark, unit: Unit) -> str:
    if mark.low is None or mark.high is None:
        return f"up to {show(mark.high, unit)}" if mark.high is not None else f"at least {show(mark.low or 0, unit)}"
    if mark.kind == "aimed":
        return between(mark.low, mark.high, unit)
    return Span(mark.low, mark.high, mark.as_set).text(unit)


def _draw_legend(rows: list[Row], top: float, shapes: list[Shape]) -> float:
    """What the signs mean, those that are used alone."""
    kinds = {mark.kind for row in rows for mark in row.marks}
    spread = any(mark.kind == "expected" and mark.low != mark.high for row in rows for mark in row.marks)
    x, y = 8.0, top + 8
    moves = any(limit.span is not None and not limit.span.is_point for row in rows for limit in row.limits)
    signs = (
        ("the alarm sounds", True),
        ("the limit may be set here", moves),
        ("expected", "expected" in kinds),
        ("all that is allowed", spread),
        ("aimed at", "aimed" in kinds),
        ("read", "read" in kinds),
    )
    for words in (words for words, is_used in signs if is_used):
        if x + 36 + text_width(words, SIZE) > _EDGE:
            x, y = 8.0, y + 18
        shapes += _sign(words, x, y)
        shapes.append(Text(x + 32, y + 4, words, SIZE))
        x += 32 + text_width(words, SIZE) + 18
    return y + 8


def _sign(words: str, x: float, y: float) -> list[Shape]:
    match words:
        case "the alarm sounds":
            return [rectangle(Box(x, y - 6, x + 26, y + 6), 1.0, "hatch")]
        case "the limit may be set here":
            return [rectangle(Box(x + 1, y - 5, x + 25, y + 5), 2.5)]
        case "expected":
            return [_diamond(x + 13, y)]
        case "all that is allowed":
            return [rectangle(Box(x, y - 3, x + 26, y + 3), 0.0, "solid")]
        case "aimed at":
            bars = [Path(((end, y - 4), (end, y + 3)), 2.0) for end in (x, x + 26)]
            return [Path(((x, y), (x + 26, y)), 2.0), *bars]
        case _:
            return [Disc(x + 13, y, _RING, "none", 2.0)]


# ---- the same in words


def _cell(row: Row, side: str) -> str:
    limit = next((limit for limit in row.limits if limit.side == side), None)
    if limit is None:
        return "no such limit"
    told = _limit_text(limit, row.unit)
    # a value per kilogram, or one in another unit: beside what it comes to, what is written
    is_same = limit.span is None or limit.written.removeprefix("after ").startswith(told.split(" (")[0])
    return told if is_same else f"{told} (written: {limit.written})"


def _expected_cell(row: Row) -> str:
    marks = row.of("expected")
    if marks:
        return _expected_text(marks[0], row.unit)
    return not_known(row.why) if row.watched.ways else ""


def _others(row: Row, kind: str) -> str:
    return "; ".join(
        ("" if mark.words in (_AIMED, "read") else f"{mark.words} ") + _mark_value(mark, row.unit)
        for mark in row.of(kind)
    )


def _table(rows: list[Row], power: str) -> Table:
    headings = ("quantity", "low limit", "high limit", "expected", "beside it", "aimed at", "read")
    lines = [
        (
            row.watched.name,
            _cell(row, "low"),
            _cell(row, "high"),
            _expected_cell(row),
            *(_others(row, kind) for kind in ("beside", "aimed", "read")),
        )
        for row in rows
    ]
    lines.append(("power loss", power, "", "", "", "", ""))
    return Table("Alarm limits with the values expected, aimed at and read", headings, tuple(lines))


def _alt(rows: list[Row], silent: tuple[str, ...], power: str) -> str:
    told = []
    for row in rows:
        limits = ", ".join(f"{limit.side} {_limit_text(limit, row.unit)}" for limit in row.limits)
        more = [f"expected: {_expected_cell(row)}"] if row.watched.ways else [*_absent(row)]
        more += [_mark_text(mark, row.unit) for mark in row.marks if mark.kind != "expected"]
        told.append("; ".join([f"{row.watched.name}: {limits}", *more]))
    told.append(f"power loss alarm: {power}")
    if silent:
        told.append(f"no limit stated for {', '.join(silent)}")
    return ". ".join(told) + "."


def _notes(rows: list[Row], defined: Mapping[str, Defined]) -> Iterator[str]:
    """Where the expected values come from, each once."""
    ways = dict.fromkeys(mark.way for row in rows for mark in row.of("expected") if mark.way is not None)
    for way in ways:
        for key in dict.fromkeys((way.low, way.high)):
            name = key.split(": ")[-1]
            if key in derived_terms():
                yield f"{name}: {derived_terms()[key].means}"
            elif key in defined:
                source = defined[key].source
                yield f"{name}: {defined[key].means}" + (f"; source: {source}" if source not in _NO_SOURCE else "")
    if any(limit.span is not None and not limit.span.is_point for row in rows for limit in row.limits):
        yield "Where a limit itself may be set from one value to another, both ends are drawn."
    yield "Each row has a scale of its own."
