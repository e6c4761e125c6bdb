"""Neovim with the settings that examples/editors/README.md shows: found, corrected, told, typed, completed."""

from pathlib import Path
from typing import Any

import pytest

from tests.editor.clients.running import (
    Desk,
    block,
    corrected_as_chosen,
    desk,
    program,
    session,
    shown_at_its_place,
    told_of_peep,
)

_WARNING = 2  # vim.diagnostic.severity.WARN


@pytest.fixture(scope="module")
def at(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    program("nvim")
    return desk(tmp_path_factory.mktemp("neovim"))


@pytest.fixture(scope="module")
def seen(at: Desk) -> dict[str, Any]:
    """One session, for a start takes seconds."""
    settings = at.home / "init.lua"
    settings.write_text(block("neovim"), "utf-8")
    drive = Path(__file__).with_name("drive.lua")
    found = session(at, [program("nvim"), "--headless", "-u", str(settings), "-i", "NONE", "-n", "-S", str(drive)])
    late = [what for what, is_so in found["waits"].items() if not is_so]
    assert not late, f"waited for in vain: {late}; {found}"
    return found


def test_a_finding_stands_at_its_place(seen: dict[str, Any]) -> None:
    (found,) = seen["found"]
    shown_at_its_place(found, _WARNING)
    assert found["source"] == "rxlint"


def test_corrections_are_offered_and_the_one_that_is_chosen_is_made(at: Desk, seen: dict[str, Any]) -> None:
    corrected_as_chosen(at, seen)


def test_hover_tells_what_stands_under_the_cursor(seen: dict[str, Any]) -> None:
    told_of_peep(seen["hover"])


def test_findings_follow_what_is_typed(seen: dict[str, Any]) -> None:
    assert seen["typed_text"] == "  PEEP                  7 cmH2Ox"
    assert any("cmH2Ox" in each["message"] and each["line"] == 41 for each in seen["typed"])
    assert seen["taken_back"] == []


def test_one_server_serves_a_library(at: Desk, seen: dict[str, Any]) -> None:
    assert [each["name"] for each in seen["clients"]] == ["rxlint"]
    assert [Path(each["root"]).resolve() for each in seen["clients"]] == [at.library.resolve()]


def test_terms_are_completed(seen: dict[str, Any]) -> None:
    assert any(each.startswith("PaCO2") for each in seen["completions"])


def test_the_kind_of_file_is_known(seen: dict[str, Any]) -> None:
    assert (seen["filetype"], seen["commentstring"]) == ("vrx", "# %s")
