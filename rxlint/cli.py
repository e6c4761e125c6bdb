"""The command line: a thin skin over the library. No logic of its own beyond options, output and exit codes."""

from __future__ import annotations

import contextlib
import datetime
import io
import os
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, Final

import click

from rxlint import __version__

EXIT_CLEAN: Final = 0
EXIT_FINDINGS: Final = 1
EXIT_USAGE: Final = 2
EXIT_UNREAD: Final = 3
_FAIL_AT: Final = ("reject", "query", "note", "never")


class Configuration(click.ClickException):
    """A pack or an option can't be used: exit 2, whatever else was found."""

    exit_code = EXIT_USAGE


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="rxlint")
def main() -> None:
    """Screen ventilation prescriptions that are kept as plain text.

    A screening aid, not a medical device: local policy, the ventilator's own instructions and licensed clinicians
    decide.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a character that the terminal's encoding lacks is told, not fatal
            stream.reconfigure(errors="backslashreplace")


def _day(_context: click.Context, _parameter: click.Parameter, value: str | None) -> datetime.date:
    if value is None:
        return datetime.date.today()
    try:
        day = datetime.date.fromisoformat(value)
    except ValueError:
        day = None
    if day is None or day.isoformat() != value:  # other forms of ISO 8601 are no dates of the notation either
        raise click.BadParameter(f"{_printable(value)} is not a date such as 2026-11-24")
    return day


def _printable(text: str) -> str:
    from rxlint.text import printable

    return printable(text)


_on = click.option(
    "--on", "day", callback=_day, metavar="DATE", help="The day on which to judge dates (default: today)."
)
_packs = click.option(
    "--pack", "pack_files", multiple=True, type=click.Path(), help="A further rule pack; may be given several times."
)

_policies = click.option(
    "--policy",
    "policy_files",
    multiple=True,
    type=click.Path(),
    help="A site's policy; the widest first. It stands above every policy that rxlint.yaml names.",
)
_python = click.option(
    "--python-rules",
    "python_names",
    metavar="NAME",
    multiple=True,
    help="Run the rules that an installed distribution offers under this name. They are code: run those you trust.",
)


@main.command()
@click.argument("paths", nargs=-1, required=True)
@click.option("--as", "name", metavar="NAME", help="The name to show for standard input (-).")
@_on
@_packs
@_policies
@_python
@click.option(
    "--settings",
    type=click.Choice(["nearest", "none"]),
    default="nearest",
    help="Whether to read the nearest rxlint.yaml of each document's folder.",
)
@click.option("--known", metavar="FILE", help="A list of known findings; in place of those that rxlint.yaml names.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to report.")
@click.option(
    "--fail-at",
    type=click.Choice(_FAIL_AT),
    default="query",
    help="The lowest level of finding that makes the exit code 1.",
)
@click.option("--coverage", is_flag=True, help="List the outcome of every rule for every document.")
@click.option("--explain", metavar="RULE", help="Show how one rule comes out: the value of every part of it.")
@click.option(
    "--colour", type=click.Choice(["auto", "always", "never"]), default="auto", help="Colour the text report."
)
def screen(
    paths: tuple[str, ...],
    name: str | None,
    day: datetime.date,
    pack_files: tuple[str, ...],
    policy_files: tuple[str, ...],
    python_names: tuple[str, ...],
    settings: str,
    known: str | None,
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

    rules = _rulings(pack_files, policy_files, python_names, nearest=settings == "nearest", known=known)
    totals = Totals()
    results = _results(paths, name, rules, day)
    if explain is not None:
        _explain(explain, results, rules, totals, day)
    elif form == "json":
        from rxlint.reports import json_report

        _write(json_report.report(results, rules, day.isoformat(), totals), end="", unread=EXIT_UNREAD)
    else:
        from rxlint.reports import text
        from rxlint.reports.style import Style

        coloured = colour == "always" or (colour == "auto" and sys.stdout.isatty())
        _write(text.report(results, Style(coloured), coverage, totals), unread=EXIT_UNREAD)
    sys.exit(EXIT_UNREAD if rules.unloaded and not totals.misconfigured else _status(totals, fail_at))


def _status(totals: Any, fail_at: str) -> int:
    if totals.misconfigured:
        return EXIT_USAGE
    if totals.unread or totals.crashes:
        return EXIT_UNREAD
    if fail_at == "never":
        return EXIT_CLEAN
    counted = _FAIL_AT[: _FAIL_AT.index(fail_at) + 1]
    return EXIT_FINDINGS if any(totals.levels[level] for level in counted) else EXIT_CLEAN


def _write(pieces: Iterable[str], end: str = "\n", unread: int = EXIT_CLEAN) -> None:
    """Write as the pieces come. Where the reader has gone away (a closed pipe), stop with exit code ``unread``."""
    try:
        for piece in pieces:
            sys.stdout.write(piece + end)
        sys.stdout.flush()
    except BrokenPipeError:
        # Python flushes once more at its end: that must not fail again
        with contextlib.suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(unread)


def _rulings(
    pack_files: tuple[str, ...],
    policy_files: tuple[str, ...],
    python_names: tuple[str, ...],
    *,
    nearest: bool,
    known: str | None = None,
) -> Any:
    from rxlint.library.rulings import Faults, Rulings
    from rxlint.packs.builtin import builtin_packs
    from rxlint.text import printable

    try:
        builtin_packs()
    except (ValueError, LookupError) as error:
        raise Configuration(f"the built-in rules can't be used:\n{error}") from None
    python = _python_rules(python_names)
    try:
        return Rulings(pack_files, policy_files, nearest=nearest, python=python, known=known)
    except Faults as faults:
        raise Configuration("\n".join(map(printable, str(faults).splitlines()))) from None


def _python_rules(names: tuple[str, ...]) -> Any:
    """The Python rules that the command line and the user's own configuration name, the former first."""
    from rxlint.library.user_settings import NAME, read_user_settings
    from rxlint.text import printable

    configured, problems = read_user_settings(Path(click.get_app_dir("rxlint")) / NAME)
    if problems:
        told = [printable(str(each)) for each in problems]
        raise Configuration("\n".join(["the user's configuration can't be used:", *told]))
    return _named_rules(names, configured)


