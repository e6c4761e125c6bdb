"""The language server: the protocol's messages to calls of pure functions, and back. It needs pygls.

Standard output belongs to the protocol alone; whatever else is printed goes to standard error. A fault of ours in one
answer is written there, and the client gets an empty one.
"""

from __future__ import annotations

import asyncio
import logging
import os
import sys
from collections.abc import Generator, Iterable, Mapping
from pathlib import Path
from typing import Any, BinaryIO, Final

from lsprotocol import types
from pygls.lsp.server import LanguageServer
from pygls.protocol import LanguageServerProtocol
from pygls.protocol.language_server import lsp_method
from pygls.uris import to_fs_path

from rxlint import __version__
from rxlint.editor import server_features, server_writing
from rxlint.editor.convert import Wants
from rxlint.editor.server_features import Asking
from rxlint.editor.server_session import Document, Session
from rxlint.editor.workspace import Workspace

LONGEST_MESSAGE: Final = 256 * 1024 * 1024
"""Longest message that is read, in bytes: a document that is read has 4 MiB at most, and JSON writes it longer."""
_LONGEST_HEADER: Final = 4_000
_WATCHED: Final = ("**/*.vrx", "**/*.yaml", "**/*.yml")
_log = logging.getLogger("rxlint.editor")


def is_wanted(options: object, name: str) -> bool:
    """Whether the client's options switch something on; they come as a mapping, or as an object made of one."""
    found = options.get(name) if isinstance(options, Mapping) else getattr(options, name, None)
    return found is True


class _Protocol(LanguageServerProtocol):
    @lsp_method(types.INITIALIZE)
    def lsp_initialize(self, params: types.InitializeParams) -> Generator[Any, Any, types.InitializeResult]:
        """Columns are counted in UTF-16 units, which every client knows, whatever else it offers."""
        if params.capabilities.general is not None:
            params.capabilities.general.position_encodings = [types.PositionEncodingKind.Utf16]
        return (yield from super().lsp_initialize(params))


