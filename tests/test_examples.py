"""The examples are what they say they are: sound ones give no finding, each slip gives the one that it is named for."""

import re
from pathlib import Path

import pytest

from rxlint.library.beside import Sheet, screen_beside
from rxlint.library.rulings import Ruling
from rxlint.library.screen import Screened, screen_bytes
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.ruleset import builtin_rules
from tests.documents import DAY
from tests.golden import ROOT
from tests.shelf import shelf_of

EXAMPLES = ROOT / "examples"
AREAS = {pack.name for pack in builtin_packs()}


def files(folder: str) -> list[Path]:
    found = sorted((EXAMPLES / folder).glob("*.vrx"))
    assert found
    return found


def screened(path: Path) -> Screened:
    shelf = shelf_of(path, is_searched=path.parent.name != "slips")
    return screen_bytes(path.name, path.read_bytes(), builtin_rules(), DAY, shelf=shelf)


def expected(path: Path) -> str:
    """The rule that a slip's first line names."""
    first = path.read_text("utf-8").split("\n", 1)[0]
    found = re.search(r"\b([a-z]+\.[a-z-]+)\b", first) if first.startswith("#") else None
    assert found is not None, f"{path.name} does not begin with a comment that names its rule"
    return found.group(1)


@pytest.mark.parametrize("path", [*files("sound"), *files("templates")], ids=lambda path: path.stem)
def test_a_sound_order_gives_no_finding(path: Path) -> None:
    found = screened(path)
    assert found.problems == () and found.screening is not None and found.screening.crashes == ()
    assert [
        f"{each.place.line}: {each.message} [{each.rule}]" for each in found.screening.findings if each.counts
    ] == []


@pytest.mark.parametrize("path", files("slips"), ids=lambda path: path.stem)
def test_a_slip_gives_its_one_finding(path: Path) -> None:
    rule = expected(path)
    found = screened(path)
    assert found.screening is not None
    told = [each.rule for each in found.screening.findings]
    # where the rule's area has no pack yet, nothing else may speak up in its place
    assert told == ([rule] if rule.partition(".")[0] in AREAS else [])


def test_the_examples_are_as_many_as_promised() -> None:
    assert len(files("templates")) >= 6
    assert len(files("sound")) >= 10
    assert len(files("slips")) >= 10


def test_every_rule_a_slip_names_is_known_where_its_area_is() -> None:
    known = set(builtin_rules().order)
    named = {expected(path) for path in files("slips")}
    assert {rule for rule in named if rule.partition(".")[0] in AREAS} <= known


def test_the_second_day_s_readings_have_drifted_once() -> None:
    """The first step is scatter, the second is more than that; nothing of it is beyond the order's own limits."""
    order = EXAMPLES / "sound" / "TM-0508-adult-lung-protective.vrx"
    sheet = EXAMPLES / "readings" / "TM-0508-second-day.vrx"
    given, ruling = [Sheet("now", sheet.read_bytes())], Ruling(builtin_rules())
    alone, beside = screen_beside(ruling, "order", order.read_bytes(), given, DAY, shelf=shelf_of(order))
    assert alone.screening is not None and beside.screening is not None
    assert [each.rule for each in alone.screening.findings if each.counts] == []
    assert [(each.rule, each.place.line) for each in beside.screening.findings] == [("drift.compliance-falling", 23)]
