"""What `screen --since` chooses: in real git repositories, and held against what screening everything would find."""

import contextlib
import datetime
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rxlint.library.comparing import CannotCompare
from rxlint.library.discover import find_inputs
from rxlint.library.revisions import NoRevision
from rxlint.library.rulings import Rulings
from rxlint.library.screen import screen_inputs
from rxlint.library.since import told
from rxlint.library.since_tree import choose
from rxlint.text import MAX_BYTES
from tests.library.repositories import Repo, repository

DAY = datetime.date(2026, 11, 24)
Choices = list[tuple[str, str]]


def text(kind: str, id: str | None, follows: str | None = None, peep: str = "5", revision: int = 1) -> str:
    head = (f"  id  {id}\n" if id else "") + f"  revision  {revision}\n  status  active\n"
    link = f"  follows  {follows} revision 1\n" if follows else ""
    return f'{kind} "invented"\n{head}{link}settings\n  mode  CPAP\n  PEEP  {peep} cmH2O\n'


def template(id: str, follows: str | None = None, peep: str = "4 to 6", revision: int = 1) -> str:
    return text("template", id, follows, peep, revision)


def order(id: str | None, follows: str | None = None, peep: str = "5") -> str:
    return text("prescription", id, follows, peep)


@pytest.fixture
def repo(tmp_path: Path) -> Iterator[Repo]:
    """A library: `a` and `b` follow `t`, `b` by way of `u`; `c` follows nothing."""
    made = repository(tmp_path / "library")
    made.write("templates/t.vrx", template("t"))
    made.write("templates/u.vrx", template("u", "t"))
    made.write("ward/a.vrx", order("a", "t"))
    made.write("ward/b.vrx", order("b", "u"))
    made.write("home/c.vrx", order("c"))
    made.commit()
    with contextlib.chdir(made.folder):
        yield made


def chosen(*paths: str, since: str = "HEAD", files: tuple[str, ...] = (), nearest: bool = True) -> Choices:
    choice = choose(since, paths or (".",), files=files, nearest=nearest)
    return [(each.shown, reason) for each, reason in zip(choice.inputs, choice.reasons, strict=True)]


def line(*paths: str, files: tuple[str, ...] = ()) -> str:
    return told(choose("HEAD", paths or (".",), files=files), "HEAD")


@pytest.mark.usefixtures("repo")
def test_nothing_is_chosen_where_nothing_changed() -> None:
    assert chosen() == []
    assert line() == "0 of 5 documents: nothing changed since HEAD"


def test_an_order_that_changed_is_chosen_alone(repo: Repo) -> None:
    repo.write("ward/a.vrx", order("a", "t", peep="6"))
    assert chosen() == [("ward/a.vrx", "changed")]
    assert line() == "1 of 5 documents: 1 changed since HEAD"


def test_what_follows_a_changed_template_is_chosen_with_what_follows_that(repo: Repo) -> None:
    repo.write("templates/t.vrx", template("t", peep="4 to 7"))
    assert chosen() == [
        ("templates/t.vrx", "changed"), ("templates/u.vrx", "follows"),
        ("ward/a.vrx", "follows"), ("ward/b.vrx", "follows"),
    ]  # fmt: skip
    assert line() == "4 of 5 documents: 1 changed since HEAD, 3 follow what changed"


def test_a_template_outside_the_paths_counts(repo: Repo) -> None:
    repo.write("templates/t.vrx", template("t", peep="4 to 7"))
    assert chosen("ward") == [("ward/a.vrx", "follows"), ("ward/b.vrx", "follows")]
    assert chosen("home") == []
    assert line("ward/b.vrx") == "1 of 1 document: 1 follows what changed"


def test_the_order_of_the_paths_is_kept(repo: Repo) -> None:
    repo.write("templates/t.vrx", template("t", peep="4 to 7"))
    assert [name for name, _ in chosen("ward", "templates/t.vrx")] == ["ward/a.vrx", "ward/b.vrx", "templates/t.vrx"]


def test_committed_and_uncommitted_untracked_and_ignored_are_changes_alike(repo: Repo) -> None:
    start = repo.git("rev-parse", "HEAD")
    repo.write("ward/a.vrx", order("a", "t", peep="6"))
    repo.commit()
    repo.write(".gitignore", "secret/\n")
    repo.write("secret/e.vrx", order("e"))
    repo.write("ward/d.vrx", order("d"))
    repo.write("home/c.vrx", order("c", peep="6"))
    repo.git("add", "home/c.vrx")
    wanted = ["home/c.vrx", "secret/e.vrx", "ward/a.vrx", "ward/d.vrx"]
    assert chosen(since=start) == [(name, "changed") for name in wanted]


