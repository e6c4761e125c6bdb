"""What a pack says of its rules that does not hold, or says nothing: levels, sources, ids, rules it yields to."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rxlint.expressions.problems import near
from rxlint.packs import LEVELS, Level, Pack, Rule
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.pack import MAY_REJECT, Spot
from rxlint.screening.review_cases import Remark

_EMPTY: Final = frozenset({"todo", "tbd", "tba", "xxx", "none", "n/a", "na", "unknown", "later"})


def said(pack: Pack) -> Iterator[Remark]:
    """Remarks on the words of a pack's rules, tables and rows."""
    for rule in pack.rules:
        yield from _lowered(rule)
        yield from _stricter(rule)
        yield from _gives_way(rule, pack)
        yield from _empty(rule.spot, rule.id, source=rule.source, because=rule.because)
        if pack.policy is None and rule.area != pack.name:
            told = f"its id does not begin with the name of its pack, {pack.name}"
            yield Remark(rule.spot, rule.id, told)
    for each in pack.defined.values():
        name = each.key.removeprefix(f"{pack.name}: ")
        yield from _empty(each.spot, name, source=each.source)
        for spot in each.without_source:
            yield Remark(spot, name, "this row of its table does not say where its value comes from")
    if pack.policy is not None:
        for row in pack.policy.rows:
            yield from _empty(row.rule.spot, row.rule.id, source=row.rule.source, because=row.rule.because)
        for level in pack.policy.levels:
            yield from _empty(level.spot, level.rule, because=level.because)
        for term in pack.policy.terms:
            yield from _empty(term.spot, term.name, because=term.because)


def _lowered(rule: Rule) -> Iterator[Remark]:
    """A level that the rule's basis does not allow. It is no fault: the rule is a query, and says so."""
    if rule.basis in MAY_REJECT:
        return
    where = [("level", rule.level), *(("stricter", each.level) for each in rule.stricter)]
    where += [("level where allowed", rule.level_where_allowed)] if rule.level_where_allowed is not None else []
    lowered = list(dict.fromkeys(key for key, level in where if level == "reject"))
    if lowered:
        told = f"{' and '.join(lowered)}: reject is lowered to query, for its basis is {rule.basis}"
        yield Remark(rule.spot, rule.id, told, is_fault=False)


def _stricter(rule: Rule) -> Iterator[Remark]:
    """Stricter cases that are no stricter than the rule is anyway."""
    for each in rule.stricter:
        if not _is_above(each.level, rule.level):
            told = f"stricter: {each.level} is not stricter than its level, which is {rule.level}"
            yield Remark(rule.spot, rule.id, told)


def _is_above(level: Level, other: Level) -> bool:
    return LEVELS.index(level) < LEVELS.index(other)


def _gives_way(rule: Rule, pack: Pack) -> Iterator[Remark]:
    """Rules that it gives way to and that are not known here. Another pack of the site may have them."""
    known = {each.id for one in (pack, *builtin_packs()) for each in one.rules}
    for other in rule.yields_to:
        if other not in known:
            close = near(other, known)
            hint = f"; did you mean {' or '.join(close)}?" if close else ""
            told = f"yields to: {other} is neither a rule of this pack nor a built-in one{hint}"
            yield Remark(rule.spot, rule.id, told, is_fault=bool(close))


def _empty(spot: Spot, name: str, **texts: str) -> Iterator[Remark]:
    """Texts that stand there and say nothing."""
    for key, text in texts.items():
        words = text.casefold().strip(" .?!-:*_")
        if not words or words in _EMPTY:
            yield Remark(spot, name, f"{key} says nothing: {text or 'it is empty'}")
