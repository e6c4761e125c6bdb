"""Targets that read documents: whole ones, and single lines of every section."""

from __future__ import annotations

from tests.fuzz.corpora import LINES_BEFORE
from tests.fuzz.soundness import parsed_soundly, read_soundly, tidied_soundly


def document(data: bytes) -> None:
    """A whole document: read, told line by line, laid out twice."""
    if read_soundly(data) is not None:
        tidied_soundly(data)
    parsed_soundly(data)


def line(data: bytes) -> None:
    """One line in a section; the first byte chooses which, or none."""
    if data:
        choice = data[0] % (len(LINES_BEFORE) + 1)
        body = data[1:].replace(b"\n", b" ")
        read_soundly(LINES_BEFORE[choice] + b"  " + body if choice < len(LINES_BEFORE) else body)
