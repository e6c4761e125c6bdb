"""Small archives for the tests, and the program run over them."""

import json
from collections.abc import Iterable, Sequence
from pathlib import Path

from click.testing import Result

from tests.cli.orders import ON, REJECT, SLIP, SOUND
from tests.conftest import RunCli

TEXTS = (SOUND, SLIP, "", REJECT, "settings\n  PEEP 5 cmH2O\n")


def rows(count: int) -> list[tuple[str, str]]:
    """So many orders, each with a name of its own."""
    return [(f"TBS-{number:04}", TEXTS[number % len(TEXTS)]) for number in range(1, count + 1)]


def lines(orders: Iterable[tuple[str, str]]) -> bytes:
    return b"".join(json.dumps({"id": name, "text": text}).encode() + b"\n" for name, text in orders)


def stream(run_cli: RunCli, *paths: Path, options: Sequence[str] = ()) -> bytes:
    """What `screen --from-lines` answers to the files after one another, without its closing line."""
    whole = b"".join(path.read_bytes() for path in paths)
    result = run_cli("screen", "--from-lines", "-", *ON, *options, input=whole)
    return b"".join(result.stdout_bytes.splitlines(keepends=True)[:-1])


def parts(folder: Path) -> bytes:
    """The results in a folder, one part after the other."""
    return b"".join(path.read_bytes() for path in sorted(folder.glob("part-*")))


def whole(folder: Path) -> dict[str, bytes]:
    """Every file of a folder."""
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def archive(run_cli: RunCli, given: Path, output: Path, *options: str) -> Result:
    return run_cli("archive", given, "-o", output, *ON, *options)
