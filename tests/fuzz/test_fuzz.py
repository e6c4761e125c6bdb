"""A short run of every target, and what must hold of any text; the long runs stand in README.md."""

import json
import random
import time
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import rxlint
from rxlint.model.content import unread_lines
from rxlint.notation import Document, read_document
from rxlint.notation.tree import Entry
from rxlint.text import source_of_text
from rxlint.text.source import Source
from tests.documents import DAY
from tests.fuzz import corpora, grammars, results
from tests.fuzz.measured import Watch, name_of, peak_megabytes, seen_of
from tests.fuzz.mutate import CHANGES, mutated
from tests.fuzz.on_expressions import expression
from tests.fuzz.on_texts import document
from tests.fuzz.on_wire import host, messages
from tests.fuzz.page import PAGE, page
from tests.fuzz.run import Session, unguided
from tests.fuzz.soundness import (
    Unsound,
    hold_inside,
    hold_lines,
    hold_place,
    hold_problems,
    hold_told,
    lines_of,
    read_soundly,
)
from tests.fuzz.target import Target
from tests.fuzz.targets import TARGETS
from tests.sheets import sheet_of_bytes

SECONDS = 0.4  # for each target
MOST = 300  # inputs for each target, where they are fast


@pytest.mark.parametrize("name", TARGETS)
def test_a_target_answers_whatever_it_is_given(name: str) -> None:
    session = unguided(TARGETS[name], SECONDS, 20261124, MOST)
    assert session.seen.executions > 0
    assert [f"{each.name}: {each.told}\n{bytes.fromhex(each.input)!r}" for each in session.seen.faults.values()] == []


# ---- any text


@settings(max_examples=20)
@given(grammars.texts())
def test_any_text_is_read_line_by_line_and_laid_out_once(data: bytes) -> None:
    document(data)


@settings(max_examples=20)
@given(grammars.expressions())
def test_an_expression_that_the_grammar_allows_is_answered(text: str) -> None:
    expression(text.encode("utf-8"))


@settings(max_examples=6)
@given(grammars.texts())
def test_any_text_is_screened_and_every_line_that_is_not_read_is_told(data: bytes) -> None:
    screened = rxlint.screen_text(data, on=DAY)
    lines = lines_of(data)
    hold_problems(screened.problems, lines)
    for finding in screened.findings:
        hold_place(finding.place, lines, finding.message)
    found = read_soundly(data)
    if found is not None and not screened.problems:
        told = {finding.place.line for finding in screened.findings}
        silent = [entry.text for entry in unread_lines(found) if not _is_told(entry, found, told)]
        assert silent == []


def _is_told(entry: Entry, found: Document, told: set[int]) -> bool:
    """Whether a finding stands at one of its lines, or at what it hangs on: its table, or the last line at fault."""
    if any(line.number in told for line in entry.lines):
        return True
    above = [each for each in found.entries if each.lines[0].number < entry.lines[0].number and each.kind != "blank"]
    return entry.kind in ("row", "unread") and any(each.lines[0].number in told for each in above)


@settings(max_examples=6)
@given(grammars.texts())
def test_values_are_derived_from_any_text(data: bytes) -> None:
    hold_problems(rxlint.derive(data).problems, lines_of(data))


@settings(max_examples=5)
@given(grammars.texts(), st.randoms(use_true_random=False))
def test_any_two_texts_are_compared(data: bytes, chance: random.Random) -> None:
    other = mutated([data], chance)
    for each in rxlint.compare(data, other, on=DAY).problems:
        assert "fault of this program" not in each.message


@settings(max_examples=5)
@given(grammars.texts())
def test_any_text_has_a_sheet(data: bytes) -> None:
    assert sheet_of_bytes(data).title


# ---- what watches can see a fault


def target_of(reads: object, seconds: float = 9, megabytes: int = 900) -> Target:
    made = Target("made", "none", seconds, megabytes, 50, lambda: (b"seed",))
    made.__dict__["reads"] = reads
    return made


def test_an_exception_is_kept_with_its_shortest_input(tmp_path: Path) -> None:
    def reads(data: bytes) -> None:
        if b"x" in data:
            raise ValueError("an x")

    watch = Watch(target_of(reads), tmp_path / "kept.json")
    for data in (b"a", b"abxc", b"x", b"bxb"):
        watch(data)
    watch.keep()
    (fault,) = seen_of(tmp_path / "kept.json").faults.values()
    assert (fault.name, fault.input, fault.times) == ("ValueError in test_fuzz.py:reads", b"x".hex(), 3)
    assert watch.seen.executions == 4


