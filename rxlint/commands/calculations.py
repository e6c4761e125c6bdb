"""``rxlint calculations``: what documents imply."""

from __future__ import annotations

import sys
from collections.abc import Iterator

import click

from rxlint.commands.common import (
    EXIT_CLEAN,
    EXIT_UNREAD,
    write,
)
from rxlint.commands.completion import documents


@click.command()
@click.argument("paths", nargs=-1, required=True, shell_complete=documents)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to report.")
def calculations(paths: tuple[str, ...], form: str) -> None:
    """Show every value that the documents imply, with formula, numbers, unit and source.

    Exit code: 0 everything was read, 2 usage, 3 some input could not be read.
    """
    from rxlint.library.discover import find_inputs
    from rxlint.reports.calculations import json_of, text_of

    inputs = find_inputs(paths)
    unread = _write_counted(json_of(inputs) if form == "json" else text_of(inputs))
    sys.exit(EXIT_UNREAD if unread else EXIT_CLEAN)


def _write_counted(pieces: Iterator[tuple[str, bool]]) -> int:
    unread = 0
    for piece, failed in pieces:
        unread += failed
        write([piece], end="", unread=EXIT_UNREAD)
    return unread
