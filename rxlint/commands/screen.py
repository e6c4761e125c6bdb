"""``rxlint screen``: findings in documents."""

from __future__ import annotations

import contextlib
import datetime
import sys
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rxlint.commands.common import (
    EXIT_UNREAD,
    Chosen,
    Configuration,
    is_coloured,
    known_rule,
    on_day,
    shown,
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
from rxlint.commands.completion import documents, rule_ids
from rxlint.commands.lines import refuse_others, screen_stream, with_lines
from rxlint.commands.progress import Progress, is_wanted
from rxlint.commands.reporting import FORMS, WHOLE_LINES, FileReport, open_files, tell, with_reports
from rxlint.commands.running import ending_of, jobs_of, run_of, wants_of
from rxlint.reports.where import STANDARD_INPUT

if TYPE_CHECKING:
    from rxlint.library.run import Run
    from rxlint.reports.report import Ending, Report


@click.command()
@click.argument("paths", nargs=-1, shell_complete=documents)
@with_lines
@click.option(
    "--since",
    "revision",
    metavar="REV",
    help="Screen only what may come out differently than at this revision of the git repository.",
)
@click.option("--as", "name", metavar="NAME", help="The name to show for standard input (-).")
@click.option(
    "--readings",
    "sheets",
    metavar="FILE",
    multiple=True,
    shell_complete=documents,
    help="Readings on their own, to screen with one order as if they stood in it; may be given several times.",
)
@on_day
@with_rules(with_profiles, with_settings, with_known)
@with_format(*FORMS)
@with_reports
@with_fail_at
@click.option("--coverage", is_flag=True, help="List the outcome of every rule for every document.")
@click.option(
    "--explain",
    metavar="RULE",
    shell_complete=rule_ids,
    help="Show how one rule comes out: the value of every part of it.",
)
@with_colour
@click.option(
    "--jobs", callback=jobs_of, default="1", metavar="N|auto", help="Processes that screen; auto: one a core."
)
@click.option("--no-cache", is_flag=True, help="Keep no results for later runs, and use none of earlier ones.")
@click.option("--no-progress", is_flag=True, help="Don't show on the terminal how far a long run has come.")
def screen(
    paths: tuple[str, ...],
    lines: str | None,
    revision: str | None,
    name: str | None,
    sheets: tuple[str, ...],
    day: datetime.date,
    chosen: Chosen,
    form: str,
    further: tuple[FileReport, ...],
    fail_at: str,
    coverage: bool,
    explain: str | None,
    colour: str,
    jobs: int,
    no_cache: bool,
    no_progress: bool,
) -> None:
    """Screen documents: files, folders of .vrx files, - for standard input, or a stream of many (--from-lines).

    Exit code: 0 nothing at or above --fail-at, 1 findings, 2 usage or configuration, 3 some input could not be read
    or a rule failed.
    """
    from rxlint.reports.totals import Totals

    if lines is not None:
        refuse_others(click.get_current_context())
        sys.exit(screen_stream(lines, chosen, day, fail_at))
    if explain is not None and further:
        raise click.UsageError("--explain shows one rule and makes no report: leave --report out")
    forms = {form, *(each.form for each in further)}
    is_one = explain is not None or bool(sheets)
    run = run_of(
        chosen, day, jobs=1 if is_one else jobs, cached=not (no_cache or is_one), wants=wants_of(forms, coverage)
    )
    totals = Totals()
    found = _inputs(paths, revision, name, sheets, chosen)
    whole_lines = explain is not None or form in WHOLE_LINES
    progress = Progress(len(found), sys.stderr, wanted=not no_progress and is_wanted(whole_lines=whole_lines))
    results = progress.over(_results(paths, found, name, sheets, run))

    def status() -> int:
        unloaded = run.is_loaded and run.rules.unloaded
        return EXIT_UNREAD if unloaded and not totals.misconfigured else status_of(totals, fail_at)

    def end() -> Ending:
        return ending_of(run, totals, status(), forms, is_plain=None not in found and not sheets)

    def make(form: str, is_shown: bool) -> Report:
        from rxlint.reports.forms import Wanted, report_of

        colours = is_shown and is_coloured(colour)
        return report_of(form, Wanted(day.isoformat(), fail_at, Path.cwd(), run.of_settings_file, colours, coverage))

    if explain is not None:
        _explain(explain, results, run.rules, totals, day, progress)
        sys.exit(status())
    with open_files(further, [*paths, *sheets, *chosen.files]) as files, contextlib.closing(run):
        code = tell(form, files, results, totals, make, end, progress.beside)
    sys.exit(code)


def _inputs(
    paths: tuple[str, ...], revision: str | None, name: str | None, sheets: tuple[str, ...], chosen: Chosen
) -> Sequence[Any]:
    """The inputs in their order, None standing for standard input. Faults of usage are raised here, before anything is
    screened or written.
    """
    from rxlint.library.discover import find_inputs

    if not paths and revision is None:
        raise click.UsageError("Missing argument 'PATHS...'.")
    if (*paths, *sheets).count("-") > 1:
        raise click.UsageError("standard input can be given once")
    if name is not None and "-" not in paths:
        raise click.UsageError("--as names standard input; give - as a path")
    if len(set(sheets)) < len(sheets):
        raise click.UsageError("each file of readings can be given once")
    if revision is not None:
        return _since(paths or (".",), revision, sheets, chosen)
    return [each for path in paths for each in ([None] if path == "-" else find_inputs([path]))]


def _since(paths: tuple[str, ...], revision: str, sheets: tuple[str, ...], chosen: Chosen) -> Sequence[Any]:
    """The inputs that may come out differently than at a revision. Raises Configuration where that can't be told."""
    from rxlint.library.comparing import CannotCompare, NoRevision
    from rxlint.library.since import told
    from rxlint.library.since_tree import choose

    if "-" in paths or sheets:
        raise click.UsageError("--since chooses among files: it goes with neither standard input nor --readings")
    try:
        choice = choose(revision, paths, nearest=chosen.settings == "nearest", files=chosen.files)
    except (CannotCompare, NoRevision) as error:
        raise Configuration(shown(str(error))) from None
    click.echo(shown(told(choice, revision)), err=True)
    return choice.inputs


def _results(
    paths: tuple[str, ...], found: Sequence[Any], name: str | None, sheets: tuple[str, ...], run: Run
) -> Iterator[Any]:
    """The results as they come."""
    if sheets:
        return _beside(paths, name or STANDARD_INPUT, sheets, run)
    return run.results(found, lambda: _stream(name or STANDARD_INPUT, run))


def _beside(paths: tuple[str, ...], name: str, sheets: tuple[str, ...], run: Run) -> Iterator[Any]:
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
    read = [Sheet(STANDARD_INPUT if each == "-" else each, data_of(each)) for each in sheets]
    path, rules = None if paths[0] == "-" else Path(paths[0]), run.rules
    shelf = rules.library(Path(order), is_file=path is not None) if order != STANDARD_INPUT else None
    return screen_beside(rules.of_folder(folder), order, data_of(paths[0]), read, run.day, path, shelf)


def _stream(name: str, run: Run) -> Any:
    """The document on standard input."""
    from rxlint.library.discover import read_stream
    from rxlint.library.screen import screen_under

    data, rules = read_stream(sys.stdin.buffer if sys.stdin is not None else None), run.rules
    shelf = rules.library(Path(name), is_file=False) if name != STANDARD_INPUT else None
    return screen_under(rules.of_folder(_folder_of(name)), name, data, run.day, shelf=shelf)


def _folder_of(name: str) -> Path:
    """The folder that standard input belongs to by its name; the current one where that is no path."""
    folder = Path(name).parent
    with contextlib.suppress(OSError, ValueError):
        if folder.is_dir():
            return folder
    return Path()


def _explain(
    rule: str, results: Iterable[Any], rulings: Any, totals: Any, day: datetime.date, progress: Progress
) -> None:
    from rxlint.reports.explain import explain

    for screened in results:
        totals.add(screened)
        rules = rulings.of_settings(screened.settings)
        write(progress.beside(explain(known_rule(rule, rules), screened, rules, day)), unread=EXIT_UNREAD)
