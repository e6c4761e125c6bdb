"""How a run of ``rxlint screen`` goes: with results that are kept between runs, and in one process or several."""

from __future__ import annotations

import datetime
import os
import time
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from rxlint.commands.common import Chosen

if TYPE_CHECKING:
    from rxlint.library.cache import Cache
    from rxlint.library.entry import Common, Pieces
    from rxlint.library.run import Run
    from rxlint.library.told import Told
    from rxlint.library.under import Asked
    from rxlint.library.workers import Workers
    from rxlint.reports.report import Ending

_MOST_JOBS: Final = 256


def jobs_of(_context: click.Context, _parameter: click.Parameter, value: str) -> int:
    """How many processes are to screen. Raises click.BadParameter."""
    if value == "auto":
        from rxlint.library.workers import processors

        return min(processors(), _MOST_JOBS)
    if value.isascii() and value.isdigit() and 1 <= int(value[:9]) <= _MOST_JOBS:
        return int(value)
    raise click.BadParameter(f"write a number from 1 to {_MOST_JOBS}, or auto")


def wants_of(forms: Iterable[str], coverage: bool) -> bool:
    """Whether reports in these forms ask for more of a document than pieces."""
    return coverage or not all(form in ("text", "json") for form in forms)


def run_of(chosen: Chosen, day: datetime.date, *, jobs: int, cached: bool, wants: bool) -> Run:
    """A run, ready to begin. Raises Configuration where what the command line names can't be used."""
    from rxlint.library.run import Run
    from rxlint.library.under import Asked

    begun = time.time_ns()  # before anything is read
    asked = Asked(
        day.isoformat(),
        chosen.pack_files,
        chosen.policy_files,
        chosen.profile_files,
        chosen.known,
        chosen.settings == "nearest",
    )
    has_code = bool(chosen.python_names) or _has_configuration()
    cache = _cache(asked, begun, wants) if cached and not has_code else None
    run = Run(
        chosen.rulings, day, made, nearest=asked.nearest, cache=cache, workers=_workers(jobs, asked, has_code=has_code)
    )
    run.prepare(has_files=bool(chosen.files), now=wants)
    return run


def _has_configuration() -> bool:
    """Whether the user has a configuration, which may name rules that are code."""
    return os.path.lexists(Path(click.get_app_dir("rxlint")) / "config.yaml")


def _cache(asked: Asked, begun: int, wants: bool) -> Cache | None:
    from rxlint.store.kept import folder
    from rxlint.store.program import program_key
    from rxlint.store.results import Results

    program = program_key() if folder() is not None else None
    if program is None:
        return None
    from rxlint.library.cache import Cache

    return Cache(Results(), program, asked, begun, wants_whole=wants)


def _workers(jobs: int, asked: Asked, *, has_code: bool) -> Workers | None:
    """Processes beside this one, where they are asked for. One that is not forked would have to load the code too."""
    if jobs == 1:
        return None
    from rxlint.library.workers import Workers

    workers = Workers(jobs, asked)
    return workers if workers.is_fork or not has_code else None


def made(told: Told) -> tuple[Pieces, Common]:
    """The pieces of a document."""
    from rxlint.reports.pieces import common_of, pieces_of

    return pieces_of(told), common_of(told)


def ending_of(run: Run, totals: Any, status: int, forms: Iterable[str], *, is_plain: bool) -> Ending:
    """What is known of a run at its end. ``is_plain``: each of its inputs was a file."""
    from rxlint.reports.report import Ending

    wanted = set(forms)
    if "json" not in wanted:
        return Ending(totals, run.used() if wanted - {"text"} or run.is_loaded else [], status)
    unders = run.unders() if is_plain else None
    tables = None
    if unders is not None and run.cache is not None:
        tables = run.cache.tables(unders, totals.policies)
        if tables is None:
            from rxlint.reports.json_report import tables_text

            tables = tables_text(run.used(), totals.policies)
            run.cache.keep_tables(unders, totals.policies, tables)
    sets = run.used() if tables is None or run.is_loaded else []
    return Ending(totals, sets, status, tables)
