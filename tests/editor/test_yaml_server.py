"""Files of rules in the language server: a policy is spoilt and repaired, and orders are screened under it."""

import asyncio
import itertools
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

pytest.importorskip("pygls")

import pytest_asyncio
from lsprotocol import types

from tests.documents import prescription
from tests.editor.serving import Client
from tests.editor.test_workspace import write

pytestmark = pytest.mark.asyncio(loop_scope="module")

Doc = types.TextDocumentIdentifier
COUNT = itertools.count(1)
POLICY = """pack: site
revision: 1
summary: "what the site \U0001f600 asks"
limits:
  - {{ id: site.peep, of: PEEP, allow: 4 to {most} cmH2O, level: query, source: "\U0001f600 guideline 1" }}
"""
SOUND, WIDER = POLICY.format(most=8), POLICY.format(most=12)
ORDER = prescription("mode  A/C-VC", "tidal volume  450 mL", "rate  14 /min", "PEEP  10 cmH2O")


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("library").resolve()
    write(folder / "rxlint.yaml", "policies: [site.yaml]\n")
    write(folder / "site.yaml", SOUND)
    write(folder / "order.vrx", ORDER)
    return folder


@pytest_asyncio.fixture(scope="module", loop_scope="module")
async def client(tmp_path_factory: pytest.TempPathFactory, library: Path) -> AsyncIterator[Client]:
    client = Client()
    await client.start(tmp_path_factory.mktemp("home"), library, pull=False)
    yield client
    assert await client.stop() == 0


def saved(client: Client, path: Path, text: str) -> None:
    write(path, text)
    client.lsp.text_document_did_save(types.DidSaveTextDocumentParams(Doc(path.as_uri())))


def rules(found: list[types.Diagnostic] | None) -> set[object]:
    return {each.code for each in found or ()}


async def test_a_spoilt_policy_is_told_while_it_is_typed_and_orders_are_screened_anew_when_it_is_saved(
    client: Client, library: Path
) -> None:
    order, policy = (library / "order.vrx").as_uri(), (library / "site.yaml").as_uri()
    settings = (library / "rxlint.yaml").as_uri()
    client.open(order, ORDER)
    assert "site.peep" in rules(await client.diagnostics(order, 1))

    client.open(policy, SOUND, language="yaml")
    client.change(policy, SOUND.replace("level: query", "level: qery"), 2)
    (fault,) = await client.diagnostics(policy, 2)
    assert "level is one of reject, query, note, not qery; did you mean query?" in fault.message
    line = SOUND.split("\n")[4]
    assert (fault.range.start.line, fault.range.start.character) == (4, line.index("query"))
    assert (fault.severity, fault.source) == (types.DiagnosticSeverity.Error, "rxlint")
    late = SOUND.replace('guideline 1" }', 'guideline 1", fnal: true }')
    client.change(policy, late, 3)
    (fault,) = await client.diagnostics(policy, 3)
    line = late.split("\n")[4]
    assert fault.range.start.character == line.index("fnal") + 1  # a character beyond the first plane has two units
    client.change(policy, SOUND, 4)
    assert await client.diagnostics(policy, 4) == []

    assert "site.peep" in rules(client.told(order))
    client.change(policy, WIDER, 5)
    saved(client, library / "site.yaml", WIDER)
    await client.until(lambda: "site.peep" not in rules(client.told(order)))
    saved(client, library / "site.yaml", SOUND.replace("query", "qery"))
    await client.until(lambda: "not screened" in str(client.told(order)))
    await client.until(lambda: bool(client.told(settings)))  # at the name of the file
    saved(client, library / "site.yaml", SOUND)
    await client.until(lambda: "site.peep" in rules(client.told(order)))
    await client.until(lambda: client.told(settings) == [])
    client.close(policy)
    client.close(order)


async def test_settings_that_are_open_tell_what_is_typed_and_what_their_files_have(
    client: Client, library: Path
) -> None:
    settings, text = (library / "rxlint.yaml").as_uri(), "policies: [site.yaml]\n"
    client.open(settings, text, version=next(COUNT), language="yaml")
    client.change(settings, text.replace("site", "sit"), 102)
    (fault,) = await client.diagnostics(settings, 102)
    assert fault.message == "policies: there is no file sit.yaml; did you mean site.yaml?"
    client.change(settings, text, 103)
    assert await client.diagnostics(settings, 103) == []
    saved(client, library / "site.yaml", SOUND.replace("query", "qery"))
    await client.until(lambda: "level is one of" in str(client.told(settings)))
    (fault,) = client.told(settings) or []
    assert (fault.range.start.line, fault.range.start.character) == (0, text.index("site"))
    saved(client, library / "site.yaml", SOUND)
    await client.until(lambda: client.told(settings) == [])
    client.close(settings)


