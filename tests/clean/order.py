"""An order while it is written: sections in the order in which they were begun, and the text that they come to."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from random import Random
from typing import Final

from tests.clean.people import Person
from tests.clean.sense import Claim

DAY: Final = datetime.date(2026, 11, 24)
"""The day on which the orders are screened."""
WIDTH: Final = 110
_LISTS: Final = ("", "assembly", "expiratory limb")
"""Details that may go on after a comma."""
_GASES: Final = re.compile(r"(?<![\d.])(\d{1,2}(?:\.\d+)?)(?: to (\d{1,2}(?:\.\d+)?))? kPa")
"""Gases, told in kPa: one or two numbers below 100. Cylinders hold more."""
_NOTE: Final = (
    "# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation."
)


@dataclass(frozen=True)
class Order:
    """A prescription with the kind it was drawn as, and what it claims to do."""

    kind: str
    text: str
    claim: Claim


def number(value: float, step: float = 1) -> str:
    """A value rounded to a step, half up, without zeros that say nothing."""
    by = Decimal(str(step))
    rounded = (Decimal(str(round(value, 9))) / by).quantize(Decimal(1), ROUND_HALF_UP) * by
    told = format(rounded.normalize(), "f")
    return "0" if told in {"-0", "0"} else told


def near(value: float, step: float = 1) -> float:
    """A value rounded to a step, as `number` writes it."""
    return float(number(value, step))


def moment(at: datetime.datetime) -> str:
    return at.strftime("%Y-%m-%d %H:%M")


class Draft:
    """Collects an order's details. ``written`` is the moment at which it is written."""

    def __init__(self, rng: Random, person: Person, acute: bool) -> None:
        self.rng = rng
        self.person = person
        self.acute = acute
        back = rng.randint(0, 1) if acute else rng.randint(2, 40)
        day = DAY - datetime.timedelta(days=back)
        hour = rng.randint(0, 18) if acute else rng.randint(9, 15)
        self.written = datetime.datetime(day.year, day.month, day.day, hour, rng.choice((0, 5, 10, 20, 30, 40, 50)))
        self.fractions = rng.random() < 0.25
        """Whether this author writes oxygen as a fraction."""
        self.millibars = rng.random() < 0.08
        self.mercury = rng.random() < 0.12
        """Whether this author writes airway pressures in mbar, and gases in mm Hg."""
        self._sections: dict[str, list[tuple[str, str]]] = {}

    def put(self, section: str, term: str, value: str) -> None:
        """One detail; a bare list has no term."""
        self._sections.setdefault(section, []).append((term, value))

    def bare(self, heading: str) -> None:
        """A heading with nothing below it."""
        self._sections.setdefault(heading, [])

    def oxygen(self, low: float, high: float | None = None) -> str:
        """A share of oxygen, or two, as this author writes them; given in %."""
        given = [each for each in (low, high) if each is not None]
        told = [number(each / 100, 0.01) if self.fractions else number(each) for each in given]
        return " to ".join(told) + ("" if self.fractions else " %")

    def says(self, section: str, term: str, value: str) -> bool:
        """Whether a section has exactly this detail."""
        return (term, value) in self._sections.get(section, [])

    def change(self, section: str, term: str, old: str, new: str) -> None:
        """Put something else into a detail that was told."""
        told = self._sections[section]
        self._sections[section] = [(each, value.replace(old, new) if each == term else value) for each, value in told]

    def text(self) -> str:
        """The whole order."""
        parts = [_NOTE]
        for heading, details in self._sections.items():
            wide = max((len(term) for term, _ in details), default=0)
            parts.append(heading)
            for term, value in details:
                parts.extend(_detail(term.ljust(wide) + "  " if term else "", value))
            parts.append("")
        text = "\n".join(parts[:-1]) + "\n"
        if self.millibars:  # they are 2 % apart, and nobody sets 4.9 mbar for 5 cmH2O
            text = text.replace(" cmH2O", " mbar")
        return _GASES.sub(_in_mercury, text) if self.mercury else text


def _in_mercury(found: re.Match[str]) -> str:
    told = [number(float(each) * 7.50062) for each in found.group(1, 2) if each is not None]
    return f"{' to '.join(told)} mmHg"


def _detail(term: str, value: str) -> list[str]:
    """A detail's lines: a list that is too long goes on after a comma, deeper than its term."""
    line = f"  {term}{value}"
    if len(line) <= WIDTH or term.strip() not in _LISTS:
        return [line]
    lines, current = [], f"  {term}"
    for item in re.split(r"(?<=,) ", value):
        if len(current) + len(item) > WIDTH:
            lines.append(current.rstrip())
            current = " " * (len(term) + 4)
        current += item + " "
    return [*lines, current.rstrip()]
