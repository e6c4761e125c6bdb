"""``rxlint sheet``: a page for the second checker, of one document or of each document of a folder."""

from __future__ import annotations

import datetime
import importlib
import os
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Final

import click

from rxlint.commands.common import (
    EXIT_UNREAD,
    Chosen,
    Configuration,
    on_day,
    shown,
    status_of,
    with_fail_at,
    with_known,
    with_profiles,
    with_rules,
    with_settings,
    write,
)

_NEEDS_SHEET: Final = "a sheet needs jinja2, which is not here: install rxlint[sheet]"
_NEEDS_PDF: Final = "--pdf needs weasyprint, which is not here: install rxlint[pdf]"


@dataclass(frozen=True, slots=True)
class Asked:
    """What a run was asked for beside its rules."""

    day: datetime.date
    before: str | None
    revision: str | None
    ventilator: str | None
    pdf: bool

    @property
    def ending(self) -> str:
        """The ending of a page's name."""
        return ".pdf" if self.pdf else ".html"


@dataclass(slots=True)
class _Earlier:
    """What documents are compared with, by the path of the new text; None where no earlier revision was given."""

    name: str | None = None
    by_path: dict[str, Any] = field(default_factory=dict)
    gone: list[str] = field(default_factory=list)
    unread: int = 0


@click.command()
@click.argument("path", metavar="PATH")
@click.option(
    "-o", "--output", "output", metavar="FILE", required=True, help="The page to write; of a folder, a folder."
)
@click.option("--before", metavar="FILE", help="The last revision, to tell what changed; of a folder, a folder.")
@click.option("--since", "revision", metavar="REV", help="The same, from a revision of the file's git repository.")
@click.option("--ventilator", metavar="NAME", help="Add the set-up list for this ventilator.")
@click.option("--pdf", is_flag=True, help="Write PDF instead of HTML (extra pdf).")
@on_day
@with_rules(with_profiles, with_settings, with_known)
@with_fail_at
def sheet(
    path: str,
    output: str,
    before: str | None,
    revision: str | None,
    ventilator: str | None,
    pdf: bool,
    day: datetime.date,
    chosen: Chosen,
    fail_at: str,
) -> None:
    """Make a page for the second checker of a document: room for own sums first, then what was found.

    PATH is one file, or a folder: then every document of it gets a page, and index.html lists them. A page is one file
    that needs nothing else, on screen and on paper.

    Exit code: as of `rxlint screen`. 0 nothing at or above --fail-at, 1 findings, 2 usage, configuration, or a page
    can't be written, 3 some input could not be read or a rule failed. Where 1 or 3, the page is written all the same.
    """
    from rxlint.reports.sheet.files import NotWritten
    from rxlint.reports.text import Totals

    if before is not None and revision is not None:
        raise click.UsageError("give --before or --since, not both")
    _need(pdf)
    asked = Asked(day, before, revision, ventilator, pdf)
    rules = chosen.rulings()
    totals = Totals()
    earlier = _earlier(path, asked, rules)
    try:
        if Path(path).is_dir():
            told = _folder(path, Path(output), rules, asked, earlier, totals)
        else:
            told = _file(path, Path(output), rules, asked, earlier, totals)
        write(told, unread=EXIT_UNREAD)
    except NotWritten as error:
        raise Configuration(shown(str(error))) from None
    status = status_of(totals, fail_at)
    unread = (rules.unloaded or earlier.unread) and not totals.misconfigured
    sys.exit(EXIT_UNREAD if unread else status)


def _need(pdf: bool) -> None:
    """Raises Configuration where a library is missing, with the extra that brings it."""
    wanted = [("jinja2", _NEEDS_SHEET), *([("weasyprint", _NEEDS_PDF)] if pdf else [])]
    for module, told in wanted:
        try:
            importlib.import_module(module)
        except (ImportError, OSError):  # the second where a library that it stands on is missing
            raise Configuration(told) from None


# ---- what they are compared with


def _earlier(path: str, asked: Asked, rules: Any) -> _Earlier:
    """The comparisons of a run. Raises Configuration where there is nothing to compare with."""
    from rxlint.library.comparing import CannotCompare, NoRevision, compare_pairs, pairs_of, pairs_since

    if asked.before is None and asked.revision is None:
        return _Earlier()
    try:
        if asked.before is not None:
            pairs = pairs_of(asked.before, path)
        else:
            assert asked.revision is not None
            pairs = pairs_since(asked.revision, [path])
    except (CannotCompare, NoRevision) as error:
        raise Configuration(shown(str(error))) from None
    found = _Earlier(asked.before if asked.before is not None else f"revision {asked.revision}")
    for each in compare_pairs(pairs, rules, asked.day):
        new = each.pair.new
        if new is None:
            found.gone.append(each.shown)
        if new is not None and new.path is not None:
            found.by_path[os.fspath(new.path)] = each
            old = each.pair.old
            found.unread += old is not None and any(name == old.shown for name, _ in each.problems)
    return found


