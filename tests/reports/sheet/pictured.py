"""Scopes of the examples, and what must hold for every picture of the sheet that is drawn of plain shapes."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path

from rxlint.model.facts import Facts, facts_of
from rxlint.reports.sheet.axes import Box
from rxlint.reports.sheet.labels import box_of
from rxlint.reports.sheet.picture import NotDrawn, Picture
from rxlint.screening.ruleset import RuleSet, builtin_rules
from tests.documents import document

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
SVG = "{http://www.w3.org/2000/svg}"
ELEMENTS = {"svg", "title", "desc", "defs", "pattern", "path", "text", "circle"}
PAINTS = {"none", "currentColor"}
WIDTH, LEAST_SIZE = 640.0, 11.0

HOSTILE = "</text><script>alert(1)</script>&amp;\" onload='x' \\u202e ]]> {{ 7*7 }} " + "W" * 300


@cache
def rules() -> RuleSet:
    return builtin_rules()


def scopes(text: str) -> list[Facts]:
    """The facts of a text, with the terms that the rules define."""
    return list(facts_of(document(text), {key: each.node for key, each in rules().defined.items()}))


def scope(text: str) -> Facts:
    (found,) = scopes(text)
    return found


@cache
def of_examples(*patterns: str) -> tuple[tuple[str, Facts], ...]:
    """Scopes of some of the examples, each with the name of its file: of many bands the first two and the last."""
    paths = [path for pattern in patterns for path in sorted(EXAMPLES.glob(pattern))]
    assert paths, patterns
    found = ((path.name, scopes(path.read_text("utf-8"))) for path in paths)
    return tuple((name, facts) for name, every in found for facts in (every[:2] + every[2:][-1:]))


def sound() -> tuple[tuple[str, Facts], ...]:
    return of_examples("sound/*.vrx", "templates/*.vrx")


def drawn(picture: Picture | NotDrawn) -> Picture:
    assert isinstance(picture, Picture), picture
    return picture


def texts(svg: str) -> list[str]:
    return [each.text or "" for each in ET.fromstring(svg).iter(f"{SVG}text")]


def faults(picture: Picture, prefix: str) -> list[str]:
    """What is wrong with a picture: with its markup, or with the places of its labels."""
    root = ET.fromstring(picture.svg)
    found = [*_of_markup(root, prefix), *_of_places(root)]
    if not picture.alt or picture.alt not in (each.text for each in root.iter(f"{SVG}desc")):
        found.append("the words of the picture are not in it")
    if picture.table is None or any(len(row) != len(picture.table.headings) for row in picture.table.rows):
        found.append("a row of the table has another length than its headings")
    return found


def _of_markup(root: ET.Element, prefix: str) -> Iterator[str]:
    ids = [each.attrib["id"] for each in root.iter() if "id" in each.attrib]
    if len(ids) != len(set(ids)) or not all(each.startswith(f"{prefix}-") for each in ids):
        yield f"ids {ids}"
    if root.attrib.get("role") != "img" or not set(root.attrib["aria-labelledby"].split()) <= set(ids):
        yield "not told as an image with its title"
    for each in root.iter():
        name = each.tag.removeprefix(SVG)
        if name not in ELEMENTS:
            yield f"element {name}"
        for attribute, value in each.attrib.items():
            if attribute.startswith("on") or attribute in ("style", "href", "class"):
                yield f"attribute {attribute}"
            if attribute in ("fill", "stroke") and value not in (*PAINTS, f"url(#{prefix}-hatch)"):
                yield f"painted {value}"
            if attribute in ("d", "x", "y", "cx", "cy") and not re.fullmatch(r"[MLZ0-9. -]+", value):
                yield f"{attribute} {value}"
    for each in root.iter(f"{SVG}text"):
        if float(each.attrib["font-size"]) < LEAST_SIZE:
            yield f"small: {each.text}"


def _of_places(root: ET.Element) -> Iterator[str]:
    height = float(root.attrib["height"])
    boxes = [(each.text or "", _box(each)) for each in root.iter(f"{SVG}text")]
    for index, (text, box) in enumerate(boxes):
        if box.left < 0 or box.right > WIDTH or box.top < 0 or box.bottom > height:
            yield f"outside: {text}"
        for other, place in boxes[index + 1 :]:
            if box.meets(place):
                yield f"{text} lies on {other}"
        for x, top, bottom in _uprights(root):
            if box.left + 1 < x < box.right - 1 and top < box.bottom - 2 and bottom > box.top + 2:
                yield f"a line at {x} goes through {text}"


def _box(each: ET.Element) -> Box:
    where = each.attrib
    bold = where.get("font-weight") == "bold"
    anchor = where.get("text-anchor", "start")
    return box_of(each.text or "", float(where["x"]), float(where["y"]), float(where["font-size"]), anchor, bold)


def points(d: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", d)]


def paths(svg: str) -> list[tuple[dict[str, str], list[tuple[float, float]]]]:
    """Every path behind the definitions, with its attributes and its points."""
    root = ET.fromstring(svg)
    return [(each.attrib, points(each.attrib["d"])) for each in root.findall(f"{SVG}path")]


def _uprights(root: ET.Element) -> Iterator[tuple[float, float, float]]:
    for each in root.findall(f"{SVG}path"):
        line = points(each.attrib["d"])
        for (x, y), (x2, y2) in pairwise(line):
            if x == x2:
                yield x, min(y, y2), max(y, y2)
