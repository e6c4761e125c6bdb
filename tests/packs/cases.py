"""The cases of the built-in rules, each screened once for all tests that look at it."""

from functools import cache

from rxlint.packs import Rule
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.cases import screen_case
from rxlint.screening.engine import Screening
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import RuleSet, prepare

PACKS = builtin_packs()
RULES = tuple(rule for pack in PACKS for rule in pack.rules)
PACK_OF = {rule.id: pack for pack in PACKS for rule in pack.rules}
READER = "notation"


@cache
def ready(name: str) -> RuleSet:
    """The rules of a pack and of those it uses, and those that find a case's own text at fault."""
    used = next(pack.uses for pack in PACKS if pack.name == name)
    return prepare([pack for pack in PACKS if pack.name in (name, READER, *used)])


@cache
def screened(rule: str, index: int) -> Screening:
    pack = PACK_OF[rule]
    case = next(each for each in pack.rules if each.id == rule).cases[index]
    return screen_case(case, ready(pack.name))


def fired(rule: Rule) -> list[Finding]:
    """What the rule finds in those of its cases in which it fires."""
    return [
        finding
        for index, case in enumerate(rule.cases)
        if case.kind == "fires"
        for finding in screened(rule.id, index).findings
        if finding.rule == rule.id
    ]
