"""Screening for Python programs: a text, or files and folders."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rxlint.interface.options import SomePaths, StrPath, bytes_of, day_of, path_of, paths_of
from rxlint.interface.results import Screened
from rxlint.interface.rules import Rules, rulings_of
from rxlint.library.discover import find_inputs
from rxlint.library.rulings import Ruling
from rxlint.library.screen import Screened as ScreenedInput
from rxlint.library.screen import screen_inputs, screen_under
from rxlint.text import Problem

UNNAMED: Final = "<text>"


def screen_text(
    text: str | bytes, *, on: datetime.date | None = None, path: StrPath | None = None, rules: Rules | None = None
) -> Screened:
    """Screen what a document says. ``on`` is the day on which dates are judged (None: today).

    ``path`` is where it stands or is to be saved; nothing need be there. The library around it, and the settings where
    ``rules`` look for them, are those of its folder; without a path there are none.

    Raises OptionError for a wrong option, and for nothing that the text may say.
    """
    data, day, rulings = bytes_of(text), day_of(on), rulings_of(rules)
    if path is None:
        return _public(screen_under(Ruling(rulings.base), UNNAMED, data, day))
    name = path_of(path)
    place = Path(name)
    ruling, shelf = rulings.of_folder(place.parent), rulings.library(place, is_file=False)
    return _public(screen_under(ruling, name, data, day, place, shelf=shelf))


def screen_paths(
    paths: SomePaths, *, on: datetime.date | None = None, rules: Rules | None = None
) -> Iterator[Screened]:
    """Screen files, and the ``.vrx`` files in folders, one after another as the results are asked for: in the order
    given, and by name within a folder. A path that can't be read has its result too, with the problem in it.

    ``on`` is the day on which dates are judged (None: today). Raises OptionError for a wrong option, at once.
    """
    named, day, rulings = paths_of(paths), day_of(on), rulings_of(rules)
    return map(_public, screen_inputs(find_inputs(named), rulings, day))


def _public(screened: ScreenedInput) -> Screened:
    screening = screened.screening
    crashes = screening.crashes if screening is not None else ()
    return Screened(
        screened.shown,
        screened.document.kind if screened.document is not None else None,
        screened.id,
        (*screened.problems, *(Problem(crash.told) for crash in crashes)),
        screening.findings if screening is not None else (),
        screening.coverage.rules if screening is not None else (),
        tuple(each.name for each in screened.policies),
    )
