"""A run with workers that are lost, at a document or by chance: no document lost, none twice, the same bytes."""

import json
from collections import deque
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest

from rxlint.archive.identity import identity_of
from rxlint.archive.inputs import find_files, scan
from rxlint.archive.run import FAILED, FATAL, Outcome, Run, StoppedError
from rxlint.archive.task import Batch, Done, Setup, Task
from rxlint.archive.work import OthersError, work
from rxlint.screening.ruleset import builtin_rules
from tests.archive.orders import lines, parts, rows, stream
from tests.conftest import RunCli

Fate = Callable[[Task], Exception | None]
"""What becomes of a task: nothing, a worker that is lost over it (MemoryError here), or what it raises."""


class Pretended:
    """Workers that are no processes: tasks go through JSON as they would, and end as a test wants them to."""

    def __init__(self, fate: Fate, most: int = 3) -> None:
        self._fate = fate
        self._most = most
        self._out: deque[Task] = deque()
        self.asked: list[Task] = []
        self.most_out = 0

    @property
    def room(self) -> int:
        return self._most - len(self._out)

    def submit(self, task: Task) -> None:
        self._out.append(task)
        self.asked.append(task)
        self.most_out = max(self.most_out, len(self._out))

    def next(self) -> Outcome | None:
        if not self._out:
            return None
        task = self._out.pop()  # the last one first: the order in which they end says nothing
        fate = self._fate(task)
        if isinstance(fate, MemoryError):
            return Outcome(task, None, "a worker was lost", died=True)
        try:
            if fate is not None:
                raise fate
            return Outcome(task, Done.from_json(work(task.to_json())))
        except Exception as error:
            return Outcome(task, None, f"{type(error).__name__}: {error}")


class Archive:
    """An archive of small orders, to be run over."""

    def __init__(self, folder: Path, count: int, size: int) -> None:
        self.given = folder / "orders.jsonl"
        self.given.write_bytes(lines(rows(count)))
        self.output = folder / "out"
        self.output.mkdir()
        (scanned,) = scan(find_files(str(self.given)), size)
        self.batches: tuple[Batch, ...] = scanned.batches
        self.setup = Setup(str(self.output), "jsonl", "2026-11-24", str(folder), identity_of(builtin_rules()))
        self.told: list[str] = []

    def run(self, fate: Fate, batches: Iterable[Batch] | None = None) -> tuple[list[Done], Pretended]:
        pool = Pretended(fate)
        found = list(Run(pool, self.setup, self.told.append).over(self.batches if batches is None else batches))
        return sorted(found, key=lambda each: each.number), pool

    def answers(self) -> list[Any]:
        return [json.loads(each) for each in parts(self.output).splitlines()]


@pytest.fixture
def orders(tmp_path: Path) -> Archive:
    return Archive(tmp_path, 23, 5)


def fine(_: Task) -> None:
    return None


def touched(task: Task) -> set[int]:
    """The lines that a task screens."""
    return set(range(*task.probe) if task.probe else task.batch.lines) - set(task.skip)


def test_the_parts_are_what_the_stream_answers(orders: Archive, run_cli: RunCli) -> None:
    done, pool = orders.run(fine)
    assert parts(orders.output) == stream(run_cli, orders.given)
    assert [(each.number, each.counts["documents"]) for each in done] == [(1, 5), (2, 5), (3, 5), (4, 5), (5, 3)]
    assert pool.most_out == 3 and len(pool.asked) == 5 and orders.told == []


def test_workers_that_are_lost_by_chance_change_nothing(orders: Archive) -> None:
    orders.run(fine)
    wanted = parts(orders.output)
    for path in orders.output.glob("part-*"):
        path.unlink()
    seen: dict[int, int] = {}

    def fate(task: Task) -> Exception | None:
        seen[task.batch.number] = seen.get(task.batch.number, 0) + 1
        return MemoryError() if seen[task.batch.number] <= task.batch.number - 1 else None  # up to four times

    done, _ = orders.run(fate)
    assert parts(orders.output) == wanted
    assert [each.skipped for each in done] == [0] * 5
    assert orders.told.count("batch 2: a worker was lost") == 1
    assert "batch 5: no worker survives the whole of it" in orders.told  # lost four times, and yet by chance


