"""Writes the Python source of a compiled expression: flat statements, one temporary for each node."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, Final, NamedTuple, assert_never

from rxlint.expressions.exact import list_before, list_has, word_found
from rxlint.expressions.nodes import (
    Before,
    Between,
    Binary,
    Call,
    Choice,
    Compare,
    Extreme,
    Has,
    IsWord,
    Logic,
    Name,
    Node,
    Not,
    Number,
    Power,
    Stated,
    Tally,
    Unary,
)
from rxlint.expressions.values import CLOSE, UNREADABLE, Item

TOLERANCE: Final = 1e-9


class _Number(NamedTuple):
    value: str  # the variable that holds it, None for missing
    size: str  # an expression for its size, valid where the value is not None


def generate(node: Node, slots: Mapping[str, int]) -> tuple[str, dict[str, Any]]:
    """The source of a function `run(v)`, and the constants that it names."""
    writer = _Writer(slots)
    result = writer.result(node, root=True)
    lines = ["def run(v):", *writer.loads(), *writer.lines, f"    return {result}"]
    return "\n".join(lines) + "\n", writer.constants


class _Writer:
    def __init__(self, slots: Mapping[str, int]) -> None:
        self._slots = slots
        self._count = 0
        self._loaded: dict[str, str] = {}
        self.lines: list[str] = []
        self.constants: dict[str, Any] = {
            "CLOSE": CLOSE,
            "UNREADABLE": UNREADABLE,
            "root": math.sqrt,
            "call": _call,
            "total": _total,
            "found": word_found,
            "has": list_has,
            "before": list_before,
        }

    def loads(self) -> list[str]:
        """The statements that fetch the slots it reads, each once."""
        lines = []
        for key, variable in self._loaded.items():
            slot = self._slots.get(key)
            if slot is None:
                lines.append(f"    {variable} = None")
            else:
                lines += [f"    {variable} = v[{slot:d}]", f"    if {variable} is UNREADABLE: {variable} = None"]
        return lines

    def _new(self, prefix: str = "t") -> str:
        self._count += 1
        return f"{prefix}{self._count}"

    def _put(self, *lines: str) -> None:
        self.lines.extend(f"    {line}" for line in lines)

    def _constant(self, value: object) -> str:
        name = self._new("k")
        self.constants[name] = value
        return name

    def _load(self, node: Node) -> str:
        if not isinstance(node, Name):
            raise TypeError(f"not a term: {node!r}")
        return self._loaded.setdefault(node.key, f"n{len(self._loaded)}")

    def result(self, node: Node, root: bool = False) -> str:
        """The variable that holds the value of a node of either kind."""
        match node:
            case Number() | Unary() | Binary() | Power() | Extreme() | Call() | Tally():
                return self.number(node).value
            case Choice():
                return self._choice(node).value
            case _:
                return self.condition(node, root)

    # numbers

    def number(self, node: Node) -> _Number:
        match node:
            case Number():
                name = self._constant(float(node.value))
                return _Number(name, f"abs({name})")
            case Name():
                name = self._load(node)
                return _Number(name, f"abs({name})")
            case Unary():
                return self._unary(node)
            case Binary():
                return self._binary(node)
            case Power():
                return self._power(node)
            case Extreme():
                return self._extreme(node)
            case Call():
                return self._call(node)
            case Tally():
                return self._tally(node)
            case Choice():
                return self._choice(node)
            case _:
                raise TypeError(f"not a number: {node!r}")

    def _unary(self, node: Unary) -> _Number:
        operand = self.number(node.operand)
        value = self._new()
        if node.operator != "square root":
            sign = "-" if node.operator == "-" else "abs"
            self._put(f"{value} = None if {operand.value} is None else {sign}({operand.value})")
            return _Number(value, operand.size)
        size = self._new("s")
        self._put(
            f"{value} = {size} = None",
            f"if {operand.value} is not None:",
            f"    {size} = {operand.size}",
            f"    if not abs({operand.value}) > {TOLERANCE!r} * {size}: return CLOSE",
            f"    if {operand.value} > 0.0: {value} = root({operand.value}); {size} = root({size})",
        )
        return _Number(value, size)

    def _binary(self, node: Binary) -> _Number:
        left, right = self.number(node.left), self.number(node.right)
        value, size = self._new(), self._new("s")
        l_value, r_value = left.value, right.value
        self._put(f"{value} = {size} = None", f"if {l_value} is not None and {r_value} is not None:")
        match node.operator:
            case "+" | "-":
                self._put(f"    {size} = {left.size} + {right.size}")
            case "*":
                self._put(f"    {size} = ({left.size}) * ({right.size})")
            case "/":
                self._put(
                    f"    {size} = {right.size}",
                    f"    if not abs({r_value}) > {TOLERANCE!r} * {size}: return CLOSE",
                    f"    {size} = ({left.size}) / abs({r_value}) * ({size} / abs({r_value}))",
                )
        self._put(f"    {value} = {l_value} {node.operator} {r_value}")
        return _Number(value, size)

    def _power(self, node: Power) -> _Number:
        base = self.number(node.base)
        value, size = self._new(), self._new("s")
        times = abs(node.exponent)
        product = " * ".join([base.value] * times) or "1.0"
        sizes = " * ".join([f"({base.size})"] * times) or "1.0"
        self._put(f"{value} = {size} = None", f"if {base.value} is not None:")
        self._put(f"    {value} = {product}", f"    {size} = {sizes}")
        if node.exponent < 0:
            self._put(
                f"    if not abs({value}) > {TOLERANCE!r} * {size}: return CLOSE",
                f"    {size} = {size} / abs({value}) / abs({value})",
                f"    {value} = 1.0 / {value}",
            )
        return _Number(value, size)

    def _extreme(self, node: Extreme) -> _Number:
        parts = [self.number(part) for part in node.parts]
        if len(parts) == 1:
            return parts[0]
        value, size = self._new(), self._new("s")
        which = "min" if node.operator == "least of" else "max"
        self._put(
            f"{value} = {size} = None",
            f"if {_all_known(parts)}:",
            f"    {value} = {which}({', '.join(part.value for part in parts)})",
            f"    {size} = {_total_size(parts)}",
        )
        return _Number(value, size)

    def _call(self, node: Call) -> _Number:
        parts = [self.number(argument) for argument in node.arguments]
        value = self._new()
        if all(isinstance(argument, Name | Number) for argument in node.arguments):
            work = f"{value} = call({self._constant(node.function.call)}, {', '.join(part.value for part in parts)})"
        else:
            # The float of a calculated argument may lie just beside the exact one, on the other side of a step of the
            # function; only the exact evaluator is right there.
            work = "return CLOSE"
        self._put(f"{value} = None", f"if {_all_known(parts)}: {work}")
        return _Number(value, f"abs({value})")

    def _tally(self, node: Tally) -> _Number:
        value = self._new()
        items, members = self._load(node.list), self._constant(node.part.members)
        counts = node.operator == "count of"
        self._put(f"{value} = None if {items} is None else total({items}, {members}, {counts})")
        return _Number(value, f"abs({value})")

    # conditions

    def condition(self, node: Node, root: bool = False) -> str:
        match node:
            case Name():
                return self._load(node)
            case Choice():
                return self._choice(node).value
            case Compare():
                return self._compare(node)
            case Between():
                low = Compare("<=", node.low, node.value)
                return self.condition(Logic("and", (low, Compare("<=", node.value, node.high))))
            case Logic():
                return self._logic(node, root)
            case Not():
                operand = self.condition(node.operand)
                return self._assign(f"None if {operand} is None else not {operand}")
            case Stated():
                return self._stated(node)
            case IsWord():
                words = self._constant(frozenset(word.text for word in node.words))
                name = self._load(node.name)
                found = self._assign(f"None if {name} is None else found({name}, {words})")
                return self._assign(f"None if {found} is None else not {found}") if node.negated else found
            case Has():
                name, parts = self._load(node.list), self._constant(node.parts)
                return self._assign(f"None if {name} is None else has({name}, {parts}, {node.every})")
            case Before():
                name, first, second = self._load(node.list), self._constant(node.first), self._constant(node.second)
                return self._assign(f"None if {name} is None else before({name}, {first}, {second})")
            case Number() | Unary() | Binary() | Power() | Extreme() | Call() | Tally():
                raise TypeError(f"not a condition: {node!r}")
            case _:
                assert_never(node)

    def _assign(self, expression: str) -> str:
        value = self._new()
        self._put(f"{value} = {expression}")
        return value

    def _stated(self, node: Stated) -> str:
        slot = self._slots.get(node.name.key) if isinstance(node.name, Name) else None
        test = "is" if node.negated else "is not"
        return self._assign(f"{node.negated}" if slot is None else f"v[{slot:d}] {test} None")

    def _compare(self, node: Compare) -> str:
        left, right = self.number(node.left), self.number(node.right)
        within = None if node.within is None else self.number(node.within)
        value, gap = self._new(), self._new("d")
        sides = [left, right] if within is None else [left, right, within]
        gap_text = f"{left.value} - {right.value}"
        test = {"=": "False", "!=": "True"}.get(node.operator) or f"{gap} {node.operator} 0.0"
        if within is not None:
            gap_text = f"abs({gap_text}) - {within.value}"
            test = f"{gap} {'<=' if node.operator == '=' else '>'} 0.0"
        self._put(
            f"{value} = None",
            f"if {_all_known(sides)}:",
            f"    {gap} = {gap_text}",
            f"    if not abs({gap}) > {TOLERANCE!r} * ({_total_size(sides)}): return CLOSE",
            f"    {value} = {test}",
        )
        return value

    def _logic(self, node: Logic, root: bool) -> str:
        decisive = "False" if node.operator == "and" else "True"
        parts = []
        for part in node.parts:
            parts.append(self.condition(part))
            if root:  # nothing that follows can change it
                self._put(f"if {parts[-1]} is {decisive}: return {decisive}")
        decided = " or ".join(f"{part} is {decisive}" for part in parts)
        unknown = " or ".join(f"{part} is None" for part in parts)
        return self._assign(f"{decisive} if {decided} else None if {unknown} else {node.operator == 'and'}")

    def _choice(self, node: Choice) -> _Number:
        which = self.condition(node.condition)
        yes, no = self._branch(node.yes), self._branch(node.no)
        value, size = self._new(), self._new("s")
        self._put(
            f"{value} = {size} = None",
            f"if {which} is None:",
            f"    if {_all_known([yes, no])}:",
            f"        if not abs({yes.value} - {no.value}) > {TOLERANCE!r} * ({_total_size([yes, no])}): return CLOSE",
            f"elif {which}:",
            f"    if {yes.value} is not None: {value} = {yes.value}; {size} = {yes.size}",
            f"elif {no.value} is not None: {value} = {no.value}; {size} = {no.size}",
        )
        return _Number(value, size)

    def _branch(self, node: Node) -> _Number:
        """A branch may be a condition, or a term of either kind: truth values can be subtracted like numbers."""
        if isinstance(node, Compare | Between | Logic | Not | Stated | IsWord | Has | Before):
            return _Number(self.condition(node), "0.0")
        return self.number(node)


def _all_known(numbers: list[_Number]) -> str:
    return " and ".join(f"{number.value} is not None" for number in numbers)


def _total_size(numbers: list[_Number]) -> str:
    # A sum, not the greatest: it stays infinite or undefined once one of them is.
    return " + ".join(number.size for number in numbers)


def _call(function: Callable[..., float], *arguments: float) -> float | None:
    """A function's result in floats; None outside its domain."""
    try:
        result = function(*arguments)
    except (ValueError, ArithmeticError):
        return None
    return result if math.isfinite(result) else None


def _total(items: tuple[Item, ...], members: frozenset[str], counts: bool) -> float | None:
    """How many of a list's items are among the members, or the sum of their quantities."""
    found = [item for item in items if item.name in members]
    if counts:
        return float(len(found))
    amounts = [float(item.amount) for item in found if item.amount is not None]
    return sum(amounts, 0.0) if len(amounts) == len(found) else None
