"""What a site's policy adds to a screening: where its rules come from, and what it insists on having checked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from rxlint.expressions import Environment
from rxlint.model.names import shown_key
from rxlint.notation.tree import Document
from rxlint.packs import Origin
from rxlint.screening.finding import Coverage, Finding, Row, fingerprint_of, summarise
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.values import NOTHING, Teller


def not_checked(document: Document, rows: Mapping[str, list[Row]], rules: RuleSet) -> Iterator[Finding]:
    """A finding at the document's heading for every rule that a policy asks for and that could not be checked."""
    if not rules.must_check:
        return
    known = {rule.id: rule for rule in rules.all_rules}
    entry = next(
        (each for each in document.entries if each.kind == "document"),
        next(each for each in document.entries if each.kind != "blank"),
    )
    for row in summarise(rows, tuple(rules.must_check)).rules:
        if row.outcome != "not checked":
            continue
        rule, origin = known[row.rule], rules.must_check[row.rule]
        why = f"lacks {', '.join(row.lacks)}" if row.lacks else "; ".join(row.reasons) or "a value it needs is missing"
        message = f'the check "{rule.title}" could not be made ({why}), and {origin.policy} asks for it'
        mark = fingerprint_of(rule.id, "not checked")
        level = rule.bounded(rule.level)
        yield Finding(
            rule.id, level, "not checked", message, entry.whole(), period=row.period, policy=(origin,), fingerprint=mark
        )  # fmt: skip


def changes(reads: frozenset[str], rules: RuleSet, teller: Teller, environment: Environment) -> tuple[Origin, ...]:
    """The rows that changed a term which a finding rests on, each with the term's value here and what it was."""
    told: list[Origin] = []
    for key in rules.before:
        if key not in reads:
            continue
        before = rules.before[key]
        now, was = teller.key(key, environment), teller.node(before.node, environment, before.unit)
        if NOTHING not in (now, was):
            change = f"{shown_key(key)} {now} instead of {was}" if now != was else f"{shown_key(key)} {now} as before"
            told.append(replace(rules.changed[key], change=change))
    return tuple(told)


def marked(findings: Sequence[Finding], rules: RuleSet) -> tuple[Finding, ...]:
    """The findings, each with the rows of policies that made its rule what it is."""
    if not rules.origins:
        return tuple(findings)
    return tuple(
        replace(each, policy=tuple(dict.fromkeys((*each.policy, *rules.origins[each.rule]))))
        if each.rule in rules.origins
        else each
        for each in findings
    )


def marked_coverage(coverage: Coverage, rules: RuleSet) -> Coverage:
    """The coverage, with the same marks."""
    if not rules.policies:
        return coverage
    told = tuple(replace(row, policy=_asked(row.rule, rules)) for row in coverage.rules)
    return replace(coverage, rules=told)


def _asked(rule: str, rules: RuleSet) -> tuple[Origin, ...]:
    asked = (rules.must_check[rule],) if rule in rules.must_check else ()
    return (*rules.origins.get(rule, ()), *asked)
