"""Our places, marks and answers as the types of the language server protocol, and back. Nothing is decided here.

Of the encodings of columns that the protocol offers, UTF-16 is used: every client knows it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from lsprotocol import types

from rxlint.editor.shapes import Edit, Location, Mark, Position
from rxlint.notation.tree import Place
from rxlint.packs import Level
from rxlint.text.columns import column_at, units_before

_MARK: Final = "\ufeff"
_SEVERITIES: Final[Mapping[Level, types.DiagnosticSeverity]] = {
    "reject": types.DiagnosticSeverity.Error,
    "query": types.DiagnosticSeverity.Warning,
    "note": types.DiagnosticSeverity.Information,
}
SOURCE: Final = "rxlint"


class Lines:
    """The lines of a text, to count columns in. Only a line feed ends a line, as for the reader of documents; a byte
    order mark is no part of the first line, but an editor that keeps it counts it.
    """

    def __init__(self, text: str) -> None:
        self._before = 1 if text.startswith(_MARK) else 0
        self._lines = text[self._before :].split("\n")

    def position(self, line: int, column: int) -> types.Position:
        """A place of ours as the protocol counts; beyond the text, its end."""
        number = min(max(line, 1), len(self._lines))
        text = self._lines[number - 1].removesuffix("\r")
        units = units_before(text, column if number == line else (len(text) + 1 if line > number else 1))
        return types.Position(number - 1, units + (self._before if number == 1 else 0))

    def range(self, place: Place) -> types.Range:
        """A place of ours as a range."""
        start = self.position(place.line, place.column)
        end = self.position(place.end_line, place.end_column)
        return types.Range(start, end if (end.line, end.character) >= (start.line, start.character) else start)

    def ours(self, position: types.Position) -> Position:
        """A position of the protocol as we count; beyond the text, its end."""
        number = min(max(position.line, 0), len(self._lines) - 1)
        text = self._lines[number].removesuffix("\r")
        if number < position.line:
            return Position(number + 1, len(text) + 1)
        return Position(number + 1, column_at(text, position.character - (self._before if number == 0 else 0)))

    def place(self, found: types.Range) -> Place:
        """A range of the protocol as a place of ours."""
        start, end = self.ours(found.start), self.ours(found.end)
        return Place(start.line, start.column, end.line, end.column)

    @property
    def whole(self) -> types.Range:
        """All of the text."""
        return types.Range(types.Position(0, 0), self.position(len(self._lines) + 1, 1))


@dataclass(frozen=True, slots=True)
class Wants:
    """Whether a client can show ``related`` places, and whether its user wants what is settled to ``fade``."""

    related: bool = False
    fade: bool = False


class Texts:
    """Where the files of an answer are and how their columns count. ``lines_of`` gives the lines of any document, None
    where it can't be read; ``uri_of`` the name that the client knows it by.
    """

    def __init__(self, lines_of: Callable[[Path], Lines | None], uri_of: Callable[[Path], str]) -> None:
        self._lines_of = lines_of
        self._known: dict[Path, Lines | None] = {}
        self.uri_of = uri_of

    def lines(self, path: Path) -> Lines | None:
        """The lines of a document, read once for one answer."""
        if path not in self._known:
            self._known[path] = self._lines_of(path)
        return self._known[path]

    def location(self, location: Location) -> types.Location | None:
        """A place in a file; None where the file can't be read."""
        lines = self.lines(location.path)
        return types.Location(self.uri_of(location.path), lines.range(location.place)) if lines is not None else None

    def diagnostic(self, mark: Mark, lines: Lines, wants: Wants) -> types.Diagnostic:
        """A mark. One that is settled is a hint; its line fades only where the user wants that, for a faded line of an
        order looks as if it did not hold.
        """
        related = [
            types.DiagnosticRelatedInformation(found, each.message)
            for each in mark.related
            if wants.related and (found := self.location(each.location)) is not None
        ]
        return types.Diagnostic(
            range=lines.range(mark.place),
            message=mark.message,
            severity=types.DiagnosticSeverity.Hint if mark.settled else _SEVERITIES[mark.level],
            code=mark.rule,
            source=SOURCE,
            tags=[types.DiagnosticTag.Unnecessary] if mark.settled and wants.fade else None,
            related_information=related or None,
            data={"fingerprint": mark.fingerprint} if mark.fingerprint else None,
        )

    def edit(
        self, edits: Mapping[Path, tuple[Edit, ...]], versions: Mapping[str, int | None] | None
    ) -> types.WorkspaceEdit:
        """Edits by file; with the ``versions`` of open documents, each is for the version that it was made from."""
        found: dict[str, list[types.TextEdit]] = {}
        for path, given in edits.items():
            lines = self.lines(path)
            if lines is None:
                raise ValueError(f"{path} can't be read")
            found[self.uri_of(path)] = [types.TextEdit(lines.range(each.place), each.text) for each in given]
        if versions is None:
            return types.WorkspaceEdit(changes=found)
        return types.WorkspaceEdit(
            document_changes=[
                types.TextDocumentEdit(
                    types.OptionalVersionedTextDocumentIdentifier(uri, versions.get(uri)), list(each)
                )
                for uri, each in found.items()
            ]
        )
