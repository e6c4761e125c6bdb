"""What a tired reader of a sheet must not take for something else."""

from functools import cache
from pathlib import Path

import pytest

from rxlint.library.comparing import compare_pairs, pairs_of
from rxlint.library.rulings import Rulings
from rxlint.library.screen import screen_bytes
from rxlint.reports.sheet.content import Given, sheet_of
from rxlint.reports.sheet.content_findings import RAW_BYTES, RAW_LINES
from rxlint.reports.sheet.rows import Sheet
from tests import sheets
from tests.conftest import ROOT
from tests.documents import DAY
from tests.reports.sheet.pages import Element, read

pytest.importorskip("jinja2")

NIGHT = ROOT / "examples" / "sound" / "TM-0417-tracheostomy-night.vrx"
NO_APPROVAL = "found nothing. That is no approval."


def tree(sheet: Sheet) -> Element:
    from rxlint.reports.sheet.render import sheet_html

    return read(sheet_html(sheet))


@cache
def night() -> Element:
    return tree(sheets.sheet_of_bytes(NIGHT.read_bytes(), NIGHT.name))


def _compared(folder: Path, ventilator: str | None = None) -> Element:
    """The sheet of an order without a finding of its own, whose change was not checked."""
    old, new = folder / "old.vrx", folder / "new.vrx"
    text = NIGHT.read_text("utf-8")
    new.write_text(text, "utf-8")
    old.write_text(
        text.replace("revision     3", "revision     2").replace("PEEP                  5", "PEEP 4"), "utf-8"
    )
    (compared,) = compare_pairs(pairs_of(str(old), str(new)), Rulings(nearest=False), DAY)
    if ventilator is None:
        return tree(sheets.sheet_of_bytes(new.read_bytes(), new.name, compared=compared))
    ruling = Rulings().of_folder(NIGHT.parent)
    assert ruling.rules is not None
    screened = screen_bytes(new.name, new.read_bytes(), ruling.rules, DAY)
    return tree(sheet_of(screened, Given(ruling.rules, DAY, compared=compared, ventilator=ventilator)))


@pytest.fixture(scope="module")
def changed(tmp_path_factory: pytest.TempPathFactory) -> Element:
    return _compared(tmp_path_factory.mktemp("changed"))


@pytest.fixture(scope="module")
def changed_for(tmp_path_factory: pytest.TempPathFactory) -> Element:
    """The same, with the set-up list for a ventilator."""
    return _compared(tmp_path_factory.mktemp("changed"), "Holm")


# ---- a clean result is no approval


def test_findings_of_a_change_are_counted_where_findings_are_told(changed: Element) -> None:
    rejects = len([each for each in changed.by_id("changes").of_class("finding") if "reject" in str(each.attributes)])
    assert rejects > 0 and not changed.by_id("findings").of_class("finding")
    told = changed.by_id("findings").words
    assert NO_APPROVAL not in told
    assert f"{rejects} \u25a0 to reject: not to be used as written." in told
    assert "from what was changed" in told


def test_a_set_up_list_is_stopped_by_what_was_changed(changed_for: Element, changed: Element) -> None:
    stopped = "what was changed is not to be used as written: C"
    assert stopped in changed_for.by_id("set-up").words
    assert stopped not in changed.by_id("set-up").words  # there is no list to be stopped


def test_a_clean_result_says_how_much_was_not_checked() -> None:
    told = night().by_id("findings").words
    left = len(night().by_id("not-checked").all("li"))
    assert left > 0
    assert NO_APPROVAL in told and f"Not checked: {left} of the checks could not be made." in told


def test_what_was_not_checked_does_not_read_like_a_finding() -> None:
    items = [each.words for each in night().by_id("not-checked").all("li")]
    assert items and all(each.startswith("Not checked: ") for each in items)


def test_what_was_not_checked_stands_before_the_rest() -> None:
    ids = [each.attributes.get("id") for each in night().by_id("found").all("section")]
    assert ids[1:4] == ["findings", "changes", "not-checked"]


def test_a_file_that_could_not_be_read_leaves_no_room_to_sign() -> None:
    unread = tree(sheets.sheet_of_bytes(b"\x00"))
    assert not unread.by_id("signatures").all("table") and night().by_id("signatures").all("table")
    assert unread.by_id("signatures").words == "Checked by There is nothing here to sign for."


@pytest.mark.parametrize("data", [b"\x00" * (RAW_BYTES + 1), b"\x00" + b"\n" * (RAW_LINES + 1)], ids=["long", "lines"])
def test_a_file_too_long_to_be_shown_says_so(data: bytes) -> None:
    assert "holds its beginning alone" in tree(sheets.sheet_of_bytes(data)).by_id("unread").words
    assert "holds its beginning alone" not in tree(sheets.sheet_of_bytes(b"\x00")).by_id("unread").words


# ---- allowed, set, measured


def test_what_was_measured_is_marked_among_what_is_ordered() -> None:
    path = ROOT / "examples" / "sound" / "TM-0508-adult-lung-protective.vrx"
    order = tree(sheets.sheet_of_bytes(path.read_bytes(), path.name)).by_id("order")
    marked = [each for each in order.all("table") if "measured, not ordered" in each.words]
    assert [each.all("h4")[0].words.split()[0] for each in marked] == ["readings"]
    assert all(("reading" in each.attributes["class"].split()) == (each in marked) for each in order.all("table"))


def test_what_a_template_allows_is_not_told_as_set() -> None:
    path = ROOT / "tests" / "cases" / "sheets" / "template.vrx"
    template = tree(sheets.sheet_of_bytes(path.read_bytes(), path.name)).by_id("settings")
    assert "Allowed" in template.words and "As set" not in template.words
    assert "As set" in night().by_id("settings").words


def test_a_limit_is_told_without_what_rules_leave_for_rounding() -> None:
    path = ROOT / "tests" / "cases" / "sheets" / "order.vrx"
    told = tree(sheets.sheet_of_bytes(path.read_bytes(), path.name)).by_id("settings").words
    assert "at most 30\u00a0cmH2O (support ceiling)" in told or "at most 30 cmH2O (support ceiling)" in told
    assert "slack" not in told


def test_a_part_s_number_is_no_amount() -> None:
    (parts,) = [each for each in night().of_class("tick-list") if "Parts from ventilator" in each.words]
    assert [each.words for each in parts.all("li")][:3] == ["1. ventilator", "2. filter", "3. tubing 180 cm"]


def test_what_is_stated_of_the_patient_stands_once_and_what_is_not_is_told() -> None:
    identity = night().by_id("identity").words
    assert "22.5 kg" not in identity and "Weight" not in identity
    bare = tree(sheets.sheet_of_text('prescription "x"\nsettings\n  mode A/C-PC\n')).by_id("identity").words
    assert all(f"{each}not stated" in bare for each in ("Age", "Height", "Weight"))
