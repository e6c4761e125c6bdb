"""The study of clean orders: drawn alike each time, read to the last line, and no more is said than its page tells.

The page is renewed by `python -m tests.clean`, which takes half a minute; here a part of its orders is screened.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from functools import cache

import pytest

from tests.clean import ledger, page, scenarios, study
from tests.clean.lung import Breath, Lung, pressure_for, steady
from tests.clean.order import Order
from tests.clean.sense import doubts

_PART = 20
_AGAIN = "the page is stale: run `python -m tests.clean`, and tell in tests/clean/ledger.py what it says anew"


@cache
def stored() -> study.Results:
    return study.read_results(study.NOW.read_text("utf-8"))


@cache
def drawn() -> scenarios.Drawn:
    return scenarios.draw(stored().orders, stored().seed)


def part() -> list[tuple[int, Order]]:
    return list(enumerate(drawn().orders))[::_PART]


def test_the_orders_are_those_of_the_page() -> None:
    assert study.digest_of(drawn().orders) == stored().digest, _AGAIN
    assert drawn().thrown.total() == stored().thrown, _AGAIN
    assert stored().orders >= 400


def test_an_order_depends_on_the_seed_and_its_number_alone() -> None:
    seed = stored().seed
    assert scenarios.draw(25, seed).orders == drawn().orders[:25]
    assert scenarios.draw(5, seed + 1).orders != drawn().orders[:5]


def test_every_kind_is_drawn_and_none_is_without_a_claim_that_holds() -> None:
    assert Counter(order.kind for order in drawn().orders) == {kind: each[0] for kind, each in stored().kinds.items()}
    assert len(stored().kinds) >= len(scenarios.SCENARIOS)
    assert [order.kind for order in drawn().orders if any(doubts(order.claim))] == []


def test_orders_are_read_to_the_last_line() -> None:
    assert [wrong for order in drawn().orders[::10] for wrong in study.unread_lines(order)] == []


@pytest.mark.parametrize("bad", ["  PEEP  5\n", "  no such term  5 cmH2O\n", "nowhere\n"])
def test_a_line_that_can_t_be_read_is_seen(bad: str) -> None:
    order = drawn().orders[0]
    assert len(study.unread_lines(replace(order, text=order.text + "\nsettings during transfer\n" + bad))) == 1


def test_no_more_is_said_than_the_page_tells() -> None:
    more = {}
    for at, order in part():
        new = Counter(study.said(study.findings_of(order))) - Counter(stored().by_order[at])
        if new:
            more[f"order {at}, {order.kind}"] = new
    assert len(part()) >= 30
    assert more == {}, _AGAIN


def test_the_page_tells_what_is_stored() -> None:
    assert page.PAGE.read_text("utf-8") == page.page(page.first(), page.unmended(), stored()), _AGAIN
    assert study.stored(stored()) == study.NOW.read_text("utf-8")
    counted = Counter(each for said in stored().by_order for each in said)
    assert counted == {f"{told.rule} {told.level}": told.findings for told in stored().told}


def test_whatever_still_speaks_has_a_place_in_the_ledger() -> None:
    explained = {rule for entry in ledger.ENTRIES for rule in entry.rules}
    assert {told.rule for results in (stored(), page.unmended(), page.first()) for told in results.told} <= explained


# ---- what throws orders away
@pytest.mark.parametrize(
    ("change", "doubt"),
    [
        ({"minute": (50.0, 60.0)}, "an alarm of minute volume that always sounds"),
        ({"pressure": (60.0, 70.0)}, "an alarm of pressure that always sounds"),
        ({"kilograms": 300.0}, "tidal volume per kilogram"),
        ({"production": 30.0}, "carbon dioxide"),
        ({"aimed": (12.0, 13.0)}, "carbon dioxide away from what is aimed at"),
    ],
)
def test_an_order_that_is_not_consistent_is_doubted(change: dict[str, object], doubt: str) -> None:
    order = next(each for each in drawn().orders if each.kind == "adult, injured lungs")
    assert doubt in set(doubts(replace(order.claim, **change)))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("lung", "breath"),
    [
        (Lung(50, 10, 10), Breath(5, 15, 1.0, pressure=15)),
        (Lung(60, 15, 25), Breath(5, 20, 1.0, pressure=18)),
        (Lung(3.17, 40, 40), Breath(5, 50, 0.35, pressure=10)),
    ],
)
def test_the_lung_does_what_its_equations_say(lung: Lung, breath: Breath) -> None:
    """The steady state in closed form, as it follows from filling and emptying being exponential."""
    assert breath.pressure is not None
    x, y = math.exp(-breath.time / lung.filling), math.exp(-breath.expiration / lung.emptying)
    cycle = steady(lung, breath)
    assert cycle.tidal == pytest.approx(lung.compliance * breath.pressure * (1 - x) * (1 - y) / (1 - x * y), abs=1e-3)
    assert cycle.trapped == pytest.approx(breath.pressure * (1 - x) * y / (1 - x * y), abs=1e-4)
    assert pressure_for(lung, breath, cycle.tidal) == pytest.approx(breath.pressure, abs=1e-4)


def test_a_breath_of_a_set_volume_reaches_its_pressures() -> None:
    """500 mL in 0.5 s into 50 mL/cmH2O behind 10 cmH2O/(L/s): 10 over PEEP, and 10 more while it flows."""
    cycle = steady(Lung(50, 10, 10), Breath(5, 12, 0.5, volume=500))
    assert cycle.plateau == pytest.approx(15, abs=0.01)
    assert cycle.peak == pytest.approx(25, abs=0.01)
