"""The comparisons of a requirement: what is measured, the sign, and the limit that it is held against."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from rxlint.expressions import Node, nodes

FLIPPED: Final = {"<": ">", "<=": ">=", ">": "<", ">=": "<="}
_DENIED: Final = {"<": ">=", "<=": ">", ">": "<=", ">=": "<"}


def comparisons(node: Node) -> Iterator[tuple[Node, str, Node]]:
    """What is compared with a limit, the sign and the limit, the expression that is measured first.

    Only those that hold whatever else does: a requirement's own, and those that `and` joins. As either side may be the
    limit, each is given both ways.
    """
    if isinstance(node, nodes.Logic) and node.operator == "and":
        for part in node.parts:
            yield from comparisons(part)
    elif isinstance(node, nodes.Between):
        yield node.value, ">=", node.low
        yield node.value, "<=", node.high
    elif isinstance(node, nodes.Compare) and node.operator in FLIPPED:
        yield node.left, node.operator, node.right
        yield node.right, FLIPPED[node.operator], node.left
    elif isinstance(node, nodes.Not) and isinstance(node.operand, nodes.Compare) and node.operand.operator in FLIPPED:
        denied = node.operand
        yield from comparisons(replace(denied, operator=_DENIED[denied.operator]))
