"""Pairs of slips: how two are put into one text, what is masked, and that no masking is without its reason.

The whole is `python -m tests.slips --pairs`. Here a part of them is screened; which, changes with the rules.
"""

import csv
import io
from functools import cache

import pytest

from rxlint.screening.ruleset import builtin_rules
from tests.documents import rule_text, rules_of, screen
from tests.slips import masking, pairs_page
from tests.slips.harness import digest_of_rules, documents
from tests.slips.kinds import KINDS
from tests.slips.masking import (
    ELSEWHERE,
    GAVE_WAY,
    KEPT,
    LOST,
    OTHERWISE,
    UNREAD,
    Mask,
    Said,
    lines_of,
    masks,
    said,
    said_without_yielding,
)
from tests.slips.pairs import Pair, found_alone, judged, pair_in, sampled
from tests.slips.pairs_page import Outcome, explained, outcome_of, unexplained
from tests.slips.sheet import Slip
from tests.slips.together import Hunk, compose, hunks

_PART = 97  # every so many pairs are screened
SOUND = "one\ntwo\nthree\nfour\nfive\n"


def slip(text: str, *lines: int) -> Slip:
    return Slip(text, frozenset(lines), "", "", ())


# ---- two slips in one text
def test_a_changed_line_is_one_hunk_and_a_lost_one_another() -> None:
    assert hunks(SOUND, SOUND.replace("two", "2").replace("four", "4")) == (Hunk(1, 2, ("2",)), Hunk(3, 4, ("4",)))
    assert hunks(SOUND, SOUND.replace("three\n", "")) == (Hunk(2, 3, ()),)
    assert hunks(SOUND, SOUND.replace("three\n", "three\nnew\n")) == (Hunk(3, 3, ("new",)),)
    assert hunks("a\na\nb", "a\na\na\nb") == (Hunk(2, 2, ("a",)),)


def test_two_slips_stand_together_and_their_lines_move() -> None:
    lost = slip(SOUND.replace("two\n", ""), 1)
    changed = slip(SOUND.replace("four", "4"), 4)
    both = compose(SOUND, lost, changed)
    assert both is not None
    assert both.text == "one\nthree\n4\nfive\n"
    assert both.second(4) == {3}
    assert [both.first(line) for line in (1, 2, 3, 4)] == [{1}, {2}, {3}, {4}]


def test_a_line_that_the_other_slip_changes_is_followed() -> None:
    more = slip(SOUND.replace("one\n", "one\nnew\n"), 2)
    changed = slip(SOUND.replace("four", "4"), 4)
    both = compose(SOUND, more, changed)
    assert both is not None
    assert both.second(4) == {5}
    assert both.first(5) == {5}  # the fourth line of the sound text, which the other slip changed
    gone = compose(SOUND, more, slip(SOUND.replace("four\n", "")))
    assert gone is not None and gone.first(5) == set()


@pytest.mark.parametrize(
    "other",
    [SOUND.replace("two", "zwei"), SOUND.replace("two\n", ""), SOUND.replace("two\n", "two\nnew\n")],
    ids=["the same line", "the same line lost", "a line added beside it"],
)
def test_slips_of_one_line_do_not_stand_together(other: str) -> None:
    assert compose(SOUND, slip(SOUND.replace("two", "2"), 2), slip(other, 2)) is None


# ---- one slip, one finding; two slips, two
def test_a_rule_of_several_terms_speaks_for_its_own_lines_alone() -> None:
    """Two limits that are swapped say nothing of another alarm: that may be a second slip."""
    each = (
        "\n      - { require: alarm low rate < 20 /min, at: [alarm low rate], say: low }"
        "\n      - { require: alarm high rate > 30 /min, at: [alarm high rate], say: high }"
    )
    several = rule_text("PEEP <= 8 cmH2O", id="trial.several").replace("require: PEEP <= 8 cmH2O", f"each:{each}")
    several = several.replace('    say: "it does not hold"\n', "")
    close = rule_text("alarm high rate >= 40 /min", id="trial.close", yields_to="[trial.several]")
    rules = rules_of(several, close)

    def told(low: int, high: int) -> list[str]:
        text = f'prescription "x"\nalarms\n  low rate {low} /min\n  high rate {high} /min\n'
        return sorted(finding.rule for finding in screen(text, rules).findings)

    assert told(low=10, high=25) == ["trial.several"]  # the same line
    assert told(low=25, high=35) == ["trial.close", "trial.several"]
    assert told(low=25, high=25) == ["trial.several", "trial.several"]


def test_a_swapped_pair_of_limits_does_not_hide_another_alarm() -> None:
    path = next(each for each in documents() if each.stem == "TM-0524-adult-weaning-with-oxygen-bled-in")
    text = path.read_text("utf-8")
    other = text.replace("SpO2                  94 to 98 %", "SpO2                  90 to 95 %")
    both = other.replace("low EtCO2                  4 kPa", "low EtCO2                  7 kPa").replace(
        "high EtCO2                 7 kPa", "high EtCO2                 4 kPa"
    )
    assert len({text, other, both}) == 3
    alone = {each.rule for each in said("x", other).findings}
    assert "alarms.against-target" in alone
    assert {"alarms.against-target", "alarms.order"} <= {each.rule for each in said("x", both).findings}


# ---- what is masked
def some_pair() -> Pair:
    path = documents()[0]
    return next(found for kind in KINDS for found in [pair_in(path, (kind, KINDS[0]))] if found is not None)


def silent(outcome: str) -> Said:
    """Nothing is said, and every rule has this outcome."""
    return Said((), dict.fromkeys(builtin_rules().order, outcome), frozenset())


