"""`rxlint screen --from-lines`: a stream of documents, an answer for every line, at once and in order."""

import gc
import json
import os
import subprocess
import sys
import tracemalloc
from collections.abc import Iterator
from importlib.resources import files
from io import BufferedReader, BytesIO, RawIOBase
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import Result

import rxlint
from rxlint.exchange.lines import LONGEST_ID, LONGEST_LINE, read_line, read_lines, screen_given
from rxlint.library.rulings import Ruling
from rxlint.reports.caution import CAUTION
from rxlint.screening.ruleset import builtin_rules
from rxlint.text import MAX_BYTES, Problem
from tests.cli.orders import NOTE, ON, REJECT, SLIP, SOUND
from tests.conftest import ROOT, RunCli

SCHEMA: dict[str, Any] = json.loads(files("rxlint.reports").joinpath("lines.schema.json").read_text("utf-8"))
PLACE = Path(rxlint.__file__).parent.parent  # of the package that the tests test
DEEP = b"[" * 200_000


def line(name: str, text: str) -> bytes:
    return json.dumps({"id": name, "text": text}).encode() + b"\n"


def answers(result: Result) -> list[Any]:
    """Every line of the answer, each held against the schema; the last is the closing one."""
    checker = jsonschema.Draft202012Validator(SCHEMA)
    found = [json.loads(each) for each in result.stdout.splitlines()]
    assert [error.message for each in found for error in checker.iter_errors(each)] == []
    assert "summary" in found[-1] and all("document" in each for each in found[:-1])
    return found


def screen(run_cli: RunCli, stream: bytes, *options: str | Path) -> Result:
    return run_cli("screen", "--from-lines", "-", *ON, *options, input=stream)


# ---- what is answered


def test_each_line_has_its_answer_in_order_and_the_last_line_closes(run_cli: RunCli) -> None:
    result = screen(run_cli, line("a", SOUND) + line("b", SLIP) + line("a", REJECT))
    *told, closing = answers(result)
    assert [(each["line"], each["id"]) for each in told] == [(1, "a"), (2, "b"), (3, "a")]
    assert [[found["level"] for found in each["document"]["findings"]] for each in told] == [[], ["query"], ["reject"]]
    assert closing["summary"]["documents"] == 3 and closing["summary"]["levels"]["query"] == 1
    assert closing["summary"]["caution"] == CAUTION
    assert (closing["on"], closing["tool"]["name"]) == (ON[1], "rxlint")
    assert result.exit_code == 1 and result.stderr == ""


def test_a_document_is_answered_as_the_report_of_files_has_it(run_cli: RunCli) -> None:
    paths = sorted((ROOT / "examples").rglob("*.vrx"))[::9]
    assert len(paths) > 30
    stream = b"".join(line(path.as_posix(), path.read_text("utf-8")) for path in paths)
    report = json.loads(run_cli("screen", *paths, *ON, "--settings", "none", "--format", "json").stdout)
    *told, closing = answers(screen(run_cli, stream))
    assert [each["id"] for each in told] == [each["path"] for each in report["documents"]]
    for ours, theirs in zip(told, report["documents"], strict=True):
        del theirs["path"]
        assert json.dumps(ours["document"]) == json.dumps(theirs)
    assert closing["summary"] == report["summary"] and closing["packs"] == report["packs"]


def test_the_options_that_choose_rules_hold(run_cli: RunCli, tmp_path: Path) -> None:
    (tmp_path / "note.yaml").write_text(NOTE, "utf-8")
    result = screen(run_cli, line("a", SOUND), "--pack", "note.yaml", "--fail-at", "note")
    told, closing = answers(result)
    assert [found["rule"] for found in told["document"]["findings"]] == ["ward.note"]
    assert "ward" in [pack["name"] for pack in closing["packs"]] and result.exit_code == 1
    assert screen(run_cli, line("a", SLIP), "--fail-at", "reject").exit_code == 0


