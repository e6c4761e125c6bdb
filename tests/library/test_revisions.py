"""Documents against a revision of a real git repository: what is renamed, new, gone - and what git must never run."""

import contextlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from rxlint.library.comparing import CannotCompare, Pair, pairs_since
from rxlint.library.revisions import NoRevision, Repository, name_of
from rxlint.text import MAX_BYTES, Problem
from tests.library.repositories import Repo, order, repository, without_id


@pytest.fixture
def repo(tmp_path: Path) -> Iterator[Repo]:
    made = repository(tmp_path / "orders")
    with contextlib.chdir(made.folder):
        yield made


def told(pairs: list[Pair]) -> list[tuple[str | None, str | None]]:
    return [(each.old.place if each.old else None, each.new.place if each.new else None) for each in pairs]


# ---- which is which


def test_only_what_is_not_as_it_was_is_told(repo: Repo) -> None:
    repo.write("a.vrx", order("TM-1"))
    repo.write("b.vrx", order("TM-2"))
    repo.write("notes.txt", "no document")
    repo.commit()
    repo.write("b.vrx", order("TM-2", peep="6"))
    repo.write("notes.txt", "no document either")
    (pair,) = pairs_since("HEAD", ["."])
    assert told([pair]) == [("b.vrx", "b.vrx")] and not pair.is_renamed
    assert pair.old is not None and pair.old.shown == "HEAD:b.vrx"
    assert pair.old.data == order("TM-2").encode()


def test_a_document_is_followed_by_its_identifier_however_much_of_it_changed(repo: Repo) -> None:
    repo.write("a.vrx", order("TM-1"))
    repo.commit()
    (repo.folder / "a.vrx").unlink()
    repo.write("ward/b.vrx", 'prescription "All anew"\n  id TM-1\nsettings\n  mode CPAP\n')
    (pair,) = pairs_since("HEAD", ["."])
    assert told([pair]) == [("a.vrx", "ward/b.vrx")] and pair.is_renamed


def test_a_document_without_an_identifier_is_followed_by_its_text(repo: Repo) -> None:
    repo.write("a.vrx", without_id(order()))
    repo.write("b.vrx", 'prescription "Something else"\nsettings\n  mode CPAP\n')
    repo.commit()
    (repo.folder / "a.vrx").rename(repo.folder / "c.vrx")
    repo.write("c.vrx", without_id(order(peep="6")))
    assert told(pairs_since("HEAD", ["."])) == [("a.vrx", "c.vrx")]


def test_two_identifiers_are_two_documents_however_alike(repo: Repo) -> None:
    repo.write("a.vrx", order("TM-1"))
    repo.commit()
    (repo.folder / "a.vrx").unlink()
    repo.write("b.vrx", order("TM-2"))
    assert told(pairs_since("HEAD", ["."])) == [(None, "b.vrx"), ("a.vrx", None)]


def test_two_that_change_places_are_followed(repo: Repo) -> None:
    repo.write("a.vrx", order("TM-1"))
    repo.write("b.vrx", order("TM-2", peep="6"))
    repo.commit()
    repo.write("a.vrx", order("TM-2", peep="6"))
    repo.write("b.vrx", order("TM-1"))
    assert sorted(told(pairs_since("HEAD", ["."]))) == [("a.vrx", "b.vrx"), ("b.vrx", "a.vrx")]


def test_a_copy_is_new_and_what_it_was_copied_from_is_as_it_was(repo: Repo) -> None:
    repo.write("a.vrx", order("TM-1"))
    repo.commit()
    repo.write("copy.vrx", order("TM-1"))
    assert told(pairs_since("HEAD", ["."])) == [(None, "copy.vrx")]


def test_what_is_gone_is_told_of_the_paths_alone(repo: Repo) -> None:
    repo.write("ward/a.vrx", order("TM-1"))
    repo.write("home/b.vrx", order("TM-2"))
    repo.write("ward-two/c.vrx", order("TM-3"))
    repo.commit()
    for name in ("ward/a.vrx", "home/b.vrx", "ward-two/c.vrx"):
        (repo.folder / name).unlink()
    assert told(pairs_since("HEAD", ["ward"])) == [("ward/a.vrx", None)]


