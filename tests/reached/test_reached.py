"""No rule is dead: each speaks in a case and is met in one, and is shown by an example or a slip, or has its reason."""

from __future__ import annotations

import pytest

from rxlint.expressions import PointEnvironment, Space, read_condition
from rxlint.model.facts import facts_of
from rxlint.model.names import base_names
from tests.documents import document, facts, pack_of, prescription, rule_text
from tests.packs.cases import RULES
from tests.reached import page as told
from tests.reached.branches import Branch, forks_of, look, plans_of
from tests.reached.gather import Reach, of_cases, reach, slips
from tests.reached.seeded import FILE, Seeded, read, speakers, text_of, written
from tests.slips.harness import digest_of_slips

_AGAIN = "run `python -m tests.reached`"
SEEDED_FROM, SEEDED = read(FILE.read_text("utf-8"))


def test_every_rule_speaks_in_a_case_and_is_met_in_one() -> None:
    lacking = {rule: each for rule, each in of_cases().items() if not (each["fires"] and each["holds"])}
    assert lacking == {}
    assert len(of_cases()) == len(RULES)


def test_every_rule_is_shown_or_has_its_reason() -> None:
    hidden = {row.rule for row in told.rows() if not row.is_shown}
    assert hidden == set(told.reasons()), "shown by no example and no slip; or listed in reasons.yaml, and shown by one"


def test_the_page_is_fresh() -> None:
    assert told.PAGE.read_text("utf-8") == told.page(), _AGAIN


def test_the_seeded_slips_are_those_of_the_study() -> None:
    assert digest_of_slips() == SEEDED_FROM, f"{_AGAIN} --seeded"


@pytest.mark.parametrize("part", range(4))
def test_a_rule_speaks_on_the_seeded_slip_that_is_named(part: int) -> None:
    """Each rule of a part, in the first slip that is told of it; slips of several rules are screened once."""
    named: dict[Seeded, set[str]] = {}
    for rule, each in sorted(SEEDED.items())[part::4]:
        named.setdefault(Seeded(0, each.document, each.kind, each.number), set()).add(rule)
    silent = {slip: rules - speakers(slip.document, text_of(slip)) for slip, rules in named.items()}
    assert {slip: rules for slip, rules in silent.items() if rules} == {}, f"{_AGAIN} --seeded"
    assert named


def test_what_is_stored_is_read_back() -> None:
    assert written(SEEDED, SEEDED_FROM) == FILE.read_text("utf-8")


# ---- the harness itself
def test_a_rule_that_is_reached_by_nothing_would_be_told() -> None:
    nothing = reach(iter(()))
    assert nothing.keys() == {rule.id for rule in RULES}
    assert all(each == Reach() for each in nothing.values())
    name, screening = next(slips())
    one = reach(iter(((name, screening),)))
    assert {rule for rule, each in one.items() if each.spoke == [name]} == {each.rule for each in screening.findings}
    row = told.Row("trial.one", 3, "", "", None, {"fires": 1, "holds": 1, "silent": 0})
    assert not row.is_shown
    assert "NO REASON" not in told.PAGE.read_text("utf-8")


def test_branches_of_a_rule_are_told_apart() -> None:
    whole = pack_of(
        rule_text("PEEP <= ceiling", when="FiO2 > 50 % or rate > 20 /min"),
        define="""define:
  ceiling:
    rows:
      - { when: patient age < 1 years, is: 6 cmH2O, source: x }
      - { when: patient age < 12 years, is: 8 cmH2O, source: x }
      - { otherwise: 10 cmH2O, source: x }
    means: x
    source: x
""",
    )
    terms = {key: tuple(forks_of("ceiling", each.node)) for key, each in whole.defined.items()}
    (plan,) = plans_of(whole.rules[0], whole.defined, terms)
    assert [f"{branch.kind} {branch.number}" for branch in plan.branches] == [
        "alternative 1.1", "alternative 1.2", "row 1.1", "row 1.2", "row 1.3",
    ]  # fmt: skip

    def reached(age: str, *settings: str) -> set[str]:
        text = prescription(*settings, before=f"patient\n  age  {age}\n")
        (scope,) = facts_of(document(text), {key: each.node for key, each in whole.defined.items()})
        return {f"{branch.kind} {branch.number}" for branch in look(plan, (scope,))}

    assert reached("3 years", "PEEP 5 cmH2O", "FiO2 60 %", "rate 12 /min") == {"alternative 1.1", "row 1.2"}
    assert reached("20 years", "PEEP 5 cmH2O", "FiO2 40 %", "rate 30 /min") == {"alternative 1.2", "row 1.3"}
    assert reached("20 years", "PEEP 5 cmH2O", "FiO2 60 %", "rate 30 /min") == {"row 1.3"}  # either would have done
    assert reached("3 months", "PEEP 5 cmH2O", "FiO2 40 %", "rate 12 /min") == {"row 1.1"}  # it does not apply
    assert reached("3 months", "FiO2 60 %", "rate 12 /min") == set()  # and here it can't be checked


def test_parts_and_levels_are_reached_where_they_are_broken() -> None:
    whole = pack_of(
        """  - id: trial.one
    level: note
    basis: verified
    title: A rule of a test
    stricter: [{ level: query, when: PEEP > 20 cmH2O }]
    each: [{ require: PEEP <= 10 cmH2O, say: high }, { require: PEEP >= 4 cmH2O, say: low }]
    because: of the test
    source: this test
    cases: []
"""
    )
    plans = plans_of(whole.rules[0], whole.defined, {})

    def reached(peep: str) -> list[Branch]:
        scopes = (facts(prescription(f"PEEP {peep}")),)
        return [branch for plan in plans for branch in look(plan, scopes)]

    assert [str(branch) for branch in reached("12 cmH2O")] == ["trial.one, part 1: PEEP <= 10 cmH2O"]
    assert [branch.kind for branch in reached("22 cmH2O")] == ["part", "stricter level"]
    assert [branch.number for branch in reached("3 cmH2O")] == ["2"]
    assert reached("5 cmH2O") == []


def test_a_table_that_can_t_be_told_gives_no_row() -> None:
    read_it = read_condition("PEEP > 5 cmH2O or rate > 20 /min", base_names())
    assert read_it.node is not None
    (fork,) = forks_of("x", read_it.node)
    assert fork.taken(PointEnvironment(Space(), {})) is None
