"""``rxlint editor``: the language server that an editor starts for itself."""

from __future__ import annotations

import datetime
import importlib.util
import sys
from pathlib import Path
from typing import Any, Final

import click

from rxlint.commands.common import (
    EXIT_USAGE,
    Configuration,
    rulings_of,
    shown,
    with_packs,
    with_policies,
    with_profiles,
    with_python,
)
from rxlint.commands.stopping import end_at_once

_NEEDED: Final = ("pygls", "lsprotocol")
_BY_HAND: Final = """\
This is the language server of rxlint. An editor starts it and speaks with it over standard input and output; it is
nothing to type at. Set your editor to run `rxlint editor` for files that end in .vrx, from the folder of your library.
To screen files from here, use `rxlint screen`."""


def _day(_context: click.Context, _parameter: click.Parameter, value: str | None) -> datetime.date | None:
    """The day that is given; None stands for today, whenever that is: a session may last overnight."""
    from rxlint.commands.common import day_of

    return None if value is None else day_of(_context, _parameter, value)


def _is_by_hand() -> bool:
    """Whether somebody sits at a terminal: an editor speaks over a pipe."""
    return sys.stdin.isatty()


@click.command()
@click.option("--on", "day", callback=_day, metavar="DATE", help="The day on which to judge dates (default: today).")
@with_packs
@with_policies
@with_profiles
@with_python
def editor(
    day: datetime.date | None,
    pack_files: tuple[str, ...],
    policy_files: tuple[str, ...],
    profile_files: tuple[str, ...],
    python_names: tuple[str, ...],
) -> None:
    """Serve an editor that speaks the language server protocol, over standard input and output.

    Findings with their calculations while a prescription is written, and what the editor asks beside. The nearest
    rxlint.yaml holds, as for `rxlint screen`. Needs the extra `editor`.
    """
    if any(importlib.util.find_spec(name) is None for name in _NEEDED):
        raise Configuration("the language server needs pygls: install it with `pip install 'rxlint[editor]'`")
    given = [Path(each) for each in (*pack_files, *policy_files, *profile_files)]
    for path in given:
        if not path.exists():
            raise Configuration(f"there is no file {shown(path.as_posix())}")
    if _is_by_hand():
        click.echo(_BY_HAND, err=True)
        sys.exit(EXIT_USAGE)

    from rxlint.editor.server import serve
    from rxlint.editor.workspace import Workspace
    from rxlint.library.rulings import Faults

    def rulings() -> Any:
        try:
            return rulings_of(pack_files, policy_files, python_names, nearest=True, profile_files=profile_files)
        except Configuration as fault:
            raise Faults(fault.message.splitlines()) from None

    end_at_once()  # it writes no file, and would wait for what its client says next
    sys.exit(serve(Workspace(rulings, day, given)))
