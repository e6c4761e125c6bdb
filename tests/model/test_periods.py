"""Periods: which there are, and what a named section says over the unnamed one."""

from fractions import Fraction

import pytest

from rxlint.expressions import Missing
from rxlint.model.facts import Facts
from rxlint.model.stated import periods_of
from tests.documents import all_facts, document, in_unit

UNNAMED_AND_NAMED = """prescription "x"
settings
  PEEP 5 cmH2O
  rate 20 /min
settings night from 21:00 to 07:00
  PEEP 7 cmH2O
alarms night
  high rate 40 /min
"""


def by_period(text: str) -> dict[str | None, Facts]:
    return {each.period: each for each in all_facts(text)}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ('prescription "x"\nsettings\n  PEEP 5 cmH2O\n', [None]),
        (UNNAMED_AND_NAMED, [None, "night"]),
        (
            'prescription "x"\nsettings night from 21:00 to 07:00\n  PEEP 5 cmH2O\n'
            "settings day from 07:00 to 21:00\n  PEEP 6 cmH2O\n",
            ["night", "day"],
        ),
        (
            'prescription "x"\nsettings from 22:00 to 07:00 and 14:00 to 16:00\n  PEEP 5 cmH2O\n',
            ["22:00 to 07:00 and 14:00 to 16:00"],
        ),
        ('prescription "x"\nsettings asleep\n  PEEP 5 cmH2O\n', ["asleep"]),
        ('prescription "x"\nsettings as needed up to 3 h/day\n  PEEP 5 cmH2O\n', ["as needed"]),
        ('prescription "x"\nsettings\n  PEEP 5 cmH2O\nairway day\n  cuff deflated\n', [None, "day"]),
        ('prescription "x"\nairway day\n  cuff deflated\n', [None, "day"]),
        ('prescription "x"\n', [None]),
    ],
    ids=["unnamed", "both", "all named", "windows", "use", "use with limit", "other section", "no settings", "empty"],
)
def test_periods_stand_in_the_order_of_the_text(text: str, expected: list[str | None]) -> None:
    assert periods_of(document(text)) == expected
    assert [each.period for each in all_facts(text)] == expected


SETTINGS = 'prescription "x"\nsettings\n  PEEP 5 cmH2O\n'


def circuits(*periods: str) -> str:
    return SETTINGS + "".join(f"circuit {each}\n  limb dual\n" for each in periods)


@pytest.mark.parametrize(
    "periods",
    [
        ("night from 22:00 to 08:00", "day from 08:00 to 22:00"),
        ("night from 22:00 to 08:00", "morning from 08:00 to 12:00", "afternoon from 12:00 to 22:00"),
        ("night from 21:00 to 09:00", "day from 08:00 to 22:00"),
        ("night from 22:00 to 07:59", "day from 08:00 to 21:59"),
        ("from 00:00 to 12:00", "from 12:00 to 24:00"),
        ("from 00:00 to 11:59", "from 12:00 to 23:59"),
        ("rest from 20:00 to 08:00 and 13:00 to 15:00", "up from 08:00 to 13:00 and 15:00 to 20:00"),
        ("night from 22:00 to 08:00", "day from 08:00 to 22:00", "during transfer"),
        ("night", "day"),
        ("asleep", "awake"),
        ("night from 22:00 to 08:00", "day"),
        ("asleep from 22:00 to 08:00", "awake"),
    ],
    ids=" / ".join,
)
def test_named_periods_that_fill_the_day_leave_no_time_without_a_name(periods: tuple[str, ...]) -> None:
    found = by_period(circuits(*periods))
    assert None not in found
    assert len(found) == len(periods)
    assert {in_unit(each.as_set.value("PEEP")) for each in found.values()} == {5}


@pytest.mark.parametrize(
    "periods",
    [
        ("night from 22:00 to 07:58", "day from 08:00 to 22:00"),
        ("night from 22:00 to 08:00", "day from 08:01 to 21:58"),
        ("night from 22:00 to 08:00", "day from 10:00 to 22:00"),
        ("night from 22:00 to 08:00",),
        ("night from 00:00 to 00:00", "day from 08:00 to 22:00"),
        ("night from 22:00 to 08:00", "day from 08:00 to 22:60"),
        ("night", "day from 08:00 to 22:00"),
        ("night", "evening"),
        ("asleep", "day"),
        ("asleep", "as needed"),
        ("night from 22:00 to 08:00", "as needed from 08:00 to 22:00"),
        ("during transfer from 08:00 to 22:00", "night from 22:00 to 08:00"),
    ],
    ids=" / ".join,
)
def test_where_a_minute_is_left_the_sections_without_a_name_hold_in_it(periods: tuple[str, ...]) -> None:
    assert None in by_period(circuits(*periods))


def test_hours_count_where_all_sections_of_a_period_name_them() -> None:
    text = circuits("night from 23:00 to 07:00", "day from 07:00 to 22:00")
    text += "alarms night from 22:00 to 07:00\n  high rate 40 /min\n"
    assert list(by_period(text)) == [None, "night", "day"]


INNER = """prescription "x"
settings
  PEEP 5 cmH2O
  rate 20 /min
settings night from 22:00 to 07:00
  PEEP 7 cmH2O
  rate 16 /min
settings {inner}
  rate 14 /min
"""


