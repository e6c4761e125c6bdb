"""A library inside another: templates of the one around it, by the key `library`; and copies without any library."""

from pathlib import Path

import pytest

from rxlint.library.index import Index
from rxlint.library.roots import Libraries
from rxlint.library.settings import read_settings
from tests.conftest import RunCli
from tests.library.test_follows import ON, ORDER, TEMPLATE, told

SHARED = "library: ..\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A checkout: a library with a template, and in it a ward with settings of its own and an order."""
    (tmp_path / ".git").mkdir()
    (tmp_path / "templates").mkdir()
    (tmp_path / "ward" / "orders").mkdir(parents=True)
    (tmp_path / "rxlint.yaml").write_text("library: .\n", "utf-8")
    (tmp_path / "ward" / "rxlint.yaml").write_text("policies: []\n", "utf-8")
    (tmp_path / "templates" / "t.vrx").write_text(TEMPLATE.format(revision=2), "utf-8")
    (tmp_path / "ward" / "orders" / "out.vrx").write_text(ORDER.format(id="out", peep=7), "utf-8")
    return tmp_path


def test_a_library_in_another_one_is_told_how_to_name_it(folder: Path, run_cli: RunCli) -> None:
    found = run_cli("screen", "ward/orders/out.vrx", *ON).stdout
    assert "t revision 2 is not in the library; ward/rxlint.yaml makes this a library of its own" in found
    assert "can name the one around it: `library: ..` [library.follows-unknown]" in found
    (folder / "ward" / "rxlint.yaml").write_text("library: .\n", "utf-8")  # meant to be one of its own: no advice
    found = run_cli("screen", "ward/orders/out.vrx", *ON).stdout
    assert "t revision 2 is not in the library [library.follows-unknown]" in found


def test_a_library_follows_the_templates_of_the_one_that_it_names(folder: Path, run_cli: RunCli) -> None:
    (folder / "ward" / "rxlint.yaml").write_text(SHARED, "utf-8")
    out = [("ward/orders/out.vrx", "outside-template", 7)]
    assert told(run_cli, "ward/orders/out.vrx") == told(run_cli, "ward") == told(run_cli, ".") == out
    assert "(templates/t.vrx:6)" in run_cli("screen", "ward", *ON).stdout


def test_both_are_one_library_then(folder: Path, run_cli: RunCli) -> None:
    """Templates of the ward are followed too, ids that stand in both are found, and what the ward follows is used."""
    (folder / "ward" / "rxlint.yaml").write_text(SHARED, "utf-8")
    (folder / "ward" / "w.vrx").write_text(TEMPLATE.format(revision=1).replace("id  t", "id  w"), "utf-8")
    own = ORDER.format(id="own", peep=7).replace("t revision 2", "w revision 1")
    (folder / "ward" / "orders" / "own.vrx").write_text(own, "utf-8")
    (folder / "out.vrx").write_text(ORDER.format(id="out", peep=5), "utf-8")
    found = set(told(run_cli, "."))
    assert ("ward/orders/own.vrx", "outside-template", 7) in found
    assert {("out.vrx", "repeated-id", 2), ("ward/orders/out.vrx", "repeated-id", 2)} <= found
    assert not any(rule == "template-unused" for _, rule, _ in found)
    assert Index(folder).by_id.keys() == {"t", "w", "own", "out"}


@pytest.mark.parametrize("named", ["../..", "/", "../../ward", "away"])
def test_a_shared_library_lies_in_the_same_repository(named: str, folder: Path) -> None:
    (folder / "ward" / "away").symlink_to(folder.parent)
    (folder / "ward" / "rxlint.yaml").write_text(f"library: {named}\n", "utf-8")
    settings, problems = read_settings(folder / "ward" / "rxlint.yaml", "rxlint.yaml")
    assert settings is None
    assert [each.message for each in problems] == [f"library: {named} leads out of the repository, or nowhere"]


def test_a_folder_that_does_not_hold_the_document_is_never_searched_as_a_whole(folder: Path) -> None:
    (folder / "ward" / "rxlint.yaml").write_text("library: ../templates\n", "utf-8")
    settings, _ = read_settings(folder / "ward" / "rxlint.yaml", "rxlint.yaml")
    view = Libraries().view(folder / "ward" / "orders" / "out.vrx", settings, folder)
    assert view is not None and not view.is_searched and view.template_ids() == {"t"}


# ---- no library at all


def test_a_copy_by_itself_says_that_its_template_was_not_looked_up(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "copy").mkdir()
    (tmp_path / "copy" / "a.vrx").write_text(ORDER.format(id="a", peep=7), "utf-8")
    for path in ("copy/a.vrx", "copy"):
        assert told(run_cli, path) == [("copy/a.vrx", "not-looked-up", 5)]
    found = run_cli("screen", "copy", "--coverage", *ON).stdout
    assert "note: t revision 2 was not looked up, and nothing was compared with it: no library here" in found
    assert "not checked     library.outside-template  no library here" in found
    assert "not checked     library.follows-unknown  no library here" in found


def test_a_template_that_is_missing_where_there_is_a_library_is_a_reject(tmp_path: Path, run_cli: RunCli) -> None:
    """Settings, a checkout or a template beside it make a library."""
    order = tmp_path / "copy" / "a.vrx"
    order.parent.mkdir()
    order.write_text(ORDER.format(id="a", peep=7), "utf-8")
    for made in ("rxlint.yaml", ".git"):
        (tmp_path / made).write_text("library: .\n", "utf-8")
        assert told(run_cli, "copy/a.vrx") == [("copy/a.vrx", "follows-unknown", 5)]
        (tmp_path / made).unlink()
    (order.parent / "u.vrx").write_text(TEMPLATE.format(revision=1).replace("id  t", "id  u"), "utf-8")
    assert told(run_cli, "copy/a.vrx") == [("copy/a.vrx", "follows-unknown", 5)]
