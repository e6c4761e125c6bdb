"""`keep` lines: relations that the settings must keep. One form defines a term, the other narrows what is allowed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rxlint.expressions import Node, Problem, keys_in, nodes, read_condition
from rxlint.model.names import NameTable
from rxlint.model.stated import Scope, Stated
from rxlint.notation import nodes as n
from rxlint.vocabulary import vocabulary


@dataclass(frozen=True, slots=True)
class Relation:
    """A `keep` line as read. ``whole`` is the condition it states.

    For a definition ``target`` is the term and ``node`` what it equals; ``circular`` where that comes back to the term.
    """

    stated: Stated
    whole: Node | None
    node: Node | None
    target: str | None = None
    circular: bool = False
    problems: tuple[Problem, ...] = ()

    @property
    def text(self) -> str:
        """The relation as written."""
        body = self.stated.statement.body
        return body.text if isinstance(body, n.Relation) else ""


@dataclass(frozen=True, slots=True)
class Relations:
    """The relations of a scope: those that define a term, those that narrow what is allowed, those at fault."""

    definitions: tuple[Relation, ...]
    conditions: tuple[Relation, ...]
    unreadable: tuple[Relation, ...]

    @property
    def readable(self) -> tuple[Relation, ...]:
        """The relations that could be read."""
        return (*self.definitions, *self.conditions)


def read_relations(scope: Scope, names: NameTable) -> Relations:
    """The `keep` lines of a scope; those that define terms in a ring are marked."""
    found = [
        _read(stated, names)
        for stated in scope.several.get("relation", ())
        if isinstance(stated.statement.body, n.Relation)
    ]
    unreadable = tuple(each for each in found if each.whole is None)
    definitions = [each for each in found if each.target is not None]
    conditions = [each for each in found if each.whole is not None and each.target is None]
    first: dict[str, Relation] = {}
    for each in definitions:
        assert each.target is not None
        if each.target in first:  # a second definition of one term narrows, it does not define again
            conditions.append(Relation(each.stated, each.whole, each.whole))
        else:
            first[each.target] = each
    rings = _in_rings({key: each.node for key, each in first.items() if each.node is not None})
    marked = tuple(
        Relation(each.stated, each.whole, each.node, key, key in rings, each.problems) for key, each in first.items()
    )
    return Relations(marked, tuple(conditions), unreadable)


def _read(stated: Stated, names: NameTable) -> Relation:
    body = stated.statement.body
    assert isinstance(body, n.Relation)
    read = read_condition(body.text, names)
    if read.node is None:
        return Relation(stated, None, None, problems=read.errors)
    node = read.node
    if isinstance(node, nodes.Compare) and node.operator == "=" and isinstance(node.left, nodes.Name):
        key = node.left.key
        term = vocabulary().terms.get(key)
        if term is not None and term.section == "settings" and key not in keys_in(node.right):
            return Relation(stated, node, node.right, key)
        if term is not None and term.section == "settings":
            return Relation(stated, node, node.right, key, circular=True)
    return Relation(stated, node, node)


def _in_rings(definitions: Mapping[str, Node]) -> frozenset[str]:
    """The terms that are defined, through others, by themselves."""
    needs = {key: keys_in(node) & definitions.keys() for key, node in definitions.items()}

    def reaches(start: str) -> bool:
        seen: set[str] = set()
        waiting = list(needs[start])
        while waiting:
            key = waiting.pop()
            if key == start:
                return True
            if key not in seen:
                seen.add(key)
                waiting.extend(needs[key])
        return False

    return frozenset(key for key in definitions if reaches(key))