@pytest.mark.parametrize(
    "inner", ["from 23:00 to 06:00", "late from 23:00 to 24:00", "late from 22:00 to 07:00", "late from 01:00 to 02:00"]
)
def test_what_is_stated_for_the_hours_around_a_period_holds_in_it(inner: str) -> None:
    found = by_period(INNER.format(inner=inner))
    name = inner.split(" from ", maxsplit=1)[0].removeprefix("from ")
    assert in_unit(found[name].as_set.value("PEEP")) == 7
    assert found[name].as_set.value("rate") == Fraction(14, 60)
    assert found["night"].as_set.value("rate") == Fraction(16, 60)
    assert in_unit(found[None].as_set.value("PEEP")) == 5


@pytest.mark.parametrize(
    "inner",
    ["from 21:59 to 06:00", "from 23:00 to 07:01", "late", "as needed from 23:00 to 06:00", "late from 23:00 to 23:00"],
)
def test_what_is_stated_for_hours_that_only_overlap_a_period_is_no_part_of_it(inner: str) -> None:
    found = by_period(INNER.format(inner=inner))
    name = "as needed" if "as needed" in inner else inner.split(" from ", maxsplit=1)[0].removeprefix("from ")
    assert in_unit(found[name].as_set.value("PEEP")) == 5


def test_of_two_periods_around_a_period_the_narrower_speaks_over_the_wider() -> None:
    text = INNER.format(inner="from 01:00 to 02:00") + "settings deep from 00:00 to 04:00\n  PEEP 8 cmH2O\n"
    assert in_unit(by_period(text)["01:00 to 02:00"].as_set.value("PEEP")) == 8


def test_periods_of_the_same_hours_are_one_time() -> None:
    found = by_period(
        'prescription "x"\nsettings\n  PEEP 5 cmH2O\nsettings night from 22:00 to 07:00\n  rate 16 /min\n'
        "alarms asleep from 22:00 to 07:00\n  high rate 40 /min\n"
    )
    assert found["night"].is_stated("alarm high rate")
    assert found["asleep"].as_set.value("rate") == Fraction(16, 60)


def test_a_line_that_every_named_period_replaces_is_still_asked_about() -> None:
    text = SETTINGS + "".join(
        f"settings {each}\n  PEEP 6 cmH2O\n" for each in ("night from 22:00 to 08:00", "day from 08:00 to 22:00")
    )
    found = by_period(text)
    assert [in_unit(each.as_set.value("PEEP")) for each in found.values()] == [5, 6, 6]
    one = text.replace("settings day from 08:00 to 22:00\n  PEEP", "settings day from 08:00 to 22:00\n  EPAP")
    assert list(by_period(one)) == ["night", "day"]


def test_a_named_section_speaks_value_by_value() -> None:
    found = by_period(UNNAMED_AND_NAMED)
    assert in_unit(found[None].as_set.value("PEEP")) == 5
    assert in_unit(found["night"].as_set.value("PEEP")) == 7
    assert found["night"].as_set.value("rate") == found[None].as_set.value("rate") != Missing()
    assert found["night"].is_stated("alarm high rate")
    assert not found[None].is_stated("alarm high rate")


def test_where_all_settings_are_named_the_others_still_hold_in_each() -> None:
    text = """prescription "x"
settings day from 07:00 to 21:00
  PEEP 5 cmH2O
settings night from 21:00 to 07:00
  PEEP 6 cmH2O
alarms
  high rate 40 /min
alarms night
  high rate 30 /min
"""
    found = by_period(text)
    assert found.keys() == {"day", "night"}
    assert in_unit(found["day"].as_set.value("alarm high rate")) * 60 == 40
    assert in_unit(found["night"].as_set.value("alarm high rate")) * 60 == 30


def test_a_named_line_that_cannot_be_read_hides_the_unnamed_value() -> None:
    text = 'prescription "x"\nsettings\n  PEEP 5 cmH2O\nsettings night from 21:00 to 07:00\n  PEEP 7\n'
    found = by_period(text)
    assert in_unit(found[None].as_set.value("PEEP")) == 5
    value = found["night"].as_set.value("PEEP")
    assert isinstance(value, Missing) and value.terms == {"PEEP"}
    assert value.reasons == ("PEEP is stated but could not be read",)


def test_readings_make_a_scope_in_the_period_they_were_taken_in() -> None:
    text = """prescription "x"
settings day from 07:00 to 21:00
  PEEP 5 cmH2O
settings night from 21:00 to 07:00
  PEEP 6 cmH2O
readings at 2026-11-02 21:30 by "night nurse"
  SpO2 95 %
readings at 2026-11-03 09:30 by "day nurse"
  SpO2 97 %
"""
    found = [(each.period, each.scope.readings is not None) for each in all_facts(text)]
    assert found == [("day", False), ("day", True), ("night", False), ("night", True)]
    values = [in_unit(each.as_set.value("reading SpO2")) * 100 for each in all_facts(text) if each.scope.readings]
    assert values == [97, 95]
    without = all_facts(text)[0]
    assert isinstance(without.as_set.value("reading SpO2"), Missing)
