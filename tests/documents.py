"""Documents, facts and screenings from text, for tests."""

import datetime
from collections.abc import Iterable
from fractions import Fraction
from functools import cache

from rxlint.expressions import Missing, Value, read_number
from rxlint.expressions.bounds import bounds
from rxlint.model.facts import Facts, facts_of
from rxlint.model.names import base_names
from rxlint.notation.document import read_document
from rxlint.notation.tree import Document
from rxlint.packs import Pack, load_text
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.engine import Screening, screen_document
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import RuleSet, prepare
from rxlint.text import source_of_text
from rxlint.text.source import Source

DAY = datetime.date(2026, 11, 24)


def document(text: str) -> Document:
    source = source_of_text(text)
    assert isinstance(source, Source)
    return read_document(source)


def all_facts(text: str) -> list[Facts]:
    return list(facts_of(document(text)))


def facts(text: str) -> Facts:
    """The facts of a document that has one scope."""
    (found,) = all_facts(text)
    return found


def prescription(*settings: str, kind: str = "prescription", before: str = "") -> str:
    return f'{kind} "x"\n{before}settings\n' + "".join(f"  {line}\n" for line in settings)


def told(*values: object) -> tuple[object, ...]:
    """Values side by side, to compare them with whole numbers."""
    return values


def in_unit(value: Value | Missing, factor: Fraction = Fraction(1)) -> Fraction:
    assert isinstance(value, Fraction), value
    return value / factor


def allowed(found: Facts, key: str) -> tuple[object, object]:
    """The ends of what is allowed of a number."""
    read = read_number(key, base_names())
    assert read.node is not None, read.errors
    ends = bounds(read.node, found.space)
    assert ends is not None
    return ends


@cache
def first_rules() -> RuleSet:
    """The packs that read an order for itself: what is missing beside the settings is not their matter."""
    wanted = ("notation", "relation", "mode", "pressure", "timing")
    return prepare([pack for pack in builtin_packs() if pack.name in wanted])


def screen(text: str, rules: RuleSet | None = None) -> Screening:
    return screen_document(document(text), rules or first_rules(), DAY)


def ids(findings: Iterable[Finding]) -> list[str]:
    return sorted(finding.rule for finding in findings)


def outcome(screening: Screening, rule: str) -> str:
    return next(row.outcome for row in screening.coverage.rules if row.rule == rule)


RULE = """\
  - id: {id}
    level: {level}
    basis: verified
    title: A rule of a test
    require: {require}
    say: "{say}"
    because: of the test
    source: this test
    cases: []
{more}"""


def rule_text(
    require: str, *, id: str = "trial.one", level: str = "query", say: str = "it does not hold", **more: str
) -> str:
    """A rule as it would stand in a pack; further keys as keywords, an underscore standing for a space."""
    lines = "".join(f"    {key.replace('_', ' ')}: {value}\n" for key, value in more.items())
    return RULE.format(id=id, level=level, require=require, say=say, more=lines)


def pack_of(*rules: str, define: str = "") -> Pack:
    text = f"pack: trial\nrevision: 1\nsummary: rules of a test\n{define}rules:\n" + "".join(rules)
    pack, problems = load_text(text, "trial.yaml")
    assert pack is not None, "\n".join(map(str, problems))
    return pack


def rules_of(*rules: str, define: str = "") -> RuleSet:
    return prepare([pack_of(*rules, define=define)])
