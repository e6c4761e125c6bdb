"""What came of the slips: the stored results, the table in README.md, the lists of missed and untellable ones."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.slips.harness import CRASHED, ELSEWHERE, FOUND, MISSED, ROOT, UNTELLABLE, Outcome
from tests.slips.kinds import KINDS

HERE: Final = Path(__file__).resolve().parent
RESULTS: Final = HERE / "results.csv"
MISSED_PAGE: Final = HERE / "MISSED.md"
UNTELLABLE_PAGE: Final = HERE / "UNTELLABLE.md"
README: Final = ROOT / "README.md"
START: Final = "<!-- seeded-slips -->"
END: Final = "<!-- end of seeded-slips -->"
COMMAND: Final = "python -m tests.slips"


@dataclass(frozen=True)
class Tally:
    """How many slips there were, were found, and were marked as not to be told from an order that is meant."""

    slips: int
    found: int
    untellable: int

    @property
    def share(self) -> float:
        return 100 * self.found / self.slips if self.slips else 0.0

    @property
    def share_of_tellable(self) -> float:
        tellable = self.slips - self.untellable
        return 100 * self.found / tellable if tellable else 100.0

    @property
    def share_untellable(self) -> float:
        return 100 * self.untellable / self.slips if self.slips else 0.0


@dataclass(frozen=True)
class Results:
    """The stored outcomes: a letter for each slip, by kind and document; what they were made from."""

    slips: str
    rules: str
    letters: Mapping[tuple[str, str], str]

    def tally(self, kind: str | None = None) -> Tally:
        told = "".join(letters for (name, _), letters in self.letters.items() if kind is None or name == kind)
        return Tally(len(told), told.count(FOUND), told.count(UNTELLABLE))


def results_of(outcomes: Iterable[Outcome], slips: str, rules: str) -> Results:
    letters: dict[tuple[str, str], str] = {}
    for each in outcomes:
        key = (each.kind, each.document)
        letters[key] = letters.get(key, "") + each.letter
    return Results(slips, rules, letters)


def stored(results: Results) -> str:
    """The text of the results' file: a row for each kind, a column for each document."""
    names = sorted({document for _, document in results.letters})
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([f"slips {results.slips} rules {results.rules}", *names])
    for kind in KINDS:
        writer.writerow([kind.name, *(results.letters.get((kind.name, name), "") for name in names)])
    return out.getvalue()


def read_results(text: str) -> Results:
    head, *rows = csv.reader(io.StringIO(text))
    _, slips, _, rules = head[0].split()
    letters = {(row[0], name): told for row in rows for name, told in zip(head[1:], row[1:], strict=True) if told}
    return Results(slips, rules, letters)


# ---- README.md
_INTRO: Final = """\
## How many slips it finds

The sound examples and templates are clean: not one finding at `query` or above. Into each of them a harness makes one
slip at a time, as a tired hand makes them at the keyboard or in copying, at every place where its kind applies. Nothing
but the order itself may tell: the template that it follows and the code of the second check are taken out, for these
would give every change away. A slip counts as found if a rule that fits it speaks at `query` or above, at the slip's
own line or at one that it relates to. In templates some kinds are not made: those that change a number of a patient
or of a range at random, for a range torn open takes seconds to search ({kinds} of {all_kinds} kinds are made there).
"""

_MEANING: Final = """\
All {slips} slips are in the denominator: {found} are found, **{share} %**. {untellable} ({marked} %) are marked as
*untellable*: the changed text is itself an order that would be signed, it screens clean, and nobody could
tell it from one that is meant without knowing the old text. Each stands with its reason in
[tests/slips/UNTELLABLE.md](tests/slips/UNTELLABLE.md). Of the others **{tellable} %** are found. Every slip that is
missed is listed in [tests/slips/MISSED.md](tests/slips/MISSED.md). Kinds with many places weigh more than kinds with
few; the mean of the kinds' own shares is {mean} %.

What this is not: slips, examples and rules were written by the same people, and rules are added for what the study
shows to be missed. {first}
The shares say how much is covered of what we thought of. They don't say how much is covered of what happens on a ward.
"""

FIRST_RUN: Final = """\
The first run, before any rule had been added for it, found 70.3 % of all slips and 79.6 % of
the tellable ones."""
"""What the very first run found, before any rule was changed for it. It is history, and no later run renews it."""


