"""What becomes of findings: who gives way, what is told once, how each is known again, and what a crash does."""

import pytest

from rxlint.screening import answers, engine
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import ConflictError, builtin_rules, prepare
from tests.documents import ids, outcome, pack_of, prescription, rule_text, rules_of, screen

HIGH = rule_text("PEEP <= 8 cmH2O", id="trial.high", say="{PEEP}")
LOW = rule_text("PEEP <= 3 cmH2O", id="trial.low", yields_to="[trial.high]")
PERIODS = """prescription "x"
settings night from 21:00 to 07:00
  PEEP {night} cmH2O
settings day from 07:00 to 21:00
  PEEP {day} cmH2O
"""


def test_a_rule_gives_way_where_another_says_it_better() -> None:
    rules = rules_of(HIGH, LOW)
    assert ids(screen(prescription("PEEP 9 cmH2O"), rules).findings) == ["trial.high"]
    assert ids(screen(prescription("PEEP 5 cmH2O"), rules).findings) == ["trial.low"]
    assert outcome(screen(prescription("PEEP 9 cmH2O"), rules), "trial.low") == "broken"


def test_a_rule_gives_way_only_in_the_period_of_the_other() -> None:
    found = screen(PERIODS.format(night=9, day=5), rules_of(HIGH, LOW)).findings
    assert [(each.rule, each.period) for each in found] == [("trial.high", "night"), ("trial.low", "day")]


def test_a_finding_of_two_periods_gives_way_in_one_of_them_alone() -> None:
    """The rate is the same line in both periods; only at night does another rule say it better."""
    text = 'prescription "x"\nsettings\n  rate 20 /min\n' + PERIODS.format(night=9, day=5).partition("\n")[2]
    rules = rules_of(HIGH, rule_text("rate <= 10 /min", id="trial.rate", yields_to="[trial.high]"))
    found = screen(text, rules).findings
    assert [(each.rule, each.period) for each in found] == [("trial.rate", "day"), ("trial.high", "night")]
    found = screen(text.replace("to 21:00", "to 20:00"), rules).findings  # an hour of the evening has no name
    assert [(each.rule, each.period) for each in found] == [("trial.rate", None), ("trial.high", "night")]


@pytest.mark.parametrize(
    "rules",
    [
        [HIGH.replace("cases", "yields to: [trial.low]\n    cases"), LOW],
        [
            HIGH.replace("cases", "yields to: [trial.rate]\n    cases"),
            LOW,
            rule_text("rate <= 10 /min", id="trial.rate", yields_to="[trial.low]"),
        ],
    ],
    ids=["two", "three"],
)
def test_rules_that_would_silence_each_other_are_refused(rules: list[str]) -> None:
    with pytest.raises(ConflictError, match="both would be silent"):
        rules_of(*rules)


def test_an_id_or_a_term_of_two_packs_is_refused() -> None:
    one = pack_of(HIGH)
    with pytest.raises(ConflictError, match=r"trial\.high is a rule of trial\.yaml already"):
        prepare([one, one])


def test_what_several_periods_say_alike_is_told_once() -> None:
    text = 'prescription "x"\nsettings\n  PEEP 9 cmH2O\nsettings night from 21:00 to 07:00\n  rate 12 /min\n'
    found = screen(text, rules_of(HIGH)).findings
    assert [(each.rule, each.period, each.place.line) for each in found] == [("trial.high", None, 3)]
    named = text.replace(
        "settings\n", "circuit\n  limb dual\nalarms\n  low PEEP 9 cmH2O\nsettings day from 08:00 to 20:00\n", 1
    )
    found = screen(named, rules_of(rule_text("alarm low PEEP <= 8 cmH2O", id="trial.alarm"))).findings
    assert [(each.rule, each.period) for each in found] == [("trial.alarm", "day, night")]


def test_what_is_told_once_is_told_at_the_strictest_level() -> None:
    stricter = "[{level: reject, when: rate > 10 /min}]"
    rules = rules_of(rule_text("alarm low PEEP <= 8 cmH2O", id="trial.alarm", stricter=stricter))
    text = """prescription "x"
alarms
  low PEEP 9 cmH2O
settings day from 07:00 to 21:00
  rate 8 /min
settings night from 21:00 to 07:00
  rate 12 /min
"""
    (found,) = screen(text, rules).findings
    assert (found.level, found.period) == ("reject", "day, night")


