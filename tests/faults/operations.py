"""What is run while something goes wrong: command lines, and steps of the program that no command shows alone."""

import contextlib
import importlib.util
import os
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from tests.cli.orders import ON, SLIP, SOUND

KEPT: Final = ("words.json", "a key", "some text\n" * 2_000)
HAS_ARCHIVE: Final = all(importlib.util.find_spec(name) for name in ("dask", "distributed", "pyarrow", "cryptography"))
TABLE: Final = "id,patient age [years],PEEP [cmH2O]\nTM-1,7,5\nTM-2,8,6\nTM-3,9,5\n"
ORDERS: Final = '{"id": "TBS-1", "text": "settings\\n  PEEP 5 cmH2O\\n"}\n'
UNTIDY: Final = SLIP.replace("  PEEP                  5 cmH2O", "     PEEP 5 cmH2O")


def run(arguments: list[str]) -> None:
    """Run a command line of rxlint; `keep` keeps a text between runs. Ends with the exit code of the command."""
    from rxlint.cli import main
    from rxlint.commands.stopping import until_asked
    from rxlint.store import kept

    if arguments == ["keep"]:
        until_asked(lambda: kept.keep(*KEPT))
        return
    if arguments[0] == "archive":
        _without_others()
    main(arguments, prog_name="rxlint")


def warm_up() -> None:
    """Load what the commands load, so that a fork begins with all of it."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        before = os.environ.get("RXLINT_CACHE")
        os.environ["RXLINT_CACHE"] = str(Path(folder) / "kept")
        for name, text in {"a.vrx": SOUND, "b.vrx": UNTIDY, "t.csv": TABLE, "orders.jsonl": ORDERS}.items():
            Path(name).write_text(text, "utf-8")
        for each in _every():
            with (
                open(os.devnull, "w", encoding="utf-8") as nothing,
                contextlib.redirect_stdout(nothing),
                contextlib.suppress(SystemExit),
            ):
                run(each)
        if before is not None:
            os.environ["RXLINT_CACHE"] = before


def _every() -> Iterator[list[str]]:
    yield ["screen", ".", *ON, "--report", "json=r.json", "--report", "sarif=r.sarif"]
    yield ["screen", ".", *ON]
    yield ["tidy", "b.vrx"]
    yield ["known", "--start", "known.txt", ".", *ON]
    yield ["known", "known.txt", ".", *ON]
    yield ["import", "t.csv", "-o", "new"]
    yield ["export", "a.vrx", "--to", "json", "-o", "a.json"]
    if importlib.util.find_spec("jinja2"):
        yield ["sheet", "a.vrx", "-o", "a.html", *ON]
    if HAS_ARCHIVE:
        yield ["archive", "orders.jsonl", "-o", "out", "--to", "jsonl", *ON]
    yield ["endorse", "a.vrx", "--by", "second checker, ward", "--at", "2026-11-24 17:00", *ON]


class _Here:
    """Does the batches of an archive in this process, one after another."""

    room = 1

    def __init__(self) -> None:
        self._waiting: list[Any] = []

    def submit(self, task: Any) -> None:
        self._waiting.append(task)
        self.room = 0

    def next(self) -> Any:
        from rxlint.archive.run import Outcome
        from rxlint.archive.task import Done
        from rxlint.archive.work import work

        if not self._waiting:
            return None
        task, self.room = self._waiting.pop(), 1
        try:
            return Outcome(task, Done.from_json(work(task.to_json())))
        except Exception as error:  # as the pool of the command does
            return Outcome(task, None, f"{type(error).__name__}: {error}".splitlines()[0])


def _without_others() -> None:
    module = importlib.import_module("rxlint.commands.archive")
    module._pool = lambda *_: contextlib.nullcontext(_Here())  # type: ignore[attr-defined]


if __name__ == "__main__":
    run(sys.argv[1:])
