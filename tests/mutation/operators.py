"""What is changed in a function, and how: each change is a node of its syntax tree and another to put in its place."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

FunctionNode = ast.FunctionDef | ast.AsyncFunctionDef

_COMPARISONS: Final[dict[type[ast.cmpop], type[ast.cmpop]]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
_ARITHMETIC: Final[dict[type[ast.operator], tuple[str, type[ast.operator]]]] = {
    ast.Add: ("+ and -", ast.Sub),
    ast.Sub: ("+ and -", ast.Add),
    ast.Mult: ("* and /", ast.Div),
    ast.Div: ("* and /", ast.Mult),
    ast.BitAnd: ("& and |", ast.BitOr),
    ast.BitOr: ("& and |", ast.BitAnd),
}
_OPPOSITE_NAMES: Final = {"min": "max", "max": "min", "any": "all", "all": "any"}
# Text is only shown, a raised message too; types are not looked at while the program runs.
_LEFT_ALONE: Final = (ast.JoinedStr, ast.Raise, ast.Assert, ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)
_FIELDS_LEFT_ALONE: Final = frozenset(("annotation", "returns", "decorator_list", "pattern", "type_comment"))


@dataclass(frozen=True, slots=True)
class Change:
    """`new` in place of `old`, which stands in a field of `parent` - at an index, where the field is a list."""

    operator: str
    parent: ast.AST
    field: str
    index: int | None
    old: ast.AST
    new: ast.AST

    def apply(self) -> None:
        """Make the change in the tree; it can't be taken back."""
        if self.index is None:
            setattr(self.parent, self.field, self.new)
        else:
            getattr(self.parent, self.field)[self.index] = self.new


@dataclass(frozen=True, slots=True)
class _Place:
    parent: ast.AST
    field: str
    index: int | None
    node: ast.AST


def changes_in(body: list[ast.stmt], owner: ast.AST, numbers: bool) -> Iterator[Change]:
    """Every change to the statements of `owner`, nested functions left out; numbers in the code only if `numbers`."""
    bound = _bound(owner)
    tails = set(_tails(body))
    for place in _places(owner, frozenset(("body",))):
        for operator, new in _replacements(place, bound, tails, numbers):
            yield Change(
                operator, place.parent, place.field, place.index, place.node, ast.copy_location(new, place.node)
            )


def _places(node: ast.AST, only: frozenset[str] | None = None) -> Iterator[_Place]:
    for field, value in ast.iter_fields(node):
        if field in _FIELDS_LEFT_ALONE or (only is not None and field not in only):
            continue
        several = isinstance(value, list)
        for index, child in enumerate(value if several else [value]):
            if not isinstance(child, ast.AST) or isinstance(child, _LEFT_ALONE) or _is_type_test(child, node):
                continue
            yield _Place(node, field, index if several else None, child)
            yield from _places(child)


def _is_type_test(node: ast.AST, parent: ast.AST) -> bool:
    """Whether it is the types that `isinstance` is asked about, or those of a subscript such as `dict[str, int]`."""
    if isinstance(parent, ast.Call) and isinstance(parent.func, ast.Name) and parent.func.id == "isinstance":
        return node is parent.args[-1]
    return isinstance(parent, ast.Subscript) and node is parent.slice and isinstance(node, ast.Tuple)


def _bound(owner: ast.AST) -> Counter[str]:
    """How often each name gets a value in a function, as an argument too."""
    names = [each.id for each in ast.walk(owner) if isinstance(each, ast.Name) and isinstance(each.ctx, ast.Store)]
    return Counter(names + [each.arg for each in ast.walk(owner) if isinstance(each, ast.arg)])


def _tails(body: list[ast.stmt]) -> Iterator[ast.stmt]:
    """The statements after which a function ends anyway."""
    last = body[-1]
    yield last
    inner: list[list[ast.stmt]] = []
    if isinstance(last, ast.If):
        inner = [last.body, last.orelse]
    elif isinstance(last, ast.Match):
        inner = [case.body for case in last.cases]
    for statements in inner:
        if statements:
            yield from _tails(statements)


_Found = Iterator[tuple[str, ast.AST]]


