"""Every case that stands inside a built-in rule, one test each."""

import pytest

from rxlint.packs import Case, Pack, Rule
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.cases import failure_of
from rxlint.screening.ruleset import RuleSet, prepare

CASES = [
    pytest.param(pack, rule, case, id=f"{rule.id}-{index}")
    for pack in builtin_packs()
    for rule in pack.rules
    for index, case in enumerate(rule.cases)
]
READY: dict[str, RuleSet] = {}


@pytest.mark.parametrize(("pack", "rule", "case"), CASES)
def test_case(pack: Pack, rule: Rule, case: Case) -> None:
    rules = READY.setdefault(pack.name, prepare([pack]))
    assert failure_of(rule, case, pack, rules) is None
