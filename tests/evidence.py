"""For every rule: one document where it ended met and one where it ended broken, each with its numbers.

Examples come first, sound ones for met and slips for broken; where none reaches a rule, its own cases do, marked as
such. ``python -m tests.evidence`` writes the table to rules/EVIDENCE.md; a test holds it fresh, and fails where a rule
has neither.
"""

from __future__ import annotations

import datetime
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from rxlint.expressions import keys_in
from rxlint.library.screen import parse_bytes
from rxlint.model.facts import facts_of
from rxlint.notation.document import read_document
from rxlint.notation.tree import Document
from rxlint.packs import Rule
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.cases_load import is_whole
from rxlint.screening.case_text import document_of
from rxlint.screening.cases import screen_case
from rxlint.screening.engine import Screening, screen_document
from rxlint.screening.ruleset import RuleSet, prepare
from rxlint.screening.values import NOTHING, Teller
from rxlint.text import Problem, source_of_text
from tests.shelf import shelf_of

ROOT: Final = Path(__file__).resolve().parent.parent
PAGE: Final = ROOT / "rules" / "EVIDENCE.md"
DAY: Final = datetime.date(2026, 11, 24)
_HEAD: Final = """# Where each rule holds and where it speaks

For every rule one document in which it ended met and one in which it ended broken, with the numbers. Made by
`python -m tests.evidence`; a test holds it fresh and fails where a rule has neither. A document in quotation marks is a
case that stands inside the rule, used where no example reaches it.

| rule | met in | with | broken in | says |
| --- | --- | --- | --- | --- |
"""


@dataclass(frozen=True, slots=True)
class Seen:
    """A document's name and what the rule made of it there."""

    where: str
    told: str


def page() -> str:
    """The whole page."""
    rules = prepare(builtin_packs())
    met, broken = _examples(rules)
    rows = [
        _row(rule, met.get(rule.id) or _case(rule, rules, "holds"), broken.get(rule.id) or _case(rule, rules, "fires"))
        for rule in rules.all_rules
    ]
    return _HEAD + "\n".join(rows) + "\n"


def lacking() -> list[str]:
    """The rules for which there is no document of one of the two kinds."""
    return [
        line.split("|")[1].strip(" `") for line in page().splitlines() if line.startswith("| `") and "| - |" in line
    ]


def _row(rule: Rule, met: Seen | None, broken: Seen | None) -> str:
    cells = [f"`{rule.id}`"]
    for seen in (met, broken):
        cells += [seen.where, seen.told] if seen is not None else ["-", "-"]
    return "| " + " | ".join(" ".join(cell.replace("|", "\\|").split()) for cell in cells) + " |"


def _examples(rules: RuleSet) -> tuple[Mapping[str, Seen], Mapping[str, Seen]]:
    met: dict[str, Seen] = {}
    broken: dict[str, Seen] = {}
    for folder in ("sound", "templates", "slips"):
        for path in sorted((ROOT / "examples" / folder).glob("*.vrx")):
            document = parse_bytes(path.read_bytes())
            if isinstance(document, Problem):
                continue
            screening = screen_document(document, rules, DAY, shelf_of(path, is_searched=folder != "slips"))
            if folder == "slips":
                for finding in screening.findings:
                    broken.setdefault(finding.rule, Seen(f"slips/{path.name}", finding.message))
            else:
                for rule in _met(screening, rules):
                    if rule.id not in met:
                        met[rule.id] = Seen(f"{folder}/{path.name}", _numbers(rule, document, rules))
    return met, broken


def _met(screening: Screening, rules: RuleSet) -> Iterator[Rule]:
    outcomes = {row.rule: row.outcome for row in screening.coverage.rules}
    return (rule for rule in rules.all_rules if outcomes.get(rule.id) == "met")


def _numbers(rule: Rule, document: Document, rules: RuleSet) -> str:
    """The values that the rule read, in the first scope that has them."""
    defined = {key: each.node for key, each in rules.defined.items()}
    names = next(pack.names for pack in rules.packs if pack.name == rule.pack)
    for facts in facts_of(document, defined, DAY):
        teller = Teller(facts, names, dict(rules.defined))
        for part in rule.parts or (rule,):
            if part.require is None:
                return "read without this"
            told = {key: teller.key(key, facts.as_set) for key in sorted(keys_in(part.require))}
            if told and NOTHING not in told.values():
                return ", ".join(f"{key.rpartition(': ')[2]} {value}" for key, value in told.items())
    return "for everything it allows"


def _short(text: str, whole: bool) -> str:
    return f"{text.splitlines()[0]} ..." if whole else text


def _case(rule: Rule, rules: RuleSet, kind: str) -> Seen | None:
    for case in rule.cases:
        if case.kind != kind:
            continue
        source = source_of_text(case.text if case.whole else document_of(case.text))
        if isinstance(source, Problem):
            continue
        document = read_document(source)
        screening = screen_case(case, rules)
        where = f'"{_short(case.text, case.whole)}"'
        if case.before is not None:
            where = f'"{_short(case.before, is_whole(case.before))}", changed to {where}'
        if kind == "fires":
            finding = next((each for each in screening.findings if each.rule == rule.id), None)
            if finding is not None:
                return Seen(where, finding.message)
        elif rule in _met(screening, rules):
            return Seen(where, _numbers(rule, document, rules))
    return None


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    missing = lacking()
    sys.stdout.write(f"{PAGE.name} written; {len(missing)} rules lack a document: {', '.join(missing)}\n")
