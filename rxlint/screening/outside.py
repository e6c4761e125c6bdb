"""A document against the template that it follows: values, the patient, relations, and what it leaves out.

Each scope of the document is compared with the period of the template that answers to it. What is compared is what is
set and what is allowed; where either text has a line that can't be read, what rests on it is not checked.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, Literal

from rxlint.expressions import Node, PointEnvironment, Value, at_point, decide, number, show
from rxlint.model.facts import AS_WRITTEN, Facts
from rxlint.model.names import base_names
from rxlint.model.relations import Relation
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.tree import Entry
from rxlint.screening.alike import lacking_items, told, unlike
from rxlint.screening.calculation import calculation_of
from rxlint.screening.demands import Demand, demands_of, key_of_same
from rxlint.screening.sound import sound_ranges
from rxlint.screening.template import Period, Template
from rxlint.screening.values import Teller, show_number
from rxlint.screening.walks import BUDGET, Found, Walk, example_text
from rxlint.vocabulary import vocabulary

OUTSIDE: Final = "library.outside-template"
POPULATION: Final = "library.outside-population"
RELATION: Final = "library.relation-broken"
LACKS: Final = "library.lacks-template-term"
COMPARED: Final = (OUTSIDE, POPULATION, RELATION, LACKS)
"""The events of this walk."""

_NOT_COMPARED: Final = frozenset({"patient indication", "escalation ceiling"})  # free words: only that they are there
_LISTS: Final = ("monitoring", "equipment")
_OF_A_STEP: Final = {"step": "the step", "every": "the time between steps", "limit": "the end of the steps"}
_Outcome = Literal["met", "broken", "can break", "undecided", "not checked"]


@dataclass(frozen=True, slots=True)
class Answer:
    """How a condition of a template comes out: with an example where only something allowed breaks it."""

    outcome: _Outcome
    example: Mapping[str, Value] | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Shown:
    """What is shown with a finding."""

    calculation: tuple[str, ...] = ()
    example: Mapping[str, str] | None = None
    outcome: str = "broken"
    sound: tuple[str, ...] = ()
    others: tuple[Entry, ...] = ()


NOTHING: Final = Shown()


@dataclass(slots=True)
class _Comparison:
    """One scope of a document against its period of a template."""

    facts: Facts
    period: Period
    template: Template
    label: str
    link: Entry  # the line that names the template
    walk: Walk

    def unsure(self, event: str, why: str) -> None:
        self.walk.unsure.setdefault(event, why)

    def where(self, entry: Entry) -> str:
        """A line of the template, so that somebody finds it."""
        return f"{self.template.shown}:{entry.lines[0].number}"

    def found(self, event: str, entry: Entry, fields: Mapping[str, str], asked: Entry, shown: Shown = NOTHING) -> None:
        """Something that is not as the template has it, in a line of the document."""
        fields = {"template": f"{self.label} ({self.where(asked)})", **fields}
        related = [(self.link, "the template is named here")] if entry is not self.link else []
        related += [(other, "it goes with this line") for other in shown.others if other is not entry]
        end = len(entry.text.rstrip())
        self.walk.found.append(
            Found(
                event, entry, entry.indent, end, fields, tuple(related), shown.calculation,
                example=shown.example, outcome=shown.outcome, sound=shown.sound,
            )
        )  # fmt: skip


def walk_template(facts: Facts, template: Template, label: str, link: Entry) -> Walk:
    """Compare one scope with its template. ``label`` names the template, ``link`` is the line that does."""
    walk = Walk()
    period = template.period_for(facts.document, facts.period)
    if period is None:
        why = f"{template.shown} has several periods, and none answers to {facts.period or 'the whole day'}"
        walk.unsure |= dict.fromkeys(COMPARED, why)
        return walk
    walk.ran |= {OUTSIDE, POPULATION, LACKS}
    comparison = _Comparison(facts, period, template, label, link, walk)
    lacks = [name for line in period.lines for name in _line(comparison, line)]
    lacks += _of_lists(comparison)
    _steps(comparison)
    for relation in period.relations.readable:
        _relation(comparison, relation)
    if period.relations.unreadable:
        comparison.unsure(RELATION, "a relation of the template could not be read")
    for section in sorted(period.scope.unsure):
        for event in (OUTSIDE, POPULATION, LACKS):
            comparison.unsure(event, f"a line of {section} in the template could not be read")
    if lacks and (facts.band is None or not facts.band.is_elsewhere):
        fields = {"what": ", ".join(dict.fromkeys(lacks)), "template": f"{label} ({template.shown})"}
        walk.found.append(Found(LACKS, link, link.indent, len(link.text.rstrip()), fields))
    return walk


# ---- one line of the template


def _event_of(line: Stated) -> str:
    """A patient, and what carries the breath to the patient, is whom a template is for; all else is what it says."""
    return POPULATION if line.block.section == "patient" or line.key == "interface" else OUTSIDE


def _line(comparison: _Comparison, line: Stated) -> Iterator[str]:
    """Compare a line of the template with what the document says; yields the term where it says nothing."""
    facts, event = comparison.facts, _event_of(line)
    if not line.statement.readable or line.key in comparison.period.scope.repeated:
        comparison.unsure(event, f"{comparison.where(line.entry)} could not be read")
        return
    key = key_of_same(line.key, facts)
    if key is None:
        yield from _absent(comparison, line)
        return
    own = facts.scope.by_key.get(line.key)
    if own is not None and (not own.statement.readable or line.key in facts.scope.repeated):
        comparison.unsure(event, f"{line.key} is stated but could not be read")
        return
    if own is not None and line.key not in _NOT_COMPARED:
        other = unlike(line, own)
        if other is not None and other.is_open:
            yield f"{line.key} {told(line)}"
            return
        if other is not None:
            fields = {"what": line.key, "is": "is", "value": other.value, "allowed": told(line)}
            comparison.found(event, own.entry, fields, line.entry)
            return
    if own is not None and _is_at_another_pressure(line, own):
        comparison.unsure(event, f"{line.key} is stated at another pressure than in the template")
        return
    for demand in demands_of(line, key, facts):
        _demand(comparison, event, demand, line)


def _is_at_another_pressure(line: Stated, own: Stated) -> bool:
    asked, given = line.statement.values.get(""), own.statement.values.get("")
    return asked is not None and given is not None and asked.at is not None and asked.at != given.at


def _absent(comparison: _Comparison, line: Stated) -> Iterator[str]:
    """A term of the template that the document does not state, unless its mode has no use for it."""
    facts = comparison.facts
    section = line.block.section
    if section in facts.scope.unsure:
        comparison.unsure(LACKS, f"a line of {section} could not be read")
        comparison.unsure(_event_of(line), f"a line of {section} could not be read")
        return
    if section == "settings" and not _has_use(line.key, comparison):
        return
    mode = facts.mode
    choices = mode.needs if mode is not None and section == "settings" else ()
    if any(line.key in choice and any(facts.is_stated(each) for each in choice) for choice in choices):
        comparison.unsure(OUTSIDE, f"{line.key} is stated in another way than in the template")
        return
    if line.key != "patient indication":
        yield line.key
    comparison.unsure(_event_of(line), f"lacks {line.key}")


def _has_use(key: str, comparison: _Comparison) -> bool:
    """Whether the document's mode uses a setting, and is one that the template allows."""
    mode = comparison.facts.mode
    asked = comparison.period.scope.by_key.get("mode")
    if mode is None:
        return True
    body = asked.statement.body if asked is not None else None
    if isinstance(body, n.ModeChoice) and mode.code not in {code.text for code in body.codes}:
        return False
    return key in mode.settings


