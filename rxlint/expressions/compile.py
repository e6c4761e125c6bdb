"""Compiles a checked node to a Python function of floats.

The generated source holds only names made here; numbers, words, items and functions are passed in as constants, so no
text of a pack is ever executed. Every number carries a `size`: a bound on how large the numbers were that it was added
up from. A decision that lies within 1e-9 of that size of tipping over is not trusted; the function then answers CLOSE,
and `evaluate_condition` does it again exactly.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from rxlint.expressions import exact
from rxlint.expressions.generate import generate
from rxlint.expressions.nodes import Node
from rxlint.expressions.values import CLOSE, Environment, Missing, TooClose

Slots = Sequence[Any]  # by slot: float, bool, Words, tuple of Item, str; None where missing; UNREADABLE


class _Compiled:
    """An expression that is compiled when it has been run ``patience`` times: most rules have nothing to say of most
    documents, and many programs look at a single one. Until then the answer is CLOSE, so that it is worked out exactly.
    """

    __slots__ = ("_patience", "_slots", "node", "run")

    def __init__(self, node: Node, slots: Mapping[str, int], patience: int = 0) -> None:
        self.node = node
        self._slots = slots
        self._patience = patience
        self.run: Callable[[Slots], Any] = self._first

    def _first(self, values: Slots) -> Any:
        if self._patience > 0:
            self._patience -= 1
            return CLOSE
        self.run = run = _compile(self.node, self._slots)
        return run(values)

    @property
    def source(self) -> str:
        """The source of its function."""
        return generate(self.node, self._slots)[0]


class CompiledCondition(_Compiled):
    """A condition as a function of slots; `run` gives None for unknown and CLOSE where floats cannot decide."""

    __slots__ = ()
    run: Callable[[Slots], bool | TooClose | None]


class CompiledNumber(_Compiled):
    """A number as a function of slots; `run` gives None for missing and CLOSE where floats cannot decide."""

    __slots__ = ()
    run: Callable[[Slots], float | TooClose | None]


def compile_condition(node: Node, slots: Mapping[str, int], patience: int = 0) -> CompiledCondition:
    """Compile a checked condition. A key without a slot is missing and not stated. The first ``patience`` runs answer
    CLOSE.
    """
    return CompiledCondition(node, slots, patience)


def compile_number(node: Node, slots: Mapping[str, int], patience: int = 0) -> CompiledNumber:
    """Compile a checked number. A key without a slot is missing and not stated. The first ``patience`` runs answer
    CLOSE.
    """
    return CompiledNumber(node, slots, patience)


def evaluate_condition(compiled: CompiledCondition, values: Slots, environment: Environment) -> bool | None:
    """The truth of a condition, None for unknown; done exactly, with the environment, where floats cannot decide."""
    result = compiled.run(values)
    if result is not CLOSE:
        return result
    truth = exact.condition(compiled.node, environment)
    return None if isinstance(truth, Missing) else truth


def evaluate_number(compiled: CompiledNumber, values: Slots, environment: Environment) -> float | None:
    """The value of a number, None for missing; done exactly, with the environment, where floats cannot decide."""
    result = compiled.run(values)
    if result is None or (result is not CLOSE and math.isfinite(result)):
        return result
    value = exact.number(compiled.node, environment)
    try:
        return float(value) if isinstance(value, Fraction) else None
    except OverflowError:
        return None


def _compile(node: Node, slots: Mapping[str, int]) -> Callable[[Slots], Any]:
    source, constants = generate(node, slots)
    space: dict[str, Any] = {"__builtins__": {"abs": abs, "min": min, "max": max}, **constants}
    exec(compile(source, "<expression>", "exec"), space)  # noqa: S102 - the source holds nothing but what we wrote
    run: Callable[[Slots], Any] = space["run"]
    return run
