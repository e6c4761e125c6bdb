"""The extension for editors of the VS Code family: its colours by the engine of those editors, and its package at work.

Packing it fetches some 200 packages (40 s, or 90 s where much else runs): `RXLINT_EXTENSION=1` does it.
"""

import json
import os
import shutil
import subprocess
import zipfile
from pathlib import Path
from typing import Any, Final

import pytest

from rxlint.editor import highlight
from rxlint.editor.shapes import TokenKind
from rxlint.editor.tokens import tokens
from rxlint.text import MAX_LINE
from tests.editor.clients.running import README, SLIP, block, desk, program
from tests.editor.texts import paths, read

HERE: Final = Path(__file__).parent
EXTENSION: Final = README.parent / "vscode"
GRAMMAR: Final = EXTENSION / "syntaxes" / "vrx.tmLanguage.json"
_LIMIT: Final = 300  # seconds for one command; beyond, it hangs
_FETCHES: Final = "needs packages that could not be fetched here: "

Coloured = list[tuple[int, int, str]]  # of one line: start, end, scopes

_SCOPES: Final[dict[TokenKind, str]] = {
    "comment": "comment.line.number-sign.vrx",
    "text": "string.quoted.double.vrx",
    "section": "entity.name.section.vrx",
    "number": "constant.numeric.vrx",
    "unit": "keyword.other.unit.vrx",
    "date": "constant.other.date.vrx",
    "rule": "entity.name.function.vrx",
}
"""What has the same colour by the grammar as by the language server, throughout. A term has it at the head of its line
alone, a word has none: which they are depends on more than an expression can tell.
"""


def run(command: list[str], cwd: Path, given: str | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        command, cwd=cwd, input=given, capture_output=True, encoding="utf-8", timeout=_LIMIT, check=False
    )


def fetched(command: list[str], cwd: Path) -> None:
    """Run npm; skip where its registry can't be reached, and only there."""
    done = run([program("npm"), *command], cwd)
    if any(code in done.stderr for code in ("ENOTFOUND", "ECONNREFUSED", "ETIMEDOUT", "EAI_AGAIN", "ECONNRESET")):
        pytest.skip(f"{_FETCHES}{done.stderr[:300]}")
    assert done.returncode == 0, done.stderr


def test_the_grammar_is_fresh() -> None:
    assert GRAMMAR.read_text("utf-8") == highlight.text(), (
        f"renew it: python -m rxlint.editor.highlight {GRAMMAR.relative_to(README.parent.parent.parent)} --write"
    )


# ---- colours


@pytest.fixture(scope="session")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Path:
    program("node")
    folder = tmp_path_factory.mktemp("textmate")
    for file in (HERE / "textmate").glob("*.*"):
        shutil.copy(file, folder)
    fetched(["ci", "--ignore-scripts", "--no-audit", "--no-fund"], folder)
    return folder


def coloured(engine: Path, texts: list[str]) -> list[list[Coloured]]:
    done = run([program("node"), "tokenise.cjs", str(GRAMMAR)], engine, json.dumps(texts))
    assert done.returncode == 0, done.stderr
    found: list[list[Coloured]] = json.loads(done.stdout)
    return found


def test_every_example_is_coloured_as_the_language_server_colours_it(engine: Path) -> None:
    """Sound examples: every comment, text, heading, number, unit, date and rule, whole."""
    texts = [path.read_text("utf-8") for path in paths("sound", "templates")]
    for text, shown in zip(texts, coloured(engine, texts), strict=True):
        lines = text.split("\n")
        for token in tokens(read(text)):
            start, end = token.place.column - 1, token.place.end_column - 1
            line, wanted = lines[token.place.line - 1], _SCOPES.get(token.kind)
            if token.kind == "section" and line[start:end] in _DOCUMENTS:
                wanted = "keyword.control.document.vrx"
            if wanted is not None:
                row = shown[token.place.line - 1]
                scopes = [scope for first, last, scope in row if first < end and last > start]
                assert scopes and all(scope.startswith(wanted) for scope in scopes), (line, token, scopes)


def test_comments_and_texts_have_their_own_colour_and_nothing_else_has_it(engine: Path) -> None:
    """Examples with slips too, of which a number or a unit may be coloured less than the server colours it."""
    texts = [path.read_text("utf-8") for path in paths("sound", "templates", "slips")]
    quiet = ("comment", "string")
    for text, shown in zip(texts, coloured(engine, texts), strict=True):
        by_server = {
            (token.place.line, column): _SCOPES[token.kind]
            for token in tokens(read(text))
            if token.kind in ("comment", "text")
            for column in range(token.place.column - 1, token.place.end_column - 1)
        }
        for number, (line, row) in enumerate(zip(text.split("\n"), shown, strict=True), start=1):
            if len(line) <= MAX_LINE:  # the server says of a longer one that it is too long, and no more
                by_grammar = {
                    (number, column): scope.split()[0]
                    for first, last, scope in row
                    if scope.startswith(quiet)
                    for column in range(first, last)
                }
                assert by_grammar == {at: scope for at, scope in by_server.items() if at[0] == number}, (number, line)


_DOCUMENTS: Final = ("prescription", "template")


