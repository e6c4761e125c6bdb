"""A review of packs as text: what is wrong with cases and rules, each at its place, and a line for each pack."""

from __future__ import annotations

from collections.abc import Iterator

from rxlint.packs.pack import Spot
from rxlint.screening.pack_review import Review
from rxlint.text import printable


def review_lines(review: Review) -> Iterator[str]:
    """The lines of one pack's review, in the order of its file."""
    path = review.pack.path
    found: list[tuple[Spot, str, tuple[str, ...]]] = [
        (each.case.spot, f"{each.rule.id}: {each.case.kind}: {each.failure}", each.told) for each in review.failures
    ]
    for remark in review.remarks:
        mark = "can't be told: " if not remark.is_told else "" if remark.is_fault else "worth knowing: "
        found.append((remark.spot, f"{remark.rule}: {mark}{remark.message}", ()))
    for spot, text, told in sorted(found, key=lambda each: (each[0].line, each[0].column)):
        yield printable(f"{path}:{spot.line}:{spot.column}: {text}")
        yield from (printable(f"    {line}") for line in told)
    yield printable(f"{path}: {_counts(review)}")


def _counts(review: Review) -> str:
    untold = sum(not each.is_told for each in review.remarks)
    cases = f"{len(review.cases)} case{'' if len(review.cases) == 1 else 's'} run"
    wrong = f"{len(review.failures)} not what they say"
    known = sum(not each.is_fault for each in review.remarks)
    told = len(review.remarks) - untold - known
    rest = f"{told} remark{'' if told == 1 else 's'}, {untold} can't be told"
    rest += f", {known} worth knowing" if known else ""
    return f"{cases}, {wrong}; {rest}"
