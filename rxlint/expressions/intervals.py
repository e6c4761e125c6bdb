"""Evaluates a checked node over a whole box: numbers as linear forms, conditions as sets of truth values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, NamedTuple, assert_never

from rxlint.expressions import exact
from rxlint.expressions.arithmetic import settled
from rxlint.expressions.facts import Facts
from rxlint.expressions.forms import Arithmetic, Form, Scalar, TooCloseError, is_finite
from rxlint.expressions.masks import F, M, T, every, of_truth, opposite
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
from rxlint.expressions.products import Product, product_of, without_common
from rxlint.expressions.space import Space
from rxlint.expressions.values import Missing, Value


@dataclass(frozen=True, slots=True)
class Cell:
    """What a box leaves open of one axis: a closed range, or some of its options."""

    low: Fraction = Fraction(0)
    high: Fraction = Fraction(0)
    options: tuple[Value, ...] = ()

    @property
    def is_point(self) -> bool:
        """Whether only one value is left."""
        return len(self.options) == 1 if self.options else self.low == self.high


Cells = Mapping[str, Cell]
_Sides = list[tuple[Form | None, bool]]


class Truth(NamedTuple):
    """What a condition may be somewhere in the box."""

    mask: int


class Alternatives(NamedTuple):
    """Words, lists or texts, one of which it is."""

    values: tuple[Value, ...]


Found = Form | Truth | Alternatives | None  # None: missing all over the box


class BoxEvaluator:
    """Evaluates nodes over one box. Raises TooCloseError where floats cannot decide; never if `in_fractions`.

    `facts` may be told what holds at every point that matters; comparisons then make use of it. ``base`` is another
    one of the same box that knows no facts: terms for which none would matter are taken from there. ``wider`` is one of
    a box that differs from this one in the axes ``moved`` alone: so are words and truths that come to none of these.
    """

    def __init__(
        self,
        space: Space,
        cells: Cells,
        in_fractions: bool,
        base: BoxEvaluator | None = None,
        wider: BoxEvaluator | None = None,
        moved: frozenset[str] = frozenset(),
    ) -> None:
        self._space = space
        self._cells = cells
        self._wider, self._moved = wider, moved
        self._sums: Arithmetic = Arithmetic(in_fractions) if base is None else base._sums
        self._base = base
        self._known: dict[str, Found] = {}
        self._forms: dict[Node, Form | None] = {}
        self._compared: dict[int, tuple[Node, _Sides]] = {}  # by identity; the node is kept, so that it stays its own
        self._busy: set[str] = set()
        self._open: set[str | Node] = set()  # what facts could tell more of
        self.facts = Facts(self._sums)

    def _settled(self, key: str) -> tuple[Found] | None:
        """What a term is, where no fact could tell more of it."""
        if key not in self._known:
            try:
                self._term(key)
            except TooCloseError:
                return None
        return None if key in self._open else (self._known[key],)

    # terms

    def _term(self, key: str) -> Found:
        if key in self._known:
            self.facts.doubts += key in self._open
            return self._known[key]
        settled = self._base._settled(key) if self._base is not None else None
        if settled is None and self._wider is not None and self._moved.isdisjoint(self._space.reads_of(key)):
            settled = self._wider._settled(key)
            if settled is not None and isinstance(settled[0], Form) and settled[0].terms:
                settled = None  # what it is made of has other names in this box
        if settled is not None:
            self._known[key] = settled[0]
            return settled[0]
        doubts = self.facts.doubts
        if self._space.formula(key) is not None:
            if key in self._busy:
                return None
            self._busy.add(key)
            try:
                if not self._known.keys() >= self._space.direct(key):
                    for needed in self._space.before(key):
                        if needed not in self._known:
                            self._term(needed)
                doubts = self.facts.doubts  # what it needs of these counts when it asks for them
                found = self._formula(key)
            finally:
                self._busy.discard(key)
        else:
            found = self._given(key)
        self._known[key] = found
        if self.facts.doubts > doubts:
            self._open.add(key)
        return found

    def _formula(self, key: str) -> Found:
        node = self._space.formula(key)
        return None if node is None else self._anything(node)

    def _given(self, key: str) -> Found:
        cell = self._cells.get(key)
        if cell is not None and not cell.options:
            return self._sums.axis(key, cell.low, cell.high)
        if key in self._space.axis_of and cell is None:
            return None
        values = cell.options if cell is not None else (self._space.constants.get(key),)
        numbers = [
            value for value in values if isinstance(value, Fraction | float | int) and not isinstance(value, bool)
        ]
        if numbers and len(numbers) == len(values):
            if not all(is_finite(number) for number in numbers):
                return None
            low, high = (Fraction(end) for end in (min(numbers), max(numbers)))
            return self._sums.axis(key, low, high)
        if all(isinstance(value, bool) for value in values):
            return Truth(_union(of_truth(value) for value in values))
        stated = tuple(value for value in values if value is not None and not isinstance(value, Missing))
        return Alternatives(stated) if len(stated) == len(values) else None

    def _anything(self, node: Node) -> Found:
        match node:
            case Name():
                return self._term(node.key)
            case Number() | Unary() | Binary() | Power() | Extreme() | Call() | Tally():
                return self.number(node)
            case Choice():
                return self._choice(node)
            case _:
                return Truth(self.condition(node))

    def _alternatives(self, node: Node) -> tuple[Value, ...]:
        found = self._anything(node)
        return found.values if isinstance(found, Alternatives) else ()

    # numbers

    def number(self, node: Node) -> Form | None:
        """A number over the box; None if it is missing all over it."""
        if isinstance(node, Number):
            return self._sums.constant(node.value, plain=True)
        if isinstance(node, Name):
            return self._number(node)
        # The same calculation gives the same form wherever it stands, so that it can cancel itself out.
        if node not in self._forms:
            doubts = self.facts.doubts
            self._forms[node] = self._number(node)
            if self.facts.doubts > doubts:
                self._open.add(node)
        elif self._open:
            self.facts.doubts += node in self._open
        return self._forms[node]

    def range_of(self, node: Node) -> tuple[Fraction, Fraction] | None:
        """Ends that hold a number all over the box; None if it is missing somewhere, or has no end."""
        form = self.number(node)
        if form is None or form.hole:
            return None
        low, high = self._sums.bounds(form)
        return (Fraction(low), Fraction(high)) if is_finite(low) and is_finite(high) else None

    def _number(self, node: Node) -> Form | None:
        match node:
            case Unary():
                return self._unary(node)
            case Binary():
                return self._binary(node)
            case Power():
                return self._sums.power(self.number(node.base), node.exponent)
            case Extreme():
                return self._sums.extreme([self.number(part) for part in node.parts], node.operator == "least of")
            case Call():
                return self._call(node)
            case Tally():
                return self._tally(node)
            case _:
                found = self._anything(node)
                if found is None or isinstance(found, Form):
                    return found
                raise TypeError(f"not a number: {node!r}")

    def _unary(self, node: Unary) -> Form | None:
        operand = self.number(node.operand)
        if node.operator == "-":
            return None if operand is None else self._sums.scale(operand, -1)
        return self._sums.absolute(operand) if node.operator == "absolute" else self._sums.root(operand)

    def _binary(self, node: Binary) -> Form | None:
        left, right = self.number(node.left), self.number(node.right)
        match node.operator:
            case "+":
                return self._sums.add(left, right)
            case "-":
                return self._sums.add(left, right, -1)
            case "*":
                return self._sums.multiply(left, right)
        reduced = self._reduced_quotient(node) if left is not None and right is not None else None
        return self._sums.divide(left, right) if reduced is None else reduced

    def _call(self, node: Call) -> Form | None:
        forms = [self.number(argument) for argument in node.arguments]
        known = [form for form in forms if form is not None]
        if len(known) < len(forms):
            return None
        if not self._sums.exact and not all(form.plain for form in known):
            raise TooCloseError  # a calculated argument may lie beside a step of the function
        hole = any(form.hole for form in known)
        ranges = [self._sums.bounds(form) for form in known]
        if all(low == high for low, high in ranges):
            result = exact.call_function(node, [Fraction(low) for low, _ in ranges])
            return None if isinstance(result, Missing) else self._sums.constant(result)._replace(hole=hole)
        try:
            ends = node.function.enclose([float(low) for low, _ in ranges], [float(high) for _, high in ranges])
        except (ValueError, ArithmeticError):
            ends = None
        if ends is None or not all(is_finite(end) for end in ends):
            return self._sums.unknown()
        low, high = (self._sums.scalar(settled(end)) for end in ends)
        return self._sums.fresh(low, high, 0.0 if self._sums.exact else max(abs(end) for end in ends), hole)

    def _tally(self, node: Tally) -> Form | None:
        total: Form | None = None
        for place, value in enumerate(self._alternatives(node.list)):
            result = exact.tally(node, value)
            here = None if isinstance(result, Missing) else self._sums.constant(result)
            total = here if place == 0 else self._sums.hull(total, here, hole=False)
        return total

    def _choice(self, node: Choice) -> Found:
        which = self.condition(node.condition)
        if which in (T, F):
            return self._anything(node.yes if which == T else node.no)
        yes, no = self._anything(node.yes), self._anything(node.no)
        if isinstance(yes, Truth) or isinstance(no, Truth):
            masks = [branch.mask if isinstance(branch, Truth) else M for branch in (yes, no)]
            taken = (masks[0] if which & T else 0) | (masks[1] if which & F else 0)
            # Where it is missing which one, both may still agree.
            return Truth(taken | ((masks[0] & masks[1]) | M if which & M else 0))
        forms = [branch if isinstance(branch, Form) else None for branch in (yes, no)]
        if which == M and None in forms:
            return None
        return self._sums.hull(forms[0], forms[1], hole=bool(which & M))

    # conditions

    def condition(self, node: Node) -> int:
        """The set of what a condition may be in the box, at points that keep the facts."""
        match node:
            case Name() | Choice():
                found = self._anything(node)
                return found.mask if isinstance(found, Truth) else M
            case Compare() | Between():
                return self._compare(node)
            case Logic():
                return self._joined(node)
            case Not():
                return opposite(self.condition(node.operand))
            case Stated():
                stated = node.name.key in self._space.stated if isinstance(node.name, Name) else False
                return of_truth(stated != node.negated)
            case IsWord():
                return self._union_over(node, node.name)
            case Has() | Before():
                return self._union_over(node, node.list)
            case Number() | Unary() | Binary() | Power() | Extreme() | Call() | Tally():
                raise TypeError(f"not a condition: {node!r}")
            case _:
                assert_never(node)

    def _joined(self, node: Logic) -> int:
        """Parts side by side, up to the first that decides."""
        is_and = node.operator == "and"
        total = T
        for part in in_order(node):
            mask = self.condition(part)
            total = every((total, mask if is_and else opposite(mask)))
            if total == F:
                break
        return total if is_and else opposite(total)

    def _union_over(self, node: IsWord | Has | Before, subject: Node) -> int:
        """Asks each value that the subject may have."""
        values = self._alternatives(subject)
        return _union(of_truth(exact.ask(node, value)) for value in values) if values else M

    def _compare(self, node: Compare | Between) -> int:
        apart = self._apart(node) if isinstance(node, Compare) and node.within is None else None
        if apart is not None:
            return apart
        sides = self._sides(node)
        self._compared[id(node)] = node, sides
        mask = every(M if form is None else self.facts.mask(form, strict) for form, strict in sides)
        return opposite(mask) if isinstance(node, Compare) and node.operator == "!=" else mask

    def _apart(self, node: Compare) -> int | None:
        """What a comparison is where the ranges of its sides lie apart; None where they meet, or nearly, or have holes.

        Most comparisons are of this kind, and then neither shared terms nor facts can tell more.
        """
        left, right = self.number(node.left), self.number(node.right)
        if left is None or right is None or left.hole or right.hole:
            return None
        (low, high), (below, above) = self._ends(left), self._ends(right)
        is_less = high < below
        if not is_less and not low > above:
            return None
        if self._sums.is_near(below - high if is_less else low - above, left.size + right.size):
            return None
        return (
            T
            if node.operator == "!="
            or (node.operator[0] == "<" and is_less)
            or (node.operator[0] == ">" and not is_less)
            else F
        )

    def _ends(self, form: Form) -> tuple[Scalar, Scalar]:
        return self._sums.bounds(form) if form.terms else (form.constant, form.constant)

    def _sides(self, node: Compare | Between) -> _Sides:
        """Forms that must all be at most zero - below zero where the flag is set - for a comparison to hold.

        Those of `!=` are the ones of `=`.
        """
        if isinstance(node, Between):
            value, low, high = (self.number(part) for part in (node.value, node.low, node.high))
            return [(self._sums.add(low, value, -1), False), (self._sums.add(value, high, -1), False)]
        left, right = self._without_common_factors(node)
        gap, back = self._sums.add(left, right, -1), self._sums.add(right, left, -1)
        if node.operator in ("=", "!="):
            if node.within is not None:
                within = self.number(node.within)
                gap, back = self._sums.add(gap, within, -1), self._sums.add(back, within, -1)
            return [(gap, False), (back, False)]
        strict = node.operator in ("<", ">")
        return [(gap if node.operator[0] == "<" else back, strict)]

    # products

    def _opened(self, node: Node) -> Node | None:
        """What a term stands for, or the branch of a choice that is taken all over the box; None for anything else."""
        if isinstance(node, Name):
            return self._space.formula(node.key)
        if isinstance(node, Choice):
            which = self.condition(node.condition)
            return node.yes if which == T else node.no if which == F else None
        return None

    def _product(self, factors: tuple[Node, ...]) -> Form | None:
        total: Form | None = self._sums.constant(Fraction(1), plain=True)
        for place, factor in enumerate(factors):
            form = self.number(factor)
            total = form if place == 0 else self._sums.multiply(total, form)
        return total

    def _quotient(self, product: Product) -> Form | None:
        above = self._product(product.above)
        return above if not product.below else self._sums.divide(above, self._product(product.below))

    def _is_certainly_positive(self, factor: Node) -> bool:
        """Whether a factor has a value above zero all over the box, so that it may be left out on both sides."""
        if isinstance(factor, Number):
            return factor.value > 0
        form = self.number(factor)
        return form is not None and not form.hole and self._sums.bounds(form)[0] > 0

    def _reduced_quotient(self, node: Binary) -> Form | None:
        """A quotient without what stands above and below its line; None where nothing does."""
        product = product_of(node, self._opened)
        above, below, gone = without_common(product.above, product.below, self._is_certainly_positive)
        return self._quotient(Product(above, below)) if gone else None

    def _without_common_factors(self, node: Compare) -> tuple[Form | None, Form | None]:
        """Both sides of a comparison without the positive factors that they share."""
        left, right = self.number(node.left), self.number(node.right)
        if node.within is not None or left is None or right is None:
            return left, right
        first, second = product_of(node.left, self._opened), product_of(node.right, self._opened)
        if first.is_single and second.is_single:
            return left, right
        first_above, second_above, gone = without_common(first.above, second.above, self._is_certainly_positive)
        first_below, second_below, more = without_common(first.below, second.below, self._is_certainly_positive)
        if not gone + more:
            return left, right
        return self._quotient(Product(first_above, first_below)), self._quotient(Product(second_above, second_below))

    # facts

    def learn(self, node: Node) -> None:
        """Take it as a fact that a condition holds. What cannot be put as a comparison is passed over."""
        match node:
            case Logic() if node.operator == "and":
                for part in node.parts:
                    self.learn(part)
            case Between() | Compare() if isinstance(node, Between) or node.operator != "!=":
                compared = self._compared.get(id(node))
                self.facts.learn(self._sides(node) if compared is None else compared[1])
            case _:
                return
        # What a condition is may be known better now.
        self._known = {key: found for key, found in self._known.items() if not isinstance(found, Truth)}
        self._compared.clear()


_QUICK: Final = (Stated, IsWord, Has, Before)
_MOST_REMEMBERED: Final = 20_000
_order_of: dict[int, tuple[Logic, tuple[Node, ...]]] = {}  # by identity; the node is kept, so that it stays its own


def teaches(node: Node | None) -> bool:
    """Whether a condition that holds is a fact to learn: a comparison, or one of several conditions that all hold."""
    if isinstance(node, Logic):
        return node.operator == "and" and any(map(teaches, node.parts))
    return isinstance(node, Between) or (isinstance(node, Compare) and node.operator != "!=")


def in_order(node: Logic) -> tuple[Node, ...]:
    """The parts of a condition in the order to ask them: words and lists, which cost least, before calculations.

    The order makes no difference to what the condition is, only to how many of its parts are asked.
    """
    known = _order_of.get(id(node))
    if known is None or known[0] is not node:
        if len(_order_of) >= _MOST_REMEMBERED:
            _order_of.clear()
        quick = [isinstance(part.operand if isinstance(part, Not) else part, _QUICK) for part in node.parts]
        parts = zip(node.parts, quick, strict=True)
        known = node, tuple(part for part, _ in sorted(parts, key=lambda each: not each[1]))
        _order_of[id(node)] = known
    return known[1]


def _union(masks: Iterable[int]) -> int:
    total = 0
    for mask in masks:
        total |= mask
    return total