def test_what_an_order_is_made_of_has_its_scopes(engine: Path) -> None:
    text = (
        'prescription "a \\" 5 cmH2O # c"  # d "e"\n'
        "settings night from 21:00 to 07:00\n"
        "  inspiratory pressure  17 cmH2O above ambient allow 15 to 20\n"
        "  PEEP#  5 CMH2O\n"
    )
    (shown,) = coloured(engine, [text])
    named = [
        [(line[start:end], scope) for start, end, scope in row if scope]
        for line, row in zip(text.split("\n"), shown, strict=True)
    ]
    assert named[0][0] == ("prescription", "keyword.control.document.vrx")
    assert [scope.split()[0] for _, scope in named[0][1:-1]] == ["string.quoted.double.vrx"] * len(named[0][1:-1])
    assert named[0][-1] == ('# d "e"', "comment.line.number-sign.vrx")
    assert named[1] == [
        ("settings", "entity.name.section.vrx"), ("from", "keyword.operator.word.vrx"),
        ("21:00", "constant.other.date.vrx"), ("to", "keyword.operator.word.vrx"), ("07:00", "constant.other.date.vrx"),
    ]  # fmt: skip
    assert named[2] == [
        ("inspiratory pressure", "variable.other.vrx"), ("17", "constant.numeric.vrx"),
        ("cmH2O", "keyword.other.unit.vrx"), ("above ambient", "keyword.operator.word.vrx"),
        ("allow", "keyword.operator.word.vrx"), ("15", "constant.numeric.vrx"), ("to", "keyword.operator.word.vrx"),
        ("20", "constant.numeric.vrx"),
    ]  # fmt: skip
    assert named[3] == [("5", "constant.numeric.vrx")]  # no term, no comment, no unit: case is meaning in a unit


# ---- the package


@pytest.fixture(scope="session")
def packed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The extension packed as the README says, in a copy of its folder."""
    if os.environ.get("RXLINT_EXTENSION") != "1":
        pytest.skip("RXLINT_EXTENSION=1 does this; it fetches some 200 packages")
    program("npm")
    top = tmp_path_factory.mktemp("extension")
    folder = top / "examples/editors/vscode"
    shutil.copytree(EXTENSION, folder, ignore=shutil.ignore_patterns("node_modules", "out", "*.vsix"))
    enter, install, pack = (each.strip() for each in block("vscode").split("&&"))
    assert (enter, install) == ("cd examples/editors/vscode", "npm ci")
    fetched(install.split()[1:], folder)
    done = run([program("npm"), *pack.split()[1:]], folder)
    assert done.returncode == 0, done.stderr + done.stdout
    return folder


def test_the_package_holds_what_it_needs_and_no_more(packed: Path) -> None:
    with zipfile.ZipFile(packed / "rxlint.vsix") as package:
        held = sorted(name for name in package.namelist() if name.startswith("extension/"))
        assert held == [
            "extension/language-configuration.json", "extension/out/extension.js", "extension/package.json",
            "extension/readme.md", "extension/syntaxes/vrx.tmLanguage.json",
        ]  # fmt: skip
        assert package.read("extension/syntaxes/vrx.tmLanguage.json").decode() == highlight.text()
        contributes = json.loads(package.read("extension/package.json"))["contributes"]
        for path in (contributes["grammars"][0]["path"], contributes["languages"][0]["configuration"]):
            assert "extension/" + path.removeprefix("./") in held


def driven(packed: Path, tmp_path: Path, *command: str) -> dict[str, Any]:
    """What the packed script shows of an order, with a stand-in for the editor around it."""
    at = desk(tmp_path)
    script = tmp_path / "extension.js"
    with zipfile.ZipFile(packed / "rxlint.vsix") as package:
        script.write_bytes(package.read("extension/out/extension.js"))
    done = subprocess.run(
        [program("node"), str(HERE / "extension.cjs"), str(script), str(at.library / SLIP), *command],
        cwd=at.library, env=at.environment, capture_output=True, encoding="utf-8", timeout=_LIMIT, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_the_packed_script_starts_the_server_and_shows_its_findings(packed: Path, tmp_path: Path) -> None:
    seen = driven(packed, tmp_path, "rxlint", "editor")
    assert seen["messages"] == []
    (found,) = seen["diagnostics"]
    assert (found["line"], found["column"], found["severity"]) == (43, 3, 1)  # a warning
    assert (found["code"], found["source"]) == ("pressure.supported-breaths-differ", "rxlint")
    assert "supported breaths reach 19 cmH2O" in found["message"]
    assert "PEEP" in seen["hover"] and "cmH2O" in seen["hover"]
    assert {"registerCompletionItemProvider", "registerCodeActionsProvider"} <= set(seen["registered"])


def test_where_the_command_is_missing_the_user_is_told_so(packed: Path, tmp_path: Path) -> None:
    seen = driven(packed, tmp_path, str(tmp_path / "nowhere" / "rxlint"), "editor")
    assert seen["diagnostics"] is None
    told = seen["messages"][-1]
    assert "could not be started" in told and "Nothing is screened" in told and "pip install 'rxlint[editor]'" in told
    assert "undefined" not in told
