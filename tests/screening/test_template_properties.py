"""Templates drawn over much of the notation, screened whole: what is told of them holds for prescriptions."""

import os
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, seed, settings
from hypothesis import strategies as st

from rxlint.packs.builtin import builtin_packs
from rxlint.screening.engine import Screening
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import prepare
from tests.documents import all_facts, outcome, pack_of, rule_text, screen
from tests.screening.drawn import MONTHS, Free, Template, as_prescription, complete, points, templates, text_of, written

OWN = pack_of(
    rule_text("inspiratory pressure <= 30 cmH2O", id="trial.ceiling", say="{inspiratory pressure}"),
    rule_text("inspiratory pressure - PEEP <= 18 cmH2O", id="trial.driving", say="{inspiratory pressure}"),
    rule_text("supported peak <= mandatory peak + 2 cmH2O", id="trial.support", say="{supported peak}"),
    rule_text("expected tidal volume <= 450 mL", id="trial.volume", say="{expected tidal volume}"),
    rule_text("tidal volume <= 9 mL/kg of measured weight * patient weight", id="trial.weight", say="{tidal volume}"),
    rule_text("expected minute volume <= 8 L/min", id="trial.minute", say="{expected minute volume}"),
    rule_text("rate >= 18 /min", id="trial.young", say="{rate}", when="patient age < 5 years"),
    rule_text("expiratory time >= 1.5 * inspiratory time", id="trial.ratio", say="{expiratory time}"),
    rule_text("(inspiratory pressure - PEEP) / inspiratory pressure >= 40 %", id="trial.repeat", say="{PEEP}"),
    rule_text("rate * inspiratory time <= 45 %", id="trial.duty", say="{duty cycle}", when="PEEP > 4 cmH2O"),
)
AREAS = ("notation", "relation", "mode", "pressure", "timing", "volume", "alarms")
RULES = prepare([*(pack for pack in builtin_packs() if pack.name in AREAS), OWN])
# What a `keep` line or the reader finds is no matter of what is set; some rules ask of nothing else, or of templates.
ASKED = [each.rule.id for each in RULES.rules if not each.rule.as_set_only and "document kind" not in each.reads]
HOLDS = ("met", "does not apply")
SOME = (
    int(os.environ.get("RXLINT_EXAMPLES", "60")) // 3 + 1
)  # a whole template takes as long as several lines of an order


def outcomes(found: Screening) -> dict[str, str]:
    return {row.rule: row.outcome for row in found.coverage.rules if row.rule in ASKED}


def at(template: Template, finding: Finding) -> str | None:
    """The example as a prescription: terms that it does not name at their low end; None where one can't be written."""
    assert finding.example is not None
    starts = {each.band.label: each.axes.get("patient age") for each in all_facts(template.document()) if each.band}
    axis = starts.get((finding.band or "").split(" and ")[0])  # "and 2 other rows": the example is of the first
    age = finding.example.get("patient age")
    start = int(axis.low / _MONTH) if axis is not None else template.ages[0] * MONTHS
    months = _months(age) if age is not None else start
    free = template.at(months)
    values = {each.key: each.marks()[0] if each.value is None else each.value for each in free}
    given_ = {name.removeprefix("alarm ").removeprefix("patient "): text for name, text in finding.example.items()}
    for each in free:
        if each.key in given_:
            values[each.key] = Decimal(given_[each.key].split(" ")[0].removeprefix("1:"))
    complete(template, months, values)
    if template.kept is not None and values[template.kept] < 0:
        return None
    told = {each.key: each.told(values[each.key]) + each.after for each in free}
    for each in free:
        if each.key in given_ and each.key != template.kept:
            text = given_[each.key]
            told[each.key] = text if text.endswith(each.after) else text + each.after
    return written(template, age or f"{months} months", told)


_DAY = 86_400
_MONTH = 31_557_600 // 12
_SECONDS = {"year": 12 * _MONTH, "month": _MONTH, "week": 7 * _DAY, "day": _DAY}


def _months(age: str) -> int:
    """Full months of an age as it is told."""
    words = age.split(" ")
    parts = zip(words[::2], words[1::2], strict=True)
    return sum(int(Decimal(number) * _SECONDS[unit.rstrip("s")]) for number, unit in parts) // _MONTH


@seed(20261101)
@settings(max_examples=SOME)
@given(templates())
def test_an_example_that_is_shown_breaks_its_rule_as_a_prescription(template: Template) -> None:
    for finding in screen(template.document(), RULES).findings:
        if finding.example is None or finding.rule not in ASKED:
            continue
        assert finding.outcome in ("broken", "can break")
        order = at(template, finding)
        if order is not None:
            after = screen(order, RULES)
            assert not [each for each in after.findings if each.rule.startswith("notation.")], order
            assert outcome(after, finding.rule) == "broken", (finding, order)


