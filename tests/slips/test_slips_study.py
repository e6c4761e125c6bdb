"""The study of seeded slips as it is told in README.md is the one that the examples, the kinds and the rules give.

The whole takes minutes: `python -m tests.slips --check`. Here every slip is made, and a part of them is screened; which
part, changes with the rules, so that no slip stays unseen through many changes.
"""

from functools import cache
from pathlib import Path

import pytest

from rxlint.screening.ruleset import builtin_rules
from tests.slips import table
from tests.slips.harness import (
    CRASHED,
    ELSEWHERE,
    FOUND,
    MISSED,
    UNTELLABLE,
    digest_of_rules,
    digest_of_slips,
    documents,
    findings_of,
    fits,
    judged,
    numbered,
    outcome_of,
    sheet_of,
    slips_of,
)
from tests.slips.kinds import KINDS
from tests.slips.sheet import Sheet, Slip, stripped

_PART = 61  # every so many slips are screened
_AGAIN = "the study is stale: run `python -m tests.slips`"


@cache
def results() -> table.Results:
    return table.read_results(table.RESULTS.read_text("utf-8"))


def test_the_results_are_those_of_these_examples_and_kinds() -> None:
    counted: dict[tuple[str, str], int] = {}
    for path, kind, _, _ in numbered():
        counted[kind.name, path.stem] = counted.get((kind.name, path.stem), 0) + 1
    assert counted == {key: len(letters) for key, letters in results().letters.items()}, _AGAIN
    assert digest_of_slips() == results().slips, _AGAIN


def test_a_part_of_the_slips_gives_what_is_recorded() -> None:
    start = int(digest_of_rules(), 16) % _PART
    wrong = []
    part = list(numbered())[start::_PART]
    for path, kind, at, slip in part:
        outcome = outcome_of(path, kind, slip)
        if outcome.letter != results().letters[kind.name, path.stem][at]:
            wrong.append(
                f"{path.stem}, {kind.name}: {slip.before} -> {slip.after}: now {outcome.letter} {outcome.rules}"
            )
    assert len(part) > 100
    assert wrong == [], _AGAIN


def test_the_table_in_the_readme_is_the_stored_one() -> None:
    assert table.marked_part(table.README.read_text("utf-8")) == table.block(results()), _AGAIN


@pytest.mark.parametrize(
    ("page", "letters"),
    [(table.MISSED_PAGE, MISSED + ELSEWHERE + CRASHED), (table.UNTELLABLE_PAGE, UNTELLABLE)],
    ids=["missed", "untellable"],
)
def test_the_lists_hold_what_is_recorded(page: Path, letters: str) -> None:
    told = page.read_text("utf-8").count("\n- ")
    assert told == sum(each in letters for told in results().letters.values() for each in told), _AGAIN


def test_what_is_stored_is_read_back() -> None:
    assert table.stored(results()) == table.RESULTS.read_text("utf-8")


@pytest.mark.parametrize("path", documents(), ids=lambda path: path.stem)
def test_nothing_speaks_before_a_slip_is_made(path: Path) -> None:
    sheet = sheet_of(path)
    assert findings_of(sheet.name, sheet.text, builtin_rules()) == ()


def test_there_are_kinds_enough_and_each_applies_somewhere() -> None:
    assert len({kind.name for kind in KINDS}) == len(KINDS) >= 34
    assert {kind.name for _, kind, _, _ in numbered()} == {kind.name for kind in KINDS}


def test_few_slips_are_marked_and_each_says_why() -> None:
    assert results().tally().share_untellable <= 15
    assert all(slip.signed.strip() == slip.signed for _, _, _, slip in numbered())


# ---- the harness itself
ORDER = """prescription "x"
  follows  night revision 2
settings
  PEEP  5 cmH2O
  rate  20 /min
alarms
  high rate  30 /min
checked 2026-11-02 16:05 by "second checker" code 0f3a
"""


def test_what_would_give_a_change_away_is_taken_out() -> None:
    told = stripped(ORDER)
    assert "follows" not in told
    assert told.endswith('by "second checker"\n')
    assert sum(a != b for a, b in zip(ORDER.split("\n")[2:], told.split("\n")[1:], strict=True)) == 1


def test_a_finding_counts_only_at_the_slip_and_only_by_a_fitting_rule() -> None:
    text = stripped(ORDER).replace("30 /min", "10 /min")
    (finding,) = (each for each in findings_of("x", text, builtin_rules()) if each.rule == "alarms.crosses-setting")
    here, there = frozenset({finding.place.line}), frozenset({1})
    assert fits(Slip(text, here, "", "", ("alarms.",)), finding)
    assert not fits(Slip(text, there, "", "", ("alarms.",)), finding)
    assert not fits(Slip(text, here, "", "", ("oxygen.", "alarms.order")), finding)
    assert judged(Slip(text, here, "", "", ("alarms.",), "so"), [finding]) == FOUND
    assert judged(Slip(text, there, "", "", ("alarms.",), "so"), [finding]) == ELSEWHERE
    assert judged(Slip(text, here, "", "", ("alarms.",), "so"), []) == UNTELLABLE
    assert judged(Slip(text, here, "", "", ("alarms.",)), []) == MISSED


def test_every_slip_changes_the_text_and_stands_on_a_line_of_it() -> None:
    for path, kind, _, slip in numbered():
        sheet = sheet_of(path)
        assert slip.text != sheet.text, kind.name
        last = slip.text.count("\n") + 1
        assert all(1 <= line <= last for line in slip.lines), (path.stem, kind.name, slip.before)


def test_a_lost_line_moves_the_lines_below_it() -> None:
    sheet = Sheet("x", ORDER)
    slip = sheet.without(3, 4, (), [1, 4, 6])
    assert slip.lines == {1, 4}
    assert slip.text.split("\n")[3] == sheet.lines[5]


def test_slips_come_in_the_same_order_each_time() -> None:
    path = documents()[0]
    assert all(slips_of(path, kind) == slips_of.__wrapped__(path, kind) for kind in KINDS)
