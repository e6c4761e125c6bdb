"""`python -m tests.constants`: writes tests/CONSTANTS.md; ends with 1 where a number is neither held nor explained."""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from tests.constants.kept import astray, reasons, unexplained
from tests.constants.page import PAGE, page
from tests.constants.source import constants
from tests.constants.trial import DATA, Broken, try_all, try_data


def main() -> int:
    """The exit code: 0, or 1 with every complaint told."""
    started, given = time.monotonic(), reasons()
    wrong = astray(given, {each.name for each in constants()})
    if wrong:
        return _complain(wrong)
    try:
        verdicts = try_all(given.left_out, given.whole, _tell)
        with tempfile.TemporaryDirectory() as folder:
            data = try_data(Path(folder), _tell)
    except Broken as error:
        return _complain([str(error)])
    PAGE.write_text(page(verdicts, data, given), encoding="utf-8")
    held = sum(each.held for each in verdicts)
    _tell(f"{PAGE.name}: {len(verdicts)} numbers, {held} held, in {time.monotonic() - started:.0f} s")
    wrong = unexplained(given, verdicts)
    wrong += [f"{DATA.name}, {name}: a change goes unnoticed" for name, pair in data.items() if None in pair]
    return _complain(wrong)


def _complain(wrong: list[str]) -> int:
    for line in wrong:
        sys.stderr.write(f"{line}\n")
    return 1 if wrong else 0


def _tell(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
