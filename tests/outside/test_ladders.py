"""The published ladders of PEEP and FiO2: on a rung nothing is said, off the ladder both ends are told.

The tables are copied from the protocol summary of the ARDS Clinical Network (lower PEEP, and the higher PEEP of
Brower RG et al., ALVEOLI, N Engl J Med 2004;351:327-36) as the University of Michigan reproduces it; that page was
read. It prints 15 in the second column of 40 % of the higher table, where the card is remembered to print 16: both
are asked.
"""

from functools import cache

import pytest

from rxlint.packs.builtin import builtin_packs
from rxlint.screening.case_text import document_of
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import RuleSet, prepare
from tests.documents import outcome, screen

RULE = "pressure.oxygen-ladder"

# FiO2 in per cent, PEEP in cmH2O, column by column.
LOWER = [
    *[(30, 5), (40, 5), (40, 8), (50, 8), (50, 10), (60, 10), (70, 10), (70, 12), (70, 14)],
    *[(80, 14), (90, 14), (90, 16), (90, 18), (100, 18), (100, 20), (100, 22), (100, 24)],
]
"""The last column is printed as 18-24."""

HIGHER = [
    *[(30, 5), (30, 8), (30, 10), (30, 12), (30, 14), (40, 14), (40, 15), (40, 16), (50, 16), (50, 18)],
    *[(50, 20), (60, 20), (70, 20), (80, 20), (80, 22), (90, 22), (100, 22), (100, 24)],
]
"""The column of 20 cmH2O is printed for 0.5-0.8."""

RUNGS = sorted({*LOWER, *HIGHER})
OXYGEN = sorted({fraction for fraction, _ in RUNGS})

# How far from a rung still counts as on it: common practice, no published source.
SLACK = 2


@cache
def pressure_rules() -> RuleSet:
    return prepare([pack for pack in builtin_packs() if pack.name in ("notation", "pressure")])


def order(fraction: int, peep: float) -> str:
    facts = (
        f"mode A/C-VC; PEEP {peep:g} cmH2O; FiO2 {fraction} %; tidal volume 420 mL; rate 20 /min; "
        "inspiratory time 1 s; interface endotracheal tube; patient age 50 years; patient diagnosis acute lung injury"
    )
    return document_of(facts)


def told(fraction: int, peep: float) -> Finding:
    findings = screen(order(fraction, peep), pressure_rules()).findings
    (found,) = [each for each in findings if each.rule == RULE]
    return found


def lowest(fraction: int) -> int:
    return min(peep for at, peep in LOWER if at == fraction)


def highest(fraction: int) -> int:
    return max(peep for at, peep in RUNGS if at == fraction)


def test_the_tables_have_the_columns_that_are_printed() -> None:
    # 14 columns each; 18-24 is written as four rungs, 0.5-0.8 as four, and the doubtful column as 15 and as 16.
    assert len(LOWER) == 14 + 3
    assert len(HIGHER) == 14 + 3 + 1


@pytest.mark.parametrize(("fraction", "peep"), RUNGS)
def test_a_rung_is_met(fraction: int, peep: int) -> None:
    screening = screen(order(fraction, peep), pressure_rules())
    assert outcome(screening, RULE) == "met"
    assert [each.message for each in screening.findings] == []


@pytest.mark.parametrize("fraction", OXYGEN)
def test_below_the_lower_ladder_is_told(fraction: int) -> None:
    bottom = lowest(fraction)
    assert outcome(screen(order(fraction, bottom - SLACK), pressure_rules()), RULE) == "met"
    found = told(fraction, bottom - SLACK - 0.1)
    assert found.level == "note"
    assert f"from {bottom} cmH2O to {highest(fraction)} cmH2O" in found.message
    assert f"at FiO2 {fraction} %" in found.message


@pytest.mark.parametrize("fraction", [each for each in OXYGEN if each < 100])
def test_above_the_higher_ladder_is_told(fraction: int) -> None:
    top = highest(fraction)
    assert outcome(screen(order(fraction, top + SLACK), pressure_rules()), RULE) == "met"
    found = told(fraction, top + SLACK + 0.1)
    assert found.level == "note"
    assert f"from {lowest(fraction)} cmH2O to {top} cmH2O" in found.message


def test_above_the_top_rung_of_all_another_rule_says_it() -> None:
    # 24 cmH2O is the highest rung of both tables; more is above the limit of any baseline, which is told in its place.
    screening = screen(order(100, 26.1), pressure_rules())
    assert outcome(screening, RULE) == "broken"
    assert [each.rule for each in screening.findings] == ["pressure.baseline-high"]
