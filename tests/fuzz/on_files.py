"""Targets that read files of other forms: packs, policies, profiles, settings, tables, JSON."""

from __future__ import annotations

import io
import tempfile
from collections.abc import Iterable
from functools import cache
from pathlib import Path

from rxlint.exchange.documents import Imported, import_document
from rxlint.library.screen import parse_bytes
from rxlint.library.settings import NAME, settings_of_text
from rxlint.library.table_document import document_of
from rxlint.library.table_header import Column, read_column, read_header
from rxlint.library.table_rows import Row, delimiter_of, opened, rows_of
from rxlint.library.user_settings import read_user_settings
from rxlint.model.content import unread_lines
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.load import load_text
from rxlint.packs.pack import PackProblem
from rxlint.packs.profile_load import load_profile_text
from rxlint.screening.ruleset import builtin_rules
from rxlint.text import Problem
from tests.fuzz.soundness import Unsound, hold_inside, lines_of, read_soundly

builtin_rules()  # what an input needs of them must not count as its time
_SHOWN = "fuzz.yaml"


def _text(data: bytes) -> str | None:
    """The text as a file's reader hands it on; it refuses what is no UTF-8 before anything else is asked."""
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return None


def _hold(found: object, problems: Iterable[PackProblem], text: str) -> None:
    """Either something was read or it is told why not, each at a place of the text."""
    told = tuple(problems)
    if (found is None) != bool(told):
        raise Unsound("a file that is read and refused, or neither")
    lines = text.split("\n")
    for each in told:
        hold_inside(each.line, each.column, lines, each.message)
        if not each.message:
            raise Unsound("a file that is refused without a word")


def pack(data: bytes) -> None:
    """A rule pack or a policy, beside the built-in packs."""
    text = _text(data)
    if text is not None:
        _hold(*load_text(text, _SHOWN, builtin_packs()), text)


def profile(data: bytes) -> None:
    """A ventilator profile."""
    text = _text(data)
    if text is not None:
        _hold(*load_profile_text(text, _SHOWN), text)


@cache
def _folder() -> Path:
    """A folder with the files that seeds of settings name."""
    made = Path(tempfile.mkdtemp(prefix="rxlint-fuzz-settings-"))
    for name in ("policies/network.yaml", "policies/ward.yaml", "profiles/holm.yaml", "tarnmoor-policy.yaml"):
        (made / name).parent.mkdir(exist_ok=True)
        (made / name).touch()
    return made


def settings(data: bytes) -> None:
    """The settings of a folder, and as the user's own."""
    text = _text(data)
    if text is not None:
        _hold(*settings_of_text(text, _folder() / NAME, NAME), text)
    own = _folder() / "config.yaml"
    own.write_bytes(data)
    for each in read_user_settings(own)[1]:
        hold_inside(each.line, each.column, lines_of(data), each.message)


# ---- tables


def header(data: bytes) -> None:
    """The header of one column."""
    found = read_column(data.decode("utf-8", "replace"))
    if isinstance(found, str) and not found:
        raise Unsound("a column that is refused without a word")


def table(data: bytes) -> None:
    """A table of orders: its header, and each row as a document."""
    with opened(None, io.BytesIO(data)) as text:
        if isinstance(text, Problem):
            hold_inside(text.line, text.column, lines_of(data), text.message)
            return
        columns: tuple[Column, ...] | None = None
        for row in rows_of(text, delimiter_of(text)):
            if isinstance(row, Problem):
                hold_inside(row.line, row.column, [*lines_of(data.replace(b"\r", b"\n")), ""], row.message)
            elif columns is None:
                columns, faults = read_header(row.cells)
                if faults:
                    return
            elif any(cell.strip() for cell in row.cells):
                _row(row, columns)


def _row(row: Row, columns: tuple[Column, ...]) -> None:
    """The document of a row: what can't be read in a cell can't be read there either, and all else can."""
    for decimal_comma in (False, True):
        made = document_of(row, columns, "table", decimal_comma)
        document = read_soundly(made.text.encode("utf-8", "surrogatepass"))
        if document is None:
            raise Unsound("a row that makes no document", made.text)
        unread = unread_lines(document)
        of_comments = all(each.column and columns[each.column - 1].kind == "comment" for each in made.bad)
        if (bool(unread) != bool(made.bad)) and not (of_comments and not unread):
            raise Unsound("a cell that is read in the table or in its document alone", made.text)


def exchange(data: bytes) -> None:
    """A document in JSON."""
    found = import_document(data)
    if not isinstance(found, Imported):
        hold_inside(found.line, found.column, lines_of(data), found.message)
        if not found.message:
            raise Unsound("a file that is refused without a word")
        return
    document = parse_bytes(found.text.encode("utf-8"))
    if not isinstance(document, Problem) and not found.unreadable and unread_lines(document):
        raise Unsound("a document that came with lines that can't be read, untold", found.text)
