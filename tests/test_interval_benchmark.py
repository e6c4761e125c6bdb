"""The benchmark of searches: templates that are what they say, and a count that misses no search."""

import random
import sys
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).resolve().parent / "benchmarks"))

import intervals
from library import CLOCK
from ranged import MOST_RANGES, MOST_TABLES, moved, template

from rxlint.screening import engine
from tests.documents import all_facts, document, first_rules, screen

EXAMPLES = Path(__file__).resolve().parent.parent / "examples" / "templates"


@pytest.mark.parametrize(
    ("ranges", "tables", "rows"), [(0, 0, 3), (10, 0, 3), (MOST_RANGES, 0, 3), (10, 3, 3), (10, MOST_TABLES, 6)]
)
def test_a_template_has_the_ranges_and_tables_asked_for(ranges: int, tables: int, rows: int) -> None:
    text = template(ranges, tables, rows)
    found = all_facts(text)
    assert len(found) == (rows if tables else 1)
    for facts in found:
        assert len(facts.axes) == ranges + (tables + 1 if tables else 0)  # tables bring their key
    assert [each.rule for each in screen(text).findings if each.rule.startswith("notation.")] == []


def test_examples_are_moved_alike_for_the_same_seed_and_can_be_read() -> None:
    text = (EXAMPLES / "tracheostomy-night.vrx").read_text("utf-8")
    first, again, other = (moved(text, random.Random(seed)) for seed in (1, 1, 2))
    assert first == again != text and other not in (first, text)
    for each in (first, other):
        lines = [(old, new) for old, new in zip(text.split("\n"), each.split("\n"), strict=True) if old != new]
        assert 3 < len(lines) < 40
        assert not any(entry.event.name.startswith("unit") for entry in document(each).reported)


def test_every_search_is_counted_and_the_budget_holds() -> None:
    read, rules = document(template(10, 3)), first_rules()
    probe = intervals.Probe()
    with intervals.watched(probe, 2):
        engine.screen_document(read, rules, CLOCK)
    assert 0 < probe.outcomes.total() == sum(each.is_rule for each in probe.asked)
    assert probe.boxes == sum(each.boxes for each in probe.asked)
    assert probe.most == max(each.boxes for each in probe.asked if each.is_rule) <= 2
    assert all(each.again(2).outcome == each.outcome for each in probe.asked)


def test_what_a_budget_buys_only_grows() -> None:
    searches = intervals.by_repetition([3, 30])
    outcomes = [[each.answers[budget][0] for budget in (3, 30)] for each in searches]
    assert {few for few, _ in outcomes} == {"undecided", "can break"}
    assert ["undecided", "met"] in outcomes
    assert all(few in ("undecided", many) for few, many in outcomes)
