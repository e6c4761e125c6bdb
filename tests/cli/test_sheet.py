"""`rxlint sheet`: pages and where they are written, the index of a folder, exit codes, and what is refused."""

import importlib
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from tests.cli.orders import ON, REJECT, SLIP, SOUND, changed
from tests.conftest import ROOT, RunCli
from tests.library.repositories import Repo, repository
from tests.reports.sheet.pages import Element, read

pytest.importorskip("jinja2")

UNREAD = b"prescription \xff\n"
HOLM = str(ROOT / "examples" / "profiles" / "holm.yaml")


def put(folder: Path, **texts: str | bytes) -> None:
    """Write documents by their stems; two underscores stand for a folder."""
    for name, text in texts.items():
        path = folder / f"{name.replace('__', '/')}.vrx"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())


def page(path: Path) -> Element:
    return read(path.read_text("utf-8"))


def files(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


# ---- one document


@pytest.mark.parametrize(
    ("text", "options", "code"),
    [
        (SOUND, (), 0),
        (SLIP, (), 1),
        (SLIP, ("--fail-at", "reject"), 0),
        (REJECT, ("--fail-at", "reject"), 1),
        (REJECT, ("--fail-at", "never"), 0),
        (UNREAD, (), 3),
    ],
    ids=["sound", "query", "query passes", "reject", "never", "unread"],
)
def test_exit_codes_are_those_of_a_screening_and_the_page_is_written(
    text: str | bytes, options: tuple[str, ...], code: int, tmp_path: Path, run_cli: RunCli
) -> None:
    put(tmp_path, a=text)
    found = run_cli("sheet", "a.vrx", "-o", "a.html", *ON, *options)
    assert found.exit_code == code == run_cli("screen", "a.vrx", *ON, *options).exit_code
    assert found.stdout == "a.html: sheet of a.vrx\n"
    assert page(tmp_path / "a.html").by_id("own").all("h2")
    assert ("a.vrx: unread: " in found.stderr) == (code == 3)


def test_a_file_that_is_not_there_is_unread_and_gets_a_page_that_says_so(tmp_path: Path, run_cli: RunCli) -> None:
    found = run_cli("sheet", "no.vrx", "-o", "no.html", *ON)
    assert found.exit_code == 3
    assert "could not be read" in page(tmp_path / "no.html").by_id("unread").words


def test_a_fault_in_the_settings_is_usage_and_nothing_is_written(tmp_path: Path, run_cli: RunCli) -> None:
    put(tmp_path, a=SOUND)
    (tmp_path / "rxlint.yaml").write_text("policies: 7\n", "utf-8")
    assert run_cli("sheet", "a.vrx", "-o", "a.html", *ON).exit_code == 2
    assert files(tmp_path) == ["a.vrx", "rxlint.yaml"]
    assert run_cli("sheet", "a.vrx", "-o", "a.html", "--settings", "none", *ON).exit_code == 0


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("a.vrx", "-o", "a.txt"), "ends in .html"),
        (("a.vrx", "-o", "a.vrx"), "ends in .html"),
        (("a.vrx", "-o", "a.pdf"), "give --pdf"),
        (("a.vrx",), "Missing option '-o'"),
        (("a.vrx", "-o", "a.html", "--before", "a.vrx", "--since", "HEAD"), "not both"),
        (("a.vrx", "-o", "a.html", "--before", "no.vrx"), "is not there"),
        (("a.vrx", "-o", "no/a.html"), "can't be written"),
        (("a.vrx", "-o", "a.html", "--ventilator", "Nobody"), "no profile of the ventilator Nobody"),
        (("a.vrx", "-o", "mine.html"), "is no sheet of rxlint"),
        ((".", "-o", "mine.html"), "can't be made a folder"),
    ],
)
def test_faults_of_usage(arguments: tuple[str, ...], told: str, tmp_path: Path, run_cli: RunCli) -> None:
    put(tmp_path, a=SOUND)
    (tmp_path / "mine.html").write_text("<p>mine</p>", "utf-8")
    found = run_cli("sheet", *arguments, *ON)
    assert found.exit_code == 2
    assert told in " ".join(found.stderr.split())
    assert files(tmp_path) == ["a.vrx", "mine.html"]
    assert (tmp_path / "mine.html").read_text("utf-8") == "<p>mine</p>"