def test_a_policy_holds_and_the_settings_of_the_current_folder_do_not(run_cli: RunCli) -> None:
    stream, examples = line("a", SOUND), ROOT / "examples"
    without = run_cli("screen", "--from-lines", "-", *ON, input=stream, cwd=examples)
    under = run_cli("screen", "--from-lines", "-", *ON, "--policy", "tarnmoor-policy.yaml", input=stream, cwd=examples)
    assert answers(without)[-1]["policies"] == [] and answers(without)[0]["document"]["policies"] == []
    (name,) = answers(under)[0]["document"]["policies"]
    assert [each["name"] for each in answers(under)[-1]["policies"]] == [name]


def test_a_stream_can_come_from_a_file(run_cli: RunCli, tmp_path: Path) -> None:
    (tmp_path / "orders.jsonl").write_bytes(line("a", SOUND))
    from_file = run_cli("screen", "--from-lines", "orders.jsonl", *ON)
    assert from_file.stdout == screen(run_cli, line("a", SOUND)).stdout and from_file.exit_code == 0
    assert run_cli("screen", *ON, "--from-lines", input=line("a", SOUND)).stdout == from_file.stdout


@pytest.mark.parametrize("name", ["missing.jsonl", "."])
def test_a_file_that_is_not_there_is_told(run_cli: RunCli, name: str) -> None:
    result = run_cli("screen", "--from-lines", name)
    assert (result.exit_code, result.stdout) == (3, "")
    assert result.stderr.startswith(f"Error: {name} can't be opened: ")


def test_nothing_at_all_is_closed_too(run_cli: RunCli) -> None:
    result = screen(run_cli, b"")
    (closing,) = answers(result)
    assert (result.exit_code, closing["summary"]["documents"]) == (0, 0)


# ---- lines that can't be read

NEVER = "which is no character that can be shown"
TWICE = "stands twice, and nobody can tell which holds"
HALF = "half of a character (a lone surrogate)"
MARK = "the line is not JSON: Unexpected UTF-8 BOM (decode using utf-8-sig) (column 1)"
BAD: list[tuple[str, bytes, str | None, str]] = [
    ("blank", b"", None, "the line is blank: it holds no JSON object"),
    ("white space", b" \t\r", None, "the line is blank: it holds no JSON object"),
    ("no JSON", b"nope", None, "the line is not JSON: Expecting value (column 1)"),
    ("cut short", b'{"id": "a", "te', None, "the line is not JSON: Unterminated string starting at (column 13)"),
    ("two objects", line("a", "x").strip() * 2, None, "the line is not JSON: Extra data (column 25)"),
    ("a list", b"[]", None, "the line is not a JSON object, but a list"),
    ("a word", b'"id"', None, "the line is not a JSON object, but a text"),
    ("no number of JSON", b"NaN", None, "the line is not a JSON object, but a number"),
    ("deep", DEEP, None, "the line is not what it should be: too many brackets stand within one another"),
    ("no text", b'{"id": "a"}', "a", "the line has no text"),
    ("no id", b'{"text": "a"}', None, "the line has no id"),
    ("neither", b"{}", None, "the line has no id and no text"),
    ("more", b'{"id": "a", "text": "", "ward": 4}', "a", 'a line has id and text alone, and not "ward"'),
    ("text of another type", b'{"id": "a", "text": null}', "a", "text must be a text, not null"),
    ("text that is an object", b'{"id": "a", "text": {}}', "a", "text must be a text, not an object"),
    ("id of another type", b'{"id": 7, "text": ""}', None, "id must be a text, not a number"),
    ("long number", b'{"id": %s, "text": ""}' % (b"7" * 9_999), None, "id must be a text, not a number"),
    ("true", b'{"id": true, "text": ""}', None, "id must be a text, not true or false"),
    ("empty id", b'{"id": " ", "text": ""}', None, "id is empty"),
    ("long id", line("x" * 1_001, "").strip(), None, "id is too long: 1,001 characters, the limit is 1,000"),
    ("line end in id", rb'{"id": "a\nb", "text": ""}', None, f"id holds U+000A, {NEVER}"),
    ("half in id", rb'{"id": "\ud800", "text": ""}', None, f"id holds U+D800, {NEVER}"),
    ("twice", b'{"id": "a", "text": "", "id": "b"}', None, f'the member "id" {TWICE}'),
    ("twice inside", b'{"id": {"x": 1, "x": 1}}', None, f'the member "x" {TWICE}'),
    ("no UTF-8", b'{"id": "a", "text": "\xe9"}', None, "the line is not UTF-8 text: byte 0xe9 can't be read"),
    ("mark", b'\xef\xbb\xbf{"id": "a", "text": ""}', None, MARK),
    ("half in text", rb'{"id": "a", "text": "b\n-\udc00"}', "a", f"the text holds U+DC00, {HALF}"),
    ("NUL in text", rb'{"id": "a", "text": "b\n-\u0000"}', "a", "the file is not text: it holds a NUL byte"),
    ("no document", b'{"id": "a", "text": ""}', "a", "the file is empty: it holds no document"),
]  # fmt: skip


