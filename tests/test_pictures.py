"""The pictures of README.md are of what the program shows now."""

import re
import xml.etree.ElementTree as ET

import pytest

from rxlint.reports.style import Style
from tests import pictures

RENEW = "python -m tests.pictures --write"
SVG = "{http://www.w3.org/2000/svg}"


def plain(text: str) -> str:
    """A text without colours and without white space, which folding may change."""
    return "".join(re.sub(r"\x1b\[[0-9;]*m", "", text).split())


def test_the_picture_of_a_run_is_fresh() -> None:
    assert (pictures.ROOT / pictures.RUN).read_text("utf-8") == pictures.run_picture(), RENEW


def test_the_picture_of_a_run_says_what_the_run_says_and_nothing_else() -> None:
    told = pictures.run_told()
    picture = ET.fromstring(pictures.run_picture())
    texts = ["".join(each.itertext()) for each in picture.iter(f"{SVG}text")]
    assert plain("\n".join(texts)) == plain(told)
    assert max(map(len, texts)) <= pictures.COLUMNS
    assert {each.tag.removeprefix(SVG) for each in picture.iter()} == {
        *("svg", "title", "style", "rect", "g", "text", "tspan")
    }
    ways = {each.attrib["class"]: "".join(each.itertext()) for each in picture.iter(f"{SVG}tspan")}
    assert ways["reject"] == "reject" and ways["query"] == "query"


def test_marks_become_ways_and_others_are_refused() -> None:
    style = Style(True)
    text = f"a {style.mark('b', 'reject')} <c>\n\n{style.mark('d & e', 'quiet')}"
    assert pictures.marked(text) == [[("a ", ""), ("b", "reject"), (" <c>", "")], [], [("d & e", "quiet")]]
    assert '<tspan class="quiet">d &amp; e</tspan>' in pictures.drawn(pictures.marked(text), "x")
    with pytest.raises(ValueError, match="no style makes"):
        pictures.marked("\x1b[5mblinking")


def test_lines_are_folded_at_spaces_and_a_number_stays_with_its_unit() -> None:
    line = [("    worked out  a calculation of 17 cmH2O ", ""), ("and more", "quiet")]
    rows = ["".join(text for text, _ in row) for row in pictures.folded(line, 36)]
    assert rows == ["    worked out  a calculation of", "                17 cmH2O and more"]
    assert [len(row[0][0]) for row in pictures.folded([("x" * 50, "")], 20)] == [20, 4, 4]
    assert list(pictures.folded([], 20)) == [[]]


@pytest.mark.parametrize("colours", [pictures.LIGHT, pictures.DARK], ids=["light", "dark"])
def test_every_colour_stands_out_from_its_ground(colours: dict[str, str]) -> None:
    """A contrast of at least 4.5 to 1: Web Content Accessibility Guidelines 2.2, success criterion 1.4.3."""
    ground = luminance(colours["ground"])
    for way in (*pictures._WAYS, "plain"):
        light, dark = sorted((ground, luminance(colours[way])), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5, way


def luminance(colour: str) -> float:
    """Relative luminance as the same guidelines define it."""
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


# ---- the sheet

# One grey pixel; the digests say what it is, so any picture will do.
PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010800000000"
    "3a7e9b550000000a49444154789c6368000000820081"
    "77cd72b60000000049454e44ae426082"
)
PAGE = b'<style>p { color: red }</style><p>own</p><section id="found"><p>2</p></section><section id="sums-compared">3'


def test_what_can_be_seen_of_a_page_counts_and_nothing_else() -> None:
    seen = pictures.seen_of(PAGE)
    assert seen == pictures.seen_of(PAGE.replace(b"own", b"OWN") + b"4")
    assert seen != pictures.seen_of(PAGE.replace(b": red", b": blue")) and seen != pictures.seen_of(
        PAGE.replace(b"2", b"1")
    )
    with pytest.raises(ValueError):  # noqa: PT011 - the page is not one of ours
        pictures.seen_of(b"<p>page</p>")


def test_a_picture_carries_the_digests_of_its_page_and_of_its_pixels() -> None:
    signed = pictures.signed(PIXEL, PAGE)
    assert pictures.signature(PIXEL) is None
    assert pictures.signature(signed) == f"{pictures.digest(pictures.seen_of(PAGE))} {pictures.pixels(PIXEL)}"
    assert [kind for kind, _ in pictures.chunks(signed)] == [b"IHDR", b"IDAT", b"tEXt", b"IEND"]
    painted = signed.replace(b"IDAT\x78\x9c\x63\x68", b"IDAT\x78\x9c\x63\x60")
    assert painted != signed and pictures.pixels(painted) not in str(pictures.signature(painted))
    assert pictures.is_blank(PIXEL)
    with pytest.raises(ValueError, match="no PNG"):
        pictures.signature(b"GIF89a")


def test_the_picture_of_the_sheet_is_of_the_page_as_it_is() -> None:
    pytest.importorskip("jinja2", reason="pages are made with the extra `sheet`")
    picture = (pictures.ROOT / pictures.SHEET).read_bytes()
    seen = pictures.seen_of(pictures.sheet_page())
    assert pictures.signature(picture) == f"{pictures.digest(seen)} {pictures.pixels(picture)}", RENEW


# ---- where they are shown


@pytest.mark.parametrize("name", [pictures.RUN, pictures.SHEET])
def test_a_picture_that_is_shown_is_there_and_has_words(name: str) -> None:
    readme = (pictures.ROOT / "README.md").read_text("utf-8")
    shown = re.findall(rf"!\[([^\]]*)\]\({re.escape(name)}\)", readme)
    assert len(shown) == 1 and len(shown[0]) > 100
    assert (pictures.ROOT / name).is_file(), RENEW
