"""Panels of pressure, flow and volume under one another, on one time axis: breaths as shapes with their labels.

A plain plot, as in a textbook of physiology. Labels stand in the margin at the right, at the height of what they name,
and are moved apart where they would touch. Mandatory breaths are solid, supported ones dashed, alarm limits dotted.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from rxlint.reports.sheet.axes import Scale, nice_ticks, spread, tick_text, whole_steps
from rxlint.reports.sheet.drawing import WIDTH, Disc, Drawing, Path, Shape, Text
from rxlint.reports.sheet.labels import SIZE, SMALL, cut, text_width, wrapped
from rxlint.reports.sheet.labels import shown as visible
from rxlint.reports.sheet.waves_breaths import Breath, Mark, Panel, Style

_LEFT: Final = 46.0  # of the plots: room for the numbers of the axis
_EDGE: Final = 8.0  # of the drawing
_LEADER: Final = 10.0  # from the plots' right edge to a label
_LINE: Final = 15.0  # from one line of text to the next
_MOST: Final = 280.0  # width of a label: none that an order gives comes near it
_HEIGHTS: Final[dict[Panel, float]] = {"pressure": 150.0, "flow": 110.0, "volume": 110.0}
_TITLES: Final[dict[Panel, str]] = {
    "pressure": "Airway pressure, cmH2O above ambient",
    "flow": "Flow, L/min: into the patient above 0, out below",
    "volume": "Volume, mL",
}
_DASHES: Final[dict[Style, tuple[float, str]]] = {
    "mandatory": (2.0, ""),
    "supported": (2.0, "7 4"),
    "lung": (1.0, ""),
    "uncertain": (1.4, "2.5 3"),
}
_ALARM: Final = (1.6, "1.6 3.4")
_LIMIT: Final = (1.0, "12 4")
_THIN: Final = 0.5
_BEFORE: Final = 0.03  # of the time that is drawn: so that a step at its start stands clear of the axis


@dataclass(frozen=True, slots=True)
class Content:
    """What a drawing shows: breaths one after another, the baseline, alarm limits, and what stands in words below."""

    title: str
    alt: str
    breaths: tuple[Breath, ...]
    baseline: Mark
    alarms: tuple[Mark, ...]
    foot: tuple[str, ...]


def drawing_of(content: Content) -> Drawing:
    """The breaths as a drawing."""
    return _Layout(content).drawing()


@dataclass(frozen=True, slots=True)
class _Label:
    level: float
    text: str


class _Layout:
    def __init__(self, content: Content) -> None:
        self.content = content
        self.kinds = frozenset(each.kind for each in content.breaths)
        self.starts = list(itertools.accumulate((each.slot for each in content.breaths), initial=0.0))
        drawn = {line.panel for breath in content.breaths for line in breath.lines}
        self.panels: list[Panel] = [each for each in _HEIGHTS if each in drawn]
        widest = max(
            (text_width(each.text, SIZE) for panel in self.panels for each in self._labels(panel)), default=0.0
        )
        self.right = WIDTH - _EDGE - widest - _LEADER
        self.time = Scale(-_BEFORE * self.starts[-1], self.starts[-1], _LEFT, self.right)

    def drawing(self) -> Drawing:
        shapes: list[Shape] = []
        y = self._heads(shapes)
        for panel in self.panels:
            y = self._panel(shapes, panel, y, is_last=panel == self.panels[-1])
        for text in self.content.foot:
            lines, _ = wrapped(visible(text), WIDTH - 2 * _EDGE, SIZE, most=6)
            for line in lines:
                y += _LINE
                shapes.append(Text(_EDGE, y, line))
        return Drawing(y + _EDGE, self.content.title, self.content.alt, tuple(shapes))

    def _heads(self, shapes: list[Shape]) -> float:
        """The name of each breath above its stretch, with how it is timed; where the plots may begin."""
        lowest = _LINE
        for number, breath in enumerate(self.content.breaths):
            left, right = self.time.at(self.starts[number]), self.time.at(self.starts[number + 1])
            middle = (left + right) / 2
            lines, _ = wrapped(visible(breath.under), right - left - _EDGE, SMALL, most=4)
            shapes.append(Text(middle, _LINE, breath.kind, anchor="middle", bold=True))
            for row, line in enumerate(lines, start=2):
                shapes.append(Text(middle, row * _LINE, line, SMALL, "middle"))
                lowest = max(lowest, row * _LINE)
        return lowest

    # ---- one panel
    def _panel(self, shapes: list[Shape], panel: Panel, y: float, *, is_last: bool) -> float:
        labels = self._labels(panel)
        top = y + 2 * _LINE
        bottom = top + max(_HEIGHTS[panel], (len(labels) - 1) * _LINE + _EDGE)
        scale = self._scale(panel, labels, top, bottom)
        shapes.append(Text(_EDGE, top - _EDGE, self._title(panel)))
        shapes += self._axes(scale, is_last=is_last)
        shapes += self._areas(scale) if panel == "pressure" else ()
        shapes += self._levels(panel, scale)
        for number, breath in enumerate(self.content.breaths):
            for line in breath.lines:
                if line.panel == panel:
                    width, dash = _DASHES[line.style]
                    points = self._points(line.points, number, scale)
                    shapes.append(Path(points, width, dash))
                    if line.style == "uncertain" and line.points[-1][0] < breath.slot:
                        shapes.append(Text(points[-1][0] + 3, points[-1][1] + 2, "…"))
        shapes += self._dots(panel, scale)
        shapes += self._named(labels, scale)
        return bottom + (2 * _LINE + _EDGE / 2 if is_last else 0.0)

    def _title(self, panel: Panel) -> str:
        has_lung = any(line.style == "lung" for breath in self.content.breaths for line in breath.lines)
        if not has_lung:
            return _TITLES[panel] + (" since the start of the breath" if panel == "volume" else "")
        thin = {"pressure": " (thin line: in the lung)", "flow": "", "volume": " above that at the baseline"}
        return _TITLES[panel] + thin[panel]

    def _scale(self, panel: Panel, labels: Sequence[_Label], top: float, bottom: float) -> Scale:
        values = [0.0, *(each.level for each in labels)]
        for breath in self.content.breaths:
            values += [value for line in breath.lines if line.panel == panel for _, value in line.points]
        low, high = min(values), max(values)
        low, high = whole_steps(low, high if high > low else low + 1.0, 6)
        return Scale(low, high, bottom, top)

    def _axes(self, scale: Scale, *, is_last: bool) -> Iterator[Shape]:
        yield Path(((_LEFT, scale.end), (_LEFT, scale.start)))
        ticks = nice_ticks(scale.low, scale.high, 7)
        for tick in ticks:
            y = scale.at(tick)
            yield Path(((_LEFT - 4, y), (_LEFT, y)))
            yield Text(_LEFT - 7, y + 4, tick_text(tick, ticks), SMALL, "end")
        zero = scale.at(max(scale.low, 0.0))
        yield Path(((_LEFT, zero), (self.right, zero)), _THIN)
        for start in self.starts[1:-1]:
            yield Path(((self.time.at(start), scale.end), (self.time.at(start), scale.start)), _THIN, "1 3")
        if is_last:
            yield from self._time_axis(scale.start)

    def _time_axis(self, y: float) -> Iterator[Shape]:
        yield Path(((_LEFT, y), (self.right, y)))
        ticks = nice_ticks(0.0, self.starts[-1], 9)
        for tick in ticks:
            yield Path(((self.time.at(tick), y), (self.time.at(tick), y + 4)))
            yield Text(self.time.at(tick), y + _LINE, tick_text(tick, ticks), SMALL, "middle")
        yield Text(self.right, y + 2 * _LINE, "time, s", SMALL, "end")

    def _areas(self, scale: Scale) -> Iterator[Shape]:
        for number, breath in enumerate(self.content.breaths):
            for area in breath.areas:
                yield Path(self._points(area, number, scale), 0.0, fill="hatch", closed=True)

    def _levels(self, panel: Panel, scale: Scale) -> Iterator[Shape]:
        """Lines across the panel: alarm limits, limits of the ventilator's own pressure, the baseline."""
        found = [(each.level, _ALARM) for each in self.content.alarms if each.panel == panel]
        found += [(each.level, _LIMIT) for each in self._marks(panel) if each.time is None]
        found += [(self.content.baseline.level, (_THIN, ""))] if panel == "pressure" else []
        for level, (width, dash) in dict.fromkeys(found):
            if level is not None:
                yield Path(((_LEFT, scale.at(level)), (self.right, scale.at(level))), width, dash)

    def _dots(self, panel: Panel, scale: Scale) -> Iterator[Shape]:
        """A dot at each number that is labelled, and a thin line from it to the margin."""
        told: set[tuple[str, str]] = set()
        for number, breath in reversed(list(enumerate(self.content.breaths))):
            for mark in breath.marks:
                if mark.panel != panel or mark.level is None or mark.time is None or (mark.short, mark.text) in told:
                    continue
                told.add((mark.short, mark.text))
                x, y = self.time.at(self.starts[number] + mark.time), scale.at(mark.level)
                yield Path(((x, y), (self.right, y)), _THIN)
                yield Disc(x, y, 2.6, "solid", 0.0)

    def _named(self, labels: Sequence[_Label], scale: Scale) -> Iterator[Shape]:
        """The labels in the margin, from top to bottom, each led to its height."""
        ordered = sorted(labels, key=lambda each: (-each.level, each.text))
        wanted = [scale.at(each.level) for each in ordered]
        for label, at, y in zip(ordered, wanted, spread(wanted, _LINE, scale.end, scale.start), strict=True):
            x = self.right + _LEADER
            yield Path(((self.right, at), (x - 3, y)), _THIN)
            yield Text(x, y + 4, label.text)

    def _points(
        self, points: Sequence[tuple[float, float]], number: int, scale: Scale
    ) -> tuple[tuple[float, float], ...]:
        start = self.starts[number]
        return tuple((self.time.at(start + time), scale.at(value)) for time, value in points)

    # ---- words of labels
    def _marks(self, panel: Panel) -> Iterator[Mark]:
        for breath in self.content.breaths:
            yield from (each for each in breath.marks if each.panel == panel and each.level is not None)

    def _labels(self, panel: Panel) -> list[_Label]:
        """Each number once: of one breath by that breath's name, of all of them without a name."""
        found = [
            _Label(each.level or 0.0, f"{each.short} {each.text}")
            for each in self.content.alarms
            if each.panel == panel
        ]
        if panel == "pressure":
            found.append(
                _Label(
                    self.content.baseline.level or 0.0, f"{self.content.baseline.short} {self.content.baseline.text}"
                )
            )
        of: dict[tuple[str, str], tuple[float, set[str]]] = {}
        for breath in self.content.breaths:
            for mark in breath.marks:
                if mark.panel == panel and mark.level is not None:
                    of.setdefault((mark.short, mark.text), (mark.level, set()))[1].add(breath.kind)
        for (short, text), (level, kinds) in of.items():
            name = short or "volume"
            if kinds != self.kinds:
                (kind,) = kinds
                name = f"{short}, {kind}" if short else kind
            found.append(_Label(level, f"{name} {text}"))
        return [_Label(each.level, cut(visible(each.text), _MOST, SIZE)) for each in found]
