"""Two slips in one text: where they stand together, and where the lines of each have gone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from tests.slips.sheet import Slip


@dataclass(frozen=True)
class Hunk:
    """Lines start..end of the old text, counted from 0 and without the last, and what stands in their place."""

    start: int
    end: int
    new: tuple[str, ...]

    @property
    def more(self) -> int:
        """By how many lines the text grows."""
        return len(self.new) - (self.end - self.start)


def hunks(old: str, new: str) -> tuple[Hunk, ...]:
    """What was changed: line by line where none was added or lost, else one stretch."""
    before, after = old.split("\n"), new.split("\n")
    if len(before) == len(after):
        pairs = enumerate(zip(before, after, strict=True))
        return tuple(Hunk(at, at + 1, (line,)) for at, (was, line) in pairs if was != line)
    shorter = min(len(before), len(after))
    first = next((at for at in range(shorter) if before[at] != after[at]), shorter)
    most = shorter - first
    last = next((at for at in range(most) if before[-1 - at] != after[-1 - at]), most)
    return (Hunk(first, len(before) - last, tuple(after[first : len(after) - last])),)


def _apart(one: Hunk, other: Hunk) -> bool:
    """Whether neither changes a line of the other, or adds one beside it."""
    if one.start == one.end or other.start == other.end:
        return one.end < other.start or other.end < one.start
    return one.end <= other.start or other.end <= one.start


@dataclass(frozen=True)
class Both:
    """Two slips in one text, and where a line of each alone, counted from 1, stands there."""

    text: str
    first: Callable[[int], set[int]]
    second: Callable[[int], set[int]]


def compose(sound: str, first: Slip, second: Slip) -> Both | None:
    """Both slips in the sound text; None where they can't stand together."""
    one, other = hunks(sound, first.text), hunks(sound, second.text)
    if not all(_apart(a, b) for a in one for b in other):
        return None
    lines = sound.split("\n")
    for hunk in sorted((*one, *other), key=lambda each: (each.start, each.end), reverse=True):
        lines[hunk.start : hunk.end] = hunk.new
    return Both("\n".join(lines), _moved(one, other), _moved(other, one))


def _moved(own: Sequence[Hunk], others: Sequence[Hunk]) -> Callable[[int], set[int]]:
    """Where a line of the text with one slip stands in the text with both; the lines of the other where it was
    changed by that one.
    """

    def where(line: int) -> set[int]:
        at, grown = line - 1, 0
        for hunk in sorted(own, key=lambda each: each.start):
            start = hunk.start + grown
            if start <= at < start + len(hunk.new):
                return {line + _before(others, hunk.start)}
            if at >= start + len(hunk.new):
                grown += hunk.more
        old = at - grown
        changed = next((each for each in others if each.start <= old < each.end), None)
        if changed is None:
            return {line + _before(others, old)}
        begin = changed.start + _before(others, changed.start) + sum(h.more for h in own if h.end <= changed.start)
        return set(range(begin + 1, begin + 1 + len(changed.new)))

    return where


def _before(hunks_: Iterable[Hunk], old: int) -> int:
    return sum(each.more for each in hunks_ if each.end <= old)
