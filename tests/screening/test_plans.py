"""Plans change nothing but the time: with and without them the same findings and the same coverage."""

import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.expressions import AtPoint
from rxlint.model.facts import Facts, facts_of
from rxlint.screening import answers, engine, plans
from rxlint.screening.engine import Screening, screen_document
from rxlint.screening.plans import Plan, plan_of
from rxlint.screening.ruleset import Prepared, builtin_rules, prepare
from tests.documents import DAY, document, pack_of, rule_text
from tests.golden import ROOT

EXAMPLES = sorted((ROOT / "examples").rglob("*.vrx"))
NUMBER = re.compile(r"(?<![\w.:-])\d+(?:\.\d+)?(?![\w.:-])")


def screened(text: str, *, planned: bool) -> Screening:
    with pytest.MonkeyPatch.context() as patch:
        if not planned:
            patch.setattr(engine, "plan_of", lambda *_: None)
        return screen_document(document(text), builtin_rules(), DAY)


def texts() -> list[str]:
    found = [path.read_text("utf-8") for path in EXAMPLES]
    assert len(found) > 100
    return found


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_the_examples_come_out_the_same(path: Path) -> None:
    text = path.read_text("utf-8")
    assert screened(text, planned=True) == screened(text, planned=False)


@given(st.sampled_from(texts()), st.data())
def test_other_numbers_come_out_the_same(text: str, data: st.DataObject) -> None:
    """The plan is that of the first document with these terms; another one that differs in numbers goes by it too."""

    def other(found: re.Match[str]) -> str:
        return str(data.draw(st.one_of(st.just(found.group()), st.sampled_from(("0", "1", "2.5", "40", "950")))))

    changed = NUMBER.sub(other, text)
    screened(text, planned=True)
    assert screened(changed, planned=True) == screened(changed, planned=False)


def plan(text: str) -> Plan | None:
    rules = builtin_rules()
    (facts,) = facts_of(document(text), {key: each.node for key, each in rules.defined.items()}, DAY)
    return plan_of(facts, rules, False)


ORDER = """\
prescription "x"
patient
  age  40 years
settings
  mode  A/C-VC
  PEEP  {peep}
  rate  {rate} /min
"""


def test_documents_that_differ_in_numbers_alone_share_a_plan() -> None:
    first = plan(ORDER.format(peep="5 cmH2O", rate=12))
    assert first is not None and first is plan(ORDER.format(peep="8 cmH2O", rate=14))
    others = [
        plan(ORDER.format(peep="5 to 8 cmH2O", rate=12)),
        plan(ORDER.format(peep="5 cmH2O", rate=12).replace("A/C-VC", "A/C-PC")),
        plan(ORDER.format(peep="5 cmH2O", rate=12).replace("patient\n  age  40 years\n", "")),
        plan(ORDER.format(peep="5 cmH2O", rate=12) + "alarms\n  apnoea  after 20 s\n"),
    ]
    assert None not in others and len({id(each) for each in (first, *others)}) == 5


def test_most_rules_are_settled_and_formulas_nobody_needs_are_left_out() -> None:
    found = plan(ORDER.format(peep="5 cmH2O", rate=12))
    assert found is not None
    asked = [step for step in found.steps if step.settled is None]
    assert 0 < len(asked) < len(found.steps) / 4
    assert not any(step.varies for step in found.steps)


def test_a_line_that_could_not_be_told_leaves_no_plan() -> None:
    assert plan(ORDER.format(peep="5 cmH2O", rate=12) + "  gibberish  7\n") is None


def test_a_huge_number_is_of_another_shape() -> None:
    small, huge = ORDER.format(peep="5 cmH2O", rate=12), ORDER.format(peep=f"5.{'0' * 60}1 cmH2O", rate=12)
    assert plan(small) is not plan(huge)
    assert screened(huge, planned=True) == screened(huge, planned=False)


def test_a_rule_that_fails_in_a_plan_hides_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    rules = prepare([pack_of(rule_text("PEEP < 4 cmH2O"), rule_text("PEEP > 9 cmH2O", id="trial.two"))])
    real = answers.answer_as_set

    def fails_once(prepared: Prepared, facts: Facts, values: list[Any]) -> AtPoint:
        if prepared.rule.id == "trial.one":
            raise ZeroDivisionError("of a test")
        return real(prepared, facts, values)

    monkeypatch.setattr(engine, "answer_as_set", fails_once)
    found = screen_document(document(ORDER.format(peep="5 cmH2O", rate=12)), rules, DAY)
    assert [crash.rule for crash in found.crashes] == ["trial.one"]
    assert [each.rule for each in found.findings] == ["trial.two"]


def test_plans_are_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    rules = prepare([pack_of(rule_text("PEEP < 40 cmH2O"))])
    monkeypatch.setattr(plans, "_MOST_PLANS", 3)
    texts = [ORDER.format(peep=f"{n} to {n + 2} cmH2O" if n % 2 else f"{n} cmH2O", rate=12) for n in range(4, 8)]
    texts += [text.replace("A/C-VC", mode) for text in texts for mode in ("A/C-PC", "CSV-PS")]
    for text in texts:
        screen_document(document(text), rules, DAY)
    assert 0 < len(rules.plans) <= 3


def test_threads_may_share_plans_that_are_given_up_all_the_time(monkeypatch: pytest.MonkeyPatch) -> None:
    rules = prepare([pack_of(rule_text("PEEP < 6 cmH2O"))])
    monkeypatch.setattr(plans, "_MOST_PLANS", 2)
    modes = ("A/C-VC", "A/C-PC", "CSV-PS", "S/T-PS", "SIMV-PC with PS")
    texts = [ORDER.format(peep=f"{4 + n % 4} cmH2O", rate=12).replace("A/C-VC", modes[n % 5]) for n in range(400)]
    wanted = [screen_document(document(text), rules, DAY) for text in texts]
    with ThreadPoolExecutor(8) as threads:
        found = list(threads.map(lambda text: screen_document(document(text), rules, DAY), texts))
    assert found == wanted
    assert not any(each.crashes for each in found)
