"""Python rules of installed distributions: found by name, run like any other rule, and contained when they fail."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from rxlint.extension import (
    Lacking,
    PythonCase,
    PythonFinding,
    PythonPack,
    PythonRule,
    UnknownNameError,
    View,
    amount,
)
from rxlint.extension.convert import pack_of
from rxlint.extension.discover import Named, load_named
from rxlint.model.facts import Facts, facts_of
from rxlint.notation.document import read_document
from rxlint.packs import Pack
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.case_text import document_of
from rxlint.screening.cases import CASE_DAY, run_cases
from rxlint.screening.engine import Screening, screen_document
from rxlint.screening.ruleset import prepare
from rxlint.screening.scope_view import ScopeView
from rxlint.text import Source, source_of_text
from tests.extensions import EXAMPLE, OFF_STEP

READER = next(pack for pack in builtin_packs() if pack.name == "notation")


@pytest.fixture(autouse=True)
def _installed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(EXAMPLE))


def loaded(name: str = "tarn") -> Pack:
    found, faults = load_named([Named(name)])
    assert faults == () and found.failures == ()
    return found.packs[0]


def source(text: str) -> Source:
    found = source_of_text(text)
    assert isinstance(found, Source)
    return found


def screened(facts: str, *packs: Pack) -> Screening:
    return screen_document(read_document(source(document_of(facts))), prepare(packs), CASE_DAY)


def view_of(text: str) -> ScopeView:
    facts: Facts = next(iter(facts_of(read_document(source(text)), None, CASE_DAY)))
    return ScopeView(facts)


# ---- the worked example


def test_its_cases_are_run_by_the_harness_of_yaml_packs() -> None:
    pack = loaded()
    results = run_cases(pack, (READER,))
    assert [result.failure for result in results] == [None] * 6
    assert {result.case.kind for result in results} == {"fires", "holds", "silent"}


def test_a_case_that_is_not_what_it_says_is_told() -> None:
    pack = loaded()
    rule = pack.rules[0]
    wrong = PythonCase("holds", OFF_STEP)
    changed = PythonPack("tarn", 1, "x", (_with(rule.python, cases=(wrong,)),))
    (result,) = run_cases(pack_of(changed, "here"))
    assert result.failure == "does not hold: tarn.between-steps is broken"


def _with(rule: Any, **changed: Any) -> PythonRule:
    kept = {name: getattr(rule, name) for name in PythonRule.__dataclass_fields__}
    return PythonRule(**{**kept, **changed})


def test_a_finding_stands_at_its_line_with_its_calculation() -> None:
    (finding,) = screened(OFF_STEP, loaded()).findings
    assert (finding.rule, finding.level, finding.outcome) == ("tarn.between-steps", "query", "broken")
    assert finding.message == "PEEP 5.5 cmH2O can't be set on the service's ventilators: 5 cmH2O or 6 cmH2O can"
    assert finding.place.line == 5
    assert finding.calculation == ("step 1 cmH2O",)
    assert finding.fingerprint.endswith("-0")


@pytest.mark.parametrize(
    ("facts", "outcome", "lacks", "reasons"),
    [
        ("patient place of care home; PEEP 5 cmH2O", "met", (), ()),
        (OFF_STEP, "broken", (), ()),
        ("patient place of care ward; PEEP 5.5 cmH2O", "does not apply", (), ()),
        ("PEEP 5.5 cmH2O", "not checked", ("patient place of care",), ()),
        ("patient place of care home; PEP 5.5 cmH2O", "not checked", (), ("a line of settings could not be read",)),
    ],
)
def test_it_has_a_row_in_the_coverage(
    facts: str, outcome: str, lacks: tuple[str, ...], reasons: tuple[str, ...]
) -> None:
    screening = screened(facts, loaded())
    (row,) = screening.coverage.rules
    assert (row.rule, row.outcome, row.lacks, row.reasons) == ("tarn.between-steps", outcome, lacks, reasons)
    assert [finding.outcome for finding in screening.findings] == (["broken"] if outcome == "broken" else [])


def test_a_value_that_is_a_range_alone_is_not_a_value_as_set() -> None:
    screening = screened("template; patient place of care home; PEEP 4.5 to 5.5 cmH2O", loaded())
    assert screening.coverage.counts["broken"] == 0
    with pytest.raises(Lacking, match="PEEP is stated as a range"):
        view_of('template "x"\nsettings\n  PEEP 4 to 6 cmH2O\n').number("PEEP")


# ---- the view


WHOLE = """prescription "x"
patient
  age 7 years
