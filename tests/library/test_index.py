"""The index of a library: heads alone are read, and read as the reader reads them; nothing outside is opened."""

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.library import index
from rxlint.library.heads import FIRST, head_in, read_head
from rxlint.library.index import Index
from rxlint.library.roots import Libraries, root_of
from rxlint.library.screen import parse_bytes
from rxlint.library.settings import read_settings
from rxlint.notation.document import read_document
from rxlint.screening.shelf import Head, head_of
from rxlint.text import Problem, read_source
from tests.shelf import EXAMPLES

ORDER = 'prescription "x"\n  id  {id}\n  revision  {revision}\n  status  active\nsettings\n  PEEP  5 cmH2O\n'
TEMPLATE = ORDER.replace("prescription", "template")


def write(path: Path, text: str = ORDER, **said: object) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text.format(**{"id": path.stem, "revision": 1, **said}), "utf-8")
    return path


def read_whole(data: bytes) -> Head:
    document = parse_bytes(data)
    assert not isinstance(document, Problem)
    return head_of(document, "x")


@pytest.mark.parametrize("path", sorted(EXAMPLES.rglob("*.vrx")), ids=lambda path: path.stem)
def test_a_head_is_what_the_reader_reads(path: Path) -> None:
    head = read_head(os.fspath(path), "x")
    assert head == read_whole(path.read_bytes())


LINES = st.sampled_from(
    [
        "  id  a-1",
        "  id a_b",
        "\tid\tA.b  # a remark",
        "  Id  a-1",
        "  id  a b",
        "  id",
        "  id  ä",
        "  id  a,b",
        "  \u0456d  a",
        "  id  a#b",
        "  id  2026-3-1",
        "  revision  3",
        "  revision  03",
        "  revision  3.5",
        "  revision 0",
        "  revision  \u0663",
        "  revision  three",
        "  status  active",
        "  status  Active",
        "  status  draft",
        "  status  withdrawn # x",
        "  status  on",
        "  follows  t revision 3",
        "  follows  t  revision  3",
        "  follows  t",
        "  follows  t revision x",
        "  follows  t Revision 2",
        '  written  2026-11-02 by "a"',
        "  wirtten  2026",
        "  replaces  a-0 revision 1",
        "  # id  comment",
        "",
        "  notation  1",
        "  valid until  2026-11-02",
        "stray",
        "# at the margin",
        "  review by  2026-11-02",
        "  id  a-1\r",
    ]
)


@given(
    st.sampled_from(
        [
            'prescription "x"',
            'template "x"',
            '# remark\ntemplate "x"',
            'prescripton "x"',
            "template",
            "",
            'Template "x"',
            '\ufeffprescription "x"',
        ]
    ),
    st.lists(LINES, max_size=7),
    st.sampled_from(["settings\n  PEEP  5 cmH2O\n", "", "readings\n  rate 12 /min\n"]),
)
def test_the_light_reader_and_the_reader_agree(title: str, lines: list[str], rest: str) -> None:
    """Whatever stands in a head: both tell the same, or the light one leaves it to the reader."""
    data = "\n".join([title, *lines, rest]).encode("utf-8")
    source = read_source(data)
    if isinstance(source, Problem):
        assert isinstance(head_in(data, "x"), Problem)
    else:
        assert head_in(data, "x") == head_of(read_document(source), "x")


def test_only_the_head_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write(tmp_path / "a.vrx", ORDER + "# remark\n" * 100_000)
    sizes: list[int] = []
    read = os.read

    def counted(handle: int, size: int) -> bytes:
        sizes.append(size)
        return read(handle, size)

    monkeypatch.setattr(os, "read", counted)
    assert read_head(os.fspath(path), "a.vrx") == Head("a.vrx", "prescription", "a", 1, "active")
    assert sizes == [FIRST]


def test_a_head_behind_a_long_comment_is_found(tmp_path: Path) -> None:
    path = write(tmp_path / "a.vrx", "# a long remark\n" * 1_000 + ORDER)
    assert read_head(os.fspath(path), "a.vrx") == Head("a.vrx", "prescription", "a", 1, "active")


def test_an_index_is_made_only_when_it_is_asked(tmp_path: Path) -> None:
    write(tmp_path / "a.vrx")
    asked: list[str] = []

    def head(path: str, shown: str) -> Head | Problem:
        asked.append(shown)
        return read_head(path, shown)

    library = Index(tmp_path, head)
    assert asked == []
    assert [each.shown for each in library.by_id["a"]] == ["a.vrx"] and library.template_ids == frozenset()
    assert asked == ["a.vrx"]


