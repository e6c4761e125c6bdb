"""Walks that find what an expression can't say: relations, the settings of a mode, ends of titrations."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from rxlint.expressions import (
    Missing,
    Node,
    NumberType,
    PointEnvironment,
    check,
    condition,
    decide,
    nodes,
    number,
    show,
)
from rxlint.model.facts import AS_WRITTEN, Facts
from rxlint.model.names import base_names
from rxlint.model.relations import Relation
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.tree import Entry
from rxlint.screening.calculation import with_numbers
from rxlint.screening.corrections import single_changes
from rxlint.screening.finding import Suggestion
from rxlint.screening.sound import sound_ranges
from rxlint.screening.values import Teller, show_number, show_value, unit_for, unit_of_type
from rxlint.units import PLAIN, Unit, find_unit
from rxlint.units import show as show_unit
from rxlint.vocabulary import vocabulary

BUDGET: Final = 100
"""Boxes that one search may look at in one scope: a number, not a time, so that results are the same everywhere. More
of them decide no further question of the templates here, up to 3,000, and each costs (tests/benchmarks/INTERVALS.md).
"""


@dataclass(frozen=True, slots=True)
class Found:
    """An event of a walk, in an entry, with its fields and what belongs to it."""

    name: str
    entry: Entry
    start: int
    end: int
    fields: Mapping[str, str]
    related: tuple[tuple[Entry, str], ...] = ()
    calculation: tuple[str, ...] = ()
    corrections: tuple[Suggestion, ...] = ()
    example: Mapping[str, str] | None = None
    outcome: str = "broken"
    sound: tuple[str, ...] = ()


@dataclass(slots=True)
class Walk:
    """What a walk found, and which events it could have found: the others do not apply."""

    found: list[Found] = field(default_factory=list)
    ran: set[str] = field(default_factory=set)
    unsure: dict[str, str] = field(default_factory=dict)  # events that could not be decided, with the reason

    def whole(self, name: str, entry: Entry, **fields: str) -> None:
        """Something found in an entry as a whole."""
        self.found.append(Found(name, entry, entry.indent, len(entry.text.rstrip()), fields))


def walk_scope(facts: Facts) -> Walk:
    """The walks over one scope."""
    walk = Walk()
    _relations(facts, walk)
    _mode(facts, walk)
    _fallback(facts, walk)
    _titration_ends(facts, walk)
    return walk


# ---- relations


def _relations(facts: Facts, walk: Walk) -> None:
    relations = facts.relations
    for relation in relations.unreadable:
        body = relation.stated.statement.body
        assert isinstance(body, n.Relation)
        problem = relation.problems[0]
        near = f"; did you mean {' or '.join(problem.suggestions)}?" if problem.suggestions else ""
        start, end = body.start + problem.start, body.start + max(problem.end, problem.start + 1)
        fields = {"what": body.text, "problem": problem.message + near}
        walk.found.append(Found("relations.unreadable", relation.stated.entry, start, end, fields))
    if relations.unreadable or relations.readable:
        walk.ran.add("relations.unreadable")
    if relations.definitions:
        walk.ran.add("relations.circular")
        _circular([relation for relation in relations.definitions if relation.circular], walk)
    elsewhere = (
        facts.band is not None and facts.band.is_elsewhere
    )  # then nothing here is set, and no row has to be left
    for relation in relations.readable:
        if not relation.circular and not elsewhere:
            _kept_as_set(facts, relation, walk)
    for relation in relations.definitions:
        if not relation.circular:
            _leaves_range(facts, relation, walk)
    if not elsewhere:
        _satisfiable(facts, walk)


def _circular(ring: Sequence[Relation], walk: Walk) -> None:
    """One finding for the relations that go in a ring, at the first of them."""
    if not ring:
        return
    first, entry = ring[0], ring[0].stated.entry
    related = tuple((each.stated.entry, "this relation leads back to it") for each in ring[1:])
    fields = {"what": first.target or "", "relation": first.text}
    walk.found.append(Found("relations.circular", entry, entry.indent, len(entry.text.rstrip()), fields, related))


def _kept_as_set(facts: Facts, relation: Relation, walk: Walk) -> None:
    assert relation.whole is not None
    truth = condition(relation.whole, facts.as_set)
    if isinstance(truth, Missing):
        if not all(key in facts.axes for key in truth.terms):  # a range alone sets nothing that could break it
            walk.unsure.setdefault("relations.broken", f"lacks {', '.join(sorted(truth.terms))}")
        return
    walk.ran.add("relations.broken")
    if truth:
        return
    teller = Teller(facts, base_names(), {})
    left = right = difference = ""
    corrections: tuple[Suggestion, ...] = ()
    calculation: tuple[str, ...] = ()
    if isinstance(relation.whole, nodes.Compare):
        compare = relation.whole
        unit = _unit_of(compare.left, facts)
        a, b = number(compare.left, facts.as_set), number(compare.right, facts.as_set)
        if not isinstance(a, Missing) and not isinstance(b, Missing):
            left, right = show_number(a, unit), show_number(b, unit)
            difference = show_number(abs(a - b), unit)
            calculation = (
                f"{show(compare.left)} = {left}",
                f"{show(compare.right)} = {_numbers(compare.right, facts, teller)} = {right}",
            )
            corrections = single_changes(facts, compare)
    entries = _entries(facts, relation.whole, relation.stated.entry)
    fields = {"relation": relation.text, "left": left, "right": right, "difference": difference}
    entry = relation.stated.entry
    end = len(entry.text.rstrip())
    walk.found.append(Found("relations.broken", entry, entry.indent, end, fields, entries, calculation, corrections))


def _numbers(node: Node, facts: Facts, teller: Teller) -> str:
    told = {key: teller.key(key, facts.as_set) for key in facts.reads(node)}
    return show(with_numbers(node, told))


def _unit_of(node: Node, facts: Facts) -> Unit:
    if isinstance(node, nodes.Name):
        return unit_for(node.key, facts, {})
    kind = check(node, base_names()).type
    assert isinstance(kind, NumberType)
    return unit_of_type(kind.dimension)


def _entries(facts: Facts, node: Node, own: Entry) -> tuple[tuple[Entry, str], ...]:
    found: dict[int, tuple[Entry, str]] = {}
    for key in sorted(facts.reads(node)):
        stated = facts.stated(key)
        if stated is not None and stated.entry is not own:
            found.setdefault(stated.entry.lines[0].number, (stated.entry, f"{stated.key} is stated here"))
    return tuple(found[line] for line in sorted(found))


def _leaves_range(facts: Facts, relation: Relation, walk: Walk) -> None:
    """Whether what the relation makes of a term stays within what the term allows."""
    target = relation.target
    assert target is not None
    stated = facts.stated(target)
    if stated is None or "" not in stated.statement.values:
        return
    quantity = stated.statement.values[""]
    bounds = _own_range(facts, target)
    if bounds is None or not facts.space.axes:
        return
    walk.ran.add("relations.leaves-range")
    dimension = vocabulary().terms[target].dimension
    value: Node = nodes.Name(target, target)
    written = facts.written.get(target)
    if isinstance(
        written, nodes.Binary
    ):  # the relation speaks of the term's own reference, its range of what is written
        inverse = "-" if written.operator == "+" else "/"
        other = written.left if written.operator == "+" else written.right
        value = nodes.Binary(inverse, value, other)
    low, high = nodes.Number(bounds[0], "", dimension), nodes.Number(bounds[1], "", dimension)
    within = nodes.Between(value, low, high)
    decision = decide(None, within, facts.space, BUDGET, facts.common)
    if decision.outcome in ("broken everywhere", "can break") and decision.example is not None:
        point = PointEnvironment(facts.space, decision.example)
        reached = number(value, point)
        told = show_number(reached, quantity.unit) if isinstance(reached, Fraction) else ""
        allowed = show_number(bounds[0], quantity.unit)
        if bounds[1] != bounds[0]:
            allowed = f"{allowed} to {show_number(bounds[1], quantity.unit)}"
        example = example_text(facts, decision.example)
        entries = _entries(facts, relation.whole or value, relation.stated.entry)
        fields = {"what": target, "value": told, "allowed": allowed}
        fields["example"] = ", ".join(f"{key} {value}" for key, value in example.items())
        entry = relation.stated.entry
        end = len(entry.text.rstrip())
        walk.found.append(
            Found(
                "relations.leaves-range",
                entry,
                entry.indent,
                end,
                fields,
                entries,
                example=example,
                outcome="can break",
                sound=sound_ranges(None, within, facts, decision.example),
            )
        )
    elif decision.outcome == "undecided":
        walk.unsure["relations.leaves-range"] = "the search ended before it was decided"
    elif decision.outcome == "not checked":
        lacks = ", ".join(sorted(facts.lacks(decision.missing)))
        walk.unsure["relations.leaves-range"] = "; ".join(decision.reasons) or f"lacks {lacks}"


def _own_range(facts: Facts, target: str) -> tuple[Fraction, Fraction] | None:
    axis = facts.axes.get(target + AS_WRITTEN) or facts.axes.get(target)
    if axis is not None:
        return axis.low, axis.high
    fixed = facts.constants.get(target + AS_WRITTEN)
    if isinstance(fixed, Fraction):
        return fixed, fixed
    written = facts.written.get(target)
    return (written.value, written.value) if isinstance(written, nodes.Number) else None


def _satisfiable(facts: Facts, walk: Walk) -> None:
    """Whether anything is left by the relations that narrow; those that share no term are asked apart."""
    if not facts.axes:
        return
    for group in _tied(facts):
        node = group[0].node
        assert node is not None
        decision = decide(None, node, facts.space, BUDGET, facts.common)
        if decision.outcome == "unsatisfiable":
            texts = " and ".join(relation.text for relation in group)
            walk.whole("relations.unsatisfiable", group[0].stated.entry, relation=texts)
        elif decision.outcome == "undecided":
            walk.unsure.setdefault("relations.unsatisfiable", "the search ended before it was decided")
        elif decision.outcome == "not checked":
            lacks = ", ".join(sorted(facts.lacks(decision.missing)))
            walk.unsure.setdefault("relations.unsatisfiable", "; ".join(decision.reasons) or f"lacks {lacks}")
        walk.ran.add("relations.unsatisfiable")


def _tied(facts: Facts) -> list[list[Relation]]:
    """The narrowing relations, those together that read the same free variables, by way of others or not."""
    groups: list[tuple[set[str], list[Relation]]] = []
    for relation in facts.relations.conditions:
        if relation.node is None:
            continue
        keys = {key for key in facts.reads(relation.node) if key in facts.axes}
        touched = [group for group in groups if group[0] & keys]
        merged = keys.union(*(group[0] for group in touched))
        relations = [each for group in touched for each in group[1]] + [relation]
        groups = [group for group in groups if group not in touched] + [(merged, relations)]
    return [relations for _, relations in groups]


def example_text(facts: Facts, example: Mapping[str, object]) -> dict[str, str]:
    """An allowed combination as text, by term."""
    told: dict[str, str] = {}
    for key, value in example.items():
        name = key.removesuffix(AS_WRITTEN)
        if isinstance(value, Fraction):
            told[name] = show_number(value, unit_for(key, facts, {}), name) + how_written(key, facts)
        else:
            told[name] = show_value(value, PLAIN)  # type: ignore[arg-type]
    return told


def how_written(key: str, facts: Facts) -> str:
    """The reference or basis that a value was written with, where the value is what is written."""
    stated = facts.stated(key)
    if stated is None or not key.endswith(AS_WRITTEN) or "" not in stated.statement.values:
        return ""
    quantity = stated.statement.values[""]
    if quantity.basis is not None:
        return f" of {quantity.basis}"
    return f" above {quantity.reference}" if quantity.reference is not None else ""


# ---- modes

_LACKS: Final = ("modes.setting-missing", "modes.ceiling-by-alarm")
_CEILING: Final = ("maximum inspiratory pressure",)
_HIGH_PRESSURE: Final = "alarm high inspiratory pressure"


def _mode(facts: Facts, walk: Walk) -> None:
    mode = facts.mode
    stated = facts.scope.by_key.get("mode")
    if mode is None or stated is None:
        return
    if not mode.checked:
        walk.ran.add("modes.not-checked")
        walk.whole("modes.not-checked", stated.entry, mode=f"{mode.code} ({mode.help})")
        return
    walk.ran |= {"modes.not-checked", "modes.setting-unused"}
    if "settings" in facts.scope.unsure:
        walk.unsure |= dict.fromkeys(_LACKS, "a line of the settings could not be read")
    else:
        walk.ran |= set(_LACKS)
        for choice in mode.needs:
            if any(facts.is_stated(key) for key in choice):
                continue
            if choice == _CEILING and facts.is_stated(_HIGH_PRESSURE) and _HIGH_PRESSURE not in facts.off:
                walk.whole("modes.ceiling-by-alarm", stated.entry, mode=mode.code)
            else:
                walk.whole("modes.setting-missing", stated.entry, mode=mode.code, setting=" or ".join(choice))
    _unused(facts, stated, walk)


def _unused(facts: Facts, stated: Stated, walk: Walk) -> None:
    """Settings that have no effect in the mode; where the order offers several, in none of them."""
    body = stated.statement.body
    assert isinstance(body, n.ModeChoice)
    modes = [vocabulary().modes[code.text] for code in body.codes]
    if not all(mode.checked for mode in modes):
        return  # what an unmodelled mode uses is not known
    used = {"mode", "keep"}.union(*(mode.settings for mode in modes))
    settings = vocabulary().sections["settings"].terms
    related = ((stated.entry, "the mode is stated here"),)
    for key, each in facts.scope.by_key.items():
        if not each.statement.readable:
            continue  # its own finding comes first: one slip, one finding
        if each.block.section == "settings" and key in settings and key not in used:
            fields = {"mode": " or ".join(mode.code for mode in modes), "setting": key}
            end = len(each.entry.text.rstrip())
            walk.found.append(Found("modes.setting-unused", each.entry, each.entry.indent, end, fields, related))


_FALLBACK_NEEDS: Final = (
    ("fallback rate", "fallback back-up rate"),
    (
        "fallback inspiratory pressure",
        "fallback IPAP",
        "fallback tidal volume",
        "fallback volume target",
        "fallback pressure support",
    ),
    ("fallback inspiratory time", "fallback I:E"),
)


def _fallback(facts: Facts, walk: Walk) -> None:
    block = next((block for block in facts.scope.blocks if block.section == "back-up"), None)
    if block is None:
        return
    if "back-up" in facts.scope.unsure:
        walk.unsure["modes.back-up-incomplete"] = "a line of the back-up could not be read"
        return
    walk.ran.add("modes.back-up-incomplete")
    lacks = [
        " or ".join(key.removeprefix("fallback ") for key in choice[:3])
        for choice in _FALLBACK_NEEDS
        if not any(facts.is_stated(key) for key in choice)
    ]
    if lacks:
        walk.whole("modes.back-up-incomplete", block.entry, lacks=", ".join(lacks))


# ---- titration


def _titration_ends(facts: Facts, walk: Walk) -> None:
    for stated in facts.scope.several.get("raise", ()):
        step = stated.statement.body
        if not isinstance(step, n.Step) or step.limit is None:
            continue
        key = step.terms[0].text
        term = vocabulary().terms[key]
        if term.reference not in ("stated", "ambient", "PEEP"):
            continue
        walk.ran.add("titration.limit-reference")
        setting = facts.stated(key)
        needed: str | None = term.reference
        if needed == "stated":
            quantity = setting.statement.values.get("") if setting is not None else None
            needed = quantity.reference if quantity is not None else None
            if step.limit.reference is not None and needed is None:
                continue
        elif step.limit.reference is None:
            continue  # the term's reference is fixed by definition
        if step.limit.reference is not None and step.limit.reference == needed:
            continue
        start, end = step.limit.start, step.limit.end
        told = {"what": key, "stated": f"above {step.limit.reference}" if step.limit.reference else "no reference",
                "needed": f"above {needed}" if needed else "above ambient or above PEEP"}  # fmt: skip
        related = ((setting.entry, f"{key} is stated here"),) if setting is not None else ()
        walk.found.append(Found("titration.limit-reference", stated.entry, start, end, told, related))


_MINUTES = find_unit("min")
assert _MINUTES is not None


def minutes_text(minutes: int) -> str:
    """Minutes as hours and minutes."""
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"


__all__ = ["BUDGET", "Found", "Walk", "example_text", "minutes_text", "show_unit", "walk_scope"]
