"""What a titration can reach is allowed too, for a term that is stepped alone; terms stepped together are walked."""

import pytest

from tests.documents import allowed, facts, first_rules, in_unit, prescription, screen

STEP = "titration\n  raise {} by 1 cmH2O every 30 min up to {} when SpO2 below 90 %\n"


def order(step: str, *settings: str) -> str:
    return prescription(*settings, before=step)


def test_a_fixed_value_reaches_the_end_of_its_steps() -> None:
    found = facts(order(STEP.format("PEEP", "10 cmH2O"), "PEEP 5 cmH2O"))
    assert allowed(found, "PEEP") == (5, 10)
    assert in_unit(found.as_set.value("PEEP")) == 5
    assert found.allowed["PEEP"].grid == 1


def test_a_step_downwards_reaches_below() -> None:
    step = "titration\n  lower PEEP by 1 cmH2O every 30 min down to 4 cmH2O when SpO2 above 97 %\n"
    assert allowed(facts(order(step, "PEEP 8 cmH2O")), "PEEP") == (4, 8)


def test_an_allowed_range_grows_to_the_end_and_never_shrinks() -> None:
    lines = "PEEP 5 cmH2O allow 4 to 8 cmH2O"
    assert allowed(facts(order(STEP.format("PEEP", "10 cmH2O"), lines)), "PEEP") == (4, 10)
    assert allowed(facts(order(STEP.format("PEEP", "7 cmH2O"), lines)), "PEEP") == (4, 8)


@pytest.mark.parametrize(("end", "reached"), [("14 cmH2O above PEEP", (17, 19)), ("19 cmH2O above ambient", (17, 17))])
def test_an_end_counts_in_the_reference_of_its_line(end: str, reached: tuple[int, int]) -> None:
    lines = ("PEEP 5 cmH2O", "inspiratory pressure 12 cmH2O above PEEP")
    assert allowed(facts(order(STEP.format("inspiratory pressure", end), *lines)), "inspiratory pressure") == reached


def test_terms_that_are_stepped_together_are_no_free_box() -> None:
    step = STEP.format("inspiratory pressure and pressure support", "20 cmH2O above ambient")
    found = facts(
        order(step, "PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient", "pressure support 12 cmH2O")
    )
    assert not found.allowed


def test_a_kept_term_follows_its_relation_and_not_the_step() -> None:
    lines = ("PEEP 5 cmH2O", "EPAP 5 cmH2O", "keep EPAP = PEEP")
    found = facts(order(STEP.format("EPAP", "9 cmH2O"), *lines))
    assert allowed(found, "EPAP") == (5, 5)


def test_steps_of_one_pressure_alone_that_drive_two_breaths_apart_are_found() -> None:
    lines = (
        "mode SIMV-PC with PS",
        "PEEP 5 cmH2O",
        "inspiratory pressure 17 cmH2O above ambient",
        "pressure support 12 cmH2O",
    )
    rest = ("rate 15 /min", "inspiratory time 1 s")
    before = {each.rule for each in screen(prescription(*lines, *rest), first_rules()).findings}
    (found,) = screen(order(STEP.format("PEEP", "8 cmH2O"), *lines, *rest), first_rules()).findings
    assert before == set()
    assert (found.rule, found.outcome) == ("pressure.supported-breaths-differ", "can break")
    assert found.example is not None and set(found.example) == {"PEEP"}


@pytest.mark.parametrize(("size", "end", "step"), [(2, 11, 2), (2, 10, None), (1, 10, 1)])
def test_only_what_steps_come_to_is_reached_where_they_come_to_the_end(size: int, end: int, step: int | None) -> None:
    text = f"titration\n  raise PEEP by {size} cmH2O every 30 min up to {end} cmH2O when SpO2 below 90 %\n"
    found = facts(order(text, "PEEP 5 cmH2O"))
    assert found.allowed["PEEP"].step == step


def test_steps_of_two_sizes_reach_what_lies_between() -> None:
    text = (
        "titration\n  raise PEEP by 2 cmH2O every 30 min up to 11 cmH2O when SpO2 below 90 %\n"
        "  lower PEEP by 1 cmH2O every 30 min down to 3 cmH2O when SpO2 above 97 %\n"
    )
    found = facts(order(text, "PEEP 5 cmH2O"))
    assert allowed(found, "PEEP") == (3, 11)
    assert found.allowed["PEEP"].step is None
