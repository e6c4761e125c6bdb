"""The folder of results: what is done stays done, what is damaged is made again, and nothing is mixed."""

from pathlib import Path
from typing import Any

import pytest

from rxlint.archive.inputs import find_files, scan
from rxlint.archive.ledger import DONE, SUMMARY, Ledger, Refused
from rxlint.archive.task import Batch, Done, counts_of
from rxlint.reports.text import Totals
from tests.archive.orders import lines, rows

MANIFEST: dict[str, Any] = {"schema": "trial", "on": "2026-11-24", "rules": "a", "packs": [1], "input": []}


@pytest.fixture
def batches(tmp_path: Path) -> tuple[Batch, ...]:
    (tmp_path / "orders.jsonl").write_bytes(lines(rows(6)))
    (scanned,) = scan(find_files(str(tmp_path / "orders.jsonl")), 2)
    return scanned.batches


def part(folder: Path, batch: Batch, skipped: int = 0) -> Done:
    """A part as a worker would have written it."""
    import hashlib

    data = f"part {batch.number}\n".encode()
    (folder / batch.part("jsonl")).write_bytes(data)
    counts = counts_of(Totals(documents=batch.count))
    return Done(batch.number, len(data), hashlib.sha256(data).hexdigest(), skipped, counts)


@pytest.fixture
def folder(tmp_path: Path, batches: tuple[Batch, ...]) -> Path:
    """A folder with three parts that are done."""
    folder = tmp_path / "deep" / "out"
    ledger = Ledger(folder, MANIFEST)
    with ledger.opened(batches, "jsonl") as found:
        assert found == {}
        for each in (batches[2], batches[0], batches[1]):
            done = part(folder, each)
            ledger.add(done)
            found[done.number] = done
        ledger.end(found, {"all": "done"})
    return folder


def reopened(folder: Path, batches: tuple[Batch, ...], **changed: Any) -> list[int]:
    with Ledger(folder, {**MANIFEST, **changed}).opened(batches, "jsonl") as found:
        return sorted(found)


def test_what_is_done_is_known_and_listed_in_order(folder: Path, batches: tuple[Batch, ...]) -> None:
    listed = [Done.from_json(each).number for each in (folder / DONE).read_text("ascii").splitlines()]
    assert listed == [1, 2, 3] and (folder / SUMMARY).is_file()
    assert reopened(folder, batches) == [1, 2, 3]
    assert not (folder / SUMMARY).exists()  # until the run that goes on has come to its end


@pytest.mark.parametrize("damage", [b"", b"part 2", b"part 3\n", None])
def test_a_part_that_is_not_as_it_was_written_is_made_again(
    folder: Path, batches: tuple[Batch, ...], damage: bytes | None
) -> None:
    path = folder / batches[1].part("jsonl")
    path.unlink()
    if damage is not None:
        path.write_bytes(damage)
    assert reopened(folder, batches) == [1, 3]


@pytest.mark.parametrize("cut", [1, 20, 70])
def test_a_line_of_the_list_that_was_cut_short_is_no_line(folder: Path, batches: tuple[Batch, ...], cut: int) -> None:
    path = folder / DONE
    path.write_bytes(path.read_bytes()[:-cut])
    assert reopened(folder, batches) == [1, 2]
    ledger = Ledger(folder, MANIFEST)
    with ledger.opened(batches, "jsonl"):
        ledger.add(part(folder, batches[2]))
    assert reopened(folder, batches) == [1, 2, 3]


def test_a_part_with_documents_left_out_is_tried_again(folder: Path, batches: tuple[Batch, ...]) -> None:
    ledger = Ledger(folder, MANIFEST)
    with ledger.opened(batches, "jsonl"):
        ledger.add(part(folder, batches[1], skipped=1))
    assert reopened(folder, batches) == [1, 3]


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"on": "2026-11-25"}, r"Not the same: the day \(give it with --on\)"),
        ({"rules": "b", "packs": []}, "Not the same: the rules$"),
        ({"input": [1], "to": "parquet"}, r"Not the same: the input, the form \(--to\)"),
    ],
)
def test_results_of_another_run_are_not_mixed_in(
    folder: Path, batches: tuple[Batch, ...], changed: dict[str, Any], told: str
) -> None:
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    with pytest.raises(Refused, match=told):
        reopened(folder, batches, **changed)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_a_folder_with_other_things_is_left_alone(tmp_path: Path, batches: tuple[Batch, ...]) -> None:
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "letter.txt").write_text("x", "utf-8")
    with pytest.raises(Refused, match="holds other things"):
        reopened(tmp_path / "other", batches)


def test_two_runs_do_not_write_to_one_folder(folder: Path, batches: tuple[Batch, ...]) -> None:
    pytest.importorskip("fcntl")
    with Ledger(folder, MANIFEST).opened(batches, "jsonl"), pytest.raises(Refused, match="another run writes"):
        reopened(folder, batches)
    assert reopened(folder, batches) == [1, 2, 3]


def test_what_lost_workers_left_is_taken_away(folder: Path, batches: tuple[Batch, ...]) -> None:
    (folder / ".rxlint-half").write_bytes(b"x")
    assert reopened(folder, batches) == [1, 2, 3]
    assert not (folder / ".rxlint-half").exists()
