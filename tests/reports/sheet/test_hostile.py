"""Hostile text in every field of a document: shown as text, never acted on."""

import pytest

from tests import sheets
from tests.reports.sheet.pages import Element, read

pytest.importorskip("jinja2")

EVIL = (
    "</style><script>alert(1)</script><img src=x onerror=alert(2)>'`{{7*7}}{% raw %}&lt;\u202egnp\u2066\u200b\x1b[31m"
)
ESCAPED = EVIL.replace("\\", "\\\\").replace('"', '\\"')

ORDER = f'''# {EVIL}
prescription "{ESCAPED}"
  id        TM-1
  revision  1
  written   2026-11-02 09:30 by "{ESCAPED}"
patient
  age         54 years
  sex         male
  height      178 cm
  weight      81 kg measured 2026-10-30
  indication  "{ESCAPED}"
circuit
  ventilator  "{ESCAPED}"
  limb        dual
  assembly    ventilator, filter, {EVIL}
settings
  mode  A/C-PC
  PEEP  5 cmH2O {EVIL}
  {EVIL}  12
  inspiratory pressure  17 cmH2O above ambient
  rate  20 /min
  inspiratory time  1 s
alarms
  apnoea  off because "{ESCAPED}"
  high inspiratory pressure  16 cmH2O
escalation
  call "{ESCAPED}" when SpO2 below 90 %
  ceiling "{ESCAPED}"
accepted
  accept alarms.crosses-setting on high inspiratory pressure until 2027-01-12 because "{ESCAPED}" by "{ESCAPED}"
{EVIL}
  rate 3 /min
checked 2026-11-02 16:05 by "{ESCAPED}"
'''


@pytest.fixture(scope="module")
def page() -> str:
    from rxlint.reports.sheet.render import sheet_html

    return sheet_html(sheets.sheet_of_bytes(ORDER.encode(), f"{EVIL}.vrx"))


def test_no_element_and_no_attribute_comes_from_a_document(page: str) -> None:
    root = read(page)
    names = {each.name for each in root.walk()}
    assert not names & {"script", "img", "b"}
    for each in root.walk():
        assert not [name for name in each.attributes if name.startswith("on") or name == "src"]
    assert len(root.all("style")) == 1


def test_the_style_sheet_holds_nothing_of_it_that_could_act(page: str) -> None:
    style = page[page.index("<style>") : page.index("</style>")]
    assert "script" not in style and "alert" not in style and "onerror" not in style


def test_no_character_hides_or_turns_text_round(page: str) -> None:
    assert not set("\u202e\u2066\u200b\x1b") & set(page)
    assert "&lt;U+202E&gt;gnp" in page


def test_it_is_shown_as_it_stands(page: str) -> None:
    root = read(page)
    seen = EVIL.replace("\u202e", "<U+202E>").replace("\u2066", "<U+2066>").replace("\u200b", "<U+200B>")
    seen = " ".join(seen.replace("\x1b", "<U+001B>").split())
    for place in ("identity", "order", "text", "alarms", "findings"):
        assert seen in root.by_id(place).words, place
    assert "49" not in _template_marks(root)


def _template_marks(root: Element) -> str:
    """What would stand in the title if a template had read it."""
    title = root.all("title")[0].words
    assert "{{7*7}}" in title
    return title


def test_hostile_bytes_that_are_no_document_are_shown_too() -> None:
    from rxlint.reports.sheet.render import sheet_html

    page = sheet_html(sheets.sheet_of_bytes(b"<script>alert(1)</script>\xff\n\xe2\x80\xae<b>", "x.vrx"))
    root = read(page)
    assert not root.all("script") and not root.all("b")
    assert "<script>alert(1)</script>\\xff" in root.by_id("text").words
    assert "\u202e" not in page
