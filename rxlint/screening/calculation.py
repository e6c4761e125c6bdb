"""Calculations as a colleague would write them down: formula, numbers, result, and the lines they come from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

from rxlint.expressions import Environment, Missing, Node, children, condition, keys_in, nodes, show
from rxlint.model.facts import AS_WRITTEN, Facts, SetEnvironment
from rxlint.model.names import derived_terms, shown_key
from rxlint.notation.join import told_lines
from rxlint.physiology.registry import FORMULAS
from rxlint.screening.values import Teller

_WITH: Final = "with "


def calculation_of(wanted: tuple[Node, ...], teller: Teller, environment: Environment) -> tuple[str, ...]:
    """One line for each computed term that the nodes read, the deepest first."""
    facts = teller.facts
    order: list[str] = []
    # as set, a kept term is what is written, whatever its relation would make of it
    stated = frozenset(facts.written) if isinstance(environment, SetEnvironment) else frozenset()
    for node in wanted:
        _visit(node, facts, order, stated)
    lines: list[str] = []
    for key in order:
        value = environment.value(key)
        if not isinstance(value, Missing | bool):
            lines.append(_line(key, teller, environment))
    return tuple(line for line in lines if line)


def _visit(node: Node, facts: Facts, order: list[str], stated: frozenset[str]) -> None:
    for key in sorted(keys_in(node)):
        formula = facts.formulas.get(key)
        if formula is None or key in order or key in stated:
            continue
        _visit(formula, facts, order, stated)
        if not is_plain(key, facts) and key not in order:
            order.append(key)


def is_plain(key: str, facts: Facts) -> bool:
    """Whether a computed term only names another: it needs no line of its own."""
    derived = derived_terms().get(key)
    formula = facts.formulas.get(key)
    return isinstance(formula, nodes.Name) or (
        derived is not None and derived.plain and isinstance(formula, nodes.Name)
    )


def steps_of(key: str, teller: Teller, environment: Environment) -> tuple[str, str]:
    """A computed term's formula, and the numbers: put into it, or for a named formula as `with ARGUMENT VALUE, ...`."""
    formula = _told_formula(key, teller.facts, environment)
    if isinstance(formula, nodes.Call) and formula.function.name in FORMULAS:
        return _named_formula(formula, teller, environment)
    told = {each.key: teller.key(each.key, environment) for each in _names(formula)}
    return show(_apart(formula)), show(with_numbers(formula, told))


def _apart(node: Node) -> Node:
    """The node with what is written called so, or a term would stand in its own formula."""
    if isinstance(node, nodes.Name):
        return nodes.Name(node.key, node.key if node.key.endswith(AS_WRITTEN) else node.text)
    return _map(node, _apart)


def _named_formula(call: nodes.Call, teller: Teller, environment: Environment) -> tuple[str, str]:
    known = FORMULAS[call.function.name]
    told = (
        f"{name} {teller.node(argument, environment)}"
        for (name, _), argument in zip(known.arguments, call.arguments, strict=True)
    )
    return known.text, f"{_WITH}{', '.join(told)}"


def _told_formula(key: str, facts: Facts, environment: Environment) -> Node:
    formula = resolve_plain(facts.formulas[key], facts)
    return (
        _taken(formula, environment) if isinstance(formula, nodes.Choice) else formula
    )  # only the branch that was taken


def _line(key: str, teller: Teller, environment: Environment) -> str:
    facts = teller.facts
    formula = _told_formula(key, facts, environment)
    text, numbers = steps_of(key, teller, environment)
    lines = sorted(
        {stated.entry.lines[0].number for name in _leaves(formula, facts) if (stated := facts.stated(name)) is not None}
    )
    where = f" ({told_lines(facts.document, lines)})" if lines else ""
    result = teller.key(key, environment)
    if text == result:
        return ""  # a fixed value explains itself
    if isinstance(formula, nodes.Number):
        return f"{shown_key(key)} = {text}{where}"
    if is_list(numbers):
        return f"{shown_key(key)} = {text} = {result}, {numbers}{where}"
    middle = f" = {numbers}" if numbers not in (text, result) else ""
    return f"{shown_key(key)} = {text}{middle} = {result}{where}"


def is_list(numbers: str) -> bool:
    """Whether numbers stand beside their formula in a list, and not in its place."""
    return numbers.startswith(_WITH)


def _taken(node: nodes.Choice, environment: Environment) -> Node:
    current: Node = node
    while isinstance(current, nodes.Choice):
        current = current.yes if condition(current.condition, environment) is True else current.no
    return current


def resolve_plain(node: Node, facts: Facts) -> Node:
    """The formula with terms that only stand for another replaced by that other."""
    if isinstance(node, nodes.Name):
        inner = facts.formulas.get(node.key)
        while isinstance(inner, nodes.Name):
            node, inner = inner, facts.formulas.get(inner.key)
        return node
    return _map(node, lambda child: resolve_plain(child, facts))


def with_numbers(node: Node, told: Mapping[str, str]) -> Node:
    """The node with its names replaced by values as text."""
    if isinstance(node, nodes.Name):
        return nodes.Name(node.key, told.get(node.key, node.text))
    return _map(node, lambda child: with_numbers(child, told))


def _map(node: Node, change: Callable[[Node], Node]) -> Node:
    """The node with its numeric children changed."""
    match node:
        case nodes.Binary():
            return replace(node, left=change(node.left), right=change(node.right))
        case nodes.Unary():
            return replace(node, operand=change(node.operand))
        case nodes.Power():
            return replace(node, base=change(node.base))
        case nodes.Extreme():
            return replace(node, parts=tuple(change(part) for part in node.parts))
        case nodes.Call():
            return replace(node, arguments=tuple(change(part) for part in node.arguments))
        case nodes.Choice():
            return replace(node, yes=change(node.yes), no=change(node.no))
        case _:
            return node


def _names(node: Node) -> list[nodes.Name]:
    found = [node] if isinstance(node, nodes.Name) else []
    return found + [name for child in children(node) for name in _names(child)]


def _leaves(node: Node, facts: Facts) -> set[str]:
    return {key for key in facts.reads(node) if key not in facts.formulas or facts.stated(key) is not None}