def test_what_came_from_outside_the_paths_is_followed(repo: Repo) -> None:
    repo.write("home/b.vrx", order("TM-2"))
    repo.write("ward/a.vrx", order("TM-1"))
    repo.commit()
    (repo.folder / "home/b.vrx").rename(repo.folder / "ward/b.vrx")
    assert told(pairs_since("HEAD", ["ward"])) == [("home/b.vrx", "ward/b.vrx")]


def test_a_single_file_may_be_named(repo: Repo) -> None:
    repo.write("a.vrx", order("TM-1"))
    repo.write("b.vrx", order("TM-2"))
    repo.commit()
    repo.write("a.vrx", order("TM-1", peep="6"))
    repo.write("b.vrx", order("TM-2", peep="6"))
    assert told(pairs_since("HEAD", ["b.vrx"])) == [("b.vrx", "b.vrx")]


def test_an_empty_folder_shows_what_is_gone(repo: Repo) -> None:
    repo.write("a.vrx", order("TM-1"))
    repo.commit()
    (repo.folder / "a.vrx").unlink()
    assert told(pairs_since("HEAD", ["."])) == [("a.vrx", None)]


@pytest.mark.parametrize(
    "name",
    [
        "a b.vrx",
        "-a.vrx",
        "--output=x.vrx",
        "a\nb.vrx",
        'a"b\\c.vrx',
        "\u00e4.vrx",
        ":(top)a.vrx",
        "HEAD:a.vrx",
        "*.vrx",
    ],
)
def test_names_are_names_whatever_stands_in_them(name: str, repo: Repo) -> None:
    repo.write(name, order("TM-1"))
    repo.commit()
    repo.write(name, order("TM-1", peep="6"))
    assert told(pairs_since("HEAD", ["."])) == [(name, name)]


def test_line_ends_that_a_checkout_changes_leave_the_document_readable(repo: Repo) -> None:
    repo.write("a.vrx", order())
    repo.commit()
    repo.write("a.vrx", order().replace("\n", "\r\n"))
    (pair,) = pairs_since("HEAD", ["."])
    assert pair.old is not None and pair.new is not None
    assert not isinstance(pair.new.read, Problem) and not isinstance(pair.old.read, Problem)


def test_links_and_submodules_of_a_revision_are_no_documents(repo: Repo) -> None:
    repo.write("a.vrx", order())
    (repo.folder / "link.vrx").symlink_to("a.vrx")
    repo.commit()
    commit = repo.git("rev-parse", "HEAD")
    repo.git("update-index", "--add", "--cacheinfo", f"160000,{commit},sub.vrx")
    repo.git("commit", "--quiet", "--message", "a submodule")
    found = Repository(repo.folder)
    assert [each.path for each in found.files(found.commit("HEAD"), ".vrx")] == ["a.vrx"]


def test_a_file_that_is_too_large_is_a_problem_and_not_read(repo: Repo) -> None:
    repo.write("a.vrx", order() + "#" * (MAX_BYTES + 1))
    repo.commit()
    repo.write("a.vrx", order())
    (pair,) = pairs_since("HEAD", ["."])
    assert pair.old is not None and isinstance(pair.old.data, Problem)
    assert "too large" in pair.old.data.message


def test_a_name_is_what_git_calls_it(repo: Repo) -> None:
    path = repo.write("a.vrx", order())
    name = repo.git("hash-object", "--", path)
    assert name_of(path.read_bytes(), name) == name


# ---- nothing to compare with


