"""The language server as a process of its own, with a client that asks for diagnostics; and the command's own words."""

import asyncio
import importlib.util
import subprocess
import sys
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

pytest.importorskip("pygls")

import pytest_asyncio
from lsprotocol import types

from rxlint.commands import editor as command
from tests.conftest import RunCli
from tests.documents import prescription
from tests.editor.serving import COMMAND, Client, environment
from tests.editor.test_workspace import order, template, write

Doc = types.TextDocumentIdentifier
Full = types.RelatedFullDocumentDiagnosticReport


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
    result = await client.start(tmp_path_factory.mktemp("home"), library, pull=True, watch=False)
    provider = result.capabilities.diagnostic_provider
    assert isinstance(provider, types.DiagnosticOptions)
    assert (provider.inter_file_dependencies, provider.workspace_diagnostics) == (True, True)
    yield client
    assert await client.stop() == 0


async def pull(client: Client, uri: str, previous: str | None = None) -> types.DocumentDiagnosticReport:
    params = types.DocumentDiagnosticParams(Doc(uri), previous_result_id=previous)
    return await client.lsp.text_document_diagnostic_async(params)


@pytest.mark.asyncio(loop_scope="module")
async def test_what_has_not_changed_is_told_once(client: Client) -> None:
    uri = "untitled:pulled.vrx"
    client.open(uri, prescription("PEEP  5 cmHO"))
    first = await pull(client, uri)
    assert isinstance(first, Full) and first.items
    again = await pull(client, uri, first.result_id)
    assert isinstance(again, types.RelatedUnchangedDocumentDiagnosticReport)
    assert again.result_id == first.result_id
    client.change(uri, prescription("PEEP  5 cmHO") + "# a remark\n", 2)
    same = await pull(client, uri, first.result_id)
    assert isinstance(same, types.RelatedUnchangedDocumentDiagnosticReport)
    client.change(uri, prescription("PEEP  5 cmH2O"), 3)
    other = await pull(client, uri, first.result_id)
    assert isinstance(other, Full) and other.result_id != first.result_id
    assert not any("cmHO" in each.message for each in other.items)
    client.close(uri)
    gone = await pull(client, uri, other.result_id)
    assert isinstance(gone, Full) and list(gone.items) == []
    assert client.of(uri) == []  # nothing is sent beside


@pytest.mark.asyncio(loop_scope="module")
async def test_the_answer_is_for_the_latest_text(client: Client) -> None:
    """A text that changes while its diagnostics are worked out: what is answered holds for what stands then."""
    uri = "untitled:changing.vrx"
    client.open(uri, prescription("PEEP  5 cmHO"))
    asked = asyncio.ensure_future(pull(client, uri))
    await asyncio.sleep(0)
    client.change(uri, prescription("PEEP  5 cmH2O"), 2)
    await asked
    found = await pull(client, uri)
    assert isinstance(found, Full)
    assert not any("cmHO" in each.message for each in found.items)
    client.close(uri)


@pytest.mark.asyncio(loop_scope="module")
async def test_followers_are_asked_for_again(client: Client, library: Path) -> None:
    follower, laid = (library / "out.vrx").as_uri(), (library / "t.vrx").as_uri()
    client.open(follower, order("out", 7))
    before = await pull(client, follower)
    assert isinstance(before, Full)
    assert "library.outside-template" in [each.code for each in before.items]
    client.open(laid, template("6 to 8"))  # and nobody asks for it
    await client.until(lambda: client.refreshed > 0)
    after = await pull(client, follower, before.result_id)
    assert isinstance(after, Full)
    assert "library.outside-template" not in [each.code for each in after.items]
    params = types.WorkspaceDiagnosticParams([types.PreviousResultId(follower, after.result_id or "")])
    report = await client.lsp.workspace_diagnostic_async(params)
    assert {each.uri: each.kind for each in report.items} == {follower: "unchanged", laid: "full"}
    client.close(laid)
    client.close(follower)


@pytest.mark.asyncio(loop_scope="module")
async def test_a_client_that_tells_of_no_files_is_looked_after_when_it_saves(client: Client, library: Path) -> None:
    follower = (library / "out.vrx").as_uri()
    client.open(follower, order("out", 7))
    before = await pull(client, follower)
    assert isinstance(before, Full)
    refreshed = client.refreshed
    write(library / "t.vrx", template("6 to 8"))
    client.lsp.text_document_did_save(types.DidSaveTextDocumentParams(Doc(follower)))
    await client.until(lambda: client.refreshed > refreshed)
    after = await pull(client, follower, before.result_id)
    assert isinstance(after, Full)
    assert "library.outside-template" not in [each.code for each in after.items]
    assert client.watched == []
    client.close(follower)


# ---- the command


def test_without_pygls_the_command_says_what_to_install(run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    real = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == "pygls" else real(name))
    result = run_cli("editor")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "pip install 'rxlint[editor]'" in result.stderr


def test_a_file_that_is_not_there_is_told_at_once(run_cli: RunCli) -> None:
    result = run_cli("editor", "--policy", "none.yaml")
    assert result.exit_code == 2
    assert "there is no file none.yaml" in result.stderr


def test_a_day_that_is_none_is_told(run_cli: RunCli) -> None:
    result = run_cli("editor", "--on", "tomorrow")
    assert result.exit_code == 2
    assert "tomorrow is not a date" in result.stderr


def test_by_hand_it_says_what_it_is_for(run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "_is_by_hand", lambda: True)
    result = run_cli("editor")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "An editor starts it" in result.stderr


def test_a_client_that_goes_without_a_word_ends_it(tmp_path: Path) -> None:
    done = subprocess.run(COMMAND, input=b"", capture_output=True, env=environment(tmp_path), timeout=120, check=False)
    assert (done.returncode, done.stdout) == (1, b"")


def test_the_pure_functions_need_no_pygls(tmp_path: Path) -> None:
    """Other front ends use them where there is none."""
    code = (
        "import sys; sys.modules['pygls'] = sys.modules['lsprotocol'] = None\n"
        "import rxlint.editor.workspace, rxlint.editor.diagnostics, rxlint.editor.completion, rxlint.editor.hover\n"
        "import rxlint.editor.actions, rxlint.editor.rename, rxlint.editor.links, rxlint.editor.hints\n"
        "import rxlint.editor.symbols, rxlint.editor.folds, rxlint.editor.tokens"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, env=environment(tmp_path), check=False)
    assert (done.returncode, done.stderr) == (0, b"")
