"""Every case that stands inside a built-in rule, one test each; also the text of a case must be readable."""

import pytest

from rxlint.packs import Case, Rule
from rxlint.screening.cases import judge
from tests.packs.cases import PACK_OF, RULES, screened

CASES = [
    pytest.param(rule, index, case, id=f"{rule.id}-{index}") for rule in RULES for index, case in enumerate(rule.cases)
]


@pytest.mark.parametrize(("rule", "index", "case"), CASES)
def test_case(rule: Rule, index: int, case: Case) -> None:
    why = judge(rule, case, PACK_OF[rule.id], screened(rule.id, index))
    assert why is None, f"{case.text}: {why}"


def test_a_case_that_is_not_what_it_says_is_told() -> None:
    rule = next(rule for rule in RULES if rule.id == "relation.broken")
    fires, holds = (next(case for case in rule.cases if case.kind == kind) for kind in ("fires", "holds"))
    pack = PACK_OF[rule.id]
    of = {case: screened(rule.id, rule.cases.index(case)) for case in (fires, holds)}
    assert judge(rule, fires, pack, of[holds]) == "does not fire: relation.broken is met"
    assert judge(rule, holds, pack, of[fires]) == "does not hold: relation.broken is broken"
    other = PACK_OF["mode.no-back-up"]
    assert "its text is at fault" in str(judge(other.rules[0], holds, other, of[fires]))
