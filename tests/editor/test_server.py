"""The language server as a process of its own, with a client that is sent diagnostics."""

import asyncio
import itertools
from collections.abc import AsyncIterator, Sequence
from pathlib import Path

import pytest

pytest.importorskip("pygls")

import pytest_asyncio
from lsprotocol import types

from tests.documents import prescription
from tests.editor.serving import Client
from tests.editor.test_workspace import order, template, write
from tests.shelf import EXAMPLES

pytestmark = pytest.mark.asyncio(loop_scope="module")

Doc = types.TextDocumentIdentifier
COUNT = itertools.count()


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("library").resolve()
    write(folder / "rxlint.yaml", "library: .\n")
    write(folder / "t.vrx", template())
    write(folder / "out.vrx", order("out", 7))
    return folder


@pytest_asyncio.fixture(scope="module", loop_scope="module")
async def client(tmp_path_factory: pytest.TempPathFactory, library: Path) -> AsyncIterator[Client]:
    client = Client()
    result = await client.start(tmp_path_factory.mktemp("home"), library, pull=False)
    assert result.server_info is not None and result.server_info.name == "rxlint"
    assert result.capabilities.position_encoding == types.PositionEncodingKind.Utf16  # although UTF-8 was preferred
    yield client
    assert await client.stop() == 0


def new() -> str:
    """A document that is saved nowhere."""
    return f"untitled:order-{next(COUNT)}.vrx"


def rules(found: list[types.Diagnostic] | None) -> list[object]:
    return [each.code for each in found or ()]


def start(found: types.Diagnostic) -> tuple[int, int]:
    return found.range.start.line, found.range.start.character


# ---- diagnostics


async def test_a_finding_is_told_with_level_place_related_places_and_calculation(client: Client) -> None:
    path = EXAMPLES / "slips/peep-raised-alone.vrx"
    uri = path.as_uri()
    client.open(uri, path.read_text("utf-8"))
    (found,) = await client.diagnostics(uri, 1)
    assert (found.code, found.source, found.severity) == (
        "pressure.supported-breaths-differ", "rxlint", types.DiagnosticSeverity.Warning,
    )  # fmt: skip
    assert start(found) == (42, 2)
    assert "worked out: supported peak = PEEP + pressure support" in found.message
    assert [each.location.uri for each in found.related_information or ()] == [uri, uri]
    assert [each.location.range.start.line for each in found.related_information or ()] == [41, 40]
    assert found.data
    client.close(uri)


async def test_levels_are_severities_and_what_is_settled_is_a_hint(client: Client) -> None:
    accepted = EXAMPLES / "sound/TM-0533-infant-finding-accepted.vrx"
    client.open(accepted.as_uri(), accepted.read_text("utf-8"))
    (found,) = await client.diagnostics(accepted.as_uri(), 1)
    assert (found.severity, found.tags) == (types.DiagnosticSeverity.Hint, None)
    client.close(accepted.as_uri())
    uri = new()
    client.open(uri, prescription("PEEP  5 cmHO"))
    told = {each.severity for each in await client.diagnostics(uri, 1)}
    assert types.DiagnosticSeverity.Error in told
    client.close(uri)


async def test_columns_are_utf_16_units(client: Client) -> None:
    """A name with characters beyond U+FFFF and combining ones before what is found in the same line."""
    uri = new()
    line = '  written  2026-11-20 by "\U0001f600\U00010330e\u0301" at noon'
    client.open(uri, f'prescription "x"\n{line}\n')
    found = await client.diagnostics(uri, 1)
    (there,) = [each for each in found if each.range.start.line == 1 and each.range.start.character > 20]
    written = line.encode("utf-16-le")[2 * there.range.start.character : 2 * there.range.end.character]
    assert written.decode("utf-16-le") == "at"
    client.close(uri)


async def test_in_a_burst_of_typing_the_latest_version_wins(client: Client) -> None:
    uri = new()
    client.open(uri, prescription("PEEP  5 cmH2O"))
    await client.diagnostics(uri, 1)
    for version in range(2, 42):
        client.change(uri, prescription(f"PEEP  {version} cmHO"), version)
    assert any("cmHO" in each.message for each in await client.diagnostics(uri, 41))
    await asyncio.sleep(0.5)
    versions = [each.version for each in client.of(uri)]
    assert versions == sorted(versions, key=lambda each: each or 0)
    assert versions[-1] == 41
    assert len(versions) <= 4  # one for each pause, and not one for each of forty changes
    client.close(uri)


