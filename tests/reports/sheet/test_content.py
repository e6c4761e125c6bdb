"""The rows of a sheet: what is asked, what it comes to, what settings stand beside, what could not be checked."""

import datetime

import pytest

from rxlint.library.rulings import Rulings
from rxlint.library.screen import screen_bytes
from rxlint.library.setup_list import NoList
from rxlint.reports.sheet.content import Given, sheet_of
from rxlint.reports.sheet.content_index import linked, row_of
from rxlint.reports.sheet.names import page_names
from rxlint.reports.sheet.rows import SettingRow, Sheet
from tests import sheets
from tests.conftest import ROOT
from tests.documents import DAY
from tests.shelf import shelf_of

BREATH = """prescription "x"
  id TM-1
patient
  age 50 years
  sex female
  height 165 cm
  weight 60 kg measured 2026-11-01
settings
  mode A/C-PC
  PEEP 5 cmH2O
  inspiratory pressure 12 cmH2O above PEEP
  rate 20 /min
  inspiratory time 1 s
"""
VOLUME = BREATH.replace("A/C-PC", "A/C-VC").replace("inspiratory pressure 12 cmH2O above PEEP", "tidal volume 400 mL")
HIGH = "High inspiratory pressure alarm: above the highest peak of breaths, by"
LOW = "Low inspiratory pressure alarm: below the lowest peak of breaths, by"


def sums(text: str) -> dict[str, str]:
    sheet = sheets.sheet_of_text(text)
    return {row.what: row.value for group in sheet.values.values for row in group.rows if row.number is not None}


def setting(sheet: Sheet, term: str) -> SettingRow:
    tables = (*sheet.settings.tables, *sheet.alarms.tables)
    return next(row for table in tables for row in table.rows if row.term == term)


def night(**given: object) -> Sheet:
    """The sheet of an example, under the rules of its folder."""
    path = ROOT / "examples" / "sound" / "TM-0417-tracheostomy-night.vrx"
    ruling = Rulings().of_folder(path.parent)
    assert ruling.rules is not None
    screened = screen_bytes(path.name, path.read_bytes(), ruling.rules, DAY, shelf=shelf_of(path))
    return sheet_of(screened, Given(ruling.rules, DAY, shelf_of(path), **given))  # type: ignore[arg-type]


# ---- the checker's sums


def test_what_a_line_states_is_not_asked() -> None:
    found = sums(BREATH)
    assert found["Peak of a mandatory breath, above ambient"] == "17 cmH2O"
    assert "Mandatory breath, above the baseline" not in found, "it is ordered above PEEP"
    assert "Inspiratory time" not in found and "Tidal volume" not in found
    above = sums(BREATH.replace("12 cmH2O above PEEP", "17 cmH2O above ambient"))
    assert above["Mandatory breath, above the baseline"] == "12 cmH2O"
    assert "Peak of a mandatory breath, above ambient" not in above


def test_times_follow_from_the_rate() -> None:
    found = sums(BREATH)
    assert found["Time from breath to breath at the set rate"] == "3 s"
    assert found["Time left to breathe out"] == "2 s" and found["I:E"] == "1:2"


def test_a_volume_is_asked_for_each_kilogram_but_of_the_weight_it_is_ordered_by() -> None:
    found = sums(VOLUME)
    assert found["Predicted body weight"] == "56.97 kg"  # 45.5 + 0.91 x (165 - 152.4), ARDS Network 2000
    assert found["Tidal volume for each kg of predicted weight"] == "7.022 mL/kg"
    assert found["Minute volume of the set breaths"] == "8 L/min"
    by_weight = sums(VOLUME.replace("tidal volume 400 mL", "tidal volume 7 mL/kg of measured weight"))
    assert by_weight["Tidal volume"] == "420 mL"
    assert "Tidal volume for each kg of body weight" not in by_weight


def test_what_needs_a_model_of_the_lung_is_not_asked_of_a_person() -> None:
    text = BREATH.replace("settings\n", "  compliance 50 mL/cmH2O\n  resistance 10 cmH2O/(L/s)\nsettings\n")
    assert "Tidal volume" not in sums(text) and "Minute volume of the set breaths" not in sums(text)


