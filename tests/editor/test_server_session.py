"""A session without a process: faults of ours, and results that come too late."""

import asyncio
import io
import logging
import threading
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import NoReturn

import pytest

pytest.importorskip("pygls")

from lsprotocol import types

from rxlint.editor import server_session
from rxlint.editor.convert import Lines, Texts, Wants
from rxlint.editor.diagnostics import marks
from rxlint.editor.server import LONGEST_MESSAGE, Incoming, build, is_wanted
from rxlint.editor.server_features import Asked, Asking
from rxlint.editor.server_session import Document, Session, path_of
from rxlint.editor.shapes import Mark
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.workspace import Workspace
from rxlint.notation.tree import Place
from tests.documents import DAY, prescription

URI = "untitled:x.vrx"
WRONG, RIGHT = prescription("PEEP  5 cmHO"), prescription("PEEP  5 cmH2O")


class Recorded:
    """A session with the versions and messages that it told."""

    def __init__(self) -> None:
        self.told: list[tuple[int, list[str]]] = []
        self.session = Session(Workspace(day=DAY), self._told, lambda: None, lambda _: None)
        self.session.loop = asyncio.get_running_loop()

    def _told(self, document: Document) -> None:
        assert document.result is not None
        self.told.append((document.result.version, [each.message for each in document.result.diagnostics]))


def test_what_is_settled_fades_only_where_the_user_wants_it() -> None:
    mark = Mark(Place(1, 1, 1, 2), "query", "told", "trial.rule", settled=True)
    texts, lines = Texts(lambda _: None, str), Lines("x\n")
    assert texts.diagnostic(mark, lines, Wants()).tags is None
    assert texts.diagnostic(mark, lines, Wants(fade=True)).tags == [types.DiagnosticTag.Unnecessary]
    assert texts.diagnostic(replace(mark, settled=False), lines, Wants(fade=True)).tags is None


@pytest.mark.parametrize("size", [LONGEST_MESSAGE + 1, int("9" * 30)])
def test_a_message_that_none_can_be_ends_the_stream(size: int, caplog: pytest.LogCaptureFixture) -> None:
    incoming = Incoming(io.BytesIO(b"{}{}"))
    assert incoming.read(2) == b"{}"
    assert incoming.read(size) == b"" and "was announced" in caplog.text


def test_a_header_that_goes_on_and_on_ends_the_stream(caplog: pytest.LogCaptureFixture) -> None:
    incoming = Incoming(io.BytesIO(b"Content-Length: 2\r\nContent-Length: " + b"9" * 5_000 + b"\r\n"))
    assert incoming.readline() == b"Content-Length: 2\r\n"
    assert incoming.readline() == b"" and "a header" in caplog.text


@pytest.mark.asyncio
@pytest.mark.parametrize(
    ("root", "folders"), [("/home/x", ["/home/x"]), ("orders", []), ("untitled:", []), ("", []), (None, [])]
)
async def test_the_folder_of_an_old_client_is_open_where_its_path_is_absolute(
    root: str | None, folders: list[str]
) -> None:
    server = build(Workspace(day=DAY))
    opened: list[str] = []

    def folders_changed(added: Iterable[types.WorkspaceFolder], removed: Iterable[types.WorkspaceFolder]) -> None:
        assert list(removed) == []
        opened.extend(each.uri for each in added)

    server.folders_changed = folders_changed  # type: ignore[method-assign]
    server.began(types.InitializeParams(types.ClientCapabilities(), root_path=root))
    server.session.end()
    assert opened == [Path(each).as_uri() for each in folders]


@pytest.mark.parametrize(
    ("options", "wanted"),
    [
        ({"fadeAccepted": True}, True),
        (SimpleNamespace(fadeAccepted=True), True),
        ({"fadeAccepted": "yes"}, False),
        (None, False),
        ([], False),
    ],
)
def test_options_of_a_client(options: object, wanted: bool) -> None:
    assert is_wanted(options, "fadeAccepted") is wanted


def fail(*_: object) -> NoReturn:
    raise ZeroDivisionError("by zero")


@pytest.mark.asyncio
async def test_a_fault_of_ours_is_told_in_the_document_and_the_next_text_is_screened(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    recorded = Recorded()
    session = recorded.session
    with monkeypatch.context() as patch, caplog.at_level(logging.CRITICAL):
        patch.setattr(server_session, "marks_of", fail)
        session.open(URI, "rxlint", 1, RIGHT)
        assert await session.result(URI) is not None
    fault = "could not be screened, through a fault of this program: ZeroDivisionError: by zero"
    assert recorded.told == [(1, [fault])]
    session.change(URI, 2, RIGHT)
    await session.result(URI)
    assert fault not in recorded.told[-1][1]
    session.end()


@pytest.mark.asyncio
async def test_a_question_that_fails_is_logged_and_answered_with_nothing(caplog: pytest.LogCaptureFixture) -> None:
    recorded = Recorded()
    session, asking = recorded.session, Asking(recorded.session)
    session.open(URI, "rxlint", 1, RIGHT)

    def failing(_asked: Asked) -> str:
        raise ZeroDivisionError("by zero")

    assert await asking(URI, failing) is None
    assert "ZeroDivisionError: by zero" in caplog.text
    assert await asking(URI, lambda asked: asked.snapshot.text) == RIGHT
    assert await asking("untitled:none", lambda asked: asked.snapshot.text) is None
    session.end()


@pytest.mark.asyncio
async def test_a_result_that_comes_too_late_is_never_told(monkeypatch: pytest.MonkeyPatch) -> None:
    recorded = Recorded()
    session = recorded.session
    started, go_on = threading.Event(), threading.Event()
    real = marks

    def slow(snapshot: Snapshot) -> tuple[Mark, ...]:
        if snapshot.text == WRONG:
            started.set()
            assert go_on.wait(60)
        return real(snapshot)

    monkeypatch.setattr(server_session, "marks_of", slow)
    session.open(URI, "rxlint", 1, WRONG)
    await asyncio.to_thread(started.wait, 60)
    session.change(URI, 2, RIGHT)
    go_on.set()
    await session.result(URI)
    assert [version for version, _ in recorded.told] == [2]
    assert not any("cmHO" in each for each in recorded.told[0][1])

    started.clear()
    go_on.clear()
    session.change(URI, 3, WRONG)
    await asyncio.to_thread(started.wait, 60)
    session.close(URI)
    go_on.set()
    assert await session.result(URI) is None
    await asyncio.to_thread(session.screening.submit(lambda: None).result)
    assert [version for version, _ in recorded.told] == [2]
    assert session.workspace.text_of(path_of(URI)) is None
    session.end()


@pytest.mark.asyncio
async def test_a_text_of_what_was_closed_meanwhile_is_not_laid_over_its_file(tmp_path: Path) -> None:
    session = Recorded().session
    path = tmp_path / "x.vrx"
    session._put(Document(path.as_uri(), path, "rxlint", 1, RIGHT, is_closed=True), RIGHT)
    assert session.workspace.text_of(path) is None
    session.end()


@pytest.mark.parametrize(
    ("uri", "path"),
    [
        ("file:///a/b%20c.vrx", Path("/a/b c.vrx")),
        ("untitled:Untitled-1", Path("untitled/Untitled-1")),
        ("git:/a/b.vrx", Path("git/a/b.vrx")),
        ("untitled:", Path("untitled/untitled")),
    ],
)
def test_only_a_file_has_an_absolute_path(uri: str, path: Path) -> None:
    assert path_of(uri) == path
