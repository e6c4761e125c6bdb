"""What the commands share: exit codes, options, the rules of a run, and writing."""

from __future__ import annotations

import datetime
import functools
import os
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from rxlint.commands.streams import let_go, lose_output, put
from rxlint.reports.status import EXIT_CLEAN, EXIT_FINDINGS, EXIT_UNREAD, EXIT_USAGE, FAIL_AT, status_of

__all__ = [
    "EXIT_CLEAN", "EXIT_FINDINGS", "EXIT_UNREAD", "EXIT_USAGE", "FAIL_AT", "Chosen", "Configuration", "is_coloured",
    "known_rule", "named_rules", "on_day", "read_one", "rulings_of", "shown", "status_of", "with_colour",
    "with_fail_at", "with_format", "with_known", "with_packs", "with_policies", "with_profiles", "with_python",
    "with_rules", "with_settings", "write",
]  # fmt: skip


class Configuration(click.ClickException):
    """A pack or an option can't be used: exit 2, whatever else was found."""

    exit_code = EXIT_USAGE


def shown(text: str) -> str:
    """Text from outside, safe for a terminal."""
    from rxlint.text import printable

    return printable(text)


def day_of(_context: click.Context, _parameter: click.Parameter, value: str | None) -> datetime.date:
    """The day that dates are judged on; today where none is given. Raises click.BadParameter."""
    if value is None:
        return datetime.date.today()
    try:
        day = datetime.date.fromisoformat(value)
    except ValueError:
        day = None
    if day is None or day.isoformat() != value:  # other forms of ISO 8601 are no dates of the notation either
        raise click.BadParameter(f"{shown(value)} is not a date such as 2026-11-24")
    return day


on_day = click.option(
    "--on", "day", callback=day_of, metavar="DATE", help="The day on which to judge dates (default: today)."
)
with_packs = click.option(
    "--pack", "pack_files", multiple=True, type=click.Path(), help="A further rule pack; may be given several times."
)

with_policies = click.option(
    "--policy",
    "policy_files",
    multiple=True,
    type=click.Path(),
    help="A site's policy; the widest first. It stands above every policy that rxlint.yaml names.",
)
with_profiles = click.option(
    "--profile",
    "profile_files",
    multiple=True,
    type=click.Path(),
    help="A ventilator profile, or a folder of them; it stands above those that rxlint.yaml names.",
)
with_python = click.option(
    "--python-rules",
    "python_names",
    metavar="NAME",
    multiple=True,
    help="Run the rules that an installed distribution offers under this name. They are code: run those you trust.",
)

with_settings = click.option(
    "--settings",
    type=click.Choice(["nearest", "none"]),
    default="nearest",
    help="Whether to read the nearest rxlint.yaml of each document's folder.",
)
with_known = click.option(
    "--known",
    metavar="FILE",
    type=click.Path(),
    help="A list of known findings; in place of those that rxlint.yaml names.",
)
with_fail_at = click.option(
    "--fail-at",
    type=click.Choice(FAIL_AT),
    default="query",
    help="The lowest level of finding that makes the exit code 1 (default: query).",
)
with_colour = click.option(
    "--colour", type=click.Choice(["auto", "always", "never"]), default="auto", help="Colour the text report."
)


def with_format(*forms: str) -> Callable[[Any], Any]:
    """The option of how to report: the first of the forms unless another is given."""
    return click.option("--format", "form", type=click.Choice(forms), default=forms[0], help="How to report.")


@dataclass(frozen=True, slots=True)
class Chosen:
    """What the command line adds to the rules of a run; see the options of the same names."""

    pack_files: tuple[str, ...] = ()
    policy_files: tuple[str, ...] = ()
    profile_files: tuple[str, ...] = ()
    python_names: tuple[str, ...] = ()
    settings: str = "nearest"
    known: str | None = None

    @property
    def files(self) -> tuple[str, ...]:
        """The files that the command line names: packs, policies, profiles, a list of known findings."""
        return (*self.pack_files, *self.policy_files, *self.profile_files, *((self.known,) if self.known else ()))

    def rulings(self) -> Any:
        """The rules of the run. Raises Configuration."""
        return rulings_of(
            self.pack_files,
            self.policy_files,
            self.python_names,
            nearest=self.settings == "nearest",
            known=self.known,
            profile_files=self.profile_files,
        )


