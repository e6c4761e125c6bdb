"""What a review tells the author of a pack: cases that say nothing, rules that can't speak, limits at odds."""

import re

import pytest

from rxlint.expressions import read_condition
from rxlint.model.names import base_names
from rxlint.packs import Pack, load_text
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.pack_review import Review, review
from rxlint.screening.review_space import can_hold

NEVER = "can never fire, whatever a document could plausibly say"
ALWAYS = "always fires where it applies, whatever a document could plausibly say"
HEAD = "pack: trial\nrevision: 1\nsummary: rules of a test\n"


def rule(name: str, require: str, *cases: str, when: str = "", level: str = "query") -> str:
    lines = [f"id: trial.{name}", f"level: {level}", "basis: practice", "title: A rule of a test"]
    lines += [f"when: {when}"] if when else []
    lines += [require if require.startswith("each:") else f"require: {require}", "say: x", "because: of the test"]
    lines += ["source: common practice, no published source", "cases:", *(f"  - {case}" for case in cases)]
    return "  - " + "\n    ".join(lines if cases else [*lines[:-1], "cases: []"]) + "\n"


def pack(*rules: str, more: str = "") -> Pack:
    found, problems = load_text(f"{HEAD}{more}rules:\n{''.join(rules)}", "trial.yaml")
    assert problems == ()
    assert found is not None
    return found


def told(*rules: str, more: str = "") -> list[str]:
    return [f"{each.rule.removeprefix('trial.')}: {each.message}" for each in review(pack(*rules, more=more)).remarks]


SOUND = rule(
    "high",
    "PEEP <= 20 cmH2O",
    "fires: PEEP 21 cmH2O",
    "holds: PEEP 20 cmH2O",
    "silent: mode A/C-PC; PEEP 25 cmH2O",
    when="mode type is not PC or mode is not stated",
)


def test_a_sound_rule_has_no_remark() -> None:
    found = review(pack(SOUND))
    assert (found.failures, found.remarks, found.is_sound) == ((), (), True)
    assert len(found.cases) == 3


def test_a_case_that_fails_is_told() -> None:
    found = review(pack(SOUND.replace("PEEP 21 cmH2O", "PEEP 19 cmH2O")))
    assert [each.failure for each in found.failures] == ["does not fire: trial.high is met"]
    assert not found.is_sound


# ---- cases


def test_a_silent_case_whose_text_can_t_be_read_is_a_failure() -> None:
    found = review(pack(SOUND.replace("silent: mode A/C-PC; PEEP 25 cmH2O", "silent: PEEP 25")))
    (failure,) = [each.failure for each in found.failures]
    assert failure is not None and failure.startswith("its text is at fault: ")


@pytest.mark.parametrize(
    ("case", "is_idle"),
    [
        ("rise time 150 ms", True),
        ("patient age 7 years; rise time 150 ms", True),
        ("mode A/C-VC; rise time 150 ms", False),
        ("inspiratory pressure 20 cmH2O above PEEP", False),
    ],
)
def test_a_silent_case_without_a_term_of_the_rule_asserts_nothing(case: str, is_idle: bool) -> None:
    text = rule(
        "peak",
        "mandatory peak <= 30 cmH2O",
        "fires: mode A/C-PC; inspiratory pressure 31 cmH2O above ambient",
        "holds: mode A/C-PC; inspiratory pressure 30 cmH2O above ambient",
        f"silent: {case}",
        when="mode type is PC",
    )
    idle = "peak: silent: asserts nothing: no term that the rule asks about stands in it, so it can't be checked anyway"
    assert told(text) == ([idle] if is_idle else [])


def test_silence_about_what_is_absent_is_an_assertion() -> None:
    """Without its `when`, this rule would speak of the case: it is silent for what the case leaves out."""
    text = rule(
        "target",
        "target low SpO2 is stated",
        "fires: FiO2 30 %",
        "holds: FiO2 30 %; target SpO2 88 to 92 %",
        "silent: PEEP 5 cmH2O",
        when="FiO2 is stated",
    )
    assert told(text) == []


def test_a_holding_case_without_a_term_of_the_rule_asserts_nothing() -> None:
    text = rule(
        "peep",
        "PEEP is not stated or PEEP <= 20 cmH2O",
        "fires: PEEP 21 cmH2O",
        "holds: PEEP 20 cmH2O",
        "holds: rise time 150 ms",
    )
    assert told(text) == ["peep: holds: asserts nothing: no term that the rule asks about stands in it"]


