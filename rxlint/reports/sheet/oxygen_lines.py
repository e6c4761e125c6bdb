"""What the picture of the oxygen shows: the supply, what may be drawn from it, and how long it has to last.

Every draw is a term of the program: those that the rules of oxygen and of transfers count with, and the one to plan
for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final

from rxlint.expressions import Words
from rxlint.model.facts import Facts
from rxlint.physiology.cylinders import duration
from rxlint.physiology.errors import OutOfDomain
from rxlint.reports.sheet.spans import Span, lacking_text, not_known, span_of

DRAW: Final = "oxygen: oxygen draw"
DRAW_WITH_LEAK: Final = "transport: draw with leak"
PLANNED: Final = "planned oxygen draw"
GENEROUS: Final = "oxygen: generous oxygen draw"
MUST_LAST: Final = "oxygen: oxygen must last"
MARGIN: Final = "oxygen: oxygen margin"
CONTENTS: Final = "oxygen in cylinders"
ONE: Final = "oxygen cylinder"
WAY: Final = "oxygen transfer"

_Find = Callable[[str], Span | None]


@dataclass(frozen=True, slots=True)
class Line:
    """A draw: by which term, in words how it is found, the draw itself in mL/s, and how long the supply lasts in s.

    ``letter`` is that of its line in the picture; empty where it stands in the table alone.
    """

    letter: str
    key: str
    words: str
    draw: Fraction
    lasts: Fraction


@dataclass(frozen=True, slots=True)
class Supply:
    """A supply in mL, its cylinders, the draws from the least to the most, and the times in s that matter.

    ``way`` is the longest journey that the order allows, ``must_last`` the journey with its reserve, ``twice`` what a
    journey without a stated reserve is usually reckoned at; each None where it does not apply.
    """

    contents: Fraction
    one: Fraction
    cylinders: int
    lines: tuple[Line, ...]
    way: Fraction | None
    must_last: Fraction | None
    twice: Fraction | None
    margin: Fraction | None
    reserve: str  # in words

    @property
    def drawn(self) -> tuple[Line, ...]:
        """The lines of the picture: the least draw and the most; any other lies between them."""
        return tuple(line for line in self.lines if line.letter)


def supply_of(facts: Facts) -> Supply | tuple[str, ...]:
    """The supply and what is drawn from it, or why it can't be drawn."""
    find = cache(lambda key: span_of(key, facts))  # over ranges a value takes long to find
    contents, one = find(CONTENTS), find(ONE)
    if contents is None or contents.as_set is None or one is None or one.as_set is None:
        return tuple(_no_supply(facts))
    if contents.as_set <= 0:
        return ("the cylinders hold nothing",)
    lines = tuple(_lines(contents.as_set, find, facts))
    if not lines:
        why = lacking_text((DRAW,), facts)
        return (f"what is drawn each minute is {not_known(why)}" if why else "nothing is drawn from the cylinders",)
    count = facts.constants.get("oxygen cylinders")
    way, last, margin = find(WAY), find(MUST_LAST), find(MARGIN)
    no_reserve = way is not None and not facts.is_stated("oxygen reserve")
    twice = margin.high * way.high if no_reserve and margin is not None and way is not None else None
    return Supply(
        contents.as_set,
        one.as_set,
        int(count) if isinstance(count, Fraction) else 1,
        lines,
        way.high if way is not None else None,
        last.high if last is not None else None,
        twice,
        margin.high if twice is not None and margin is not None else None,
        _reserve(facts),
    )


def _no_supply(facts: Facts) -> Iterator[str]:
    if ONE in facts.unreadable:
        yield "what is in a cylinder is not certain: its line could not be read, or names no country or pressure"
    elif "oxygen cylinders" in facts.unreadable:
        yield "the number of cylinders could not be read"
    elif facts.stated("oxygen flow") is not None or _adds_oxygen(facts):
        yield "oxygen is ordered, and no cylinder is stated: how long a supply lasts is not known"
    else:
        yield "the order states no oxygen supply"


def _adds_oxygen(facts: Facts) -> bool:
    fraction = span_of("FiO2", facts)
    return fraction is not None and fraction.high > Fraction(21, 100)


def _lines(contents: Fraction, find: _Find, facts: Facts) -> Iterator[Line]:
    """The least draw that the rules count, and a larger one to plan with; of each what is set and the most allowed."""
    found: list[tuple[str, str, Fraction]] = []
    for key, words in dict.fromkeys((_counted(find, facts), _planned(find, facts))):
        span = find(key)
        if span is not None:
            found += [(key, text, draw) for text, draw in _draws(words, span)]
    each_once: dict[Fraction, tuple[str, str, Fraction]] = {}
    for key, words, draw in sorted(found, key=lambda each: each[2]):
        lasts = _lasts(contents, draw)
        if lasts is not None:
            each_once.setdefault(draw, (key, words, lasts))
    letters = {min(each_once, default=None): "A"}
    letters = {max(each_once, default=None): "B"} | letters
    for draw, (key, words, lasts) in each_once.items():
        yield Line(letters.get(draw, ""), key, words, draw, lasts)


def _counted(find: _Find, facts: Facts) -> tuple[str, str]:
    leaks = _word("limb", facts) == "single with leak port" and facts.stated("oxygen flow") is None
    if leaks and find(DRAW_WITH_LEAK) is not None:
        return DRAW_WITH_LEAK, "for all that is breathed and leaks"
    if facts.stated("oxygen flow") is not None:
        return DRAW, "the flow that is bled in"
    return DRAW, "for what is breathed, leaks left out"


def _planned(find: _Find, facts: Facts) -> tuple[str, str]:
    if find(PLANNED) is not None:
        return PLANNED, "to plan with: all gas x FiO2"
    least, generous = find(_counted(find, facts)[0]), find(GENEROUS)
    if least is not None and generous is not None and generous.high < least.high:
        return _counted(find, facts)  # it leaves out the leak, and is then no generous draw
    return GENEROUS, "to plan with: all that is breathed x FiO2"


def _draws(words: str, span: Span) -> Iterator[tuple[str, Fraction]]:
    if span.as_set is not None:
        yield (f"{words}, as set" if not span.is_point else words), span.as_set
    if span.as_set is None or span.high > span.as_set:
        yield f"{words}, the most allowed", span.high


def _word(key: str, facts: Facts) -> str:
    words = facts.constants.get(key)
    return next(iter(words.stated), "") if isinstance(words, Words) and len(words.stated) == 1 else ""


def _lasts(contents: Fraction, draw: Fraction) -> Fraction | None:
    try:
        return Fraction(duration(float(contents), 0.0, float(draw)))
    except OutOfDomain:
        return None


def change_times(supply: Supply, line: Line) -> tuple[Fraction, ...]:
    """When each cylinder but the last is empty, in s."""
    found = (_lasts(supply.one * number, line.draw) for number in range(1, supply.cylinders))
    return tuple(each for each in found if each is not None)


def _reserve(facts: Facts) -> str:
    stated = facts.stated("oxygen reserve")
    if stated is None:
        return "not stated"
    if "oxygen reserve" in facts.unreadable:
        return "stated, could not be read"
    return " ".join(stated.entry.text[stated.statement.phrase[1] :].split())
