"""The reference says what the reader does: its tables are fresh, and its examples are read as it says."""

import re
from pathlib import Path

import pytest

from rxlint.data import read_data
from rxlint.notation import reference
from rxlint.vocabulary import vocabulary
from tests.notation.plain import document_of, told

TEXT = read_data("grammar", "README.md")
EXAMPLE = re.compile(r"(?:<!-- event: (\S+) -->\n)?```vrx\n(.*?)```", re.DOTALL)
EXAMPLES = [(match.group(2), match.group(1)) for match in EXAMPLE.finditer(TEXT)]


def test_the_tables_are_fresh() -> None:
    assert set(reference.tables_in(TEXT)) == set(reference.tables())
    assert reference.renewed(TEXT) == TEXT, "run python -m rxlint.notation.reference --write"


def test_a_stale_table_is_told_and_renewed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stale = TEXT.replace("| `PEEP` |", "| `PEP` |", 1)
    assert stale != TEXT
    (tmp_path / "README.md").write_text(stale, encoding="utf-8")
    monkeypatch.setattr(reference, "data_folder", lambda _: tmp_path)
    assert reference.main([]) == 1
    assert reference.main(["--write"]) == 0
    assert (tmp_path / "README.md").read_text(encoding="utf-8") == TEXT
    assert reference.main([]) == 0


def test_there_are_examples_of_both_kinds() -> None:
    assert sum(event is None for _, event in EXAMPLES) > 10
    assert len({event for _, event in EXAMPLES}) > 8
    assert TEXT.count("```vrx") == len(EXAMPLES) and TEXT.count("<!-- event:") == sum(bool(e) for _, e in EXAMPLES)


def whole(text: str) -> str:
    """The example as a document: its first line is left out where it would say nothing."""
    first = next(line for line in text.splitlines() if not line.startswith("#"))
    return text if first.startswith(("prescription", "template")) else f'prescription "example"\n{text}'


@pytest.mark.parametrize(("text", "event"), EXAMPLES, ids=[text.split("\n")[0] for text, _ in EXAMPLES])
def test_an_example_is_read_as_the_page_says(text: str, event: str | None) -> None:
    assert [name for *_, name in told(document_of(whole(text)))] == ([] if event is None else [event])


def test_every_section_is_shown_and_has_its_terms() -> None:
    shown = {block.section for text, _ in EXAMPLES for block in document_of(whole(text)).blocks}
    assert set(vocabulary().sections) <= shown
    assert {f"#### {name}" for name in vocabulary().sections} <= set(TEXT.splitlines())