def _replacements(place: _Place, bound: Counter[str], tails: set[ast.stmt], numbers: bool) -> _Found:
    node = place.node
    match node:
        case ast.Compare():
            yield from _comparison(node, place)
        case ast.BinOp() | ast.AugAssign():
            yield from _arithmetic(node)
        case ast.BoolOp():
            yield "and and or", ast.BoolOp(ast.Or() if isinstance(node.op, ast.And) else ast.And(), node.values)
        case ast.UnaryOp(op=ast.Not()):
            yield "not removed", node.operand
        case ast.Name() if isinstance(node.ctx, ast.Load) and node.id in _OPPOSITE_NAMES:
            yield "min and max, any and all", ast.Name(_OPPOSITE_NAMES[node.id], node.ctx)
        case ast.Tuple(elts=[first, second]) if not _order_is_nothing(place) and ast.dump(first) != ast.dump(second):
            yield "pair swapped", ast.Tuple([second, first], node.ctx)
        case ast.Constant():
            yield from _constant(node, place, numbers)
        case ast.Return():
            yield from _return(node, tails)
    if isinstance(node, ast.expr) and _is_test(place):
        yield from _forced(node, place)
    if isinstance(node, ast.match_case):
        guard: ast.expr = ast.Constant(False) if node.guard is None else _and(False, node.guard)
        yield "case of a match passed over", ast.match_case(node.pattern, guard, node.body)
    if isinstance(node, ast.stmt) and _has_effect(node, bound):
        yield "statement deleted", _never(node)


def _comparison(node: ast.Compare, place: _Place) -> _Found:
    for at, operator in enumerate(node.ops):
        opposite = isinstance(operator, ast.Is | ast.IsNot | ast.In | ast.NotIn)
        if opposite and _is_test(place):
            continue  # to force the test true and false says more
        operators = [*node.ops]
        operators[at] = _COMPARISONS[type(operator)]()
        yield "comparison swapped", ast.Compare(node.left, operators, node.comparators)


def _arithmetic(node: ast.BinOp | ast.AugAssign) -> _Found:
    kind, other = _ARITHMETIC.get(type(node.op), ("", ast.Add))
    if not kind:
        return
    if isinstance(node, ast.AugAssign):
        yield kind, ast.AugAssign(node.target, other(), node.value)
    elif not any(_is_sequence(side) for side in (node.left, node.right)):
        yield kind, ast.BinOp(node.left, other(), node.right)


def _is_sequence(node: ast.expr) -> bool:
    """Text and lists know no difference: to take one from another breaks the program, which any test would notice."""
    text = isinstance(node, ast.Constant) and isinstance(node.value, str)
    return text or isinstance(node, ast.JoinedStr | ast.List | ast.Tuple | ast.ListComp)


def _order_is_nothing(place: _Place) -> bool:
    """Whether a pair is asked only for what it holds, or holds only text."""
    parent = place.parent
    asked = isinstance(parent, ast.Compare) and any(isinstance(op, ast.In | ast.NotIn) for op in parent.ops)
    pair = place.node.elts if isinstance(place.node, ast.Tuple) else []
    return asked or all(isinstance(each, ast.Constant) and isinstance(each.value, str) for each in pair)


def _constant(node: ast.Constant, place: _Place, numbers: bool) -> _Found:
    if isinstance(place.parent, ast.Return):
        return
    if isinstance(node.value, bool):
        yield "True and False", ast.Constant(not node.value)
    elif numbers and isinstance(node.value, int | float):
        new = dict.fromkeys((node.value + 1, node.value * 2))
        yield from (("number changed", ast.Constant(value)) for value in new if value != node.value)


def _return(node: ast.Return, tails: set[ast.stmt]) -> _Found:
    value = node.value
    if isinstance(value, ast.Constant) and isinstance(value.value, bool):
        yield "return turned round", ast.Return(ast.Constant(not value.value))
    elif (value is None or (isinstance(value, ast.Constant) and value.value is None)) and node not in tails:
        yield "return turned round", _never(node)


def _is_test(place: _Place) -> bool:
    parent = place.parent
    return (isinstance(parent, ast.If | ast.IfExp | ast.While) and place.field == "test") or (
        isinstance(parent, ast.comprehension | ast.match_case) and place.field in ("ifs", "guard")
    )


def _forced(node: ast.expr, place: _Place) -> _Found:
    if not isinstance(place.parent, ast.While):  # a loop without end is no fault that a test finds, but a hang
        yield "condition forced", ast.BoolOp(ast.Or(), [ast.Constant(True), node])
    yield "condition forced", _and(False, node)


def _and(value: bool, node: ast.expr) -> ast.expr:
    return ast.BoolOp(ast.And(), [ast.Constant(value), node])


def _has_effect(node: ast.stmt, bound: Counter[str]) -> bool:
    """Whether its loss need not end in a name without a value, which any test would notice."""
    if isinstance(node, ast.Expr):
        return not isinstance(node.value, ast.Constant)
    if isinstance(node, ast.AugAssign | ast.Delete):
        return True
    if not isinstance(node, ast.Assign):
        return False
    names = [each for target in node.targets for each in ast.walk(target) if isinstance(each, ast.Name)]
    return all(isinstance(each.ctx, ast.Load) or bound[each.id] > 1 for each in names)


def _never(node: ast.stmt) -> ast.stmt:
    # The names in it stay names of the function, so that its variables are the same ones.
    return ast.If(ast.Constant(False), [node], [])
