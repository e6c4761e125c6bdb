"""An order while it is typed: every beginning of every example, and sessions of random edits.

Every beginning is read. Screening each takes hours, so a sample is screened, half of it at ends of lines; with
`RXLINT_EVERY_PREFIX=1` all of them are.
"""

import os
import random
import re
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from rxlint.editor.completion import completions
from rxlint.editor.diagnostics import marks, summary
from rxlint.editor.folds import folds
from rxlint.editor.hints import hints
from rxlint.editor.hover import hover
from rxlint.editor.shapes import Mark, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.symbols import symbols
from rxlint.editor.tokens import tokens
from rxlint.editor.workspace import Workspace
from rxlint.library.rulings import Rulings
from rxlint.notation.document import read_document
from rxlint.notation.tree import Document
from rxlint.text import Problem
from rxlint.text.source import source_of_text
from tests.documents import DAY
from tests.editor.places import end_of, snapshot_of
from tests.editor.texts import SEED, paths

EVERY: Final = os.environ.get("RXLINT_EVERY_PREFIX") == "1"
_SAMPLE: Final = 100
_SLOW: Final = "lung-protective-adult"  # its ranges take seconds to search, at each beginning
_TYPED: Final = paths("sound", "templates")
_IDS: Final = [path.stem for path in _TYPED]


def places() -> Iterator[tuple[Path, str]]:
    """Beginnings to be screened: the same ones in every run, half of them at ends of lines."""
    chance = random.Random(SEED)
    fast = [path for path in _TYPED if _SLOW not in path.name]
    for number in range(_SAMPLE):
        path = chance.choice(fast)
        text = path.read_text("utf-8")
        ends = [at for at, character in enumerate(text) if character == "\n"]
        yield path, text[: chance.choice(ends) if number % 2 else chance.randrange(len(text) + 1)]


def is_fine(snapshot: Snapshot) -> None:
    """What is told of a text stands in it, and no part of it is a fault of ours."""
    lines = snapshot.text.split("\n")
    found = marks(snapshot)
    for mark in found:
        assert 1 <= mark.place.line <= len(lines) and mark.place.column >= 1, mark
        assert (mark.place.line, mark.place.column) <= (mark.place.end_line, mark.place.end_column), mark
        assert mark.message
    assert snapshot.screened.screening is None or not snapshot.screened.screening.crashes
    assert summary(snapshot)


@pytest.mark.parametrize("path", _TYPED, ids=_IDS)
def test_every_beginning_is_read(path: Path) -> None:
    """Character by character (in every third place by default): it reads, and every line is in the tree, once."""
    text = path.read_text("utf-8")
    for end in range(0, len(text) + 1, 1 if EVERY else 3):
        typed = text[:end]
        source = source_of_text(typed)
        assert not isinstance(source, Problem)
        document = read_document(source)
        assert _lines(document) == list(range(1, len(source.lines) + 1)), f"a line is lost: {typed[-80:]!r}"


def _lines(document: Document) -> list[int]:
    return sorted(line.number for entry in document.entries for line in entry.lines)


@pytest.mark.skipif(EVERY, reason="all of them are screened")
def test_a_sample_of_beginnings_is_screened() -> None:
    for path, text in places():
        is_fine(snapshot_of(text, path))


@pytest.mark.skipif(not EVERY, reason="RXLINT_EVERY_PREFIX=1 does this; it takes hours")
@pytest.mark.parametrize("path", _TYPED, ids=_IDS)
def test_every_beginning_is_screened(path: Path) -> None:
    text = path.read_text("utf-8")
    for end in range(len(text) + 1):
        is_fine(snapshot_of(text[:end], path))


def test_what_is_asked_while_typing_is_answered() -> None:
    """At the place where the text breaks off, where a cursor stands."""
    for path, text in list(places())[:40]:
        snapshot, at = snapshot_of(text, path), end_of(text)
        coloured = tokens(snapshot)
        assert all(1 <= token.place.line <= at.line for token in coloured)
        assert all(1 <= fold.first <= fold.last <= at.line for fold in folds(snapshot))
        assert all(hint.at <= at for hint in hints(snapshot, 1, at.line))
        assert all(symbol.place.line <= at.line for symbol in symbols(snapshot))
        assert all(offer.label for offer in completions(snapshot, at))
        told = hover(snapshot, Position(at.line, max(1, at.column - 1)))
        assert told is None or told.markdown


# ---- a session of edits

