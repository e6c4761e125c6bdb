"""The numbers of the packs are all found, each has its entry, the page of them is fresh, and a fault would be told."""

from fractions import Fraction
from pathlib import Path

import pytest

from rxlint.expressions import Node, nodes, walk
from rxlint.packs import Rule
from tests import limits
from tests.literals import builtin_limits, changed_by, decimal, limits_of, load, pack_names, pack_text
from tests.published import EntryError, Matched, entries_of, match

PACK = """pack: trial
revision: 1
summary: rules of a test
define:
  ceiling:
    rows:
      - { when: patient age < 18 years and patient weight > 3 kg, is: 8 mL/kg of measured weight, source: x }
      - { otherwise: "least of (10 mL/kg of measured weight, 0.5 * 24 mL/kg of measured weight)", source: x }
    means: x
    source: x
  body: { as: patient weight / (1 kg), means: x, source: x }
rules:
  - id: trial.one
    level: query
    basis: practice
    title: x
    stricter:
      - { level: query, when: PEEP > 20 cmH2O }
      - { level: note, when: PEEP > 15 cmH2O }
    when: PEEP > 0 cmH2O
    each:
      - require: body <= 80 and rate >= 4 /min
      - { when: FiO2 < 100 %, require: body > 1 }
    say: "not counted: {PEEP + 7 cmH2O}"
    because: x
    source: x
    cases: []
"""
WHOLE = """
- { of: ceiling, unpublished: a reason }
- { rule: trial.one, unpublished: a reason }
"""


def found(entries: str, folder: Path) -> Matched:
    (folder / "trial.yaml").write_text(entries, encoding="utf-8")
    return match(limits_of(PACK, "trial"), entries_of("trial", folder))


def nodes_of(rule: Rule) -> list[Node]:
    whole = [each for part in (rule, *rule.parts) for each in (part.when, part.require) if each is not None]
    return [*whole, *(each.when for each in rule.stricter)]


@pytest.mark.parametrize("name", pack_names())
def test_every_number_of_a_pack_is_found(name: str) -> None:
    pack = load(pack_text(name), name)
    roots = [each.node for each in pack.defined.values()] + [node for rule in pack.rules for node in nodes_of(rule)]
    numbers = {id(node): node for root in roots for node in walk(root) if isinstance(node, nodes.Number)}
    assert sorted(each.value for each in builtin_limits(name)) == sorted(each.value for each in numbers.values())


@pytest.mark.parametrize("name", pack_names())
def test_every_number_has_an_entry_and_every_entry_a_number(name: str) -> None:
    assert limits.matched(name).faults == ()


def test_the_page_of_numbers_is_fresh() -> None:
    assert limits.PAGE.read_text(encoding="utf-8") == limits.page(), "python -m tests.limits --write"


def test_where_numbers_stand() -> None:
    told = [
        f"{each.where}: {each.text}" + (" needs none" if each.excepted else "") for each in limits_of(PACK, "trial")
    ]
    assert told == [
        "ceiling, row 1, when: 18 years",
        "ceiling, row 1, when, number 2: 3 kg",
        "ceiling, row 1, is: 8 mL/kg of measured weight",
        "ceiling, row 2, is: 10 mL/kg of measured weight",
        "ceiling, row 2, is, number 2: 0.5",
        "ceiling, row 2, is, number 3: 24 mL/kg of measured weight",
        "body, as: 1 kg needs none",
        "trial.one, when: 0 cmH2O needs none",
        "trial.one, part 1, require: 80",
        "trial.one, part 1, require, number 2: 4 /min",
        "trial.one, part 2, when: 100 % needs none",
        "trial.one, part 2, require: 1",
        "trial.one, stricter: 20 cmH2O",
        "trial.one, stricter, number 2: 15 cmH2O",
    ]


def test_numbers_are_changed_where_they_stand() -> None:
    after = limits_of(changed_by(PACK, limits_of(PACK, "trial"), Fraction(105, 100)), "trial")
    assert [each.value for each in after] == [each.value * Fraction(105, 100) for each in limits_of(PACK, "trial")]


