"""Every slip of every kind in every sound example, screened: what was found, missed, or can't be told."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache
from multiprocessing import get_context
from pathlib import Path
from typing import Final

from rxlint.library.screen import screen_bytes
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import RuleSet, builtin_rules
from tests.slips.kinds import KINDS, Kind
from tests.slips.sheet import Sheet, Slip

ROOT: Final = Path(__file__).resolve().parent.parent.parent
DAY: Final = datetime.date(2026, 11, 24)
FOUND: Final = "f"
MISSED: Final = "m"
"""No finding at `query` or above at all."""
ELSEWHERE: Final = "o"
"""A finding at `query` or above, but not of a fitting rule or not at a line of the slip: counts as missed."""
CRASHED: Final = "x"
"""The program failed on the text: counts as missed, and is told."""
UNTELLABLE: Final = "u"
"""Marked: there is a reason why this would be signed, and it gives no finding at `query` or above."""


@dataclass(frozen=True)
class Outcome:
    """What came of one slip; ``rules`` are the rules at `query` or above that spoke."""

    document: str
    kind: str
    letter: str
    before: str
    after: str
    signed: str
    rules: tuple[str, ...]


def documents() -> list[Path]:
    """The sound examples: prescriptions and templates."""
    found = [path for folder in ("sound", "templates") for path in sorted((ROOT / "examples" / folder).glob("*.vrx"))]
    if not found:
        raise FileNotFoundError("there are no sound examples")
    return found


@cache
def sheet_of(path: Path) -> Sheet:
    return Sheet(path.stem, path.read_text("utf-8"))


@cache
def slips_of(path: Path, kind: Kind) -> tuple[Slip, ...]:
    """The slips of one kind in one document, each text once, none of which leaves the document as it was."""
    sheet = sheet_of(path)
    if sheet.is_template and not kind.templates:
        return ()
    once = {slip.text: slip for slip in reversed(tuple(kind.make(sheet))) if slip.text != sheet.text}
    return tuple(reversed(once.values()))


def findings_of(name: str, text: str, rules: RuleSet) -> tuple[Finding, ...]:
    """The findings at `query` or above. A text that can't be screened, or a rule that crashes, is an error."""
    screened = screen_bytes(name, text.encode("utf-8"), rules, DAY)
    if screened.screening is None or screened.screening.crashes:
        raise RuntimeError(f"{name}: {screened.problems or (screened.screening and screened.screening.crashes)}")
    return tuple(each for each in screened.screening.findings if each.level != "note" and each.counts)


def fits(slip: Slip, finding: Finding) -> bool:
    """Whether a finding is of a fitting rule and stands at a line of the slip, or relates to one."""
    rule = finding.rule
    if not any(rule == each or (each.endswith(".") and rule.startswith(each)) for each in slip.fitting):
        return False
    places = (finding.place, *(related.place for related in finding.related))
    return not slip.lines or any(slip.lines & set(range(each.line, each.end_line + 1)) for each in places)


def judged(slip: Slip, findings: Iterable[Finding]) -> str:
    """The letter of an outcome."""
    told = tuple(findings)
    if any(fits(slip, finding) for finding in told):
        return FOUND
    if told:
        return ELSEWHERE
    return UNTELLABLE if slip.signed else MISSED


def outcome_of(path: Path, kind: Kind, slip: Slip) -> Outcome:
    try:
        findings = findings_of(path.stem, slip.text, builtin_rules())
    except RuntimeError:
        return Outcome(path.stem, kind.name, CRASHED, slip.before, slip.after, slip.signed, ())
    rules = tuple(sorted({each.rule for each in findings}))
    return Outcome(path.stem, kind.name, judged(slip, findings), slip.before, slip.after, slip.signed, rules)


def _task(task: tuple[Path, int]) -> list[Outcome]:
    path, index = task
    kind = KINDS[index]
    return [outcome_of(path, kind, slip) for slip in slips_of(path, kind)]


def run(kinds: Sequence[Kind] = KINDS, workers: int = 2) -> list[Outcome]:
    """All outcomes, in the order of documents and kinds whatever the workers do."""
    builtin_rules()  # read once, before the workers are forked
    tasks = [(path, KINDS.index(kind)) for path in documents() for kind in kinds]
    with ProcessPoolExecutor(workers, get_context("fork")) as pool:
        return [outcome for found in pool.map(_task, tasks, chunksize=4) for outcome in found]


def false_alarms() -> list[str]:
    """Findings at `query` or above in the sound examples as they stand."""
    rules = builtin_rules()
    return [
        f"{path.stem}: {finding.rule}"
        for path in documents()
        for finding in findings_of(path.stem, path.read_text("utf-8"), rules)
    ]


def numbered() -> Iterator[tuple[Path, Kind, int, Slip]]:
    """Every slip with its number in its document and kind, without screening."""
    for path in documents():
        for kind in KINDS:
            for at, slip in enumerate(slips_of(path, kind)):
                yield path, kind, at, slip


def digest_of_rules() -> str:
    """Changes with any rule."""
    texts = (path.read_bytes() for path in sorted((ROOT / "rules").glob("*.yaml")))
    return hashlib.sha256(b"\n".join(texts)).hexdigest()[:16]


def digest_of_slips() -> str:
    """Changes with any sound example and any slip made of it."""
    total = hashlib.sha256()
    for path, kind, _, slip in numbered():
        total.update(
            f"{path.stem}\n{kind.name}\n{slip.text}\n{sorted(slip.lines)}{slip.fitting}{slip.signed}\n".encode()
        )
    return total.hexdigest()[:16]