# ---- one document


def _file(path: str, output: Path, rules: Any, asked: Asked, earlier: _Earlier, totals: Any) -> Iterator[str]:
    from rxlint.library.discover import find_inputs
    from rxlint.reports.sheet.files import write_page

    if output.suffix.lower() not in ((asked.ending,) if asked.pdf else (".html", ".htm")):
        raise click.UsageError(
            f"name a file that ends in {asked.ending} with -o{'' if asked.pdf else ', or give --pdf'}"
        )
    found = next(iter(find_inputs([path])))
    screened = _screened(found, rules, asked)
    if screened.misconfigured:
        raise Configuration("\n".join(shown(each.message) for each in screened.problems))
    totals.add(screened)
    for problem in screened.problems:
        click.echo(f"{shown(path)}: unread: {shown(problem.message)}", err=True)
    write_page(output, _page(found, screened, rules, asked, earlier, totals)[0])
    yield f"{shown(str(output))}: sheet of {shown(path)}"


def _screened(found: Any, rules: Any, asked: Asked) -> Any:
    from rxlint.library.screen import screen_inputs

    return next(iter(screen_inputs([found], rules, asked.day)))


def _page(found: Any, screened: Any, rules: Any, asked: Asked, earlier: _Earlier, totals: Any) -> tuple[bytes, str]:
    """The page of one document, and the fault of ours that stands on it in place of a sheet, if there is one.

    Raises Configuration for a ventilator that there is no profile of.
    """
    from rxlint.library.discover import read_input
    from rxlint.library.screen import Screened
    from rxlint.library.setup_list import NoList
    from rxlint.reports.sheet.content import sheet_of
    from rxlint.reports.sheet.given import given_of
    from rxlint.reports.sheet.render import sheet_html
    from rxlint.text import Problem

    key = os.fspath(found.path) if found.path is not None else ""
    given = given_of(
        found,
        screened,
        rules,
        asked.day,
        ventilator=asked.ventilator,
        compared=earlier.by_path.get(key),
        unchanged_since=earlier.name,
    )
    told = ""
    try:
        page = sheet_html(sheet_of(screened, given))
    except NoList as error:
        raise Configuration(shown(str(error))) from None
    except Exception as error:  # a fault of ours in one document must neither hide the others nor look clean
        told = f"no sheet could be made, through a fault of this program: {type(error).__name__}: {error}"
        click.echo(f"{shown(found.shown)}: {shown(told)}", err=True)
        totals.unread += 1
        data = read_input(found)
        failed = replace(given, data=data if isinstance(data, bytes) else None)
        page = sheet_html(sheet_of(Screened(screened.shown, (Problem(told),), None, None), failed))
    return _bytes(page, asked), told


def _bytes(page: str, asked: Asked) -> bytes:
    if not asked.pdf:
        return page.encode("utf-8")
    from rxlint.reports.sheet.pdf import pdf_of

    return pdf_of(page)


# ---- a folder


def _folder(path: str, output: Path, rules: Any, asked: Asked, earlier: _Earlier, totals: Any) -> Iterator[str]:
    """A page for each document, and the index of them all, which is always HTML."""
    from rxlint.library.discover import find_inputs
    from rxlint.reports.sheet.content_index import linked, row_of
    from rxlint.reports.sheet.files import NotWritten, write_page
    from rxlint.reports.sheet.names import INDEX, page_names
    from rxlint.reports.sheet.render import index_html
    from rxlint.reports.text import policies_told

    inputs = list(find_inputs([path]))
    places = {id(each): _place(each, path) for each in inputs}
    names = page_names([places[id(each)] for each in inputs if each.path is not None], asked.ending)
    try:
        output.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise NotWritten(f"{output} can't be made a folder: {error.strerror or error}") from None
    rows = []
    for each in inputs:
        screened = _screened(each, rules, asked)
        totals.add(screened)
        name, fault = names.get(places[id(each)], "") if not screened.misconfigured else "", ""
        if name:
            data, fault = _page(each, screened, rules, asked, earlier, totals)
            write_page(output / name, data, output)
        for problem in screened.problems:
            what = "not screened" if screened.misconfigured else "unread"
            click.echo(f"{shown(each.shown)}: {what}: {shown(problem.message)}", err=True)
        row = row_of(screened, places[id(each)], name)
        rows.append(replace(row, unread=fault) if fault else row)
    index = index_html(linked(rows), path, asked.day.isoformat(), policies=tuple(policies_told(totals.policies)))
    write_page(output / INDEX, index.encode("utf-8"), output)
    yield from (f"{shown(each)}: is gone, and has no sheet" for each in earlier.gone)
    yield f"{shown(str(output / INDEX))}: {len(rows)} document{'' if len(rows) == 1 else 's'} of {shown(path)}"


def _place(found: Any, folder: str) -> str:
    """The place of a document below the folder that was given, with forward slashes."""
    if found.path is None:
        return str(found.shown)
    return Path(os.path.relpath(found.path, folder)).as_posix()
