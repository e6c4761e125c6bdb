"""The server of forks, and the program that it runs, shared by the tests of a module."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.cli.programs import Program, copied
from tests.faults.steps import Server, can_look_on


@pytest.fixture(scope="package")
def program(tmp_path_factory: pytest.TempPathFactory) -> Program:
    """A copy of the program that nobody else changes meanwhile."""
    return copied(tmp_path_factory.mktemp("program"))


@pytest.fixture(scope="package")
def server(program: Program, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    if os.name == "nt" or not can_look_on():
        pytest.skip("strace is not here, or may not look on (Debian: apt-get install strace)")
    started = Server(program, tmp_path_factory.mktemp("server"))
    yield started
    started.close()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where a case is run; it is made anew each time."""
    return tmp_path / "work"