@pytest.mark.parametrize(
    ("alarm", "what", "value"),
    [
        ("high inspiratory pressure 30 cmH2O", HIGH, "13 cmH2O"),
        ("low inspiratory pressure 12 cmH2O", LOW, "5 cmH2O"),
        ("low PEEP 3 cmH2O", "Low PEEP alarm: below the baseline, by", "2 cmH2O"),
        ("high rate 35 /min", "High rate alarm: above the set rate, by", "15 /min"),
        ("apnoea after 15 s", "Apnoea alarm: longer than the time from breath to breath, by", "12 s"),
        ("high inspiratory pressure 15 cmH2O", HIGH, "-2 cmH2O"),
    ],
)  # fmt: skip
def test_a_limit_has_its_distance_from_what_is_expected(alarm: str, what: str, value: str) -> None:
    assert sums(f"{BREATH}alarms\n  {alarm}\n")[what] == value


def test_a_limit_that_is_off_has_none() -> None:
    assert not [what for what in sums(f'{BREATH}alarms\n  apnoea off because "x"\n') if "alarm" in what]


def test_a_supply_lasts_without_a_leak_port_too() -> None:
    oxygen = "oxygen\n  cylinder 400 L\n  cylinders 2\n  transfer 60 min\n  reserve 30 min\n"
    found = sums(VOLUME.replace("  rate", "  FiO2 50 %\n  rate") + oxygen)
    assert found["Oxygen in all cylinders"] == "800 L"
    assert found["Oxygen to plan for, each minute"] == "4 L/min"
    assert found["How long the supply lasts"] == "200 min (3 h 20 min)"
    assert found["How long the supply must last"] == "90 min"


def test_sums_of_a_range_have_two_ends_and_those_that_differ_by_row_are_asked_by_row() -> None:
    sheet = sheets.sheet_of_bytes((sheets.KEPT / "template.vrx").read_bytes())
    blanks = {each.what: each for group in sheet.own.sums for each in group.blanks}
    assert blanks["Tidal volume"].is_range
    times = [each for each in blanks if each.startswith("Time from breath to breath")]
    assert [each.partition("(")[2] for each in times] == ["age 1 year to 3 years)", "age 3 years to 12 years)"]


def test_a_sum_with_the_same_numbers_is_asked_once() -> None:
    sheet = sheets.sheet_of_bytes((sheets.KEPT / "order.vrx").read_bytes())
    lasts = [each for group in sheet.own.sums for each in group.blanks if each.what == "How long the supply lasts"]
    assert len(lasts) == 1 and [group.scope for group in sheet.own.sums] == ["Period night", "Period day"]


# ---- settings beside what is allowed


def test_a_setting_stands_beside_its_template_its_policy_and_the_narrowest_limits() -> None:
    sheet = night()
    peep = setting(sheet, "PEEP")
    assert (peep.value, peep.template) == ("5 cmH2O", "4 to 6 cmH2O")
    (policy,) = peep.policy
    assert (policy.text, policy.rule) == ("at least 4 cmH2O, at most 8 cmH2O", "site.peep-tracheostomy")
    assert policy.policy.startswith("tarnmoor-policy revision")
    assert {limit.text.split(" (")[0] for limit in peep.narrowest} == {"at least 4 cmH2O", "at most 8 cmH2O"}
    pressure = setting(sheet, "inspiratory pressure")
    assert (pressure.value, pressure.moves) == ("17 cmH2O above ambient", "15 to 20 cmH2O")
    assert setting(sheet, "rate").template.splitlines()[:2] == ["by age", "6 to 9 years: 18 to 24 /min"]
    assert "tracheostomy-night revision" in sheet.template


def test_every_line_of_settings_and_alarms_is_there() -> None:
    sheet = night()
    assert [row.term for row in sheet.settings.tables[0].rows] == [
        "mode", "PEEP", "inspiratory pressure", "pressure support", "keep", "rate", "inspiratory time", "rise time",
        "trigger",
    ]  # fmt: skip
    assert len(sheet.alarms.tables[0].rows) == 10


# ---- the rest


def test_findings_keep_their_level_and_those_accepted_stand_apart() -> None:
    found = sheets.sheet_of_bytes((sheets.KEPT / "order.vrx").read_bytes()).findings
    assert [row.name for row in found.counting] == [f"F{number}" for number in range(1, len(found.counting) + 1)]
    levels = [row.level for row in found.counting]
    assert levels == sorted(levels, key=["reject", "query", "note"].index)
    (accepted,) = found.accepted
    assert accepted.rule == "alarms.crosses-setting" and "a trial of one week" in accepted.accepted


