"""What came of every number of a pack: how far it could be tried, and what was wrong."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from rxlint.model.context import context_types
from rxlint.model.names import shown_key
from tests.boundaries.by_code import case_at
from tests.boundaries.check import Checked, checked
from tests.boundaries.find import BY_CODE, RANK, NotFound, trials_of
from tests.boundaries.sites import Numbered, numbers_of

How = Literal["two units", "one unit", "scope", "code", "not"]
HOW: Final[dict[How, str]] = {
    "two units": "through text, in two units or three",
    "one unit": "through text, in one unit",
    "scope": "in a scope alone",
    "code": "read by code",
    "not": "not tried",
}
_MOST_TEXTS: Final = 6
_MOST_TRIALS: Final = 80


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of a number: ``why`` says why no more was possible, and is empty where nothing is left to wish for."""

    pack: str
    numbered: Numbered
    how: How
    why: str = ""
    checked: Checked | None = None

    @property
    def faults(self) -> tuple[str, ...]:
        """The answers other than the operator asks for."""
        return self.checked.faults if self.checked is not None else ()


def verdicts(pack: str, start: int = 0, every: int = 1) -> Iterator[Verdict]:
    """What comes of the limits of a pack, or of a part of them."""
    limits = [each for each in numbers_of(pack) if each.is_limit]
    return (verdict(pack, each) for each in limits[start::every])


def verdict(pack: str, numbered: Numbered) -> Verdict:
    """Try a number: in text in two units where that can be, or else as far as it goes."""
    whys: list[str] = []
    best: Checked | None = None
    texts = 0
    for found in itertools.islice(trials_of(pack, numbered), _MOST_TRIALS):
        if isinstance(found, NotFound):
            whys.append(found.why)
        elif found.in_text or best is None:
            tried = checked(pack, numbered, found)
            best = tried if best is None or len(tried.told) > len(best.told) or tried.faults else best
            texts += found.in_text
            if best.faults or len(best.told) > 1 or texts >= _MOST_TEXTS:
                break
    if best is None:
        why = BY_CODE if BY_CODE in whys else max(whys, key=RANK.index) if whys else RANK[0]
        if why == BY_CODE:
            return _by_code(pack, numbered)
        return Verdict(pack, numbered, "not", why)
    if len(best.told) > 1:
        return Verdict(pack, numbered, "two units", "", best)
    if best.told:
        return Verdict(pack, numbered, "one unit", _why_one(best), best)
    return Verdict(pack, numbered, "scope", _why_scope(best), best)


def _by_code(pack: str, numbered: Numbered) -> Verdict:
    rule = case_at(pack, numbered)
    held = f"a case of {rule} stands at its very value" if rule else "no case stands at its very value"
    return Verdict(pack, numbered, "code", f"{BY_CODE}; {held}")


def _why_one(tried: Checked) -> str:
    others = [each for each in tried.units if not each.tells]
    if not others:
        return f"{tried.trial.key} is written in {tried.told[0]} alone"
    return f"in {others[0].unit} the reader refuses {', '.join(others[0].refused) or 'nothing'}"


def _beside(tried: Checked) -> list[str]:
    trials = [tried.trial, *([tried.trial.other] if tried.trial.other is not None else [])]
    return sorted({shown_key(key) for each in trials for key in each.beside})


def _why_scope(tried: Checked) -> str:
    trial = tried.trial
    refused = [each for unit in tried.units for each in unit.refused]
    if refused:
        return f"the reader refuses {refused[0]}, without which the limit is not crossed"
    if trial.other is not None:
        return f"both sides were tried, each with another value of {' and '.join(_beside(tried))}"
    if trial.tally is not None:
        return f"parts are counted in {trial.key}: a count has no unit"
    if trial.key in context_types():
        return f"{trial.key} is worked out of dates or of several lines"
    return f"no case states {trial.key} as one plain amount that can be moved there"
