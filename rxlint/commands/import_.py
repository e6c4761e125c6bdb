"""``rxlint import``: a table of orders to documents."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

import click

from rxlint.commands.common import EXIT_CLEAN, EXIT_FINDINGS, EXIT_UNREAD, EXIT_USAGE, shown, write

_DELIMITERS: Final = ("comma", "semicolon", "tab")


@click.command("import")
@click.argument("table", metavar="FILE")
@click.option("-o", "--output", "folder", metavar="DIR", required=True, help="The folder to write documents to.")
@click.option("--delimiter", type=click.Choice(_DELIMITERS), help="What stands between cells (default: found out).")
@click.option(
    "--decimal",
    type=click.Choice(["point", "comma"]),
    default="point",
    help="What decimals stand after. A comma is never guessed.",
)
@click.option("--force", is_flag=True, help="Overwrite documents that are there already.")
def import_(table: str, folder: str, delimiter: str | None, decimal: str, force: bool) -> None:
    """Make a document of every row of a table (CSV, UTF-8), or of standard input with -.

    The first row names terms with their units: `id`, `patient age [years]`, `PEEP [cmH2O]`, `alarm high rate [/min]`.
    An empty cell states nothing. A cell that can't be read is told by row and column, and its document has a line
    that can't be read in its place.

    Exit code: 0 every row was imported, 1 some cells can't be read or some documents were not overwritten, 2 the
    header can't be used, 3 the table can't be read to its end or a document can't be written.
    """
    from rxlint.library.table_import import DELIMITERS, Import, Table, import_table

    result = Import()
    is_stream = table == "-"
    given = Table(
        shown("<standard input>" if is_stream else table),
        None if is_stream else Path(table),
        DELIMITERS[delimiter] if delimiter is not None else None,
        decimal == "comma",
    )
    stream = sys.stdin.buffer if is_stream and sys.stdin is not None else None
    write(map(shown, import_table(given, Path(folder), result, stream=stream, force=force)), unread=EXIT_UNREAD)
    if result.unusable:
        sys.exit(EXIT_USAGE)
    write([shown(result.closing(folder))], unread=EXIT_UNREAD)
    if result.unread:
        sys.exit(EXIT_UNREAD)
    sys.exit(EXIT_FINDINGS if result.bad or result.kept else EXIT_CLEAN)
