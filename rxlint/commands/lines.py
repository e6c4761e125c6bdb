"""``rxlint screen --from-lines``: a stream of documents, answered line by line."""

from __future__ import annotations

import datetime
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, Final

import click
from click.core import ParameterSource

from rxlint.commands.common import EXIT_UNREAD, Chosen, shown, status_of
from rxlint.commands.streams import let_go, lose_output, put

_GO_WITH: Final = frozenset(
    ["lines", "day", "pack_files", "policy_files", "profile_files", "python_names", "fail_at", "colour", "no_progress"]
)
"""The options that mean for a stream what they mean for any report in JSON; another would be without effect."""
_WHY: Final = {
    "paths": "the documents are in the stream: leave the paths out",
    "form": "a stream is answered in JSON: --format json, or none",
    "settings": "a stream stands in no folder, so no settings are near it: name its rules with --pack and --policy",
    "known": "known findings are told by the path of a document, and those of a stream have none",
    "jobs": "a stream is answered line by line; `rxlint archive` is for many processes",
    "no_cache": "nothing is kept of a stream",
    "further": "a stream is answered on standard output alone",
    "explain": "--explain shows one rule for one document",
    "coverage": "every line of the answer holds the outcome of the rules",
    "sheets": "readings of a stream's document stand in its own text",
    "name": "--as names one document; those of a stream have identifiers",
}

with_lines = click.option(
    "--from-lines",
    "lines",
    metavar="[FILE|-]",
    is_flag=False,
    flag_value="-",
    help='Screen a stream of JSON lines, {"id": "...", "text": "..."}, and answer each at once; - for standard input.',
)


def refuse_others(context: click.Context) -> None:
    """Raise click.UsageError for an option that says nothing to a stream."""
    for parameter in context.command.params:
        name = parameter.name or ""
        given = context.params.get(name)
        if name in _GO_WITH or context.get_parameter_source(name) != ParameterSource.COMMANDLINE:
            continue
        if (name, given) in (("form", "json"), ("settings", "none"), ("paths", ())):
            continue
        named = "PATHS" if name == "paths" else parameter.opts[0]
        raise click.UsageError(f"{named} does not go with --from-lines: {_WHY.get(name, 'it is for files')}")


def screen_stream(name: str, chosen: Chosen, day: datetime.date, fail_at: str) -> int:
    """Answer a stream, each line as it comes, and give the exit code. Raises Configuration."""
    from rxlint.exchange.lines import read_lines, screen_given
    from rxlint.library.rulings import Ruling
    from rxlint.reports.lines_json import answer_object, closing_object, dumped
    from rxlint.reports.text import Totals

    rules = chosen.rulings()
    ruling, totals = Ruling(rules.base), Totals()
    try:
        stream = _opened(name)
    except (OSError, ValueError) as error:
        click.echo(f"Error: {shown(name)} can't be opened: {getattr(error, 'strerror', None) or error}", err=True)
        return EXIT_UNREAD

    def answers() -> Iterator[str]:
        for answer in screen_given(read_lines(stream), ruling, day):
            totals.add(answer.screened)
            yield dumped(answer_object(answer))
        yield dumped(closing_object(totals, [rules.base], day.isoformat()))

    with stream:
        if not _write_each(answers()):
            return EXIT_UNREAD
    return EXIT_UNREAD if rules.unloaded else status_of(totals, fail_at)


def _opened(name: str) -> BinaryIO:
    if name != "-":
        return Path(name).open("rb")
    if sys.stdin is None:
        raise ValueError("standard input is closed")
    return sys.stdin.buffer


def _write_each(lines: Iterator[str]) -> bool:
    """Write each line and let it go at once: who asks may wait for it. Whether somebody read it all."""
    try:
        for line in lines:
            put(line + "\n")
            let_go()
    except OSError as error:  # its reader has gone, a full disk, or it is closed
        lose_output(error)
        return False
    return True
