"""The target that reads a stream of documents, one JSON object a line, as `rxlint screen --from-lines` does."""

from __future__ import annotations

import io

from rxlint.exchange.lines import read_lines
from rxlint.text import Problem
from tests.fuzz.soundness import Unsound, hold_inside


def stream(data: bytes) -> None:
    """A stream of JSON lines: each has its answer, in its order."""
    found = list(read_lines(io.BytesIO(data)))
    expected = data.count(b"\n") + (bool(data) and not data.endswith(b"\n"))
    if [each.line for each in found] != list(range(1, expected + 1)):
        raise Unsound("a line of a stream that has no answer", f"{len(found)} of {expected}")
    for each in found:
        if isinstance(each.data, Problem):
            if not each.data.message:
                raise Unsound("a line that is refused without a word")
            hold_inside(each.data.line, each.data.column, [" " * len(data)] * (len(data) + 1), each.data.message)
        elif each.id is None:
            raise Unsound("a document without an identifier", each.line)
