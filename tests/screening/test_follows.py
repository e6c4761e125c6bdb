"""What an order follows and how it compares with that; the cases of the rules say the rest."""

import pytest

from rxlint.screening.engine import screen_document
from tests.documents import DAY, document
from tests.screening.following import RULES, found, screened

HEAD = "  id  t\n  revision  1\n  status  active\n"
ORDER = 'prescription "p"\n  follows  t revision 1\n'


def template(*lines: str) -> str:
    return f'template "t"\n{HEAD}' + "".join(f"{line}\n" for line in lines)


def order(*lines: str) -> str:
    return ORDER + "".join(f"{line}\n" for line in lines)


def outcome(rule: str, text: str, *others: str) -> tuple[str, str]:
    """How a rule comes out, and why."""
    row = next(row for row in screened(text, *others).coverage.rules if row.rule == f"library.{rule}")
    return row.outcome, "; ".join(row.reasons)


@pytest.mark.parametrize(
    ("asked", "given", "rules"),
    [
        ("PEEP  4 to 6 cmH2O", "PEEP  6.1 cmH2O", ["outside-template"]),
        ("PEEP  4 to 6 cmH2O", "PEEP  5.8 mbar", []),
        ("PEEP  6 cmH2O", "PEEP  6 mbar", ["outside-template"]),  # a mbar is more than a cmH2O
        ("PEEP  4 or 6 cmH2O", "PEEP  5 cmH2O", ["outside-template"]),
        ("PEEP  4 or 6 cmH2O", "PEEP  6 cmH2O", []),
        ("PEEP  up to 6 cmH2O", "PEEP  5 cmH2O allow 4 to 7 cmH2O", ["outside-template"]),
        ("PEEP  up to 6 cmH2O", "PEEP  5 cmH2O allow 4 to 6 cmH2O", []),
        ("PEEP  5 cmH2O allow 4 to 6 cmH2O", "PEEP  6 cmH2O", []),
        ("PEEP  4 to 6 cmH2O in steps of 1 cmH2O", "PEEP  5.5 cmH2O", ["outside-template"]),
        ("PEEP  4 to 6 cmH2O in steps of 0.5 cmH2O", "PEEP  5.5 cmH2O", []),
        ("PEEP  4 to 6 cmH2O", "EPAP  7 cmH2O", ["outside-template"]),
        ("IPAP  14 to 16 cmH2O", "EPAP  5 cmH2O\n  pressure support  12 cmH2O", ["outside-template"]),
        ("IPAP  14 to 16 cmH2O", "EPAP  5 cmH2O\n  pressure support  11 cmH2O", []),
        ("rate  12 to 16 /min", "back-up rate  18 /min", ["outside-template"]),
        ("mode  A/C-PC or A/C-VC", "mode  SIMV-PC", ["outside-template"]),
        ("mode  A/C-PC or A/C-VC", "mode  A/C-VC", []),
        ("trigger  flow", "trigger  flow, leak-compensated", []),
        ("trigger  flow, leak-compensated", "trigger  flow", ["lacks-template-term"]),
        ("trigger  flow or pressure", "trigger  pressure", []),
        ("minimum inspiratory pressure  12 to 14 cmH2O above ambient",
         "minimum inspiratory pressure  13 cmH2O above ambient", []),
    ],
)  # fmt: skip
def test_a_setting_against_a_template(asked: str, given: str, rules: list[str]) -> None:
    told = found(order("settings", f"  {given}"), template("settings", f"  {asked}"))
    assert [rule for rule, _ in told] == rules
    assert all(line == (2 if rule.startswith("lacks") else 4) for rule, line in told)