@pytest.mark.parametrize(("bad", "name", "told"), [each[1:] for each in BAD], ids=[each[0] for each in BAD])
def test_a_line_that_cannot_be_read_is_told_in_its_place(
    run_cli: RunCli, bad: bytes, name: str | None, told: str
) -> None:
    result = screen(run_cli, line("before", SOUND) + bad + b"\n" + line("after", SLIP))
    before, answer, after, closing = answers(result)
    assert (before["id"], after["id"], after["line"]) == ("before", "after", 3)
    assert before["document"]["problems"] == [] and len(after["document"]["findings"]) == 1
    (problem,) = answer["document"]["problems"]
    assert (answer["line"], answer["id"], problem["message"]) == (2, name, told)
    assert answer["document"]["findings"] == []
    assert (result.exit_code, closing["summary"]["unread"], closing["summary"]["documents"]) == (3, 1, 3)


def test_a_place_in_the_text_is_told_as_a_place() -> None:
    given = read_line(rb'{"id": "a", "text": "b\n-\udc00"}', 1)
    assert isinstance(given.data, Problem) and (given.data.line, given.data.column) == (2, 2)


def test_a_byte_order_mark_may_stand_before_the_first_line(run_cli: RunCli) -> None:
    told, _ = answers(screen(run_cli, b"\xef\xbb\xbf" + line("a", SOUND)))
    assert (told["id"], told["document"]["problems"]) == ("a", [])


def test_the_last_line_needs_no_end_and_any_line_may_have_a_carriage_return(run_cli: RunCli) -> None:
    stream = line("a", SOUND).replace(b"\n", b"\r\n") + line("b", SOUND).strip()
    assert [each["id"] for each in answers(screen(run_cli, stream))[:-1]] == ["a", "b"]


@pytest.mark.parametrize("end", [b"\n", b""])
def test_a_line_beyond_the_limit_is_told_and_the_next_one_is_read(end: bytes) -> None:
    long = b"x" * (LONGEST_LINE + 70_000)
    given = list(read_lines(BytesIO(long + end + (line("b", "c") if end else b""))))
    assert given[0].data == Problem(f"the line is too long: {len(long + end):,} bytes, the limit is {LONGEST_LINE:,}")
    assert [(each.line, each.id, each.data) for each in given[1:]] == ([(2, "b", b"c")] if end else [])


def test_lines_around_the_limit() -> None:
    short = b" " * (LONGEST_LINE - 1) + b"\n"
    told = [each.data for each in read_lines(BytesIO(short + b" " + short))]
    assert [each.message[:20] if isinstance(each, Problem) else "" for each in told] == [
        "the line is blank: i",
        "the line is too long",
    ]


def test_the_longest_document_and_identifier_fit() -> None:
    text = "x" * (MAX_BYTES - 1) + "\n"
    given = read_line(line("i" * LONGEST_ID, text), 1)
    assert (given.id, given.data) == ("i" * LONGEST_ID, text.encode())


class _Lines(RawIOBase):
    """A stream of lines as they are made, which may fail."""

    def __init__(self, lines: Iterator[bytes]) -> None:
        self._lines = lines

    def readline(self, _size: int | None = -1, /) -> bytes:
        return next(self._lines, b"")


