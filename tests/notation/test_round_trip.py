"""Nodes to text and back; text to a document and back; and no text at all that the reader can't take."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rxlint.notation import Document, NewSection, read_document, render_document, sections_of, write
from rxlint.notation import nodes as n
from rxlint.notation.render import quoted
from rxlint.notation.tidy import tidied
from rxlint.text import Problem, read_source, source_of_text
from rxlint.vocabulary import Term, vocabulary
from tests.notation.plain import document_of, without_places
from tests.notation.strategies import detail, documents, sections

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").rglob("*.vrx"))
TEXTS = [path.read_bytes().decode() for path in EXAMPLES]
TERMS = [  # those of the back-up are those of the settings
    term for name, section in vocabulary().sections.items() if name != "back-up" for term in section.terms.values()
]
fewer = settings(max_examples=max(5, settings().max_examples // 4))  # for what runs once for each term or section
TITLE = NewSection(n.Heading("prescription", 0, 0, title="x"))


@given(documents())
def test_nodes_come_back_from_their_text(made: tuple[NewSection, ...]) -> None:
    document = document_of(render_document(made))
    assert at_fault(document) == []
    assert without_places(sections_of(document)) == made


def at_fault(document: Document) -> list[str]:
    """The events that say a document can't be read as it is. A coarse age can."""
    return [each.event.name for each in document.reported if each.event.name != "reader.age-coarse"]


@pytest.mark.parametrize("section", [name for name in vocabulary().sections if name != "head"])
@fewer
@given(data=st.data())
def test_each_section_comes_back(section: str, data: st.DataObject) -> None:
    made = (TITLE, data.draw(sections(section)))
    document = document_of(render_document(made))
    assert at_fault(document) == []
    assert without_places(sections_of(document)) == made


@pytest.mark.parametrize("term", TERMS, ids=lambda term: f"{term.section} - {term.phrase}")
@fewer
@given(data=st.data())
def test_each_term_comes_back(term: Term, data: st.DataObject) -> None:
    made = data.draw(detail(term))
    heading = TITLE.heading if term.section == "head" else n.Heading(term.section, 0, 0)
    whole = (*(() if term.section == "head" else (TITLE,)), NewSection(heading, (made,)))
    document = document_of(render_document(whole))
    assert at_fault(document) == []
    assert without_places(sections_of(document)) == whole
    statement = document.blocks[-1].details[0].statement
    assert statement is not None and statement.readable


@given(documents())
def test_canonical_text_is_stable(made: tuple[NewSection, ...]) -> None:
    text = render_document(made)
    assert render_document(sections_of(document_of(text))) == text


@given(documents())
def test_canonical_text_is_tidy(made: tuple[NewSection, ...]) -> None:
    text = render_document(made)
    source = source_of_text(text)
    assert not isinstance(source, Problem) and tidied(source) == text


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_means_the_same_in_canonical_text(path: Path) -> None:
    first = document_of(path.read_text(encoding="utf-8"))
    if first.reported:
        return  # what could not be read has no nodes
    second = document_of(render_document(sections_of(first)))
    assert at_fault(second) == []
    assert render_document(sections_of(second)) == render_document(sections_of(first))
    assert [s.name for s in sections_of(second)] == [s.name for s in sections_of(first)]


def test_a_text_can_hold_anything_but_a_line_end() -> None:
    assert quoted('the "second" \\ #1') == r'"the \"second\" \\ #1"'
    with pytest.raises(ValueError, match="line"):
        quoted("two\nlines")


ODD = ["\t", "\r", "\r\n", "\n", "\ufeff", "\x0c", "\x0b", "\u2028", "\u2029", "\x85", "\u00a0", "\u200b", "\u202e"]
ODD += ['"', "\\", "#", ",", "(", ")", "0", ":", "-", " by ", " to ", "é", "\U0001f600", "\ud800", "Е", "²"]  # noqa: RUF001 - a Cyrillic letter


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """An example with some of its characters or lines cut, doubled, swapped or put in place of others."""
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(text)))
        length = draw(st.integers(0, 40))
        match draw(st.sampled_from(["cut", "double", "insert", "line", "swap", "ends"])):
            case "cut":
                text = text[:at] + text[at + length :]
            case "double":
                text = text[: at + length] + text[at:]
            case "insert":
                text = text[:at] + draw(st.sampled_from(ODD)) + text[at:]
            case "line":
                lines = text.split("\n")
                lines.insert(at % (len(lines) + 1), lines[length % len(lines)])
                text = "\n".join(lines)
            case "swap":
                text = text[:at] + text[at : at + 2][::-1] + text[at + 2 :]
            case _:
                text = text.replace("\n", draw(st.sampled_from(["\r\n", "\r", "\n\n", "\n\t"])), length)
    return text


def check_any(text: str) -> None:
    source = source_of_text(text)
    assert not isinstance(source, Problem)
    document = read_document(source)
    assert write(document) == text
    numbers = [line.number for entry in document.entries for line in entry.lines]
    assert numbers == list(range(1, len(source.lines) + 1))
    for each in document.reported:
        place = each.entry.place(each.event.start, each.event.end)
        line = source.lines[place.line - 1]
        assert 1 <= place.column <= len(line.text) + 1
        assert (place.line, place.column) <= (place.end_line, place.end_column)


@given(st.text())
def test_any_text_is_read_and_written_back(text: str) -> None:
    check_any(text)


PIECES = [*' \t\n\r"\\#,.:-()0159%/', "PEEP", "cmH2O", "FiO2", "settings", "rate", "allow", "up to", *ODD]


@given(st.sampled_from(list(vocabulary().sections)), st.lists(st.sampled_from(PIECES)).map("".join))
def test_text_of_the_notations_own_pieces_is_read_and_written_back(section: str, text: str) -> None:
    check_any(f'prescription "x"\n{section}\n  {text}')


@given(mutated())
def test_a_spoilt_example_is_read_and_written_back(text: str) -> None:
    check_any(text)


@given(documents(), st.sampled_from(["\n", "\r\n"]), st.booleans())
def test_line_ends_and_a_byte_order_mark_change_nothing(made: tuple[NewSection, ...], end: str, mark: bool) -> None:
    text = ("\ufeff" if mark else "") + render_document(made).replace("\n", end)
    document = document_of(text)
    assert at_fault(document) == []
    assert without_places(sections_of(document)) == made
    assert write(document).encode() == text.encode()


@given(st.binary() | mutated().map(lambda text: text.encode("utf-8", "replace")), st.binary(max_size=3), st.integers(0))
def test_any_bytes_are_a_source_or_a_problem(data: bytes, odd: bytes, at: int) -> None:
    place = at % (len(data) + 1)
    source = read_source(data[:place] + odd + data[place:])
    if isinstance(source, Problem):
        assert source.message
    else:
        assert source.to_bytes() == data[:place] + odd + data[place:]
        read_document(source)
