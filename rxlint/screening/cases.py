"""Runs the cases that stand inside rules: they are the rule's tests and its manual.

``python -m rxlint.screening.cases PACK...`` runs the cases of pack files and prints those that fail.
"""

from __future__ import annotations

import datetime
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from rxlint.notation.document import read_document
from rxlint.packs import Case, Pack, Rule, load_pack
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.case_text import document_of
from rxlint.screening.engine import Screening, screen_document
from rxlint.screening.ruleset import RuleSet, prepare
from rxlint.text import Problem, source_of_text

CASE_DAY: Final = datetime.date(2026, 11, 24)
"""The day on which cases are judged, so that their dates mean the same for ever."""


@dataclass(frozen=True, slots=True)
class CaseResult:
    """A case and why it failed, if it did."""

    rule: Rule
    case: Case
    failure: str | None


def screen_case(case: Case, rules: RuleSet) -> Screening:
    """Screen a case's document. Raises ValueError where its text is no text."""
    source = source_of_text(case.text if case.whole else document_of(case.text))
    if isinstance(source, Problem):
        raise ValueError(source.message)
    return screen_document(read_document(source), rules, CASE_DAY)


def run_cases(pack: Pack, readers: tuple[Pack, ...] = ()) -> list[CaseResult]:
    """Run every case of a pack with its own rules, and those of the built-in packs that it uses.

    ``readers`` are packs whose findings spoil a case (a line it can't read).
    """
    names = {pack.name, *pack.uses}
    rules = prepare((pack, *used_by(pack), *(each for each in readers if each.name not in names)))
    return [CaseResult(rule, case, failure_of(rule, case, pack, rules)) for rule in pack.rules for case in rule.cases]


def used_by(pack: Pack) -> tuple[Pack, ...]:
    """The built-in packs that a pack says it uses."""
    if not pack.uses:
        return ()
    return tuple(each for each in builtin_packs() if each.name in pack.uses and each.name != pack.name)


def failure_of(rule: Rule, case: Case, pack: Pack, rules: RuleSet) -> str | None:
    """Why a case of a pack's rule fails under the pack's rules alone; None where it does not."""
    try:
        screening = screen_case(case, rules)
    except ValueError as error:
        return str(error)
    return judge(rule, case, pack, screening)


def judge(rule: Rule, case: Case, pack: Pack, screening: Screening) -> str | None:
    """Why the screening of a case is not what the case says; None where it is."""
    if screening.crashes:
        return f"{screening.crashes[0].rule} failed: {screening.crashes[0].error}"
    own = {each.id for each in pack.rules}
    fired = {finding.rule for finding in screening.findings}
    strangers = sorted(each for each in fired - own if each.partition(".")[0] not in pack.uses)
    others = sorted((fired & own) - {rule.id})
    if strangers:
        first = next(each for each in screening.findings if each.rule in strangers)
        return f"its text is at fault: {first.message} [{first.rule}]"
    row = next(each for each in screening.coverage.rules if each.rule == rule.id)
    told = f"{rule.id} is {row.outcome}" + (
        f" (lacks {', '.join(row.lacks)}{'; '.join(row.reasons)})" if row.outcome == "not checked" else ""
    )
    match case.kind:
        case "fires":
            if rule.id not in fired:
                return f"does not fire: {told}"
            return f"fires, and so does {', '.join(others)}" if others else None
        case "holds":
            if rule.id in fired or row.outcome != "met":
                return f"does not hold: {told}"
            return None
        case _:
            return f"is not silent: {told}" if rule.id in fired or row.outcome == "met" else None


def main(paths: list[str]) -> int:
    """Run the cases of these files; 1 where one fails or a pack does not load."""
    status = 0
    total = 0
    packs = [(path, load_pack(Path(path))) for path in paths]
    for _, (pack, problems) in packs:
        for problem in problems:
            print(problem)
            status = 1
        if pack is None:
            continue
        for result in run_cases(pack):
            total += 1
            if result.failure is not None:
                status = 1
                print(f"{pack.path}:{result.case.spot.line}: {result.rule.id}: {result.case.kind}: {result.failure}")
    print(f"{total} cases run")
    return status


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
