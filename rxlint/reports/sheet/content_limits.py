"""Settings, alarms and supplies beside what the template allows and what rules and policies limit them to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from rxlint.expressions import Node, condition, keys_in, nodes, number, show
from rxlint.model.facts import Facts
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.render import render_row
from rxlint.packs import Rule
from rxlint.reports.sheet.content_parts import Part, by_scope
from rxlint.reports.sheet.rows import LimitRow, SettingRow, SettingTable
from rxlint.reports.sheet.typeset import formula
from rxlint.screening.change import rows_of, told
from rxlint.screening.comparisons import comparisons
from rxlint.screening.follows import Followed
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.values import show_number, unit_for
from rxlint.vocabulary import vocabulary

_SIGNS: Final = {"<": "below", "<=": "at most", ">": "above", ">=": "at least"}
_LONGEST: Final = 60
_SLACK: Final = "unit slack"
_PATIENT: Final = frozenset({"patient", "airway"})


@dataclass(frozen=True, slots=True)
class Beside:
    """What settings are held against."""

    rules: RuleSet
    followed: Followed


def tables_of(parts: Sequence[Part], sections: Sequence[str], beside: Beside | None) -> tuple[SettingTable, ...]:
    """The lines of some sections for each period, beside what is allowed."""
    found: list[SettingTable] = []
    for scope, group in by_scope(part for part in parts if part.is_ordered).items():
        rows: list[SettingRow] = []
        for key, stated in group[0].facts.scope.by_key.items():
            if stated.block.section in sections:
                rows.append(_row(key, stated, [part.facts for part in group], beside))
        for stated in group[0].facts.scope.several.get("relation", ()):
            if stated.block.section in sections:
                rows.append(SettingRow("keep", _line(stated), _written(stated)))
        if rows:
            found.append(SettingTable(scope, tuple(sorted(rows, key=lambda row: row.line))))
    return tuple(found)


def _row(key: str, stated: Stated, group: Sequence[Facts], beside: Beside | None) -> SettingRow:
    value, moves = _as_set(stated)
    term = stated.statement.term
    name = term.phrase if term is not None else key
    if stated.block.section == "back-up":
        name = f"{name} (back-up)"
    if beside is None:
        return SettingRow(name, _line(stated), value, moves)
    template = _template_says(key, group[0], beside.followed)
    policy, narrowest = _limits(key, group, beside.rules)
    return SettingRow(name, _line(stated), value, moves, template, policy, narrowest)


def _line(stated: Stated) -> int:
    return stated.entry.lines[0].number


def _written(stated: Stated) -> str:
    return " ".join(stated.entry.text[stated.statement.phrase[1] :].split())


def _as_set(stated: Stated) -> tuple[str, str]:
    """What a line sets, as written, and what it gives leave to set without a new order."""
    body = stated.statement.body
    if isinstance(body, n.TableHead):
        return _said(stated), ""
    if isinstance(body, n.Measure) and body.allow is not None:
        start = stated.statement.phrase[1]
        before = " ".join(stated.entry.text[start : body.allow.start].split()).removesuffix("allow").strip()
        return before, " ".join(stated.entry.text[body.allow.start :].split())
    return _written(stated), ""


def _template_says(key: str, facts: Facts, followed: Followed) -> str:
    """The line of the template that answers to a setting; empty where it says nothing of it."""
    if followed.template is None:
        return ""
    period = followed.template.period_for(facts.document, facts.period)
    line = period.scope.by_key.get(key) if period is not None else None
    return _said(line) if line is not None else ""


def _said(stated: Stated) -> str:
    """What a line says; a table in a line for each of its rows."""
    body = stated.statement.body
    if not isinstance(body, n.TableHead):
        return told(stated)
    rows = (render_row(row) for row in rows_of(stated.entry))
    by = vocabulary().terms.get(body.key.text)
    return "\n".join(
        [f"by {by.phrase if by is not None else body.key.text}", *(f"{key}: {value}" for key, value in rows)]
    )


# ---- limits of rules


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit of a rule on one side; ``value`` is None where it is one of a share of the value."""

    side: Literal["low", "high"]
    value: Fraction | None
    row: LimitRow