@pytest.mark.parametrize(
    ("outcome", "kind"),
    [("met", KEPT), ("not checked", UNREAD), ("does not apply", OTHERWISE), ("broken", ELSEWHERE)],
)
def test_what_is_not_said_any_more_is_masked_and_says_how(outcome: str, kind: str) -> None:
    pair = some_pair()
    alone = said(pair.path.stem, pair.slips[0].text)
    assert alone.findings
    told = masks(pair.slips[0], alone, silent(outcome), pair.both.first, lambda: silent(outcome))
    assert told == [Mask(each.rule, kind) for each in alone.findings]


def test_what_would_be_said_and_is_not_is_lost() -> None:
    pair = some_pair()
    alone = said(pair.path.stem, pair.slips[0].text)
    told = masks(pair.slips[0], alone, silent("broken"), lambda line: {line}, lambda: alone)
    assert told == [Mask(each.rule, LOST) for each in alone.findings]
    assert masks(pair.slips[0], alone, alone, lambda line: {line}, lambda: alone) == []


def test_a_rule_that_leaves_the_word_to_another_at_other_lines_gave_way() -> None:
    text = documents()[0].read_text("utf-8")
    high = said_without_yielding(
        "x", text.replace("low SpO2                   92 %", "low SpO2                   96 %")
    )
    swapped = said_without_yielding(
        "x", text.replace("low minute volume          2 L", "low minute volume          7 L")
    )
    (target,) = (each for each in high.findings if each.rule == "alarms.against-target")
    (order,) = (each for each in swapped.findings if each.rule == "alarms.order")
    both = Said((order,), silent("broken").outcomes, frozenset())
    alone = Said((target,), both.outcomes, frozenset())
    raw = Said((order, target), both.outcomes, frozenset())
    told = masks(Slip(text, frozenset(), "", "", ()), alone, both, lambda line: {line}, lambda: raw)
    assert told == [Mask("alarms.against-target", GAVE_WAY, ("alarms.order",))]


def test_a_finding_relates_to_lines() -> None:
    text = documents()[0].read_text("utf-8").replace("PEEP  ", "PEEP 1")
    found = said("x", text).findings
    assert found and all(finding.place.line in lines_of(finding) for finding in found)


def test_a_masking_without_a_reason_is_told() -> None:
    mask = Mask("pressure.peak-high", GAVE_WAY, ("pressure.reference-slip",))
    outcome = Outcome("x", ("a", "b"), ("", ""), (True, True), ((mask,), ()))
    assert unexplained(outcome) == ["pressure.peak-high gave way pressure.reference-slip"]
    unread = Outcome("x", ("a", "b"), ("", ""), (False, True), ((Mask("pressure.peak-high", UNREAD),), ()))
    assert unexplained(unread) == []
    neither = Outcome("x", ("a", "b"), ("", ""), (False, False), ((Mask("pressure.peak-high", UNREAD),), ()))
    assert unexplained(neither) == ["pressure.peak-high not checked"]


def test_silence_is_a_fault_unless_the_two_slips_fit_each_other() -> None:
    kept, otherwise = Mask("pressure.reference-slip", KEPT), Mask("pressure.stated-twice", OTHERWISE)
    both = (False, False)
    assert unexplained(Outcome("x", ("a", "b"), ("", ""), both, ((kept,), (kept,)), is_silent=True)) == []
    told = unexplained(Outcome("x", ("a", "b"), ("", ""), both, ((kept,), (otherwise,)), is_silent=True))
    assert told == ["pressure.stated-twice does not apply", "nothing is said"]


def test_every_listed_masking_is_of_rules_that_there_are() -> None:
    known = {*builtin_rules().order, masking.ELSEWHERE, masking.NOTED, masking.LOST}
    assert {name for pair in pairs_page.LISTED for name in pair} <= known
    assert all(reason.strip() for reason in pairs_page.LISTED.values())
    assert explained(Mask("no.rule", LOST), is_stopped=True) == ""


# ---- a part of the pairs
@cache
def every() -> tuple[Pair, ...]:
    return tuple(sampled())


def test_nothing_is_masked_without_a_reason() -> None:
    part = every()[int(digest_of_rules(), 16) % _PART :: _PART]
    assert len(part) > 30
    wrong = {pair.told: told for pair in part if (told := unexplained(outcome_of(judged(pair))))}
    assert wrong == {}


def test_every_two_kinds_stand_together_somewhere_but_few() -> None:
    kinds = [frozenset(kind.name for kind in pair.kinds) for pair in every()]
    assert len(set(kinds)) == len(kinds) > 0.9 * len(KINDS) * (len(KINDS) + 1) / 2
    assert len({pair.path for pair in every()}) >= 12


def test_only_slips_that_are_found_alone_are_taken() -> None:
    for pair in every():
        for kind, number in zip(pair.kinds, pair.numbers, strict=True):
            assert number in found_alone()[kind.name, pair.path.stem]


def test_the_page_and_the_results_are_of_these_pairs() -> None:
    text = pairs_page.PAGE.read_text("utf-8")
    assert f" {len(every()):,} of " in text, f"the page is stale: run `{pairs_page.COMMAND}`"
    _, *rows = csv.reader(io.StringIO(pairs_page.RESULTS.read_text("utf-8")))
    documents_of = {pair.path.stem for pair in every()}
    assert rows and {row[0] for row in rows} <= documents_of
    told = {tuple(sorted((row[1], row[5]))) for row in rows}
    assert told <= {tuple(sorted(kind.name for kind in pair.kinds)) for pair in every()}
