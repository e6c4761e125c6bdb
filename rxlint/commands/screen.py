"""``rxlint screen``: findings in documents."""

from __future__ import annotations

import contextlib
import datetime
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, Final

import click

from rxlint.commands.common import (
    EXIT_UNREAD,
    Chosen,
    is_coloured,
    known_rule,
    on_day,
    status_of,
    with_colour,
    with_fail_at,
    with_format,
    with_known,
    with_profiles,
    with_rules,
    with_settings,
    write,
)

_STANDARD_INPUT: Final = "<standard input>"


@click.command()
@click.argument("paths", nargs=-1, required=True)
@click.option("--as", "name", metavar="NAME", help="The name to show for standard input (-).")
@click.option(
    "--readings",
    "sheets",
    metavar="FILE",
    multiple=True,
    help="Readings on their own, to screen with one order as if they stood in it; may be given several times.",
)
@on_day
@with_rules(with_profiles, with_settings, with_known)
@with_format("text", "json")
@with_fail_at
@click.option("--coverage", is_flag=True, help="List the outcome of every rule for every document.")
@click.option("--explain", metavar="RULE", help="Show how one rule comes out: the value of every part of it.")
@with_colour
def screen(
    paths: tuple[str, ...],
    name: str | None,
    sheets: tuple[str, ...],
    day: datetime.date,
    chosen: Chosen,
    form: str,
    fail_at: str,
    coverage: bool,
    explain: str | None,
    colour: str,
) -> None:
    """Screen documents: files, folders of .vrx files, or - for standard input.

    Exit code: 0 nothing at or above --fail-at, 1 findings, 2 usage or configuration, 3 some input could not be read
    or a rule failed.
    """
    from rxlint.reports.text import Totals

    rules = chosen.rulings()
    totals = Totals()
    results = _results(paths, name, sheets, rules, day)
    if explain is not None:
        _explain(explain, results, rules, totals, day)
    elif form == "json":
        from rxlint.reports import json_report

        write(json_report.report(results, rules, day.isoformat(), totals), end="", unread=EXIT_UNREAD)
    else:
        from rxlint.reports import text
        from rxlint.reports.style import Style

        write(text.report(results, Style(is_coloured(colour)), coverage, totals), unread=EXIT_UNREAD)
    sys.exit(EXIT_UNREAD if rules.unloaded and not totals.misconfigured else status_of(totals, fail_at))


def _results(
    paths: tuple[str, ...], name: str | None, sheets: tuple[str, ...], rules: Any, day: datetime.date
) -> Iterator[Any]:
    """The results as they come. Faults of usage are raised at once, before anything is written."""
    if (*paths, *sheets).count("-") > 1:
        raise click.UsageError("standard input can be given once")
    if name is not None and "-" not in paths:
        raise click.UsageError("--as names standard input; give - as a path")
    if len(set(sheets)) < len(sheets):
        raise click.UsageError("each file of readings can be given once")
    if sheets:
        return _beside(paths, name or _STANDARD_INPUT, sheets, rules, day)
    return _screened(paths, name or _STANDARD_INPUT, rules, day)


def _beside(
    paths: tuple[str, ...], name: str, sheets: tuple[str, ...], rules: Any, day: datetime.date
) -> Iterator[Any]:
    """One order with its readings. Raises click.UsageError for more than one: readings are one patient's."""
    from rxlint.library.beside import Sheet, screen_beside
    from rxlint.library.discover import find_inputs, read_input, read_stream

    def data_of(path: str) -> Any:
        if path == "-":
            return read_stream(sys.stdin.buffer if sys.stdin is not None else None)
        return read_input(next(iter(find_inputs([path]))))

    if len(paths) > 1 or (paths[0] != "-" and Path(paths[0]).is_dir()):
        raise click.UsageError("--readings goes with one order; name its file")
    order, folder = (name, _folder_of(name)) if paths[0] == "-" else (paths[0], Path(paths[0]).parent)
    read = [Sheet(_STANDARD_INPUT if each == "-" else each, data_of(each)) for each in sheets]
    path = None if paths[0] == "-" else Path(paths[0])
    shelf = rules.library(Path(order), is_file=path is not None) if order != _STANDARD_INPUT else None
    return screen_beside(rules.of_folder(folder), order, data_of(paths[0]), read, day, path, shelf)


def _screened(paths: tuple[str, ...], name: str, rules: Any, day: datetime.date) -> Iterator[Any]:
    from rxlint.library.discover import find_inputs, read_stream
    from rxlint.library.screen import screen_inputs, screen_under

    for path in paths:
        if path == "-":
            data = read_stream(sys.stdin.buffer if sys.stdin is not None else None)
            shelf = rules.library(Path(name), is_file=False) if name != _STANDARD_INPUT else None
            yield screen_under(rules.of_folder(_folder_of(name)), name, data, day, shelf=shelf)
        else:
            yield from screen_inputs(find_inputs([path]), rules, day)


def _folder_of(name: str) -> Path:
    """The folder that standard input belongs to by its name; the current one where that is no path."""
    folder = Path(name).parent
    with contextlib.suppress(OSError, ValueError):
        if folder.is_dir():
            return folder
    return Path()


def _explain(rule: str, results: Iterable[Any], rulings: Any, totals: Any, day: datetime.date) -> None:
    from rxlint.reports.explain import explain

    for screened in results:
        totals.add(screened)
        rules = rulings.of_settings(screened.settings)
        write(explain(known_rule(rule, rules), screened, rules, day), unread=EXIT_UNREAD)
