"""Suggestions by small edit distance."""

from __future__ import annotations

import pytest

from rxlint.expressions.problems import near, nearest


@pytest.mark.parametrize(
    ("text", "candidate", "slips"),
    [
        ("PEEP", "peep", 0),
        ("PEPE", "PEEP", 1),  # two neighbours swapped
        ("EPEP", "PEEP", 1),  # ... at the very start
        ("ab", "ba", 1),
        ("abca", "bcaa", None),  # no neighbours
        ("peak", "peaks", 1),
        ("peaks", "peak", 1),
        ("peak", "pear", 1),
        ("beak", "peak", 1),
        ("peek", "pear", None),  # two slips in four signs
        ("cmH3O", "cmH2O", 1),
        ("cmJ3O", "cmH2O", 2),  # two slips in five signs
        ("cnJ3O", "cmH2O", None),
        ("abcdefghij", "abcdefgxyz", 3),
        ("abcdefghij", "abcdefwxyz", None),
        ("abcdefghij", "abcdefghijklm", 3),
        ("abcdefghij", "abcdefghijklmn", None),
        ("a", "b", None),  # nothing would be left of it
        ("", "a", None),
        ("ab", "b", 1),
        ("abcd", "abdc", 1),
        ("abcde", "abdce", 1),
    ],
)
def test_slips_are_counted(text: str, candidate: str, slips: int | None) -> None:
    assert nearest(text, [candidate]) == ((0, ()) if slips is None else (slips, (candidate,)))


def test_the_nearest_three_come_first_and_each_once() -> None:
    several = ["peakx", "peaky", "peak", "peak", "peaxy", "peakz", "peako"]
    assert near("peak", several) == ("peak", "peako", "peakx")
    assert nearest("peakk", ["weakk", "peak"]) == (1, ("peak", "weakk"))
    assert near("peak", []) == ()
