"""The page with the shares and the survivors."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from tests.mutation.kept import KINDS, NO_FAULT, Reason
from tests.mutation.source import FOLDERS, ONE_IN, ROOT, Mutant, files, out_of_reach
from tests.mutation.trial import Verdict

PAGE: Final = ROOT / "tests" / "MUTATION.md"
KILLS: Final = ("killed", "hung")

_HEAD: Final = """# What the tests notice

Made by `python -m tests.mutation`. One small fault at a time is put into a function of `rxlint/physiology` or
`rxlint/expressions` - a comparison, a sign, a condition, the order of a pair, a statement left out - in memory, never
in the files. Then the tests of tests/expressions, tests/physiology, tests/outside and tests/model that run this
function are run until one fails: the mutant is killed. One that outlasts them all is a survivor and stands below with
the reason that is kept by hand in `tests/mutation/survivors.yaml`. A test that never ends counts as a kill too.
Properties draw few examples at first and more for whatever survives that.

Not tried: the numbers of the physiology (see CONSTANTS.md), messages, type hints, defaults of arguments, patterns of
`match` beyond leaving a case out, and what runs only while a module is imported (the last table). Tests that screen
whole prescriptions are not run here, so that a survivor may yet be noticed elsewhere.

"""


@dataclass(frozen=True, slots=True)
class Tried:
    """A mutant and what came of it; the reason where it survived."""

    mutant: Mutant
    verdict: Verdict
    reason: Reason | None

    @property
    def is_killed(self) -> bool:
        return self.verdict.outcome in KILLS

    @property
    def counts(self) -> bool:
        """Whether a test could ever notice it, as far as the reasons say."""
        return self.is_killed or self.reason is None or self.reason.kind not in NO_FAULT


def page(tried: Sequence[Tried], existing: Sequence[Mutant]) -> str:
    """The whole page."""
    return "".join(
        [
            _HEAD,
            _sums(tried, existing),
            "\n## By file\n\n",
            _table("file", tried, lambda each: f"`{each.mutant.file}`"),
            "\n## By kind of fault\n\n",
            _table("fault", tried, lambda each: each.mutant.operator),
            "\n## Survivors by reason\n\n| reason | meaning | mutants |\n| --- | --- | --- |\n",
            *(_row(kind, meaning, str(_number_of(tried, kind))) for kind, meaning in KINDS.items()),
            "\n## Survivors\n\n| file, function and change | reason | why |\n| --- | --- | --- |\n",
            *(_survivor(each) for each in tried if not each.is_killed),
            "\n## Out of reach\n\nWhat runs only at import: changes that could be thought of and are not tried.\n\n",
            "| file | changes |\n| --- | --- |\n",
            *_unreached(),
        ]
    )


def survivors_on(text: str) -> list[str]:
    """The names of the survivors that a page lists."""
    part = text.partition("\n## Survivors\n")[2].partition("\n## ")[0]
    rows = [line.split(" | ")[0].removeprefix("| ") for line in part.splitlines() if line.startswith("| ")]
    return [row.replace("\\|", "|") for row in rows[2:]]


def share(part: int, whole: int) -> str:
    """A share in per cent with one decimal, cut off so that it never shows more than there is."""
    return "-" if not whole else f"{part * 1000 // whole / 10:.1f} %"


def _sums(tried: Sequence[Tried], existing: Sequence[Mutant]) -> str:
    killed = sum(each.is_killed for each in tried)
    hung = sum(each.verdict.outcome == "hung" for each in tried)
    counted = sum(each.counts for each in tried)
    there = Counter(each.file.split("/")[0] for each in existing)
    drawn = Counter(each.mutant.file.split("/")[0] for each in tried)
    parts = [
        f"{drawn[folder]} of the {there[folder]} of `{folder}`"
        + ("" if ONE_IN[folder] == 1 else f" (a fixed sample, one in {ONE_IN[folder]} by a hash of the mutant's name)")
        for folder in FOLDERS
    ]
    return (
        f"Tried: {len(tried)} mutants, {' and '.join(parts)}.\n\n"
        "| share killed | killed | of | share |\n| --- | --- | --- | --- |\n"
        + _row("of all that were tried", str(killed), str(len(tried)), share(killed, len(tried)))
        + _row("without those judged equivalent, performance only or unreachable", str(killed), str(counted),
               share(killed, counted))
        + f"\n{hung} of the kills are tests that hung. "
        + "That a survivor could not be noticed is a judgement, not a proof.\n"
    )  # fmt: skip


def _table(title: str, tried: Sequence[Tried], key: Callable[[Tried], str]) -> str:
    groups: dict[str, list[Tried]] = {}
    for each in tried:
        groups.setdefault(key(each), []).append(each)
    head = f"| {title} | mutants | killed | share | without the equivalent |\n| --- | --- | --- | --- | --- |\n"
    return head + "".join(_shares(name, groups[name]) for name in sorted(groups))


def _shares(name: str, group: Sequence[Tried]) -> str:
    killed, counted = sum(each.is_killed for each in group), sum(each.counts for each in group)
    return _row(name, str(len(group)), str(killed), share(killed, len(group)), share(killed, counted))


def _number_of(tried: Sequence[Tried], kind: str) -> int:
    return sum(not each.is_killed and each.reason is not None and each.reason.kind == kind for each in tried)


def _survivor(each: Tried) -> str:
    reason = each.reason or Reason("none given", "")
    return _row(each.mutant.name, reason.kind, reason.why)


def _unreached() -> list[str]:
    found: Mapping[str, int] = {
        f"{path.parent.name}/{path.name}": len(out_of_reach(path.read_text(encoding="utf-8"))) for path in files()
    }
    return [_row(f"`{name}`", str(number)) for name, number in found.items() if number]


def _row(*cells: str) -> str:
    return f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |\n"