def test_what_follows_a_template_that_is_gone_is_chosen(repo: Repo) -> None:
    (repo.folder / "templates/t.vrx").unlink()
    assert chosen() == [(name, "follows") for name in ("templates/u.vrx", "ward/a.vrx", "ward/b.vrx")]
    assert line() == "3 of 4 documents: 3 follow what changed; 1 is gone"
    assert line("ward") == "2 of 2 documents: 2 follow what changed"


def test_what_followed_an_identifier_that_changed_is_chosen(repo: Repo) -> None:
    repo.write("templates/t.vrx", template("t-new"))
    assert ("ward/a.vrx", "follows") in chosen()


def test_a_newer_revision_beside_the_old_one_concerns_what_follows(repo: Repo) -> None:
    repo.write("templates/t2.vrx", template("t", revision=2))
    assert chosen() == [
        ("templates/t.vrx", "related"), ("templates/t2.vrx", "changed"), ("templates/u.vrx", "follows"),
        ("ward/a.vrx", "follows"), ("ward/b.vrx", "follows"),
    ]  # fmt: skip


def test_a_moved_document_is_changed_and_not_gone(repo: Repo) -> None:
    (repo.folder / "home/c.vrx").rename(repo.folder / "ward/c.vrx")
    assert chosen("ward") == [("ward/c.vrx", "changed")]
    assert "gone" not in line("ward", "home" if (repo.folder / "home").exists() else ".")


def test_a_template_that_an_order_left_is_looked_at_again(repo: Repo) -> None:
    repo.write("ward/b.vrx", order("b", "t"))
    assert chosen() == [("templates/t.vrx", "related"), ("templates/u.vrx", "related"), ("ward/b.vrx", "changed")]
    assert "2 have to do with what changed" in line()


def test_a_second_document_of_one_identifier_concerns_the_first(repo: Repo) -> None:
    repo.write("home/twin.vrx", order("c"))
    assert chosen() == [("home/c.vrx", "related"), ("home/twin.vrx", "changed")]


def test_changed_readings_concern_their_order(repo: Repo) -> None:
    repo.write("home/readings.vrx", "readings for a revision 1\nreadings on 2026-11-20 08:00\n  SpO2  95 %\n")
    assert chosen() == [("home/readings.vrx", "changed"), ("ward/a.vrx", "related")]


def test_a_template_of_another_library_concerns_nobody_here(repo: Repo) -> None:
    repo.write("study/rxlint.yaml", "library: .\n")
    repo.write("study/t.vrx", template("t"))
    repo.write("study/d.vrx", order("d", "t"))
    repo.commit()
    repo.write("templates/t.vrx", template("t", peep="4 to 7"))
    assert "study/d.vrx" not in dict(chosen())
    repo.commit()
    repo.write("study/t.vrx", template("t", peep="4 to 7"))
    assert {"study/t.vrx", "study/d.vrx"} <= dict(chosen()).keys()


def test_a_ring_comes_to_an_end(repo: Repo) -> None:
    repo.write("templates/t.vrx", template("t", "u"))
    assert len(chosen()) == 4


# ---- what holds for a folder


@pytest.fixture
def ward(repo: Repo) -> Repo:
    """The library, whose ward has settings that name a file of each kind."""
    named = (
        "policies: [policy.yaml]\npacks: [pack.yaml]\nprofiles: [profiles]\nknown findings: known.txt\nlibrary: ..\n"
    )
    repo.write("ward/rxlint.yaml", named)
    for name in ("policy.yaml", "pack.yaml", "profiles/one.yaml", "known.txt"):
        repo.write(f"ward/{name}", "a\n")
    repo.commit()
    return repo


@pytest.mark.parametrize("name", ["policy.yaml", "pack.yaml", "profiles/one.yaml", "known.txt"])
def test_all_under_changed_settings_is_chosen(name: str, ward: Repo) -> None:
    path = ward.folder / "ward" / name
    ward.write(f"ward/{name}", path.read_text("utf-8") + "# changed\n")
    assert chosen() == [("ward/a.vrx", "settings"), ("ward/b.vrx", "settings")]
    assert line() == f"2 of 5 documents: 2 stand under settings that changed (ward/{name.removesuffix('/one.yaml')})"


def test_changed_settings_may_name_another_library_too(ward: Repo) -> None:
    path = ward.folder / "ward/rxlint.yaml"
    path.write_text(path.read_text("utf-8").replace("library: ..", "library: ."), "utf-8")
    assert dict(chosen()) == {
        "templates/t.vrx": "related", "templates/u.vrx": "related", "ward/a.vrx": "settings", "ward/b.vrx": "settings",
    }  # fmt: skip


def test_a_profile_that_comes_or_goes_is_a_change(ward: Repo) -> None:
    ward.write("ward/profiles/two.yaml", "b\n")
    assert [name for name, _ in chosen()] == ["ward/a.vrx", "ward/b.vrx"]
    ward.commit()
    assert chosen() == []
    ward.write("ward/profiles/notes.txt", "no profile\n")
    assert chosen() == []
    (ward.folder / "ward/profiles/one.yaml").unlink()
    assert [name for name, _ in chosen()] == ["ward/a.vrx", "ward/b.vrx"]


