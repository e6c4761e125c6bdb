"""What a rule answers below, at and above a limit: in a scope, and in a document's text in several units."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from rxlint.expressions import read_number
from rxlint.model.facts import Facts
from rxlint.screening.cases import screen_case
from rxlint.screening.finding import Row, summarise
from rxlint.screening.review_cases import facts_of_cases
from rxlint.units import Unit, find_unit, units_of, without_basis
from tests.boundaries.find import Trial
from tests.boundaries.sites import Conditions, Numbered, conditions_of, pack_of
from tests.boundaries.trial import answered, gap_of, must_answer, prepared_of, rules_of, told, truth_of
from tests.boundaries.written import decimal, places_of, stands_at, units_for, with_values

_FINEST: Final = Fraction(1, 10**12)
_MOST_UNITS: Final = 3
_PLAIN: Final = "no unit"
_WITH_UNIT: Final = re.compile(r"(-?\d+(?:\.\d+)?) (\S+)((?: of .+)?)")


@dataclass(frozen=True, slots=True)
class InUnit:
    """What came of one unit in text: the values written, those that the reader refused, on how many sides of the limit
    the comparison came out differently among those that it took.
    """

    unit: str
    written: tuple[str, ...]
    refused: tuple[str, ...]
    truths: frozenset[bool]

    @property
    def tells(self) -> bool:
        """Whether the limit was crossed in what was read."""
        return len(self.truths) == 2


@dataclass(frozen=True, slots=True)
class Checked:
    """What came of a limit. ``faults`` are answers other than the operator asks for; ``units`` those tried in text."""

    trial: Trial
    faults: tuple[str, ...]
    units: tuple[InUnit, ...]

    @property
    def told(self) -> tuple[str, ...]:
        """The units in which the limit was crossed in text."""
        return tuple(each.unit for each in self.units if each.tells)


def checked(pack: str, numbered: Numbered, trial: Trial) -> Checked:
    """Try a limit in its scope, then in the text of its case where that can be written."""
    faults = [*_literal(pack, numbered), *_in_scope(pack, trial)]
    if trial.other is not None:
        faults += _in_scope(pack, trial.other)
    units: list[InUnit] = []
    if trial.in_text:
        standing = stands_at(trial.case.scopes[trial.scope], trial.key)
        assert standing is not None, "a trial in text has its value in the text"
        for unit in units_for(standing)[:_MOST_UNITS]:
            one, wrong = _in_unit(pack, trial, unit)
            units.append(one)
            faults += wrong
    return Checked(trial, tuple(faults), tuple(units))


# ---- the number of the pack itself


def _literal(pack: str, numbered: Numbered) -> Iterator[str]:
    """A limit written in another unit must be the same number to an expression."""
    match = _WITH_UNIT.fullmatch(numbered.limit.text)
    own = find_unit(match[2]) if match is not None else None
    if match is None or own is None:
        return
    for symbol in units_of(without_basis(own.dimension)):
        unit = find_unit(symbol)
        text = decimal(numbered.limit.value / unit.factor) if unit is not None else None
        if text is not None:
            read = read_number(f"{text} {symbol}{match[3]}", pack_of(pack).names)
            value = getattr(read.node, "value", None) if text[0] != "-" else -numbered.limit.value
            if abs(value or 0) != abs(numbered.limit.value):
                yield f"{numbered.limit.text} written {text} {symbol}{match[3]} is read as {value}"


# ---- in the scope


def _in_scope(pack: str, trial: Trial) -> Iterator[str]:
    values = list(trial.only or trial.around)
    if trial.meeting.exact is not None and trial.tally is None and not trial.only:
        step = abs(trial.meeting.exact) * _FINEST or _FINEST
        values += [trial.meeting.exact - step, trial.meeting.exact + step]
    for value in values:
        facts = trial.at(value)
        gap = gap_of(trial.site.compare, facts.as_set)
        assert gap is not None, "both sides have a value in a trial"
        if gap and value == trial.meeting.exact:
            yield f"{trial.key} at {float(value)!r}: the two sides do not meet there"
        wanted = must_answer(trial.site, facts, truth_of(trial.site.compare, gap))
        found = (told(trial.site.conditions, facts), answered(pack, trial.site.rule, facts))
        if found != (wanted, wanted):
            yield f"{trial.key} at {float(value)!r}: {wanted!r} is right, exactly {found[0]!r}, in floats {found[1]!r}"


# ---- in text


def points(trial: Trial, unit: Unit) -> list[tuple[int, str]]:
    """The numbers to write in a unit, each with its side: -1 below the limit, 0 at it, 1 above."""
    low, high = trial.meeting.low / unit.factor, trial.meeting.high / unit.factor
    places = places_of(low)
    step = Fraction(10) ** -places
    at = decimal(low) if low == high else None
    if at is not None:
        return [(-1, _text(low - step)), (0, at), (1, _text(low + step))]
    below = (low / step).__floor__() * step
    above = (high / step).__ceil__() * step
    return [(-1, _text(below if below < low else below - step)), (1, _text(above if above > high else above + step))]


def _text(value: Fraction) -> str:
    text = decimal(value, 40)
    assert text is not None, "a decimal and a step of its last place make a decimal"
    return text


def _in_unit(pack: str, trial: Trial, unit: Unit) -> tuple[InUnit, list[str]]:
    written: list[str] = []
    refused: list[str] = []
    faults: list[str] = []
    truths: set[bool] = set()
    for side, number in points(trial, unit):
        amount = f"{number} {unit.symbol}".rstrip()
        scopes = _read(pack, trial, unit, number)
        if scopes is None:
            refused.append(amount)
            continue
        written.append(amount)
        truths.add(truth_of(trial.site.compare, _gap_on(trial, side)))
        faults += _judged(pack, trial, scopes, side, amount)
    return InUnit(unit.symbol or _PLAIN, tuple(written), tuple(refused), frozenset(truths)), faults


def _text_of(trial: Trial, unit: Unit, number: str) -> str | None:
    facts = trial.case.scopes[trial.scope]
    texts = {trial.key: (number, unit)}
    for key, value in trial.beside.items():
        standing = stands_at(facts, key)
        text = decimal(value / standing.unit.factor) if standing is not None else None
        if standing is None or text is None:
            return None
        texts[key] = (text, standing.unit)
    return with_values(facts, texts)


def _read(pack: str, trial: Trial, unit: Unit, number: str) -> tuple[str, tuple[Facts, ...]] | None:
    """The text with the number, and its facts; None where the reader does not take the number."""
    text = _text_of(trial, unit, number)
    if text is None:
        return None
    whole = pack_of(pack)
    rule = replace(trial.site.rule, cases=(replace(trial.case.case, text=text, whole=True),), parts=())
    scopes = facts_of_cases(rule, whole)[0].scopes
    if len(scopes) != len(trial.case.scopes):
        return None
    value = scopes[trial.scope].constants.get(trial.key)
    return (text, scopes) if isinstance(value, Fraction) else None


def _judged(pack: str, trial: Trial, read: tuple[str, tuple[Facts, ...]], side: int, amount: str) -> Iterator[str]:
    """What is wrong with the answers to one text."""
    text, scopes = read
    facts = scopes[trial.scope]
    value, gap = facts.constants.get(trial.key), gap_of(trial.site.compare, facts.as_set)
    low, high = trial.meeting.low, trial.meeting.high
    assert isinstance(value, Fraction), "it was read"
    if ((value > high) - (value < low)) != side or (side == 0 and gap != 0):
        yield f"{trial.key} {amount} is read as {value}, where the limit is {low}"
    if gap is None:
        yield f"{trial.key} {amount}: a side of the comparison has no value"
        return
    wanted = must_answer(trial.site, facts, truth_of(trial.site.compare, _gap_on(trial, side)))
    found = answered(pack, trial.site.rule, facts)
    if found != wanted:
        yield f"{trial.key} {amount}: {wanted!r} is right, found {found!r}"
    rule = trial.site.rule.id
    case = replace(trial.case.case, text=text, whole=True)
    screening = screen_case(case, rules_of(pack))
    outcome = next(row.outcome for row in screening.coverage.rules if row.rule == rule)
    whole = _outcome(pack, trial, scopes, wanted)
    if outcome != whole:
        yield f"{trial.key} {amount}: {whole!r} is right for the document, found {outcome!r}"
    levels = {each.level for each in screening.findings if each.rule == rule}
    if trial.site.place == "stricter" and levels != {wanted.partition(", ")[2]}:
        yield f"{trial.key} {amount}: {wanted!r} is right, found at {sorted(levels)}"


def _gap_on(trial: Trial, side: int) -> Fraction:
    """The difference on a side as it must be: its sign is that of the scope's on this side, not of what was read."""
    if side == 0:
        return Fraction(0)
    found = gap_of(trial.site.compare, trial.at(trial.around[0 if side < 0 else -1]).as_set)
    assert found is not None, "both sides have a value in a trial"
    return found


def _outcome(pack: str, trial: Trial, scopes: Sequence[Facts], wanted: str) -> str:
    """What the rule as a whole must answer over all scopes, with the answer that this part must give in this scope."""
    rows: list[Row] = []
    rule = trial.site.rule.id
    has_readings = any(facts.scope.readings is not None for facts in scopes)
    for index, facts in enumerate(scopes):
        for conditions in _parts(pack, rule):
            own, uses = facts.scope.readings is not None, prepared_of(pack)[id(conditions.rule)].uses_readings
            if uses == own or (not own and not has_readings):
                is_it = index == trial.scope and conditions.rule is trial.site.rule
                answer = wanted if is_it else told(conditions, facts)
                rows.append(Row(rule, _OUTCOMES[answer.partition(",")[0]], (), (), None, None))
    return summarise({rule: rows}, (rule,)).rules[0].outcome


_OUTCOMES: Final = {each: each for each in ("met", "broken", "does not apply", "not checked")}


def _parts(pack: str, rule: str) -> list[Conditions]:
    return [each for each in conditions_of(pack_of(pack)) if each.rule.id == rule]
