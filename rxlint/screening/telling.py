"""Findings as a report tells them: without those that give way, what several places say alike once, in order."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from rxlint.notation.tree import Place
from rxlint.packs import LEVELS
from rxlint.screening.finding import Acceptance, Finding
from rxlint.screening.ruleset import RuleSet

ALLOWED_WITH: Final = "allowed with "
"""How the message of a finding begins that something allowed, not what is set, breaks its rule."""
_NUMBERS: Final = re.compile(r"\d+(\.\d+)?")


def told_once(findings: Sequence[Finding]) -> list[Finding]:
    """One finding for what several periods, bands or modes say alike, at the strictest of their levels."""
    alike: dict[tuple[str, Place, str, Acceptance | None], list[Finding]] = {}
    for finding in findings:
        alike.setdefault((finding.rule, finding.place, finding.message, finding.acceptance), []).append(finding)
    return _rows_together([_merged(group) for group in alike.values()])


def _rows_together(findings: Sequence[Finding]) -> list[Finding]:
    """One finding for what several rows of a table say at one place with other numbers; it says how many they are."""
    groups: dict[object, list[Finding]] = {}
    for index, each in enumerate(findings):
        found = each.message.split(": ", 1)[1] if each.message.startswith(ALLOWED_WITH) else each.message
        told = _NUMBERS.sub("#", found)
        key = (each.rule, each.place, each.period, each.acceptance, told) if each.band is not None else index
        groups.setdefault(key, []).append(each)
    return [_first_row(group) for group in groups.values()]


def _first_row(group: Sequence[Finding]) -> Finding:
    first = min(group, key=lambda each: LEVELS.index(each.level))
    others = len(group) - 1
    if not others:
        return first
    sound = first.sound if all(each.sound == first.sound for each in group) else ()  # what is sound in one row alone
    return replace(first, band=f"{first.band} and {others} other row{'s' if others > 1 else ''}", sound=sound)


def _merged(group: Sequence[Finding]) -> Finding:
    strictest = min(group, key=lambda each: LEVELS.index(each.level))
    periods = list(dict.fromkeys(each.period for each in group))
    named = ", ".join(period for period in periods if period is not None)
    bands = {each.band for each in group}
    return replace(
        strictest,
        period=named if named and None not in periods else None,
        band=strictest.band if len(bands) == 1 else None,
        sound=strictest.sound if all(each.sound == strictest.sound for each in group) else (),
    )


def without_yielding(findings: Sequence[Finding], rules: RuleSet) -> list[Finding]:
    """Findings without those that give way to another of the same period: one slip, one finding.

    A rule that asks the same of several terms speaks for the lines that it names and for no others: two limits that are
    swapped say nothing of another alarm, for that may be a second slip.
    """
    present: dict[str, list[Finding]] = {}
    for finding in findings:
        present.setdefault(finding.rule, []).append(finding)
    return [
        finding
        for finding in findings
        if not any(
            _gives_way(finding, present[other], other in rules.of_several)
            for other in rules.yields.get(finding.rule, ())
            if other in present
        )
    ]


def _gives_way(finding: Finding, others: Sequence[Finding], names_lines: bool) -> bool:
    return any(
        other.period in (finding.period, None) and (not names_lines or _names_the_same(finding, other))
        for other in others
    )


def _names_the_same(one: Finding, other: Finding) -> bool:
    """Whether two findings name a line in common. One that stands at a heading misses something, and names no line."""
    return _is_heading(one) or _is_heading(other) or not _lines(one).isdisjoint(_lines(other))


def _is_heading(finding: Finding) -> bool:
    return finding.place.column == 1


def _lines(finding: Finding) -> set[tuple[str | None, int]]:
    places = (finding.place, *(each.place for each in finding.related))
    return {(place.file, line) for place in places for line in range(place.line, place.end_line + 1)}


def in_order(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """The strictest first, then by place; the fingerprints of alike ones told apart by number."""
    order = sorted(
        findings,
        key=lambda each: (LEVELS.index(each.level), each.place.line, each.place.column, each.rule, each.message),
    )
    counts: dict[str, int] = {}
    told: list[Finding] = []
    for finding in order:
        ordinal = counts.get(finding.fingerprint, 0)
        counts[finding.fingerprint] = ordinal + 1
        told.append(replace(finding, fingerprint=f"{finding.fingerprint}-{ordinal}"))
    return tuple(told)