async def test_a_policy_that_uses_another_is_told_anew_when_that_changes(client: Client, library: Path) -> None:
    ward = "pack: ward\nrevision: 1\nsummary: x\nuses: [network]\nmust be checked: [site]\n"
    folder = library / "more"
    folder.mkdir()
    path = folder / "ward.yaml"
    write(folder / "rxlint.yaml", "policies: []\n")
    client.open(path.as_uri(), ward, language="yaml")
    await client.until(lambda: "there is no pack network" in str(client.told(path.as_uri())))
    network = SOUND.replace("pack: site", "pack: network").replace("limits:", "uses: []\nlimits:")
    write(folder / "network.yaml", network)
    event = types.FileEvent((folder / "network.yaml").as_uri(), types.FileChangeType.Created)
    client.lsp.workspace_did_change_watched_files(types.DidChangeWatchedFilesParams([event]))
    await client.until(lambda: "there is no pack network" not in str(client.told(path.as_uri())))
    client.close(path.as_uri())


async def test_what_is_asked_of_a_policy(client: Client, library: Path) -> None:
    uri = (library / "site.yaml").as_uri()
    client.open(uri, SOUND + "adj", language="yaml")
    found = await client.lsp.text_document_completion_async(types.CompletionParams(Doc(uri), types.Position(5, 3)))
    assert isinstance(found, types.CompletionList)
    (item,) = found.items
    assert item.label == "adjust"
    assert isinstance(item.text_edit, types.TextEdit)
    assert item.text_edit == types.TextEdit(types.Range(types.Position(5, 0), types.Position(5, 3)), "adjust:")
    client.change(uri, SOUND, 2)
    told = await client.lsp.text_document_hover_async(
        types.HoverParams(Doc(uri), types.Position(4, SOUND.split("\n")[4].index("PEEP")))
    )
    assert told is not None and isinstance(told.contents, types.MarkupContent)
    assert told.contents.value.startswith("**PEEP**")
    outline = await client.lsp.text_document_document_symbol_async(types.DocumentSymbolParams(Doc(uri)))
    (row,) = [row for each in outline or () if isinstance(each, types.DocumentSymbol) for row in each.children or ()]
    assert (row.name, row.range.end.character) == ("site.peep", len(SOUND.split("\n")[4]) - 1)
    client.close(uri)


async def test_a_yaml_file_of_somebody_else_is_told_nothing_of(client: Client, library: Path) -> None:
    uri = (library / "build.yaml").as_uri()
    client.open(uri, "jobs: [\n", language="yaml")
    asked = await client.lsp.text_document_completion_async(types.CompletionParams(Doc(uri), types.Position(0, 7)))
    assert isinstance(asked, types.CompletionList) and list(asked.items) == []
    assert await client.lsp.text_document_hover_async(types.HoverParams(Doc(uri), types.Position(0, 1))) is None
    client.change(uri, "jobs: [x\n", 2)
    await asyncio.sleep(0.5)
    assert client.of(uri) == []
    client.close(uri)


async def test_a_client_that_asks_for_diagnostics_has_those_of_rules_too(
    tmp_path_factory: pytest.TempPathFactory, library: Path
) -> None:
    puller = Client()
    await puller.start(tmp_path_factory.mktemp("puller"), library, pull=True)
    uri = (library / "site.yaml").as_uri()

    async def pulled() -> list[str]:
        found = await puller.lsp.text_document_diagnostic_async(types.DocumentDiagnosticParams(Doc(uri)))
        assert isinstance(found, types.RelatedFullDocumentDiagnosticReport)
        return [each.message for each in found.items]

    puller.open(uri, SOUND.replace("query", "qery"), language="yaml")
    (told,) = await pulled()
    assert "did you mean query?" in told
    puller.change(uri, SOUND, 2)
    assert await pulled() == []
    assert puller.of(uri) == []
    assert await puller.stop() == 0
