"""How documents are named: relative to the folder of the run where they are in it, by a whole URI elsewhere."""

import os
from pathlib import Path
from urllib.parse import unquote, unquote_to_bytes

import pytest

from rxlint.reports.where import STANDARD_INPUT, Here

HERE = Here(Path("/srv/library"))


@pytest.mark.parametrize(
    ("shown", "uri"),
    [
        ("a.vrx", "a.vrx"),
        ("./a/../b//c.vrx", "b/c.vrx"),
        ("/srv/library/ward/a.vrx", "ward/a.vrx"),
        (".", "."),
        ("größe 100%.vrx", "gr%C3%B6%C3%9Fe%20100%25.vrx"),
        ("a#b?c&d;e.vrx", "a%23b%3Fc%26d%3Be.vrx"),
        ("c:d.vrx", "c%3Ad.vrx"),
        ("-.vrx", "-.vrx"),
        ("a\nb\x1b\x00.vrx", "a%0Ab%1B%00.vrx"),
    ],
)
def test_a_document_in_the_folder_is_relative_to_it(shown: str, uri: str) -> None:
    assert HERE.uri(shown) == (uri, True)


@pytest.mark.parametrize(
    ("shown", "uri"),
    [
        ("/elsewhere/a b.vrx", "file:///elsewhere/a%20b.vrx"),
        ("../other/a.vrx", "file:///srv/other/a.vrx"),
        ("/srv/library-2/a.vrx", "file:///srv/library-2/a.vrx"),
        (STANDARD_INPUT, "%3Cstandard%20input%3E"),
        ("", ""),
    ],
)
def test_another_is_not(shown: str, uri: str) -> None:
    assert HERE.uri(shown) == (uri, False)
    assert HERE.path(shown) == shown


def test_a_name_that_is_no_text_keeps_its_bytes() -> None:
    name = os.fsdecode(b"ward/\xff\xfe.vrx")
    assert unquote_to_bytes(HERE.uri(name)[0]) == b"ward/\xff\xfe.vrx"
    assert HERE.uri("half \ud83d of a pair.vrx")[0] == "half%20%ED%A0%BD%20of%20a%20pair.vrx"
    assert HERE.uri("/elsewhere/\ud83d.vrx") == ("/elsewhere/%ED%A0%BD.vrx", False)


def test_a_folder_that_is_reached_through_a_link_is_the_same_folder(tmp_path: Path) -> None:
    real, other = tmp_path / "real", tmp_path / "other"
    real.mkdir()
    other.mkdir()
    (real / "a.vrx").touch()
    (tmp_path / "link").symlink_to(real)
    (real / "out").symlink_to(other)
    assert Here(real).uri(str(tmp_path / "link" / "a.vrx")) == ("a.vrx", True)
    assert Here(tmp_path / "link").uri(str(real / "a.vrx")) == ("a.vrx", True)
    told, is_inside = Here(real).uri("out/../a.vrx")  # which is beside `other`, for `..` follows the link
    assert not is_inside and unquote(told) == (tmp_path / "a.vrx").as_uri()


def test_a_ring_of_links_has_a_name_too(tmp_path: Path) -> None:
    (tmp_path / "ring").symlink_to(tmp_path / "ring")
    assert Here(tmp_path).uri("ring/a.vrx") == ("ring/a.vrx", True)
    assert Here(tmp_path).path("../ring/ring/a.vrx") == "../ring/ring/a.vrx"
