"""Whether what the screening says of a slip alone is still said of it when another slip stands beside it.

Whatever is said at `query` or above of a slip alone must be said of both, by the same rule at a line of the slip, or by
a rule to which that one gives way (`yields to`) and which names the same lines. What is no longer said is *masked*, and
a mask says why.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from rxlint.library.screen import screen_bytes
from rxlint.packs import Rule
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.engine import Screening
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import RuleSet, builtin_rules, prepare
from tests.slips.harness import DAY, fits
from tests.slips.sheet import Slip

UNREAD: Final = "not checked"
OTHERWISE: Final = "does not apply"
KEPT: Final = "holds"
UNDECIDED: Final = "undecided"
ELSEWHERE: Final = "told elsewhere"
"""The rule speaks of the other slip and not of this one: for one of the reasons above, and which, is not known."""
NOTED: Final = "noted"
GAVE_WAY: Final = "gave way"
"""The rule would speak at a line of the slip, and leaves the word to one that speaks of other lines."""
LOST: Final = "lost"
"""The rule would speak, and nobody does."""


@dataclass(frozen=True)
class Said:
    """What a screening says at `query` or above, every rule's outcome, and the rules that only note something."""

    findings: tuple[Finding, ...]
    outcomes: dict[str, str]
    noted: frozenset[str]


@dataclass(frozen=True)
class Mask:
    """A finding of a slip alone that is not said of it beside another, why, and the rules it may have left it to."""

    rule: str
    kind: str
    to: tuple[str, ...] = ()


def said(name: str, text: str) -> Said:
    """Screen a text. Raises RuntimeError where that fails, for a failure must not look like silence."""
    return _screened(name, text, builtin_rules())


def said_without_yielding(name: str, text: str) -> Said:
    """The same, if no rule gave way to another."""
    return _screened(name, text, _unyielding())


@cache
def _unyielding() -> RuleSet:
    return prepare([replace(pack, rules=tuple(map(_alone, pack.rules))) for pack in builtin_packs()])


def _alone(rule: Rule) -> Rule:
    return replace(rule, yields_to=(), parts=tuple(replace(part, yields_to=()) for part in rule.parts))


def _screened(name: str, text: str, rules: RuleSet) -> Said:
    screened = screen_bytes(name, text.encode("utf-8"), rules, DAY)
    screening = screened.screening
    if screening is None or screening.crashes:
        raise RuntimeError(f"{name}: {screened.problems or (screening and screening.crashes)}")
    return _said(screening)


def _said(screening: Screening) -> Said:
    counted = [each for each in screening.findings if each.counts]
    return Said(
        tuple(each for each in counted if each.level != "note"),
        {row.rule: row.outcome for row in screening.coverage.rules},
        frozenset(each.rule for each in counted if each.level == "note"),
    )


def lines_of(finding: Finding) -> set[int]:
    """The lines that a finding stands at or relates to."""
    places = (finding.place, *(each.place for each in finding.related))
    return {line for place in places for line in range(place.line, place.end_line + 1)}


@cache
def gives_way_to(rule: str) -> frozenset[str]:
    """The rules that a rule gives way to, and those that these give way to."""
    found: set[str] = set()
    waiting = [rule]
    while waiting:
        for other in builtin_rules().yields.get(waiting.pop(), ()):
            if other not in found:
                found.add(other)
                waiting.append(other)
    return frozenset(found)


def masks(slip: Slip, alone: Said, both: Said, where: Callable[[int], set[int]], raw: Callable[[], Said]) -> list[Mask]:
    """What is said of a slip alone and not of it beside another. ``where`` says where its lines have gone, ``raw`` what
    would be said of both if no rule gave way to another.
    """
    own = _all(where, slip.lines)
    told = [(finding, own | _all(where, lines_of(finding))) for finding in alone.findings]
    return [_mask(finding, both, named, raw()) for finding, named in told if not _is_said(finding, both, named)]


def _all(where: Callable[[int], set[int]], lines: Iterable[int]) -> set[int]:
    return {new for line in lines for new in where(line)}


def _is_said(finding: Finding, both: Said, named: set[int]) -> bool:
    better = gives_way_to(finding.rule)
    for other in both.findings:
        rules = {other.rule, *(each.rule for each in other.also)}
        if (finding.rule in rules or rules & better) and lines_of(other) & named:
            return True
    return False


def _mask(finding: Finding, both: Said, named: set[int], raw: Said) -> Mask:
    rule = finding.rule
    if any(each.rule == rule and lines_of(each) & named for each in raw.findings):
        others = gives_way_to(rule) & ({each.rule for each in both.findings} | both.noted)
        return Mask(rule, GAVE_WAY if others else LOST, tuple(sorted(others)))
    if any(each.rule.startswith("notation.") and lines_of(each) & named for each in both.findings):
        return Mask(rule, UNREAD)
    if rule in both.noted:
        return Mask(rule, NOTED)
    kinds = {"not checked": UNREAD, "does not apply": OTHERWISE, "met": KEPT, "undecided": UNDECIDED}
    return Mask(rule, kinds.get(both.outcomes[rule], ELSEWHERE))


def is_found(slip: Slip, both: Said, where: Callable[[int], set[int]]) -> bool:
    """Whether a fitting rule speaks at a line of the slip, as in the study of single slips."""
    there = Slip(slip.text, frozenset(_all(where, slip.lines)), slip.before, slip.after, slip.fitting, slip.signed)
    return any(fits(there, finding) for finding in both.findings)