def with_rules(*further: Callable[[Any], Any]) -> Callable[[Any], Any]:
    """The options that say which rules hold, given to the command as one ``chosen``; ``further`` are options of these
    that the command has beside packs, policies and Python rules.
    """

    def decorate(command: Callable[..., None]) -> Any:
        @functools.wraps(command)
        def run(**given: Any) -> None:
            own = {name: given.pop(name) for name in Chosen.__dataclass_fields__ if name in given}
            command(chosen=Chosen(**own), **given)

        wrapped: Any = run
        for option in reversed((with_packs, with_policies, with_python, *further)):
            wrapped = option(wrapped)
        return wrapped

    return decorate


def is_coloured(colour: str) -> bool:
    """Whether a report is coloured: as told, else where somebody looks at a terminal that can, and wants it so.

    A `NO_COLOR` that is not empty says that it is not wanted (https://no-color.org).
    """
    if colour != "auto":
        return colour == "always"
    if sys.stdout is None or not sys.stdout.isatty():
        return False
    return not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def write(pieces: Iterable[str], end: str = "\n", unread: int = EXIT_CLEAN) -> None:
    """Write as the pieces come. Where the reader has gone away (a closed pipe), stop with exit code ``unread``; where
    they can't be written for another reason, tell it and stop with that of what was not read.
    """
    for piece in pieces:
        _try_to(put, piece + end, unread)
    _try_to(let_go, None, unread)


def _try_to(act: Callable[..., None], given: str | None, unread: int) -> None:
    try:
        act(*(() if given is None else (given,)))
    except OSError as error:
        lose_output(error)
        sys.exit(unread if isinstance(error, BrokenPipeError) else EXIT_UNREAD)


def rulings_of(
    pack_files: tuple[str, ...],
    policy_files: tuple[str, ...],
    python_names: tuple[str, ...],
    *,
    nearest: bool,
    known: str | None = None,
    profile_files: tuple[str, ...] = (),
) -> Any:
    """The rules of a run with what the command line adds. Raises Configuration."""
    from rxlint.library.rulings import Faults, Rulings
    from rxlint.packs.builtin import builtin_packs
    from rxlint.text import printable

    try:
        builtin_packs()
    except (ValueError, LookupError) as error:
        raise Configuration(f"the built-in rules can't be used:\n{error}") from None
    python = _python_rules(python_names)
    try:
        return Rulings(pack_files, policy_files, nearest=nearest, python=python, known=known, profiles=profile_files)
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
    return named_rules(names, configured)


def named_rules(names: tuple[str, ...], configured: tuple[Any, ...] = ()) -> Any:
    """The Python rules of these names. Raises Configuration."""
    from rxlint.extension.discover import Named, PythonRules, load_named

    if not names and not configured:
        return PythonRules()
    found, faults = load_named([*map(Named, names), *configured])
    if faults:
        raise Configuration("\n".join(map(shown, faults)))
    return found


def read_one(path: str, cannot: str) -> Any:
    """The bytes of one file, or of standard input for ``-``, or the problem in their place. Raises click.UsageError for
    a folder, which ``cannot`` be treated so.
    """
    from rxlint.library.discover import find_inputs, read_input, read_stream

    if path == "-":
        return read_stream(sys.stdin.buffer if sys.stdin is not None else None)
    if Path(path).is_dir():
        raise click.UsageError(f"name one file; a folder can't be {cannot}")
    return read_input(next(iter(find_inputs([path]))))


def known_rule(rule: str, rules: Any) -> Any:
    """The rule of this id. Raises Configuration, with what may have been meant."""
    from rxlint.expressions.problems import near

    known = {each.id: each for each in rules.all_rules}
    if rule not in known:
        close = near(rule, known)
        hint = f"; did you mean {' or '.join(close)}?" if close else ""
        raise Configuration(f"there is no rule {shown(rule)}{hint}")
    return known[rule]
