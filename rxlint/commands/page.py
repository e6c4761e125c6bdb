"""``rxlint page``: the folder of a page that does the same in a browser."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from rxlint.commands.common import EXIT_UNREAD, Configuration, shown


@click.command()
@click.option(
    "-o", "--output", metavar="DIR", required=True, type=click.Path(), help="The folder to make, or to make anew."
)
def page(output: str) -> None:
    """Make a folder of files that does the same in a browser, for those who can install nothing.

    Put it on any server of files, or try it: python -m http.server -d DIR, then http://localhost:8000. Whoever opens
    it needs nothing but a browser. Nothing that is typed there leaves the browser, and nothing is fetched but the
    files of the folder; after the first visit it works without a connection.

    Making it takes Node.js with npm, which fetches the browser's runtime and the editor, and about a minute. A folder
    that is there already is replaced only where this command wrote all of it.

    Exit code: 0 made, 2 it can't be made here, 3 it can't be written.
    """
    from rxlint.page.build import make_page
    from rxlint.page.problems import Unbuildable

    try:
        make_page(Path(output), lambda step: click.echo(f"{step} ...", err=True))
    except Unbuildable as problem:
        raise Configuration("\n".join(map(shown, str(problem).splitlines()))) from None
    except OSError as error:
        click.echo(f"{shown(str(error.filename or output))}: {error.strerror or error}", err=True)
        sys.exit(EXIT_UNREAD)
    click.echo(f"{shown(output)} is made. To try it: python -m http.server -d {shown(output)}", err=True)
