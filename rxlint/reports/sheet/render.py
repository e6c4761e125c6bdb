"""Sheets and index pages as HTML: one file each, that asks for nothing from outside and runs nothing."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rxlint import __version__
from rxlint.packs import LEVELS, Level
from rxlint.reports.caution import CAUTION
from rxlint.reports.sheet.content_index import NOTHING, IndexRow
from rxlint.reports.sheet.content_own import has_parts
from rxlint.reports.sheet.environment import environment
from rxlint.reports.sheet.rows import Sheet
from rxlint.reports.sheet.typeset import pieces, style_string, visible

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

GENERATOR: Final = "rxlint sheet"
"""By this a page is known to be one of ours, which may be written anew."""
NONE: Final = "\u2013"
SHAPES: Final[dict[Level, str]] = {"reject": "\u25a0", "query": "\u25c6", "note": "\u25cb"}
WORDS: Final[dict[Level, str]] = {"reject": "to reject", "query": "query", "note": "note"}
MEANINGS: Final[dict[Level, str]] = {
    "reject": "not to be used as written",
    "query": "ask the prescriber",
    "note": "worth knowing",
}
_STYLES: Final = Path(__file__).parent / "templates"
_CONTENTS: Final[tuple[tuple[str, str], ...]] = (
    ("findings", "Findings"),
    ("changes", "Changes"),
    ("not-checked", "Not checked"),
    ("text", "Text of the order"),
    ("sums-compared", "Your sums"),
    ("settings", "Settings"),
    ("alarms", "Alarms"),
    ("circuit", "Circuit"),
    ("oxygen", "Oxygen"),
    ("breaths", "Breaths"),
    ("set-up", "Set-up list"),
    ("values", "What follows"),
    ("signatures", "Signatures"),
)
_OF_UNREAD: Final = frozenset({"findings", "not-checked", "changes", "text", "signatures"})


_STATES: Final = (
    ("all", "all"), ("reject", "to reject"), ("query", "query at most"), ("note", "notes alone"),
    ("nothing", "nothing found"), ("unread", "unread or failed"),
)  # fmt: skip
_KINDS: Final = (("all", "all"), ("prescription", "prescriptions"), ("template", "templates"), ("other", "others"))


@cache
def page_environment() -> Environment:
    """The environment of whole pages. Raises ImportError without jinja2."""
    from markupsafe import Markup

    pages = environment().overlay()
    pages.filters = {**pages.filters, "pieces": pieces, "visible": visible, "svg": Markup}
    pages.globals = {**pages.globals, "shapes": SHAPES, "words": WORDS, "none_mark": NONE, "caution": CAUTION}
    pages.globals["meanings"] = MEANINGS
    return pages


def sheet_html(sheet: Sheet) -> str:
    """A sheet as a page."""
    style = _style("page.css", _running(sheet.running))
    numbered = [group for group in sheet.values.values if any(row.number for row in group.rows)]
    is_template = sheet.kind == "Template"  # what it states is leave to set something, and set for nobody
    others = [group for group in sheet.values.values if group not in numbered]
    return (
        page_environment()
        .get_template("page.html")
        .render(
            sheet=sheet,
            style=style,
            policy=content_policy(str(style)),
            generator=GENERATOR,
            contents=_contents(sheet),
            tally=_tally(sheet),
            the_order="template" if is_template else "order",
            as_set="Allowed" if is_template else "As set",
            unmade=sheet.coverage.unmade if sheet.coverage is not None else 0,
            has_parts=has_parts(sheet.own.ticks),
            numbered_values=numbered,
            other_values=others,
        )
    )


def _contents(sheet: Sheet) -> list[tuple[str, str]]:
    """The sections behind the first part; of a file that could not be read only those that say something of it."""
    if sheet.own.why:
        return [each for each in _CONTENTS if each[0] in _OF_UNREAD]
    return [each for each in _CONTENTS if each[0] != "breaths" or sheet.pictures.breaths]


def _tally(sheet: Sheet) -> list[tuple[Level, int]]:
    """How many findings there are of each level, those of what was changed among them; empty where there is none."""
    found = [row.level for row in (*sheet.findings.counting, *sheet.changes.findings)]
    return [(level, found.count(level)) for level in LEVELS] if found else []


def _style(name: str, more: str = "") -> Markup:
    """A style sheet of ours, with rules whose texts are escaped character by character."""
    from markupsafe import Markup

    style = "".join((_STYLES / each).read_text("utf-8") for each in ("base.css", name)) + more
    assert "<" not in style  # no text could end the element that holds it
    return Markup(style)


def content_policy(style: str) -> str:
    """What a page may do: show itself with this style sheet, and nothing else."""
    digest = base64.b64encode(hashlib.sha256(style.encode("utf-8")).digest()).decode("ascii")
    return f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"


def _running(text: str) -> str:
    """What stands on every page of paper: whose order it is, and the number of the page."""
    return f"""
@page {{
  font: 8pt system-ui, "Segoe UI", Roboto, "Noto Sans", "Liberation Sans", Arial, sans-serif;
  @top-left {{ content: {style_string(text)}; }}
  @top-right {{ content: "Checker's sheet"; }}
  @bottom-left {{ content: "A screening aid, not a medical device"; }}
  @bottom-right {{ content: "Page " counter(page) " of " counter(pages); }}
}}
@page own {{
  @top-right {{ content: "Your own check: not to be used alone"; }}
}}
"""


def index_html(
    rows: Sequence[IndexRow], folder: str, day: str, version: str = __version__, policies: Sequence[str] = ()
) -> str:
    """The index of a folder of sheets as a page: whole without a filter, and its filters need no script."""
    style = _style("index.css", _running(f"Checker's sheets of {folder}"))
    return (
        page_environment()
        .get_template("index.html")
        .render(
            rows=rows,
            folder=folder,
            day=day,
            version=version,
            policies=policies,
            style=style,
            policy=content_policy(str(style)),
            generator=GENERATOR,
            nothing=NOTHING,
            states=_STATES,
            kinds=_KINDS,
        )
    )
