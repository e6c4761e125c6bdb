"""`python -m tests.slips` screens every slip and renews what is made of it; `--check` says whether that still holds.

`python -m tests.slips --kind WORDS` shows what is missed of the kinds whose name holds these words, and writes nothing.
`python -m tests.slips --pairs` screens pairs of slips in one document and renews PAIRS.md and pairs.csv (minutes).
`python -m tests.slips --beside` does so for slips that show beside another file, and BESIDE.md and beside.csv.
`python -m tests.slips --reached` says which rules slips reach, and which none does.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Mapping
from pathlib import Path

from tests.slips import beside, pairs_page, reach
from tests.slips.harness import (
    CRASHED,
    ELSEWHERE,
    MISSED,
    ROOT,
    Outcome,
    digest_of_rules,
    digest_of_slips,
    false_alarms,
    run,
)
from tests.slips.kinds import KINDS
from tests.slips.table import Results, pages, results_of


def main(arguments: list[str]) -> int:
    match arguments:
        case [] | ["--check"]:
            return study(check=bool(arguments))
        case ["--kind", words]:
            return show(words)
        case ["--pairs"]:
            return pairs()
        case ["--beside"]:
            return besides()
        case ["--reached"]:
            return told_reached()
    print(__doc__, file=sys.stderr)
    return 2


def study(check: bool) -> int:
    """Run everything; write, or compare with what is written."""
    begun = time.monotonic()
    rules = digest_of_rules()
    outcomes = run()
    results = results_of(outcomes, digest_of_slips(), rules)
    alarms = false_alarms()
    told(results, alarms, time.monotonic() - begun)
    stale = [
        path for path, text in pages(outcomes, results).items() if not path.is_file() or path.read_text("utf-8") != text
    ]
    for path in stale:
        print(f"{'differs' if check else 'renewed'}: {path.relative_to(ROOT)}")
    if not check:
        write(stale, outcomes, results)
    return 1 if alarms or (check and stale) else 0


def write(stale: list[Path], outcomes: list[Outcome], results: Results) -> None:
    """Write what differs; each text is made at this moment, for README.md has other authors too."""
    for path in stale:
        path.write_text(pages(outcomes, results)[path], "utf-8")


def told(results: Results, alarms: list[str], seconds: float) -> None:
    total = results.tally()
    print(
        f"{total.slips} slips of {len(KINDS)} kinds in {seconds:.0f} s: {total.found} found ({total.share:.1f} %), "
        f"{total.untellable} untellable ({total.share_untellable:.1f} %), "
        f"{total.share_of_tellable:.1f} % of the tellable found"
    )
    crashed = sum(letters.count(CRASHED) for letters in results.letters.values())
    if crashed:
        print(f"{crashed} could not be screened, through a fault of the program: see MISSED.md")
    for alarm in alarms:
        print(f"a finding in a sound example: {alarm}")


def show(words: str) -> int:
    """The missed slips of some kinds."""
    wanted = [kind for kind in KINDS if words in kind.name]
    outcomes = run(kinds=wanted)
    for each in outcomes:
        if each.letter in (MISSED, ELSEWHERE, CRASHED):
            print(f"{each.document}: {each.before}  ->  {each.after}  {' '.join(each.rules)}")
    missed = sum(each.letter in (MISSED, ELSEWHERE, CRASHED) for each in outcomes)
    print(f"{missed} missed of {len(outcomes)} slips of {len(wanted)} kinds")
    return 0


def pairs() -> int:
    """Run the study of pairs, and write its page; 1 where something is masked for no reason."""
    begun = time.monotonic()
    outcomes = pairs_page.study()
    renew(pairs_page.pages(outcomes, len(outcomes)))
    wrong = 0
    for each in outcomes:
        for told in pairs_page.unexplained(each):
            wrong += 1
            print(f"{each.document}: {each.kinds[0]}, {each.changes[0]}; {each.kinds[1]}, {each.changes[1]}: {told}")
    both = sum(all(each.found) for each in outcomes)
    print(f"{len(outcomes)} pairs in {time.monotonic() - begun:.0f} s: {both} with both found, {wrong} faults")
    return 1 if wrong else 0


def besides() -> int:
    """Run the study of slips that show beside another file, and write its page."""
    rows = beside.study()
    renew({beside.PAGE: beside.page(rows), beside.RESULTS: beside.stored(rows, beside.digest())})
    print(f"{len(rows)} slips of {len(beside.KINDS)} kinds: {sum(bool(each.fitting) for each in rows)} told")
    return 0


def told_reached() -> int:
    """Where each rule is first heard; 1 where a rule is reached by no slip."""
    for rule, where in reach.reached().items():
        print(f"{rule}: {where}")
    missing = reach.unreached()
    print(f"{len(missing)} rules are reached by no slip{': ' if missing else ''}{', '.join(missing)}")
    return 1 if missing else 0


def renew(texts: Mapping[Path, str]) -> None:
    """Write what differs."""
    for path, text in texts.items():
        if not path.is_file() or path.read_text("utf-8") != text:
            path.write_text(text, "utf-8")
            print(f"renewed: {path.relative_to(ROOT)}")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
