"""A client that speaks with the real `rxlint editor` and keeps what it is told, for tests and benchmarks."""

import asyncio
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Final

from lsprotocol import types
from pytest_lsp import LanguageClient, client_capabilities
from pytest_lsp.client import make_test_lsp_client

import rxlint

DAY: Final = "2026-11-24"
COMMAND: Final = (sys.executable, "-P", "-m", "rxlint", "editor", "--on", DAY)
_PATIENCE: Final = 60.0  # seconds; a loaded machine takes its time


def environment(home: Path) -> dict[str, str]:
    """An environment of its own, with the rxlint that is tested."""
    kept = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT", "TMPDIR", "TEMP") if name in os.environ}
    package = Path(rxlint.__file__).parent.parent
    return kept | {"HOME": str(home), "USERPROFILE": str(home), "LC_ALL": "C.UTF-8", "PYTHONPATH": str(package)}


class Client:
    """One client of one server: the published diagnostics in the order in which they came."""

    def __init__(self) -> None:
        self.lsp: LanguageClient = make_test_lsp_client()
        self.published: list[types.PublishDiagnosticsParams] = []
        self.refreshed = 0
        self.lenses = 0
        self.watched: list[str] = []
        self._came = asyncio.Event()
        self._listen()

    def _listen(self) -> None:
        """Take the place of the test client's own handlers, which keep the last message alone."""

        def published(params: types.PublishDiagnosticsParams) -> None:
            self.published.append(params)
            self._came.set()

        def refreshed(_params: None) -> None:
            self.refreshed += 1
            self._came.set()

        def lenses(_params: None) -> None:
            self.lenses += 1
            self._came.set()

        def registered(params: types.RegistrationParams) -> None:
            self.watched += [each.method for each in params.registrations]
            self._came.set()

        handlers = {
            types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS: published,
            types.WORKSPACE_DIAGNOSTIC_REFRESH: refreshed,
            types.CLIENT_REGISTER_CAPABILITY: registered,
            types.WORKSPACE_CODE_LENS_REFRESH: lenses,
        }
        for name, handler in handlers.items():
            self.lsp.protocol.fm.features.pop(name, None)
            self.lsp.feature(name)(handler)

    async def start(self, home: Path, folder: Path | None, *, pull: bool, watch: bool = True) -> types.InitializeResult:
        await self.lsp.start_io(*COMMAND, env=environment(home))
        can = client_capabilities("visual_studio_code")
        assert can.text_document is not None and can.workspace is not None
        can.text_document.diagnostic = types.DiagnosticClientCapabilities() if pull else None
        can.workspace.diagnostics = types.DiagnosticWorkspaceClientCapabilities(refresh_support=True)
        can.workspace.did_change_watched_files = types.DidChangeWatchedFilesClientCapabilities(watch)
        can.general = types.GeneralClientCapabilities(
            position_encodings=[types.PositionEncodingKind.Utf8, types.PositionEncodingKind.Utf16]
        )
        folders = [types.WorkspaceFolder(folder.as_uri(), "library")] if folder is not None else []
        return await self.lsp.initialize_session(types.InitializeParams(can, workspace_folders=folders))

    async def stop(self) -> int | None:
        await self.lsp.shutdown_session()
        await self.lsp.stop()  # type: ignore[no-untyped-call]
        server = self.lsp._server
        return server.returncode if server is not None else None

    # ---- documents

    def open(self, uri: str, text: str, version: int = 1, language: str = "rxlint") -> None:
        item = types.TextDocumentItem(uri, language, version, text)
        self.lsp.text_document_did_open(types.DidOpenTextDocumentParams(item))

    def change(self, uri: str, text: str, version: int) -> None:
        document = types.VersionedTextDocumentIdentifier(version, uri)
        self.lsp.text_document_did_change(
            types.DidChangeTextDocumentParams(document, [types.TextDocumentContentChangeWholeDocument(text)])
        )

    def close(self, uri: str) -> None:
        self.lsp.text_document_did_close(types.DidCloseTextDocumentParams(types.TextDocumentIdentifier(uri)))

    def of(self, uri: str) -> list[types.PublishDiagnosticsParams]:
        """Everything that was told of a document."""
        return [each for each in self.published if each.uri == uri]

    def told(self, uri: str) -> list[types.Diagnostic] | None:
        """What stands of a document now; None where nothing was told of it."""
        found = self.of(uri)
        return list(found[-1].diagnostics) if found else None

    async def until(self, holds: Callable[[], bool]) -> None:
        """Wait until something holds of what was told; fails where it never does."""
        async with asyncio.timeout(_PATIENCE):
            while not holds():
                self._came.clear()
                await self._came.wait()

    async def diagnostics(self, uri: str, version: int) -> list[types.Diagnostic]:
        """What is told of this version of a document."""
        await self.until(lambda: any(each.version == version for each in self.of(uri)))
        return list(next(each for each in reversed(self.of(uri)) if each.version == version).diagnostics)
