"""What is known to hold at every point that matters, put to use when a number is compared with zero."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rxlint.expressions.forms import Arithmetic, Atom, Form, Scalar, TooCloseError, is_finite
from rxlint.expressions.masks import F, M, T

_MOST: Final = 12
_STEPS: Final = 2
_DUST: Final = 1e-13  # of the multiples that a sum was made of

Limit = tuple[Scalar, bool]  # at most this; below it where the flag is set


class Facts:
    """Linear forms that are at most zero, or below zero. Sums of two of them with a multiple are tried.

    So a rule that asks for just what a relation of the document says is met, without splitting the box along it.
    """

    def __init__(self, sums: Arithmetic) -> None:
        self._sums = sums
        self._known: list[tuple[Form, bool]] = []
        self.doubts = 0  # comparisons that came out either way, so that (more) facts might decide them

    def learn(self, sides: list[tuple[Form | None, bool]]) -> None:
        """Each of these forms is at most zero - below zero where the flag is set - at every point that matters.

        A form that may be missing is passed over: where it is, the condition it came from says nothing.
        """
        for form, strict in sides:
            if form is not None and form.terms and not form.hole and len(self._known) < _MOST:
                self._known.append((form, strict))

    def mask(self, form: Form, strict: bool) -> int:
        """Whether a form is at most zero, or below zero if `strict`, over the box. Raises TooCloseError in floats."""
        low, high = self._sums.bounds(form)
        if self._sums.is_near(low, form.size) or self._sums.is_near(high, form.size):
            raise TooCloseError
        hole = M if form.hole else 0
        found = _decide((high, False), (-low, False), strict)
        self.doubts += found == T | F
        if found == T | F and self._known and form.terms:
            negative = self._sums.scale(form, -1)
            if not self._sums.exact:
                if self._is_below(form):
                    found = T
                elif self._is_below(negative):
                    found = F
            else:
                found = _decide(self._upper(form, _STEPS), self._upper(negative, _STEPS), strict)
        return found | hole

    def _is_below(self, form: Form) -> bool:
        """Whether the facts hold a form below zero, in floats. Raises TooCloseError where one may just do so."""
        near = False
        for limit, size in self._uppers(form, _STEPS):
            if self._sums.is_near(limit, size):
                near = True
            elif limit < 0:
                return True
        if near:
            raise TooCloseError
        return False

    def _uppers(self, form: Form, steps: int) -> Iterator[tuple[Scalar, float]]:
        """Upper limits of a form, each with the size of the numbers that it was added up from."""
        yield self._sums.bounds(form)[1], form.size
        if not steps:
            return
        for fact, _ in self._known:
            tried = set()
            for atom, multiple in fact.terms.items():
                share = form.terms.get(atom, 0.0) / multiple
                if share > 0 and share not in tried:
                    tried.add(share)
                    taken = self._sums.scale(fact, -share)
                    rest = self._sums.add(form, taken)
                    if rest is not None:
                        yield from self._uppers(self._without_dust(rest, form, taken), steps - 1)

    def _without_dust(self, rest: Form, form: Form, taken: Form) -> Form:
        """A difference in floats without what rounding may have left of terms that take one another away.

        What is dropped is far below what the form's size says of it; not so where the term has no limit.
        """
        dust = [
            atom for atom, multiple in rest.terms.items() if abs(float(multiple)) <= _DUST * _weight(atom, form, taken)
        ]
        if not dust:
            return rest
        if not all(is_finite(end) for atom in dust for end in self._sums.range_of(atom)):
            raise TooCloseError
        return rest._replace(terms={atom: multiple for atom, multiple in rest.terms.items() if atom not in dust})

    def _upper(self, form: Form, steps: int) -> Limit:
        """The best upper limit of a form, of the box itself and of the facts."""
        best: Limit = (self._sums.bounds(form)[1], False)
        if not steps:
            return best
        for fact, strict in self._known:
            tried = set()
            for atom, multiple in fact.terms.items():
                share = form.terms.get(atom, 0) / multiple
                if share > 0 and share not in tried:
                    tried.add(share)
                    rest = self._sums.add(form, self._sums.scale(fact, -share))
                    if rest is not None:
                        limit, open_end = self._upper(rest, steps - 1)
                        best = min(best, (limit, open_end or strict), key=lambda one: (one[0], not one[1]))
        return best


def _weight(atom: Atom, *forms: Form) -> float:
    """What a multiple was added up from."""
    return sum(abs(float(form.terms[atom])) for form in forms if atom in form.terms)


def _decide(upper: Limit, negative_upper: Limit, strict: bool) -> int:
    """T, F or both, for a number with this upper limit, and its negative with the other."""
    high, below = upper
    low, above = -negative_upper[0], negative_upper[1]
    if high < 0 or (high == 0 and (below or not strict)):
        return T
    if low > 0 or (low == 0 and (above or strict)):
        return F
    return T | F