@seed(20261102)
@settings(max_examples=SOME)
@given(templates(), st.data())
def test_no_point_of_a_template_breaks_what_is_met(template: Template, data: st.DataObject) -> None:
    met = {rule for rule, found in outcomes(screen(template.document(), RULES)).items() if found in HOLDS}
    for _ in range(4):
        drawn = data.draw(points(template))
        if drawn is None or (template.kept is not None and drawn[1][template.kept] < 0):
            continue
        order = as_prescription(template, *drawn)
        there = outcomes(screen(order, RULES))
        assert {rule: there[rule] for rule in met if there[rule] not in HOLDS} == {}, order


@seed(20261103)
@settings(max_examples=SOME)
@given(templates(), st.data())
def test_a_narrower_range_breaks_nothing_that_was_met(template: Template, data: st.DataObject) -> None:
    met = {rule for rule, found in outcomes(screen(template.document(), RULES)).items() if found == "met"}
    rows = [row.free for rows in template.tables for row in rows]
    chosen = data.draw(st.sampled_from([*template.free, *rows]))
    narrow = template.narrowed(chosen, data.draw(st.sampled_from(chosen.marks())))
    there = outcomes(screen(narrow.document(), RULES))
    assert {rule: there[rule] for rule in met if there[rule] not in HOLDS} == {}


# Exact by definition: 1 cmH2O = 98.0665 Pa, the conventional water column.
UNITS: dict[str, dict[str, Decimal]] = {
    "cmH2O": {"cmH2O": Decimal(1), "mbar": Decimal("0.980665"), "Pa": Decimal("98.0665"), "kPa": Decimal("0.0980665")},
    "s": {"s": Decimal(1), "ms": Decimal(1000), "seconds": Decimal(1)},
    "mL": {"mL": Decimal(1), "L": Decimal("0.001")},
    "mL/kg": {"mL/kg": Decimal(1), "L/kg": Decimal("0.001")},
    "kg": {"kg": Decimal(1), "g": Decimal(1000)},
    "/min": {"/min": Decimal(1), "breaths/min": Decimal(1)},
    ":": {":": Decimal(1)},
}


def rewritten(free: Free, data: st.DataObject) -> str:
    """A value with its numbers in another unit, exactly, or under another name of the unit."""
    if free.unit == ":":
        return free.text()
    other, factor = data.draw(st.sampled_from(list(UNITS[free.unit].items())))
    words = [f"{(Decimal(word) * factor).normalize():f}" if word[0].isdigit() else word for word in free.text().split()]
    return " ".join(other if word == free.unit else word for word in words)


def everything(found: Screening) -> dict[str, str]:
    """The outcome of every rule but those of how a line is written."""
    return {row.rule: row.outcome for row in found.coverage.rules if not row.rule.startswith("notation.")}


@seed(20261104)
@settings(max_examples=SOME)
@given(templates(), st.data())
def test_an_exact_change_of_unit_or_an_alias_changes_no_outcome(template: Template, data: st.DataObject) -> None:
    years = data.draw(st.sampled_from(("years", "months")))
    other = text_of(template.lines(lambda free: rewritten(free, data), years))
    assert everything(screen(other, RULES)) == everything(screen(template.document(), RULES))


@seed(20261105)
@settings(max_examples=SOME)
@given(templates(), st.data())
def test_comments_blank_lines_and_capitals_change_no_finding(template: Template, data: st.DataObject) -> None:
    more: list[str] = []
    for line in template.document().splitlines():
        more += data.draw(st.sampled_from(((), ("",), ("# PEEP 90 cmH2O", "   "))))
        key, space, value = line.strip().partition(" ")
        louder = key.upper() if key.islower() and key not in ("keep", "template") and data.draw(st.booleans()) else key
        tail = data.draw(st.sampled_from(("", "  # as before", "   ")))
        more.append(line[: len(line) - len(line.lstrip())] + (louder + space + value) + tail)
    plain, other = screen(template.document(), RULES), screen("\n".join(more) + "\n", RULES)
    assert everything(other) == everything(plain)
    assert [(each.rule, each.message) for each in other.findings] == [
        (each.rule, each.message) for each in plain.findings
    ]


@seed(20261106)
@settings(max_examples=1)
@given(st.lists(templates(), min_size=2, max_size=2))
def test_two_runs_give_the_same_report_byte_for_byte(
    tmp_path_factory: pytest.TempPathFactory, drawn: list[Template]
) -> None:
    folder = tmp_path_factory.mktemp("drawn")
    for number, template in enumerate(drawn):
        (folder / f"{number}.vrx").write_text(template.document(), "utf-8")
    assert report(folder, "json", "1") == report(folder, "json", "2")
    assert report(folder, "text", "3") == report(folder, "text", "4")


def report(folder: Path, kind: str, hash_seed: str) -> bytes:
    more = ["--coverage"] if kind == "text" else []
    command = [sys.executable, "-m", "rxlint", "screen", ".", "--on", "2026-11-24", "--format", kind, *more]
    environment = {**os.environ, "PYTHONHASHSEED": hash_seed}
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, check=False)
    assert done.returncode == 1, done.stderr
    return done.stdout
