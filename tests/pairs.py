"""Pairs of rules that speak on the same case for the same facts, with why both do: the page rules/PAIRS.md.

Every case in which a rule fires is screened with all built-in packs together. What counts as speaking for the same
facts is told in `tests/pairs_fill.py`; why both rules speak is written by hand in `tests/pairs.yaml`.
``python -m tests.pairs`` makes the page and fails where a pair has no explanation, or an explanation no pair.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from ruamel.yaml import YAML

from rxlint.packs import Case, Rule
from rxlint.screening.ruleset import RuleSet, builtin_rules
from tests.pairs_fill import Filling, reads_of, text_of

ROOT: Final = Path(__file__).resolve().parent.parent
PAGE: Final = ROOT / "rules" / "PAIRS.md"
WHY: Final = ROOT / "tests" / "pairs.yaml"
_HEAD: Final = """# Rules that speak on the same case

One slip gives one finding: where two rules tell the same slip, one of them gives way (`yields to`). Here stands what
is left. Every case in which a rule fires was screened with all built-in packs together. A pair is listed where
another rule speaks on the case, falls silent without the lines at which the case's own finding stands, and goes on
speaking when the case is filled up with the lines of sound orders, so that it does not merely miss what a short case
leaves out. Made by `python -m tests.pairs` from the packs and the explanations in `tests/pairs.yaml`, which fails
where a pair has no explanation, or an explanation no pair; tests look at a share of the cases each time.
"""
_GIVEN_WAY: Final = """
## Cases whose own rule gives way

Cases are run with their own pack. With all packs together these rules leave the word to a rule that says it better.

| rule | gives way to | case |
| --- | --- | --- |
"""


@dataclass(frozen=True, slots=True)
class Together:
    """A case in which another rule speaks beside the case's own; where the own one is silent, it gives way."""

    rule: str
    other: str
    case: str
    gives_way: bool = False


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why two rules both speak. Each is an id, or an area and `.*` for any rule of the area."""

    rules: tuple[str, str]
    why: str

    def covers(self, one: str, other: str) -> bool:
        """Whether it is about these two rules, in either order."""
        first, second = self.rules
        return (_fits(first, one) and _fits(second, other)) or (_fits(first, other) and _fits(second, one))

    @property
    def is_exact(self) -> bool:
        """Whether it names both rules."""
        return not any(each.endswith(".*") for each in self.rules)


def _fits(pattern: str, rule: str) -> bool:
    return rule.startswith(pattern.removesuffix("*")) if pattern.endswith(".*") else rule == pattern


@cache
def all_together() -> tuple[Together, ...]:
    """Every case of the built-in rules in which two rules speak for the same facts, or the own one gives way."""
    rules = builtin_rules()
    reads = reads_of(rules)
    return tuple(each for rule in rules.all_rules for each in together(rule, rule.cases, rules, reads))


def together(
    rule: Rule, cases: Iterable[Case], rules: RuleSet, reads: Mapping[str, frozenset[str]]
) -> Iterator[Together]:
    """The same for some cases of one rule, with these rules; ``reads`` is what each of them reads."""
    for case in cases:
        if case.kind != "fires":
            continue
        filling = Filling(text_of(case), rule.id, rules, reads)
        if rule.id in filling.first:
            yield from (Together(rule.id, other, case.text) for other in sorted(filling.fill()))
        else:
            for other in sorted(filling.first & set(rule.yields_to)):
                yield Together(rule.id, other, case.text, gives_way=True)


def explanations(text: str) -> list[Explanation]:
    """The explanations as written by hand. Raises ValueError where one is not two rules and a sentence."""
    found = []
    for entry in YAML(typ="safe").load(text):
        match entry:
            case {"rules": [str(first), str(second)], "why": str(why)} if len(entry) == 2 and why.strip():
                found.append(Explanation((first, second), " ".join(why.split())))
            case _:
                raise ValueError(f"an explanation has two rules and why, not {entry}")
    return found


def explained(one: str, other: str, known: Sequence[Explanation]) -> list[Explanation]:
    """The explanations of a pair: those that name both rules, or else those of their families."""
    fitting = [each for each in known if each.covers(one, other)]
    return [each for each in fitting if each.is_exact] or fitting


def faults(found: Iterable[Together], known: Sequence[Explanation]) -> list[str]:
    """Pairs without one explanation, and explanations without a pair."""
    chosen = {pair: explained(*pair, known) for pair in sorted(_by_pair(found))}
    used = {each for several in chosen.values() for each in several}
    return [
        *(f"{one} and {other} have {len(why)} explanations" for (one, other), why in chosen.items() if len(why) != 1),
        *(f"{' and '.join(each.rules)}: an explanation without a pair" for each in known if each not in used),
    ]


def _by_pair(found: Iterable[Together]) -> dict[tuple[str, str], list[Together]]:
    pairs: dict[tuple[str, str], list[Together]] = {}
    for each in found:
        if not each.gives_way:
            one, other = sorted((each.rule, each.other))
            pairs.setdefault((one, other), []).append(each)
    return pairs


def page(found: Sequence[Together], known: Sequence[Explanation], cases: int) -> str:
    """The whole page; ``cases`` is how many were screened."""
    pairs = _by_pair(found)
    rows = [_pair_row(pair, pairs[pair], known) for pair in sorted(pairs)]
    silent = [_row(f"`{each.rule}`", f"`{each.other}`", quoted(each.case)) for each in found if each.gives_way]
    concerned = {each.case for both in pairs.values() for each in both}
    told = f"\n{cases} cases; {len(pairs)} pairs in {len(concerned)} of them.\n"
    table = "\n| rules | cases | one of them | why both speak |\n| --- | --- | --- | --- |\n"
    return _HEAD + told + table + "\n".join(rows) + "\n" + _GIVEN_WAY + "\n".join(silent) + "\n"


def _pair_row(pair: tuple[str, str], both: Sequence[Together], known: Sequence[Explanation]) -> str:
    why = " ".join(each.why for each in explained(*pair, known)) or "-"
    return _row(f"`{pair[0]}`, `{pair[1]}`", str(len(both)), quoted(both[0].case), why)


def listed(text: str) -> list[Together]:
    """The pairs that stand on a page, each with its case as the page shows it."""
    found = re.findall(r"^\| `([^`]+)`, `([^`]+)` \| \d+ \| (`.+?`) \| ", text, re.MULTILINE)
    return [Together(one, other, case.replace("\\|", "|")) for one, other, case in found]


def _row(*cells: str) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def quoted(case: str) -> str:
    """A case's text in one line, as the page shows it."""
    return f"`{'; '.join(line.strip() for line in case.strip().splitlines())}`"


def fresh() -> tuple[str, list[str]]:
    """The page as it should be, and what is wrong with the explanations."""
    known = explanations(WHY.read_text("utf-8"))
    fires = sum(case.kind == "fires" for rule in builtin_rules().all_rules for case in rule.cases)
    found = all_together()
    return page(found, known, fires), faults(found, known)


def main() -> int:
    """Write the page; 1 where a pair and its explanation do not come together."""
    text, wrong = fresh()
    PAGE.write_text(text, encoding="utf-8")
    sys.stdout.write("".join(f"{each}\n" for each in wrong) + f"{PAGE.name} written\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