@pytest.mark.parametrize(
    ("asked", "given", "rules"),
    [
        ("oxygen\n  flow  up to 2 L/min at ventilator inlet", "oxygen\n  flow  1 L/min at mask", ["outside-template"]),
        ("oxygen\n  cylinder  460 L", "oxygen\n  cylinder  400 L", ["outside-template"]),
        ("oxygen\n  cylinder  460 L", "oxygen\n  cylinder  2300 L", []),
        ("oxygen\n  cylinders  2", "oxygen\n  cylinders  1", ["outside-template"]),
        ("alarms\n  apnoea  after 15 s", "alarms\n  apnoea  after 20 s", ["outside-template"]),
        ("alarms\n  power loss  on", 'alarms\n  power loss  off because "test"', ["outside-template"]),
        ("alarms\n  low SpO2  90 %", 'alarms\n  low SpO2  off because "test"', ["outside-template"]),
        ("targets\n  SpO2  88 to 92 %", "targets\n  SpO2  at least 88 %", ["outside-template"]),
        ("targets\n  SpO2  88 to 92 %", "targets\n  SpO2  90 %", []),
        ("targets\n  SpO2  at least 88 %", "targets\n  SpO2  88 to 99 %", []),
        ("targets\n  expired tidal volume  6 to 8 mL/kg of measured weight\npatient\n  weight  50 to 60 kg",
         "targets\n  expired tidal volume  300 to 410 mL\npatient\n  weight  50 kg", ["outside-template"]),
        ("patient\n  diagnosis  neuromuscular or chest wall", "patient\n  diagnosis  neuromuscular, chest wall", []),
        ("patient\n  diagnosis  neuromuscular", "patient\n  diagnosis  neuromuscular, obstructive",
         ["outside-population"]),
        ("patient\n  hypercapnia risk  no", "patient\n  hypercapnia risk  yes", ["outside-population"]),
        ("patient\n  place of care  home", "patient\n  place of care  ward", ["outside-population"]),
        ("patient\n  age  6 to 16 years", "patient\n  age  16 years", []),
        ("patient\n  age  6 to 16 years", "patient\n  age  17 years", ["outside-population"]),
        ("circuit\n  assembly  filter, tubing 180 cm, HME 12 mL", "circuit\n  assembly  filter, tubing 180 cm",
         ["outside-template"]),
        ("circuit\n  assembly  filter, tubing 180 cm", "circuit\n  assembly  tubing 180 cm, filter",
         ["outside-template"]),
        ("circuit\n  assembly  filter, HME 12 mL", "circuit\n  assembly  filter, HME 15 mL", ["outside-template"]),
        ("circuit\n  assembly  filter, HME 12 mL", "circuit\n  assembly  filter, HME", []),
        ("monitoring\n  capnograph", "monitoring\n  pulse oximeter", ["lacks-template-term"]),
        ("escalation\n  gases  at 1 h and 4 h", "escalation\n  gases  at 1 h", ["outside-template"]),
        ('escalation\n  call "a" when SpO2 below 90 %', "escalation\n  gases  at 1 h", ["lacks-template-term"]),
        ('patient\n  indication  "one"', 'patient\n  indication  "another"', []),
    ],
)  # fmt: skip
def test_what_is_no_setting_against_a_template(asked: str, given: str, rules: list[str]) -> None:
    assert [rule for rule, _ in found(order(given), template(asked))] == rules


@pytest.mark.parametrize(
    ("line", "rules"),
    [
        ("raise PEEP by 1 cmH2O every 10 min up to 8 cmH2O when SpO2 below 90 %", []),
        ("raise PEEP by 2 cmH2O every 10 min up to 8 cmH2O when SpO2 below 90 %", ["outside-template"]),
        ("raise PEEP by 1 cmH2O every 5 min up to 8 cmH2O when SpO2 below 90 %", ["outside-template"]),
        ("raise PEEP by 1 cmH2O every 600 s up to 9 cmH2O when SpO2 below 90 %", ["outside-template"]),
        ("raise PEEP by 1 cmH2O every 15 min up to 7 cmH2O when SpO2 below 90 %", []),
        ("lower PEEP by 2 cmH2O every 5 min down to 4 cmH2O when SpO2 above 94 %", []),
        ("lower PEEP by 1 cmH2O every 15 min down to 3 cmH2O when SpO2 above 94 %", ["outside-template"]),
    ],
)
def test_steps_reach_no_further_than_the_template(line: str, rules: list[str]) -> None:
    asked = "raise PEEP by 1 cmH2O every 10 min up to 8 cmH2O when SpO2 below 90 %"
    text = template("settings", "  PEEP  4 to 10 cmH2O", "titration", f"  {asked}")
    assert [rule for rule, _ in found(order("settings", "  PEEP  5 cmH2O", "titration", f"  {line}"), text)] == rules


def test_a_table_by_oxygen_holds_in_every_row_that_is_reached() -> None:
    """PEEP stays where it is while the oxygen is raised into a row that asks for more."""
    table = [
        "settings",
        "  FiO2  30 to 60 %",
        "  PEEP by FiO2",
        "    30 % to 40 %  5 cmH2O",
        "    40 % to 60 %  8 cmH2O",
    ]
    (finding,) = screened(
        order("settings", "  FiO2  35 % allow 30 to 50 %", "  PEEP  5 cmH2O"), template(*table)
    ).findings
    assert (finding.rule, finding.outcome, finding.place.line) == ("library.outside-template", "can break", 5)
    assert finding.example is not None and finding.example["FiO2"] == "40 %"
    assert found(order("settings", "  FiO2  35 % allow 30 to 39 %", "  PEEP  5 cmH2O"), template(*table)) == []


