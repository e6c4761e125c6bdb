"""The page of a sheet as a document: it runs and fetches nothing, has an order, and its first part holds no answer."""

import base64
import hashlib
import re
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from rxlint.reports.sheet.rows import Sheet
from rxlint.screening.derived_values import values_of
from rxlint.screening.values import show_number
from tests import sheets
from tests.conftest import ROOT
from tests.reports.sheet.pages import Element, read

pytest.importorskip("jinja2")

ORDERS = (
    ROOT / "tests" / "cases" / "sheets" / "order.vrx",
    ROOT / "tests" / "cases" / "sheets" / "template.vrx",
    ROOT / "examples" / "sound" / "TM-0417-tracheostomy-night.vrx",
    ROOT / "examples" / "sound" / "TM-0508-adult-lung-protective.vrx",
    ROOT / "examples" / "sound" / "TM-0512-adult-transfer.vrx",
    ROOT / "examples" / "sound" / "TM-0505-adolescent-mouthpiece-day-mask-night.vrx",
    ROOT / "examples" / "slips" / "peep-raised-alone.vrx",
)
PAGES = (*ORDERS, *(ROOT / "tests" / "cases" / "sheets" / f"{name}.vrx" for name in ("unread", "unread-in-part")))


@cache
def sheet(path: Path) -> Sheet:
    return sheets.sheet_of_bytes(path.read_bytes(), path.name)


@cache
def page(path: Path) -> str:
    from rxlint.reports.sheet.render import sheet_html

    return sheet_html(sheet(path))


@cache
def tree(path: Path) -> Element:
    return read(page(path))


paths = pytest.mark.parametrize("path", [pytest.param(each, id=each.stem) for each in PAGES])
orders = pytest.mark.parametrize("path", [pytest.param(each, id=each.stem) for each in ORDERS])


@paths
def test_it_runs_nothing_and_asks_for_nothing(path: Path) -> None:
    elements = list(tree(path).walk())
    assert not {each.name for each in elements} & {"script", "link", "iframe", "object", "embed", "form", "img", "base"}
    for each in elements:
        assert not [name for name in each.attributes if name.startswith("on") or name in ("style", "src", "srcset")]
        assert each.attributes.get("href", "#").startswith("#")
    assert "@import" not in page(path) and "url(http" not in page(path)


@paths
def test_its_policy_allows_its_own_style_sheet_alone(path: Path) -> None:
    (policy,) = [
        each.attributes["content"] for each in tree(path).all("meta") if "http-equiv" in each.attributes
    ]  # fmt: skip
    (style,) = re.findall(r"<style>(.*?)</style>", page(path), re.DOTALL)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert policy.split("; ") == [
        "default-src 'none'", f"style-src 'sha256-{digest}'", "img-src data:", "base-uri 'none'", "form-action 'none'"
    ]  # fmt: skip


@paths
def test_headings_stand_in_order_and_names_are_told_once(path: Path) -> None:
    root = tree(path)
    levels = [int(each.name[1]) for each in root.walk() if re.fullmatch("h[1-6]", each.name)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels)), levels
    ids = [each.attributes["id"] for each in root.walk() if "id" in each.attributes]
    assert len(ids) == len(set(ids))
    links = {each.attributes["href"][1:] for each in root.all("a")}
    assert links <= set(ids)
    assert root.all("html")[0].attributes["lang"] == "en-GB" and root.all("title")[0].words
    assert next(each for each in root.walk() if each.name == "a").attributes["href"] == "#main"


@paths
def test_tables_have_captions_and_headings_with_a_scope(path: Path) -> None:
    for table in tree(path).all("table"):
        assert table.all("caption") and table.all("caption")[0].words
        assert all("scope" in each.attributes for each in table.all("th"))


@orders
def test_every_drawing_has_its_text(path: Path) -> None:
    drawings = tree(path).all("svg")
    for each in drawings:
        assert each.attributes["role"] == "img"
        named = [tree(path).by_id(name) for name in each.attributes["aria-labelledby"].split()]
        assert all(other.words for other in named)
    assert path.stem == "template" or drawings


@orders
def test_levels_are_words_and_shapes_of_their_own(path: Path) -> None:
    found = {each.words for each in tree(path).of_class("level")}
    assert found <= {"\u25a0 to reject", "\u25c6 query", "\u25cb note"}


# ---- the first part


@orders
def test_the_first_part_holds_no_value_that_follows(path: Path) -> None:
    text = path.read_text("utf-8")
    own = tree(path).by_id("own").words
    document = sheets.screened(path.read_bytes()).document
    assert document is not None
    told = {
        show_number(end, value.unit, value.term) for value in values_of(document) for end in (value.low, value.high)
    }
    answers = {row.value for group in sheet(path).values.values for row in group.rows}
    written = " ".join(text.split())
    secret = [each for each in told | answers if not _says(written, each)]
    assert len(secret) >= 5, "the order states all that follows from it"
    assert [each for each in secret if _says(own, each)] == []


def _says(text: str, value: str) -> bool:
    """Whether a text says a value, and not only as part of a longer number."""
    return re.search(rf"(?<![\w.:]){re.escape(value)}(?![\w.])", text) is not None


@paths
def test_the_first_part_says_nothing_of_what_was_found(path: Path) -> None:
    own = tree(path).by_id("own")
    words = own.words
    findings = sheet(path).findings
    for row in (*findings.counting, *findings.accepted, *findings.known):
        assert row.message not in words and row.rule not in words
    assert not own.of_class("level") and not own.of_class("finding") and not own.of_class("rule")
    assert "this part is not to be used alone" in words.lower()
    assert "A screening aid, not a medical device." in words


@orders
def test_every_blank_has_its_answer_behind_it_under_the_same_number(path: Path) -> None:
    root = tree(path)
    asked = [int(each.attributes["value"]) for each in root.by_id("sums").all("li")]
    answered = [
        int(row.of_class("number")[0].words) for row in root.by_id("sums-compared").all("tr") if row.of_class("number")
    ]
    assert asked == answered == list(range(1, len(asked) + 1))
    assert len(asked) >= 5


@orders
def test_every_line_that_is_ordered_stands_in_the_first_part(path: Path) -> None:
    words = "".join(tree(path).by_id("order").text.replace("\u2212", "-").split())
    document = sheets.screened(path.read_bytes()).document
    assert document is not None
    for block in document.blocks:
        if block.section in ("head", "accepted", "checked"):
            continue
        for entry in block.details:
            assert "".join(entry.text.split()) in words


# ---- what could not be read


def test_a_file_that_is_no_text_says_so_on_top_and_shows_what_there_is() -> None:
    root = tree(PAGES[-2])
    assert "could not be read" in root.by_id("unread").words
    assert "PEEP 5 cmH2O \\xff\\xfe" in root.by_id("text").words
    assert root.by_id("own").all("li") == []


def test_lines_that_could_not_be_read_are_told_on_top_and_shown() -> None:
    root = tree(PAGES[-1])
    assert "7, 8, 9, 10, 11" in root.by_id("unread").words
    shown = root.by_id("unread-lines").words
    assert '<b onclick="x">inspiratory time</b> 1 s' in shown and "1O /min" in shown