def test_a_shallow_clone_says_that_it_lacks_the_revision(repo: Repo, tmp_path: Path) -> None:
    repo.write("a.vrx", order())
    first = repo.commit()
    repo.write("a.vrx", order(peep="6"))
    repo.commit()
    clone = tmp_path / "clone"
    repo.git("clone", "--quiet", "--depth", "1", f"file://{repo.folder}", clone)
    with contextlib.chdir(clone), pytest.raises(NoRevision, match=f"shallow and does not hold {first}.*unshallow"):
        pairs_since(first, ["."])
    with contextlib.chdir(clone):
        assert pairs_since("HEAD", ["."]) == []


@pytest.mark.parametrize("revision", ["nowhere", "HEAD~1", "HEAD:a.vrx", "refs/heads/none"])
def test_a_revision_that_is_not_there_is_told(revision: str, repo: Repo) -> None:
    repo.write("a.vrx", order())
    repo.commit()
    with pytest.raises(NoRevision, match=f"the repository has no revision {revision}"):
        pairs_since(revision, ["."])


@pytest.mark.parametrize("revision", ["--output=made", "-h", "", "HEAD\0"])
def test_an_option_is_no_revision(revision: str, repo: Repo) -> None:
    repo.write("a.vrx", order())
    repo.commit()
    with pytest.raises(NoRevision, match="names no revision"):
        pairs_since(revision, ["."])
    assert not (repo.folder / "made").exists()


def test_a_folder_without_a_repository_is_told(tmp_path: Path) -> None:
    with contextlib.chdir(tmp_path), pytest.raises(NoRevision, match="not a git repository"):
        pairs_since("HEAD", ["."])


@pytest.mark.usefixtures("repo")
def test_a_missing_git_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    with pytest.raises(NoRevision, match="needs the program git"):
        pairs_since("HEAD", ["."])


def test_a_git_of_the_current_folder_is_not_run(repo: Repo, monkeypatch: pytest.MonkeyPatch) -> None:
    path = repo.write("git", "#!/bin/sh\ntouch ran\n")
    path.chmod(0o755)
    monkeypatch.setenv("PATH", ".")
    with pytest.raises(NoRevision, match="needs the program git"):
        pairs_since("HEAD", ["."])
    assert not (repo.folder / "ran").exists()


def test_paths_of_another_place_are_refused(repo: Repo, tmp_path: Path) -> None:
    repo.write("a.vrx", order())
    repo.commit()
    (tmp_path / "other").mkdir()
    with pytest.raises(CannotCompare, match="does not lie in the repository"):
        pairs_since("HEAD", [".", str(tmp_path / "other")])
    with pytest.raises(CannotCompare, match="is not there"):
        pairs_since("HEAD", ["nothing.vrx"])


