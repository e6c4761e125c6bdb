"""The same documents give the same reports in the page and on the command line, to the byte."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from rxlint.page.views import FORMS
from tests.documents import DAY
from tests.page.desks import RULES, SLIP, SOUND, Page, text_of
from tests.shelf import EXAMPLES


def screened(folder: Path, form: str) -> str:
    """What the command line writes of a folder, in a process of its own."""
    command = [sys.executable, "-m", "rxlint", "screen", "--format", form, "--on", DAY.isoformat(), "--no-cache", "."]
    root = Path(__file__).resolve().parent.parent.parent
    environment = {**os.environ, "HOME": str(folder.parent), "PYTHONPATH": str(root), "NO_COLOR": "1"}
    found = subprocess.run(command, cwd=folder, env=environment, capture_output=True, check=False, timeout=600)
    assert found.returncode in (1, 2, 3), found.stderr
    return found.stdout.decode("utf-8")


def page_with(folder: Path, files: Path) -> Page:
    page = Page(folder)
    paths = sorted(each for each in files.rglob("*") if each.is_file())
    page.bring((each.relative_to(files).as_posix(), each.read_bytes()) for each in paths)
    return page


@pytest.mark.skipif(
    "RXLINT_EVERY_DOCUMENT" not in os.environ, reason="the browser's Python does the same in test_same.py"
)
def test_json_of_all_examples_is_that_of_the_command_line(tmp_path: Path) -> None:
    folder = tmp_path / "cli"
    shutil.copytree(EXAMPLES, folder)
    (tmp_path / "page").mkdir()
    page = page_with(tmp_path / "page", folder)
    assert page.ask("report", format="json")["text"] == screened(folder, "json")


@pytest.fixture(scope="module")
def some(tmp_path_factory: pytest.TempPathFactory) -> tuple[Page, Path]:
    """A few documents, among them one that was changed, one that can't be read and one with a fault in its settings."""
    folder = tmp_path_factory.mktemp("cli")
    for each in (*RULES, SLIP, SOUND, "templates/lung-protective-adult.vrx"):
        (folder / each).parent.mkdir(exist_ok=True)
        shutil.copy(EXAMPLES / each, folder / each)
    (folder / "bad.vrx").write_bytes(b"\xff")
    (folder / "lost").mkdir()
    (folder / "lost/rxlint.yaml").write_text("policies: [nowhere.yaml]\n", "utf-8")
    (folder / "lost/a.vrx").write_text(text_of(SOUND), "utf-8")
    page = page_with(tmp_path_factory.mktemp("page"), folder)
    changed = text_of(SLIP).replace("7 cmH2O", "6 cmH2O")
    page.ask("put", path=SLIP, text=changed)
    (folder / SLIP).write_text(changed, "utf-8")
    return page, folder


@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_that_of_the_command_line(some: tuple[Page, Path], form: str) -> None:
    page, folder = some
    told = page.ask("report", format=form)["text"]
    mine, theirs = page.folder.as_uri(), folder.resolve().as_uri()  # a report that names its folder
    assert told.replace(mine, theirs) == screened(folder, form)


def test_a_form_that_there_is_not_is_refused(some: tuple[Page, Path]) -> None:
    assert some[0].fault("report", format="pdf").startswith("there is no report in the form pdf; there are text, json")
