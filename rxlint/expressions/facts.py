"""What is known to hold at every point that matters, put to use when a number is compared with zero."""

from __future__ import annotations

from typing import Final

from rxlint.expressions.forms import Arithmetic, Form, Scalar, TooCloseError
from rxlint.expressions.masks import F, M, T

_MOST: Final = 12
_STEPS: Final = 2

Limit = tuple[Scalar, bool]  # at most this; below it where the flag is set


class Facts:
    """Linear forms that are at most zero, or below zero. Sums of two of them with a multiple are tried.

    So a rule that asks for just what a relation of the document says is met, without splitting the box along it.
    """

    def __init__(self, sums: Arithmetic) -> None:
        self._sums = sums
        self._known: list[tuple[Form, bool]] = []

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
        if found == T | F and self._known and form.terms:
            if not self._sums.exact:
                raise TooCloseError  # only fractions can tell a form that a fact takes away to the last digit
            found = _decide(self._upper(form, _STEPS), self._upper(self._sums.scale(form, -1), _STEPS), strict)
        return found | hole

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


def _decide(upper: Limit, negative_upper: Limit, strict: bool) -> int:
    """T, F or both, for a number with this upper limit, and its negative with the other."""
    high, below = upper
    low, above = -negative_upper[0], negative_upper[1]
    if high < 0 or (high == 0 and (below or not strict)):
        return T
    if low > 0 or (low == 0 and (above or strict)):
        return F
    return T | F
