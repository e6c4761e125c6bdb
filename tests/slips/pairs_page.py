"""What came of the pairs of slips: the page PAIRS.md, the pairs in which something is masked, and why that may be."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.slips import masking
from tests.slips.kinds import KINDS
from tests.slips.masking import Mask
from tests.slips.pairs import SEED, Judged, judged, sampled
from tests.slips.table import HERE

RESULTS: Final = HERE / "pairs.csv"
PAGE: Final = HERE / "PAIRS.md"
COMMAND: Final = "python -m tests.slips --pairs"

WHY: Final = {
    masking.UNREAD: "the other slip spoils a line that the rule needs, or makes it unreadable, and is told itself; "
    "the rule is listed as not checked, and speaks when that line is put right",
    masking.OTHERWISE: "with the other slip the rule's own condition is no longer true: another mode, another tube",
    masking.KEPT: "with the other slip what the rule asks for is true: two wrong values that fit each other",
    masking.UNDECIDED: "with the other slip the search over what is allowed ends before it is decided; that is said",
    masking.ELSEWHERE: "the rule speaks of the other slip, and for one of the reasons above no longer of this one",
}
"""Kinds of masking that need no further reason, for both slips can't be told from the one document at once."""

LISTED: Final[dict[tuple[str, str], str]] = {
    ("order.incomplete", "circuit.no-exhalation-path"): "the order is rejected for a circuit without a way out for the "
    "breath, and what else it leaves out is told when that is put right",
}
"""Other maskings that stay, by the masked rule and the one that it leaves the word to, or its kind, with the reason."""

_HEAD: Final = """\
# Pairs of slips

Two independent slips are made in one sound document, and what the screening says of both is held against what it says
of each alone. Whatever is said of a slip alone at `query` or above must still be said: by the same rule at a line of
that slip, or by a rule to which that one gives way and which names the same lines. What is no longer said is *masked*.
Only slips that are found alone are taken, and both change lines of their own. The pairs are drawn with the seed {seed}:
one of every two kinds of slips that can stand together, {drawn:,} of {kinds:,} pairs of kinds; {pairs:,} of these were
screened, in {documents} documents. Made by `{command}`.

| of {pairs:,} pairs | pairs |
| --- | ---: |
| both slips found | {both:,} |
| one found | {one:,} |
| none found | {none:,} |
| nothing said at all | {silent:,} |
| could not be screened | {crashed:,} |
| something is masked | {masked:,} |

A slip counts as found as in the study of single slips: a fitting rule speaks at a line of the slip. Where one is not
found and the other is, the order is not used as written, and the first shows when the other is put right. Where nothing
is said at all, the two slips make an order that fits itself: nobody could tell it from one that is meant.

| kind of masking | findings masked | of slips that are found all the same | of slips that are not | why |
| --- | ---: | ---: | ---: | --- |
"""


@dataclass(frozen=True)
class Outcome:
    """What came of one pair, as it is stored."""

    document: str
    kinds: tuple[str, str]
    changes: tuple[str, str]
    found: tuple[bool, bool]
    masks: tuple[tuple[Mask, ...], tuple[Mask, ...]]
    is_silent: bool = False
    crash: str = ""

    @property
    def is_plain(self) -> bool:
        """Whether both are found and nothing is masked: such pairs are counted and not listed."""
        return all(self.found) and not any(self.masks) and not self.crash


def outcome_of(result: Judged) -> Outcome:
    pair = result.pair
    one, other = (f"{slip.before} -> {slip.after}" for slip in pair.slips)
    kinds = pair.kinds[0].name, pair.kinds[1].name
    return Outcome(pair.path.stem, kinds, (one, other), result.found, result.masks, not result.rules)


def unexplained(outcome: Outcome) -> list[str]:
    """Maskings of a pair for which no reason stands, and what must never be: a silence, a crash."""
    told = [
        f"{mask.rule} {mask.kind} {' '.join(mask.to)}".rstrip()
        for side in (0, 1)
        for mask in outcome.masks[side]
        if not explained(mask, any(outcome.found))
    ]
    if outcome.is_silent and not _fit_each_other(outcome):
        told.append("nothing is said")
    return told + ([outcome.crash] if outcome.crash else [])


def _fit_each_other(outcome: Outcome) -> bool:
    """Whether all that was said of either slip is put right by the other: the two make an order that fits itself."""
    return all(mask.kind == masking.KEPT for side in outcome.masks for mask in side)