_TEMPLATE: Final = (
    'template "t"\n  id  t\n  revision  2\n  status  active\nsettings\n  PEEP  4 to 6 cmH2O\n  rate  10 to 20 /min\n'
)
_ORDER: Final = (
    'prescription "p"\n  id  p\n  revision  1\n  status  active\n  follows  t revision 2\nsettings\n'
    "  mode  A/C-VC\n  PEEP  5 cmH2O\n  rate  14 /min\n  tidal volume  450 mL\n"
)
_FILES: Final = {
    "t.vrx": _TEMPLATE,
    "p.vrx": _ORDER,
    "q.vrx": _ORDER.replace("id  p", "id  q").replace("5 cmH2O", "7 cmH2O"),
}
_PASTED: Final = (
    "  PEEP  9 cmH2O\n", "settings\n", "  revision  3\n", "  id  p\n", "  follows  t revision 3\n",
    'template "u"\n', "  id  t\n",
    "alarms\n  low PEEP  2 cmH2O\n", "\n", "# a remark\n", "\tx\n", "  \u2009\n",
)  # fmt: skip
_KEYS: Final = st.text(
    st.sampled_from('0123456789 .,-#"\n\t/aceimortPHO\u00e9\u200b\U0001f600\r'), min_size=1, max_size=6
)


class Typing(RuleBasedStateMachine):
    """A template and two orders that follow it, of which any are open, and somebody who types in them."""

    @initialize()
    def begin(self) -> None:
        self.home = TemporaryDirectory()
        self.folder = Path(self.home.name).resolve()
        (self.folder / "rxlint.yaml").write_text("library: .\n", "utf-8")
        for name, text in _FILES.items():
            (self.folder / name).write_text(text, "utf-8")
        self.workspace = Workspace(Rulings, DAY)
        self.texts: dict[str, str] = {}
        self.before: dict[str, list[str]] = {}
        for name in ("p.vrx", "t.vrx"):
            self.open_or_close(name)

    def teardown(self) -> None:
        if hasattr(self, "home"):
            self.agrees()
            self.home.cleanup()

    def marks_in(self, workspace: Workspace, name: str) -> tuple[Mark, ...]:
        return marks(workspace.snapshot(self.folder / name, self.texts[name]))

    def put(self, name: str, text: str) -> None:
        self.texts[name] = text
        told = self.workspace.put(self.folder / name, text)
        assert self.folder / name not in told
        assert told <= {self.folder / each for each in self.texts}

    def typed(self, name: str, text: str) -> None:
        self.before[name].append(self.texts[name])
        self.put(name, text)

    # ---- what somebody does

    @rule(name=st.sampled_from(sorted(_FILES)))
    def open_or_close(self, name: str) -> None:
        if name in self.texts:
            del self.texts[name], self.before[name]
            self.workspace.drop(self.folder / name)
        else:
            self.before[name] = []
            self.put(name, _FILES[name])

    @precondition(lambda self: self.texts)
    @rule(data=st.data(), keys=_KEYS)
    def insert(self, data: st.DataObject, keys: str) -> None:
        name, text = self.some(data)
        at = data.draw(st.integers(0, len(text)))
        self.typed(name, text[:at] + keys + text[at:])

    @precondition(lambda self: self.texts)
    @rule(data=st.data(), keys=st.one_of(st.just(""), _KEYS))
    def replace(self, data: st.DataObject, keys: str) -> None:
        name, text = self.some(data)
        start = data.draw(st.integers(0, len(text)))
        end = min(len(text), start + data.draw(st.integers(1, 30)))
        self.typed(name, text[:start] + keys + text[end:])

    @precondition(lambda self: self.texts)
    @rule(data=st.data(), pasted=st.sampled_from(_PASTED))
    def paste(self, data: st.DataObject, pasted: str) -> None:
        name, text = self.some(data)
        lines = text.splitlines(keepends=True)
        at = data.draw(st.integers(0, len(lines)))
        self.typed(name, "".join([*lines[:at], pasted, *lines[at:]]))

    @precondition(lambda self: any(self.before.values()))
    @rule(data=st.data())
    def undo(self, data: st.DataObject) -> None:
        name = data.draw(st.sampled_from(sorted(name for name, texts in self.before.items() if texts)))
        self.put(name, self.before[name].pop())

    @precondition(lambda self: self.texts)
    @rule(data=st.data(), number=st.sampled_from(["1", "2", "3", "5", "6", "8", "12", "450"]))
    def another_number(self, data: st.DataObject, number: str) -> None:
        name, text = self.some(data)
        found = list(re.finditer(r"[0-9]+", text))
        if found:
            old = data.draw(st.sampled_from(found))
            self.typed(name, text[: old.start()] + number + text[old.end() :])

    @invariant()
    def is_looked_at(self) -> None:
        """What is told in between is remembered by the workspace, and must not outlive its truth."""
        for name in getattr(self, "texts", ()):
            for mark in self.marks_in(self.workspace, name):
                assert mark.message and mark.place.line >= 1

    def some(self, data: st.DataObject) -> tuple[str, str]:
        name = data.draw(st.sampled_from(sorted(self.texts)))
        return name, self.texts[name]

    # ---- what must hold

    def agrees(self) -> None:
        """The session tells what one tells that has never known another text."""
        afresh = Workspace(Rulings, DAY)
        for name, text in self.texts.items():
            afresh.put(self.folder / name, text)
        for name in self.texts:
            assert self.marks_in(self.workspace, name) == self.marks_in(afresh, name), name


TestTyping = Typing.TestCase
TestTyping.settings = settings(max_examples=settings().max_examples // 4, stateful_step_count=15)
