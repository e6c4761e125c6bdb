"""Products taken apart, so that a factor on both sides of a comparison, or above and below a line, can be left out.

A volume per kilogram is a product with a weight; divided by the same weight, or compared with another volume per
kilogram, the weight does not matter. Interval arithmetic alone would let it vary on either side by itself.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rxlint.expressions.nodes import Binary, Name, Node

_DEEPEST = 12
Opened = Callable[[Node], Node | None]
"""What a node stands for (a term's formula, the branch of a choice that is certainly taken), None for itself."""


@dataclass(frozen=True, slots=True)
class Product:
    """Factors above and below the line; an empty side is one."""

    above: tuple[Node, ...]
    below: tuple[Node, ...]

    @property
    def is_single(self) -> bool:
        """Whether it is one factor alone."""
        return len(self.above) == 1 and not self.below


def product_of(node: Node, opened: Opened, depth: int = 0) -> Product:
    """The factors of a node. What it stands for is taken apart too, as long as that is a product in the end."""
    if depth < _DEEPEST:
        if isinstance(node, Binary) and node.operator in ("*", "/"):
            left, right = product_of(node.left, opened, depth + 1), product_of(node.right, opened, depth + 1)
            if node.operator == "/":
                right = Product(right.below, right.above)
            return Product(left.above + right.above, left.below + right.below)
        inner = opened(node)
        if inner is not None:
            product = product_of(inner, opened, depth + 1)
            if not product.is_single or isinstance(product.above[0], Name):  # a term that is no product stays a term
                return product
    return Product((node,), ())


def without_common(
    first: tuple[Node, ...], second: tuple[Node, ...], may_go: Callable[[Node], bool]
) -> tuple[tuple[Node, ...], tuple[Node, ...], int]:
    """Both lists without the factors they share and that may go, and how many pairs went."""
    kept: list[Node] = []
    rest = list(second)
    gone = 0
    for factor in first:
        if factor in rest and may_go(factor):
            rest.remove(factor)
            gone += 1
        else:
            kept.append(factor)
    return tuple(kept), tuple(rest), gone
