"""The examples as a library, seen from one of them."""

from functools import cache
from pathlib import Path
from typing import Final

from rxlint.library.index import Index, View

EXAMPLES: Final = Path(__file__).resolve().parent.parent / "examples"


@cache
def _index() -> Index:
    return Index(EXAMPLES)


def shelf_of(path: Path, *, is_searched: bool = False) -> View | None:
    """The library that an example stands in; None for what is no example. A slip is looked at by itself: templates
    among the slips are followed by nobody, and nothing is wrong with that.
    """
    own = _index().shown(path)
    return View(_index(), own, is_searched) if own is not None else None