def _named_rules(names: tuple[str, ...], configured: tuple[Any, ...] = ()) -> Any:
    from rxlint.extension.discover import Named, PythonRules, load_named

    if not names and not configured:
        return PythonRules()
    found, faults = load_named([*map(Named, names), *configured])
    if faults:
        raise Configuration("\n".join(map(_printable, faults)))
    return found


def _results(paths: tuple[str, ...], name: str | None, rules: Any, day: datetime.date) -> Iterator[Any]:
    """The results as they come. Faults of usage are raised at once, before anything is written."""
    if paths.count("-") > 1:
        raise click.UsageError("standard input can be given once")
    if name is not None and "-" not in paths:
        raise click.UsageError("--as names standard input; give - as a path")
    return _screened(paths, name or "<standard input>", rules, day)


def _screened(paths: tuple[str, ...], name: str, rules: Any, day: datetime.date) -> Iterator[Any]:
    from rxlint.library.discover import find_inputs, read_stream
    from rxlint.library.screen import screen_inputs, screen_under

    for path in paths:
        if path == "-":
            data = read_stream(sys.stdin.buffer if sys.stdin is not None else None)
            yield screen_under(rules.of_folder(_folder_of(name)), name, data, day)
        else:
            yield from screen_inputs(find_inputs([path]), rules, day)


def _folder_of(name: str) -> Path:
    """The folder that standard input belongs to by its name; the current one where that is no path."""
    folder = Path(name).parent
    with contextlib.suppress(OSError, ValueError):
        if folder.is_dir():
            return folder
    return Path()


def _known_rule(rule: str, rules: Any) -> Any:
    from rxlint.expressions.problems import near

    known = {each.id: each for each in rules.all_rules}
    if rule not in known:
        close = near(rule, known)
        hint = f"; did you mean {' or '.join(close)}?" if close else ""
        raise Configuration(f"there is no rule {_printable(rule)}{hint}")
    return known[rule]


def _explain(rule: str, results: Iterable[Any], rulings: Any, totals: Any, day: datetime.date) -> None:
    from rxlint.reports.explain import explain

    for screened in results:
        totals.add(screened)
        rules = rulings.of_settings(screened.settings)
        _write(explain(_known_rule(rule, rules), screened, rules, day), unread=EXIT_UNREAD)


