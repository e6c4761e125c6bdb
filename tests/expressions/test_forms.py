"""Interval arithmetic worked out by hand: ends, what stays linear, what may be missing, how large the numbers were."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from rxlint.expressions.forms import Arithmetic, Form, TooCloseError

INF = math.inf
HALF, THIRD = Fraction(1, 2), Fraction(1, 3)


class Box:
    """x from 2 to 5, y from -3 to 4, n from -5 to -2, z from 6 to 7, in fractions or in floats."""

    def __init__(self, exact: bool) -> None:
        self.sums = Arithmetic(exact)
        self.x, self.y, self.n, self.z = (
            self.sums.axis(key, Fraction(low), Fraction(high))
            for key, low, high in (("x", 2, 5), ("y", -3, 4), ("n", -5, -2), ("z", 6, 7))
        )

    def number(self, value: int) -> Form:
        return self.sums.constant(Fraction(value))

    def ends(self, form: Form | None) -> tuple[object, object]:
        assert form is not None
        return self.sums.bounds(form)


@pytest.fixture(params=[True, False], ids=["fractions", "floats"])
def box(request: pytest.FixtureRequest) -> Box:
    return Box(request.param)


def test_sums_and_multiples(box: Box) -> None:
    sums = box.sums
    assert box.ends(sums.add(box.x, box.y)) == (-1, 9)
    assert box.ends(sums.add(box.x, box.y, -1)) == (-2, 8)
    gone = sums.add(box.x, box.x, -1)
    assert gone is not None and gone.terms == {} and gone.constant == 0
    assert box.ends(sums.add(box.number(3), box.x, -1)) == (-2, 1)
    assert box.ends(sums.scale(box.x, -2)) == (-10, -4)
    nothing = sums.scale(box.x._replace(hole=True), 0)
    assert (nothing.constant, nothing.terms, nothing.size, nothing.hole) == (0, {}, 0.0, True)
    assert sums.add(None, box.x) is None and sums.add(box.x, None) is None


def test_products(box: Box) -> None:
    sums = box.sums
    assert box.ends(sums.multiply(box.x, box.y)) == (-15, 20)
    assert box.ends(sums.multiply(box.n, box.y)) == (-20, 15)
    for product in (sums.multiply(box.x, box.number(3)), sums.multiply(box.number(3), box.x)):
        assert product is not None and product.terms == {"x": 3} and not product.hole
    assert box.ends(sums.multiply(box.y, box.y)) == (0, 16)
    shifted = sums.add(box.y, box.number(1))
    assert box.ends(sums.multiply(box.y, shifted)) == (-15, 20)  # the same terms, and yet another number
    for one, other in ((box.x._replace(hole=True), box.y), (box.x, box.number(2)._replace(hole=True))):
        product = sums.multiply(one, other)
        assert product is not None and product.hole
    assert sums.multiply(None, box.x) is None and sums.multiply(box.x, None) is None


def test_quotients(box: Box) -> None:
    sums = box.sums
    assert box.ends(sums.divide(box.number(10), box.x)) == (2, 5)
    assert box.ends(sums.divide(box.number(10), box.n)) == (-5, -2)
    assert box.ends(sums.divide(box.y, box.x)) == (-1.5, 2)
    halved = sums.divide(box.x, box.number(2))
    assert halved is not None and halved.terms == {"x": HALF} and not halved.hole
    for left, right in ((box.x._replace(hole=True), box.number(2)), (box.x, box.z._replace(hole=True))):
        quotient = sums.divide(left, right)
        assert quotient is not None and quotient.hole
    whole = sums.divide(box.x, box.z)
    assert whole is not None and not whole.hole
    unknown = sums.divide(box.x, box.y)
    assert unknown is not None and unknown.hole and box.ends(unknown) == (-INF, INF)
    assert sums.divide(None, box.x) is None and sums.divide(box.x, None) is None


def test_a_divisor_that_reaches_zero_exactly() -> None:
    box = Box(exact=True)
    up, down = (box.sums.axis(key, Fraction(low), Fraction(high)) for key, low, high in (("u", 0, 4), ("d", -4, 0)))
    for divisor, ends in ((up, (HALF, INF)), (down, (-INF, -HALF))):
        quotient = box.sums.divide(box.x, divisor)
        assert quotient is not None and quotient.hole and box.ends(quotient) == ends
    assert box.sums.divide(box.x, box.number(0)) is None
    assert box.sums.divide(box.x, box.sums.add(up, up, -1)) is None


def test_whole_powers(box: Box) -> None:
    sums = box.sums
    assert box.ends(sums.power(box.y, 2)) == (0, 16)
    assert box.ends(sums.power(box.y, 3)) == (-27, 64)
    assert box.ends(sums.power(box.n, 2)) == (4, 25)
    assert box.ends(sums.power(box.n, 3)) == (-125, -8)
    assert box.ends(sums.power(box.x, -1)) == (0.2, 0.5) if not sums.exact else (Fraction(1, 5), HALF)
    assert sums.power(box.x, 1) is box.x
    one = sums.power(box.x._replace(hole=True), 0)
    assert one is not None and one.constant == 1 and one.terms == {} and one.hole
    assert sums.power(None, 2) is None
    missing = sums.power(box.y._replace(hole=True), 3)
    assert missing is not None and missing.hole


def test_absolute_values(box: Box) -> None:
    sums = box.sums
    assert sums.absolute(box.x) is box.x
    turned = sums.absolute(box.n)
    assert turned is not None and turned.terms == {"n": -1} and box.ends(turned) == (2, 5)
    assert box.ends(sums.absolute(box.y)) == (0, 4)
    assert box.ends(sums.absolute(sums.scale(box.y, -1))) == (0, 4)
    left = sums.absolute(sums.add(box.y, box.number(2), -1))
    assert box.ends(left) == (0, 5)
    assert sums.absolute(None) is None


def test_square_roots(box: Box) -> None:
    sums = box.sums
    square, across, below = (
        sums.axis(key, Fraction(low), Fraction(high)) for key, low, high in (("s", 4, 9), ("a", -4, 9), ("b", -9, -4))
    )
    found = sums.root(square)
    assert found is not None and box.ends(found) == (2, 3) and not found.hole
    found = sums.root(across)
    assert found is not None and box.ends(found) == (0, 3) and found.hole
    assert sums.root(below) is None and sums.root(None) is None
    found = sums.root(square._replace(hole=True))
    assert found is not None and found.hole


def test_the_least_and_the_greatest(box: Box) -> None:
    sums = box.sums
    for forms, least, key in (((box.x, box.z), True, "x"), ((box.x, box.z), False, "z"), ((box.z, box.x), True, "x")):
        found = sums.extreme(forms, least)
        assert found is not None and found.terms == {key: 1} and not found.hole and not found.plain
    touching = sums.axis("t", Fraction(5), Fraction(6))
    found = sums.extreme((box.x, touching), True)
    assert found is not None and found.terms == {"x": 1}
    within = sums.axis("w", Fraction(3), Fraction(4))
    assert box.ends(sums.extreme((box.x, within), True)) == (2, 4)
    assert box.ends(sums.extreme((box.x, within), False)) == (3, 5)
    found = sums.extreme((box.x, within._replace(hole=True)), True)
    assert found is not None and found.hole
    assert sums.extreme((box.x, None), True) is None


def test_one_or_the_other(box: Box) -> None:
    sums = box.sums
    assert box.ends(sums.hull(box.x, box.z, hole=False)) == (2, 7)
    assert box.ends(sums.hull(box.z, box.x, hole=False)) == (2, 7)
    assert box.ends(sums.hull(box.x, sums.axis("w", Fraction(3), Fraction(4)), hole=False)) == (2, 5)
    for one, other in ((box.x, None), (None, box.x)):
        found = sums.hull(one, other, hole=False)
        assert found is not None and found.terms == {"x": 1} and found.hole
    assert sums.hull(None, None, hole=False) is None
    same = sums.hull(box.x, box.x, hole=False)
    assert same is not None and same.terms == {"x": 1} and not same.hole and not same.plain
    shifted = sums.hull(box.x, sums.add(box.x, box.number(1)), hole=False)
    assert box.ends(shifted) == (2, 6)
    for hole, one in ((True, box.x), (False, box.x._replace(hole=True))):
        for other in (box.x, box.z):
            found = sums.hull(one, other, hole=hole)
            assert found is not None and found.hole


def test_ends_without_limit() -> None:
    box = Box(exact=True)
    low, high = box.sums.fresh(-INF, Fraction(3)), box.sums.fresh(Fraction(2), INF)
    below = box.sums.fresh(-INF, Fraction(-1))
    assert box.ends(box.sums.multiply(low, box.x)) == (-INF, 15)
    assert box.ends(box.sums.multiply(below, box.n)) == (2, INF)
    assert box.ends(box.sums.multiply(high, box.n)) == (-INF, -4)
    assert box.ends(box.sums.divide(box.x, high)) == (0, Fraction(5, 2))
    assert box.ends(box.sums.add(low, box.x)) == (-INF, 8)
    assert box.ends(box.sums.add(high, box.x)) == (4, INF)
    assert box.ends(box.sums.add(low, high)) == (-INF, INF)
    assert box.ends(box.sums.power(low, 3)) == (-INF, 27)
    assert box.ends(box.sums.power(low, 2)) == (0, INF)
    assert box.ends(box.sums.multiply(high, box.sums.axis("o", Fraction(0), Fraction(1)))) == (0, INF)


def test_numbers_that_are_the_same_everywhere_are_constants() -> None:
    sums = Arithmetic(exact=True)
    assert sums.fresh(THIRD, THIRD, hole=True) == Form(THIRD, {}, 0.0, True)
    assert sums.axis("p", THIRD, THIRD) == Form(THIRD, {}, 0.0, False, True)
    huge = Fraction(2**9000)
    for low, high in ((-huge, Fraction(1)), (Fraction(1), huge)):
        found = sums.fresh(low, high)
        assert found.hole and sums.bounds(found) == (-INF, INF)
    found = sums.scale(sums.constant(Fraction(2**5000)), Fraction(2**5000))
    assert found.hole and sums.bounds(found) == (-INF, INF)
    assert sums.power(sums.constant(Fraction(2**5000)), 2) is not None


def test_in_floats_the_size_of_what_was_added_up_is_kept() -> None:
    box = Box(exact=False)
    sums = box.sums
    assert [form.size for form in (box.x, box.y, box.n, box.number(-3))] == [5.0, 4.0, 5.0, 3.0]
    wanted = {
        9.0: sums.add(box.x, box.y),
        13.0: sums.add(box.x, box.y, -2),
        15.0: sums.scale(box.x, -3),
        20.0: sums.multiply(box.x, box.y),
        10.0: sums.multiply(box.x, box.number(-2)),
        7.0 * 5.0 / 2.0 / 2.0: sums.divide(box.z, box.x),
        5.0 * 5.0 / 2.0 / 2.0: sums.divide(box.n, box.n),
        2.5: sums.divide(box.x, box.number(2)),
        64.0: sums.power(box.y, 3),
        4.0: sums.absolute(box.y),
        math.sqrt(7.0): sums.root(box.z),
        12.0: sums.extreme((box.x, box.z), True),
        7.0: sums.hull(box.x, box.z, hole=False),
    }
    for size, form in wanted.items():
        assert form is not None and form.size == pytest.approx(size)
    overlapping = sums.extreme((box.x, box.y), True)
    assert overlapping is not None and overlapping.size == 9.0
    exact = Arithmetic(exact=True)
    assert exact.axis("x", Fraction(2), Fraction(5)).size == exact.constant(Fraction(3)).size == 0.0


def test_floats_too_close_to_zero_are_not_trusted() -> None:
    sums = Arithmetic(exact=False)
    assert sums.is_near(0.0, 0.0) and sums.is_near(1e-9, 1.0) and sums.is_near(-1e-9, 1.0)
    assert sums.is_near(1.5e-9, 2.0) and sums.is_near(math.nan, 1.0)
    assert not sums.is_near(1.1e-9, 1.0) and not sums.is_near(-1.1e-9, 1.0)
    assert not Arithmetic(exact=True).is_near(Fraction(0), 1.0)
    one = sums.constant(Fraction(1))
    for low, high in ((0, 1), (-1, 0)):
        touching = sums.axis("t", Fraction(low), Fraction(high))
        with pytest.raises(TooCloseError):
            sums.divide(one, touching)
        with pytest.raises(TooCloseError):
            sums.root(touching)
    with pytest.raises(TooCloseError):
        sums.constant(Fraction(10**400))
    for ends in ((math.nan, 1.0), (1.0, math.nan)):
        with pytest.raises(TooCloseError):
            sums.fresh(*ends)


def test_ends_between_nothing_and_one() -> None:
    sums = Arithmetic(exact=True)
    small, turned = sums.axis("s", HALF * HALF, Fraction(9, 16)), sums.axis("t", Fraction(-5), HALF)
    assert sums.bounds(sums.power(small, 2) or small) == (Fraction(1, 16), Fraction(81, 256))
    assert sums.bounds(sums.root(small) or small) == (HALF, Fraction(3, 4))
    assert sums.bounds(sums.absolute(turned) or turned) == (0, 5)
    assert sums.bounds(sums.power(sums.axis("o", HALF, Fraction(2)), 2) or small) == (HALF * HALF, 4)


def test_fractions_beyond_floats_beside_no_end() -> None:
    sums = Arithmetic(exact=True)
    huge, endless = sums.axis("h", Fraction(1), Fraction(10**400)), sums.fresh(Fraction(2), INF)
    assert sums.bounds(sums.multiply(huge, endless) or huge) == (2, INF)
    assert sums.bounds(sums.add(huge, endless) or huge) == (3, INF)
    assert sums.bounds(sums.add(endless, huge) or huge) == (3, INF)


def test_powers_beyond_floats_have_no_end() -> None:
    sums = Arithmetic(exact=False)
    wide = sums.axis("w", Fraction(-(10**60)), Fraction(10**60))
    below = sums.power(sums.axis("b", Fraction(-(10**60)), Fraction(-1)), 6)
    assert below is not None and sums.bounds(below) == (1, INF)
    odd, even = sums.power(wide, 7), sums.power(wide, 8)
    assert odd is not None and sums.bounds(odd) == (-INF, INF)
    assert even is not None and sums.bounds(even) == (0, INF)