def test_periods_answer_to_one_another_by_name_then_by_hours() -> None:
    text = template(
        "settings day from 07:00 to 21:00", "  PEEP  4 cmH2O", "settings night from 21:00 to 07:00", "  PEEP  8 cmH2O"
    )
    day, night = "settings day from 08:00 to 20:00", "settings late from 21:00 to 07:00"
    assert found(order(day, "  PEEP  4 cmH2O", night, "  PEEP  8 cmH2O"), text) == []
    assert found(order(day, "  PEEP  4 cmH2O", night, "  PEEP  4 cmH2O"), text) == [("outside-template", 6)]
    named = order(day, "  PEEP  8 cmH2O", "settings night from 20:00 to 08:00", "  PEEP  8 cmH2O")
    assert found(named, text) == [("outside-template", 4)]
    assert outcome("outside-template", order("settings", "  PEEP  4 cmH2O"), text)[0] == "not checked"


def test_a_template_with_one_period_holds_for_the_whole_order_unless_that_has_more() -> None:
    """A protocol for the night says nothing of a day that the order has beside its night."""
    night = template("settings night from 21:00 to 07:00", "  PEEP  8 cmH2O")
    assert found(order("settings", "  PEEP  4 cmH2O"), night) == [("outside-template", 4)]
    assert found(order("settings late from 22:00 to 06:00", "  PEEP  4 cmH2O"), night) == [("outside-template", 4)]
    day = ("settings day from 07:00 to 21:00", "  PEEP  4 cmH2O")
    assert found(order(*day, "settings night from 21:00 to 07:00", "  PEEP  8 cmH2O"), night) == []
    unnamed = template("settings", "  PEEP  8 cmH2O")
    assert found(order(*day, "settings night from 21:00 to 07:00", "  PEEP  8 cmH2O"), unnamed) == [
        ("outside-template", 4)
    ]


def test_settings_without_a_name_are_compared_where_named_circuits_fill_the_day() -> None:
    circuits = ("circuit night from 21:00 to 07:00", "  limb dual", "circuit day from 07:00 to 21:00", "  limb dual")
    text = template("settings", "  PEEP  8 cmH2O", *circuits)
    assert found(order("settings", "  PEEP  4 cmH2O"), text) == [("outside-template", 4)]
    assert found(order("settings", "  PEEP  4 cmH2O", *circuits), text) == [("outside-template", 4)]
    assert found(order("settings", "  PEEP  8 cmH2O", *circuits), template("settings", "  PEEP  8 cmH2O")) == []
    late = order("settings late from 22:00 to 06:00", "  PEEP  4 cmH2O")
    assert found(late, text) == [("outside-template", 4)]


def test_a_message_tells_numbers_line_and_text_of_the_template() -> None:
    text = template("settings", "  PEEP  5 cmH2O", "  inspiratory pressure  10 to 12 cmH2O above PEEP")
    (finding,) = screened(
        order("settings", "  PEEP  5 cmH2O", "  inspiratory pressure  18 cmH2O above ambient"), text
    ).findings
    assert finding.message == (
        "inspiratory pressure is 13 cmH2O above PEEP, and t revision 1 (0.vrx:7) allows 10 to 12 cmH2O above PEEP"
    )
    assert [related.place.line for related in finding.related] == [2]


def test_lines_that_cannot_be_read_are_not_guessed_at() -> None:
    """What rests on a line that can't be read, here or there, is not checked; the rest is."""
    good, broken = "  PEEP  4 to 6 cmH2O", "  rate  12 to wrong /min"
    text = template("settings", good, broken)
    assert found(order("settings", "  PEEP  9 cmH2O", "  rate  12 /min"), text) == [("outside-template", 4)]
    told = outcome("outside-template", order("settings", "  PEEP  5 cmH2O", "  rate  12 /min"), text)
    assert told == ("not checked", "0.vrx:7 could not be read")
    mine = order("settings", "  PEEP  5 cmH2O", "  rate  twelve")
    told = outcome("outside-template", mine, template("settings", good, "  rate  12 to 16 /min"))
    assert told == ("not checked", "rate is stated but could not be read")
    unknown = order("settings", "  PEEP  5 cmH2O", "  raet  12 /min")
    assert found(unknown, template("settings", good, "  rate  12 to 16 /min")) == []
    assert (
        outcome("lacks-template-term", unknown, template("settings", good, "  rate  12 to 16 /min"))[0] == "not checked"
    )


