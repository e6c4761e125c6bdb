"""The picture of the circuit: the parts as they are listed, from the ventilator to the patient, with the way out of
exhaled gas. What is listed in an unusual order is drawn in that order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Final

from rxlint.model.facts import Facts
from rxlint.reports.sheet.axes import Box
from rxlint.reports.sheet.circuit_parts import Circuit, Exit, Part, circuit_of
from rxlint.reports.sheet.drawing import Disc, Drawing, Shape, Text, arrow, rectangle, svg_of
from rxlint.reports.sheet.labels import SIZE, SMALL, wrapped
from rxlint.reports.sheet.picture import NotDrawn, Picture, Table
from rxlint.units import UNITS, show

HEADING: Final = "Circuit as listed"

_LEFT: Final = (44.0, 272.0)  # the column of the assembly
_RIGHT: Final = (372.0, 596.0)  # the column of the expiratory limb
_GAP: Final = 20.0
_LINE, _SMALL_LINE = 15.0, 14.0
_PADDING: Final = 10.0
_OUT: Final = 312.0  # where an arrow out ends
_OUT_WORDS: Final = 356.0
_EDGE: Final = 634.0
_MOST_LINES: Final = 4
_BY_LIMB: Final = "exhaled gas leaves at the ventilator, by way of the expiratory limb"


def circuit_picture(facts: Facts, prefix: str = "circuit") -> Picture | NotDrawn:
    """The circuit of one scope. Raises ImportError without jinja2."""
    circuit = circuit_of(facts)
    if not isinstance(circuit, Circuit):
        return NotDrawn(HEADING, circuit)
    dead = facts.constants.get("apparatus dead space")
    space = show(dead, UNITS["mL"]) if isinstance(dead, Fraction) and dead > 0 else None
    alt = _alt(circuit, space)
    drawing = circuit_drawing(circuit, space, alt)
    svg = svg_of(drawing, prefix)
    table = _table(circuit, space)
    notes = [
        "Parts stand in the order of the order's own list; nothing was put right.",
        "An arrow with two heads: breath goes in and out there.",
    ]
    picture = Picture(HEADING, svg, alt, table, tuple(notes))
    if picture.is_whole:
        return picture
    return replace(picture, notes=(*notes, "A text that ends in an ellipsis stands in full in the table."))


# ---- the drawing


@dataclass(frozen=True, slots=True)
class _Station:
    """A part in its place."""

    box: Box
    lines: tuple[tuple[str, float, bool], ...]  # text, size, bold

    @property
    def middle(self) -> float:
        return (self.box.top + self.box.bottom) / 2


def circuit_drawing(circuit: Circuit, space: str | None, alt: str) -> Drawing:
    """The assembly downwards, and beside it the expiratory limb upwards."""
    shapes: list[Shape] = []
    y = 4.0
    for line in wrapped(f"limb: {circuit.limb}", _EDGE - 8, SIZE, _MOST_LINES, bold=True)[0]:
        y += _LINE
        shapes.append(Text(8, y, line, SIZE, bold=True))
    y += 12
    if any(each.by_limb for each in circuit.exits):
        y += 26
    stations = _column(circuit, y)
    for number, station in enumerate(stations):
        is_patient = number == len(circuit.parts)
        shapes += _station(station, "" if is_patient else str(number + 1), 22.0, 2.5 if is_patient else 1.2)
    shapes += _links(circuit, stations)
    bottom = stations[-1].box.bottom
    for each in circuit.exits:
        if not each.by_limb:
            shapes += _exit(each, stations, circuit.expiratory is not None, circuit)
    if circuit.expiratory is not None:
        bottom = max(bottom, _draw_limb(circuit, circuit.expiratory, stations, shapes))
    bottom = _draw_absent(circuit, bottom + 8, shapes)
    return Drawing(_draw_foot(circuit, space, bottom, shapes) + 10, HEADING, alt, tuple(shapes))


def _lines_of(part: Part, room: float) -> tuple[tuple[str, float, bool], ...]:
    name, _ = wrapped(part.label, room, SIZE, _MOST_LINES, bold=True)
    found = [(line, SIZE, True) for line in name]
    for more in part.more:
        found += [(line, SMALL, False) for line in wrapped(more, room, SMALL, _MOST_LINES)[0]]
    return tuple(found)


def _height(lines: Sequence[tuple[str, float, bool]]) -> float:
    return _PADDING + sum(_LINE if size == SIZE else _SMALL_LINE for _, size, _ in lines)


def _column(circuit: Circuit, top: float) -> list[_Station]:
    """The parts one below the other, the patient last; room is left for a long expiratory limb."""
    room = _LEFT[1] - _LEFT[0] - 16
    patient = Part("patient", "", (f"interface: {circuit.interface}",))
    everything = [_lines_of(part, room) for part in (*circuit.parts, patient)]
    found: list[_Station] = []
    y = top
    for index, lines in enumerate(everything):
        height = max(_height(lines), *(_words_height(each, circuit) for each in _at(index, circuit)), 0.0)
        if index == _joint_row(circuit):
            y = max(y, top + _limb_rise(circuit) - height / 2)
        found.append(_Station(Box(_LEFT[0], y, _LEFT[1], y + height), lines))
        y += height + _GAP
    return found


def _at(index: int, circuit: Circuit) -> list[Exit]:
    if circuit.expiratory is not None:
        return []
    return [each for each in circuit.exits if not each.by_limb and _row_of(each, circuit) == index]


def _row_of(each: Exit, circuit: Circuit) -> int:
    return len(circuit.parts) if each.at is None else each.at


def _words_height(each: Exit, circuit: Circuit) -> float:
    several = len(_at(_row_of(each, circuit), circuit))
    return several * (len(_out_lines(each)) * _LINE + 6)


def _out_lines(each: Exit) -> tuple[str, ...]:
    return wrapped(each.text, _EDGE - _OUT_WORDS, SIZE, _MOST_LINES)[0]


def _joint_row(circuit: Circuit) -> int:
    """The row that the expiratory limb begins at, or is drawn beside."""
    if circuit.expiratory is None:
        return -1
    return circuit.joint if circuit.joint is not None else len(circuit.parts)


def _limb_rise(circuit: Circuit) -> float:
    """How far below the first row the limb has to begin so that its last part stands below that row."""
    if circuit.expiratory is None:
        return 0.0
    room = _RIGHT[1] - _RIGHT[0] - 16
    heights = [_height(_lines_of(part, room)) + _GAP for part in circuit.expiratory]
    return sum(heights) + 40


def _station(station: _Station, number: str, x: float, width: float) -> Iterator[Shape]:
    yield rectangle(station.box, width)
    total = _height(station.lines) - _PADDING
    y = station.middle - total / 2
    for text, size, bold in station.lines:
        y += _LINE if size == SIZE else _SMALL_LINE
        yield Text(station.box.left + 8, y - 4, text, size, bold=bold)
    if number:
        yield Disc(x, station.middle, 11)
        yield Text(x, station.middle + 4, number, SMALL, "middle")


def _links(circuit: Circuit, stations: Sequence[_Station]) -> Iterator[Shape]:
    """Arrows from part to part; on the patient's side of the way out they have two heads."""
    x = (_LEFT[0] + _LEFT[1]) / 2
    turn = circuit.turn
    for index, (upper, lower) in enumerate(pairwise(stations)):
        both = turn is not None and index >= turn
        yield from arrow(((x, upper.box.bottom + 1), (x, lower.box.top - 1)), both=both)


