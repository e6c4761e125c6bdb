"""The table of what holds each number, written and read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from tests.constants.child import Caught, of_a_formula
from tests.constants.kept import Reasons, unnoticed
from tests.constants.source import ROOT, changes, steps
from tests.constants.trial import DATA, Verdict

PAGE: Final = ROOT / "tests" / "CONSTANTS.md"

_HEAD: Final = """# What holds each number of the physiology

Made by `python -m tests.constants`. Each number in `rxlint/physiology` is made 5 % larger and, separately, 5 % smaller
(in memory, never in the files); then the tests run whose expected numbers are copied from a published table, worked
example or formula, each marked `published` with its source, until one fails. A number that nothing published holds is
listed with the reason. 0 and 1 are not tried. The text that a formula shows is not evaluated, so its numbers are not
tried either.

"""


def page(verdicts: Sequence[Verdict], data: Mapping[str, Sequence[Caught | None]], given: Reasons) -> str:
    """The whole page."""
    held = [each for each in verdicts if each.held]
    lost = [each for each in verdicts if not each.held]
    parts = [
        _HEAD,
        _summary(held, lost, given),
        "\n## Held\n\n| number | changed to | caught by | source of the expected number |\n| --- | --- | --- | --- |\n",
        *(_held(each, each.constant.name in given.whole) for each in held),
        "\n## No published number\n\n| number | unnoticed | why |\n| --- | --- | --- |\n",
        *(_row(_code(each.constant.name), unnoticed(each), _why(each, given)) for each in lost),
        "\n## Compared with whole numbers\n\nChanged by one, since 5 % would change nothing.\n\n",
        "| number | why |\n| --- | --- |\n",
        *(_row(_code(name), why) for name, why in given.whole.items()),
        "\n## Left out\n\n| number | why |\n| --- | --- |\n",
        *(_row(_code(name), why) for name, why in given.left_out.items()),
        "\n## The growth table\n\n| file | changed | caught by | source |\n| --- | --- | --- | --- |\n",
        _data_row(data),
    ]
    return "".join(parts)


def _summary(held: Sequence[Verdict], lost: Sequence[Verdict], given: Reasons) -> str:
    return (
        f"{len(held) + len(lost)} numbers were changed: {len(held)} are held, for {len(lost)} there is no published "
        f"number. {len(given.left_out)} were left out. Of those held, {sum(map(_by_formula, held))} are held, at least "
        "in one direction, by a coefficient of a printed formula alone: no table or worked example that would do has "
        "been found.\n"
    )


def names_on(text: str) -> dict[str, list[str]]:
    """The numbers that a page lists, by the heading they stand under, as their names."""
    found: dict[str, list[str]] = {}
    heading = ""
    for line in text.splitlines():
        if line.startswith("## "):
            heading = line[3:]
        elif line.startswith("| `"):
            found.setdefault(heading, []).append(line.split("` |")[0].removeprefix("| `").replace("\\|", "|"))
    return found


def _held(each: Verdict, whole: bool) -> str:
    tests = dict.fromkeys(caught.test for caught in (each.up, each.down) if caught)
    sources = dict.fromkeys(caught.source for caught in (each.up, each.down) if caught)
    new = (steps if whole else changes)(each.constant.text)
    return _row(_code(each.constant.name), ", ".join(new), ", ".join(map(_code, tests)), "; ".join(sources))


def _by_formula(each: Verdict) -> bool:
    return any(of_a_formula(caught.source) for caught in (each.up, each.down) if caught)


def _why(each: Verdict, given: Reasons) -> str:
    return given.unpublished.get(each.constant.name, "no reason is given")


def _data_row(data: Mapping[str, Sequence[Caught | None]]) -> str:
    both = [caught for pair in data.values() for caught in pair]
    tests = dict.fromkeys(caught.test.partition("[")[0] for caught in both if caught)
    sources = dict.fromkeys(caught.source for caught in both if caught)
    what = (
        f"in each of {len(data)} columns of L, M or S the number of the middle row, 5 % up and down: "
        f"{sum(caught is not None for caught in both)} of {len(both)} changes caught. The test compares every row of "
        "every chart: its L, M and S must give the 3rd, 50th and 97th percentile as printed"
    )
    return _row(_code(DATA.name), what, ", ".join(map(_code, tests)), "; ".join(sources))


def _row(*cells: str) -> str:
    return "| " + " | ".join(" ".join(cell.replace("|", "\\|").split()) for cell in cells) + " |\n"


def _code(text: str) -> str:
    return f"`{text}`"