@pytest.mark.parametrize(
    ("value", "text"), [("0.35", "0.35"), ("-2", "-2"), ("8.40", "8.4"), ("0", "0"), ("1e-4", "0.0001")]
)
def test_decimals(value: str, text: str) -> None:
    assert decimal(Fraction(value)) == text


def test_a_third_is_no_decimal() -> None:
    with pytest.raises(ValueError, match="no decimal"):
        decimal(Fraction(1, 3))


def test_entries_of_whole_terms_cover_all(tmp_path: Path) -> None:
    assert found(WHOLE, tmp_path).faults == ()


@pytest.mark.parametrize(
    ("entry", "fault"),
    [
        ("{ of: ceiling, row: 1, published: 8 mL/kg, source: s, seen: read }", None),
        ("{ of: ceiling, row: 1, published: 0.008 L/kg of measured weight, source: s, seen: digest }", None),
        ("{ rule: trial.one, in: stricter, nth: 2, published: 15 cmH2O, source: s, seen: memory }", None),
        ("{ of: ceiling, row: 1, in: when, nth: all, unpublished: a reason }", None),
        ("{ of: ceiling, row: 1, published: 7 mL/kg, source: s, seen: read }", "the pack has 8 mL/kg"),
        ("{ of: ceiling, row: 1, published: 8 mL/kg of predicted weight, source: s, seen: read }", "the pack has 8"),
        ("{ of: ceiling, row: 1, published: 8 L, source: s, seen: read }", "the pack has 8 mL/kg"),
        ("{ of: ceiling, row: 1, nth: 2, unpublished: a reason }", "matches no number"),
        ("{ of: cieling, unpublished: a reason }", "matches no number"),
        ("{ of: body, unpublished: a reason }", "matches no number"),
        ("{ rule: trial.one, in: when, published: 0 cmH2O, source: s, seen: read }", "matches no number"),
        ("{ of: ceiling, unpublished: another reason }", "two entries name 18 years"),
    ],
)
def test_what_an_entry_is_told(entry: str, fault: str | None, tmp_path: Path) -> None:
    faults = found(f"{WHOLE}- {entry}\n", tmp_path).faults
    assert any(fault in each for each in faults) if fault else faults == ()


@pytest.mark.parametrize(
    "entry",
    [
        "{ of: ceiling }",
        "{ of: ceiling, rule: trial.one, unpublished: a reason }",
        "{ of: ceiling, unpublished: }",
        "{ of: ceiling, unpublished: a reason, seen: read }",
        "{ of: ceiling, row: 1, published: 8 mL/kg }",
        "{ of: ceiling, row: 1, published: 8 mL/kg, source: s, seen: perhaps }",
        "{ of: ceiling, row: 1, published: 8 to 10 mL/kg, source: s, seen: read }",
        "{ of: ceiling, row: 1, published: 8 bpm, source: s, seen: read }",
        "{ of: ceiling, row: one, published: 8 mL/kg, source: s, seen: read }",
        "{ of: ceiling, row: 1, nth: all, published: 8 mL/kg, source: s, seen: read }",
        "{ of: ceiling, row: 1, in: say, unpublished: a reason }",
        "{ of: ceiling, of: ceiling, unpublished: a reason }",
    ],
)
def test_an_entry_that_can_t_be_read_is_refused(entry: str, tmp_path: Path) -> None:
    with pytest.raises(EntryError, match="trial"):
        found(f"- {entry}\n", tmp_path)


def test_a_number_without_an_entry_is_told(tmp_path: Path) -> None:
    faults = found("- { of: ceiling, unpublished: a reason }\n", tmp_path).faults
    assert len(faults) == 5 and faults[0] == "trial.one, part 1, require: 80 has no entry"


def test_the_command_tells_who_would_notice(capsys: pytest.CaptureFixture[str]) -> None:
    assert limits.main(["--pack", "mode", "--cases"]) == 0
    told = capsys.readouterr().out
    assert "mode: 2 numbers, 1 published, 1 killed; a case flips for" in told and "0 faults" in told
