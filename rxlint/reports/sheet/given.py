"""What a sheet is made with, put together from a run: the rules, the library and the bytes of one of its documents."""

from __future__ import annotations

import datetime

from rxlint.library.comparing import Compared
from rxlint.library.discover import Input, read_input
from rxlint.library.rulings import Rulings
from rxlint.library.screen import Screened
from rxlint.reports.sheet.content import Given


def given_of(
    found: Input,
    screened: Screened,
    rulings: Rulings,
    day: datetime.date,
    *,
    ventilator: str | None = None,
    compared: Compared | None = None,
    unchanged_since: str | None = None,
) -> Given:
    """What the sheet of a screened input is made with; see ``Given``."""
    data = read_input(found) if screened.document is None else None
    return Given(
        rules=rulings.of_settings(screened.settings),
        day=day,
        shelf=rulings.library(found.path, found.searched) if found.path is not None else None,
        data=data if isinstance(data, bytes) else None,
        ventilator=ventilator,
        compared=compared,
        unchanged_since=unchanged_since,
    )
