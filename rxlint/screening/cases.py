"""Runs the cases that stand inside rules: they are the rule's tests and its manual.

``python -m rxlint.screening.cases PACK...`` runs the cases of pack files and prints those that fail.
"""

from __future__ import annotations

import datetime
import sys
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from rxlint.notation.document import read_document
from rxlint.packs import Case, Pack, Rule, load_pack
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.cases_load import is_whole
from rxlint.packs.pack import Policy
from rxlint.packs.stack import stack
from rxlint.screening.case_text import document_of
from rxlint.screening.case_told import case_told
from rxlint.screening.compare import compare_documents
from rxlint.screening.engine import Screening, screen_document
from rxlint.screening.ruleset import ConflictError, RuleSet, prepare, prepare_stack
from rxlint.screening.shelf import TextShelf
from rxlint.text import Problem, source_of_text

CASE_DAY: Final = datetime.date(2026, 11, 24)
"""The day on which cases are judged, so that their dates mean the same for ever."""


@dataclass(frozen=True, slots=True)
class CaseResult:
    """A case and why it failed, if it did, with what came of it in numbers."""

    rule: Rule
    case: Case
    failure: str | None
    told: tuple[str, ...] = ()


def screen_case(case: Case, rules: RuleSet) -> Screening:
    """Screen a case's document, on the ventilators of the packs' own. Raises ValueError where its text is no text."""
    if case.before is not None:
        return _screen_pair(case, case.before, rules)
    source = source_of_text(case.text if case.whole else document_of(case.text))
    if isinstance(source, Problem):
        raise ValueError(source.message)
    shelf = TextShelf(dict(case.library), case.library[0][0]) if case.library else None
    return screen_document(read_document(source), with_profiles_of_cases(rules), CASE_DAY, shelf)


def _screen_pair(case: Case, before: str, rules: RuleSet) -> Screening:
    """What the rules of changes make of a pair, with what can't be read of either text: that spoils a case."""
    texts = (before if is_whole(before) else document_of(before), case.text if case.whole else document_of(case.text))
    sources = [source_of_text(text) for text in texts]
    documents = [read_document(each) for each in sources if not isinstance(each, Problem)]
    if len(documents) < 2:
        raise ValueError(next(each.message for each in sources if isinstance(each, Problem)))
    screening = compare_documents(documents[0], documents[1], rules, CASE_DAY).screening
    unread = [
        finding
        for document in documents
        for finding in screen_document(document, rules, CASE_DAY).findings
        if finding.rule.startswith("notation.") and finding.level == "reject"
    ]
    return replace(screening, findings=(*screening.findings, *unread))


def with_profiles_of_cases(rules: RuleSet) -> RuleSet:
    """The rules with the ventilators that the packs have for their cases, and no others."""
    return replace(rules, profiles=tuple(each for pack in rules.packs for each in pack.profiles))


def run_cases(pack: Pack, readers: tuple[Pack, ...] = ()) -> list[CaseResult]:
    """Run every case of a pack with its own rules, and those of the built-in packs that it uses.

    ``readers`` are packs whose findings spoil a case (a line it can't read).
    """
    if not any(rule.cases for rule in pack.rules):
        return []
    names = {pack.name, *pack.uses}
    rules = prepare((pack, *used_by(pack), *(each for each in readers if each.name not in names)))
    return [_run(rule, case, pack, rules) for rule in pack.rules for case in rule.cases]


def run_row_cases(pack: Pack, readers: tuple[Pack, ...] = ()) -> list[CaseResult]:
    """Run the cases of a policy's own rows, under its rows alone: what another policy makes of them is not asked."""
    rows = pack.policy.rows if pack.policy is not None else ()
    if not any(row.rule.cases for row in rows):
        return []
    stacked, problems = stack(readers, (replace(pack, rules=(), policy=Policy(rows)),))
    if stacked is None:
        raise ConflictError("\n".join(map(str, problems)))
    rules, own = prepare_stack(stacked), stacked.packs[-1]
    return [_run(row.rule, case, own, rules, is_row=True) for row in rows for case in row.rule.cases]


def failure_of(rule: Rule, case: Case, pack: Pack, rules: RuleSet) -> str | None:
    """Why a case of a pack's rule fails under the pack's rules alone; None where it does not."""
    try:
        screening = screen_case(case, rules)
    except ValueError as error:
        return str(error)
    return judge(rule, case, pack, screening)


def _run(rule: Rule, case: Case, pack: Pack, rules: RuleSet, *, is_row: bool = False) -> CaseResult:
    try:
        screening = screen_case(case, rules)
    except ValueError as error:
        return CaseResult(rule, case, str(error))
    failure = judge(rule, case, pack, screening, is_row=is_row)
    if failure is None:
        return CaseResult(rule, case, None)
    source = source_of_text(case.text if case.whole else document_of(case.text))
    is_read = case.before is None and not isinstance(source, Problem)
    document = read_document(source) if is_read and not isinstance(source, Problem) else None
    return CaseResult(rule, case, failure, case_told(rule, case, screening, document, rules, CASE_DAY))


def used_by(pack: Pack) -> tuple[Pack, ...]:
    """The built-in packs that a pack says it uses."""
    if not pack.uses:
        return ()
    return tuple(each for each in builtin_packs() if each.name in pack.uses and each.name != pack.name)


def judge(rule: Rule, case: Case, pack: Pack, screening: Screening, *, is_row: bool = False) -> str | None:
    """Why the screening of a case is not what the case says; None where it is.

    Other rows of a policy may speak on the case of a row (``is_row``): a line of facts need not state all that the
    policy demands.
    """
    if screening.crashes:
        return f"{screening.crashes[0].rule} failed: {screening.crashes[0].error}"
    own = {each.id for each in pack.rules}
    fired = {finding.rule for finding in screening.findings}
    strangers = sorted(each for each in fired - own if is_row or each.partition(".")[0] not in pack.uses)
    others = sorted((fired & own) - {rule.id}) if not is_row else []
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
        for result in (*run_cases(pack), *run_row_cases(pack)):
            total += 1
            if result.failure is not None:
                status = 1
                print(f"{pack.path}:{result.case.spot.line}: {result.rule.id}: {result.case.kind}: {result.failure}")
    print(f"{total} cases run")
    return status


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
