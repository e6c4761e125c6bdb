"""The benchmarks' own honesty: libraries that are what they say, figures that are read and judged as they were taken.

The benchmarks themselves are run by hand. Their scripts import each other by name, as Python does when it runs them.
"""

import argparse
import json
import re
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from ruamel.yaml import YAML

import rxlint

sys.path.append(str(Path(__file__).resolve().parent / "benchmarks"))

import compare
import measure as measuring
from cells import MEASURED, NOT_RUN, SCHEMA, Cell, Figures, FiguresError, read, write
from distinct import MOST, distinct
from goals import GOALS, verdicts
from imports import read_profile
from library import CLOCK, MAKERS, TEMPLATE_EVERY, census, make_library, make_long
from page import END, START, long, put
from peer import schema
from suite import COLD, INSTALLED, Suite, attempt, once
from tools import OURS, Environment, Run, StoppedError, Tool, carried, check_report
from writing import Order, as_notation, as_yaml, key_of

BENCHMARKS = Path(__file__).resolve().parent / "benchmarks"
SEED = 7
NUMBERS = (1, 2, 3, 4, 7, 20, 25)


def made(kind: str, number: int) -> Order:
    return make_long(number, SEED, 200) if kind == "long" else MAKERS[kind](number, SEED)


def has_slip(kind: str, number: int) -> bool:
    """Whether a document's saturation alarm is over 100 %."""
    return number % 25 == 0 and kind != "templates"