class Server(LanguageServer):
    """The server of one client."""

    def __init__(self, workspace: Workspace) -> None:
        super().__init__(
            "rxlint", __version__, types.TextDocumentSyncKind.Full, protocol_cls=_Protocol
        )  # whole texts: what a line is would else be a matter of opinion
        self.session = Session(workspace, self._told, self._stale, self._settings_told)
        self._settings: dict[str, list[types.Diagnostic]] = {}
        self._told_of: set[str] = set()  # open files of rules
        self._is_told_of_files = False
        self._folders: dict[str, Path] = {}
        self.was_shut_down = False

    def report_server_error(self, error: Exception, source: Any) -> None:  # noqa: ARG002 - pygls calls it so
        """A message that could not be handled: no window pops up for it."""
        _log.error("%s", error, exc_info=error)

    # ---- the session begins

    def began(self, params: types.InitializeParams) -> None:
        """Take in what the client can do and which folders are open."""
        text = params.capabilities.text_document
        published = text.publish_diagnostics if text is not None else None
        self.session.wants = Wants(
            related=bool(published is not None and published.related_information),
            fade=is_wanted(params.initialization_options, "fadeAccepted"),
        )
        self.session.is_pulled = text is not None and text.diagnostic is not None
        self.session.loop = asyncio.get_running_loop()
        folders = params.workspace_folders
        if folders is None:
            path = Path(params.root_path) if params.root_path else None
            # of a path that is not absolute nobody can tell where it begins
            root = params.root_uri or (path.as_uri() if path is not None and path.is_absolute() else None)
            folders = [types.WorkspaceFolder(root, "")] if root else []
        self.folders_changed(folders, ())

    def folders_changed(self, added: Iterable[types.WorkspaceFolder], removed: Iterable[types.WorkspaceFolder]) -> None:
        """Other folders are open as a whole. The rules are read then, while the client is still setting up."""
        for each in removed:
            self._folders.pop(each.uri, None)
        self._folders |= {each.uri: Path(path) for each in added if (path := to_fs_path(each.uri))}
        folders = tuple(self._folders.values())
        self.session.later(lambda: self.session.workspace.set_folders(folders))

    async def watch(self) -> None:
        """Ask to be told of files that change, where the client can do that."""
        workspace = self.client_capabilities.workspace
        watched = workspace.did_change_watched_files if workspace is not None else None
        if watched is None or not watched.dynamic_registration:
            return
        options = types.DidChangeWatchedFilesRegistrationOptions([types.FileSystemWatcher(each) for each in _WATCHED])
        wanted = types.Registration("files", types.WORKSPACE_DID_CHANGE_WATCHED_FILES, options)
        await self.client_register_capability_async(types.RegistrationParams([wanted]))
        self._is_told_of_files = True

    def files_changed(self, uris: Iterable[str]) -> None:
        """Files have changed on the disk."""
        paths = [Path(path) for uri in uris if (path := to_fs_path(uri))]
        self.session.later(lambda: self.session.workspace.changed(paths), of_files=True)

    def saved(self, uri: str) -> None:
        """A document was written; of a client that tells no more than this, any file may have changed."""
        self.files_changed([uri])
        if not self._is_told_of_files:
            self.session.later(self.session.workspace.look_again, of_files=True)

    # ---- diagnostics

    def _told(self, document: Document) -> None:
        if document.is_yaml and not self.session.is_pulled and self._is_nothing_new(document):
            return
        if not self.session.is_pulled and document.result is not None:
            self._publish(document.uri, document.result.diagnostics, document.result.version)

    def _is_nothing_new(self, document: Document) -> bool:
        """Whether of a file that is opened there is nothing to tell, nor was before: it may be somebody else's."""
        is_first = document.uri not in self._told_of
        self._told_of.add(document.uri)
        found = document.result.diagnostics if document.result is not None else []
        return is_first and not found and not self._settings.get(document.uri)

    def _stale(self) -> None:
        """What was told of documents nobody has touched does not hold: the client is to ask again."""
        workspace = self.client_capabilities.workspace
        if workspace is None:
            return
        if self.session.is_pulled and workspace.diagnostics is not None and workspace.diagnostics.refresh_support:
            self.workspace_diagnostic_refresh(None)
        if workspace.code_lens is not None and workspace.code_lens.refresh_support:
            self.workspace_code_lens_refresh(None)

    def _settings_told(self, found: Mapping[str, list[types.Diagnostic]]) -> None:
        """Settings files are told of whether they are open or not, and only where something has changed; one that is
        open has a result of its own.
        """
        for uri in self._settings.keys() | found.keys():
            diagnostics = found.get(uri, [])
            if diagnostics != self._settings.get(uri, []) and not self.session.is_yaml(uri):
                self._publish(uri, diagnostics, None)
        self._settings = {uri: each for uri, each in found.items() if each}

    def cleared(self, uri: str) -> None:
        """A document is closed: its findings go."""
        self._told_of.discard(uri)
        if not self.session.is_pulled:
            self._publish(uri, self._settings.get(uri, []), None)

    def _publish(self, uri: str, diagnostics: list[types.Diagnostic], version: int | None) -> None:
        self.text_document_publish_diagnostics(types.PublishDiagnosticsParams(uri, diagnostics, version))


def build(workspace: Workspace) -> Server:
    """A server over a workspace, with everything registered that a client may ask for."""
    server = Server(workspace)
    _register_documents(server)
    _register_files(server)
    _register_pull(server)
    asking = Asking(server.session)
    server_features.register(server, asking)
    server_writing.register(server, asking)
    return server


def _register_documents(server: Server) -> None:
    session = server.session

    @server.feature(types.TEXT_DOCUMENT_DID_OPEN)
    def opened(params: types.DidOpenTextDocumentParams) -> None:
        document = params.text_document
        session.open(document.uri, document.language_id, document.version, document.text)

    @server.feature(types.TEXT_DOCUMENT_DID_CHANGE)
    def changed(params: types.DidChangeTextDocumentParams) -> None:
        if params.content_changes:
            text = params.content_changes[-1].text
            session.change(params.text_document.uri, params.text_document.version, text)

    @server.feature(types.TEXT_DOCUMENT_DID_SAVE)
    def saved(params: types.DidSaveTextDocumentParams) -> None:
        server.saved(params.text_document.uri)

    @server.feature(types.TEXT_DOCUMENT_DID_CLOSE)
    def closed(params: types.DidCloseTextDocumentParams) -> None:
        session.close(params.text_document.uri)
        server.cleared(params.text_document.uri)


