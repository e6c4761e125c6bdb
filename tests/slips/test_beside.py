"""Slips that show beside another file: the scenes are sound, what is stored is heard, and every rule is reached.

The whole is `python -m tests.slips --beside`. Here every slip is made, and a part of them is screened; which part,
changes with the rules.
"""

from functools import cache

import pytest

from rxlint.screening.ruleset import builtin_rules
from tests.slips import beside, reach
from tests.slips.harness import digest_of_rules
from tests.slips.scene import PROBLEM, Heard, Scene, SceneSlip, fitting, heard

_PART = 9  # every so many slips are screened
_AGAIN = f"the study is stale: run `{beside.COMMAND}`"


@cache
def rows() -> tuple[beside.Row, ...]:
    return beside.read_rows()[1]


def test_the_results_are_those_of_these_files_and_kinds() -> None:
    assert beside.read_rows()[0] == beside.digest(), _AGAIN
    assert [(kind.name, slip.told) for kind, slip in beside.slips()] == [(row.kind, row.told) for row in rows()]


def test_a_part_of_the_slips_gives_what_is_recorded() -> None:
    start = int(digest_of_rules(), 16) % _PART
    part = list(zip(beside.slips(), rows(), strict=True))[start::_PART]
    wrong = [(row, now) for (kind, slip), row in part if (now := beside.row_of(kind, slip)) != row]
    assert len(part) > 20
    assert wrong == [], _AGAIN


def test_the_page_is_the_stored_one() -> None:
    assert beside.PAGE.read_text("utf-8") == beside.page(rows()), _AGAIN


def test_what_is_stored_is_read_back() -> None:
    assert beside.stored(rows(), beside.digest()) == beside.RESULTS.read_text("utf-8")


@pytest.mark.parametrize("scene", list(beside.sound_scenes()), ids=lambda scene: f"{scene.order}-{len(scene.files)}")
def test_nothing_speaks_before_a_slip_is_made(scene: Scene) -> None:
    said = heard(scene)
    assert (said.rules, said.problems) == (frozenset(), ())


def test_every_kind_applies_and_something_of_it_is_told() -> None:
    told = {row.kind for row in rows() if row.fitting}
    assert told == {kind.name for kind in beside.KINDS}


def test_a_slip_is_told_only_by_a_rule_that_fits() -> None:
    slip = SceneSlip(Scene({}), "", ("change.", PROBLEM))
    said = Heard(frozenset(["change.alone", "pressure.peak-high"]), frozenset(["change.basis"]), ())
    assert fitting(slip, said) == {"change.alone", "change.basis"}
    assert fitting(slip, Heard(frozenset(), frozenset(), ("it can't be read",))) == {PROBLEM}


# ---- every rule
def test_every_rule_is_reached_by_a_slip() -> None:
    assert reach.unreached() == []


def test_a_rule_is_listed_as_unreached_only_while_it_is() -> None:
    assert set(reach.NOT_REACHED) <= set(builtin_rules().order) - set(reach.reached())
    assert all(reason.strip() for reason in reach.NOT_REACHED.values())


def test_every_rule_that_is_sought_among_seeded_slips_is_heard_there() -> None:
    assert set(reach.by_seeded()) == set(reach.SEEDED)
