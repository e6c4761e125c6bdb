"""The first part of a sheet: who and what, the order's lines as written, and what to tick. It holds no answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from rxlint.model.sets import stated_identity
from rxlint.notation import nodes as n
from rxlint.notation.render import render_body, render_heading
from rxlint.notation.tree import Block, Document, Entry
from rxlint.reports.sheet.rows import BlankGroup, Fact, FactSection, OwnCheck, TickList

# The head is told as the identity. What is accepted names findings, and so belongs behind the checker's own sums.
_LEFT_OUT: Final = frozenset({"head", "accepted", "checked"})
_HEAD: Final = (
    ("document status", "Status"),
    ("document written", "Written"),
    ("document approved", "Approved"),
    ("document follows", "Follows the template"),
    ("document replaces", "Replaces"),
    ("document review by", "Review by"),
    ("document valid until", "Valid until"),
)
_PATIENT: Final = (
    ("patient age", "Age"),
    ("patient height", "Height"),
    ("patient weight", "Weight"),
)
NOT_STATED: Final = "not stated"
_LISTED: Final = {"monitoring": "What watches the patient", "equipment": "What is at hand"}
_TICKED: Final = {
    "assembly": ("Parts from ventilator to patient", True),
    "expiratory limb": ("Parts from Y-piece to ventilator", True),
}
_STATES: Final = ("interface", "tube size", "cuff", "cuff pressure", "oxygen inlet", "humidification",
                  "humidifier temperature", "nebuliser", "ventilator")  # fmt: skip


def own_check(document: Document, sums: tuple[BlankGroup, ...]) -> OwnCheck:
    """The first part of a document's sheet."""
    return OwnCheck(
        identity=tuple(_identity(document)),
        sections=tuple(_section(block) for block in document.blocks if block.section not in _LEFT_OUT),
        sums=sums,
        ticks=tuple(_ticks(document)),
        unread=tuple(_unread(document)),
        has_acceptances=bool(document.blocks_of("accepted")),
        for_patient=document.kind == "prescription",
    )


# ---- identity


def identity_name(document: Document, shown: str) -> str:
    """What a document is called on every page."""
    name, revision = stated_identity(document)
    return f"{name or shown}, {f'revision {revision}' if revision is not None else 'no revision stated'}"


def _identity(document: Document) -> Iterator[tuple[str, str]]:
    name, revision = stated_identity(document)
    is_template = document.kind == "template"
    yield ("Document id" if is_template else "Patient's pseudonym (document id)"), name or NOT_STATED
    yield "Revision", str(revision) if revision is not None else NOT_STATED
    stated = dict(_stated(document))
    for key, label in _HEAD:
        if key in stated:
            yield label, stated[key]
        elif key in ("document status", "document written") or (key == "document follows" and not is_template):
            yield label, NOT_STATED
    for key, label in _PATIENT:  # what is stated stands among the order's lines, right below
        if key not in stated:
            yield label, NOT_STATED
    for block in document.blocks_of("checked"):
        yield "Checked before", _after_word(block.entry)


def _stated(document: Document) -> Iterator[tuple[str, str]]:
    """What the head and the facts of the patient say, as written, by key; a line that stands twice, both times."""
    found: dict[str, list[str]] = {}
    for section in ("head", "patient"):
        for block in document.blocks_of(section):
            for entry in block.details:
                statement = entry.statement
                if statement is not None and statement.term is not None:
                    found.setdefault(statement.term.key, []).append(_value(entry))
    return ((key, " / and again: ".join(values)) for key, values in found.items())


def _after_word(entry: Entry) -> str:
    return " ".join(entry.text.split()).partition(" ")[2] or NOT_STATED


# ---- the order's lines


def _section(block: Block) -> FactSection:
    heading = " ".join(block.entry.text.split())
    facts = tuple(_fact(entry) for entry in block.details)
    return FactSection(heading, block.entry.lines[0].number, facts, block.section == "readings")


def _fact(entry: Entry) -> Fact:
    statement = entry.statement
    rows = tuple(_row(row) for row in entry.rows)
    line = entry.lines[0].number
    readable = statement is not None and statement.readable and all(_is_read(row) for row in entry.rows)
    if statement is None or statement.term is None:
        return Fact("", " ".join(entry.text.split()), line, rows, readable)
    return Fact(_written_term(entry), _value(entry), line, rows, readable)


def _is_read(row: Entry) -> bool:
    return row.statement is not None and row.statement.readable


def _written_term(entry: Entry) -> str:
    assert entry.statement is not None
    start, end = entry.statement.phrase
    return " ".join(entry.text[start:end].split())


def _value(entry: Entry) -> str:
    """What stands after a line's term, as written."""
    after = entry.statement.phrase[1] if entry.statement is not None else 0
    return " ".join(entry.text[after:].split())


def _row(entry: Entry) -> tuple[str, str]:
    body = entry.statement.body if entry.statement is not None else None
    text = " ".join(entry.text.split())
    if isinstance(body, n.Row):
        cut = body.key.end
        return " ".join(entry.text[:cut].split()), " ".join(entry.text[cut:].split())
    return text, ""


def _unread(document: Document) -> Iterator[tuple[int, str]]:
    """The lines of which nothing, or not all, could be read, as they stand."""
    for entry in document.entries:
        bad = entry.kind == "unread" or (
            entry.kind in ("detail", "row") and (entry.statement is None or not entry.statement.readable)
        )
        bad = bad or (entry.kind == "heading" and entry.heading is None)
        if bad:
            yield from ((line.number, line.text) for line in entry.lines)


# ---- what to tick


def _ticks(document: Document) -> Iterator[TickList]:
    several = len({_period(block) for block in document.blocks_of("circuit")}) > 1
    for section in ("airway", "circuit"):
        for block in document.blocks_of(section):
            where = f", {_period(block)}" if several or _period(block) else ""
            yield from _of_block(block, where)
    for section, heading in _LISTED.items():
        for block in document.blocks_of(section):
            items = tuple(item for entry in block.details for item in _items(entry))
            if items:
                yield TickList(heading + (f", {_period(block)}" if _period(block) else ""), items)


def _of_block(block: Block, where: str) -> Iterator[TickList]:
    """The parts of a circuit in their order, and the states that can be looked at."""
    states: list[str] = []
    for entry in block.details:
        statement = entry.statement
        key = statement.term.key if statement is not None and statement.term is not None else ""
        if key in _TICKED:
            heading, ordered = _TICKED[key]
            read = statement is not None and statement.readable
            yield TickList(heading + where + ("" if read else ": could not be read"), _items(entry), ordered and read)
        elif key in _STATES:
            states.append(f"{_written_term(entry)} {_value(entry)}")
    if states:
        yield TickList(
            f"{'On the patient' if block.section == 'airway' else 'At the ventilator'}{where}", tuple(states)
        )


def _items(entry: Entry) -> tuple[str, ...]:
    """The items of a list, each with its amount; the line as it stands where it could not be read."""
    statement = entry.statement
    body = statement.body if statement is not None else None
    if statement is not None and statement.readable and isinstance(body, n.Items):
        return tuple(render_body(n.Items((item,)), None) for item in body.items)
    return (_value(entry),)


def _period(block: Block) -> str:
    """The period of a section, as its heading tells it."""
    if block.heading is None:
        return ""
    return render_heading(block.heading).removeprefix(block.heading.section).strip()


def has_parts(ticks: Sequence[TickList]) -> bool:
    """Whether an order of parts is among what is to be ticked."""
    return any(each.ordered for each in ticks)
