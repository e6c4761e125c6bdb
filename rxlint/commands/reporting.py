"""The reports of a run: one on standard output, further ones in files, all made of the same results as they come."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from rxlint.commands.common import EXIT_UNREAD, EXIT_USAGE, Configuration, shown
from rxlint.commands.streams import let_go, lose_output, put

if TYPE_CHECKING:
    from rxlint.reports.report import AnyResult, Ending, Report
    from rxlint.text.files import WholeFile

FORMS: Final = ("text", "json", "sarif", "junit", "github", "gitlab", "checkstyle")
WHOLE_LINES: Final = frozenset({"text", "github"})
"""The forms of which each piece is made of whole lines."""
_NEVER: Final = {
    ".vrx": "a report is not written to a document (*.vrx)",
    ".yaml": "a report is not written to settings or rules (*.yaml)",
    ".yml": "a report is not written to settings or rules (*.yml)",
}
"""Endings of files that others than reports have: a run reads more of them than its command line names."""

Maker = Callable[[str, bool], "Report"]
"""Makes a report of a form, for standard output or (False) for a file."""
Beside = Callable[[Iterable[str]], Iterable[str]]
"""Passes the pieces of a report on, and makes room for each where something else is shown on the terminal."""


@dataclass(frozen=True, slots=True)
class FileReport:
    """A further report that is asked for: its form, and the file to write it to."""

    form: str
    path: Path


def _reports_of(
    _context: click.Context, _parameter: click.Parameter, values: tuple[str, ...]
) -> tuple[FileReport, ...]:
    """The further reports, each FORMAT=FILE. Raises click.BadParameter."""
    found: list[FileReport] = []
    for value in values:
        form, equals, file = value.partition("=")
        if not equals or not file or form not in FORMS:
            raise click.BadParameter(f"{shown(value)}: write FORMAT=FILE, with FORMAT one of {', '.join(FORMS)}")
        if file == "-":
            raise click.BadParameter(f"{shown(value)}: standard output has the report that --format chooses")
        found.append(FileReport(form, Path(file)))
    return tuple(found)


with_reports = click.option(
    "--report",
    "further",
    metavar="FORMAT=FILE",
    multiple=True,
    callback=_reports_of,
    help="Write a report to a file too, beside the one on standard output; may be given several times.",
)


@contextmanager
def open_files(further: Sequence[FileReport], read: Iterable[str]) -> Iterator[list[_File]]:
    """The files of further reports, opened before anything is screened, and put in place by ``tell``.

    ``read`` are files that the command line names to be read: none of them is written over, and no document, pack,
    policy or settings file is (told by its ending). Raises Configuration for a file that can't be written.
    """
    from rxlint.text.files import WholeFile, named_file

    taken: dict[Path, str] = {}
    for each in read:
        with contextlib.suppress(OSError, RuntimeError, ValueError):
            taken[Path(each).resolve()] = "a file that is read is not written over"
    with ExitStack() as stack:
        files: list[_File] = []
        for report in further:
            try:
                path = named_file(report.path).resolve()
                why = taken.get(path) or _NEVER.get(path.suffix.lower())
                if why is not None:
                    raise _refused(report.path, why)
                taken[path] = "two reports can't be written to one file"
                # Pushed before it is entered: an interrupt between the two must find it.
                files.append(_File(report, stack.push(WholeFile(path)).__enter__()))
            except (OSError, RuntimeError, ValueError) as error:
                raise _refused(report.path, _reason(error)) from None
        yield files


def _refused(path: Path, why: str) -> Configuration:
    return Configuration(f"the report {shown(str(path))} can't be written: {why}")


def _reason(error: Exception) -> str:
    return str(getattr(error, "strerror", None) or error)


@dataclass(slots=True)
class _File:
    """A report in a file. What goes wrong with it keeps the others from nothing, and is told at the end."""

    asked: FileReport
    file: WholeFile
    fault: str | None = None

    def write(self, pieces: Iterable[str]) -> None:
        if self.fault is None:
            try:
                for piece in pieces:
                    self.file.write(piece.encode("utf-8", "backslashreplace"))
            except OSError as error:
                self.fault = _reason(error)

    def put(self) -> None:
        if self.fault is None:
            try:
                self.file.put()
            except OSError as error:
                self.fault = _reason(error)


@dataclass(slots=True)
class _Output:
    """Standard output, which may take no more at any time, for its reader closed it or its disk is full: then nothing
    more is written to it.
    """

    beside: Beside
    is_open: bool = True

    def write(self, pieces: Iterable[str]) -> None:
        if not self.is_open:
            return
        for piece in self.beside(pieces):
            try:
                put(piece)
            except OSError as error:
                self.close(error)
                return

    def flush(self) -> None:
        if self.is_open:
            try:
                let_go()
            except OSError as error:
                self.close(error)

    def close(self, error: OSError) -> None:
        self.is_open = False
        lose_output(error)


def tell(
    form: str,
    files: Sequence[_File],
    results: Iterable[AnyResult],
    totals: Any,
    make: Maker,
    end: Callable[[], Ending],
    beside: Beside,
) -> int:
    """Make all reports of the results, which are counted into ``totals``, and give the exit code.

    Where standard output takes no more, the run stops with the exit code of what was not read; if there are files to
    write it goes on for these.
    """
    output, first = _Output(beside), make(form, True)
    others = [(each, make(each.asked.form, False)) for each in files]
    output.write(first.start())
    for file, report in others:
        file.write(report.start())
    for screened in results:
        totals.add(screened)
        output.write(first.document(screened))
        for file, report in others:
            file.write(report.document(screened))
        if not output.is_open and not others:
            return EXIT_UNREAD
    ending = end()
    output.write(first.end(ending))
    output.flush()
    for file, report in others:
        file.write(report.end(ending))
        file.put()
    faults = [f"the report {each.asked.path} can't be written: {each.fault}" for each in files if each.fault]
    for fault in faults:
        click.echo(f"Error: {shown(fault)}", err=True)
    if faults:
        return EXIT_USAGE
    return ending.status if output.is_open else EXIT_UNREAD