def block(results: Results) -> str:
    """The marked part of README.md."""
    total = results.tally()
    rows = [(kind.name, results.tally(kind.name)) for kind in KINDS]
    rows = [(name, tally) for name, tally in rows if tally.slips]
    shares = [tally.share for _, tally in rows]
    meaning = _MEANING.format(
        slips=f"{total.slips:,}",
        found=f"{total.found:,}",
        share=f"{total.share:.1f}",
        untellable=f"{total.untellable:,}",
        marked=f"{total.share_untellable:.1f}",
        tellable=f"{total.share_of_tellable:.1f}",
        mean=f"{sum(shares) / max(len(shares), 1):.1f}",
        first=FIRST_RUN,
    )
    table = [
        "| kind of slip | slips | found | share | untellable | share of the tellable |",
        "| --- | ---: | ---: | ---: | ---: | ---: |",
        *(_row(name, tally) for name, tally in rows),
        _row("**all**", total),
    ]
    closing = f"The table is renewed by `{COMMAND}`, and `{COMMAND} --check` says whether it still holds.\n"
    intro = _INTRO.format(kinds=sum(kind.templates for kind in KINDS), all_kinds=len(KINDS))
    return "\n".join([intro, meaning, *table, "", closing])


def _row(name: str, tally: Tally) -> str:
    told = f"{tally.share_of_tellable:.0f} %" if tally.slips > tally.untellable else ""
    return f"| {name} | {tally.slips:,} | {tally.found:,} | {tally.share:.0f} % | {tally.untellable or ''} | {told} |"


def renewed(readme: str, part: str) -> str:
    """README.md with its marked part replaced."""
    if START not in readme or END not in readme:
        raise ValueError(f"README.md has lost its markers {START} and {END}")
    return readme[: readme.index(START) + len(START)] + "\n" + part + readme[readme.index(END) :]


def marked_part(readme: str) -> str:
    """What stands between the markers of README.md."""
    return readme[readme.index(START) + len(START) + 1 : readme.index(END)]


# ---- lists
def _listed(outcomes: Sequence[Outcome], letters: str, head: str) -> str:
    lines = [head]
    for kind in KINDS:
        own = [each for each in outcomes if each.kind == kind.name and each.letter in letters]
        if own:
            lines += [f"## {kind.name}", "", *(_entry(each) for each in own), ""]
    return "\n".join(lines)


def _entry(outcome: Outcome) -> str:
    told = f"- {outcome.document}: `{outcome.before}` -> `{outcome.after}`"
    if outcome.letter == UNTELLABLE:
        return f"{told}: {outcome.signed}"
    if outcome.letter == CRASHED:
        return f"{told} (could not be screened, through a fault of the program)"
    if outcome.letter == ELSEWHERE:
        return f"{told} (told elsewhere, and not counted: {', '.join(outcome.rules)})"
    return told


_MISSED_HEAD: Final = f"""\
# Slips that are missed

Every seeded slip that a clinician could tell and that no fitting rule tells. Made by `{COMMAND}`; what the study is
stands in README.md.
"""

_UNTELLABLE_HEAD: Final = f"""\
# Slips that can't be told from an order that is meant

The changed text of each, as a whole, is an order that a clinician would sign, for the reason that stands beside it
(common practice, no published source), and it gives no finding at `query` or above. Made by `{COMMAND}`; what the study
is stands in README.md.
"""


def missed_page(outcomes: Sequence[Outcome]) -> str:
    """Every slip that was missed, by kind."""
    return _listed(outcomes, MISSED + ELSEWHERE + CRASHED, _MISSED_HEAD)


def untellable_page(outcomes: Sequence[Outcome]) -> str:
    """Every slip that is marked, by kind, with the reason."""
    return _listed(outcomes, UNTELLABLE, _UNTELLABLE_HEAD)


def pages(outcomes: Sequence[Outcome], results: Results) -> dict[Path, str]:
    """Every file that is made of the results, as it should be; README.md is read at this moment."""
    return {
        RESULTS: stored(results),
        MISSED_PAGE: missed_page(outcomes),
        UNTELLABLE_PAGE: untellable_page(outcomes),
        README: renewed(README.read_text("utf-8"), block(results)),
    }
