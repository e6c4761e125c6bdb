"""Rules that speak on the same case: each pair is explained, and the page is as fresh as a quick look can tell.

All cases take minutes; `RXLINT_PAIRS=all` looks at all of them, as `python -m tests.pairs` does.
"""

import os

import pytest

from rxlint.packs import Case
from rxlint.screening.case_text import document_of
from rxlint.screening.ruleset import builtin_rules
from tests import pairs
from tests.documents import document, rule_text, rules_of
from tests.pairs import Explanation, Together
from tests.pairs_fill import Filling, merged, nearest, orders, reads_of, speakers, text_of

STEP = 1 if os.environ.get("RXLINT_PAIRS") == "all" else 256
PAGE = pairs.PAGE.read_text("utf-8")
KNOWN = pairs.explanations(pairs.WHY.read_text("utf-8"))
LISTED = pairs.listed(PAGE)
FIRING = [(rule, case) for rule in builtin_rules().all_rules for case in rule.cases if case.kind == "fires"]
A = Together("trial.one", "trial.two", "PEEP 5 cmH2O")


def test_each_pair_on_the_page_has_one_explanation_and_each_explanation_a_pair() -> None:
    assert len(LISTED) > 5
    assert pairs.faults(LISTED, KNOWN) == [], "python -m tests.pairs"


def test_the_page_says_what_the_explanations_say() -> None:
    told = [line for line in PAGE.splitlines() if line.startswith("| `")]
    for each in LISTED:
        (explanation,) = pairs.explained(each.rule, each.other, KNOWN)
        assert any(f"`{each.rule}`, `{each.other}`" in line and explanation.why in line for line in told)


def test_the_page_counts_every_case_that_fires() -> None:
    assert f"\n{len(FIRING)} cases; " in PAGE, "python -m tests.pairs"


def test_what_a_share_of_the_cases_gives_stands_on_the_page() -> None:
    rules = builtin_rules()
    reads = reads_of(rules)
    found = [each for rule, case in FIRING[::STEP] for each in pairs.together(rule, [case], rules, reads)]
    on_page = {frozenset((each.rule, each.other)) for each in LISTED}
    missing = [each for each in found if not each.gives_way and frozenset((each.rule, each.other)) not in on_page]
    assert missing == [], "python -m tests.pairs"


@pytest.mark.parametrize("pair", LISTED, ids=lambda each: f"{each.rule}+{each.other}")
def test_a_listed_case_stands_in_one_of_the_two_rules_and_both_speak_on_it(pair: Together) -> None:
    cases = [
        case for rule, case in FIRING if rule.id in (pair.rule, pair.other) and pairs.quoted(case.text) == pair.case
    ]
    assert len(cases) == 1, "python -m tests.pairs"
    assert {pair.rule, pair.other} <= speakers(text_of(cases[0]), builtin_rules())


# ---- the check can fail


def test_a_pair_without_an_explanation_is_a_fault() -> None:
    assert pairs.faults([A], []) == ["trial.one and trial.two have 0 explanations"]
    assert pairs.faults([A], [Explanation(("trial.two", "trial.one"), "why")]) == []


def test_an_explanation_without_a_pair_is_a_fault() -> None:
    idle = Explanation(("trial.one", "other.*"), "why")
    assert pairs.faults([], [idle]) == ["trial.one and other.*: an explanation without a pair"]


def test_an_explanation_that_names_both_rules_comes_before_one_for_a_family() -> None:
    exact, family = Explanation(("trial.one", "trial.two"), "a"), Explanation(("trial.one", "trial.*"), "b")
    assert pairs.explained("trial.two", "trial.one", [family, exact]) == [exact]
    assert pairs.faults([A], [family, exact]) == ["trial.one and trial.*: an explanation without a pair"]


@pytest.mark.parametrize(
    "text", ["- {rules: [a.b], why: x}", "- {rules: [a.b, c.d]}", "- {rules: [a.b, c.d], why: ''}"]
)
def test_an_explanation_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="an explanation has two rules and why"):
        pairs.explanations(text)


def others(text: str, *rules: str) -> frozenset[str]:
    prepared = rules_of(*rules)
    return Filling(document_of(text), "trial.one", prepared, reads_of(prepared)).fill()


def test_a_rule_that_judges_the_same_line_is_a_pair() -> None:
    both = (rule_text("PEEP < 9 cmH2O", at="[PEEP]"), rule_text("PEEP < 8 cmH2O", id="trial.two", at="[PEEP]"))
    assert others("PEEP 10 cmH2O; rate 20 /min", *both) == {"trial.two"}


def test_a_rule_that_judges_another_line_is_none() -> None:
    both = (rule_text("PEEP < 9 cmH2O", at="[PEEP]"), rule_text("rate < 8 /min", id="trial.two", at="[rate]"))
    assert others("PEEP 10 cmH2O; rate 20 /min", *both) == frozenset()


def test_a_rule_that_misses_what_a_sound_order_states_is_none() -> None:
    when = "PEEP is stated"
    misses = rule_text("rise time is stated", id="trial.two", at="[PEEP]", when=when)
    own = rule_text("PEEP < 9 cmH2O", at="[PEEP]")
    assert others("PEEP 10 cmH2O", own, misses) == frozenset()
    silent = rule_text("rise time is not stated", id="trial.three")
    assert others("PEEP 10 cmH2O", own, misses, silent) == {"trial.two"}, "what makes another rule speak is not added"


def test_lines_go_to_the_end_of_their_section_or_into_a_new_one() -> None:
    text = document_of("PEEP 5 cmH2O; patient age 7 years")
    lines = [line for line in orders()[0].lines if line.key in ("rate", "cuff")]
    whole = merged(text, document(text), lines)
    assert "  PEEP 5 cmH2O\n  rate 20 /min\npatient\n" in whole
    assert whole.endswith("airway\n  cuff inflated\n")


def test_the_nearest_order_agrees_with_what_the_case_says() -> None:
    case = document(document_of("mode high flow; interface nasal prongs; patient age 80 years"))
    assert nearest(case)[0].like[:2] == ("high flow", "nasal prongs")


def test_a_case_s_own_text_is_never_touched() -> None:
    case = Case("fires", "PEEP 5 cmH2O", False, FIRING[0][1].spot)
    text = text_of(case)
    assert all(row in merged(text, document(text), orders()[0].lines).splitlines() for row in text.splitlines())
