"""The shapes of a ventilator profile: what a site's ventilator can be set to, by the names that stand on it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from rxlint.packs.pack import Spot
from rxlint.units import Unit, find_unit

Reference = Literal["ambient", "PEEP"]


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """A term without a line of its own that a ventilator may ask for; ``unit`` is the one to tell it in."""

    key: str
    unit: Unit


def _unit(symbol: str) -> Unit:
    unit = find_unit(symbol)
    assert unit is not None
    return unit


WORKED_OUT: Final = {
    each.key: each
    for each in (
        WorkedOut("duty cycle", _unit("%")),  # the share of the cycle that is inspiration
        WorkedOut("expiratory time", _unit("s")),
        WorkedOut("fallback delay", _unit("s")),  # how long an apnoea lasts before the back-up block holds
    )
}
"""What a ventilator may ask for though no line of an order states it by itself."""

IN_PLACE_OF_TIME: Final = ("duty cycle", "expiratory time")
"""Those that stand in place of an inspiratory time."""


@dataclass(frozen=True, slots=True)
class Steps:
    """A stretch of a dial: its ends, which can both be set, and the step between. In the numbers that stand on it."""

    low: Fraction
    high: Fraction
    step: Fraction


@dataclass(frozen=True, slots=True)
class Choice:
    """One place of a dial that has no numbers of the order: what stands there, and what it means in the notation.

    ``value`` is in base units; ``words`` are those of a term that is chosen by words, or ``on`` and ``off``.
    """

    name: str
    means: str
    value: Fraction | None = None
    words: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Dial:
    """A setting or an alarm as it is keyed in.

    ``keys`` are the notation's terms that it sets: the first that has a meaning in a mode is meant there. It has either
    ``steps``, in ``unit``, or ``choices``. ``above`` is what its pressure counts from. ``near`` says how far off, in
    the dial's numbers, the site lets a value lie from the place that is keyed in for it. ``off`` is what stands where
    an alarm is switched off, None where it can't be.
    """

    keys: tuple[str, ...]
    name: str
    spot: Spot
    unit: Unit
    steps: tuple[Steps, ...] = ()
    choices: tuple[Choice, ...] = ()
    above: Reference | None = None
    modes: frozenset[str] | None = None
    near: Fraction = Fraction(0)
    off: str | None = None

    @property
    def is_ratio(self) -> bool:
        """Whether it shows a ratio: then its numbers are the expiratory part for one part of inspiration."""
        return self.keys[0].endswith("I:E")


@dataclass(frozen=True, slots=True)
class Needed:
    """What a ventilator asks for and the notation has no term for: its name, the modes, and what to ask."""

    name: str
    ask: str
    modes: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class Profile:
    """A ventilator of a site. ``limbs`` and ``modes`` are pairs of the notation's word and the name on site.

    ``settings`` and ``alarms`` stand in the order in which they are keyed in.
    """

    name: str
    revision: int
    summary: str
    path: str
    digest: str
    limbs: tuple[tuple[str, str], ...]
    modes: tuple[tuple[str, str], ...]
    settings: tuple[Dial, ...]
    alarms: tuple[Dial, ...]
    needed: tuple[Needed, ...] = ()

    def limb(self, limb: str) -> str | None:
        """What a limb is called there; None where the ventilator does not take it."""
        return dict(self.limbs).get(limb)

    def mode(self, code: str) -> str | None:
        """What a mode is called there; None where the ventilator does not have it."""
        return dict(self.modes).get(code)


def same_name(one: str, other: str) -> bool:
    """Whether two names are of one ventilator: case and white space make no difference."""
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()