@pytest.mark.parametrize(
    ("section", "asked", "given", "why"),
    [
        (
            "circuit",
            "leak port flow  22 to 26 L/min at 10 cmH2O",
            "leak port flow  36 L/min at 20 cmH2O",
            "another pressure",
        ),
        ("settings", "trigger sensitivity  1 to 2 L/min", "trigger sensitivity  2 cmH2O", "lacks"),
        ("settings", "tidal volume  6 to 8 mL/kg of predicted weight", "tidal volume  400 mL", "lacks"),
        (
            "settings",
            "inspiratory pressure  10 to 12 cmH2O above PEEP",
            "inspiratory pressure  17 cmH2O above ambient",
            "lacks PEEP",
        ),
    ],
)
def test_what_cannot_be_compared_is_not_checked(section: str, asked: str, given: str, why: str) -> None:
    text = order(section, f"  {given}")
    assert found(text, template(section, f"  {asked}")) == []
    told = screened(text, template(section, f"  {asked}")).coverage.rules
    row = next(each for each in told if each.rule == "library.outside-template")
    assert row.outcome == "not checked" and why in "; ".join(row.reasons)


def test_what_is_allowed_is_told_whole() -> None:
    text, other = order("patient", "  age  17 years"), template("patient", "  age  at least 18 years")
    (finding,) = [each for each in screened(text, other).findings if each.rule == "library.outside-population"]
    assert "is for at least 18 years" in finding.message


def test_without_a_library_what_is_followed_is_not_checked() -> None:
    screening = screen_document(document(order("settings", "  PEEP  5 cmH2O")), RULES, DAY)
    assert [(each.rule, each.level) for each in screening.findings] == [("library.not-looked-up", "note")]
    coverage = screening.coverage
    outcomes = {row.rule: row.outcome for row in coverage.rules if row.reasons}
    assert outcomes["library.follows-unknown"] == outcomes["library.outside-template"] == "not checked"
    assert "library.repeated-id" not in outcomes


def test_a_deviation_that_somebody_answers_for_is_marked() -> None:
    accepted = '  accept library.outside-template on PEEP until 2026-12-31 because "agreed" by "consultant"'
    text = order("settings", "  PEEP  9 cmH2O", "  rate  30 /min", "accepted", accepted)
    told = screened(text, template("settings", "  PEEP  4 to 6 cmH2O", "  rate  12 to 20 /min")).findings
    assert [(each.place.line, each.acceptance is not None) for each in told if each.rule.startswith("library.")] == [
        (4, True),
        (5, False),
    ]


def test_a_relation_that_the_order_keeps_itself_is_told_once() -> None:
    keep = "  keep  pressure support = inspiratory pressure - PEEP"
    asked = template("settings", "  PEEP  4 to 6 cmH2O", "  inspiratory pressure  15 to 20 cmH2O above ambient",
                     "  pressure support  9 to 16 cmH2O", keep)  # fmt: skip
    lines = (
        "settings",
        "  PEEP  5 cmH2O",
        "  inspiratory pressure  17 cmH2O above ambient",
        "  pressure support  11 cmH2O",
    )
    assert found(order(*lines), asked) == [("relation-broken", 4)]
    assert found(order(*lines, keep), asked) == []


def test_a_template_may_follow_a_wider_one() -> None:
    own = 'template "u"\n  id  u\n  revision  1\n  status  active\n  follows  t revision 1\n'
    wide = template(
        "patient",
        "  age  6 to 16 years",
        "settings",
        "  rate by age",
        "    6 to 9 years  18 to 24 /min",
        "    9 to 16 years  12 to 20 /min",
    )
    rows = "    6 to 9 years  20 to 22 /min\n    9 to 12 years  16 to 18 /min\n"
    inside = f"{own}patient\n  age  6 to 12 years\nsettings\n  rate by age\n{rows}"
    told = [(each.rule, each.place.line) for each in screened(inside, wide).findings]
    assert [each for each in told if "unused" not in each[0]] == []
    outside = inside.replace("6 to 9 years  20 to 22", "6 to 9 years  20 to 26")
    rules = [each.rule for each in screened(outside, wide).findings if "unused" not in each.rule]
    assert rules == ["library.outside-template"]


@pytest.mark.parametrize(
    ("age", "row"),
    [
        ("5 months", "28 to 32 /min at patient age under 1 years"),
        ("2 years", "24 to 28 /min at patient age 1 to 3 years"),
        ("7 years", "14 to 18 /min at patient age 3 years and over"),
    ],
)
def test_the_message_tells_a_row_of_the_template_s_table_whole(age: str, row: str) -> None:
    rows = ("under 1 years  28 to 32 /min", "1 to 3 years  24 to 28 /min", "3 years and over  14 to 18 /min")
    protocol = template("settings", "  rate by age", *(f"    {each}" for each in rows))
    (finding,) = screened(order("patient", f"  age  {age}", "settings", "  rate  50 /min"), protocol).findings
    assert row in finding.message
