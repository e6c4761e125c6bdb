"""``rxlint known``: the findings that an old library has already."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from rxlint.commands.common import (
    EXIT_CLEAN,
    EXIT_FINDINGS,
    EXIT_UNREAD,
    EXIT_USAGE,
    Chosen,
    on_day,
    shown,
    with_profiles,
    with_rules,
    write,
)
from rxlint.commands.completion import documents


@click.command()
@click.argument("file", type=click.Path())
@click.argument("paths", nargs=-1, required=True, shell_complete=documents)
@click.option("--start", is_flag=True, help="Write a new list of everything that is found now.")
@click.option("--check", is_flag=True, help="Write nothing; exit code 1 where the list could be shorter.")
@on_day
@with_rules(with_profiles)
def known(
    file: str,
    paths: tuple[str, ...],
    start: bool,
    check: bool,
    day: datetime.date,
    chosen: Chosen,
) -> None:
    """Keep a list of the findings that an old library has already, so that new ones stand out.

    The list is started once with --start. After that it only ever shrinks: what is found no more is taken out.
    """
    from rxlint.library.discover import find_inputs
    from rxlint.library.renewal import renew

    result = renew(Path(file), file, find_inputs(paths), chosen.rulings(), day, start=start, write=not check)
    write(map(shown, result.told))
    if result.refused:
        sys.exit(EXIT_USAGE)
    if result.unread:
        sys.exit(EXIT_UNREAD)
    sys.exit(EXIT_FINDINGS if check and result.changed else EXIT_CLEAN)