def watched(minutes: int) -> str:
    """An order with readings of every minute, each of which is held against all before it: that takes seconds."""
    taken = (f"readings at 2026-11-22 {at // 60:02}:{at % 60:02}" for at in range(minutes))
    sets = (f"{each}\n  heart rate {76 + at % 9} /min\n  SpO2 94 %\n" for at, each in enumerate(taken))
    return prescription("PEEP  5 cmH2O").rstrip() + "\n" + "".join(sets)


async def test_a_question_is_answered_while_a_long_screening_runs(client: Client) -> None:
    uri = new()
    client.open(uri, watched(300))
    await asyncio.sleep(0.3)
    found = await client.lsp.text_document_folding_range_async(types.FoldingRangeParams(Doc(uri)))
    assert found
    assert client.of(uri) == []  # the screening was not over
    await client.diagnostics(uri, 1)
    client.close(uri)


async def test_what_is_closed_is_cleared_and_told_no_more(client: Client) -> None:
    uri = new()
    client.open(uri, prescription("PEEP  5 cmHO"))
    assert await client.diagnostics(uri, 1)
    client.change(uri, prescription("PEEP  6 cmHO"), 2)
    client.close(uri)
    await client.until(lambda: client.told(uri) == [])
    await asyncio.sleep(0.5)
    assert [each.version for each in client.of(uri)] == [1, None]


async def test_a_template_that_is_being_written_counts_for_its_followers(client: Client, library: Path) -> None:
    follower, laid = (library / "out.vrx").as_uri(), (library / "t.vrx").as_uri()
    client.open(follower, order("out", 7))
    found = await client.diagnostics(follower, 1)
    assert "library.outside-template" in rules(found)
    (outside,) = [each for each in found if each.code == "library.outside-template"]
    assert laid in [each.location.uri for each in outside.related_information or ()]
    lenses = client.lenses
    client.open(laid, template())
    client.change(laid, template("6 to 8"), 2)
    await client.until(lambda: "library.outside-template" not in rules(client.told(follower)))
    assert client.lenses > lenses  # its counts are other ones too
    client.close(laid)
    await client.until(lambda: "library.outside-template" in rules(client.told(follower)))
    client.close(follower)


async def test_a_file_that_changes_on_the_disk_is_seen(client: Client, library: Path) -> None:
    follower = (library / "out.vrx").as_uri()
    await client.until(lambda: types.WORKSPACE_DID_CHANGE_WATCHED_FILES in client.watched)
    client.open(follower, order("out", 7), version=11)
    assert "library.outside-template" in rules(await client.diagnostics(follower, 11))
    write(library / "t.vrx", template("6 to 8"))
    event = types.FileEvent((library / "t.vrx").as_uri(), types.FileChangeType.Changed)
    client.lsp.workspace_did_change_watched_files(types.DidChangeWatchedFilesParams([event]))
    await client.until(lambda: "library.outside-template" not in rules(client.told(follower)))
    write(library / "t.vrx", template())
    client.lsp.workspace_did_change_watched_files(types.DidChangeWatchedFilesParams([event]))
    await client.until(lambda: "library.outside-template" in rules(client.told(follower)))
    client.close(follower)


async def test_faulty_settings_are_told_there_and_in_the_document(client: Client, library: Path) -> None:
    follower, settings = (library / "out.vrx").as_uri(), (library / "rxlint.yaml").as_uri()
    client.open(follower, order("out", 7), version=21)
    await client.diagnostics(follower, 21)
    write(library / "rxlint.yaml", "library: .\npolices: []\n")
    client.lsp.text_document_did_save(types.DidSaveTextDocumentParams(Doc(settings)))
    await client.until(lambda: bool(client.told(settings)))
    (fault,) = client.told(settings) or []
    assert (start(fault), fault.severity) == ((1, 0), types.DiagnosticSeverity.Error)
    await client.until(lambda: rules(client.told(follower)) == [None])
    assert "not screened" in str(client.told(follower))
    write(library / "rxlint.yaml", "library: .\n")
    client.lsp.text_document_did_save(types.DidSaveTextDocumentParams(Doc(settings)))
    await client.until(lambda: client.told(settings) == [])
    await client.until(lambda: "library.outside-template" in rules(client.told(follower)))
    client.close(follower)