@pytest.mark.parametrize("fatal", [{1}, {23}, {7}, {6, 10}, {11, 12, 13, 14, 15}, {3, 22}])
def test_a_document_that_no_worker_survives_is_told_alone(orders: Archive, fatal: set[int]) -> None:
    orders.run(fine)
    wanted = orders.answers()
    done, _ = orders.run(lambda task: MemoryError() if touched(task) & fatal else None)
    found = orders.answers()
    assert [each["line"] for each in found] == list(range(1, 24))
    assert [each["id"] for each in found] == [each["id"] for each in wanted]
    for ours, theirs in zip(found, wanted, strict=True):
        if ours["line"] in fatal:
            assert [each["message"] for each in ours["document"]["problems"]] == [FATAL]
            assert ours["document"]["findings"] == []
        else:
            assert ours == theirs
    assert sum(each.skipped for each in done) == len(fatal)
    assert sum(each.counts["unread"] for each in done) >= len(fatal)


def test_what_is_put_aside_goes_alone(orders: Archive) -> None:
    """A worker that is lost then tells of one batch: the others are done before."""
    fatal = {8}
    _, pool = orders.run(lambda task: MemoryError() if touched(task) & fatal else None)
    alone = pool.asked.index(next(task for task in pool.asked if task.probe is not None))
    assert {task.batch.number for task in pool.asked[:alone]} == {1, 2, 3, 4, 5}
    assert {task.batch.number for task in pool.asked[alone:]} == {2}


def test_a_batch_that_kills_only_as_a_whole_is_told_of_each_document(orders: Archive) -> None:
    done, _ = orders.run(lambda task: MemoryError() if len(touched(task) & {1, 2, 3, 4, 5}) > 3 else None)
    found = orders.answers()
    assert [bool(each["document"]["problems"] and FAILED in each["document"]["problems"][0]["message"]) for each in
            found] == [True] * 5 + [False] * 18  # fmt: skip
    assert found[0]["id"] == "TBS-0001" and done[0].skipped == 5
    assert "batch 1: no worker survives the whole of it" in orders.told


def test_a_batch_that_fails_again_and_again_is_told_of_each_document(orders: Archive) -> None:
    done, _ = orders.run(lambda task: RuntimeError("odd") if touched(task) & {9} else None)
    messages = [each["document"]["problems"] for each in orders.answers()]
    assert [each[0]["message"] for each in messages[5:10]] == [f"{FAILED}: RuntimeError: odd"] * 5
    assert done[1].skipped == 5 and done[1].counts["unread"] == 5


def test_a_batch_that_cannot_even_be_read_has_its_rows(orders: Archive) -> None:
    orders.run(lambda task: MemoryError() if task.batch.number == 3 else None)
    found = orders.answers()
    assert [each["line"] for each in found] == list(range(1, 24))
    assert [each["id"] for each in found[10:15]] == [None] * 5
    assert all(FAILED in each["document"]["problems"][0]["message"] for each in found[10:15])


def test_a_run_where_nothing_works_is_stopped(orders: Archive) -> None:
    with pytest.raises(StoppedError, match="no batch could be done: OSError: no such folder"):
        orders.run(lambda _: OSError("no such folder"))
    assert parts(orders.output) == b""


def test_a_folder_that_takes_no_more_stops_the_run(orders: Archive) -> None:
    done, _ = orders.run(fine, orders.batches[:2])
    assert len(done) == 2
    orders.output.rename(orders.output.with_name("gone"))
    with pytest.raises(StoppedError):
        orders.run(fine, orders.batches[2:])


def test_a_worker_with_other_rules_does_nothing(orders: Archive) -> None:
    other = Setup(**{**{name: getattr(orders.setup, name) for name in Setup.__slots__}, "identity": "0" * 32})
    with pytest.raises(OthersError, match="another version of rxlint, or other rules"):
        work(Task(other, orders.batches[0]).to_json())
    assert list(orders.output.iterdir()) == []


def test_a_task_and_a_part_come_back_from_their_text(orders: Archive) -> None:
    task = Task(orders.setup, orders.batches[1], (6, 8), "why", (6, 9))
    assert Task.from_json(task.to_json()) == task
    (done, *_), _ = orders.run(fine)
    assert Done.from_json(done.to_json()) == done
    for wrong in ("{}", "[]", "nope", done.to_json().replace('"crashes"', '"crash"')):
        with pytest.raises(ValueError, match=r"no part|Expecting"):
            Done.from_json(wrong)
