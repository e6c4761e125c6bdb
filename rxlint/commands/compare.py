"""``rxlint compare``: what changed between two revisions of orders."""

from __future__ import annotations

import datetime
import sys
from typing import Any

import click

from rxlint.commands.common import (
    EXIT_UNREAD,
    Chosen,
    Configuration,
    is_coloured,
    on_day,
    shown,
    status_of,
    with_colour,
    with_fail_at,
    with_format,
    with_rules,
    with_settings,
    write,
)
from rxlint.commands.completion import documents


@click.command()
@click.argument("paths", nargs=-1, shell_complete=documents)
@click.option(
    "--since", "revision", metavar="REV", help="Compare the work tree with this revision of its git repository."
)
@on_day
@with_rules(with_settings)
@with_format("text", "json", "markdown")
@with_fail_at
@with_colour
def compare(
    paths: tuple[str, ...],
    revision: str | None,
    day: datetime.date,
    chosen: Chosen,
    form: str,
    fail_at: str,
    colour: str,
) -> None:
    """Tell what changed in clinical terms: OLD NEW, two files or two folders; or --since REV [PATH]...

    Exit code: 0 no finding of a change at or above --fail-at, whatever changed; 1 findings; 2 usage, configuration, or
    nothing to compare with; 3 some text could not be read or a rule failed.
    """
    from rxlint.library.comparing import compare_pairs
    from rxlint.reports.compare_text import Totals

    rules = chosen.rulings()
    totals = Totals()
    results = compare_pairs(_pairs(paths, revision), rules, day)
    _report(results, rules, form, day, colour, totals)
    sys.exit(EXIT_UNREAD if rules.unloaded and not totals.misconfigured else status_of(totals, fail_at))


def _pairs(paths: tuple[str, ...], revision: str | None) -> Any:
    """The documents to compare. Raises Configuration where there is nothing to compare with."""
    from rxlint.library.comparing import CannotCompare, NoRevision, pairs_of, pairs_since

    if revision is None and len(paths) != 2:
        raise click.UsageError("name OLD and NEW, or a revision with --since")
    try:
        return pairs_of(*paths) if revision is None else pairs_since(revision, paths or (".",))
    except (CannotCompare, NoRevision) as error:
        raise Configuration(shown(str(error))) from None


def _report(results: Any, rules: Any, form: str, day: datetime.date, colour: str, totals: Any) -> None:
    if form == "json":
        from rxlint.reports import compare_json

        write(compare_json.report(results, rules, day.isoformat(), totals), end="", unread=EXIT_UNREAD)
    elif form == "markdown":
        from rxlint.reports import compare_markdown

        write(compare_markdown.report(results, totals), unread=EXIT_UNREAD)
    else:
        from rxlint.reports import compare_text
        from rxlint.reports.style import Style

        write(compare_text.report(results, Style(is_coloured(colour)), totals), unread=EXIT_UNREAD)
