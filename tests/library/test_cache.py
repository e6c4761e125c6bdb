"""What changes while a run goes on is never kept under what it was before."""

import time
from pathlib import Path

import pytest

from rxlint.commands.running import made
from rxlint.library import cache as caching
from rxlint.library.cache import Cache
from rxlint.library.discover import find_inputs
from rxlint.library.entry import Entry
from rxlint.library.rulings import Rulings
from rxlint.library.run import Run
from rxlint.library.under import Asked
from rxlint.store.kept import VARIABLE
from rxlint.store.results import Results
from tests.cli.orders import SOUND
from tests.cli.test_cache import policy
from tests.documents import DAY

ASKED = Asked(DAY.isoformat())
PROGRAM = "a state of the program"


@pytest.fixture(autouse=True)
def _apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, str(tmp_path / "kept"))
    monkeypatch.setattr(caching, "program_key", lambda: PROGRAM)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "orders"
    place.mkdir()
    (place / "a.vrx").write_text(SOUND)
    (place / "site.yaml").write_text(policy(4))
    (place / "rxlint.yaml").write_text("policies: [site.yaml]\n")
    time.sleep(0.05)
    return place


def started() -> Run:
    return Run(Rulings, DAY, made, cache=Cache(Results(), PROGRAM, ASKED, time.time_ns()))


def go_on(run: Run, folder: Path) -> list[object]:
    """The results of a run that may have looked around before; and what it found is kept."""
    found: list[object] = list(run.results(find_inputs([str(folder)]), lambda: pytest.fail("no stream")))
    run.close()
    return found


def told(results: list[object]) -> list[str]:
    (entry,) = results
    assert isinstance(entry, Entry)
    return [line.split("[")[-1].split("]")[0] for line in entry.pieces.text.splitlines() if line.startswith("\0")]


def test_an_unchanged_document_is_found_again(folder: Path) -> None:
    first, second = started(), started()
    assert told(go_on(first, folder)) == ["site.peep"]
    assert first.is_loaded
    assert told(go_on(second, folder)) == ["site.peep"]
    assert not second.is_loaded


def test_a_policy_that_changes_in_a_run_is_kept_under_neither(folder: Path) -> None:
    go_on(started(), folder)
    (folder / "a.vrx").write_text(SOUND + "# a comment\n")
    run = started()
    assert run.cache is not None
    assert run.cache.under(folder) is not None  # it has looked at the policy, and has not loaded it
    (folder / "site.yaml").write_text(policy(6))
    assert told(go_on(run, folder)) == []
    (folder / "site.yaml").write_text(policy(4))
    time.sleep(0.05)
    again = started()
    assert told(go_on(again, folder)) == ["site.peep"]
    assert again.is_loaded, "it was screened under another policy than this one"


def test_a_policy_that_changed_as_the_run_began_is_nothing_to_rest_on(folder: Path) -> None:
    run = started()
    (folder / "site.yaml").write_text(policy(3))
    go_on(run, folder)
    time.sleep(0.05)
    again = started()
    go_on(again, folder)
    assert again.is_loaded


def test_a_program_that_changes_in_a_run_is_kept_under_neither(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(caching, "program_key", lambda: "another state")
        go_on(started(), folder)
    again = started()
    go_on(again, folder)
    assert again.is_loaded
