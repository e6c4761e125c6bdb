"""``rxlint import``: a table of orders, or a document in JSON, to documents."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

import click

from rxlint.commands.common import EXIT_CLEAN, EXIT_FINDINGS, EXIT_UNREAD, EXIT_USAGE, read_one, shown, write

_DELIMITERS: Final = ("comma", "semicolon", "tab")
_STREAM: Final = "<standard input>"
_STATUS: Final = {
    "imported": EXIT_CLEAN, "incomplete": EXIT_FINDINGS, "kept": EXIT_FINDINGS, "not read": EXIT_UNREAD
}  # fmt: skip


@click.command("import")
@click.argument("table", metavar="FILE")
@click.option("-o", "--output", "folder", metavar="DIR", required=True, help="The folder to write documents to.")
@click.option("--from", "form", type=click.Choice(["csv", "json"]), help="What FILE is (default: json if it ends so).")
@click.option("--delimiter", type=click.Choice(_DELIMITERS), help="csv: what stands between cells (or found out).")
@click.option(
    "--decimal",
    type=click.Choice(["point", "comma"]),
    default="point",
    help="csv: what decimals stand after. A comma is never guessed.",
)
@click.option("--force", is_flag=True, help="Overwrite documents that are there already.")
def import_(table: str, folder: str, form: str | None, delimiter: str | None, decimal: str, force: bool) -> None:
    """Make a document of every row of a table (CSV, UTF-8), or of a document that was exported to JSON.

    FILE may be - for standard input.

    The first row of a table names terms with their units: `id`, `patient age [years]`, `PEEP [cmH2O]`,
    `alarm high rate [/min]`. An empty cell states nothing. A cell that can't be read is told by row and column, and its
    document has a line that can't be read in its place.

    JSON is as `rxlint export --to json` writes it. For it, -o may also be the document's own file, NAME.vrx, or - for
    standard output. What can't be read in it is told by its path, and then nothing is written.

    Exit code: 0 everything was imported, 1 something can't be read or some documents were not overwritten, 2 the
    header of a table can't be used, 3 the file can't be read to its end or a document can't be written.
    """
    if form == "json" or (form is None and Path(table).suffix.lower() == ".json"):
        if delimiter is not None or decimal != "point":
            raise click.UsageError("--delimiter and --decimal go with a table")
        _json(table, folder, force)
    _table(table, folder, delimiter, decimal, force)


def _json(path: str, target: str, force: bool) -> None:
    from rxlint.exchange.importing import import_file

    found = import_file(
        read_one(path, "imported"), _STREAM if path == "-" else path, None if target == "-" else target, force=force
    )
    for line in found.told:
        click.echo(shown(line), err=True)
    if target == "-":
        write([found.text], end="", unread=EXIT_UNREAD)
    sys.exit(_STATUS[found.outcome])


def _table(table: str, folder: str, delimiter: str | None, decimal: str, force: bool) -> None:
    from rxlint.library.table_import import DELIMITERS, Import, Table, import_table

    result = Import()
    is_stream = table == "-"
    given = Table(
        shown(_STREAM if is_stream else table),
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