def _limits(key: str, group: Sequence[Facts], rules: RuleSet) -> tuple[tuple[LimitRow, ...], tuple[LimitRow, ...]]:
    """The limits of policies, and of the other rules the narrowest on either side: those of every row of the tables."""
    found = [dict.fromkeys(limits_of(key, facts, rules)) for facts in group]
    common = [each for each in found[0] if all(each in other for other in found)]
    policy = _by_rule(each.row for each in common if each.row.policy)
    low = [each for each in common if each.side == "low" and each.value is not None and not each.row.policy]
    high = [each for each in common if each.side == "high" and each.value is not None and not each.row.policy]
    narrowest = [max(low, key=_value_of)] if low else []
    narrowest += [min(high, key=_value_of)] if high else []
    return policy, _by_rule(each.row for each in narrowest)


def _by_rule(rows: Iterable[LimitRow]) -> tuple[LimitRow, ...]:
    """Limits with both ends of one rule in one row."""
    found: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        found.setdefault((row.rule, row.policy), []).append(row.text)
    return tuple(LimitRow(", ".join(dict.fromkeys(texts)), *key) for key, texts in found.items())


def _value_of(limit: Limit) -> Fraction:
    return limit.value if limit.value is not None else Fraction(0)


def limits_of(key: str, facts: Facts, rules: RuleSet) -> Iterator[Limit]:
    """The limits that rules set to a value, as they come out for what is set."""
    names = {key, *(name for name, node in facts.formulas.items() if isinstance(node, nodes.Name) and node.key == key)}
    for prepared in rules.rules:
        rule = prepared.rule
        if rule.require is None or prepared.uses_readings or not prepared.names_used & names:
            continue
        if rule.when is not None and condition(rule.when, facts.as_set) is not True:
            continue
        for measured, sign, limit in comparisons(rule.require):
            found = _limit(measured, sign, limit, key, names, facts)
            if found is not None:
                value, text = found
                side: Literal["low", "high"] = "low" if sign in (">", ">=") else "high"
                yield Limit(side, value, LimitRow(text, rule.id, _policy(rule)))


def _policy(rule: Rule) -> str:
    if not rule.origins:
        return ""
    return f"{rule.origins[0].policy} revision {rule.origins[0].revision}"


def _limit(
    measured: Node, sign: str, limit: Node, key: str, names: set[str], facts: Facts
) -> tuple[Fraction | None, str] | None:
    """A limit with its text: of the value itself, or of what it comes to for each kilogram of a weight."""
    if names & facts.closure(keys_in(limit)):
        return None
    limit = _without_slack(limit)
    value = number(limit, facts.as_set)
    if not isinstance(value, Fraction | float):
        return None
    if isinstance(measured, nodes.Name) and measured.key in names:
        text = show_number(value, unit_for(key, facts, {}), key)
        why = _short(limit)
        return Fraction(value), f"{_SIGNS[sign]} {text}{f' ({why})' if why else ''}"
    if _is_per_patient(measured, names) and isinstance(limit, nodes.Number):
        return None, f"{_SIGNS[sign]} {limit.text}"
    return None


def _without_slack(limit: Node) -> Node:
    """A limit as it is published, without what rules leave so that a rounded unit passes: that is no leave to set more.

    It stands in the packs as ``limit * (1 + unit slack)``.
    """
    if (
        isinstance(limit, nodes.Binary)
        and limit.operator == "*"
        and isinstance(limit.right, nodes.Binary)
        and any(key.split(": ")[-1] == _SLACK for key in keys_in(limit.right))
    ):
        return limit.left
    return limit


def _short(node: Node) -> str:
    """A limit that is worked out, as its expression, where that is short enough to be read."""
    text = formula(show(node))
    return "" if isinstance(node, nodes.Number | nodes.Choice) or len(text) > _LONGEST else text


def _is_per_patient(node: Node, names: set[str]) -> bool:
    """Whether an expression is the value alone, over what the patient is."""
    terms = vocabulary().terms
    return (
        isinstance(node, nodes.Binary)
        and node.operator in "*/"
        and bool(names & keys_in(node))
        and all(
            key == "predicted weight" or (key in terms and terms[key].section in _PATIENT)
            for key in keys_in(node) - names
        )
    )