def breaking() -> Iterator[bytes]:
    yield line("a", "x")
    raise OSError(5, "Input/output error")


def test_a_stream_that_breaks_is_told() -> None:
    broken: Any = _Lines(breaking())
    told = [each.data for each in read_lines(broken)]
    assert told == [b"x", Problem("the stream can't be read on: Input/output error")]


# ---- wrong combinations


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["a.vrx"], "PATHS does not go with --from-lines: the documents are in the stream"),
        (["--since", "HEAD"], "--since does not go with --from-lines: it is for files"),
        (["--readings", "a.vrx"], "--readings does not go with --from-lines"),
        (["--explain", "mode.known"], "--explain does not go with --from-lines"),
        (["--report", "json=a.json"], "--report does not go with --from-lines"),
        (["--format", "sarif"], "--format does not go with --from-lines: a stream is answered in JSON"),
        (["--format", "text"], "--format does not go with --from-lines: a stream is answered in JSON"),
        (["--settings", "nearest"], "--settings does not go with --from-lines: a stream stands in no folder"),
        (["--known", "known.yaml"], "--known does not go with --from-lines"),
        (["--as", "a.vrx"], "--as does not go with --from-lines"),
        (["--jobs", "2"], "--jobs does not go with --from-lines: a stream is answered line by line"),
        (["--no-cache"], "--no-cache does not go with --from-lines: nothing is kept of a stream"),
        (["--coverage"], "--coverage does not go with --from-lines"),
    ],
)
def test_what_means_nothing_for_a_stream_is_refused(run_cli: RunCli, options: list[str], told: str) -> None:
    result = screen(run_cli, line("a", SOUND), *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert told in result.stderr


def test_what_says_the_same_as_nothing_is_not_refused(run_cli: RunCli) -> None:
    plain = screen(run_cli, line("a", SOUND))
    same = screen(run_cli, line("a", SOUND), "--format", "json", "--settings", "none", "--no-progress")
    assert (same.stdout, same.exit_code) == (plain.stdout, 0)


# ---- as a process


def started(**further: Any) -> "subprocess.Popen[bytes]":
    command = [sys.executable, "-m", "rxlint", "screen", "--from-lines", "-", *ON]
    environment = {**os.environ, "PYTHONPATH": str(PLACE)}
    return subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=environment, **further)


def test_an_engine_sees_each_answer_before_it_sends_the_next() -> None:
    with started() as process:
        assert process.stdin is not None and process.stdout is not None
        for number, text in enumerate((SOUND, SLIP, "", SOUND), 1):
            process.stdin.write(line(f"order {number}", text))
            process.stdin.flush()
            told = json.loads(process.stdout.readline())  # waits for ever where answers are held back
            assert (told["line"], told["id"]) == (number, f"order {number}")
        process.stdin.close()
        assert json.loads(process.stdout.readline())["summary"]["documents"] == 4
        assert process.stdout.read() == b"" and process.wait() == 3


def test_an_engine_that_reads_late_gets_everything() -> None:
    """More than both pipes hold: the program waits until somebody reads."""
    stream = b"".join(line(str(number), SLIP) for number in range(60))
    told, _ = started().communicate(stream, timeout=60)  # writes and reads by turns, as the pipes allow
    assert [json.loads(each)["id"] for each in told.splitlines()[:-1]] == [str(number) for number in range(60)]
    assert len(told) > 10 * 65_536


def test_an_engine_that_goes_away_is_no_traceback() -> None:
    process = started(stderr=subprocess.PIPE)
    with process:
        assert process.stdin is not None and process.stdout is not None and process.stderr is not None
        process.stdout.close()
        process.stdin.write(line("a", SOUND) * 2)
        process.stdin.close()
        assert (process.stderr.read(), process.wait()) == (b"", 3)


# ---- memory


def different_lines(count: int) -> Iterator[bytes]:
    """Documents that are all different, of lines that come again: what is remembered of lines has its own limit."""
    head = "\n".join(SOUND.split("\n")[:5])
    for number in range(count):
        text = "".join(f"# {(number * 7 + part) % 100} {'padding ' * 200}\n" for part in range(20))
        yield line(f"order {number}", f"{head}\n{text}")


