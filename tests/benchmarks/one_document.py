"""Milliseconds that one document takes in a process that has screened before.

`python one_document.py DATE FILE...` screens the first file unmeasured, then each of the others once, and prints their
times as JSON. They are different documents, so that only what one document shares with another can be remembered.
"""

import datetime as dt
import json
import sys
import time
from pathlib import Path

import rxlint


def screened(name: str, day: dt.date) -> float:
    text = Path(name).read_text("utf-8")
    start = time.perf_counter()
    found = rxlint.screen_text(text, on=day)
    took = time.perf_counter() - start
    if found.problems:
        sys.exit(f"{name} was not screened: {found.problems[0]}")
    return took * 1000


def main() -> None:
    date, first, *names = sys.argv[1:]
    day = dt.date.fromisoformat(date)
    screened(first, day)
    print(json.dumps([screened(name, day) for name in names]))


main()