async def test_yaml_is_left_alone(client: Client, library: Path) -> None:
    uri = (library / "policy.yaml").as_uri()
    client.open(uri, "policy: x\n", language="yaml")
    assert await client.lsp.text_document_folding_range_async(types.FoldingRangeParams(Doc(uri))) is None
    client.close(uri)
    await client.until(lambda: client.told(uri) is not None)
    assert [list(each.diagnostics) for each in client.of(uri)] == [[]]


# ---- what is asked


ORDER = prescription("mode  A/C-VC", "tidal volume  450 mL", "rate  14 /min", "PEEP  5 cmH2O")


@pytest_asyncio.fixture(scope="module", loop_scope="module")
async def uri(client: Client) -> str:
    uri = new()
    client.open(uri, ORDER)
    await client.diagnostics(uri, 1)
    return uri


async def test_completion(client: Client) -> None:
    uri = new()
    client.open(uri, prescription() + "  P")
    params = types.CompletionParams(Doc(uri), types.Position(2, 3))
    found = await client.lsp.text_document_completion_async(params)
    assert isinstance(found, types.CompletionList)
    (item,) = [each for each in found.items if each.label == "PEEP" or each.label.startswith("PEEP ")][:1]
    assert isinstance(item.text_edit, types.TextEdit)
    assert item.text_edit.range == types.Range(types.Position(2, 2), types.Position(2, 3))
    client.close(uri)


async def test_hover(client: Client, uri: str) -> None:
    found = await client.lsp.text_document_hover_async(types.HoverParams(Doc(uri), types.Position(5, 3)))
    assert found is not None and isinstance(found.contents, types.MarkupContent)
    assert "PEEP" in found.contents.value
    assert found.range is not None and found.range.start == types.Position(5, 2)
    empty = await client.lsp.text_document_hover_async(types.HoverParams(Doc(uri), types.Position(900, 0)))
    assert empty is None


async def test_outline_folds_and_tokens(client: Client, uri: str) -> None:
    outline = await client.lsp.text_document_document_symbol_async(types.DocumentSymbolParams(Doc(uri)))
    assert outline and isinstance(outline[0], types.DocumentSymbol)
    assert "settings" in [each.name for each in outline[0].children or ()]
    folds = await client.lsp.text_document_folding_range_async(types.FoldingRangeParams(Doc(uri)))
    assert (1, 5) in [(each.start_line, each.end_line) for each in folds or ()]
    tokens = await client.lsp.text_document_semantic_tokens_full_async(types.SemanticTokensParams(Doc(uri)))
    assert tokens is not None and len(tokens.data) % 5 == 0
    assert list(tokens.data[:3]) == [0, 0, len("prescription")]


async def test_tokens_count_utf_16_units(client: Client) -> None:
    uri = new()
    client.open(uri, 'prescription "\U0001f600"  # \U0001f600\n')
    tokens = await client.lsp.text_document_semantic_tokens_full_async(types.SemanticTokensParams(Doc(uri)))
    assert tokens is not None
    data = tokens.data
    assert [(data[at + 1], data[at + 2]) for at in range(0, len(data), 5)] == [(0, 12), (13, 4), (6, 4)]
    client.close(uri)


async def test_hints_and_the_count_of_what_was_not_checked(client: Client, uri: str) -> None:
    everything = types.Range(types.Position(0, 0), types.Position(99, 0))
    hints = await client.lsp.text_document_inlay_hint_async(types.InlayHintParams(Doc(uri), everything))
    assert hints is not None
    assert all(isinstance(each.label, str) and each.label for each in hints)
    lenses = await client.lsp.text_document_code_lens_async(types.CodeLensParams(Doc(uri)))
    (lens,) = lenses or ()
    assert lens.command is not None and "not made for want of facts" in lens.command.title
    assert lens.range.start == types.Position(0, 0)