def test_memory_does_not_grow_with_the_stream() -> None:
    """Of lines that are all different, the later ones take no more room than the earlier ones."""
    stream: Any = _Lines(different_lines(75))
    ruling, held = Ruling(builtin_rules()), list[int]()
    tracemalloc.start()
    try:
        for answer in screen_given(read_lines(stream), ruling):
            assert answer.screened.problems == ()
            if answer.line % 25 == 0:
                gc.collect()
                held.append(tracemalloc.get_traced_memory()[0])
    finally:
        tracemalloc.stop()
    assert len(held) == 3
    assert held[2] - held[1] < 200_000, held  # 25 lines are 0.8 MB, and as read more than twice that


class _Endless(RawIOBase):
    """A line that goes on for so many bytes, made as they are read; then its end, and another line."""

    def __init__(self, size: int) -> None:
        self._left = size
        self._after = BytesIO(b"\n" + line("after", "x"))

    def readable(self) -> bool:
        return True

    def readinto(self, room: Any, /) -> int:
        count = min(self._left, len(room))
        if not count:
            return self._after.readinto(room)
        room[:count] = b"x" * count
        self._left -= count
        return count


def test_memory_does_not_grow_with_a_line_that_has_no_end() -> None:
    """Ten times the limit: no more than the beginning is held, and the next line is read."""
    size = 10 * LONGEST_LINE
    stream: Any = BufferedReader(_Endless(size))
    tracemalloc.start()
    try:
        given = list(read_lines(stream))
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert given[0].data == Problem(f"the line is too long: {size + 1:,} bytes, the limit is {LONGEST_LINE:,}")
    assert [(each.line, each.id, each.data) for each in given[1:]] == [(2, "after", b"x")]
    assert most < 3 * LONGEST_LINE, most


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="nothing tells here what a process holds")
def test_a_pipe_whose_line_has_no_end_takes_no_more_room_and_goes_on(tmp_path: Path) -> None:
    """A pipe with a name, as a process reads it: what it held at most after sixteen times the limit."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    command = [sys.executable, "-m", "rxlint", "screen", "--from-lines", str(pipe), *ON]
    with subprocess.Popen(command, stdout=subprocess.PIPE, env={**os.environ, "PYTHONPATH": str(PLACE)}) as process:
        assert process.stdout is not None
        with pipe.open("wb") as stream:
            stream.write(line("before", SOUND))
            stream.flush()
            assert json.loads(process.stdout.readline())["id"] == "before"
            before = most_held(process.pid)
            for _ in range(16):
                stream.write(b"x" * LONGEST_LINE)
            stream.flush()
            after = most_held(process.pid)
            stream.write(b"\n" + line("after", SLIP))
            stream.flush()
            told = [json.loads(process.stdout.readline()) for _ in range(2)]
        assert (process.stdout.readline() != b"", process.wait()) == (True, 3)
    assert [each["line"] for each in told] == [2, 3] and told[1]["id"] == "after"
    assert told[0]["document"]["problems"][0]["message"].startswith(f"the line is too long: {16 * LONGEST_LINE + 1:,}")
    assert after - before < 4 * LONGEST_LINE, (before, after)


def most_held(process: int) -> int:
    """The most memory that a process has held so far, in bytes."""
    text = Path(f"/proc/{process}/status").read_text("ascii")
    return next(int(each.split()[1]) * 1024 for each in text.splitlines() if each.startswith("VmHWM"))


def test_the_schema_has_the_shapes_of_the_report() -> None:
    report = json.loads(files("rxlint.reports").joinpath("screen.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    document = report["$defs"]["document"]
    del document["properties"]["path"]
    document["required"].remove("path")
    assert {name: SCHEMA["$defs"][name] for name in report["$defs"]} == report["$defs"]
    closing = SCHEMA["$defs"]["closing"]["properties"]
    assert all(closing[name] == report["properties"][name] for name in ("tool", "on", "packs", "policies", "summary"))