def _of_lists(comparison: _Comparison) -> Iterator[str]:
    """What bare lists and sentences of the template ask for, and the document does not have."""
    facts, asked = comparison.facts.scope, comparison.period.scope
    for section in _LISTS:
        given = facts.several.get(section, ())
        if section in facts.unsure or any(not each.statement.readable for each in given):
            comparison.unsure(LACKS, f"a line of {section} could not be read")
            continue
        yield from (f"{section} {item}" for item in lacking_items(asked.several.get(section, ()), given))
    if asked.several.get("call") and not facts.several.get("call") and "escalation" not in facts.unsure:
        yield "escalation call"


# ---- numbers


def _demand(comparison: _Comparison, event: str, demand: Demand, line: Stated) -> None:
    facts = comparison.facts
    answer = answer_of(demand.when, demand.require, facts)
    if answer.outcome == "met":
        _on_steps(comparison, event, demand, line)
        return
    if answer.outcome in ("not checked", "undecided"):
        comparison.unsure(event, answer.why)
        return
    entry = _entry_of(facts, demand, line)
    value, is_ = _value_of(facts, demand, answer)
    fields = {"what": line.key, "is": is_, "value": value, "allowed": demand.allowed}
    wanted = (demand.require, *((demand.when,) if demand.when is not None else ()))
    shown = _shown(facts, wanted, answer)
    if answer.example is not None:
        shown = replace(shown, sound=sound_ranges(demand.when, demand.require, facts, answer.example))
    comparison.found(event, entry or comparison.link, fields, demand.entry, shown)


