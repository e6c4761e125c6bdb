"""Sheets and their index in a real browser, from the disk: shown, printed, reached by everybody, moved by no text.

Each test skips where Chromium, its driver, pdftotext or npm is missing. One browser serves them all.
"""

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import pytest
from click.testing import CliRunner, Result

from tests.conftest import ROOT
from tests.reports.sheet import hostile
from tests.reports.sheet.browser import (
    DESK,
    MARGINS,
    NARROWEST,
    PAPERS,
    PHONE,
    Browser,
    Leaf,
    axe_source,
    barriers,
    browser,
    leaves,
    squeezed,
)
from tests.reports.sheet.looking import (
    cut_on_paper,
    pictures_out_of_reach,
    press,
    rows_shown,
    sideways,
    spilled,
    texts_seen,
    unseen_headings,
    walked,
)
from tests.reports.sheet.pages import read

pytest.importorskip("jinja2")
pytest.importorskip("selenium")

DAY: Final = "2026-11-24"
ORDERS: Final = {
    "periods": "examples/sound/TM-0505-adolescent-mouthpiece-day-mask-night.vrx",
    "template": "examples/templates/tracheostomy-night.vrx",
    "slip": "examples/slips/cylinder-half-empty.vrx",
    "unread-in-part": "tests/cases/sheets/unread-in-part.vrx",
    "unread": "tests/cases/sheets/unread.vrx",
}
"""Several periods; ranges instead of values; findings to reject; lines, and a whole file, that can't be read."""
NAMED: Final = {
    "periods": "TM-0505, revision 4",
    "template": "tracheostomy-night, revision 5",
    "slip": "TM-0812, revision 1",
    "unread-in-part": "TM-9102, no revision stated",
}
"""What has to stand on each page of paper."""
BEHIND: Final = "Then, what rxlint worked out"
_PX: Final = 96 / 25.4  # CSS pixels a millimetre
_PT: Final = 72 / 25.4

sheets = pytest.mark.parametrize("name", list(NAMED))
pages = pytest.mark.parametrize("name", [*NAMED, "unread", "index"])
papers = pytest.mark.parametrize("paper", list(PAPERS))


def _run(*arguments: str) -> Result:
    from rxlint.cli import main

    return CliRunner().invoke(main, ["sheet", "--on", DAY, *arguments], catch_exceptions=False)


