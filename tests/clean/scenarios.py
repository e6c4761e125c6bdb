"""The kinds of orders with how often each is drawn, and the drawing itself."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from random import Random
from typing import Final

from tests.clean import homes, intensive, journeys, masks
from tests.clean.order import Order
from tests.clean.sense import doubts

SCENARIOS: Final[tuple[tuple[Callable[[Random], Order], int], ...]] = (
    (intensive.newborn_tube, 8),
    (intensive.newborn_cpap, 4),
    (intensive.child_tube, 10),
    (intensive.injured_adult, 10),
    (intensive.healthy_adult, 10),
    (intensive.obstructed_adult, 7),
    (masks.exacerbation, 7),
    (masks.heavy_on_ward, 5),
    (masks.oedema, 3),
    (masks.stable_copd, 6),
    (masks.heavy_at_home, 4),
    (masks.heavy_on_cpap, 3),
    (masks.weak_adult, 5),
    (masks.curved_adult, 4),
    (masks.weak_child, 6),
    (homes.child_tracheostomy, 8),
    (homes.adult_tracheostomy, 5),
    (homes.mouthpiece, 4),
    (homes.weaning, 4),
    (journeys.by_tube, 8),
    (journeys.by_mask, 3),
)
TRIES: Final = 200
"""So many times an order is drawn anew before the drawing gives up: a kind that fails as often contradicts itself."""


@dataclass(frozen=True)
class Drawn:
    """Orders that are consistent, and why others were thrown away: each by its first doubt, with its kind."""

    orders: tuple[Order, ...]
    thrown: Counter[tuple[str, str]]


def draw(orders: int, seed: int) -> Drawn:
    """So many consistent orders; each depends on the seed and its own number alone."""
    thrown: Counter[tuple[str, str]] = Counter()
    return Drawn(tuple(_one(seed, at, thrown) for at in range(orders)), thrown)


def _one(seed: int, at: int, thrown: Counter[tuple[str, str]]) -> Order:
    kinds = [kind for kind, _ in SCENARIOS]
    (make,) = Random(f"{seed}/{at}").choices(kinds, [weight for _, weight in SCENARIOS])
    for turn in range(TRIES):
        order = make(Random(f"{seed}/{at}/{turn}"))
        doubt = next(doubts(order.claim), None)
        if doubt is None:
            return order
        thrown[order.kind, doubt] += 1
    raise RuntimeError(f"{make.__name__}: {TRIES} orders in a row were not consistent")