def test_a_list_that_comes_or_goes_is_a_change(ward: Repo) -> None:
    (ward.folder / "ward/known.txt").unlink()
    assert len(chosen()) == 2
    ward.commit()
    assert chosen() == []
    ward.write("ward/known.txt", "b\n")
    assert len(chosen()) == 2


def test_a_policy_that_is_gone_leaves_settings_that_can_t_be_used(ward: Repo) -> None:
    (ward.folder / "ward/policy.yaml").unlink()
    assert [name for name, _ in chosen()] == ["ward/a.vrx", "ward/b.vrx"]
    assert "ward/rxlint.yaml, which can't be used" in line()
    ward.commit()
    assert len(chosen()) == 2, "what can't be used is told at every run"


def test_settings_that_changed_and_can_t_be_used_are_named_once(ward: Repo) -> None:
    ward.write("ward/rxlint.yaml", "policies: [missing.yaml]\n")
    assert line().count("ward/rxlint.yaml") == 1
    assert "(ward/rxlint.yaml, which can't be used)" in line()


def test_settings_that_come_or_go_may_part_a_library(ward: Repo) -> None:
    ward.write("templates/rxlint.yaml", "library: .\n")
    assert dict(chosen()) == {
        "templates/t.vrx": "settings", "templates/u.vrx": "settings", "ward/a.vrx": "follows", "ward/b.vrx": "follows",
    }  # fmt: skip
    ward.commit()
    (ward.folder / "templates/rxlint.yaml").unlink()
    assert dict(chosen()).keys() == {"templates/t.vrx", "templates/u.vrx", "ward/a.vrx", "ward/b.vrx"}


def test_a_policy_further_up_counts_where_the_settings_build_on_it(ward: Repo) -> None:
    ward.write("rxlint.yaml", "policies: [wide.yaml]\n")
    ward.write("wide.yaml", "a\n")
    ward.write("home/rxlint.yaml", "above: yes\n")
    ward.commit()
    ward.write("wide.yaml", "b\n")
    assert dict(chosen()).keys() == {"home/c.vrx", "templates/t.vrx", "templates/u.vrx"}


def test_a_policy_behind_a_link_is_taken_for_changed(ward: Repo) -> None:
    ward.write("ward/real.yaml", "a\n")
    (ward.folder / "ward/policy.yaml").unlink()
    (ward.folder / "ward/policy.yaml").symlink_to("real.yaml")
    ward.commit()
    assert len(chosen()) == 2


def test_settings_above_the_work_tree_are_taken_for_changed(repo: Repo) -> None:
    repo.write("rxlint.yaml", "policies: [policy.yaml]\n")
    repo.write("policy.yaml", "a\n")
    repo.git("config", "core.worktree", repo.folder / "ward")
    with contextlib.chdir(repo.folder / "ward"):
        repo.git("--work-tree=ward", "add", "--all")
        repo.git("--work-tree=ward", "commit", "--quiet", "--message", "the ward alone")
        assert chosen() == [("a.vrx", "settings"), ("b.vrx", "settings")]


def test_files_of_the_command_line_hold_for_everything(ward: Repo, tmp_path: Path) -> None:
    ward.write("network.yaml", "a\n")
    assert [reason for _, reason in chosen(files=("network.yaml",))] == ["settings"] * 5
    ward.commit()
    assert chosen(files=("network.yaml",)) == []
    (tmp_path / "outside.yaml").write_text("a\n", "utf-8")
    assert chosen(files=("../outside.yaml",)) == []
    assert line(files=("../outside.yaml",)).endswith(
        "nothing changed since HEAD; whether ../outside.yaml changed can't be told, outside the repository"
    )


def test_without_settings_nothing_follows_and_nothing_else_holds(ward: Repo) -> None:
    ward.write("templates/t.vrx", template("t", peep="4 to 7"))
    ward.write("ward/policy.yaml", "b\n")
    assert chosen(nearest=False) == [("templates/t.vrx", "changed")]


# ---- what can't be read, and what can't be compared


def test_what_can_t_be_read_is_always_chosen(repo: Repo) -> None:
    repo.write("ward/large.vrx", "x" * (MAX_BYTES + 1))
    (repo.folder / "ward/gone.vrx").symlink_to("nothing")
    repo.commit()
    assert chosen() == [("ward/gone.vrx", "unread"), ("ward/large.vrx", "unread")]
    assert line() == "2 of 7 documents: 2 can't be read"
    (repo.folder / "empty").mkdir()
    assert chosen("empty") == [("empty", "unread")]