def test_nothing_outside_is_opened(tmp_path: Path) -> None:
    """Links to files and folders outside, hidden folders, and folders with settings of their own are left alone."""
    root = tmp_path / "library"
    outside = write(tmp_path / "outside" / "secret.vrx", TEMPLATE)
    write(root / "b" / "inside.vrx")
    write(root / ".hidden" / "c.vrx")
    write(root / "ward" / "d.vrx")
    write(root / "ward" / "deep" / "e.vrx")
    (root / "ward" / "rxlint.yaml").write_text("library: .\n", "utf-8")
    (root / "link.vrx").symlink_to(outside)
    (root / "folder").symlink_to(outside.parent)
    (root / "twin.vrx").symlink_to(root / "b" / "inside.vrx")
    (root / "loop.vrx").symlink_to(root / "loop.vrx")
    os.mkfifo(root / "pipe.vrx")
    library = Index(root)
    assert library.by_id.keys() == {"inside"}
    assert [head.shown for head in library.by_id["inside"]] == ["b/inside.vrx"]
    assert sorted(each.split(":")[0] for each in library.unread) == ["link.vrx", "loop.vrx"]
    assert read_head(os.fspath(root / "link.vrx"), "x") != Head("x", "template", "secret", 1, "active")
    assert isinstance(read_head(os.fspath(root / "pipe.vrx"), "x"), Problem)


def test_a_file_that_has_become_a_link_is_not_followed(tmp_path: Path) -> None:
    outside = write(tmp_path / "outside.vrx", TEMPLATE, id="t")
    root = tmp_path / "library"
    path = write(root / "t.vrx", TEMPLATE)
    library = Index(root)
    (head,) = library.by_id["t"]
    path.unlink()
    path.symlink_to(outside)
    found = library.template(head)
    assert isinstance(found, Problem) and "link" in found.message


def test_what_cannot_be_read_is_listed(tmp_path: Path) -> None:
    write(tmp_path / "a.vrx")
    (tmp_path / "bad.vrx").write_bytes(b'template "x"\n  id  \xff\n')
    (tmp_path / "nul.vrx").write_bytes(b"\x00\x00")
    library = Index(tmp_path)
    assert [each.split(":")[0] for each in library.unread] == ["bad.vrx", "nul.vrx"]
    assert library.by_id.keys() == {"a"}


def test_a_library_that_is_too_large_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for number in range(4):
        write(tmp_path / f"{number}.vrx")
    monkeypatch.setattr(index, "MOST_FILES", 3)
    library = Index(tmp_path)
    assert library.problem is not None and "too large" in library.problem
    assert library.by_id == {}


def test_the_root_is_that_of_the_settings_then_of_the_checkout_then_what_was_given(tmp_path: Path) -> None:
    order = write(tmp_path / "checkout" / "ward" / "orders" / "a.vrx")
    given = tmp_path / "checkout" / "ward"
    assert root_of(order, None) == order.parent
    assert root_of(order, None, given) == given
    (tmp_path / "checkout" / ".git").mkdir()
    assert root_of(order, None, given) == tmp_path / "checkout"
    (given / "rxlint.yaml").write_text("library: .\n", "utf-8")
    settings, problems = read_settings(given / "rxlint.yaml", "rxlint.yaml")
    assert (problems, root_of(order, settings)) == ((), given)
    (given / "rxlint.yaml").write_text("library: orders\n", "utf-8")
    settings, problems = read_settings(given / "rxlint.yaml", "rxlint.yaml")
    assert (problems, root_of(order, settings)) == ((), given / "orders")


@pytest.mark.parametrize(("named", "told"), [("..", "leads out"), ("/", "leads out"), ("nowhere", "there is no file"),
                                             ("a.vrx", "is no folder"), ("out", "leads out")])  # fmt: skip
def test_a_library_stays_in_the_folder_of_its_settings(named: str, told: str, tmp_path: Path) -> None:
    folder = tmp_path / "ward"
    write(folder / "a.vrx")
    (folder / "out").symlink_to(tmp_path)
    (folder / "rxlint.yaml").write_text(f"library: {named}\n", "utf-8")
    settings, problems = read_settings(folder / "rxlint.yaml", "rxlint.yaml")
    assert settings is None and len(problems) == 1
    assert told in problems[0].message and (problems[0].line, problems[0].column) == (1, 10)


def test_a_library_is_searched_only_where_all_of_it_was_given(tmp_path: Path) -> None:
    order = write(tmp_path / "ward" / "a.vrx")
    (tmp_path / "rxlint.yaml").write_text("library: .\n", "utf-8")
    settings, _ = read_settings(tmp_path / "rxlint.yaml", "rxlint.yaml")
    views = [Libraries().view(order, settings, given) for given in (None, order.parent, tmp_path, tmp_path.parent)]
    assert [view is not None and view.is_searched for view in views] == [False, False, True, True]
