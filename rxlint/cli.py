"""The command line: a thin skin over the library. No logic of its own."""

from __future__ import annotations

import io
import sys
from typing import Any, Final

import click

from rxlint import __version__
from rxlint.commands.archive import archive
from rxlint.commands.calculations import calculations
from rxlint.commands.common import EXIT_CLEAN, EXIT_UNREAD, shown
from rxlint.commands.compare import compare
from rxlint.commands.editor import editor
from rxlint.commands.endorse import endorse
from rxlint.commands.export import export
from rxlint.commands.import_ import import_
from rxlint.commands.known import known
from rxlint.commands.page import page
from rxlint.commands.rules import rules, test_pack
from rxlint.commands.screen import screen
from rxlint.commands.setup_list import setup_list
from rxlint.commands.sheet import sheet
from rxlint.commands.stopping import EndAskedError, until_asked
from rxlint.commands.streams import give_up_output, occupy_closed, steady_errors
from rxlint.commands.tidy import tidy

_STOPPED: Final = "The run was stopped."


class _Program(click.Group):
    """The commands. Whatever becomes of its streams, a run ends with an exit code that says what is so."""

    def main(self, *args: Any, **extra: Any) -> Any:
        """Run the command line, as every command of click; what no command foresees of files is told, not raised."""
        occupy_closed()
        steady_errors()
        try:
            command: Any = super().main
            sys.exit(until_asked(lambda: _status(command(*args, **extra, standalone_mode=False))))
        except click.ClickException as error:
            error.show()
            sys.exit(error.exit_code)
        except OSError as error:
            where = f"{error.filename}: " if error.filename is not None else ""
            click.echo(f"Error: {shown(f'{where}{error.strerror or error}')}", err=True)
            give_up_output()  # it may be this that failed
            sys.exit(EXIT_UNREAD)
        except click.Abort:  # an interrupt before a command began, or after it
            click.echo(_STOPPED, err=True)
            sys.exit(EXIT_UNREAD)

    def invoke(self, ctx: click.Context) -> Any:
        """Run one command. One that is stopped from the keyboard has not read everything."""
        try:
            return super().invoke(ctx)
        except EndAskedError:
            ctx.exit(EXIT_UNREAD)  # nobody sees it: the process ends by the signal that asked
        except KeyboardInterrupt:
            click.echo(_STOPPED, err=True)
            ctx.exit(EXIT_UNREAD)


def _status(code: object) -> int:
    """What a command ends with that has not left by itself: the exit code that it was to leave with, or nothing."""
    return code if isinstance(code, int) else EXIT_CLEAN


@click.group(cls=_Program, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="rxlint")
def main() -> None:
    """Screen ventilation prescriptions that are kept as plain text.

    A screening aid, not a medical device: local policy, the ventilator's own instructions and licensed clinicians
    decide.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a character that the terminal's encoding lacks is told, not fatal
            stream.reconfigure(errors="backslashreplace")


for command in (
    screen,
    archive,
    compare,
    rules,
    calculations,
    endorse,
    export,
    import_,
    known,
    page,
    test_pack,
    setup_list,
    sheet,
    tidy,
    editor,
):
    main.add_command(command)


if __name__ == "__main__":
    main()
