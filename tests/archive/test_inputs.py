"""The files of an archive and the batches they are cut into: no line lost, none twice, whatever the file holds."""

import json
from io import BytesIO
from pathlib import Path

import pytest

from rxlint.archive import inputs
from rxlint.archive.inputs import CannotRead, ChangedError, Scanned, find_files, read_batch, scan
from rxlint.exchange.lines import read_lines
from rxlint.text import Problem
from tests.archive.orders import lines, rows


def scanned(path: Path, size: int) -> list[Scanned]:
    return list(scan(find_files(str(path)), size))


def spans(path: Path, size: int) -> list[tuple[int, int, int]]:
    return [(each.number, each.first, each.count) for file in scanned(path, size) for each in file.batches]


@pytest.mark.parametrize("size", [1, 2, 3, 5, 7, 100])
@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\n",
        b"\n\n\n",
        b"a",
        b"a\n",
        b"a\nb",
        lines(rows(7)),
        lines(rows(7))[:-1],
        b"\xef\xbb\xbf" + lines(rows(3)) + b"\xff\xfe\n" + lines(rows(2)),
    ],
)
def test_batches_give_every_line_once_as_the_stream_does(tmp_path: Path, data: bytes, size: int) -> None:
    path = tmp_path / "orders.jsonl"
    path.write_bytes(data)
    (file,) = scanned(path, size)
    assert all(0 < each.count <= size for each in file.batches)
    given = [each for batch in file.batches for each in read_batch(batch)]
    with path.open("rb") as opened:
        assert given == list(read_lines(opened))
    assert [each.line for each in given] == list(range(1, len(given) + 1))
    assert file.documents == len(given)


def test_lines_longer_than_what_is_read_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "orders.jsonl"
    path.write_bytes(lines(rows(5)))
    wanted = spans(path, 2)
    monkeypatch.setattr(inputs, "_CHUNK", 7)
    assert spans(path, 2) == wanted == [(1, 1, 2), (2, 3, 2), (3, 5, 1)]


def test_a_batch_of_long_lines_ends_sooner(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "orders.jsonl"
    path.write_bytes(b"12345678\n" * 6)
    monkeypatch.setattr(inputs, "MOST_BYTES", 18)
    assert spans(path, 100) == [(1, 1, 2), (2, 3, 2), (3, 5, 2)]


def test_lines_are_numbered_through_all_parts_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "b.jsonl").write_bytes(lines(rows(2)))
    (tmp_path / "a.ndjson").write_bytes(b"\xef\xbb\xbf" + lines(rows(3)))
    (tmp_path / "_marks").mkdir()
    (tmp_path / ".hidden").write_bytes(b"x")
    assert spans(tmp_path, 2) == [(1, 1, 2), (2, 3, 1), (3, 4, 2)]
    files = scanned(tmp_path, 2)
    assert [each.file.name for each in files] == ["a.ndjson", "b.jsonl"]
    given = [each for file in files for batch in file.batches for each in read_batch(batch)]
    assert [each.id for each in given] == ["TBS-0001", "TBS-0002", "TBS-0003", "TBS-0001", "TBS-0002"]


@pytest.mark.parametrize(
    ("name", "told"),
    [("notes.txt", "notes.txt is no part of an archive"), ("more.jsonl.gz", "is no part"), ("deep/", "is no part")],
)
def test_what_may_be_a_part_is_not_passed_over(tmp_path: Path, name: str, told: str) -> None:
    (tmp_path / "a.jsonl").write_bytes(lines(rows(1)))
    if name.endswith("/"):
        (tmp_path / name).mkdir()
    else:
        (tmp_path / name).write_bytes(b"x")
    with pytest.raises(CannotRead, match=told):
        find_files(str(tmp_path))


def test_what_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(CannotRead, match="is not there"):
        find_files(str(tmp_path / "missing.jsonl"))
    with pytest.raises(CannotRead, match="holds no part"):
        find_files(str(tmp_path))


def test_a_file_that_changed_is_not_read_on(tmp_path: Path) -> None:
    path = tmp_path / "orders.jsonl"
    path.write_bytes(lines(rows(3)))
    (file,) = scanned(path, 2)
    path.write_bytes(lines(rows(3)).replace(b"TBS", b"XYZW"))
    with pytest.raises(ChangedError, match=r"orders\.jsonl was changed"):
        list(read_batch(file.batches[0]))


# ---- Parquet


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    pytest.importorskip("pyarrow")
    return tmp_path / "orders.parquet"


def write(path: Path, columns: dict[str, object], **options: object) -> None:
    import pyarrow as pa
    import pyarrow.parquet as pq

    pq.write_table(pa.table(columns), path, **options)


def columns(count: int) -> dict[str, object]:
    return {"id": [name for name, _ in rows(count)], "ward": ["x"] * count, "text": [text for _, text in rows(count)]}


