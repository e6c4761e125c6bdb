"""What is kept of packs, terms and grammars is what would be read anew; a spoilt file is read anew without a word."""

import datetime
import json
from pathlib import Path

import pytest

from rxlint.library.screen import screen_bytes
from rxlint.model import compiled as terms
from rxlint.model.names import load_terms
from rxlint.notation.document import read_document
from rxlint.notation.grammar import line_grammar
from rxlint.notation.margin import detail_at_margin
from rxlint.notation.statements import read_detail, read_heading, read_row
from rxlint.packs import compiled
from rxlint.packs.builtin import load_builtin
from rxlint.reports import json_report
from rxlint.screening.ruleset import prepare
from rxlint.store import kept
from rxlint.text import Problem, read_source
from tests.conftest import ROOT

EXAMPLES = ROOT / "examples"
ORDERS = sorted(EXAMPLES.glob("slips/*.vrx"))[::20] + sorted(EXAMPLES.glob("sound/*.vrx"))[::6]
DAY = datetime.date(2026, 11, 24)


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "cache"
    monkeypatch.setenv(kept.VARIABLE, str(folder))
    return folder


def test_packs_come_back_as_they_were_read(place: Path) -> None:
    packs = load_builtin()
    compiled.keep_packs(packs)
    again = compiled.read_packs()
    assert again is not None
    assert [each.name for each in again] == [each.name for each in packs]
    for one, other in zip(packs, again, strict=True):
        assert one.rules == other.rules
        assert one.defined == other.defined
        assert (one.digest, one.uses, one.profiles) == (other.digest, other.uses, other.profiles)
        assert (one.names.types, one.names.own) == (other.names.types, other.names.own)
    # equality of expressions leaves their places out; what is written holds these too
    first = (place / "packs.json").read_bytes()
    compiled.keep_packs(again)
    assert (place / "packs.json").read_bytes() == first

    fresh, warm = prepare(packs), prepare(again)
    for path in ORDERS:
        told = [
            json.dumps(json_report.document_object(screen_bytes(path.name, path.read_bytes(), rules, DAY)))
            for rules in (fresh, warm)
        ]
        assert told[0] == told[1]


def test_terms_come_back_as_they_were_read(place: Path) -> None:
    read = load_terms()
    terms.keep_terms(read)
    assert terms.read_terms() == read
    first = (place / "terms.json").read_bytes()
    terms.keep_terms(terms.read_terms() or {})
    assert (place / "terms.json").read_bytes() == first


@pytest.mark.usefixtures("place")
def test_a_spoilt_or_foreign_file_is_a_miss() -> None:
    compiled.keep_packs(())
    assert compiled.read_packs() == ()
    for text in ("", "{}", "[", '{"makers":["("],"plain":[1],"rows":[[0,0]],"root":1}', "null", '{"root": 3}'):
        kept.keep("packs.json", terms.sources_key(), text)  # whole, and of the right key, yet no packs
        assert compiled.read_packs() is None
        kept.keep("terms.json", terms.sources_key(), text)
        assert terms.read_terms() is None


def test_a_grammar_reads_the_same_from_what_was_kept(place: Path) -> None:
    sources = [read_source(path.read_bytes()) for path in ORDERS]

    def read() -> list[str]:
        for remembered in (line_grammar, detail_at_margin, read_heading, read_detail, read_row):
            remembered.cache_clear()
        return [repr(read_document(each).entries) for each in sources if not isinstance(each, Problem)]

    try:
        fresh = read()
        assert (place / "prescription-grammar.json").is_file()
        assert read() == fresh
        for text in ("", "{}", '{"makers":[],"plain":[1],"rows":[],"root":0}'):
            (place / "prescription-grammar.json").write_text(text)
            assert read() == fresh
    finally:
        line_grammar.cache_clear()