@pytest.fixture(scope="module")
def at(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with browser(tmp_path_factory.mktemp("profile")) as found:
        yield found


@pytest.fixture(scope="module")
def made(at: Browser, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of pages of the orders, with the policy of the examples. Made where there is a browser alone."""
    top = tmp_path_factory.mktemp("library")
    (top / "rxlint.yaml").write_text("policies: [policy.yaml]\n", "utf-8")
    (top / "policy.yaml").write_bytes((ROOT / "examples" / "tarnmoor-policy.yaml").read_bytes())
    (top / "orders").mkdir()
    for name, path in ORDERS.items():
        (top / "orders" / f"{name}.vrx").write_bytes((ROOT / path).read_bytes())
    assert at is not None
    assert _run(str(top / "orders"), "-o", str(top / "pages")).exit_code == 3  # one file is no text
    return top / "pages"


@pytest.fixture(scope="module")
def attacked(at: Browser, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of pages of a library that attacks whoever looks at it."""
    orders = hostile.library(tmp_path_factory.mktemp("hostile") / "top")
    assert at is not None
    result = _run(str(orders), "-o", str(orders.parent / "pages"), "--ventilator", "Crook")
    assert result.exit_code == 3 and not set(result.output) & set("\x1b\x07\u202e")
    return orders.parent / "pages"


# ---- on screen


@pages
def test_a_page_shows_every_section_and_asks_for_nothing(at: Browser, made: Path, name: str) -> None:
    page = made / f"{name}.html"
    at.open(page)
    seen = at.seen()
    assert seen.asked == [page.as_uri()]
    assert seen.logged == [] and seen.dialogs == []
    assert unseen_headings(at) == []
    for each in read(page.read_text("utf-8")).walk():
        if each.name == "section":
            assert squeezed(each.words).startswith(at.text(f"#{each.attributes['id']} :is(h2, h3, h4)"))


def test_what_no_page_may_do_would_be_seen(at: Browser, tmp_path: Path) -> None:
    acting = "<script>window.pwned=1;setTimeout(() => alert('spoke up'))</script><img src='http://outside.example/x'>"
    free, bound = tmp_path / "free.html", tmp_path / "bound.html"
    free.write_text(f"<!doctype html><h1>a</h1>{acting}", "utf-8")
    policy = "<meta http-equiv='Content-Security-Policy' content=\"default-src 'none'\">"
    bound.write_text(f"<!doctype html>{policy}<p>{acting}", "utf-8")
    at.open(free)
    assert at.run("return window.pwned") == 1
    seen = at.seen()
    assert seen.outside == ["http://outside.example/x"]
    assert seen.dialogs == ["spoke up"]
    at.open(bound)
    assert at.run("return typeof window.pwned") == "undefined"
    assert len([each for each in at.seen().logged if "Content Security Policy" in each]) == 2


def test_a_text_that_runs_out_of_its_place_would_be_seen(at: Browser, tmp_path: Path) -> None:
    wide = tmp_path / "wide.html"
    cells = "<tr><th>a</th><td><span style='white-space: nowrap'>14 to 18 cmH2O in steps of 1</span></td></tr>"
    table = f"<table style='table-layout: fixed; width: 120px'>{cells * 4}</table><p style='width: 3000px'>b</p>"
    wide.write_text(f"<!doctype html><h1>a</h1><h2></h2>{table}", "utf-8")
    at.open(wide)
    assert len(spilled(at)) == 4 and sideways(at) > 1000 and unseen_headings(at) == [""]
    assert len(cut_on_paper(at, 5)) == 4


@pytest.mark.parametrize("width", [DESK, DESK // 2, PHONE, NARROWEST])  # the second: a page of 1280 at twice its size
@pages
def test_no_text_runs_out_of_its_place(at: Browser, made: Path, name: str, width: int) -> None:
    at.open(made / f"{name}.html", width)
    assert spilled(at) == []
    assert sideways(at) == 0
    assert pictures_out_of_reach(at) == 0


@pages
def test_with_letters_of_twice_the_size_nothing_is_lost(at: Browser, made: Path, name: str) -> None:
    at.open(made / f"{name}.html")
    before = texts_seen(at)
    assert len(before) > 5 and all(seen for _, seen in before)
    at.letters(32)
    try:
        assert at.run("return getComputedStyle(document.body).fontSize") == "32px"
        assert texts_seen(at) == before
        assert spilled(at) == [] and sideways(at) == 0
    finally:
        at.letters(16)


# ---- with a keyboard


@pages
def test_the_keyboard_reaches_all_there_is_and_shows_where_it_is(at: Browser, made: Path, name: str) -> None:
    at.open(made / f"{name}.html")
    wanted, reached = walked(at)
    assert wanted[0] in ("#main", "#documents") and len(wanted) > 1
    assert [each["name"] for each in reached] == wanted
    assert [each["name"] for each in reached if not each["marked"] or not each["room"]] == []


def test_the_filters_of_the_index_work_by_keyboard_alone(at: Browser, made: Path) -> None:
    from selenium.webdriver import Keys

    at.open(made / "index.html")
    rows = rows_shown(at)
    assert len(rows) == len(ORDERS)
    press(at, Keys.TAB, Keys.TAB)
    found = {}
    for each in ("reject", "query", "note", "nothing", "unread"):
        press(at, Keys.ARROW_RIGHT)
        assert at.run("return document.activeElement.id") == f"state-{each}"
        found[each] = rows_shown(at)
    assert found["reject"] and all("to reject" in row for row in found["reject"])
    assert found["nothing"] and all("nothing found" in row for row in found["nothing"])
    assert len(found["unread"]) == 1 and "unread.vrx" in found["unread"][0]
    assert sorted(row for each in found.values() for row in each) == sorted(rows)
    press(at, Keys.ARROW_RIGHT)  # round, to all
    assert rows_shown(at) == rows
    press(at, Keys.TAB, Keys.ARROW_RIGHT)
    assert at.run("return document.activeElement.id") == "kind-prescription"
    assert len(rows_shown(at)) == 3 and not any("template" in row.splitlines()[2:] for row in rows_shown(at))
    press(at, Keys.ARROW_RIGHT)
    (template,) = rows_shown(at)
    assert "template.vrx" in template
    at.show(DESK, paper=True)
    assert rows_shown(at) == rows, "a filter of the screen must not leave a document out on paper"


def test_a_link_of_the_index_leads_to_a_sheet(at: Browser, made: Path) -> None:
    at.open(made / "index.html")
    at.driver.find_element("css selector", "#documents tbody a").click()
    assert at.driver.current_url.startswith(made.as_uri()) and at.text("#own-title") == squeezed(
        "First, your own check"
    )


# ---- for everybody


@pytest.fixture(scope="module")
def axe(at: Browser, tmp_path_factory: pytest.TempPathFactory) -> str:
    assert at is not None
    return axe_source(tmp_path_factory.getbasetemp())


def test_a_barrier_would_be_seen(at: Browser, axe: str, tmp_path: Path) -> None:
    page = tmp_path / "barred.html"
    page.write_text(
        "<!doctype html><p style='color: #aaa; background: #fff'>grey on white</p><img src='data:,'>", "utf-8"
    )
    at.open(page)
    found = {each.partition(":")[0] for each in barriers(at, axe)}
    assert {"color-contrast", "image-alt", "html-has-lang", "document-title", "region"} <= found


# All pages have one style sheet; its colours change with light, its layout with width. So each page is looked at in
# both lights and in both layouts, and one sheet and the index in all four ways.
_LOOKS: Final = [
    pytest.param(name, width, dark, id=f"{name}-{width}-{'dark' if dark else 'light'}")
    for name in (*NAMED, "unread", "index")
    for width in (DESK, PHONE)
    for dark in (False, True)
    if name in ("slip", "index") or (width == PHONE) == dark
]


@pytest.mark.parametrize(("name", "width", "dark"), _LOOKS)
def test_there_is_no_barrier_that_axe_knows(
    at: Browser, made: Path, axe: str, name: str, width: int, dark: bool
) -> None:
    at.open(made / f"{name}.html", width, dark=dark)
    assert (at.run("return getComputedStyle(document.body).backgroundColor") != "rgb(255, 255, 255)") == dark
    assert barriers(at, axe) == []


# ---- on paper


@dataclass(frozen=True)
class Printed:
    """A page as printed, with how high its two parts and how many pictures it has, by the layout for that paper."""

    leaves: list[Leaf]
    own: float
    found: float
    pictures: int
    texts: list[list[str]]
    messages: list[str]
    answers: list[str]
    written: str

    @property
    def secret(self) -> set[str]:
        """What follows from the order and is not written in it."""
        ways = {each: (each, _SHORT.sub(r"\1 to \3 \2", " ".join(each.split()))) for each in self.answers}
        return {each for each, said in ways.items() if not any(_says(self.written, way) for way in said)}


_SHORT: Final = re.compile(r"^(\S+) (\S+) to (\S+) \2$")  # a range as the page tells it, which an order may shorten


def _says(text: str, value: str) -> bool:
    """Whether a text says a value, and not only as part of a longer number; it may break in it."""
    inner = r"\s*".join(map(re.escape, value.split()))
    return re.search(rf"(?<![\w.:]){inner}(?![\w.])", text) is not None


_MEASURED: Final = """
const high = id => document.getElementById(id).getBoundingClientRect().height;
const words = (where, what) => [...document.querySelectorAll(where)].map(each => each[what]);
return {own: high("own"), found: high("found"), pictures: document.querySelectorAll("figure").length,
  texts: [...document.querySelectorAll("svg")].map(each => [...each.querySelectorAll("text")].map(t => t.textContent)),
  messages: words(".finding .message", "innerText"),
  answers: words("#sums-compared td.big, #values td.big", "innerText"),
  written: words("#text .code", "innerText").join(" ")};
"""


def _room(paper: str) -> tuple[float, float]:
    """Width and height of the text on a paper, in pixels."""
    width, height = PAPERS[paper]
    top, right, bottom, left = MARGINS
    return (width - left - right) * _PX, (height - top - bottom) * _PX


@pytest.fixture(scope="module")
def printed(at: Browser, made: Path, request: pytest.FixtureRequest) -> Printed:
    name, paper = request.param
    at.open(made / f"{name}.html")
    pdf = leaves(at.printed(paper))
    at.show(round(_room(paper)[0]), paper=True)
    return Printed(pdf, **at.run(_MEASURED))


_ON_PAPER: Final = [pytest.param((name, paper), id=f"{name}-{paper}") for name in NAMED for paper in PAPERS]
on_paper = pytest.mark.parametrize("printed", _ON_PAPER, indirect=True)


@on_paper
def test_every_leaf_says_whose_it_is_and_which(printed: Printed, request: pytest.FixtureRequest) -> None:
    name, paper = request.node.callspec.params["printed"]
    width, height = PAPERS[paper]
    top, right, bottom, left = (mm * _PT for mm in MARGINS)
    for number, leaf in enumerate(printed.leaves, 1):
        assert (leaf.width, leaf.height) == pytest.approx((width * _PT, height * _PT), abs=1)
        above = squeezed("".join(each.text for each in leaf.words if each.bottom < top))
        below = squeezed("".join(each.text for each in leaf.words if each.top > leaf.height - bottom))
        assert above.startswith(squeezed(NAMED[name])), f"page {number}: {above}"
        assert below.endswith(f"Page{number}of{len(printed.leaves)}"), below
        for word in leaf.words:
            assert word.left >= left - 1 and word.right <= leaf.width - right + 1, f"page {number}: {word}"


@on_paper
def test_there_are_as_many_leaves_as_the_layout_needs(printed: Printed, request: pytest.FixtureRequest) -> None:
    _, paper = request.node.callspec.params["printed"]
    high = _room(paper)[1]
    least = math.ceil(printed.own / high) + math.ceil(printed.found / high)
    # What is not to be cut may leave the rest of a page empty: each picture, and the end of each part.
    assert least <= len(printed.leaves) <= least + printed.pictures + 2
    assert all(len(leaf.words) > 20 for leaf in printed.leaves), "a page with nothing on it"


@on_paper
def test_no_answer_stands_before_the_checker_s_own_part_ends(printed: Printed, request: pytest.FixtureRequest) -> None:
    name, _ = request.node.callspec.params["printed"]
    (turn,) = [number for number, leaf in enumerate(printed.leaves) if squeezed(BEHIND) in leaf.text]
    front, behind = printed.leaves[:turn], printed.leaves[turn:]
    assert front and "nottobeusedalone" in front[-1].text
    for leaf in front:
        assert "Yourowncheck:nottobeusedalone" in leaf.text
        assert not {"\u25a0", "\u25c6", "\u25cb", "reject", "query"} & {word.text for word in leaf.words}
    own, found = (" | ".join(leaf.told for leaf in part) for part in (front, behind))
    assert len(printed.secret) >= 5 or name == "unread-in-part"
    assert [each for each in printed.secret if _says(own, each)] == []
    assert [each for each in printed.secret if not _says(found, each)] == []
    for message in printed.messages:
        assert squeezed(message) not in "".join(leaf.text for leaf in front)
        assert squeezed(message) in "".join(leaf.text for leaf in behind)


@on_paper
def test_no_picture_and_no_row_is_cut(at: Browser, printed: Printed, request: pytest.FixtureRequest) -> None:
    name, paper = request.node.callspec.params["printed"]
    for texts in printed.texts:
        wanted = [squeezed(each) for each in texts]
        assert any(all(each in leaf.text for each in wanted) for leaf in printed.leaves), wanted
    assert at.driver.current_url.endswith(f"/{name}.html")
    width, height = _room(paper)
    at.show(round(width), paper=True)
    assert cut_on_paper(at, height) == []
    assert spilled(at) == []


# ---- against attacks


_EVER_MADE: Final = """
const made = [...document.querySelectorAll("*")];
return made.filter(each => /^(script|img|iframe|object|embed|b|i|base|form|link)$/i.test(each.tagName)
  || [...each.attributes].some(a => /^on|^src|^style$/i.test(a.name) || /^\\s*javascript:/i.test(a.value)))
  .map(each => each.outerHTML.slice(0, 200));
"""


def _shown(text: str, names: Sequence[str]) -> set[str]:
    """The attacks that are shown as text, whether as a reader of the order would see it or as it is written."""
    either = {name: (hostile.seen(hostile.attack(name)), hostile.seen(hostile.escaped(name))) for name in names}
    return {name for name, told in either.items() if any(each in text for each in told)}


@pytest.mark.parametrize("bypassed", [False, True], ids=["with-its-policy", "without-its-policy"])
def test_an_attack_is_shown_as_text_and_does_nothing(at: Browser, attacked: Path, bypassed: bool) -> None:
    """Escaping alone must do: it holds also where a browser takes no notice of the page's policy."""
    wanted = {
        "file*.html": (*hostile.QUOTED, "comment", *hostile.OF_POLICY, *hostile.OF_PROFILE),
        "spoilt.html": hostile.BARE,
        "no_text.html": ("bytes",),
        "index.html": ("title",),
    }
    at.command("Page.setBypassCSP", enabled=bypassed)
    try:
        for pattern, names in wanted.items():
            (page,) = attacked.glob(pattern)
            at.open(page, PHONE)
            assert _shown(at.text(), names) == set(names)
            assert at.run("return typeof window.pwned") == "undefined"
            assert at.run(_EVER_MADE) == []
            assert spilled(at) == [] and sideways(at) == 0
            seen = at.seen()
            assert (seen.asked, seen.dialogs, seen.logged) == ([page.as_uri()], [], [])
    finally:
        at.command("Page.setBypassCSP", enabled=False)


def test_names_of_files_and_folders_are_shown_as_text(at: Browser, attacked: Path) -> None:
    at.open(attacked / "index.html")
    text = at.text()
    assert hostile.seen(hostile.folder_name()) in text and hostile.seen(hostile.file_name()) in text
    assert hostile.seen(hostile.folder_name()) in squeezed(at.driver.title)
    (page,) = attacked.glob("file*.html")
    at.open(page)
    assert hostile.seen(hostile.file_name()) in at.text("#about")
    assert not set(at.run("return document.documentElement.outerHTML")) & set("\u202e\u2069\u200b\x1b\x07")


def test_an_attack_on_paper_stays_a_text_within_the_margins(at: Browser, attacked: Path) -> None:
    (page,) = attacked.glob("file*.html")
    at.open(page)
    printed = leaves(at.printed("A4"))
    assert all(leaf.text.startswith("TM-1,revision1") for leaf in printed)
    edge = printed[0].width - MARGINS[1] * _PT
    assert [word for leaf in printed for word in leaf.words if word.right > edge + 1] == []
