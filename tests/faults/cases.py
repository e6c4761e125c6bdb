"""The runs that are disturbed: each with the folder it begins in, and how the next run after it may end."""

import importlib.util
import json
import os
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.cli.orders import ON, REJECT, SLIP, SOUND
from tests.faults.operations import HAS_ARCHIVE, TABLE, UNTIDY

_THEN: Final = 1_795_000_000  # seconds
BY: Final = ("--by", "second checker, ward", "--at", "2026-11-24 17:00")


@dataclass(frozen=True)
class Case:
    """A command line in a folder. ``again``: the exit codes of the same command afterwards, by what it then does:
    everything once more, or refuse as it should where it is done already.
    """

    name: str
    arguments: tuple[str, ...]
    files: Mapping[str, str]
    code: int = 0
    again: Mapping[int, bool] | None = None
    needs: Callable[[], bool] = lambda: True

    @property
    def ends(self) -> Mapping[int, bool]:
        """The exit codes of the next run, and whether it tells the same as an undisturbed one."""
        return self.again if self.again is not None else {self.code: True}

    def prepare(self, folder: Path) -> Path:
        """The folder, made anew."""
        if folder.exists():
            shutil.rmtree(folder)
        folder.mkdir()
        for name, text in self.files.items():
            (folder / name).write_text(text, "utf-8")
            os.utime(folder / name, (_THEN, _THEN))  # an archive is told from another by its time too
        (folder / "kept").mkdir(mode=0o700)
        return folder


def _named(text: str, name: str) -> str:
    return text.replace("TM-0417", name)


_ORDERS: Final = {"a.vrx": SOUND, "b.vrx": _named(SLIP, "TM-2"), "c.vrx": _named(REJECT, "TM-3")}
_ARCHIVE: Final = "".join(
    json.dumps({"id": f"TBS-{number}", "text": text}) + "\n" for number, text in enumerate((SOUND, SLIP, REJECT, SOUND))
)

CASES: Final = (
    Case("tidy", ("tidy", "."), {"a.vrx": SOUND, "b.vrx": UNTIDY, "c.vrx": _named(UNTIDY, "TM-3")}, 0, {0: False}),
    Case("endorse", ("endorse", "a.vrx", *BY, *ON), {"a.vrx": SOUND}, 0, {0: True, 1: False}),
    Case("known --start", ("known", "--start", "known.txt", ".", *ON), _ORDERS, 0, {0: True, 2: False}),
    Case("import", ("import", "t.csv", "-o", "new"), {"t.csv": TABLE}, 0, {0: True, 1: False}),
    Case("import --force", ("import", "t.csv", "-o", "new", "--force"), {"t.csv": TABLE}),
    Case(
        "report",
        ("screen", ".", *ON, "--no-cache", "--report", "json=r.json", "--report", "sarif=r.sarif"),
        {**_ORDERS, "r.json": "old\n"},
        1,
    ),
    Case("cache", ("screen", ".", *ON), _ORDERS, 1),
    Case("export", ("export", "a.vrx", "--to", "json", "-o", "a.json", "--force"), {"a.vrx": SOUND, "a.json": "old\n"}),
    Case(
        "sheet",
        ("sheet", "a.vrx", "-o", "a.html", *ON),
        {"a.vrx": SOUND},
        needs=lambda: importlib.util.find_spec("jinja2") is not None,
    ),
    Case("kept", ("keep",), {}),
    Case(
        "archive",
        ("archive", "orders.jsonl", "-o", "out", "--to", "jsonl", "--batch", "2", *ON),
        {"orders.jsonl": _ARCHIVE},
        1,
        needs=lambda: HAS_ARCHIVE,
    ),
)
