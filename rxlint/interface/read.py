"""Reading for Python programs: what a document says, and what follows from it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from rxlint.interface.options import bytes_of
from rxlint.interface.results import Derived, DerivedValue, Parsed, Quantity, Statement
from rxlint.interface.rules import make_terms_once
from rxlint.library.screen import document_id, parse_bytes
from rxlint.notation import nodes as n
from rxlint.notation.document import period_name
from rxlint.notation.measures import Quantity as Measured
from rxlint.notation.render import render_body, render_heading, render_row
from rxlint.notation.statements import Statement as ReadStatement
from rxlint.notation.tree import Block, Document, Entry
from rxlint.screening.derived_values import Value, values_of
from rxlint.text import Problem
from rxlint.units import Unit


def parse(text: str | bytes) -> Parsed:
    """Read what a document says, line by line, without judging it.

    Raises OptionError for what is no text, and for nothing that the text may say.
    """
    data = bytes_of(text)
    make_terms_once()
    try:
        document = parse_bytes(data)
        if isinstance(document, Problem):
            return Parsed(None, None, None, (document,), ())
        return Parsed(document.kind, document_id(document), document.title, (), tuple(_statements(document)))
    except Exception as error:  # a fault of ours is told, and does not end the caller's run
        return Parsed(None, None, None, (_fault("read", error),), ())


def derive(text: str | bytes) -> Derived:
    """Work out every value that follows from a document: for each period, band and set of readings.

    Raises OptionError for what is no text, and for nothing that the text may say.
    """
    data = bytes_of(text)
    make_terms_once()
    try:
        document = parse_bytes(data)
        if isinstance(document, Problem):
            return Derived(None, None, (document,), ())
        return Derived(document.kind, document_id(document), (), tuple(map(_value, values_of(document))))
    except Exception as error:  # as above
        return Derived(None, None, (_fault("worked out", error),), ())


def _fault(what: str, error: Exception) -> Problem:
    return Problem(f"could not be {what}, through a fault of this program: {type(error).__name__}: {error}")


def _value(value: Value) -> DerivedValue:
    return DerivedValue(
        value.term,
        _in(value.low, value.unit),
        _in(value.high, value.unit),
        value.unit.symbol,
        value.told,
        value.formula,
        value.numbers,
        value.source,
        value.means,
        value.period,
        value.band,
        value.readings,
    )


def _in(number: Fraction, unit: Unit) -> Fraction:
    return number / unit.factor


def _statements(document: Document) -> Iterator[Statement]:
    blocks = {block.entry.lines[0].number: block for block in document.blocks}
    block: Block | None = None
    for entry in document.entries:
        if entry.kind == "blank":
            continue
        if entry.kind in ("document", "heading"):
            block = blocks.get(entry.lines[0].number)
        yield _heading(entry, block) if entry.kind in ("document", "heading") else _detail(entry, block)


def _heading(entry: Entry, block: Block | None) -> Statement:
    heading = entry.heading
    value = render_heading(heading) if heading is not None else None
    is_read = block is not None and block.readable
    return _statement(entry, block, None, value, None, is_read)


def _detail(entry: Entry, block: Block | None) -> Statement:
    statement = entry.statement
    if statement is None:
        return _statement(entry, block if entry.kind != "unread" else None, None, None, None, False)
    term = statement.term.phrase if statement.term is not None else None
    is_read = statement.readable and statement.body is not None
    return _statement(entry, block, term, _spelled(statement) if is_read else None, _quantity(statement), is_read)


def _spelled(statement: ReadStatement) -> str | None:
    match statement.body:
        case None:
            return None
        case n.Row():
            return " ".join(render_row(statement.body))
        case body:
            return render_body(body, statement.term)


def _quantity(statement: ReadStatement) -> Quantity | None:
    measured = statement.values.get("") if statement.readable else None
    return _told(measured) if measured is not None else None


def _told(measured: Measured) -> Quantity:
    unit, allowed = measured.unit, measured.allowed
    return Quantity(
        measured.kind,
        tuple(_in(each, unit) for each in measured.points),
        unit.symbol,
        measured.reference,
        measured.basis,
        (_in(allowed[0], unit), _in(allowed[1], unit)) if allowed is not None else None,
    )


def _statement(
    entry: Entry, block: Block | None, term: str | None, value: str | None, quantity: Quantity | None, is_read: bool
) -> Statement:
    assert entry.kind != "blank"
    return Statement(
        entry.kind,
        block.section if block is not None else None,
        period_name(block) if block is not None else None,
        term,
        value,
        quantity,
        " ".join(entry.text.split()),
        entry.whole(),
        is_read,
    )