def prints(text: str) -> list[str]:
    return [each.fingerprint for each in screen(text, rules_of(HIGH)).findings]


def test_a_fingerprint_survives_moved_lines_comments_and_spaces() -> None:
    base = prints(prescription("PEEP 9 cmH2O"))
    assert base == prints(prescription("rate 20 /min", "# moved", "PEEP    9 cmH2O   # as before"))
    assert base == prints('# head\n\nprescription "other"\npatient\n  age 7 years\nsettings\n\tPEEP 9 cmH2O\n')
    assert base != prints(prescription("PEEP 10 cmH2O"))


def test_twins_are_told_apart_by_their_number() -> None:
    first, second = prints(PERIODS.format(night=9, day=9))
    assert first.rpartition("-")[0] == second.rpartition("-")[0]
    assert (first[-2:], second[-2:]) == ("-0", "-1")


def test_a_rule_that_crashes_is_told_and_hides_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    rules = rules_of(HIGH, rule_text("rate <= 10 /min", id="trial.rate"))
    monkeypatch.setattr(answers, "quick", crash_on("trial.high"))
    found = screen(prescription("PEEP 9 cmH2O", "rate 20 /min"), rules)
    assert [(each.rule, each.error) for each in found.crashes] == [("trial.high", "ZeroDivisionError: by zero")]
    assert ids(found.findings) == ["trial.rate"]
    row = next(row for row in found.coverage.rules if row.rule == "trial.high")
    assert (row.outcome, row.reasons) == ("not checked", ("the rule failed",))


def crash_on(rule: str):  # type: ignore[no-untyped-def]
    real = answers.quick

    def quick(prepared, values):  # type: ignore[no-untyped-def]
        if prepared.rule.id == rule:
            raise ZeroDivisionError("by zero")
        return real(prepared, values)

    return quick


@pytest.mark.parametrize(
    ("name", "crashed", "others"),
    [
        ("walk_scope", "relation.broken", "mode.period-overlap"),
        ("walk_periods", "mode.period-overlap", "relation.broken"),
    ],
)
def test_a_walk_that_crashes_fails_its_rules_and_no_others(
    name: str, crashed: str, others: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise RuntimeError("lost")

    monkeypatch.setattr(engine, name, fail)
    text = PERIODS.format(night=5, day=5) + "  keep PEEP = 5 cmH2O\n"
    found = screen(text, builtin_rules())
    failed = {each.rule for each in found.crashes}
    assert crashed in failed and others not in failed
    assert (outcome(found, crashed), outcome(found, others)) == ("not checked", "met")


def test_every_rule_has_one_row_and_the_counts_add_up() -> None:
    found = screen(PERIODS.format(night=9, day=5), builtin_rules())
    assert [row.rule for row in found.coverage.rules] == list(builtin_rules().order)
    assert sum(found.coverage.counts.values()) == len(builtin_rules().order)


def places(found: tuple[Finding, ...]) -> list[tuple[int, int, int]]:
    return [(each.place.line, each.place.column, each.place.end_column) for each in found]


def test_columns_count_code_points() -> None:
    text = 'prescription "x"\nescalation\n  call "Zoë 𝄞" when SpO2 below 92 %  # 𝄞\n  ceiling  "𝄞" 3\n'
    (finding,) = screen(text).findings
    assert finding.place.line == 4
    assert text.split("\n")[3][finding.place.column - 1 : finding.place.end_column - 1] == "3"


def test_a_finding_at_rule_s_first_term_relates_the_others() -> None:
    rules = rules_of(rule_text("inspiratory pressure > PEEP + 15 cmH2O", at="[PEEP]", id="trial.gap"))
    lines = ("inspiratory pressure 17 cmH2O above ambient", "PEEP 5 cmH2O")
    (finding,) = screen(prescription(*lines), rules).findings
    assert places((finding,)) == [(4, 3, 15)]
    assert [(each.place.line, each.message) for each in finding.related] == [(3, "inspiratory pressure is stated here")]


def test_what_is_missing_is_told_at_its_section_or_at_the_head() -> None:
    rules = rules_of(rule_text("rate is stated"))
    assert places(screen(prescription("PEEP 5 cmH2O"), rules).findings) == [(2, 1, 9)]
    assert places(screen('# order\nprescription "x"\n', rules).findings) == [(1, 1, 1)] or places(
        screen('# order\nprescription "x"\n', rules).findings
    ) == [(2, 1, 17)]