def test_the_environment_leads_to_no_other_repository(
    repo: Repo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repo.write("a.vrx", order())
    repo.commit()
    other = repository(tmp_path / "other")
    other.write("b.vrx", order("TM-9"))
    other.commit()
    repo.write("a.vrx", order(peep="6"))
    monkeypatch.setenv("GIT_DIR", str(other.folder / ".git"))
    monkeypatch.setenv("GIT_WORK_TREE", str(other.folder))
    assert told(pairs_since("HEAD", ["."])) == [("a.vrx", "a.vrx")]


# ---- a repository that wants something run


def trap(repo: Repo, *, passes: bool = True) -> str:
    """A program that leaves a mark where it is run, and ``passes`` on what it is given."""
    path = repo.folder.parent / "trap"
    then = "cat" if passes else "exit 1"
    path.write_text(f"#!/bin/sh\ntouch {repo.folder.parent / 'ran'}\n{then}\n", "utf-8")
    path.chmod(0o755)
    return str(path)


def was_run(repo: Repo) -> bool:
    mark = repo.folder.parent / "ran"
    found = mark.exists()
    mark.unlink(missing_ok=True)
    return found


SETTINGS = {
    "monitor": ({"core.fsmonitor": "{trap}"}, ["status"]),
    "filter": (
        {"filter.x.clean": "{trap}", "filter.x.smudge": "{trap}", "filter.x.required": "true"},
        ["diff", "HEAD"],
    ),
    "converter": ({"diff.x.textconv": "{trap}"}, ["diff", "HEAD"]),
    "external diff": ({"diff.external": "{trap}"}, ["diff", "HEAD"]),
    "driver": ({"diff.x.command": "{trap}"}, ["diff", "HEAD"]),
    "alias": ({"alias.look": "!{trap}"}, ["look"]),
}


@pytest.mark.parametrize("name", SETTINGS)
def test_nothing_that_the_repository_names_is_run(name: str, repo: Repo) -> None:
    settings, live = SETTINGS[name]
    program = trap(repo)
    repo.write("a.vrx", order())
    repo.write("b.vrx", order("TM-2"))
    repo.commit()
    repo.write(".gitattributes", "*.vrx filter=x diff=x\n")
    for key, value in settings.items():
        repo.git("config", key, value.format(trap=program))
    repo.write("a.vrx", order(peep="6"))
    (repo.folder / "b.vrx").rename(repo.folder / "c.vrx")
    repo.git(*live, check=False)
    assert was_run(repo), "the trap is not live, so this test would prove nothing"
    assert sorted(told(pairs_since("HEAD", ["."]))) == [("a.vrx", "a.vrx"), ("b.vrx", "c.vrx")]
    assert not was_run(repo)


def test_hooks_are_not_run(repo: Repo) -> None:
    program = Path(trap(repo))
    repo.write("a.vrx", order())
    repo.commit()
    hooks = repo.folder / ".git" / "hooks"
    hooks.mkdir(exist_ok=True)
    for name in ("post-checkout", "post-index-change", "pre-commit", "reference-transaction"):
        (hooks / name).symlink_to(program)
    repo.write("a.vrx", order(peep="6"))
    repo.git("commit", "--all", "--quiet", "--message", "x", check=False)
    assert was_run(repo), "the trap is not live, so this test would prove nothing"
    repo.write("a.vrx", order(peep="7"))
    assert told(pairs_since("HEAD", ["."])) == [("a.vrx", "a.vrx")]
    assert not was_run(repo)


def test_a_clone_that_lacks_files_fetches_none(repo: Repo) -> None:
    program = trap(repo, passes=False)
    path = repo.write("a.vrx", order())
    name = repo.git("hash-object", "--", path)
    repo.commit()
    (repo.folder / ".git" / "objects" / name[:2] / name[2:]).unlink()
    for key, value in {
        "core.repositoryFormatVersion": "1",
        "extensions.partialClone": "evil",
        "remote.evil.url": f"ext::{program}",
        "remote.evil.promisor": "true",
        "protocol.ext.allow": "always",
    }.items():
        repo.git("config", key, value)
    repo.git("cat-file", "-p", name, check=False)
    assert was_run(repo), "the trap is not live, so this test would prove nothing"
    repo.write("a.vrx", order(peep="6"))
    (pair,) = pairs_since("HEAD", ["."])
    assert not was_run(repo)
    assert pair.old is not None and isinstance(pair.old.data, Problem)
    assert "the clone is not complete" in pair.old.data.message


def test_a_repository_that_says_it_lies_elsewhere_is_refused(repo: Repo, tmp_path: Path) -> None:
    repo.write("a.vrx", order())
    repo.commit()
    (tmp_path / "elsewhere").mkdir()
    repo.git("config", "core.worktree", tmp_path / "elsewhere")
    with pytest.raises((CannotCompare, NoRevision)):
        pairs_since("HEAD", ["."])


def test_a_replaced_file_is_not_taken_for_the_one_of_the_revision(repo: Repo) -> None:
    path = repo.write("a.vrx", order())
    true = repo.git("hash-object", "--", path)
    repo.commit()
    repo.write("b.vrx", order(peep="9"))
    false = repo.git("hash-object", "-w", "--", repo.folder / "b.vrx")
    (repo.folder / "b.vrx").unlink()
    repo.git("replace", true, false)
    repo.write("a.vrx", order(peep="6"))
    (pair,) = pairs_since("HEAD", ["."])
    assert pair.old is not None and pair.old.data == order().encode()
