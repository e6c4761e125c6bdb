"""What holds for every format: kept reports, the same bytes every time, nothing from outside that a reader acts on."""

import os
import re
import subprocess
import sys

import pytest

from rxlint.commands.reporting import FORMS
from tests.conftest import ROOT
from tests.formats import KEPT, kept, report, to_keep

MACHINE = [form for form in FORMS if form != "text"]
# What a terminal or a browser acts on, or hides.
ACTED_ON = re.compile(
    r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ud800-\udfff\ufffe\uffff]"
)


@pytest.mark.parametrize(("form", "path"), [pytest.param(*each, id=each[0]) for each in kept()])
def test_a_report_is_the_one_that_was_looked_at(form: str, path: object) -> None:
    assert path in set(KEPT.iterdir()), "no report yet: python -m tests.formats --write, then read it"
    assert to_keep(form) == (KEPT / str(path)).read_text("utf-8")


def test_no_report_is_left_without_its_format() -> None:
    assert set(KEPT.iterdir()) == {path for _, path in kept()}


@pytest.mark.parametrize("form", FORMS)
def test_a_run_gives_the_same_report_every_time(form: str) -> None:
    assert report(form) == report(form)


def test_another_process_gives_the_same_reports() -> None:
    """One whose hashes of text are others, and whose day begins elsewhere."""
    program = "import sys; from tests.formats import report; from rxlint.commands.reporting import FORMS\n"
    program += "sys.stdout.buffer.write(''.join(map(report, FORMS)).encode())"
    seed = "2" if os.environ.get("PYTHONHASHSEED") == "1" else "1"
    found = subprocess.run(
        [sys.executable, "-c", program],
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed, "TZ": "Pacific/Auckland"},
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    assert found.stdout.decode() == "".join(map(report, FORMS))


@pytest.mark.parametrize("form", FORMS)
def test_nothing_in_a_report_acts_on_a_terminal(form: str) -> None:
    found = report(form)
    assert "[31m" in found, "the hostile text has not come into the report"
    assert ACTED_ON.findall(found) == []


@pytest.mark.parametrize("form", [form for form in MACHINE if form != "github"])
def test_a_file_for_programs_is_plain_ascii_whatever_the_encoding(form: str) -> None:
    assert report(form).isascii()


@pytest.mark.parametrize("form", FORMS)
def test_a_run_without_documents_is_a_whole_report(form: str) -> None:
    assert report(form, ()).endswith("\n")