async def test_actions_answer_findings(client: Client) -> None:
    path = EXAMPLES / "slips/peep-raised-alone.vrx"
    uri = path.as_uri()
    client.open(uri, path.read_text("utf-8"), version=31)
    (found,) = await client.diagnostics(uri, 31)
    context = types.CodeActionContext([found], only=[types.CodeActionKind.QuickFix])
    actions = await client.lsp.text_document_code_action_async(types.CodeActionParams(Doc(uri), found.range, context))
    assert actions
    fixes = [each for each in actions if isinstance(each, types.CodeAction) and each.diagnostics]
    assert {each.kind for each in fixes} == {types.CodeActionKind.QuickFix}
    assert {each.diagnostics[0].code for each in fixes if each.diagnostics} == {found.code}
    assert not any(each.is_preferred for each in fixes)
    edits = [each for fix in fixes if fix.edit is not None for each in fix.edit.document_changes or ()]
    assert {each.text_document.version for each in edits if isinstance(each, types.TextDocumentEdit)} == {31}
    context = types.CodeActionContext([found], only=[types.CodeActionKind.RefactorExtract])
    assert not await client.lsp.text_document_code_action_async(types.CodeActionParams(Doc(uri), found.range, context))
    client.close(uri)


async def test_definition_references_highlights_and_rename_over_the_library(client: Client, library: Path) -> None:
    follower = (library / "out.vrx").as_uri()
    client.open(follower, order("out", 7), version=41)
    at = types.Position(4, 11)  # on the id after `follows`
    defined = await client.lsp.text_document_definition_async(types.DefinitionParams(Doc(follower), at))
    assert isinstance(defined, Sequence)
    (there,) = defined
    assert isinstance(there, types.Location)
    assert (there.uri, there.range.start) == ((library / "t.vrx").as_uri(), types.Position(1, 6))
    context = types.ReferenceContext(include_declaration=True)
    found = await client.lsp.text_document_references_async(types.ReferenceParams(context, Doc(follower), at))
    assert follower in [each.uri for each in found or ()]
    params = types.DocumentHighlightParams(Doc(follower), types.Position(6, 3))
    assert await client.lsp.text_document_document_highlight_async(params)
    ready = await client.lsp.text_document_prepare_rename_async(types.PrepareRenameParams(Doc(follower), at))
    assert isinstance(ready, types.Range)
    edit = await client.lsp.text_document_rename_async(types.RenameParams(Doc(follower), at, "new-name"))
    assert edit is not None
    changed = {
        each.text_document.uri: each for each in edit.document_changes or () if isinstance(each, types.TextDocumentEdit)
    }
    assert changed.keys() == {follower, (library / "t.vrx").as_uri()}
    assert {uri: each.text_document.version for uri, each in changed.items()} == {
        follower: 41, (library / "t.vrx").as_uri(): None,
    }  # fmt: skip
    with pytest.raises(Exception, match="begins with a letter or digit"):
        await client.lsp.text_document_rename_async(types.RenameParams(Doc(follower), at, "no good"))
    client.close(follower)


async def test_layout_changes_white_space_alone(client: Client) -> None:
    uri = new()
    client.open(uri, 'prescription "x"\nsettings\n      PEEP 5 cmH2O\n')
    options = types.FormattingOptions(2, True)
    whole = await client.lsp.text_document_formatting_async(types.DocumentFormattingParams(Doc(uri), options))
    assert whole and all(
        each.new_text.split() in (["PEEP", "5", "cmH2O"], [], ["settings", "PEEP", "5", "cmH2O"]) for each in whole
    )
    somewhere = types.Range(types.Position(2, 0), types.Position(2, 4))
    part = await client.lsp.text_document_range_formatting_async(
        types.DocumentRangeFormattingParams(Doc(uri), somewhere, options)
    )
    assert part
    client.close(uri)


async def test_what_is_not_open_has_empty_answers_and_the_server_lives(client: Client, uri: str) -> None:
    nowhere = Doc("file:///nowhere/at/all.vrx")
    assert await client.lsp.text_document_hover_async(types.HoverParams(nowhere, types.Position(0, 0))) is None
    assert not await client.lsp.text_document_code_lens_async(types.CodeLensParams(nowhere))
    for text in ("\x00", "\ud800", "\u2028\r\r\n", ""):
        broken = new()
        client.open(broken, text)
        assert await client.diagnostics(broken, 1)
        await client.lsp.text_document_hover_async(types.HoverParams(Doc(broken), types.Position(0, 0)))
        client.close(broken)
    assert await client.lsp.text_document_document_symbol_async(types.DocumentSymbolParams(Doc(uri)))
