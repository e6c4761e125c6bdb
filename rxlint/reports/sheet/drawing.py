"""A drawing as plain shapes, and the template that makes SVG of them.

All geometry is worked out before; the template only writes it down and escapes every text. Strokes and letters take the
colour of the page's text, so that a drawing serves on white paper and on a dark screen; no meaning lies in a colour.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from rxlint.reports.sheet.axes import Box, number, path
from rxlint.reports.sheet.environment import environment
from rxlint.reports.sheet.labels import SIZE, box_of

WIDTH: Final = 640.0

Fill = Literal["none", "hatch", "solid"]
Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]

_PREFIX: Final = re.compile(r"[A-Za-z][A-Za-z0-9_-]*\Z")
_HEAD: Final = 6.5  # length of an arrow's head; it is as wide


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text by the point of its baseline."""

    x: float
    y: float
    text: str
    size: float = SIZE
    anchor: Anchor = "start"
    bold: bool = False
    kind: Literal["text"] = "text"

    @property
    def box(self) -> Box:
        """About the room that it takes."""
        return box_of(self.text, self.x, self.y, self.size, self.anchor, self.bold)


@dataclass(frozen=True, slots=True)
class Path:
    """A line through points, or the outline of an area; ``dash`` as in SVG."""

    points: tuple[Point, ...]
    width: float = 1.0
    dash: str = ""
    fill: Fill = "none"
    closed: bool = False
    kind: Literal["path"] = "path"

    @property
    def d(self) -> str:
        """Its ``d`` in SVG."""
        return path(self.points) + (" Z" if self.closed else "")


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle."""

    x: float
    y: float
    radius: float
    fill: Fill = "none"
    width: float = 1.0
    kind: Literal["disc"] = "disc"


Shape = Text | Path | Disc


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes on a sheet of a width and a height, with a title and the same in words."""

    height: float
    title: str
    alt: str
    shapes: tuple[Shape, ...]


def rectangle(box: Box, width: float = 1.0, fill: Fill = "none", dash: str = "") -> Path:
    """A rectangle as a path."""
    corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
    return Path(corners, width, dash, fill, closed=True)


def arrow(points: Iterable[Point], width: float = 1.5, dash: str = "", both: bool = False) -> tuple[Path, ...]:
    """A line with a head at its end, or at both ends."""
    line = list(points)
    heads = [_head(line[-2], line[-1])]
    line[-1] = _short(line[-2], line[-1])
    if both:
        heads.append(_head(line[1], line[0]))
        line[0] = _short(line[1], line[0])
    return (Path(tuple(line), width, dash), *heads)


def _short(start: Point, end: Point) -> Point:
    """The end, moved back by most of a head."""
    length = math.dist(start, end) or 1.0
    share = 0.8 * _HEAD / length
    return end[0] - (end[0] - start[0]) * share, end[1] - (end[1] - start[1]) * share


def _head(start: Point, end: Point) -> Path:
    length = math.dist(start, end) or 1.0
    x, y = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    back = end[0] - x * _HEAD, end[1] - y * _HEAD
    half = _HEAD / 2
    return Path(
        (end, (back[0] - y * half, back[1] + x * half), (back[0] + y * half, back[1] - x * half)),
        0.0,
        fill="solid",
        closed=True,
    )


def svg_of(drawing: Drawing, prefix: str) -> str:
    """The drawing as SVG; every id in it begins with the prefix.

    Raises ValueError for a prefix that is no plain name, and ImportError without jinja2.
    """
    if not _PREFIX.match(prefix):
        raise ValueError(f"{prefix!r} does not begin an id")
    template = environment().get_template("drawing.svg")
    return template.render(drawing=drawing, prefix=prefix, width=WIDTH, number=number)
