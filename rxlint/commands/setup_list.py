"""``rxlint setup-list``: what to key in at a ventilator."""

from __future__ import annotations

import datetime
import json
import sys
from pathlib import Path
from typing import Any

import click

from rxlint.commands.common import (
    EXIT_CLEAN,
    EXIT_FINDINGS,
    EXIT_UNREAD,
    Chosen,
    Configuration,
    on_day,
    shown,
    with_format,
    with_profiles,
    with_rules,
    write,
)
from rxlint.commands.completion import documents


@click.command("setup-list")
@click.argument("path", metavar="FILE", type=click.Path(), shell_complete=documents)
@click.option("--ventilator", "name", metavar="NAME", help="The ventilator; without it, the one that the order names.")
@click.option("--period", metavar="NAME", help="One period of the order; without it, all of them.")
@on_day
@with_rules(with_profiles)
@with_format("text", "json")
def setup_list(
    path: str,
    name: str | None,
    period: str | None,
    day: datetime.date,
    chosen: Chosen,
    form: str,
) -> None:
    """List what to key in at a ventilator for a prescription, in the ventilator's own order, names and units.

    Exit code: 0 the list can be keyed in as it stands, 1 it can't (the list says why at its head), 2 usage or
    configuration, 3 the file could not be read or a rule failed.
    """
    rules = chosen.rulings()
    found = _list_of(path, name, period, rules, day)
    if form == "json":
        from rxlint.reports.setup_json import object_of

        write([json.dumps(object_of(found, day.isoformat()), indent=1)], unread=EXIT_UNREAD)
    else:
        from rxlint.reports.setup_text import report
        from rxlint.reports.style import Style

        write(report(found, Style(sys.stdout is not None and sys.stdout.isatty())), unread=EXIT_UNREAD)
    failed = rules.unloaded or found.screened.screening is None or found.screened.screening.crashes
    sys.exit(EXIT_UNREAD if failed else EXIT_CLEAN if found.can_be_keyed_in else EXIT_FINDINGS)


def _list_of(path: str, name: str | None, period: str | None, rulings: Any, day: datetime.date) -> Any:
    """The set-up list of a file. Raises Configuration; ends the run where the file can't be read."""
    from rxlint.library.discover import find_inputs
    from rxlint.library.screen import screen_inputs
    from rxlint.library.setup_list import NoList, list_for

    if Path(path).is_dir():
        raise click.UsageError("a set-up list is made of one prescription; name its file")
    screened = next(iter(screen_inputs(find_inputs([path]), rulings, day)))
    if screened.misconfigured:
        raise Configuration("\n".join(shown(each.message) for each in screened.problems))
    for problem in screened.problems:
        click.echo(f"{shown(path)}: unread: {shown(problem.message)}", err=True)
    if screened.problems:
        sys.exit(EXIT_UNREAD)
    try:
        return list_for(screened, rulings.of_settings(screened.settings), name, period)
    except NoList as error:
        raise Configuration(shown(str(error))) from None
