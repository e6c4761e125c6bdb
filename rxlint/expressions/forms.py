"""Interval arithmetic with linear forms: a number is a constant plus multiples of atoms that range over a box.

Atoms are axes, and results that are not linear. Sums and multiples keep them apart, so that `x + y - x` is exactly `y`.
The same code works in floats and in fractions. In floats every form carries a `size`, a bound on the numbers it was
added up from; a decision within 1e-9 of it raises TooCloseError, and the box is done again in fractions.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Final, NamedTuple

from rxlint.expressions.arithmetic import is_huge, root_of

Scalar = float | Fraction
Atom = str | int
Range = tuple[Scalar, Scalar]

INFINITE: Final = math.inf
TOLERANCE: Final = 1e-9


class TooCloseError(Exception):
    """Floats cannot decide this box."""


class Form(NamedTuple):
    """`constant` plus the sum of `terms`; `hole` if it may be missing somewhere in the box.

    `plain` if it is an axis or a stated number itself, so that its float is the float of the exact value.
    """

    constant: Scalar
    terms: dict[Atom, Scalar]
    size: float = 0.0
    hole: bool = False
    plain: bool = False


class Arithmetic:
    """Arithmetic over one box, in floats or exactly. None stands for a number that is missing everywhere."""

    def __init__(self, exact: bool) -> None:
        self.exact = exact
        self._atoms: dict[Atom, Range] = {}

    def scalar(self, value: Scalar) -> Scalar:
        """A finite number as this arithmetic works with it."""
        if self.exact:
            return Fraction(value)
        try:
            return float(value)
        except OverflowError:
            raise TooCloseError from None

    def constant(self, value: Scalar, plain: bool = False) -> Form:
        """A number that is the same all over the box."""
        made = self.scalar(value)
        return Form(made, {}, 0.0 if self.exact else abs(float(made)), False, plain)

    def axis(self, key: str, low: Fraction, high: Fraction) -> Form:
        """A free variable."""
        if low == high:
            return self.constant(low, plain=True)
        self._atoms[key] = (self.scalar(low), self.scalar(high))
        size = 0.0 if self.exact else max(abs(float(low)), abs(float(high)))
        return Form(self.scalar(0), {key: self.scalar(1)}, size, False, True)

    def fresh(self, low: Scalar, high: Scalar, size: float = 0.0, hole: bool = False) -> Form:
        """A number known only by its range."""
        if _undefined(low) or _undefined(high):
            raise TooCloseError
        if low == high and not _infinite(low):
            return Form(low, {}, size, hole)
        if any(isinstance(end, Fraction) and is_huge(end) for end in (low, high)):
            low, high, hole = -INFINITE, INFINITE, True
        atom = len(self._atoms)
        self._atoms[atom] = (low, high)
        return Form(self.scalar(0), {atom: self.scalar(1)}, size, hole)

    def unknown(self) -> Form:
        """A number that nothing is known about, not even whether it is there."""
        return self.fresh(-INFINITE, INFINITE, hole=True)

    def range_of(self, atom: Atom) -> Range:
        """What an atom ranges over."""
        return self._atoms[atom]

    def bounds(self, form: Form) -> Range:
        """The least and the greatest it may be in the box."""
        low: Scalar = form.constant
        high: Scalar = form.constant
        if not self.exact:  # floats know by themselves what is infinite
            for atom, factor in form.terms.items():
                below, above = self._atoms[atom]
                if factor < 0:
                    below, above = above, below
                low, high = low + factor * below, high + factor * above
            return low, high
        for atom, factor in form.terms.items():
            ends = self._atoms[atom]
            below, above = ends if factor > 0 else (ends[1], ends[0])
            low, high = _plus(low, _times(factor, below)), _plus(high, _times(factor, above))
        return low, high

    def is_near(self, value: Scalar, size: float) -> bool:
        """Whether a float that was added up from numbers of this size may really be zero, or of the other sign."""
        limit = TOLERANCE * size
        return not self.exact and not (value > limit or -value > limit)

    # operations

    def add(self, left: Form | None, right: Form | None, factor: int = 1) -> Form | None:
        """left plus `factor` times right."""
        if left is None or right is None:
            return None
        terms = dict(left.terms)
        for atom, multiple in right.terms.items():
            total = terms.get(atom, self.scalar(0)) + factor * multiple
            if total:
                terms[atom] = total
            else:
                del terms[atom]
        constant = left.constant + factor * right.constant
        hole = left.hole or right.hole
        return self._checked(Form(constant, terms, left.size + abs(factor) * right.size, hole))

    def scale(self, form: Form, factor: Scalar, size: float | None = None) -> Form:
        """A multiple of a form."""
        if not factor:
            return Form(self.scalar(0), {}, 0.0, form.hole)
        terms = {atom: multiple * factor for atom, multiple in form.terms.items()}
        size = form.size * abs(float(factor)) if size is None and not self.exact else size or 0.0
        return self._checked(Form(form.constant * factor, terms, size, form.hole))

    def multiply(self, left: Form | None, right: Form | None) -> Form | None:
        """A product."""
        if left is None or right is None:
            return None
        hole = left.hole or right.hole
        size = left.size * right.size
        for one, other in ((left, right), (right, left)):
            if not one.terms:
                return self.scale(other, one.constant, size)._replace(hole=hole)
        if left.terms == right.terms and left.constant == right.constant:
            return self.power(left._replace(hole=hole), 2)
        return self.fresh(*_span_of_products(self.bounds(left), self.bounds(right)), size, hole)

    def divide(self, left: Form | None, right: Form | None) -> Form | None:
        """A quotient. Where the divisor may be zero, so may the quotient be missing."""
        if left is None or right is None:
            return None
        low, high = self.bounds(right)
        if self.is_near(low, right.size) or self.is_near(high, right.size):
            raise TooCloseError
        if low == high == 0:
            return None
        if low < 0 < high:
            return self.unknown()
        nearest = low if low >= 0 else -high
        size = 0.0 if self.exact else left.size * right.size / float(nearest) / float(nearest)
        if not right.terms:
            return self.scale(left, 1 / right.constant, size)._replace(hole=left.hole or right.hole)
        # One end may be zero (then an exact one); the quotient has no limit on that side.
        inverse = (_inverse(high) if high else -INFINITE, _inverse(low) if low else INFINITE)
        return self.fresh(*_span_of_products(self.bounds(left), inverse), size, left.hole or right.hole or not nearest)

    def power(self, form: Form | None, exponent: int) -> Form | None:
        """A whole power."""
        if form is None or exponent == 1:
            return form
        if exponent == 0:
            return self.constant(1)._replace(hole=form.hole)
        if exponent < 0:
            return self.divide(self.constant(1), self.power(form, -exponent))
        low, high = self.bounds(form)
        ends = sorted((_raise(low, exponent), _raise(high, exponent)))
        if exponent % 2 == 0 and low < 0 < high:
            ends[0] = self.scalar(0)
        return self.fresh(ends[0], ends[1], float(_raise(form.size, exponent)), form.hole)

    def absolute(self, form: Form | None) -> Form | None:
        """The absolute value; a form of one sign stays linear."""
        if form is None:
            return None
        low, high = self.bounds(form)
        if low >= 0:
            return form
        if high <= 0:
            return self.scale(form, -1)
        return self.fresh(self.scalar(0), max(-low, high), form.size, form.hole)

    def root(self, form: Form | None) -> Form | None:
        """The square root; missing where the number is negative."""
        if form is None:
            return None
        low, high = self.bounds(form)
        if self.is_near(low, form.size) or self.is_near(high, form.size):
            raise TooCloseError
        if high < 0:
            return None
        hole = form.hole or low < 0
        return self.fresh(_root(max(low, self.scalar(0))), _root(high), math.sqrt(form.size), hole)

    def extreme(self, forms: Sequence[Form | None], least: bool) -> Form | None:
        """The least or the greatest; if one is so everywhere, it stays what it is."""
        known = [form for form in forms if form is not None]
        if len(known) < len(forms):
            return None
        hole = any(form.hole for form in known)
        size = sum(form.size for form in known)
        ranges = [self.bounds(form) for form in known]
        lows, highs = [low for low, _ in ranges], [high for _, high in ranges]
        low, high = (min(lows), min(highs)) if least else (max(lows), max(highs))
        for place, form in enumerate(known):
            if _is_extreme(place, ranges, least):
                return form._replace(hole=hole, size=size, plain=False)
        return self.fresh(low, high, size, hole)

    def hull(self, left: Form | None, right: Form | None, hole: bool) -> Form | None:
        """One or the other."""
        if left is None or right is None:
            only = right if left is None else left
            return None if only is None else only._replace(hole=True)
        hole = hole or left.hole or right.hole
        size = max(left.size, right.size)
        if left.terms == right.terms and left.constant == right.constant:
            return left._replace(hole=hole, size=size, plain=False)
        (low, high), (below, above) = self.bounds(left), self.bounds(right)
        return self.fresh(min(low, below), max(high, above), size, hole)

    def _checked(self, form: Form) -> Form:
        if isinstance(form.constant, Fraction) and is_huge(form.constant):
            return self.unknown()
        return form


def _is_extreme(place: int, ranges: Sequence[Range], least: bool) -> bool:
    """Whether the number at this place is the least (or greatest) wherever in the box one looks."""
    low, high = ranges[place]
    others = [ends for i, ends in enumerate(ranges) if i != place]
    return all(high <= below if least else low >= above for below, above in others)


def _infinite(value: Scalar) -> bool:
    return isinstance(value, float) and math.isinf(value)


def _undefined(value: Scalar) -> bool:
    return isinstance(value, float) and math.isnan(value)


def is_finite(value: Scalar) -> bool:
    """Whether it is neither infinite nor undefined; fractions always are."""
    return not isinstance(value, float) or math.isfinite(value)


def _plus(left: Scalar, right: Scalar) -> Scalar:
    if _infinite(left):
        return left + right if _infinite(right) else left
    return right if _infinite(right) else left + right


def _times(left: Scalar, right: Scalar) -> Scalar:
    if not left or not right:  # nothing times a side without limit is nothing
        return right if left else left
    if _infinite(left) or _infinite(right):
        return INFINITE if (left > 0) == (right > 0) else -INFINITE
    return left * right


def _span_of_products(left: Range, right: Range) -> Range:
    ends = [_times(a, b) for a in left for b in right]
    if any(_undefined(end) for end in ends):
        raise TooCloseError
    return min(ends), max(ends)


def _inverse(value: Scalar) -> Scalar:
    return Fraction(0) if _infinite(value) else 1 / value


def _raise(value: Scalar, exponent: int) -> Scalar:
    if isinstance(value, Fraction):
        return value**exponent
    try:
        return float(value**exponent)
    except OverflowError:
        return -INFINITE if value < 0 and exponent % 2 else INFINITE


def _root(value: Scalar) -> Scalar:
    return root_of(value) if isinstance(value, Fraction) else math.sqrt(value)