def test_line_ends_of_a_checkout_are_no_change(repo: Repo) -> None:
    path = repo.folder / "ward/a.vrx"
    written = path.read_bytes()
    path.write_bytes(written.replace(b"\n", b"\r\n"))
    assert chosen() == []
    path.write_bytes(written.replace(b"\n", b"\r\n", 1))
    assert chosen() == [("ward/a.vrx", "changed")]


def test_a_file_that_the_clone_lacks_is_told(repo: Repo) -> None:
    name = repo.git("rev-parse", "HEAD:templates/t.vrx")
    (repo.folder / ".git" / "objects" / name[:2] / name[2:]).unlink()
    assert chosen("ward") == []
    repo.write("templates/t.vrx", template("t-new"))
    with pytest.raises(NoRevision, match=r"templates/t\.vrx: the repository does not hold this file"):
        chosen("ward")


@pytest.mark.usefixtures("repo")
def test_there_must_be_something_to_compare_with(tmp_path: Path) -> None:
    with pytest.raises(NoRevision, match="the repository has no revision nowhere"):
        chosen(since="nowhere")
    with pytest.raises(NoRevision, match="names no revision"):
        chosen(since="--output=x")
    with pytest.raises(CannotCompare, match=r"ward/z\.vrx is not there"):
        chosen("ward/z.vrx")
    (tmp_path / "other").mkdir()
    with pytest.raises(CannotCompare, match="does not lie in the repository"):
        chosen(".", "../other")
    with contextlib.chdir(tmp_path / "other"), pytest.raises(NoRevision, match="not a git repository"):
        chosen()


def test_a_shallow_clone_is_told(repo: Repo, tmp_path: Path) -> None:
    first = repo.git("rev-parse", "HEAD")
    repo.write("ward/a.vrx", order("a", "t", peep="6"))
    repo.commit()
    repo.git("clone", "--quiet", "--depth", "1", f"file://{repo.folder}", tmp_path / "shallow")
    with contextlib.chdir(tmp_path / "shallow"), pytest.raises(NoRevision, match="this clone is shallow"):
        chosen(since=first)


# ---- held against screening everything

NAMES = ("t.vrx", "u.vrx", "ward/a.vrx", "ward/b.vrx", "ward/c.vrx")


def document(name: str) -> st.SearchStrategy[str]:
    """A document that mostly fits where it stands: `t` and `u` are templates, and the others follow one of them."""
    stem = Path(name).stem
    kinds = ("template", "template", "prescription") if stem in "tu" else ("prescription", "prescription", "template")
    follows = (None, None, "t", "a") if stem == "t" else ("t", "t", None, "u", "a")
    return st.builds(
        text,
        st.sampled_from(kinds),
        st.sampled_from((stem, stem, stem, stem, None, "t", "a")),
        st.sampled_from(follows),
        st.sampled_from(("5", "7", "4 to 6")),
        st.sampled_from((1, 1, 1, 2)),
    )


SETTINGS = st.sampled_from(["library: .\n", "library: ..\n"])
library = st.fixed_dictionaries({name: document(name) for name in NAMES}, optional={"ward/rxlint.yaml": SETTINGS})
# One file becomes another one, or goes: the others stay, and only these can show that a choice is too narrow.
edits = st.one_of(
    *[st.fixed_dictionaries({name: st.none() | document(name) | document(name)}) for name in NAMES],
    st.fixed_dictionaries({"ward/rxlint.yaml": st.none() | SETTINGS}),
)


def state(repo: Repo, files: dict[str, str]) -> dict[str, list[tuple[str, str]]]:
    """Make the work tree hold these files, and what is found in each when everything is screened."""
    for name in (*NAMES, "ward/rxlint.yaml"):
        (repo.folder / name).unlink(missing_ok=True)
    for name, content in files.items():
        repo.write(name, content)
    screened = screen_inputs(find_inputs([str(repo.folder)]), Rulings(), DAY)
    return {
        os.path.relpath(each.shown, repo.folder): sorted((found.rule, found.level) for found in each.screening.findings)
        for each in screened
        if each.screening is not None
    }


@given(library, edits)
@settings(max_examples=max(12, settings().max_examples // 4), suppress_health_check=[*HealthCheck], deadline=None)
def test_whatever_is_found_anew_is_found_in_what_is_chosen(
    tmp_path_factory: pytest.TempPathFactory, before: dict[str, str], edited: dict[str, str | None]
) -> None:
    repo = repository(tmp_path_factory.mktemp("any") / "library")
    old = state(repo, before)
    repo.commit()
    new = state(repo, {name: text for name, text in {**before, **edited}.items() if text is not None})
    choice = choose("HEAD", [str(repo.folder)])
    names = {os.path.relpath(each.shown, repo.folder) for each in choice.inputs}
    differing = {name for name, found in new.items() if found != old.get(name)}
    assert differing <= names
