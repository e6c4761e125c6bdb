"""What is appended to a document for its check, and that the rest stays as it was, to the byte."""

import datetime
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.library.endorsement import Checker, addition, endorse
from rxlint.library.rulings import Rulings
from rxlint.model.content import check_code
from rxlint.notation import NewSection, render_document
from rxlint.text import source_of_text
from rxlint.text.source import Source
from tests.cli.orders import SOUND as FOLLOWING
from tests.documents import DAY
from tests.notation.plain import document_of
from tests.notation.strategies import documents

SOUND = re.sub(r"(?m)^  follows .*\n", "", FOLLOWING)  # its template is in no library here
CHECKER = Checker("second checker", datetime.datetime(2026, 11, 2, 16, 5))


def added(text: str, line: str = "checked") -> str:
    source = source_of_text(text)
    assert isinstance(source, Source)
    return addition(source, line).decode("utf-8")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a\n", "\nchecked\n"),
        ("a\nb\n\n", "checked\n"),
        ("a\n \t\n", "checked\n"),
        ("a\nb", "\n\nchecked"),
        ("a\n\n  ", "\nchecked"),
        ("a", "\n\nchecked"),
        ("a\r\n", "\r\nchecked\r\n"),
        ("a\r\nb", "\r\n\r\nchecked"),
        ("a\nb\r\n", "\r\nchecked\r\n"),
        ("\ufeffa\r\n# the end\r\n", "\r\nchecked\r\n"),
    ],
)
def test_a_blank_line_stands_before_it_and_line_ends_are_the_files_own(text: str, expected: str) -> None:
    assert added(text) == expected


@given(documents(), st.sampled_from(["\n", "\r\n"]), st.booleans(), st.sampled_from(["", "\n", "# the end", "\n \t"]))
def test_what_stood_there_is_read_as_before(made: tuple[NewSection, ...], end: str, mark: bool, tail: str) -> None:
    text = ("\ufeff" if mark else "") + (render_document(made) + tail).replace("\n", end)
    before = document_of(text)
    after = document_of(text + added(text, 'checked 2026-11-02 16:05 by "x" code ' + "0" * 32))
    assert after.source.text().startswith(text)
    assert check_code(after) == check_code(before)
    assert [block.heading for block in after.blocks][: len(before.blocks)] == [b.heading for b in before.blocks]
    assert after.blocks[-1].heading is not None and after.blocks[-1].heading.code == "0" * 32
    assert after.source.lines[-1].ending == before.source.lines[-1].ending


def test_a_link_is_followed_within_its_folder_alone(tmp_path: Path) -> None:
    (tmp_path / "in" / "deep").mkdir(parents=True)
    (tmp_path / "out.vrx").write_text(SOUND, "utf-8")
    (tmp_path / "in" / "deep" / "order.vrx").write_text(SOUND, "utf-8")
    (tmp_path / "in" / "near.vrx").symlink_to(Path("deep") / "order.vrx")
    (tmp_path / "in" / "far.vrx").symlink_to(Path("..") / "out.vrx")
    (tmp_path / "in" / "ring.vrx").symlink_to("ring.vrx")
    rulings = Rulings()
    found = [
        endorse(tmp_path / "in" / name, name, CHECKER, rulings, DAY) for name in ("near.vrx", "far.vrx", "ring.vrx")
    ]
    assert [each.outcome for each in found] == ["endorsed", "refused", "not usable"]
    assert found[1].told == ("far.vrx: is a link that leads out of its folder; name the file itself",)
    assert (tmp_path / "in" / "near.vrx").is_symlink()
    assert " code " in (tmp_path / "in" / "deep" / "order.vrx").read_text("utf-8").splitlines()[-1]
    assert (tmp_path / "out.vrx").read_text("utf-8") == SOUND
