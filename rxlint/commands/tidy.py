"""``rxlint tidy``: documents in one layout."""

from __future__ import annotations

import difflib
import sys
from collections.abc import Iterator
from typing import Any, Final

import click

from rxlint.commands.common import EXIT_CLEAN, EXIT_FINDINGS, EXIT_UNREAD, shown, write
from rxlint.commands.completion import documents
from rxlint.commands.streams import lose_output, put_bytes

_STANDARD_INPUT: Final = "<standard input>"
_NO_END: Final = "\\ No newline at end of file"


@click.command()
@click.argument("paths", nargs=-1, required=True, shell_complete=documents)
@click.option("--as", "name", metavar="NAME", help="The name to show for standard input (-).")
@click.option("--check", is_flag=True, help="Write nothing; exit code 1 where something would change.")
@click.option("--diff", is_flag=True, help="Write nothing; show what would change.")
def tidy(paths: tuple[str, ...], name: str | None, check: bool, diff: bool) -> None:
    """Give documents one layout: files and folders of .vrx files in place, or - for standard input.

    Headings stand at the margin, details are indented under them, values stand in one column, one blank line parts
    sections. Nothing but white space changes: words, numbers, units, quoted texts, comments and the order of lines stay
    as they are. A line that can't be read stays as it is, to the byte, and a file keeps its kind of line ends.

    Exit code: 0 all is tidy or was tidied, 1 with --check where something would change, 2 usage, 3 some input could
    not be read, tidied or written.
    """
    if "-" in paths and len(paths) > 1:
        raise click.UsageError("standard input goes alone: its text is written to standard output")
    if name is not None and "-" not in paths:
        raise click.UsageError("--as names standard input; give - as a path")
    if "-" in paths and not (check or diff):
        sys.exit(_filtered(name or _STANDARD_INPUT))
    counts = _Counts()
    write(counts.told(_results(paths, name, is_written=not (check or diff)), check, diff), unread=EXIT_UNREAD)
    sys.exit(EXIT_UNREAD if counts.problems else EXIT_FINDINGS if check and counts.changed else EXIT_CLEAN)


class _Counts:
    """What has become of the files so far."""

    def __init__(self) -> None:
        self.changed = self.same = self.problems = 0

    def told(self, results: Iterator[Any], check: bool, diff: bool) -> Iterator[str]:
        """The lines of the report, as the results come."""
        would = "would be " if check or diff else ""
        for each in results:
            _warn(each)
            if each.problem is not None:
                self.problems += 1
            elif each.is_changed:
                self.changed += 1
                yield from _diff(each) if diff else [f"{shown(each.shown)}: {would}tidied"]
            else:
                self.same += 1
        if not diff:
            unread = f", {self.problems} not" if self.problems else ""
            yield f"{_files(self.changed)} {would}tidied, {self.same} tidy already{unread}."


def _files(count: int) -> str:
    return f"{count} file{'' if count == 1 else 's'}"


def _warn(result: Any) -> None:
    """Tell beside the report what could not be done, and what stays as written."""
    told = [result.problem] if result.problem is not None else []
    if result.unread:
        told.append(f"left as written: {_lines(result.unread)}, not read with certainty; `rxlint screen` tells why")
    if result.left:
        told.append(f"left as written: section at {_lines(result.left)}, which would not read the same")
    for each in told:
        click.echo(f"{shown(result.shown)}: {shown(each)}", err=True)


def _lines(numbers: tuple[int, ...]) -> str:
    return f"line{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"


def _results(paths: tuple[str, ...], name: str | None, *, is_written: bool) -> Iterator[Any]:
    from rxlint.library.discover import find_inputs, read_stream
    from rxlint.library.tidying import tidy_bytes, tidy_files

    if paths == ("-",):
        yield tidy_bytes(name or _STANDARD_INPUT, read_stream(sys.stdin.buffer if sys.stdin is not None else None))
    else:
        yield from tidy_files(find_inputs(paths), write=is_written)


def _filtered(name: str) -> int:
    """Standard input to standard output: the tidied text, and what came in where it can't be tidied."""
    from rxlint.library.discover import read_stream
    from rxlint.library.tidying import tidy_bytes

    data = read_stream(sys.stdin.buffer if sys.stdin is not None else None)
    result = tidy_bytes(name, data)
    _warn(result)
    if result.problem is None:
        data = result.new.encode("utf-8")
    if isinstance(data, bytes):
        try:
            put_bytes(data)
        except OSError as error:
            lose_output(error)
            return EXIT_UNREAD
    return EXIT_UNREAD if result.problem is not None else EXIT_CLEAN


def _diff(result: Any) -> Iterator[str]:
    """The lines of a unified diff, safe for a terminal; carriage returns, which tidying keeps, are not shown."""
    old, new = result.old.split("\n"), result.new.split("\n")
    old, new = ([f"{line}\n" for line in lines[:-1]] + lines[-1:] * bool(lines[-1]) for lines in (old, new))
    name = shown(result.shown)
    for line in difflib.unified_diff(old, new, name, f"{name} (tidied)"):
        yield shown(line.removesuffix("\n").removesuffix("\r"))
        if not line.endswith("\n"):
            yield _NO_END