def _shown(facts: Facts, wanted: tuple[Node, ...], answer: Answer) -> Shown:
    """The calculation behind an answer, and the allowed combination that it is about."""
    teller = Teller(facts, base_names(), {})
    if answer.example is None:
        return Shown(calculation_of(wanted, teller, facts.as_set), outcome=answer.outcome)
    environment = PointEnvironment(facts.space, answer.example)
    example = example_text(facts, answer.example)
    return Shown(calculation_of(wanted, teller, environment), example, answer.outcome)


def answer_of(when: Node | None, require: Node, facts: Facts) -> Answer:
    """How a condition comes out for what is set, and for everything else that is allowed."""
    reads = facts.reads(require) | (facts.reads(when) if when is not None else frozenset())
    axes = [facts.allowed[key] for key in reads if key in facts.allowed]
    elsewhere = facts.band is not None and facts.band.is_elsewhere
    is_set = not elsewhere and all(axis.as_set is not None for axis in axes)
    if is_set:
        point = at_point(when, require, facts.as_set)
        if point.outcome in ("broken", "not checked") or not axes:
            if point.outcome == "not checked":
                return Answer("not checked", why=_why(facts, point.missing, point.reasons))
            return Answer("broken" if point.outcome == "broken" else "met")
    decision = decide(when, require, facts.space, BUDGET, facts.common)
    match decision.outcome:
        case "broken everywhere":
            return Answer("can break" if is_set or elsewhere else "broken", decision.example)
        case "can break":
            return Answer("can break", decision.example)
        case "undecided":
            return Answer("undecided", why="the search ended before it was decided")
        case "not checked":
            return Answer("not checked", why=_why(facts, decision.missing, decision.reasons))
        case _:
            return Answer("met")


def _why(facts: Facts, missing: Iterable[str], reasons: Sequence[str]) -> str:
    return "; ".join(reasons) or f"lacks {', '.join(sorted(facts.lacks(missing)))}"


def _on_steps(comparison: _Comparison, event: str, demand: Demand, line: Stated) -> None:
    """A value that is set lies on the steps of the template's range."""
    if demand.step is None:
        return
    value = number(demand.own, comparison.facts.as_set)
    if not isinstance(value, Fraction) or (value - demand.origin) % demand.step == 0:
        return
    entry = _entry_of(comparison.facts, demand, line)
    fields = {"what": line.key, "is": "is", "value": show_number(value, demand.unit, demand.key) + demand.how}
    comparison.found(event, entry or comparison.link, {**fields, "allowed": demand.allowed}, demand.entry)