def texts(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# ---- libraries


@pytest.mark.parametrize("kind", list(MAKERS))
def test_a_library_is_the_same_each_time_and_begins_the_same_at_every_size(kind: str, tmp_path: Path) -> None:
    for name, count in (("once", 4), ("again", 4), ("larger", 6)):
        make_library(tmp_path / name, count, SEED, kind, lines=200)
    once, again, larger = (texts(tmp_path / name) for name in ("once", "again", "larger"))
    assert once == again
    assert once.items() < larger.items()
    assert sum(name.endswith(".vrx") for name in once) == sum("/tbs-" in name and ".yaml" in name for name in once) == 4
    make_library(tmp_path / "other", 4, SEED + 1, kind, lines=200)
    assert texts(tmp_path / "other") != once


@pytest.mark.parametrize("kind", list(MAKERS))
def test_every_line_is_read_but_for_the_slips(kind: str) -> None:
    for number in NUMBERS:
        parsed = rxlint.parse(as_notation(made(kind, number)))
        assert not parsed.problems
        unread = [each.term for each in parsed.statements if not each.is_read]
        assert unread == (["high SpO2"] if has_slip(kind, number) else []), number


def numbers_in(tree: Any, key: str = "") -> Iterator[tuple[str, tuple[Fraction, ...]]]:
    """Every number or list of numbers of a YAML document, by the key that it stands under."""
    if isinstance(tree, list) and tree and all(isinstance(each, int | float) for each in tree):
        yield key, tuple(Fraction(str(each)) for each in tree)
    elif isinstance(tree, list):
        for each in tree:
            yield from numbers_in(each, key)
    elif isinstance(tree, dict):
        for name, value in tree.items():
            yield from numbers_in(value, key if name in ("value", "rows") else re.sub("_(of|at)_.*", "", name))
    elif isinstance(tree, int | float) and not isinstance(tree, bool):
        yield key, (Fraction(str(tree)),)


def by_key(pairs: Iterator[tuple[str, tuple[Fraction, ...]]]) -> dict[str, list[tuple[Fraction, ...]]]:
    found: dict[str, list[tuple[Fraction, ...]]] = {}
    for key, numbers in pairs:
        found.setdefault(key, []).append(numbers)
    return found


@pytest.mark.parametrize("kind", list(MAKERS))
def test_the_yaml_holds_the_values_that_the_notation_holds(kind: str) -> None:
    for number in (1, 2, 3, 4):
        order = made(kind, number)
        tree = YAML(typ="safe", pure=True).load(as_yaml(order))
        assert (tree.pop("notation"), tree.pop("revision")) == (1, int(order.sections[0].rows[2].text))
        statements = rxlint.parse(as_notation(order)).statements
        amounts = ((each, each.quantity) for each in statements if each.quantity is not None)
        stated = by_key((key_of(f"{each.term} {amount.unit}"), amount.numbers) for each, amount in amounts)
        held = by_key(numbers_in(tree))
        assert len(held) > 15
        assert held == {key: numbers for key, numbers in stated.items() if key in held}


def test_no_detail_line_of_the_distinct_kind_repeats(tmp_path: Path) -> None:
    for kind in ("distinct", "realistic"):
        make_library(tmp_path / kind, 150, SEED, kind)
    found, usual = census(tmp_path / "distinct"), census(tmp_path / "realistic")
    assert found.details_seen_before == 0
    assert usual.details_seen_before > 0.8
    assert 0 < found.statements_seen_before < 0.5  # words repeat, and only a comment tells such lines apart
    assert found.lines_a_file == usual.lines_a_file


def test_decimals_of_distinct_documents_never_meet() -> None:
    """The first and the last documents, where decimals of one could run into the next step of another's."""
    lines = [
        line
        for number in (1, 2, 9, 10, 11, 99, 100, 101, 999, 1000, 9_999, 10_000, 10_001, MOST // 3, MOST - 1, MOST)
        for line in as_notation(MAKERS["distinct"](number, SEED)).split("\n")
        if line.startswith(" ")
    ]
    assert len(lines) == len(set(lines)) > 600
    with pytest.raises(ValueError, match="from 1 to 100,000, not 100,001"):
        distinct(MAKERS["realistic"](1, SEED), MOST + 1)


def test_a_third_are_templates_and_each_order_follows_one_before_it() -> None:
    orders = [made("templates", number) for number in range(1, 61)]
    templates = {}
    for number, order in enumerate(orders, 1):
        head = {row.term: row.text for row in order.sections[0].rows}
        assert (order.kind == "template") == (number % TEMPLATE_EVERY == 1)
        if order.kind == "template":
            templates[head["id"]] = f"{head['id']} revision {head['revision']}"
        else:
            assert head["follows"] in templates.values()
    assert len(templates) == 20


def test_templates_and_followers_are_sound_but_for_the_missing_check(tmp_path: Path) -> None:
    make_library(tmp_path, 6, SEED, "templates")
    found = {
        finding.rule for screened in rxlint.screen_paths(tmp_path / "vrx", on=CLOCK) for finding in screened.findings
    }
    assert found <= {"governance.unchecked", "library.template-unused"}


def test_a_long_document_has_the_lines_it_was_asked_for() -> None:
    for lines in (500, 5_000):
        assert 0 <= as_notation(make_long(1, SEED, lines)).count("\n") - lines < 5


@pytest.mark.parametrize("kind", list(MAKERS))
def test_the_peers_schema_takes_the_documents_and_finds_the_slip(kind: str) -> None:
    validator = jsonschema.Draft202012Validator(schema(kind))
    for number in NUMBERS:
        tree = YAML(typ="safe", pure=True).load(as_yaml(made(kind, number)))
        errors = [error.json_path for error in validator.iter_errors(tree)]
        assert errors == (["$.alarms.high_spo2_percent"] if has_slip(kind, number) else [])
    tree["alarms"]["apnoea_s"] = -1
    tree["circuit"]["leak_port_flow_l_per_min"] = {"by": "age", "rows": [{"when": "x", "value": [1, 2, 3]}]}
    assert len(list(validator.iter_errors(tree))) >= 2


# ---- runs


def test_paths_are_given_in_as_many_command_lines_as_they_need(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    listing = tmp_path / "list.txt"
    names = [f"ward-000/tbs-{number:06}.yaml" for number in range(500)]
    listing.write_text("".join(f"{name}\n" for name in names), "utf-8")
    monkeypatch.setattr("measure.os.environ", {"HOME": "/"})
    monkeypatch.setattr("measure.os.sysconf", lambda _: measuring.SPARE + 5_000)
    batches = list(measuring.batches(str(listing), ["check"]))
    assert [name for batch in batches for name in batch] == names
    sizes = [sum(len(name) + 1 + measuring.POINTER for name in batch) for batch in batches]
    assert len(batches) > 3 and max(sizes) < 5_000 and min(sizes[:-1]) > 4_500
    assert list(measuring.batches("-", ["check"])) == [[]]


def test_a_run_that_takes_too_long_is_stopped(tmp_path: Path) -> None:
    waits = [sys.executable, "-I", "-S", "-c", "import time; time.sleep(20)"]
    command = [sys.executable, "-I", "-S", str(BENCHMARKS / "measure.py"), str(tmp_path / "out"), "0.2", "-", *waits]
    took = json.loads(subprocess.run(command, capture_output=True, check=True, timeout=15).stdout)
    assert took["stopped"] and 0.2 <= took["wall"] < 5
    cell = Cell("growth", "realistic", 10, OURS, COLD)

    def stopped() -> Run:
        raise StoppedError("stopped after 1 s")

    assert attempt(cell, stopped) is None
    assert (cell.state, cell.why) == (NOT_RUN, "stopped after 1 s")
    assert attempt(cell, lambda: Run(1, 1, 1, 1)) is None  # not tried again


def test_a_run_that_stands_beside_several_is_taken_and_counted_once() -> None:
    taken = iter([Run(1, 1, 1, 1), Run(2, 2, 2, 2)])
    shared = once(lambda: next(taken))
    assert shared() is shared()
    assert next(taken).wall == 2


def suite(tmp_path: Path, figures: Figures, **options: object) -> Suite:
    environment = Environment(Path("ours"), Path("peers"), (), frozenset())
    return Suite(argparse.Namespace(**options), environment, tmp_path, figures)


def test_a_pair_gives_the_ratio_of_its_two_runs(tmp_path: Path) -> None:
    order: list[str] = []

    def taking(name: str, wall: float) -> Run:
        order.append(name)
        return Run(wall, wall, 1, 1)

    ours, peer = Cell("growth", "realistic", 10, OURS, COLD), Cell("growth", "realistic", 10, "yamllint")
    both = suite(tmp_path, figures())
    for number, walls in enumerate(((1, 4), (3, 6))):
        both.pair((ours, lambda w=walls[0]: taking("a", w)), (peer, lambda w=walls[1]: taking("b", w)), number)  # type: ignore[misc]
    assert ours.ratios == {"yamllint": [0.25, 0.5]}
    assert order == ["a", "b", "b", "a"]


FAKE = """\
import json, pathlib, sys
wrong = sys.argv[sys.argv.index("--jobs") + 1] if "--jobs" in sys.argv else 0
found = [{"problems": [], "findings": [wrong]} for _ in pathlib.Path(sys.argv[-1]).rglob("*.vrx")]
kept = pathlib.Path.home() / "kept"
print(json.dumps({"documents": found, "was here": kept.exists()}))
kept.write_text("")
"""


def test_processes_and_unchanged_files_are_measured_as_they_say(tmp_path: Path) -> None:
    """With a program in rxlint's place that tells how it was called."""
    commands = tmp_path / "bin"
    commands.mkdir()
    (commands / "python").symlink_to(sys.executable)
    (commands / "rxlint").write_text(FAKE, "utf-8")
    environment = Environment(commands, commands, (), frozenset({"--jobs"}))
    written = tmp_path / "figures.json"
    options = argparse.Namespace(limit=10, rounds=2, seconds=10, seed=SEED, json=written)
    both = Suite(options, environment, tmp_path / "bin", figures())
    library, cold = both.library("realistic", 3), cell(3, 1, 0.5)
    cold.findings = 3
    both._jobs(library, 3, cold)
    for way in ("--jobs 2", "--jobs 1, beside 2", "--jobs 4", "--jobs 1, beside 4"):
        found = both.figures.cell("jobs", "realistic", 3, OURS, way)
        assert found is not None and len(found.runs) == 2
        assert list(found.ratios) == ([f"--jobs 1, beside {way[-1]}"] if "beside" not in way else [])
    assert json.loads((commands / "report-rxlint---jobs-2").read_text("utf-8"))["was here"] is False
    so_far = read(written).cell("jobs", "realistic", 3, OURS, "--jobs 4")
    assert so_far is not None and len(so_far.runs) == 1  # written before the last run of all
    both._again(library, 3, cold)
    again = both.figures.cell("again", "realistic", 3, OURS, "unchanged files again")
    assert again is not None and (len(again.runs), list(again.ratios), again.findings) == (2, ["read and hash"], 3)
    assert json.loads((commands / "report-rxlint").read_text("utf-8"))["was here"] is True
    cold.findings = 4
    with pytest.raises(SystemExit, match="unchanged files again: 3 findings, and 4 in a cold run"):
        both._again(library, 3, cold)
    without = Suite(options, Environment(commands, commands, (), frozenset()), tmp_path / "bin", figures())
    without._jobs(library, 3, cold)
    assert [each.state for each in without.figures.of("jobs")] == ["not there"] * 4


def test_a_size_that_would_pass_the_limit_is_left_out_and_says_so(tmp_path: Path) -> None:
    one = Cell("growth", "realistic", 1, OURS, COLD, runs=[Run(2, 2, 1, 1)])
    more = Cell("growth", "realistic", 101, OURS, COLD, runs=[Run(7, 7, 1, 1)])
    larger = Cell("growth", "realistic", 10_101, OURS, COLD)
    sizes = [1, 101, 10_101, 100_000]
    suite(tmp_path, figures(one, more), limit=508)._expect(larger, sizes)  # 7 s and 10,000 times 50 ms
    assert larger.state == MEASURED
    suite(tmp_path, figures(one, more), limit=506)._expect(larger, sizes)
    assert (larger.state, larger.why) == (NOT_RUN, "50.0 ms each from 1 to 101 would pass the limit of 506 s")
    largest = Cell("growth", "realistic", 100_000, OURS, COLD)
    suite(tmp_path, figures(one, more, larger), limit=506)._expect(largest, sizes)
    assert (largest.state, largest.why) == (NOT_RUN, "nor was it at 10,101")
    again = Cell("growth", "realistic", 101, OURS, COLD)
    suite(tmp_path, figures(one), limit=5)._expect(again, sizes)  # the start alone says nothing
    assert again.state == MEASURED


def test_what_a_wheel_carries_beside_the_checkout_s_files_is_found(tmp_path: Path) -> None:
    for name in ("rxlint/cli.py", "rules/mode.yaml"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("", "utf-8")
    wheel = tmp_path / "x.whl"
    with zipfile.ZipFile(wheel, "w") as archive:
        for name in ("rxlint/cli.py", "rxlint/_data/rules/mode.yaml", "rxlint-1.dist-info/RECORD"):
            archive.writestr(name, "")
    assert carried(wheel, tmp_path) == ()
    with zipfile.ZipFile(wheel, "a") as archive:
        archive.writestr("rxlint/_data/packs.made", "")
    assert carried(wheel, tmp_path) == ("rxlint/_data/packs.made",)


def test_a_report_must_hold_every_document(tmp_path: Path) -> None:
    output = tmp_path / "report"
    wrong = {"filename": "b.yaml", "message": "too high"}
    first = {"status": "fail", "successes": ["a.yaml"], "errors": [wrong, wrong], "parse_errors": []}
    second = {"status": "ok", "errors": [], "checked_paths": ["c.yaml"]}
    output.write_text(f"{json.dumps(first, indent=2)}\n{json.dumps(second)}\n", "utf-8")
    checker = Tool("check-jsonschema", ("x",), "yaml", (0, 1), takes_files=True)
    assert check_report(checker, output, 3, tmp_path) == 2
    with pytest.raises(SystemExit, match="took 3 of 4 documents"):
        check_report(checker, output, 4, tmp_path)
    output.write_text('{"documents": [{"problems": ["no text"], "findings": []}]}', "utf-8")
    with pytest.raises(SystemExit, match="rxlint took 0 of 1 documents"):
        check_report(Tool(OURS, ("x",), "vrx", (0, 1)), output, 1, tmp_path)


def test_the_end_of_a_large_report_says_how_many_documents_it_holds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tools.LARGE", 100)
    monkeypatch.setattr("tools.TAIL", 150)
    output, ours = tmp_path / "report", Tool(OURS, ("x",), "vrx", (0, 1))
    summary = {"documents": 5, "unread": 1, "not_screened": 1, "levels": {"reject": 2, "query": 7}}
    output.write_text(json.dumps({"documents": ["x" * 200], "summary": summary}), "utf-8")
    assert check_report(ours, output, 3, tmp_path) == 9
    with pytest.raises(SystemExit, match="took 3 of 5 documents"):
        check_report(ours, output, 5, tmp_path)
    output.write_text(json.dumps({"summary": summary, "documents": ["x" * 200]}), "utf-8")
    with pytest.raises(SystemExit, match="no summary at its end"):
        check_report(ours, output, 3, tmp_path)


def test_the_import_profile_names_what_screening_has_no_use_for() -> None:
    told = "import time: self [us] | cumulative | imported package\n"
    for own, name in ((300, "rxlint"), (2500, "rxlint.cli"), (90000, "pint.registry"), (10, "pinto")):
        told += f"import time: {own:9} | {own:10} |   {name}\n"
    found = read_profile(told)
    assert found["unwanted"] == ["pint.registry"]
    assert found["total_ms"] == pytest.approx(92.81)
    assert list(found["heaviest_ms"])[:2] == ["pint.registry", "rxlint.cli"]
    assert found["packages_ms"]["rxlint"] == pytest.approx(2.8)


# ---- figures


def cell(size: int, wall: float, ratio: float, tool: str = OURS, way: str = COLD, kind: str = "realistic") -> Cell:
    runs = [Run(wall, wall, 50 * 1024 * 1024, 1000)]
    return Cell("growth", kind, size, tool, way, runs=runs, ratios={"yamllint": [ratio]} if tool == OURS else {})


def figures(*cells: Cell, processor: str = "a processor") -> Figures:
    about = {
        "processor": processor,
        "cores": 2,
        "system": "a system",
        "memory_gib": 8.0,
        "implementation": "CPython",
        "python": "3.11.7",
        "packages": {"rxlint": "0.1.0", "yamllint": "1.38.0"},
        "commit": "abc",
        "load_before": 0.1,
        "load_after": 0.2,
    }
    return Figures("2026-11-24", about, {"seed": 1, "rounds": 1, "limit": 9}, cells=list(cells))


def compared(tmp_path: Path, old: Figures, new: Figures, monkeypatch: pytest.MonkeyPatch, *options: str) -> int:
    for name, each in (("old.json", old), ("new.json", new)):
        write(each, tmp_path / name)
    monkeypatch.setattr(sys, "argv", ["compare.py", str(tmp_path / "old.json"), str(tmp_path / "new.json"), *options])
    return compare.main()


def test_figures_are_read_as_they_were_written(tmp_path: Path) -> None:
    one = figures(cell(10, 1, 0.5), Cell("jobs", "realistic", 10, OURS, "--jobs 2", NOT_RUN, "why"))
    write(one, tmp_path / "f.json")
    assert read(tmp_path / "f.json") == one
    for text in (
        "{}",
        "[]",
        "no JSON",
        json.dumps({"schema": SCHEMA + 1}),
        json.dumps({"schema": SCHEMA, "cells": [{}]}),
    ):
        (tmp_path / "f.json").write_text(text, "utf-8")
        with pytest.raises(FiguresError):
            read(tmp_path / "f.json")


def test_runs_on_machines_alike_are_compared_cell_by_cell(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    old = figures(cell(10, 2, 0.5), cell(10, 4, 0, "yamllint", ""), cell(99, 1, 1))
    slower = figures(cell(10, 3, 0.6), cell(10, 5, 0, "yamllint", ""))
    assert compared(tmp_path, old, slower, monkeypatch) == 1
    shown = capsys.readouterr().out
    assert re.search(r"\| 10 +\| rxlint, cold +\| 2\.000 +\| 3\.000 +\| 1\.50 ", shown)
    assert re.search(r"\| 99 +\| rxlint, cold +\| 1\.000 +\| not in it ", shown)
    assert re.search(r"yamllint \| 0\.5 +\| 0\.6 +\| 1\.20 +\| worse", shown)
    assert compared(tmp_path, old, slower, monkeypatch, "--tolerance", "0.25") == 0
    assert compared(tmp_path, slower, old, monkeypatch) == 0


def test_runs_that_are_no_match_get_no_ratio(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new = figures(cell(10, 2, 0.5)), figures(cell(10, 9, 0.9), processor="another")
    new.machine["packages"]["yamllint"] = "2.0"
    assert compared(tmp_path, old, new, monkeypatch) == 2
    shown = capsys.readouterr().out
    assert "processor: a processor and another" in shown
    assert "yamllint: 1.38.0 and 2.0" in shown
    assert "4.50" not in shown and "1.80" not in shown
    (tmp_path / "new.json").write_text("{}", "utf-8")
    assert compare.main() == 2
    assert compared(tmp_path, old, figures(cell(11, 1, 1)), monkeypatch) == 2  # nothing in common: no word of praise


def test_goals_are_met_not_met_or_not_run() -> None:
    assert {each.word for each in verdicts(figures())} == {"not run"}
    known = figures(cell(1_000, 1, 0.06), cell(10_000, 10.6, 0.04), cell(10_000, 9, 0.3, kind="distinct"))
    found = {verdict.goal.text: verdict.word for verdict in verdicts(known)}
    assert found.pop("10,000 files cold: at most 1/20 of yamllint") == "met"
    assert found.pop("10,000 files without a line in common: at most 1/5 of yamllint") == "not met"
    assert found.pop("growth to 10,000 files: a straight line or better") == "not met"
    peak = next(text for text in found if text.startswith("peak memory at 10,000"))
    assert found.pop(peak) == "met"
    assert set(found.values()) == {"not run"}


def test_the_goal_as_installed_goes_by_the_first_run_where_they_are_the_same() -> None:
    first = Cell("start", "realistic", 1, OURS, "first run ever", runs=[Run(1, 1, 1, 1)], ratios={"yamllint": [1.2]})
    same = Cell("start", "realistic", 1, OURS, INSTALLED, "same as", "first run ever: nothing is carried")
    word = next(each.word for each in verdicts(figures(first, same)) if each.goal.against == "yamllint")
    assert word == "met"


def test_pages_are_made_of_the_figures(tmp_path: Path) -> None:
    known = figures(cell(1_000, 2, 0.5), cell(10_000, 25, 0.06), cell(1_000, 4, 0, "yamllint", ""))
    known.cells.append(Cell("growth", "realistic", 100_000, OURS, COLD, NOT_RUN, "it would take too long"))
    page = tmp_path / "README.md"
    page.write_text(f"before\n{START}\nold\n{END}\nafter\n", "utf-8")
    put(known, page)
    text = page.read_text("utf-8")
    assert text.startswith(f"before\n{START}\n") and text.endswith(f"\n{END}\nafter\n") and "old" not in text
    assert re.search(r"10,000 files, realistic +\| 25\.00 s ", text)
    assert re.search(r"100,000 files, realistic \| not run \(it would take too long\) ", text)
    put(known, tmp_path / "RESULTS.md")
    results = (tmp_path / "RESULTS.md").read_text("utf-8")
    assert results == long(known)
    assert re.search(r"\| 100,000 +\| rxlint, cold +\| 0 +\| not run \(it would take too long\)", results)
    assert re.search(r"\| 10,000 +\| rxlint, cold +\| 1 +\| 25\.000 .* at most 1\.05: not met; at most 1: met", results)
    assert re.search(r"\| 10,000 files cold: at most 1/20 of yamllint +\| at most 0\.05 +\| 0\.06 +\| not met", results)
    assert all(goal.text in results for goal in GOALS)
    first = Cell("start", "realistic", 1, OURS, "first run ever", runs=[Run(3, 3, 1, 1)])
    known.cells += [first, Cell("start", "realistic", 1, OURS, INSTALLED, "same as", "first run ever: nothing else")]
    put(known, page)
    assert re.search(r"one file, as installed +\| 3\.00 s ", page.read_text("utf-8"))
    page.write_text(f"{END} {START}", "utf-8")
    with pytest.raises(FiguresError, match="without the other"):
        put(known, page)
    assert page.read_text("utf-8") == f"{END} {START}"