@pytest.mark.parametrize("size", [1, 3, 4, 100])
@pytest.mark.parametrize("group", [1, 4, 1_000])
def test_rows_come_once_whatever_their_groups(orders: Path, size: int, group: int) -> None:
    write(orders, columns(9), row_group_size=group)
    (file,) = scanned(orders, size)
    given = [each for batch in file.batches for each in read_batch(batch)]
    assert [(each.id, each.data) for each in given] == [(name, text.encode()) for name, text in rows(9)]
    assert [each.line for each in given] == list(range(1, 10))


def test_rows_further_than_what_is_decoded_at_once(orders: Path) -> None:
    write(orders, {"id": [str(number) for number in range(300)], "text": ["x"] * 300})
    (file,) = scanned(orders, 90)
    assert [batch.count for batch in file.batches] == [90, 90, 90, 30]
    given = [each.id for batch in reversed(file.batches) for each in read_batch(batch)]
    assert sorted(given, key=lambda each: int(each or -1)) == [str(number) for number in range(300)]


def test_texts_of_every_type_that_holds_texts(orders: Path) -> None:
    import pyarrow as pa

    texts = pa.array(["a", "b"])
    for each in (texts, texts.cast(pa.large_string()), texts.dictionary_encode()):
        write(orders, {"id": each, "text": each})
        (file,) = scanned(orders, 5)
        assert [given.data for given in read_batch(file.batches[0])] == [b"a", b"b"]


@pytest.mark.parametrize(
    ("columns", "told"),
    [
        ({"id": ["a"]}, "it has no column text"),
        ({"text": ["a"]}, "it has no column id"),
        ({"id": [1], "text": ["a"]}, "its column id holds int64, not texts"),
        ({"id": ["a"], "text": [b"a"]}, "its column text holds binary, not texts"),
    ],
)
def test_a_file_without_the_two_columns_is_refused(orders: Path, columns: dict[str, object], told: str) -> None:
    write(orders, columns)
    with pytest.raises(CannotRead, match=told):
        scanned(orders, 5)


def test_a_file_that_is_no_parquet_is_refused(orders: Path) -> None:
    orders.write_bytes(b"nothing of the kind")
    with pytest.raises(CannotRead, match=r"orders\.parquet can't be read"):
        scanned(orders, 5)


def test_a_row_that_lacks_something_is_told_in_its_place(orders: Path) -> None:
    import pyarrow as pa

    broken = pa.array([b"fine", b"\xff", None]).view(pa.string())
    write(orders, {"id": broken, "text": pa.array([b"\xff", b"x", b"x"]).view(pa.string())})
    (file,) = scanned(orders, 5)
    first, second, third = read_batch(file.batches[0])
    assert (first.id, first.data) == ("fine", b"\xff")  # the reader of documents tells it at its place
    assert (second.id, second.data) == (None, Problem("id is not UTF-8 text: byte 0xff can't be read"))
    assert (third.id, third.data) == (None, Problem("id must be a text, not null"))
    write(orders, {"id": ["a"], "text": pa.array([None], pa.string())})
    (file,) = scanned(orders, 5)
    assert [each.data for each in read_batch(file.batches[0])] == [Problem("text must be a text, not null")]


def test_rows_that_cannot_be_decoded_are_told_each(orders: Path) -> None:
    texts = [f"{number:06} " + "".join(chr(97 + (number * 7 + at) % 26) for at in range(900)) for number in range(200)]
    write(orders, {"id": [str(number) for number in range(200)], "text": texts}, use_dictionary=False)
    data = bytearray(orders.read_bytes())
    middle = len(data) // 2
    data[middle : middle + 64] = b"\xff" * 64
    orders.write_bytes(bytes(data))
    (file,) = scanned(orders, 60)
    given = [each for batch in file.batches for each in read_batch(batch)]
    assert [each.line for each in given] == list(range(1, 201))
    told = [each.data.message for each in given if isinstance(each.data, Problem)]
    assert told and all(each.startswith("the row can't be read: ") for each in told)


def test_a_row_gives_its_answer_back() -> None:
    pytest.importorskip("pyarrow")
    from rxlint.archive.parquet import SCHEMA, answer_of, row_of
    from rxlint.exchange.lines import screen_given
    from rxlint.library.rulings import Ruling
    from rxlint.reports.lines_json import answer_object
    from rxlint.screening.ruleset import builtin_rules

    stream = lines([*rows(5), ("x", "\0")]) + b"nope\n"
    for answer in screen_given(read_lines(BytesIO(stream)), Ruling(builtin_rules())):
        told = answer_object(answer)
        row = row_of(told)
        assert list(row) == SCHEMA.names
        assert json.dumps(answer_of(row)) == json.dumps(told)
