"""Emacs with eglot and the settings that examples/editors/README.md shows: found, corrected, told, typed, completed."""

import subprocess
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

_HAS_EGLOT = "(progn (require 'package) (package-initialize) (require 'eglot))"


@pytest.fixture(scope="module")
def at(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    emacs = program("emacs")
    asked = [emacs, "--batch", "--eval", _HAS_EGLOT]
    if subprocess.run(asked, capture_output=True, timeout=60, check=False).returncode:
        pytest.skip("this Emacs has no eglot")
    return desk(tmp_path_factory.mktemp("emacs"))


@pytest.fixture(scope="module")
def seen(at: Desk) -> dict[str, Any]:
    """One session at a terminal, for what flymake and eldoc do hangs on the loop that waits for keys."""
    settings = at.home / "init.el"
    settings.write_text(block("emacs"), "utf-8")
    drive = Path(__file__).with_name("drive.el")
    found = session(at, [program("emacs"), "-nw", "-q", "-l", str(settings), "-l", str(drive)])
    late = [what for what, is_so in found.items() if what.startswith("waited for ") and not is_so]
    assert not late, f"{late} in vain; {found}"
    return found


def test_a_finding_stands_at_its_place(seen: dict[str, Any]) -> None:
    (found,) = seen["found"]
    shown_at_its_place(found, "eglot-warning")


def test_corrections_are_offered_and_the_one_that_is_chosen_is_made(at: Desk, seen: dict[str, Any]) -> None:
    corrected_as_chosen(at, seen)


def test_hover_tells_what_stands_at_point(seen: dict[str, Any]) -> None:
    told_of_peep(seen["hover"])


def test_findings_follow_what_is_typed(seen: dict[str, Any]) -> None:
    assert seen["typed line"] == "  PEEP                  7 cmH2Ox"
    assert any("cmH2Ox" in each["message"] and each["line"] == 41 for each in seen["typed"])
    assert seen["taken back"] == []


def test_terms_are_completed(seen: dict[str, Any]) -> None:
    assert any(each.startswith("PaCO2") for each in seen["completions"])


def test_the_kind_of_file_is_known(seen: dict[str, Any]) -> None:
    assert seen["mode"] == "vrx-mode"
    assert seen["colours"] == ["font-lock-comment-face", "font-lock-string-face", "nil"]
