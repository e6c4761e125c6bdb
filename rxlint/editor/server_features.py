"""What a client may ask of a document: each handler turns one request into one call of a pure function, and back."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final, TypeVar

from lsprotocol import types
from pygls.lsp.server import LanguageServer

from rxlint.editor.convert import Lines, Texts
from rxlint.editor.diagnostics import summary
from rxlint.editor.folds import folds
from rxlint.editor.hints import hints
from rxlint.editor.links import definition, highlights, references
from rxlint.editor.server_session import Session
from rxlint.editor.shapes import Location, Symbol, Token, TokenKind
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.symbols import symbols
from rxlint.editor.tokens import tokens
from rxlint.editor.yaml_files import YamlFile
from rxlint.editor.yaml_symbols import yaml_symbols
from rxlint.notation.tree import Place

_log = logging.getLogger("rxlint.editor")
_T = TypeVar("_T")

_TOKENS: Final[Mapping[TokenKind, types.SemanticTokenTypes]] = {
    "section": types.SemanticTokenTypes.Namespace,
    "term": types.SemanticTokenTypes.Property,
    "number": types.SemanticTokenTypes.Number,
    "unit": types.SemanticTokenTypes.Type,
    "keyword": types.SemanticTokenTypes.Keyword,
    "word": types.SemanticTokenTypes.EnumMember,
    "text": types.SemanticTokenTypes.String,
    "comment": types.SemanticTokenTypes.Comment,
    "name": types.SemanticTokenTypes.Variable,
    "rule": types.SemanticTokenTypes.Function,
    "date": types.SemanticTokenTypes.Number,
}
_LEGEND: Final = list(dict.fromkeys(str(each.value) for each in _TOKENS.values()))
_SYMBOLS: Final = {
    "document": types.SymbolKind.File,
    "section": types.SymbolKind.Namespace,
    "setting": types.SymbolKind.Property,
    "row": types.SymbolKind.Field,
}


@dataclass(frozen=True, slots=True)
class Asked:
    """A document as it stands, with what is needed to answer in the terms of the protocol."""

    snapshot: Snapshot
    lines: Lines
    texts: Texts
    versions: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class AskedYaml:
    """A file of rules as it stands, with its lines."""

    file: YamlFile
    lines: Lines


class Asking:
    """Asks on a document's behalf. What fails is written to standard error, and the answer is the empty one."""

    def __init__(self, session: Session) -> None:
        self.session = session

    async def __call__(self, uri: str, question: Callable[[Asked], _T]) -> _T | None:
        """The answer; None where the document is not open, is no prescription, or the answer failed."""
        versions = {each.uri: each.version for each in self.session.documents.values()}
        try:
            return await self.session.ask(
                uri, lambda found: question(Asked(found, Lines(found.text), self.session.texts(), versions))
            )
        except Exception:
            _log.exception("a question about %s could not be answered", uri)
            return None

    async def of_yaml(self, uri: str, question: Callable[[AskedYaml], _T]) -> _T | None:
        """The same for a file of rules; None where the document is none."""
        try:
            return await self.session.ask_yaml(uri, lambda found: question(AskedYaml(found, Lines(found.text))))
        except Exception:
            _log.exception("a question about %s could not be answered", uri)
            return None


def register(server: LanguageServer, asking: Asking) -> None:
    """Register the handlers of what is shown of a document and changes nothing."""
    _outline(server, asking)
    _colours(server, asking)
    _links(server, asking)
    _beside(server, asking)


# ---- outline, folds, colours