airway
  interface tracheostomy, cuffed
circuit
  assembly HME filter, catheter mount
settings
  mode A/C-PC
  PEEP 5 mbar
  inspiratory pressure 15 cmH2O above PEEP
"""


def test_values_are_exact_and_in_the_unit_asked_for() -> None:
    view = view_of(WHOLE)
    assert view.number("PEEP", "mbar") == 5
    assert view.number("PEEP") == amount(5, "mbar")
    assert view.number("inspiratory pressure") == amount(5, "mbar") + amount(15, "cmH2O")
    assert view.number("pressure above baseline", "cmH2O") == 15
    assert view.number("patient age", "years") == 7
    assert isinstance(view.number("PEEP"), Fraction)
    assert (view.tell("PEEP"), view.show(amount(1, "kPa"), "mbar")) == ("5 mbar", "10 mbar")


def test_words_items_and_presence() -> None:
    view = view_of(WHOLE)
    assert "tracheostomy" in view.words("interface")
    assert view.items("assembly") == ("HME filter", "catheter mount")
    assert (view.document_kind, view.period, view.band) == ("prescription", None, None)
    assert view.is_stated("PEEP") and not view.is_stated("rise time")
    assert view.has_value("PEEP") and not view.has_value("rise time")
    assert view.absent == {"rise time"}


@pytest.mark.parametrize(
    ("ask", "told"),
    [
        (lambda view: view.number("PEP"), "there is no term PEP; did you mean PEEP"),
        (lambda view: view.is_stated("PEP"), "there is no term PEP"),
        (lambda view: view.number("interface"), "interface is no number"),
        (lambda view: view.number("PEEP", "s"), "PEEP is not measured in s"),
        (lambda view: view.number("PEEP", "cmH20"), "there is no unit cmH20"),
        (lambda view: view.words("PEEP"), "PEEP has no words"),
        (lambda view: view.items("PEEP"), "PEEP is no list"),
        (lambda view: view.truth("PEEP"), "PEEP is no condition"),
    ],
)
def test_a_name_that_there_is_not_is_a_fault_of_the_rule(ask: Callable[[View], object], told: str) -> None:
    with pytest.raises(UnknownNameError, match=told):
        ask(view_of(WHOLE))


@pytest.mark.parametrize(
    ("line", "reason"),
    [("PEEP 5", "PEEP is stated but could not be read"), ("rise time 100 ms", "PEEP")],
)
def test_what_is_missing_is_told(line: str, reason: str) -> None:
    view = view_of(f'prescription "x"\nsettings\n  {line}\n')
    with pytest.raises(Lacking, match=reason) as raised:
        view.number("PEEP")
    assert raised.value.terms == {"PEEP"}


def test_amounts_are_exact_or_refused() -> None:
    assert amount("7.5", "cmH2O") == Fraction(15, 2)
    assert amount(2, "") == 2
    with pytest.raises(TypeError, match=r"not 0\.1"):
        amount(0.1, "s")  # type: ignore[arg-type]
    with pytest.raises(UnknownNameError):
        amount(1, "cmH20")


# ---- level and basis


@pytest.mark.parametrize(
    ("basis", "own", "told"),
    [("practice", "reject", "query"), ("verified", "reject", "reject"), ("verified", "note", "note")],
)
def test_the_basis_bounds_the_level_of_a_finding(basis: Any, own: Any, told: str) -> None:
    def check(_view: View) -> list[PythonFinding]:
        return [PythonFinding("x", at=("PEEP",), level=own)]

    rule = _with(loaded().rules[0].python, basis=basis, check=check, applies=None, cases=())
    (finding,) = screened("PEEP 5 cmH2O", pack_of(PythonPack("tarn", 1, "x", (rule,)), "here")).findings
    assert finding.level == told


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"id": "Tarn.x"}, "an id is lower-case words"),
        ({"level": "rejekt"}, "level is one of reject, query, note, not 'rejekt'"),
        ({"basis": "policy"}, "basis is one of contradiction"),
        ({"title": " "}, "title must be text"),
        ({"at": "PEEP"}, "at must be a tuple"),
        ({"check": "PEEP"}, "check and applies must be functions"),
        ({"cases": ("fires",)}, "cases must be a tuple of PythonCase"),
    ],
)
def test_a_rule_that_is_unsound_can_t_be_made(changed: dict[str, Any], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        _with(loaded().rules[0].python, **changed)


@pytest.mark.parametrize(
    ("name", "revision", "twice", "told"),
    [
        ("tarn", -1, False, "revision is a whole number"),
        ("tern", 1, False, "tern: the id tarn.between-steps begins with another name"),
        ("tarn", 1, True, "stands twice"),
        ("Tarn", 1, False, "a pack's name"),
    ],
)
def test_a_pack_that_is_unsound_can_t_be_made(name: str, revision: int, twice: bool, told: str) -> None:
    rule: Any = loaded().rules[0].python
    with pytest.raises(ValueError, match=told):
        PythonPack(name, revision, "x", (rule, rule) if twice else (rule,))


def test_the_digest_changes_with_the_pack() -> None:
    rule: Any = loaded().rules[0].python
    one = pack_of(PythonPack("tarn", 1, "x", (rule,)), "here")
    assert one.digest == pack_of(PythonPack("tarn", 1, "x", (rule,)), "here").digest
    assert len(one.digest) == 32
    others = {
        pack_of(PythonPack("tarn", 2, "x", (rule,)), "here").digest,
        pack_of(PythonPack("tarn", 1, "x", (_with(rule, level="note"),)), "here").digest,
        pack_of(PythonPack("tarn", 1, "x", (rule,)), "there").digest,
    }
    assert len(others) == 3 and one.digest not in others


# ---- failures


FAILURES = {
    "raises": "RuntimeError: lost at prescription",
    "leaves": "SystemExit: 0",
    "is-untellable": "UntellableError: it can't be told",
    "misspells": "UnknownNameError: there is no term PEP; did you mean PEEP?",
    "misplaces": "UnknownNameError: there is no term PEP; did you mean PEEP?",
    "finds-then-raises": "ValueError: later",
    "finds-without-end": "OverflowError: more than 100 findings in one scope",
    "yields-text": "TypeError: check gave str, not PythonFinding",
    "gives-nothing-back": "TypeError: check gave NoneType, not findings",
    "answers-wrongly": "TypeError: applies gave str, not true or false",
}


def test_each_failure_is_told_and_no_rule_hides_another() -> None:
    screening = screened(OFF_STEP, loaded("tarn-faulty"), loaded())
    assert {crash.rule: crash.error for crash in screening.crashes} == {
        f"tarn-faulty.{name}": told for name, told in FAILURES.items()
    }
    outcomes = {row.rule.partition(".")[2]: row.outcome for row in screening.coverage.rules}
    found = {"finds-then-raises", "finds-without-end", "prints", "between-steps"}
    assert {name for name, outcome in outcomes.items() if outcome == "broken"} == found
    assert {name for name, outcome in outcomes.items() if outcome == "not checked"} == set(outcomes) - found
    assert {finding.rule for finding in screening.findings} >= {"tarn.between-steps", "tarn-faulty.finds-then-raises"}


def test_an_interrupt_is_the_user_s() -> None:
    def check(_view: View) -> list[PythonFinding]:
        raise KeyboardInterrupt

    rule = _with(loaded().rules[0].python, check=check, applies=None, cases=())
    with pytest.raises(KeyboardInterrupt):
        screened("PEEP 5 cmH2O", pack_of(PythonPack("tarn", 1, "x", (rule,)), "here"))