def explained(mask: Mask, is_stopped: bool) -> str:
    """Why something may be masked; empty where it may not. Unless two slips fit each other, one must be found: then the
    order is stopped.
    """
    if mask.kind in WHY:
        return WHY[mask.kind] if is_stopped or mask.kind == masking.KEPT else ""
    reasons = [LISTED.get((mask.rule, each), "") for each in (*mask.to, mask.kind)]
    return next((each for each in reasons if each), "")


# ---- what is stored
def stored(outcomes: Sequence[Outcome]) -> str:
    """The pairs in which something is masked or not found, one a row."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("document", "kind", "slip", "found", "masked", "other kind", "other slip", "found", "masked"))
    for each in (one for one in outcomes if not one.is_plain):
        sides = [
            (each.kinds[side], each.changes[side], "yes" if each.found[side] else "no", _told(each.masks[side]))
            for side in (0, 1)
        ]
        writer.writerow((each.document, *sides[0], *sides[1]))
    return out.getvalue()


def _told(masks: Iterable[Mask]) -> str:
    return "; ".join(f"{mask.rule} {mask.kind}" + (f" to {', '.join(mask.to)}" if mask.to else "") for mask in masks)


def page(outcomes: Sequence[Outcome], drawn: int) -> str:
    """PAIRS.md, of so many of the pairs that are drawn."""
    found = Counter(sum(each.found) for each in outcomes)
    head = _HEAD.format(
        seed=f"{SEED:_}",
        command=COMMAND,
        pairs=len(outcomes),
        documents=len({each.document for each in outcomes}),
        drawn=drawn,
        kinds=len(KINDS) * (len(KINDS) + 1) // 2,
        both=found[2],
        one=found[1],
        none=found[0],
        silent=sum(each.is_silent for each in outcomes),
        crashed=sum(bool(each.crash) for each in outcomes),
        masked=sum(any(each.masks) for each in outcomes),
    )
    return head + "\n".join([*_kinds(outcomes), "", *_unfound(outcomes), *_rest(outcomes)]) + "\n"


def _kinds(outcomes: Sequence[Outcome]) -> list[str]:
    told: Counter[tuple[str, bool]] = Counter()
    for each in outcomes:
        for side in (0, 1):
            told.update((mask.kind, each.found[side]) for mask in each.masks[side])
    kinds = dict.fromkeys([*WHY, *sorted(kind for kind, _ in told)])
    return [
        f"| {kind} | {told[kind, True] + told[kind, False]} | {told[kind, True]} | {told[kind, False]} "
        f"| {WHY.get(kind, 'see below')} |"
        for kind in kinds
    ]


def _unfound(outcomes: Sequence[Outcome]) -> list[str]:
    lines = ["## Slips that are not found beside another", ""]
    for each in outcomes:
        for side in (0, 1):
            if not each.found[side]:
                lines.append(
                    f"- {each.document}: {each.kinds[side]}, `{each.changes[side]}`, beside {each.kinds[1 - side]}, "
                    f"`{each.changes[1 - side]}`: {_told(each.masks[side]) or 'told at other lines'}"
                )
    return [*lines, ""]


def _rest(outcomes: Sequence[Outcome]) -> list[str]:
    """Maskings that need a reason of their own, with it or without."""
    told: dict[tuple[str, str, str], str] = {}
    counts: Counter[tuple[str, str, str]] = Counter()
    for each in outcomes:
        for side in (0, 1):
            for mask in (one for one in each.masks[side] if one.kind not in WHY):
                key = (mask.rule, mask.kind, ", ".join(mask.to))
                told[key] = explained(mask, any(each.found)) or "no reason stands"
                counts[key] += 1
    rows = [
        f"| `{rule}` | {kind} | {others} | {counts[rule, kind, others]} | {told[rule, kind, others]} |"
        for rule, kind, others in sorted(told)
    ]
    head = ["| masked | how | to | findings | why |", "| --- | --- | --- | ---: | --- |"]
    return ["## Other maskings", "", *([*head, *rows] if rows else ["There are none."])]


def study() -> list[Outcome]:
    """Screen every pair; one that can't be screened is told as such."""
    outcomes: list[Outcome] = []
    for pair in sampled():
        try:
            outcomes.append(outcome_of(judged(pair)))
        except RuntimeError as error:
            kinds = pair.kinds[0].name, pair.kinds[1].name
            one, other = (f"{slip.before} -> {slip.after}" for slip in pair.slips)
            both = (False, False)
            outcomes.append(Outcome(pair.path.stem, kinds, (one, other), both, ((), ()), crash=str(error)))
    return outcomes


def pages(outcomes: Sequence[Outcome], drawn: int) -> dict[Path, str]:
    """Every file that is made of the pairs, as it should be."""
    return {RESULTS: stored(outcomes), PAGE: page(outcomes, drawn)}