def test_marks_name_the_findings_of_a_line() -> None:
    sheet = sheets.sheet_of_bytes((sheets.KEPT / "order.vrx").read_bytes())
    for row in sheet.findings.counting:
        line = sheet.lines[row.written.line - 1]
        assert row.name in [mark.name for mark in line.marks if mark.is_place]
        for other in row.related:
            assert row.name in [mark.name for mark in sheet.lines[other.line - 1].marks]


def test_what_could_not_be_checked_is_told_by_what_is_missing() -> None:
    sheet = sheets.sheet_of_text(BREATH.replace("  rate 20 /min\n", ""))
    assert sheet.coverage is not None
    told = {group.why: [rule for _, rule in group.rules] for group in sheet.coverage.groups}
    assert any("rate" in why and why.startswith("The order does not state") for why in told)
    counts = dict(sheet.coverage.counts)
    assert sum(map(len, told.values())) == counts["could not be made"]


def test_a_ventilator_is_the_one_that_is_asked_for_or_that_the_order_names() -> None:
    asked = night(ventilator="Holm")
    assert asked.setup.ventilator.startswith("Holm, ") and asked.setup.sheets and asked.setup.sheets[0].rows
    assert night().setup.why == "The order names no ventilator, and none was asked for."
    with pytest.raises(NoList, match="no profile of the ventilator Nobody"):
        night(ventilator="Nobody")


def test_without_an_earlier_revision_the_sheet_says_so() -> None:
    assert sheets.sheet_of_text(BREATH).changes.why == "No earlier revision was given to compare with."
    same = sheets.sheet_of_text(BREATH)
    assert same.changes.groups == ()


def test_dates_are_judged_on_the_day() -> None:
    text = BREATH.replace("patient\n", "  review by 2026-12-01\npatient\n", 1)
    data = text.encode()

    def found(day: datetime.date) -> set[str]:
        from tests.golden import rules_of

        rules = rules_of("")
        sheet = sheet_of(screen_bytes("x", data, rules, day), Given(rules, day))
        assert sheet.about.day == day.isoformat()
        return {row.rule for row in sheet.findings.counting}

    assert found(datetime.date(2026, 12, 24)) - found(DAY)


# ---- names and the index


def test_names_are_safe_and_never_one_for_two() -> None:
    places = [
        "a.vrx", "A.vrx", "index.vrx", "b/a.vrx", "b/a b.vrx", "b/a_b.vrx", "con.vrx", "../x.vrx", "b.html/c.vrx",
        "b_html.vrx", "\u202ex.vrx", "-o.vrx", ".vrx", "x" * 300 + ".vrx", "x" * 301 + ".vrx",
    ]  # fmt: skip
    names = page_names(places, ".html")
    assert len(set(map(str.casefold, names.values()))) == len(places) == len(names)
    assert "index.html" not in {name.casefold() for name in names.values()}
    assert names["b/a.vrx"] == "b/a.html" and names["a.vrx"] == "a.html"
    for name in names.values():
        assert ".." not in name and not name.startswith(("/", "-")) and name.isascii()
        assert all(0 < len(part) < 100 for part in name.split("/"))
    folders = {part for name in names.values() for part in name.split("/")[:-1]}
    assert not folders & set(names.values())


def test_the_index_tells_the_state_of_each_document_and_links_its_template() -> None:
    text = (sheets.KEPT / "order.vrx").read_bytes()
    order = sheets.screened(text.replace(b"  status", b"  follows tube-by-age revision 2\n  status"))
    template = sheets.screened((sheets.KEPT / "template.vrx").read_bytes())
    unread = sheets.screened((sheets.KEPT / "unread.vrx").read_bytes())
    places = ((order, "a"), (template, "t"), (unread, "u"))
    rows = linked([row_of(each, f"{name}.vrx", f"{name}.html") for each, name in places])
    assert [row.state for row in rows] == ["reject", "note", "unread"]
    assert (rows[0].id, rows[0].kind, rows[0].status, rows[0].revision) == ("TM-9101", "prescription", "active", "3")
    assert (rows[0].follows, rows[0].follows_href) == ("tube-by-age revision 2", "t.html")
    assert rows[0].accepted == 1 and rows[0].wanting > 0
    assert rows[2].unread.startswith("the file is not UTF-8 text")