def _outline(server: LanguageServer, asking: Asking) -> None:
    @server.feature(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    async def outline(params: types.DocumentSymbolParams) -> list[types.DocumentSymbol] | None:
        uri = params.text_document.uri
        if asking.session.is_yaml(uri):
            return await asking.of_yaml(
                uri, lambda asked: [_symbol(each, asked.lines) for each in yaml_symbols(asked.file)]
            )
        return await asking(uri, lambda asked: [_symbol(each, asked.lines) for each in symbols(asked.snapshot)])

    @server.feature(types.TEXT_DOCUMENT_FOLDING_RANGE)
    async def folding(params: types.FoldingRangeParams) -> list[types.FoldingRange] | None:
        def answer(asked: Asked) -> list[types.FoldingRange]:
            return [
                types.FoldingRange(
                    each.first - 1,
                    each.last - 1,
                    kind=types.FoldingRangeKind.Comment if each.is_comment else types.FoldingRangeKind.Region,
                )
                for each in folds(asked.snapshot)
            ]

        return await asking(params.text_document.uri, answer)


def _symbol(symbol: Symbol, lines: Lines) -> types.DocumentSymbol:
    return types.DocumentSymbol(
        symbol.name or "(no name)",  # the protocol allows no empty one
        _SYMBOLS[symbol.kind],
        lines.range(symbol.place),
        lines.range(symbol.name_place),
        detail=symbol.detail or None,
        children=[_symbol(each, lines) for each in symbol.children] or None,
    )


def _colours(server: LanguageServer, asking: Asking) -> None:
    legend = types.SemanticTokensLegend(_LEGEND, [])

    @server.feature(types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, legend)
    async def full(params: types.SemanticTokensParams) -> types.SemanticTokens | None:
        return await asking(
            params.text_document.uri,
            lambda asked: types.SemanticTokens(token_data(tokens(asked.snapshot), asked.lines)),
        )


def token_data(found: Iterable[Token], lines: Lines) -> list[int]:
    """Tokens as the protocol packs them: five numbers each, line and column counted from the token before."""
    data: list[int] = []
    line = column = 0
    for token in found:
        place = lines.range(token.place)
        start = place.start
        length = place.end.character - start.character
        if length <= 0:
            continue
        kind = _LEGEND.index(_TOKENS[token.kind].value)
        data += [start.line - line, start.character - (column if start.line == line else 0), length, kind, 0]
        line, column = start.line, start.character
    return data


# ---- from one place to others


def _links(server: LanguageServer, asking: Asking) -> None:
    @server.feature(types.TEXT_DOCUMENT_DEFINITION)
    async def defined(params: types.DefinitionParams) -> list[types.Location] | None:
        return await asking(
            params.text_document.uri,
            lambda asked: _located(definition(asked.snapshot, asked.lines.ours(params.position)), asked),
        )

    @server.feature(types.TEXT_DOCUMENT_REFERENCES)
    async def referred(params: types.ReferenceParams) -> list[types.Location] | None:
        return await asking(
            params.text_document.uri,
            lambda asked: _located(references(asked.snapshot, asked.lines.ours(params.position)), asked),
        )

    @server.feature(types.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT)
    async def highlighted(params: types.DocumentHighlightParams) -> list[types.DocumentHighlight] | None:
        def answer(asked: Asked) -> list[types.DocumentHighlight]:
            places = highlights(asked.snapshot, asked.lines.ours(params.position))
            return [
                types.DocumentHighlight(asked.lines.range(each), types.DocumentHighlightKind.Text) for each in places
            ]

        return await asking(params.text_document.uri, answer)


def _located(found: Iterable[Location], asked: Asked) -> list[types.Location]:
    """Places in files; those of files that can't be read are left out."""
    return [place for each in found if (place := asked.texts.location(each)) is not None]


# ---- what is shown beside the text


def _beside(server: LanguageServer, asking: Asking) -> None:
    @server.feature(types.TEXT_DOCUMENT_INLAY_HINT)
    async def hinted(params: types.InlayHintParams) -> list[types.InlayHint] | None:
        def answer(asked: Asked) -> list[types.InlayHint]:
            place = asked.lines.place(params.range)
            return [
                types.InlayHint(
                    asked.lines.position(*each.at), each.text, tooltip=each.tooltip or None, padding_left=True
                )
                for each in hints(asked.snapshot, place.line, place.end_line)
            ]

        return await asking(params.text_document.uri, answer)

    @server.feature(types.TEXT_DOCUMENT_CODE_LENS)
    async def counted(params: types.CodeLensParams) -> list[types.CodeLens] | None:
        """How much was checked and how much could not be, above the first line: what is no finding is not lost."""
        uri = params.text_document.uri
        await asking.session.result(uri)  # so that a text is screened once

        def answer(asked: Asked) -> list[types.CodeLens]:
            first = next((line.number for line in asked.snapshot.lines if line.text.strip()), 1)
            place = asked.lines.range(Place(first, 1, first, 1))
            return [types.CodeLens(place, types.Command(summary(asked.snapshot), ""))]

        return await asking(uri, answer)
