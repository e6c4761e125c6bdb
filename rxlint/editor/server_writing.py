"""What helps an author to write, and what changes a text: nothing is changed but what the author asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from lsprotocol import types
from pygls.exceptions import JsonRpcException
from pygls.lsp.server import LanguageServer

from rxlint.editor.actions import actions, layout
from rxlint.editor.completion import completions
from rxlint.editor.convert import Lines, Wants
from rxlint.editor.hover import hover
from rxlint.editor.rename import prepare, rename
from rxlint.editor.server_features import Asked, AskedYaml, Asking
from rxlint.editor.shapes import Action, Completion, CompletionKind, Hover, Mark
from rxlint.editor.yaml_completion import yaml_completions
from rxlint.editor.yaml_hover import yaml_hover
from rxlint.notation.tree import Place

_COMPLETIONS: Final[Mapping[CompletionKind, types.CompletionItemKind]] = {
    "section": types.CompletionItemKind.Module,
    "term": types.CompletionItemKind.Property,
    "unit": types.CompletionItemKind.Unit,
    "word": types.CompletionItemKind.EnumMember,
    "item": types.CompletionItemKind.Value,
    "rule": types.CompletionItemKind.Reference,
    "document": types.CompletionItemKind.File,
    "keyword": types.CompletionItemKind.Keyword,
    "mode": types.CompletionItemKind.Enum,
    "name": types.CompletionItemKind.Variable,
}
_ACTIONS: Final = {
    "quickfix": types.CodeActionKind.QuickFix,
    "refactor": types.CodeActionKind.Refactor,
    "source": types.CodeActionKind.Source,
}
_REQUEST_FAILED: Final = -32803  # the protocol's code for a request that is valid and can't be fulfilled


def register(server: LanguageServer, asking: Asking) -> None:
    """Register the handlers of completion, hover, actions, renaming and layout."""
    _completion(server, asking)
    _hover(server, asking)
    _actions(server, asking)
    _rename(server, asking)
    _layout(server, asking)


def _completion(server: LanguageServer, asking: Asking) -> None:
    options = types.CompletionOptions(trigger_characters=[" "])  # the next word of a line follows a blank

    @server.feature(types.TEXT_DOCUMENT_COMPLETION, options)
    async def completion(params: types.CompletionParams) -> types.CompletionList | None:
        def answer(asked: Asked) -> types.CompletionList:
            found = completions(asked.snapshot, asked.lines.ours(params.position))
            return types.CompletionList(False, [_item(each, asked.lines) for each in found])

        def of_yaml(asked: AskedYaml) -> types.CompletionList:
            found = yaml_completions(asked.file, asked.lines.ours(params.position))
            return types.CompletionList(False, [_item(each, asked.lines) for each in found])

        uri = params.text_document.uri
        return await (asking.of_yaml(uri, of_yaml) if asking.session.is_yaml(uri) else asking(uri, answer))


def _item(found: Completion, lines: Lines) -> types.CompletionItem:
    told = types.MarkupContent(types.MarkupKind.Markdown, found.markdown) if found.markdown else None
    return types.CompletionItem(
        found.label,
        kind=_COMPLETIONS[found.kind],
        detail=found.detail or None,
        documentation=told,
        sort_text=f"{max(found.rank, 0):06d} {found.label}",
        filter_text=found.text if found.text != found.label else None,
        text_edit=types.TextEdit(lines.range(found.place), found.text),
    )


def _hover(server: LanguageServer, asking: Asking) -> None:
    @server.feature(types.TEXT_DOCUMENT_HOVER)
    async def hovered(params: types.HoverParams) -> types.Hover | None:
        def answer(asked: Asked) -> types.Hover | None:
            return _hovered(hover(asked.snapshot, asked.lines.ours(params.position)), asked.lines)

        def of_yaml(asked: AskedYaml) -> types.Hover | None:
            return _hovered(yaml_hover(asked.file, asked.lines.ours(params.position)), asked.lines)

        uri = params.text_document.uri
        return await (asking.of_yaml(uri, of_yaml) if asking.session.is_yaml(uri) else asking(uri, answer))


def _hovered(found: Hover | None, lines: Lines) -> types.Hover | None:
    if found is None:
        return None
    return types.Hover(types.MarkupContent(types.MarkupKind.Markdown, found.markdown), lines.range(found.place))


# ---- changes


def _actions(server: LanguageServer, asking: Asking) -> None:
    options = types.CodeActionOptions(code_action_kinds=list(_ACTIONS.values()))

    @server.feature(types.TEXT_DOCUMENT_CODE_ACTION, options)
    async def offered(params: types.CodeActionParams) -> list[types.CodeAction] | None:
        result = await asking.session.result(params.text_document.uri)
        marks = result.marks if result is not None else ()
        only = params.context.only

        def answer(asked: Asked) -> list[types.CodeAction]:
            place = asked.lines.place(params.range)
            touched = [mark for mark in marks if _touches(mark, place)]
            found = actions(asked.snapshot, place, touched)
            return [_action(each, asked, server) for each in found if only is None or _is_wanted(each, only)]

        return await asking(params.text_document.uri, answer)


def _touches(mark: Mark, place: Place) -> bool:
    return mark.place.line <= place.end_line and place.line <= mark.place.end_line


def _is_wanted(action: Action, only: Sequence[str]) -> bool:
    """Whether a client that asks for some kinds alone asks for this one; a kind stands for its sub-kinds too."""
    kind = _ACTIONS[action.kind].value
    return any(kind == each or kind.startswith(f"{each}.") for each in map(_name, only))


def _name(kind: types.CodeActionKind | str) -> str:
    return kind.value if isinstance(kind, types.CodeActionKind) else kind


def _action(action: Action, asked: Asked, server: LanguageServer) -> types.CodeAction:
    settled = action.settles
    return types.CodeAction(
        action.title,
        kind=_ACTIONS[action.kind],
        diagnostics=[asked.texts.diagnostic(settled, asked.lines, Wants())] if settled is not None else None,
        edit=asked.texts.edit(action.edits, asked.versions if _is_versioned(server) else None),
    )


def _is_versioned(server: LanguageServer) -> bool:
    """Whether the client takes edits that name the version of the document that they are for."""
    workspace = server.client_capabilities.workspace
    edit = workspace.workspace_edit if workspace is not None else None
    return bool(edit is not None and edit.document_changes)


def _rename(server: LanguageServer, asking: Asking) -> None:
    @server.feature(types.TEXT_DOCUMENT_PREPARE_RENAME)
    async def prepared(params: types.PrepareRenameParams) -> types.Range | None:
        def answer(asked: Asked) -> types.Range | None:
            place = prepare(asked.snapshot, asked.lines.ours(params.position))
            return asked.lines.range(place) if place is not None else None

        return await asking(params.text_document.uri, answer)

    @server.feature(types.TEXT_DOCUMENT_RENAME)
    async def renamed(params: types.RenameParams) -> types.WorkspaceEdit | None:
        def answer(asked: Asked) -> types.WorkspaceEdit | str:
            found = rename(asked.snapshot, asked.lines.ours(params.position), params.new_name)
            if isinstance(found, str):
                return found
            return asked.texts.edit(found.edits, asked.versions if _is_versioned(server) else None)

        found = await asking(params.text_document.uri, answer)
        if isinstance(found, str):  # the author is told why
            raise JsonRpcException(found, code=_REQUEST_FAILED)
        return found


# ---- layout


def _layout(server: LanguageServer, asking: Asking) -> None:
    async def laid_out(uri: str, within: types.Range | None) -> list[types.TextEdit] | None:
        def answer(asked: Asked) -> list[types.TextEdit]:
            place = asked.lines.place(within) if within is not None else None
            edits = layout(asked.snapshot, place.line, place.end_line) if place is not None else layout(asked.snapshot)
            return [types.TextEdit(asked.lines.range(each.place), each.text) for each in edits]

        return await asking(uri, answer)

    @server.feature(types.TEXT_DOCUMENT_FORMATTING)
    async def whole(params: types.DocumentFormattingParams) -> list[types.TextEdit] | None:
        return await laid_out(params.text_document.uri, None)

    @server.feature(types.TEXT_DOCUMENT_RANGE_FORMATTING)
    async def part(params: types.DocumentRangeFormattingParams) -> list[types.TextEdit] | None:
        return await laid_out(params.text_document.uri, params.range)