def _value_of(facts: Facts, demand: Demand, answer: Answer) -> tuple[str, str]:
    """The value that is not allowed as text, and how it comes about."""
    if answer.example is None:
        value = number(demand.own, facts.as_set)
    else:
        value = number(demand.own, PointEnvironment(facts.space, answer.example))
    text = show_number(value, demand.unit, demand.key) + demand.how if isinstance(value, Fraction | float) else ""
    return text, "can be" if answer.outcome == "can break" or answer.example is not None else "is"


def _entry_of(facts: Facts, demand: Demand, line: Stated) -> Entry | None:
    """The line of the document that states a value, or the first of those that it is computed from."""
    own = facts.scope.by_key.get(line.key)
    if own is not None:
        return own.entry
    found = [stated.entry for key in facts.reads(demand.own) if (stated := facts.stated(key)) is not None]
    return min(found, key=lambda entry: entry.lines[0].number, default=None)


# ---- steps of titrations


def _steps(comparison: _Comparison) -> None:
    """Steps that the template makes too: none larger, none more often, none further."""
    asked = {_step_key(each): each for each in comparison.period.scope.several.get("raise", ())}
    for own in comparison.facts.scope.several.get("raise", ()):
        line = asked.get(_step_key(own))
        if line is None or not own.statement.readable or not line.statement.readable:
            continue
        for name, what in _OF_A_STEP.items():
            given, limit = own.statement.values.get(name), line.statement.values.get(name)
            if given is None or limit is None or given.unit.dimension != limit.unit.dimension:
                continue
            if given.reference == limit.reference and _worse(own, name)(given.points[0], limit.points[0]):
                value = show_number(given.points[0], given.unit)
                fields = {"what": what, "is": "is", "value": value, "allowed": show_number(limit.points[0], limit.unit)}
                comparison.found(OUTSIDE, own.entry, fields, line.entry)


def _step_key(stated: Stated) -> tuple[str, ...]:
    body = stated.statement.body
    return (stated.key, *(term.text for term in body.terms)) if isinstance(body, n.Step) else (stated.key,)


def _worse(own: Stated, name: str) -> Callable[[Fraction, Fraction], bool]:
    """How a step goes beyond the template's: it is larger, comes sooner, or ends further away."""
    body = own.statement.body
    down = isinstance(body, n.Step) and body.limit is not None and body.limit.word == "down to"
    return operator.lt if name == "every" or (name == "limit" and down) else operator.gt


# ---- relations


def _relation(comparison: _Comparison, relation: Relation) -> None:
    facts = comparison.facts
    assert relation.whole is not None
    comparison.walk.ran.add(RELATION)
    own = {show(each.whole) for each in facts.relations.readable if each.whole is not None}
    if show(relation.whole) in own:  # the document keeps it itself: what breaks it there is found there
        return
    answer = answer_of(None, relation.whole, facts)
    if answer.outcome == "met":
        return
    if answer.outcome in ("not checked", "undecided"):
        comparison.unsure(RELATION, answer.why)
        return
    environment = PointEnvironment(facts.space, answer.example) if answer.example is not None else facts.as_set
    teller = Teller(facts, base_names(), {})
    entries = _entries(facts, relation.whole)
    names = [key for key in sorted(facts.reads(relation.whole)) if key in vocabulary().terms and facts.is_stated(key)]
    fields = {
        "relation": relation.text,
        "values": ", ".join(f"{key} {teller.key(key, environment)}" for key in names),
        "can": "can be broken" if answer.outcome == "can break" else "is broken",
    }
    shown = replace(_shown(facts, (relation.whole,), answer), others=tuple(entries))
    entry = entries[0] if entries else comparison.link
    comparison.found(RELATION, entry, fields, relation.stated.entry, shown)


def _entries(facts: Facts, node: Node) -> list[Entry]:
    """The lines of the document that a relation reads, in the order of the text."""
    found: dict[int, Entry] = {}
    for key in facts.reads(node):
        stated = facts.stated(key.removesuffix(AS_WRITTEN))
        if stated is not None:
            found.setdefault(stated.entry.lines[0].number, stated.entry)
    return [found[line] for line in sorted(found)]
