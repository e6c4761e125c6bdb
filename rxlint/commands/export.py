"""``rxlint export``: a document in another form."""

from __future__ import annotations

import datetime
import os
import sys
from pathlib import Path
from typing import Any, Final, NoReturn

import click

from rxlint.commands.common import (
    EXIT_CLEAN,
    EXIT_FINDINGS,
    EXIT_UNREAD,
    EXIT_USAGE,
    Chosen,
    on_day,
    read_one,
    shown,
    with_known,
    with_rules,
    with_settings,
    write,
)

_STATUS: Final = {
    "exported": EXIT_CLEAN, "incomplete": EXIT_FINDINGS, "refused": EXIT_FINDINGS, "not usable": EXIT_UNREAD,
    "misconfigured": EXIT_USAGE,
}  # fmt: skip
_STREAM: Final = "<standard input>"


@click.command()
@click.argument("path", metavar="FILE", type=click.Path())
@click.option("--to", "form", type=click.Choice(["json", "fhir"]), required=True, help="The form to export to.")
@click.option("-o", "--output", metavar="FILE", help="The file to write (default: standard output).")
@click.option("--force", is_flag=True, help="Overwrite a file that is there already.")
@click.option("--subject", metavar="PSEUDONYM", help="fhir: whom the requests are for; an order does not name anybody.")
@click.option(
    "--canonical-base",
    metavar="URL",
    help="fhir: what stands before a template's identifier to make its URL.",
)
@click.option("--despite-findings", is_flag=True, help="fhir: export what must not be used as written, as a draft.")
@on_day
@with_rules(with_settings, with_known)
def export(
    path: str,
    form: str,
    output: str | None,
    force: bool,
    subject: str | None,
    canonical_base: str | None,
    despite_findings: bool,
    day: datetime.date,
    chosen: Chosen,
) -> None:
    """Export a document: to plain JSON, which `rxlint import` reads back, or to requests in HL7 FHIR R5.

    The JSON holds what the document states, not what rules find in it; lines that can't be read are carried as they
    stand. FHIR takes a prescription: a Bundle with a DeviceRequest for each period. What no element can say stands in
    notes.

    Exit code: 0 exported, 1 some lines can't be read, something is to be rejected or the file is there already,
    2 usage or configuration, 3 the document can't be read, a rule failed or the file can't be written.
    """
    if form == "json" and (subject is not None or canonical_base is not None or despite_findings):
        raise click.UsageError("--subject, --canonical-base and --despite-findings go with --to fhir")
    if subject is not None and not subject.strip():
        raise click.UsageError("--subject is empty")
    target = _target(output, path, force=force) if output is not None else None
    found = _json(path) if form == "json" else _fhir(path, chosen, day, subject, canonical_base or "", despite_findings)
    for line in found.told:
        click.echo(shown(line), err=True)
    if found.text and output is not None and target is not None:
        _write(target, output, found.text, new=not force)
    elif found.text:
        write([found.text], end="", unread=EXIT_UNREAD)
    sys.exit(_STATUS[found.outcome])


def _json(path: str) -> Any:
    from rxlint.exchange.exporting import to_json
    from rxlint.library.screen import parse_bytes

    data = read_one(path, "exported")
    return to_json(parse_bytes(data) if isinstance(data, bytes) else data, _STREAM if path == "-" else path)


def _fhir(path: str, chosen: Chosen, day: datetime.date, subject: str | None, base: str, despite: bool) -> Any:
    from rxlint.exchange.exporting import to_fhir
    from rxlint.exchange.fhir import Options
    from rxlint.library.screen import screen_under

    rules, data = chosen.rulings(), read_one(path, "exported")
    if path == "-":
        screened = screen_under(rules.of_folder(Path()), _STREAM, data, day)
    else:
        place = Path(path)
        screened = screen_under(rules.of_folder(place.parent), path, data, day, place, shelf=rules.library(place))
    return to_fhir(screened, day, Options(subject, base), despite_findings=despite)


def _refuse(output: str) -> NoReturn:
    click.echo(f"{shown(output)} is there already and was not overwritten (--force does that)", err=True)
    sys.exit(EXIT_FINDINGS)


def _target(output: str, source: str, *, force: bool) -> Path:
    """The file to write. Ends the run where it can't be that one."""
    from rxlint.text.files import named_file

    try:
        target = named_file(Path(output))
        if not force and os.path.lexists(target):
            _refuse(output)
        return named_file(Path(output), *([Path(source)] if source != "-" else []))
    except (OSError, ValueError) as error:
        _fail(output, error)


def _fail(output: str, error: Exception) -> NoReturn:
    click.echo(f"{shown(output)}: can't be written: {getattr(error, 'strerror', None) or error}", err=True)
    sys.exit(EXIT_UNREAD)


def _write(target: Path, output: str, text: str, *, new: bool) -> None:
    from rxlint.text.files import write_whole

    try:
        write_whole(target, text.encode("utf-8"), new=new)
    except FileExistsError:  # somebody made it meanwhile
        _refuse(output)
    except (OSError, ValueError) as error:
        _fail(output, error)