def test_a_case_that_says_the_same_as_another_is_told() -> None:
    more = "\n      - fires: 'mode A/C-VC;PEEP 22 cmH2O'\n      - fires: PEEP 22 cmH2O;  mode A/C-VC\n"
    assert told(SOUND.rstrip() + more) == ["high: fires: says the same as the case at line 18"]
    assert told(SOUND.rstrip() + more.replace("PEEP 22 cmH2O;", "PEEP 22 mbar;")) == []


# ---- rules that can't speak, or are never content


@pytest.mark.parametrize(
    ("require", "when", "message"),
    [
        ("PEEP >= 0 cmH2O", "", NEVER),
        ("PEEP < 20 cmH2O or PEEP >= 15 cmH2O", "", NEVER),
        ("PEEP is stated or PEEP is not stated", "", NEVER),
        ("PEEP <= 4 cmH2O", "PEEP < 3 cmH2O", NEVER),
        ("mode type is PC", "mode type is PC and PEEP > 3 cmH2O", NEVER),
        ("cycle time >= 0 s", "", None),
        ("PEEP > 5 cmH2O", "PEEP <= 5 cmH2O", ALWAYS),
        ("PEEP is not stated", "PEEP >= 5 cmH2O", ALWAYS),
        ("interface is tracheostomy", "interface is nasal mask", ALWAYS),
        ("PEEP <= 20 cmH2O", "", ""),
        ("inspiratory time + expiratory time = cycle time", "", None),
        ("patient sex is male", "", ""),
        ("assembly has HME", "", ""),
        ("alarm high rate > rate", "", ""),
    ],
)
def test_rules_that_never_fire_or_always_do(require: str, when: str, message: str | None) -> None:
    """No message: both ways were found. None: one of them can't be told, and is said to be so."""
    found = review(pack(rule("it", require, when=when)))
    remarks = [each for each in found.remarks if "limit itself" not in each.message]
    if message is None:
        assert remarks and not any(each.is_told for each in remarks), remarks
        assert all(each.message.startswith("whether it ") for each in remarks)
    else:
        assert [each.message for each in remarks] == ([message] if message else [])


def test_what_a_case_shows_is_not_searched_for() -> None:
    """A search could not tell that this rule can fire: its two requirements need a list as long as this."""
    require = "count of filter in assembly <= 3"
    unknown = "it: whether it can ever fire; no case shows it"
    assert told(rule("it", require)) == [unknown, f"it: no case stands at the limit itself of {require}"]
    four = "fires: assembly ventilator, filter, filter, filter, filter, tubing 180 cm, nasal mask"
    three = four.replace("fires", "holds").replace("filter, ", "", 1)
    assert told(rule("it", require, four, three)) == []


def test_each_requirement_of_several_is_looked_at() -> None:
    each = "each:\n      - require: PEEP <= 20 cmH2O\n      - require: PEEP <= 20 cmH2O or PEEP > 10 cmH2O"
    found = told(rule("two", each, "fires: PEEP 21 cmH2O", "holds: PEEP 20 cmH2O", "holds: PEEP 10 cmH2O"))
    assert found == [
        "two: can never fire (PEEP <= 20 cmH2O or PEEP > 10 cmH2O), whatever a document could plausibly say"
    ]


@pytest.mark.parametrize(
    ("condition", "found"),
    [
        ("PEEP > 10 cmH2O and PEEP < 11 cmH2O", "yes"),
        ("PEEP > 11 cmH2O and PEEP < 10 cmH2O", "no"),
        ("PEEP is stated and FiO2 is not stated", "yes"),
        ("patient diagnosis is obstructive and patient diagnosis is restrictive", "yes"),
        ("patient sex is male and patient sex is female", "no"),
        ("interface cuff is cuffed and interface is tracheostomy", "yes"),
        ("HME before catheter mount in assembly", "yes"),
        ("count of filter in assembly >= 2", "yes"),
        ("set rate > 10 /min and rate is not stated", "yes"),
        ("target low SpO2 < target high SpO2", "yes"),
    ],
)
def test_the_space_of_what_can_be_said(condition: str, found: str) -> None:
    read = read_condition(condition, base_names())
    assert read.node is not None, read.errors
    assert can_hold(None, read.node, {}).found == found


# ---- limits


def test_limits_that_contradict_one_another() -> None:
    low = rule("low", "PEEP >= 10 cmH2O", when="mode type is PC")
    high = rule("high", "PEEP < 8 cmH2O", when="patient age < 12 years")
    (found,) = [each for each in told(low, high) if "together" in each]
    assert re.fullmatch(
        r"low: PEEP >= 10 cmH2O can't be kept together with PEEP < 8 cmH2O of trial\.high, and both apply with "
        r"mode type PC, patient age .*",
        found,
    )