@main.command()
@click.argument("rule", required=False)
@_packs
@_policies
@_python
def rules(
    rule: str | None, pack_files: tuple[str, ...], policy_files: tuple[str, ...], python_names: tuple[str, ...]
) -> None:
    """List the rules, or show one rule's page."""
    from rxlint.reports.rule_page import rule_list, rule_page

    ready = _rulings(pack_files, policy_files, python_names, nearest=False).base
    for failure in ready.unloaded:
        click.echo(f"the Python rules {_printable(failure.name)} {_printable(failure.error)}", err=True)
    if rule is None:
        _write(rule_list(ready.all_rules))
    else:
        known = _known_rule(rule, ready)
        asked = (ready.must_check[rule],) if rule in ready.must_check else ()
        _write(rule_page(known, (*ready.origins.get(rule, ()), *asked)))
    sys.exit(EXIT_UNREAD if ready.unloaded else EXIT_CLEAN)


@main.command()
@click.argument("file", type=click.Path())
@click.argument("paths", nargs=-1, required=True)
@click.option("--start", is_flag=True, help="Write a new list of everything that is found now.")
@click.option("--check", is_flag=True, help="Write nothing; exit code 1 where the list could be shorter.")
@_on
@_packs
@_policies
@_python
def known(
    file: str,
    paths: tuple[str, ...],
    start: bool,
    check: bool,
    day: datetime.date,
    pack_files: tuple[str, ...],
    policy_files: tuple[str, ...],
    python_names: tuple[str, ...],
) -> None:
    """Keep a list of the findings that an old library has already, so that new ones stand out.

    The list is started once with --start. After that it only ever shrinks: what is found no more is taken out.
    """
    from rxlint.library.discover import find_inputs
    from rxlint.library.renewal import renew

    rules = _rulings(pack_files, policy_files, python_names, nearest=True)
    result = renew(Path(file), file, find_inputs(paths), rules, day, start=start, write=not check)
    _write(map(_printable, result.told))
    if result.refused:
        sys.exit(EXIT_USAGE)
    if result.unread:
        sys.exit(EXIT_UNREAD)
    sys.exit(EXIT_FINDINGS if check and result.changed else EXIT_CLEAN)


@main.command("test-pack")
@click.argument("pack_files", metavar="PACK...", nargs=-1, type=click.Path())
@_python
def test_pack(pack_files: tuple[str, ...], python_names: tuple[str, ...]) -> None:
    """Review packs for their authors: run their cases, and find cases and rules that say nothing.

    Exit code: 0 nothing found, 1 cases that fail or remarks, 2 a pack that can't be used, 3 Python rules that could
    not be loaded. What can't be told is shown, and is no fault.
    """
    from rxlint.reports.review import review_lines
    from rxlint.screening.pack_review import review
    from rxlint.screening.ruleset import ConflictError

    python = _named_rules(python_names)
    packs = [*_packs_of(pack_files), *python.packs]
    if not packs and not python.failures:
        raise click.UsageError("name a pack, or --python-rules")
    sound = True
    for pack in packs:
        try:
            found = review(pack)
        except ConflictError as error:
            raise Configuration(_printable(str(error))) from None
        sound = sound and found.is_sound
        _write(review_lines(found))
    for failure in python.failures:
        click.echo(f"the Python rules {_printable(failure.name)} {_printable(failure.error)}", err=True)
    sys.exit(EXIT_UNREAD if python.failures else EXIT_CLEAN if sound else EXIT_FINDINGS)


def _packs_of(files: tuple[str, ...]) -> list[Any]:
    """The packs of some files; each may refer to the built-in ones and to those before it."""
    from rxlint.packs.builtin import builtin_packs
    from rxlint.packs.load import load_pack

    packs: list[Any] = []
    faults: list[str] = []
    for file in files:
        pack, problems = load_pack(Path(file), file, (*builtin_packs(), *packs))
        faults += [_printable(str(each)) for each in problems]
        if pack is not None:
            packs.append(pack)
    if faults:
        raise Configuration("\n".join(["a rule pack can't be used:", *faults]))
    return packs


@main.command()
@click.argument("paths", nargs=-1, required=True)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to report.")
def calculations(paths: tuple[str, ...], form: str) -> None:
    """Show every value that the documents imply, with formula, numbers, unit and source."""
    from rxlint.library.discover import find_inputs
    from rxlint.reports.calculations import json_of, text_of

    inputs = find_inputs(paths)
    unread = _write_counted(json_of(inputs) if form == "json" else text_of(inputs))
    sys.exit(EXIT_UNREAD if unread else EXIT_CLEAN)


def _write_counted(pieces: Iterator[tuple[str, bool]]) -> int:
    unread = 0
    for piece, failed in pieces:
        unread += failed
        _write([piece], end="", unread=EXIT_UNREAD)
    return unread


if __name__ == "__main__":
    main()
