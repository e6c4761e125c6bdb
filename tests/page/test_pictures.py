"""The pictures of the page in README.md are of the page as it is now."""

import pytest

from tests.page import pictures
from tests.pictures import ROOT, is_blank

RENEW = "python -m tests.page.pictures --write, then python -m tests.shown"


@pytest.mark.parametrize("place", [pictures.DESK, pictures.PHONE])
def test_a_picture_is_of_what_stands_here_now(place: str) -> None:
    picture = (ROOT / place).read_bytes()
    assert pictures.signature(picture) == pictures.source_digest(), RENEW
    assert not is_blank(picture)


def test_a_picture_with_other_pixels_is_seen() -> None:
    picture = (ROOT / pictures.DESK).read_bytes()
    other = bytearray(picture)
    other[picture.index(b"IDAT") + 40] ^= 1
    assert pictures.signature(picture) is not None
    assert pictures.signature(bytes(other)) is None