def test_an_input_beyond_its_bounds_is_a_fault() -> None:
    def slow(_data: bytes) -> None:
        end = time.process_time() + 0.02
        while time.process_time() < end:
            pass

    held: list[bytes] = []
    before = peak_megabytes()
    greedy = Watch(target_of(lambda _: held.append(b"x" * (before + 300) * 1024**2), megabytes=100))
    greedy(b"a")
    greedy.settle()
    assert list(greedy.seen.faults) == ["too much memory"] and greedy.seen.peak_megabytes >= before + 300


def test_the_server_answers_in_this_process_and_a_fault_of_ours_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    (session,) = [each for each in corpora.messages() if b"documentSymbol" in each]
    said = host().run(b"".join(map(corpora.framed, session.split(b"\n"))))
    assert b'"name":"settings"' in said.replace(b": ", b":")
    assert said == host().run(b"".join(map(corpora.framed, session.split(b"\n"))))
    monkeypatch.setattr("rxlint.editor.server_features.symbols", lambda _: 1 // 0)
    with pytest.raises(ZeroDivisionError):
        messages(session)


def test_faults_have_one_name_each() -> None:
    with pytest.raises(rxlint.OptionError) as caught:
        rxlint.parse(5)  # type: ignore[arg-type]
    assert name_of(caught.value) == "OptionError in options.py:bytes_of"
    assert name_of(Unsound("a line untold", "x")) == name_of(Unsound("a line untold", "y")) == "a line untold"


@pytest.mark.parametrize(("line", "column"), [(0, 1), (3, 1), (1, 4), (2, 0), (None, 1)])
def test_a_place_outside_of_a_text_is_seen(line: int | None, column: int | None) -> None:
    hold_inside(1, 3, ["ab", "c"], "x")
    hold_inside(None, None, ["ab", "c"], "x")
    with pytest.raises(Unsound):
        hold_inside(line, column, ["ab", "c"], "x")


def test_a_line_that_is_skipped_is_seen() -> None:
    source = source_of_text('prescription "x"\nsettings\n  PEEP 5\n  rate 20 /min\n')
    assert isinstance(source, Source)
    read = read_document(source)
    hold_lines(read)
    hold_told(read)
    with pytest.raises(Unsound, match="neither read nor told"):
        hold_told(replace(read, reported=()))
    with pytest.raises(Unsound, match="in no entry"):
        hold_lines(replace(read, entries=read.entries[1:]))
    with pytest.raises(Unsound, match="a fault of ours"):
        hold_problems([rxlint.Problem("x, through a fault of this program: y")], ["x"])


# ---- inputs


def test_every_target_has_seeds_of_its_own() -> None:
    for target in TARGETS.values():
        seeds = target.seeds()
        assert len(seeds) >= 5 and len(set(seeds)) == len(seeds), target.name
        assert sum(len(each) <= target.longest for each in seeds) >= 5, target.name
        assert target.what


def test_a_seed_makes_the_same_inputs_and_another_makes_others() -> None:
    seeds = [each for each in corpora.documents() if len(each) < 2_000]
    one, same, other = ([mutated(seeds, random.Random(n), 2_000) for _ in range(3)] for n in (1, 1, 2))
    assert one == same != other
    chance = random.Random(3)
    made = [mutated(seeds, chance, 2_000) for _ in range(200)]
    assert max(map(len, made)) <= 2_000
    assert len(set(made) - set(seeds)) > 180  # a word may be swapped with its like
    assert len(CHANGES) == 8


def test_the_dictionary_holds_the_vocabulary_and_the_keywords() -> None:
    assert {b"PEEP", b"cmH2O", b"in steps of", b"is between", b"A/C-PC", b"square root"} <= set(corpora.words())


# ---- figures


def test_figures_add_up(tmp_path: Path) -> None:
    kept = tmp_path / "results.json"
    watch = Watch(target_of(lambda _: None))
    watch(b"a")
    watch(b"b")
    results.add(Session("document", "atheris", 1.5, watch.seen, 7), kept)
    results.add(Session("document", "unguided", 0.5, watch.seen), kept)
    (total,) = results.totals(kept).values()
    assert (total.executions, total.guided, total.wall, total.edges, total.runs) == (4, 2, 2.0, 7, 2)


def test_the_page_is_that_of_the_figures() -> None:
    assert PAGE.read_text("utf-8") == page(results.totals())
    assert set(json.loads(results.KEPT.read_text("utf-8"))) <= set(TARGETS)
