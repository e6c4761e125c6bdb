"""Whether what a policy says is looser than what stood before it. A change that can't be ordered counts as looser."""

from __future__ import annotations

from collections.abc import Iterator

from rxlint.expressions import Node
from rxlint.packs.pack import LEVELS, Level, PolicyRow, Rule


def strictest(rule: Rule) -> Level:
    """The strictest level that a rule can have, in its stricter cases too."""
    levels = [rule.bounded(rule.level), *(rule.bounded(each.level) for each in rule.stricter)]
    levels += [rule.bounded(rule.level_where_allowed)] if rule.level_where_allowed is not None else []
    return min(levels, key=LEVELS.index)


def level_loosened(name: str, before: Level, after: Level) -> Iterator[str]:
    """That a level is lower than it was."""
    if LEVELS.index(after) > LEVELS.index(before):
        yield f"{name}: {after} instead of {before}"


def loosened(before: PolicyRow, after: PolicyRow) -> Iterator[str]:
    """In what a row asks less than the row that it replaces, or something else."""
    name = after.rule.id
    yield from level_loosened(name, before.rule.level, after.rule.level)
    if before.rule.when != after.rule.when:
        was, now = before.rule.when_text, after.rule.when_text
        yield f"{name}: applies {_when(now)} instead of {_when(was)}"
    if before.kind != after.kind:
        yield f"{name}: a row of {after.kind} instead of {before.kind}"
    elif after.kind == "demand":
        dropped = [term for term in before.terms if term not in after.terms]
        if dropped:
            yield f"{name}: no longer demands {', '.join(dropped)}"
    elif (before.measured, before.rule.at) != (after.measured, after.rule.at):
        yield f"{name}: is asked of {after.measured} instead of {before.measured}"
    elif _is_wider(before, after):
        yield f"{name}: {after.stated} instead of {before.stated}"


def _when(text: str) -> str:
    return f"when {text}" if text else "always"


def _is_wider(before: PolicyRow, after: PolicyRow) -> bool:
    """Whether a value is allowed now that was not before."""
    if after.kind == "fixed":
        return _requirements(before) != _requirements(after)
    lower = before.low is not None and (after.low is None or after.low < before.low)
    higher = before.high is not None and (after.high is None or after.high > before.high)
    return lower or higher


def says_the_same(one: PolicyRow, other: PolicyRow) -> bool:
    """Whether two rows ask the same at the same level, whatever their words and reasons."""
    same = (one.rule.level, one.rule.when) == (other.rule.level, other.rule.when)
    return same and _requirements(one) == _requirements(other)


def _requirements(row: PolicyRow) -> list[Node | None]:
    return [part.require for part in row.rule.parts or (row.rule,)]