@pytest.mark.parametrize(
    ("low", "high", "when"),
    [
        ("PEEP >= 8 cmH2O", "PEEP <= 8 cmH2O", ""),
        ("PEEP >= 10 cmH2O", "PEEP <= 8 mbar", "patient age < 12 years"),
        ("PEEP >= 10 cmH2O", "EPAP <= 8 cmH2O", ""),
        ("PEEP >= 10 cmH2O or mode type is PC", "PEEP <= 8 cmH2O", ""),
    ],
)
def test_limits_that_do_not(low: str, high: str, when: str) -> None:
    one = rule("low", low, when="patient age >= 12 years" if when else "")
    assert [each for each in told(one, rule("high", high, when=when)) if "together" in each] == []


def test_one_value_is_left_or_none() -> None:
    one, other = rule("low", "PEEP >= 8 cmH2O"), rule("high", "PEEP < 8 cmH2O")
    assert any("can't be kept together" in each for each in told(one, other))


TABLE = """define:
  least:
    rows:
      - { when: patient age < 12 years, is: 9 cmH2O }
      - { otherwise: 4 cmH2O }
    means: x
    source: y
"""


@pytest.mark.parametrize(("when", "is_found"), [("patient age < 20 years", True), ("patient age >= 12 years", False)])
def test_rows_of_a_table_count_where_they_apply(when: str, is_found: bool) -> None:
    remarks = told(rule("low", "PEEP >= least"), rule("high", "PEEP <= 6 cmH2O", when=when), more=TABLE)
    found = [each for each in remarks if "together" in each]
    assert len(found) == is_found
    assert all("low: PEEP >= 9 cmH2O can't be kept together with PEEP <= 6 cmH2O" in each for each in found)


def test_a_policy_s_limit_is_held_against_the_pack_s_that_it_uses() -> None:
    text = (
        "pack: site\nrevision: 1\nsummary: x\nuses: [pressure]\nlimits:\n"
        "  - {id: site.low, level: query, of: PEEP, allow: at least 12 cmH2O, source: y}\n"
        "  - {id: site.high, level: query, of: PEEP, allow: up to 10 cmH2O, source: y}\n"
    )
    found, problems = load_text(text, "site.yaml")
    assert problems == () and found is not None
    remarks = [each for each in review(found).remarks if "together" in each.message and "site.high" in each.message]
    assert len(remarks) == 1
    assert remarks[0].message.startswith("PEEP >= 12 cmH2O can't be kept together with PEEP <= 10 cmH2O of site.high")


@pytest.mark.parametrize(
    ("require", "cases", "limits"),
    [
        ("PEEP <= 20 cmH2O", ("fires: PEEP 21 cmH2O", "holds: PEEP 19 cmH2O"), ["PEEP <= 20 cmH2O"]),
        ("PEEP < 20 cmH2O", ("fires: PEEP 20 cmH2O", "holds: PEEP 19 cmH2O"), []),
        ("20 cmH2O >= PEEP", ("fires: PEEP 21 cmH2O", "holds: PEEP 20 cmH2O"), []),
        ("PEEP is between 5 cmH2O and 9 cmH2O", ("fires: PEEP 4 cmH2O", "holds: PEEP 5 cmH2O"), ["PEEP <= 9 cmH2O"]),
        (
            "PEEP >= least",
            ("fires: PEEP 3 cmH2O; patient age 20 years", "holds: PEEP 5 cmH2O; patient age 20 years"),
            ["PEEP >= least"],
        ),
        (
            "PEEP >= least",
            ("fires: PEEP 3 cmH2O; patient age 20 years", "holds: PEEP 4 cmH2O; patient age 20 years"),
            [],
        ),
        ("PEEP >= EPAP", ("fires: PEEP 3 cmH2O; EPAP 4 cmH2O", "holds: PEEP 5 cmH2O; EPAP 4 cmH2O"), []),
        ("predicted weight > 20 kg", ("fires: PEEP 3 cmH2O",), []),
    ],
)
def test_a_limit_at_which_no_case_stands(require: str, cases: tuple[str, ...], limits: list[str]) -> None:
    remarks = [each for each in told(rule("it", require, *cases), more=TABLE) if "limit itself" in each]
    assert remarks == [f"it: no case stands at the limit itself of {each}" for each in limits]


# ---- what a pack says


