"""``rxlint archive``: an archive of orders, screened by many workers."""

from __future__ import annotations

import datetime
import importlib
import os
import sys
from collections.abc import Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from rxlint.commands.common import (
    EXIT_UNREAD,
    Chosen,
    Configuration,
    on_day,
    shown,
    status_of,
    with_fail_at,
    with_profiles,
    with_rules,
    write,
)
from rxlint.commands.progress import Progress, is_wanted

if TYPE_CHECKING:
    from rxlint.archive.ledger import Ledger
    from rxlint.archive.run import Pool
    from rxlint.archive.task import Batch, Done, Setup

_NEEDED: Final = ("dask", "distributed", "pyarrow", "cryptography")
_KEPT: Final = "what is done is kept; start it again to go on"


@click.command()
@click.argument("given", metavar="INPUT", type=click.Path())
@click.option("-o", "--output", metavar="DIR", required=True, help="The folder of results; one that is begun goes on.")
@click.option("--to", "form", type=click.Choice(["parquet", "jsonl"]), default="parquet", help="The form of results.")
@click.option(
    "--workers", type=click.IntRange(1, 1024), metavar="N", help="Workers on this machine (default: one a core)."
)
@click.option(
    "--scheduler",
    metavar="ADDRESS",
    help="A Dask cluster to use, in a network that is trusted: it runs what it is sent.",
)
@click.option("--batch", "size", type=click.IntRange(1, 100_000), default=500, help="Documents in a batch.")
@on_day
@with_rules(with_profiles)
@with_fail_at
@click.option("--no-progress", is_flag=True, help="Don't show on the terminal how far the run has come.")
def archive(
    given: str,
    output: str,
    form: Any,
    workers: int | None,
    scheduler: str | None,
    size: int,
    day: datetime.date,
    chosen: Chosen,
    fail_at: str,
    no_progress: bool,
) -> None:
    """Screen an archive: a Parquet file with the columns id and text, JSON lines, or a folder of such files.

    The results are part files, one for each batch, and the same whatever the number of workers and whichever of them is
    lost. A run that was stopped goes on where it was when it is started again. No settings are read: an archive stands
    in no library, as a stream (`rxlint screen --from-lines`).

    Exit code: 0 nothing at or above --fail-at, 1 findings, 2 usage or configuration, 3 some document could not be
    screened, a rule failed or the run was stopped.
    """
    if workers is not None and scheduler is not None:
        raise click.UsageError("--workers are of this machine and --scheduler has its own: give one of the two")
    for module in _NEEDED:
        try:
            importlib.import_module(module)
        except ImportError:
            told = f"screening an archive needs {module}: install it with `pip install 'rxlint[cluster]'`"
            raise Configuration(told) from None
    from rxlint.archive.inputs import CannotRead, find_files, scan
    from rxlint.archive.ledger import Ledger, Refused
    from rxlint.archive.manifest import manifest_of, summary_of, totals_of
    from rxlint.archive.run import StoppedError

    rules = _rules(chosen)
    setup = _setup(output, form, day, chosen, rules)
    progress: Progress | None = None
    try:
        scanned = list(scan(find_files(given), size))
        batches = [each for file in scanned for each in file.batches]
        ledger = Ledger(Path(setup.output), manifest_of(setup, rules, scanned, size))
        wanted = not no_progress and is_wanted(whole_lines=True)
        progress = Progress(sum(each.count for each in batches), sys.stderr, wanted=wanted)
        with ledger.opened(batches, setup.form) as parts:
            _run(batches, parts, ledger, setup, _pool(workers, scheduler), progress)
            totals = totals_of(parts)
            ledger.end(parts, summary_of(setup, totals, len(parts)))
    except (CannotRead, Refused) as error:
        raise Configuration(shown(str(error))) from None
    except (StoppedError, OSError) as error:
        click.echo(f"Error: the run was stopped: {shown(str(error))} ({_KEPT})", err=True)
        sys.exit(EXIT_UNREAD)
    except KeyboardInterrupt:
        click.echo(f"The run was stopped ({_KEPT})", err=True)
        sys.exit(EXIT_UNREAD)
    write(_closing(totals, len(parts), output), unread=EXIT_UNREAD)
    sys.exit(status_of(totals, fail_at))


def _rules(chosen: Chosen) -> Any:
    rulings = chosen.rulings()
    if rulings.unloaded:
        told = "; ".join(f"{each.name}: {each.error}" for each in rulings.unloaded)
        raise Configuration(f"Python rules can't be loaded: {shown(told)}")
    return rulings.base


def _setup(output: str, form: Any, day: datetime.date, chosen: Chosen, rules: Any) -> Setup:
    from rxlint.archive.identity import identity_of
    from rxlint.archive.task import Setup
    from rxlint.library.user_settings import NAME, read_user_settings

    configured, _ = read_user_settings(Path(click.get_app_dir("rxlint")) / NAME)  # its faults are told already
    return Setup(
        str(Path(output).resolve()),
        form,
        day.isoformat(),
        str(Path.cwd()),
        identity_of(rules),
        chosen.pack_files,
        chosen.policy_files,
        chosen.profile_files,
        tuple(dict.fromkeys((*chosen.python_names, *(each.name for each in configured)))),
    )


def _pool(workers: int | None, scheduler: str | None) -> AbstractContextManager[Pool]:
    from rxlint.archive.cluster import local_pool, pool_at

    return pool_at(scheduler) if scheduler is not None else local_pool(workers or os.cpu_count() or 1)


def _run(
    batches: list[Batch],
    parts: dict[int, Done],
    ledger: Ledger,
    setup: Setup,
    pool: AbstractContextManager[Pool],
    progress: Progress,
) -> None:
    """Do the batches that have no part yet, and note each."""
    from rxlint.archive.run import Run

    def tell(line: str) -> None:
        for each in progress.beside([shown(line)]):
            click.echo(each, err=True)

    def documents() -> Iterator[None]:
        """One for each document that is done, for the line of progress."""
        for batch in batches:
            if batch.number in parts:
                yield from (None for _ in batch.lines)
        left = [each for each in batches if each.number not in parts]
        if not left:
            return
        with pool as workers:
            for done in Run(workers, setup, tell).over(left):
                ledger.add(done)
                parts[done.number] = done
                yield from (None for _ in range(done.counts["documents"]))

    for _ in progress.over(documents()):
        pass


def _closing(totals: Any, parts: int, output: str) -> Iterator[str]:
    from rxlint.reports.caution import CAUTION

    levels = ", ".join(f"{count:,} {level}" for level, count in totals.levels.items())
    failed = f", {totals.crashes:,} rule failures" if totals.crashes else ""
    unread = f", {totals.unread:,} not screened" if totals.unread else ""
    yield f"{totals.documents:,} documents in {parts:,} parts in {shown(output)}: {levels}{unread}{failed}."
    yield CAUTION
