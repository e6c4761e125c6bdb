"""Pairs of slips, sampled: every two kinds that can stand together, in several documents, and what is said of them.

`python -m tests.slips --pairs` screens them and renews PAIRS.md and pairs.csv. Only slips that are found alone are
taken: of a slip that is missed alone nothing can be masked.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache, partial
from itertools import combinations_with_replacement
from pathlib import Path
from typing import Final

from tests.slips.harness import FOUND, documents, sheet_of, slips_of
from tests.slips.kinds import KINDS, Kind
from tests.slips.masking import Mask, Said, is_found, masks, said, said_without_yielding
from tests.slips.sheet import Slip
from tests.slips.table import RESULTS, read_results
from tests.slips.together import Both, compose

SEED: Final = 20_261_124
_FIRST: Final = 12
"""So many documents are tried first, so that a slip is screened alone once for many pairs."""
_OF_A_KIND: Final = 3
"""So many slips of a kind in a document are tried until two stand together."""


@dataclass(frozen=True)
class Pair:
    """Two slips of one document, with their kinds and their numbers among the slips of their kind."""

    path: Path
    kinds: tuple[Kind, Kind]
    numbers: tuple[int, int]
    slips: tuple[Slip, Slip]
    both: Both

    @property
    def told(self) -> str:
        """The pair for a message."""
        sides = zip(self.kinds, self.slips, strict=True)
        return f"{self.path.stem}: " + "; ".join(f"{kind.name}: {slip.before} -> {slip.after}" for kind, slip in sides)


@dataclass(frozen=True)
class Judged:
    """What came of a pair, side by side: whether each is found beside the other, what is masked of it, and whether
    anything is said of the two at `query` or above.
    """

    pair: Pair
    found: tuple[bool, bool]
    masks: tuple[tuple[Mask, ...], tuple[Mask, ...]]
    rules: tuple[str, ...]


@cache
def found_alone() -> dict[tuple[str, str], tuple[int, ...]]:
    """By kind and document, the numbers of the slips that the study of single slips finds."""
    letters = read_results(RESULTS.read_text("utf-8")).letters
    return {
        key: tuple(at for at, letter in enumerate(told) if letter == FOUND)
        for key, told in letters.items()
        if FOUND in told
    }


def sampled(seed: int = SEED) -> Iterator[Pair]:
    """For every two kinds, a kind with itself too, a pair of slips: in one of a dozen documents that the seed draws, or
    where they stand together in none of these, in any other.
    """
    drawn = list(documents())
    random.Random(seed).shuffle(drawn)
    for first, second in combinations_with_replacement(KINDS, 2):
        chance = random.Random(f"{seed} {first.name} {second.name}")
        near, far = drawn[:_FIRST], drawn[_FIRST:]
        chance.shuffle(near)
        pair = next((found for path in (*near, *far) if (found := pair_in(path, (first, second), seed))), None)
        if pair is not None:
            yield pair


def pair_in(path: Path, kinds: tuple[Kind, Kind], seed: int = SEED) -> Pair | None:
    """Two slips of these kinds that stand together in a document, of the few that the seed draws of each kind."""
    for one in drawn_of(path, kinds[0], seed):
        for other in drawn_of(path, kinds[1], seed):
            slips = slips_of(path, kinds[0])[one], slips_of(path, kinds[1])[other]
            both = compose(sheet_of(path).text, *slips)
            if both is not None:
                return Pair(path, kinds, (one, other), slips, both)
    return None


@cache
def drawn_of(path: Path, kind: Kind, seed: int) -> tuple[int, ...]:
    """The numbers of a few slips of a kind in a document that are found alone, in the order in which they are tried."""
    numbers = list(found_alone().get((kind.name, path.stem), ()))
    random.Random(f"{seed} {path.stem} {kind.name}").shuffle(numbers)
    return tuple(numbers[:_OF_A_KIND])


def judged(pair: Pair) -> Judged:
    """Screen both slips together, and each alone where that was not done yet."""
    both = said(pair.path.stem, pair.both.text)
    sides = list(zip(pair.slips, (pair.both.first, pair.both.second), strict=True))
    found = [is_found(slip, both, where) for slip, where in sides]
    raw = partial(_raw, pair.path, pair.both.text)
    masked = [tuple(masks(slip, alone(pair.path, slip.text), both, where, raw)) for slip, where in sides]
    rules = tuple(sorted({each.rule for each in both.findings}))
    return Judged(pair, (found[0], found[1]), (masked[0], masked[1]), rules)


@cache
def alone(path: Path, text: str) -> Said:
    """What is said of a document with one slip."""
    return said(path.stem, text)


@lru_cache(maxsize=1)
def _raw(path: Path, text: str) -> Said:
    return said_without_yielding(path.stem, text)