def _register_files(server: Server) -> None:
    @server.feature(types.INITIALIZE)
    def initialize(params: types.InitializeParams) -> None:
        server.began(params)

    @server.feature(types.INITIALIZED)
    async def initialized(_params: types.InitializedParams) -> None:
        try:
            await server.watch()
        except Exception:
            _log.exception("the client will not tell of files that change")

    @server.feature(types.SHUTDOWN)
    def shutdown(_params: None) -> None:
        server.was_shut_down = True

    @server.feature(types.WORKSPACE_DID_CHANGE_WATCHED_FILES)
    def watched(params: types.DidChangeWatchedFilesParams) -> None:
        server.files_changed(each.uri for each in params.changes)

    @server.feature(types.WORKSPACE_DID_CHANGE_WORKSPACE_FOLDERS)
    def folders(params: types.DidChangeWorkspaceFoldersParams) -> None:
        server.folders_changed(params.event.added, params.event.removed)


def _register_pull(server: Server) -> None:
    session = server.session

    async def report(uri: str, previous: str | None) -> types.DocumentDiagnosticReport:
        result = await session.result(uri)
        if result is None:
            return types.RelatedFullDocumentDiagnosticReport(items=[])
        if result.id == previous:
            return types.RelatedUnchangedDocumentDiagnosticReport(result_id=result.id)
        return types.RelatedFullDocumentDiagnosticReport(items=result.diagnostics, result_id=result.id)

    options = types.DiagnosticOptions(inter_file_dependencies=True, workspace_diagnostics=True, identifier="rxlint")

    @server.feature(types.TEXT_DOCUMENT_DIAGNOSTIC, options)
    async def diagnostic(params: types.DocumentDiagnosticParams) -> types.DocumentDiagnosticReport:
        return await report(params.text_document.uri, params.previous_result_id)

    @server.feature(types.WORKSPACE_DIAGNOSTIC)
    async def workspace_diagnostic(params: types.WorkspaceDiagnosticParams) -> types.WorkspaceDiagnosticReport:
        """The documents that are open; a whole library is screened by the command, not by an editor."""
        previous = {each.uri: each.value for each in params.previous_result_ids}
        items: list[types.WorkspaceDocumentDiagnosticReport] = []
        for document in list(session.documents.values()):
            found = await report(document.uri, previous.get(document.uri))
            version = document.version
            if isinstance(found, types.RelatedUnchangedDocumentDiagnosticReport):
                items.append(
                    types.WorkspaceUnchangedDocumentDiagnosticReport(document.uri, found.result_id, version=version)
                )
            else:
                items.append(
                    types.WorkspaceFullDocumentDiagnosticReport(
                        document.uri, found.items, version=version, result_id=found.result_id
                    )
                )
        return types.WorkspaceDiagnosticReport(items)


class Incoming:
    """What a client sends, as the protocol's reader takes it: no more at once than any message can hold.

    A message that is told to be longer ends the stream, for nobody can tell where the next one would begin; so does its
    header if it goes on and on.
    """

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream

    def readline(self) -> bytes:
        """A line of a header; nothing at the end."""
        line = self._stream.readline(_LONGEST_HEADER + 1)
        if len(line) > _LONGEST_HEADER:
            _log.error("a header of more than %d bytes came, and nothing after it is read", _LONGEST_HEADER)
            return b""
        return line

    def read(self, size: int) -> bytes:
        """A message of this many bytes; nothing at the end."""
        if size > LONGEST_MESSAGE:
            _log.error("a message of more than %d bytes was announced, and nothing after it is read", LONGEST_MESSAGE)
            return b""
        return self._stream.read(size)


def serve(workspace: Workspace) -> int:
    """Speak with a client over standard input and output until it says goodbye; the exit code that the protocol asks
    for: 1 where the client has gone without a word.
    """
    logging.basicConfig(stream=sys.stderr, level=logging.ERROR, format="rxlint: %(name)s: %(message)s")
    protocol = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # what a rule prints must not end up between two messages
    sys.setswitchinterval(0.001)  # in seconds: an answer waits that long for a screening to let it in
    server = build(workspace)
    try:
        server.start_io(Incoming(sys.stdin.buffer), protocol)  # type: ignore[arg-type]
    finally:
        server.session.end()
    return 0 if server.was_shut_down else 1