def _exit(each: Exit, stations: Sequence[_Station], has_limb: bool, circuit: Circuit) -> Iterator[Shape]:
    """An arrow out of a part, with its words; beside an expiratory limb the words stand below the drawing."""
    row = _row_of(each, circuit)
    station = stations[row]
    same = [other for other in circuit.exits if not other.by_limb and _row_of(other, circuit) == row]
    y = station.middle + 20 * (same.index(each) - (len(same) - 1) / 2)
    if has_limb:
        yield from arrow(((_LEFT[1] + 1, y + 6), (_OUT - 8, y + 6)), 2.5)
        yield Text(_OUT - 4, y + 10, "OUT", SIZE, bold=True)
        return
    lines = _out_lines(each)
    if len(same) > 1:
        step = (station.box.bottom - station.box.top) / len(same)
        y = station.box.top + step * (same.index(each) + 0.5)
    yield from arrow(((_LEFT[1] + 1, y), (_OUT, y)), 2.5)
    yield Text(_OUT + 4, y + 4, "OUT", SIZE, bold=True)
    first = y + 4 - _LINE * (len(lines) - 1) / 2
    for index, line in enumerate(lines):
        yield Text(_OUT_WORDS, first + _LINE * index, line, SIZE)


def _draw_limb(circuit: Circuit, parts: Sequence[Part], stations: Sequence[_Station], shapes: list[Shape]) -> float:
    """The expiratory limb from its joint up to the ventilator; its bottom is returned."""
    room = _RIGHT[1] - _RIGHT[0] - 16
    start = stations[_joint_row(circuit)].middle
    x = (_RIGHT[0] + _RIGHT[1]) / 2
    placed: list[_Station] = []
    for part in parts:
        lines = _lines_of(part, room)
        height = _height(lines)
        top = start - height / 2 if not placed else placed[-1].box.top - _GAP - height
        placed.append(_Station(Box(_RIGHT[0], top, _RIGHT[1], top + height), lines))
    for number, station in enumerate(placed):
        shapes += _station(station, f"E{number + 1}", 618.0, 1.2)
    for lower, upper in pairwise(placed):
        shapes += arrow(((x, lower.box.top - 1), (x, upper.box.bottom + 1)))
    if circuit.joint is not None and placed:
        shapes += arrow(((_LEFT[1] + 1, start), (_RIGHT[0] - 1, start)))
    top = placed[-1].box.top if placed else start
    _draw_return(circuit, stations, (x, top), shapes)
    bottom = placed[0].box.bottom if placed else start
    words = "" if circuit.joint is not None else "Where this limb joins the other is not stated."
    words = words if placed else "The parts of the expiratory limb could not be read."
    for line in wrapped(words, _RIGHT[1] - _RIGHT[0], SIZE, _MOST_LINES)[0] if words else ():
        bottom += _LINE
        shapes.append(Text(_RIGHT[0], bottom + 2, line, SIZE, bold=True))
    return bottom


