"""What a policy's row changed, in words: what holds now, and what held before it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rxlint.expressions import Node, nodes, show
from rxlint.packs.pack import Level, Origin, Pack, PolicyRow, Rule

_LONGEST: Final = 80  # characters of an expression that is shown whole


def changed_level(rule: Rule, now: Level) -> str:
    """A rule's level as a policy sets it, and all levels that it had."""
    own = rule.bounded(rule.level)
    others = [rule.bounded(each.level) for each in rule.stricter]
    others += [rule.bounded(rule.level_where_allowed)] if rule.level_where_allowed is not None else []
    some = [each for each in dict.fromkeys(others) if each != own]
    before = f"{own}, in some cases {' or '.join(some)}" if some else own
    return f"{now} as before" if before == now else f"{now} instead of {before}"


def changed_row(row: PolicyRow, before: PolicyRow, wider: Pack) -> str:
    """What a row asks, and what the row of a wider policy asked that it replaces; only what differs."""
    origin = Origin(wider.name, wider.revision, wider.path, before.rule.spot.line)
    now, was = _asked(row), _asked(before)
    pairs = [(one, other) for one, other in zip(now, was, strict=True) if one != other]
    told = "; ".join(f"{one} instead of {other}" for one, other in pairs)
    return f"{told or 'the same'} of {origin}" if told else f"says the same as {origin}"


def _asked(row: PolicyRow) -> tuple[str, str, str]:
    what = ", ".join(row.terms) if row.kind == "demand" else row.stated
    when = f"when {row.rule.when_text}" if row.rule.when_text else "always"
    return what, row.rule.level, when


def changed_term(name: str, now: str, before: Node) -> str:
    """A defined term as a policy sets it, and what the pack says of it."""
    return f"{name} {now} instead of {_term(before)}"


def _term(node: Node) -> str:
    """A term as it was: its value, its expression, or from where to where a table of it goes."""
    text = show(node)
    if not isinstance(node, nodes.Choice):
        return text if len(text) <= _LONGEST else "an expression of the pack's own"
    rows = list(_rows(node))
    literals = sorted((row.value, row.text) for row in rows if isinstance(row, nodes.Number))
    if len(literals) < len(rows):
        return f"a table of {len(rows)} rows"
    low, high = literals[0][1], literals[-1][1]
    return f"a table of {len(rows)} rows, {low} to {high}" if low != high else low


def _rows(node: Node) -> Iterator[Node]:
    while isinstance(node, nodes.Choice):
        yield node.yes
        node = node.no
    yield node