def test_a_level_that_the_basis_lowers_is_worth_knowing_and_no_fault() -> None:
    found = review(pack(SOUND.replace("level: query", "level: reject")))
    assert [each.message for each in found.remarks] == ["level: reject is lowered to query, for its basis is practice"]
    assert found.is_sound
    verified = SOUND.replace("level: query", "level: reject").replace("basis: practice", "basis: verified")
    assert review(pack(verified)).remarks == ()


@pytest.mark.parametrize(
    ("old", "new", "remark"),
    [
        ("source: common practice, no published source", "source: TODO", "source says nothing: TODO"),
        ("because: of the test", "because: '...'", "because says nothing: ..."),
        ("level: query", "level: query\n    stricter: [{level: note, when: PEEP > 30 cmH2O}]",
         "stricter: note is not stricter than its level, which is query"),
        ("say: x", "say: x\n    yields to: pressure.baseline-hihg",
         "yields to: pressure.baseline-hihg is neither a rule of this pack nor a built-in one; did you mean "),
        ("id: trial.high", "id: ward.high", "its id does not begin with the name of its pack, trial"),
    ],
)  # fmt: skip
def test_what_does_not_hold_or_says_nothing_is_told(old: str, new: str, remark: str) -> None:
    assert SOUND.count(old) == 1
    found = review(pack(SOUND.replace(old, new)))
    (told,) = found.remarks
    assert told.message.startswith(remark) and not found.is_sound


def test_a_rule_of_another_pack_may_be_given_way_to() -> None:
    found = review(pack(SOUND.replace("say: x", "say: x\n    yields to: night.quite-different")))
    assert [each.is_fault for each in found.remarks] == [False] and found.is_sound


def test_a_row_of_a_table_without_a_source_is_told_at_the_row() -> None:
    found = review(pack(SOUND, more=TABLE))
    told = [(each.spot.line, each.rule, each.message) for each in found.remarks]
    words = "this row of its table does not say where its value comes from"
    assert [each for each in told if each[2] == words] == [(7, "least", words), (8, "least", words)]


def test_a_row_of_a_policy_that_gives_no_source_is_told() -> None:
    text = (
        "pack: site\nrevision: 1\nsummary: x\nuses: [pressure]\nlimits:\n"
        "  - {id: site.high, level: query, of: PEEP, allow: up to 10 cmH2O, source: '?'}\n"
        "adjust:\n  - {rule: pressure.mechanical-power, level: note, because: tbd}\n"
    )
    found, problems = load_text(text, "site.yaml")
    assert problems == () and found is not None
    assert [(each.spot.line, each.message) for each in review(found).remarks] == [
        (6, "source says nothing: ?"),
        (8, "because says nothing: tbd"),
    ]


def test_a_case_that_fails_shows_the_values_and_what_was_worked_out() -> None:
    text = rule(
        "room",
        "alarm high inspiratory pressure - mandatory peak >= 5 cmH2O",
        "fires: inspiratory pressure 20 cmH2O above PEEP; PEEP 5 cmH2O; alarm high inspiratory pressure 30 cmH2O",
    )
    (failed,) = review(pack(text)).failures
    assert failed.failure == "does not fire: trial.room is met"
    assert failed.told == (
        "values      alarm high inspiratory pressure 30 cmH2O, mandatory peak 25 cmH2O",
        "worked out  inspiratory pressure = PEEP + inspiratory pressure as written = 5 cmH2O + 20 cmH2O = 25 cmH2O",
        "requires    alarm high inspiratory pressure - mandatory peak >= 5 cmH2O: true",
    )


def test_a_case_on_which_another_rule_speaks_says_what_that_one_says() -> None:
    other = rule("other", "PEEP <= 15 cmH2O", "fires: PEEP 16 cmH2O; mode A/C-PC", "holds: PEEP 15 cmH2O")
    failed = review(pack(SOUND, other)).failures[0]
    assert failed.failure == "fires, and so does trial.other"
    assert "says        query: x" in failed.told and "also        query: x [trial.other]" in failed.told


def test_a_case_whose_line_can_t_be_read_says_why() -> None:
    failed = review(pack(SOUND.replace("fires: PEEP 21 cmH2O", "fires: PEEP 21"))).failures[0]
    assert any(line.startswith("also        reject: PEEP has a number without a unit") for line in failed.told)


# ---- the house's own packs


@pytest.mark.parametrize("name", ["mode", "airway", "equipment", "monitoring"])
def test_a_built_in_pack_is_reviewed_without_a_fault(name: str) -> None:
    found: Review = review(next(each for each in builtin_packs() if each.name == name))
    assert found.failures == ()
    assert [each.message for each in found.remarks if "never" in each.message or "together" in each.message] == []