def _draw_return(
    circuit: Circuit, stations: Sequence[_Station], start: tuple[float, float], shapes: list[Shape]
) -> None:
    """The line from the limb's last part to the ventilator, and the way out there."""
    x, top = start
    names = [part.name for part in circuit.parts]
    leaves = any(each.by_limb for each in circuit.exits)
    if "ventilator" not in names:
        shapes += arrow(((x, top - 1), (x, top - 26)))
        shapes.append(Text(x + 8, top - 14, "to the ventilator", SIZE))
        return
    station = stations[names.index("ventilator")]
    level = station.middle
    if level < top - 8:
        shapes += arrow(((x, top - 1), (x, level), (_LEFT[1] + 1, level)))
    else:
        channel = (_LEFT[1] + _RIGHT[0]) / 2 + 12
        shapes += arrow(((x, top - 1), (x, top - 12), (channel, top - 12), (channel, level), (_LEFT[1] + 1, level)))
    if leaves and names.index("ventilator") == 0:
        out = _LEFT[0] + 20
        shapes += arrow(((out, station.box.top - 1), (out, station.box.top - 26)), 2.5)
        shapes.append(Text(out + 8, station.box.top - 14, "OUT", SIZE, bold=True))
        passed = all(each.is_passed for each in circuit.exits if each.by_limb)
        words = _BY_LIMB if passed else "no breath comes back here past the speaking valve"
        shapes.append(Text(out + 48, station.box.top - 14, words, SIZE))


def _draw_absent(circuit: Circuit, top: float, shapes: list[Shape]) -> float:
    """That no way out is stated, in a frame."""
    if not circuit.absent:
        return top
    lines = [line for text in circuit.absent for line in wrapped(text, _EDGE - 40, SIZE, _MOST_LINES, bold=True)[0]]
    height = _LINE * len(lines) + 12
    shapes.append(rectangle(Box(8, top, _EDGE, top + height), 2.5))
    shapes += [Text(20, top + 17 + _LINE * index, line, SIZE, bold=True) for index, line in enumerate(lines)]
    return top + height + 4


def _draw_foot(circuit: Circuit, space: str | None, top: float, shapes: list[Shape]) -> float:
    y = top
    texts = list(circuit.beside)
    if circuit.expiratory is not None:
        # by a limb the words stand at the ventilator, if that stands first
        first = bool(circuit.parts) and circuit.parts[0].name == "ventilator"
        texts += [f"OUT: {each.text}." for each in circuit.exits if not (each.by_limb and first)]
    if space is not None:
        texts.append(f"Parts between the way out and the patient hold {space}; mask or tube not counted.")
    for text in texts:
        for line in wrapped(text, _EDGE - 8, SIZE, _MOST_LINES)[0]:
            y += _LINE
            shapes.append(Text(8, y, line, SIZE))
    return y


# ---- the same in words


def _rows(circuit: Circuit) -> Iterator[tuple[str, str, str, str]]:
    for index, part in enumerate(circuit.parts):
        said = [*part.more, *(each.text for each in circuit.exits if each.at == index)]
        yield str(index + 1), part.name, part.size, "; ".join(said)
    for index, part in enumerate(circuit.expiratory or ()):
        yield f"E{index + 1}", part.name, part.size, "; ".join(part.more)


def _table(circuit: Circuit, space: str | None) -> Table:
    rows = [*_rows(circuit), ("", "patient", "", f"interface: {circuit.interface}")]
    rows += [("", "way out", "", each.text) for each in circuit.exits if each.at is None]
    rows += [("", "way out", "", text) for text in circuit.absent]
    rows += [("", "limb", "", circuit.limb)]
    rows += [("", "apparatus dead space", space, "")] if space is not None else []
    rows += [("", "besides", "", text) for text in circuit.beside]
    caption = "Parts from the ventilator to the patient; E: of the expiratory limb, from its joint to the ventilator"
    return Table(caption, ("no.", "part", "size", "said of it"), tuple(rows))


def _alt(circuit: Circuit, space: str | None) -> str:
    told = [f"Limb: {circuit.limb}"]
    if circuit.parts:
        told.append(f"from ventilator to patient: {', '.join(part.label for part in circuit.parts)}")
    if circuit.expiratory is not None:
        told.append(f"expiratory limb: {', '.join(part.label for part in circuit.expiratory) or 'not read'}")
    told.append(f"interface: {circuit.interface}")
    told += [each.text for each in circuit.exits]
    told += [text.rstrip(".") for text in circuit.absent]
    told += (
        [f"parts between the way out and the patient hold {space}, mask or tube not counted"]
        if space is not None
        else []
    )
    told += [text.rstrip(".") for text in circuit.beside]
    return ". ".join(told) + "."