def test_a_sheet_is_written_anew_over_an_older_one(tmp_path: Path, run_cli: RunCli) -> None:
    put(tmp_path, a=SOUND)
    assert run_cli("sheet", "a.vrx", "-o", "a.html", *ON).exit_code == 0
    before = (tmp_path / "a.html").read_bytes()
    assert run_cli("sheet", "a.vrx", "-o", "a.html", *ON).exit_code == 0
    assert (tmp_path / "a.html").read_bytes() == before, "the same document on the same day gives the same page"
    put(tmp_path, a=SLIP)
    run_cli("sheet", "a.vrx", "-o", "a.html", *ON)
    assert (tmp_path / "a.html").read_bytes() != before


@pytest.mark.parametrize(("missing", "options", "extra"), [("jinja2", (), "sheet"), ("weasyprint", ("--pdf",), "pdf")])
def test_a_missing_library_is_told_with_its_extra(
    missing: str,
    options: tuple[str, ...],
    extra: str,
    tmp_path: Path,
    run_cli: RunCli,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    put(tmp_path, a=SOUND)
    real = importlib.import_module

    def without(name: str, package: str | None = None) -> Any:
        if name == missing:
            raise ImportError(name)
        return real(name, package)

    monkeypatch.setattr(importlib, "import_module", without)
    found = run_cli("sheet", "a.vrx", "-o", "a.pdf" if options else "a.html", *options, *ON)
    assert found.exit_code == 2
    assert f"install rxlint[{extra}]" in found.stderr and files(tmp_path) == ["a.vrx"]


# ---- what it holds beside


def test_the_last_revision_is_compared_with(tmp_path: Path, run_cli: RunCli) -> None:
    put(tmp_path, old=SOUND, new=changed("rise time             150 ms", "rise time             200 ms"))
    run_cli("sheet", "new.vrx", "-o", "a.html", "--before", "old.vrx", *ON)
    changes = page(tmp_path / "a.html").by_id("changes").words
    assert "rise time" in changes and "150 ms" in changes and "200 ms" in changes
    run_cli("sheet", "old.vrx", "-o", "b.html", "--before", "old.vrx", *ON)
    assert "It says the same as old.vrx." in page(tmp_path / "b.html").by_id("changes").words


def test_an_earlier_revision_that_can_t_be_read_is_unread(tmp_path: Path, run_cli: RunCli) -> None:
    put(tmp_path, old=UNREAD, new=SOUND)
    assert run_cli("sheet", "new.vrx", "-o", "a.html", "--before", "old.vrx", *ON).exit_code == 3
    assert "could not be compared" in page(tmp_path / "a.html").by_id("changes").words


def test_a_revision_of_the_repository_is_compared_with(tmp_path: Path, run_cli: RunCli) -> None:
    repo: Repo = repository(tmp_path / "orders")
    put(repo.folder, a=SOUND, b=SOUND.replace("TM-0417", "TM-0418"))
    repo.git("add", ".")
    repo.git("commit", "--quiet", "-m", "first")
    put(repo.folder, a=changed("rise time             150 ms", "rise time             200 ms"))
    found = run_cli("sheet", "orders", "-o", "pages", "--since", "HEAD", *ON, "--fail-at", "never")
    assert found.exit_code == 0, found.stderr
    assert "200 ms" in page(tmp_path / "pages" / "a.html").by_id("changes").words
    assert "the same as in revision HEAD" in page(tmp_path / "pages" / "b.html").by_id("changes").words


def test_what_is_gone_since_a_revision_is_told(tmp_path: Path, run_cli: RunCli) -> None:
    put(tmp_path, old__a=SOUND, old__b=SOUND.replace("TM-0417", "TM-0418"), new__a=SOUND)
    found = run_cli("sheet", "new", "-o", "pages", "--before", "old", *ON)
    assert found.stdout.splitlines() == [
        "old/b.vrx: is gone, and has no sheet", "pages/index.html: 1 document of new"
    ]  # fmt: skip


def test_a_fault_of_ours_is_told_and_the_others_get_their_pages(
    tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    from rxlint.reports.sheet.content_own import own_check

    put(tmp_path / "orders", a=SOUND, b=SOUND.replace("TM-0417", "TM-0418"))

    def failing(document: Any, sums: Any) -> Any:
        if document.source.text() == SOUND:
            raise ZeroDivisionError("of a test")
        return own_check(document, sums)

    monkeypatch.setattr("rxlint.reports.sheet.content.own_check", failing)
    found = run_cli("sheet", "orders", "-o", "pages", *ON)
    assert found.exit_code == 3
    assert "no sheet could be made, through a fault of this program: ZeroDivisionError: of a test" in found.stderr
    assert "ZeroDivisionError" in page(tmp_path / "pages" / "a.html").by_id("unread").words
    assert "ZeroDivisionError" in page(tmp_path / "pages" / "index.html").of_class("is-unread")[0].words
    assert page(tmp_path / "pages" / "b.html").by_id("sums").all("li")


def test_a_set_up_list_is_added(tmp_path: Path, run_cli: RunCli) -> None:
    put(tmp_path, a=SOUND)
    found = run_cli("sheet", "a.vrx", "-o", "a.html", "--profile", HOLM, "--ventilator", "holm", *ON)
    assert found.exit_code in (0, 1), found.stderr
    listed = page(tmp_path / "a.html").by_id("set-up")
    assert "for the ventilator Holm" in listed.words and len(listed.all("tr")) > 5


# ---- a folder


@pytest.fixture
def _library(tmp_path: Path) -> None:
    folder = tmp_path / "orders"
    named = {"a": SOUND, "deep__b": SLIP, "deep__index": REJECT, "A": SOUND, "index": SOUND}
    orders = {name: text.replace("TM-0417", f"TM-{number}") for number, (name, text) in enumerate(named.items())}
    put(folder, c=UNREAD, **orders)


@pytest.mark.usefixtures("_library")
def test_a_folder_gets_a_page_for_each_document_and_an_index(tmp_path: Path, run_cli: RunCli) -> None:
    found = run_cli("sheet", "orders", "-o", "pages", *ON)
    assert found.exit_code == 3, "one of them can't be read"
    pages = files(tmp_path / "pages")
    assert pages == [
        "A.html", "a-2.html", "c.html", "deep/b.html", "deep/index.html", "index-2.html", "index.html"
    ]  # fmt: skip
    index = page(tmp_path / "pages" / "index.html")
    links = [each.attributes["href"] for each in index.by_id("documents").all("a")]
    assert sorted(links) == sorted(set(pages) - {"index.html"})
    rows = {row.all("a")[0].attributes["href"]: row for row in index.by_id("documents").all("tr")[1:]}
    assert "is-unread" in rows["c.html"].attributes["class"] and "unread" in rows["c.html"].words
    assert "is-query" in rows["deep/b.html"].attributes["class"] and "query" in rows["deep/b.html"].words
    assert "is-reject" in rows["deep/index.html"].attributes["class"]
    assert "TM-1" in rows["deep/b.html"].words and "active" in rows["deep/b.html"].words


@pytest.mark.usefixtures("_library")
def test_the_index_is_whole_without_a_script_and_its_filters_are_radio_buttons(tmp_path: Path, run_cli: RunCli) -> None:
    run_cli("sheet", "orders", "-o", "pages", *ON)
    text = (tmp_path / "pages" / "index.html").read_text("utf-8")
    index = read(text)
    assert not index.all("script") and "default-src &#39;none&#39;" in text
    for each in index.all("input"):
        assert each.attributes["type"] == "radio"
        (label,) = [other for other in index.all("label") if other.attributes["for"] == each.attributes["id"]]
        assert label.words
        name = each.attributes["id"]
        assert name.endswith("-all") or f":has(#{name}:checked)" in text, "a filter that does nothing"
    assert {each.attributes["id"] for each in index.all("input") if "checked" in each.attributes} == {
        "state-all", "kind-all"
    }  # fmt: skip


@pytest.mark.usefixtures("_library")
def test_other_files_of_the_folder_stay_and_are_never_overwritten(tmp_path: Path, run_cli: RunCli) -> None:
    out = tmp_path / "pages"
    out.mkdir()
    (out / "notes.txt").write_text("mine", "utf-8")
    run_cli("sheet", "orders", "-o", "pages", *ON)
    assert (out / "notes.txt").read_text("utf-8") == "mine"
    (out / "c.html").write_text("<p>mine</p>", "utf-8")
    found = run_cli("sheet", "orders", "-o", "pages", *ON)
    assert found.exit_code == 2 and "c.html is there already" in found.stderr
    assert (out / "c.html").read_text("utf-8") == "<p>mine</p>"


def test_nothing_is_written_outside_of_the_folder(tmp_path: Path, run_cli: RunCli) -> None:
    put(tmp_path / "orders", deep__a=SOUND)
    (tmp_path / "outside").mkdir()
    (tmp_path / "pages").mkdir()
    os.symlink(tmp_path / "outside", tmp_path / "pages" / "deep")
    found = run_cli("sheet", "orders", "-o", "pages", *ON)
    assert found.exit_code == 2 and "a link leads out of pages" in found.stderr
    assert files(tmp_path / "outside") == []


def test_a_page_that_is_a_link_is_replaced_and_what_it_leads_to_stays(tmp_path: Path, run_cli: RunCli) -> None:
    put(tmp_path / "orders", a=SOUND)
    run_cli("sheet", "orders", "-o", "pages", *ON)
    other = tmp_path / "other.html"
    shutil.move(tmp_path / "pages" / "a.html", other)
    before = other.read_bytes()
    os.symlink(other, tmp_path / "pages" / "a.html")
    put(tmp_path / "orders", a=SLIP)
    run_cli("sheet", "orders", "-o", "pages", *ON)
    assert other.read_bytes() == before and not (tmp_path / "pages" / "a.html").is_symlink()


def test_an_empty_folder_has_an_index_and_is_unread(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "orders").mkdir()
    found = run_cli("sheet", "orders", "-o", "pages", *ON)
    assert found.exit_code == 3 == run_cli("screen", "orders", *ON).exit_code
    assert files(tmp_path / "pages") == ["index.html"]
    assert "holds no document" in page(tmp_path / "pages" / "index.html").words


# ---- paper


SMALL = """prescription "x"
  id        TM-9104
  revision  2
patient
  age  50 years
settings
  mode  A/C-PC
  PEEP  5 cmH2O
"""


def test_a_pdf_names_the_order_and_the_page_on_each_page(tmp_path: Path, run_cli: RunCli) -> None:
    pytest.importorskip("weasyprint")
    put(tmp_path, a=SMALL)
    found = run_cli("sheet", "a.vrx", "-o", "a.pdf", "--pdf", "--fail-at", "never", *ON)
    assert found.exit_code == 0, found.stderr
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF-")
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext reads what a PDF says")
    text = subprocess.run(["pdftotext", "-layout", tmp_path / "a.pdf", "-"], capture_output=True, check=True).stdout
    pages = text.decode("utf-8").rstrip("\f\n").split("\f")
    assert len(pages) >= 2
    for number, each in enumerate(pages, 1):
        assert "TM-9104, revision 2" in each and f"Page {number} of {len(pages)}" in each
    assert "not to be used alone" in pages[0] and "Findings" not in pages[0]
