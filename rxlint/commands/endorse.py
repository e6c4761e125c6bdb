"""``rxlint endorse``: the second check of a document."""

from __future__ import annotations

import datetime
import re
import sys
from pathlib import Path
from typing import Final

import click

from rxlint.commands.common import (
    EXIT_CLEAN,
    EXIT_FINDINGS,
    EXIT_UNREAD,
    EXIT_USAGE,
    Chosen,
    on_day,
    shown,
    with_known,
    with_profiles,
    with_rules,
    with_settings,
    write,
)
from rxlint.commands.completion import documents

_MOMENT: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2}")
_EXITS: Final = {
    "endorsed": EXIT_CLEAN,
    "refused": EXIT_FINDINGS,
    "misconfigured": EXIT_USAGE,
    "not usable": EXIT_UNREAD,
}


def _moment_of(_context: click.Context, _parameter: click.Parameter, value: str | None) -> datetime.datetime:
    """The moment of the check; now where none is given. Raises click.BadParameter."""
    if value is None:
        return datetime.datetime.now()
    try:
        if _MOMENT.fullmatch(value):
            return datetime.datetime.fromisoformat(value)
    except ValueError:
        pass
    raise click.BadParameter(f"{shown(value)} is not a moment such as 2026-11-24 16:05")


@click.command()
@click.argument("file", type=click.Path(), shell_complete=documents)
@click.option("--by", required=True, metavar="ROLE", help="The role of whoever has checked it, never a person's name.")
@click.option("--at", "moment", callback=_moment_of, metavar="MOMENT", help="When it was checked (default: now).")
@click.option("--dry-run", is_flag=True, help="Write nothing; show the line that would be added.")
@on_day
@with_rules(with_profiles, with_settings, with_known)
def endorse(
    file: str,
    by: str,
    moment: datetime.datetime,
    dry_run: bool,
    day: datetime.date,
    chosen: Chosen,
) -> None:
    """Add to a document who has checked it, with a code of what it says.

    Refused while a finding at the level reject stands, where a line can't be read, and for the order's own author.
    After that any change of what is ordered breaks the code, and `rxlint screen` tells so. The code finds a change
    made by accident; it does not show forgery.

    Exit code: 0 added, 1 refused, 2 usage or configuration, 3 the file could not be read or written or a rule failed.
    """
    from rxlint.library.endorsement import Checker, endorse

    last = max(day, datetime.date.today())
    if moment.date() > last:  # mostly a slip in the year
        raise click.BadParameter(f"{moment:%Y-%m-%d %H:%M} has not come yet: today is {last}", param_hint="--at")
    result = endorse(Path(file), file, Checker(by, moment), chosen.rulings(), day, write=not dry_run)
    write(map(shown, result.told), unread=EXIT_UNREAD)
    sys.exit(_EXITS[result.outcome])
