"""A prescription as requests in HL7 FHIR R5: one DeviceRequest for each of its periods, in a Bundle.

A request states what holds in its period: what the order says always, and over it what it says of that period. What no
element and no parameter can say stands in a note, line by line; nothing of an order is left out. No extensions.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from rxlint.exchange.fhir_head import elements_of
from rxlint.exchange.fhir_parameters import SECTIONS, back_up_delay, lines_of, parameters_of
from rxlint.exchange.fhir_timing import period_text
from rxlint.exchange.fhir_values import Element
from rxlint.exchange.pretty import pretty
from rxlint.model.stated import REPEATED_FORMS, Scope, key_of, scopes_of
from rxlint.notation import nodes as n
from rxlint.notation.tree import Document, Entry
from rxlint.text import code_of

CAUTION: Final = (
    "Made by rxlint from a prescription that is kept as plain text. This resource approves nothing: the order itself, "
    "local policy and licensed clinicians decide."
)
_IDS: Final = uuid.UUID("6f0f2c6e-5f5b-4d1e-9a3c-2b0e5a7d9c41")  # our own namespace for version 5 identifiers
_ALONE: Final = frozenset({"prescription", "checked", "readings", "readings for"})  # headings that say something alone
_SAYS: Final = ("detail", "row", "unread")


@dataclass(frozen=True, slots=True)
class Options:
    """What the order does not say and an exchange needs.

    ``subject`` is the patient's pseudonym; ``canonical_base`` stands before a template's identifier to make its URL;
    ``screened`` tells what a screening came to and ``stands`` the findings that stand, a line each; ``rejected`` says
    that by one of them the order must not be used as written.
    """

    subject: str | None = None
    canonical_base: str = ""
    screened: str = ""
    stands: tuple[str, ...] = ()
    rejected: bool = False


@dataclass(frozen=True, slots=True)
class FhirExport:
    """The Bundle as text, how many requests it has, and what became of the lines that state something, by number.

    A line may be an element and stand in a note as well, where the element says only a part of it; headings are among
    them where they say something. ``comments`` is how many comments there are, none of which is told.
    """

    text: str
    requests: int
    parameters: frozenset[int]
    elements: frozenset[int]
    noted: frozenset[int]
    comments: int


@dataclass(slots=True)
class _Draft:
    """A request while it is made. Lines by their numbers: ``overruled`` are those that its period says otherwise."""

    scope: Scope
    parameters: list[Element] = field(default_factory=list)
    parameter_lines: set[int] = field(default_factory=set)
    overruled: set[int] = field(default_factory=set)
    own: set[int] = field(default_factory=set)


def export_fhir(document: Document, options: Options) -> FhirExport:
    """The Bundle of a prescription. Raises ValueError for what is no request for a patient."""
    if document.kind != "prescription":
        what = {"template": "a template", "readings": "a file of readings"}.get(document.kind or "", "no prescription")
        raise ValueError(f"is {what}, and a DeviceRequest asks for one patient's device; --to json takes any document")
    drafts = [_draft(scope) for scope in scopes_of(document) if scope.readings is None]
    in_force = {number for draft in drafts for number in draft.own - draft.overruled}
    somewhere = {number for draft in drafts for number in draft.own}
    requests: list[Element] = []
    elements: set[int] = set()
    noted: set[int] = set()
    for draft in drafts:
        head = elements_of(draft.scope, options.subject, options.canonical_base, rejected=options.rejected)
        elsewhere = (somewhere - draft.own) | (draft.overruled & in_force)
        left_out = draft.parameter_lines | (head.lines - head.partly) | elsewhere
        notes, lines = _notes(document, left_out, elsewhere, head.period)
        noted |= lines
        elements |= head.lines
        requests.append(_request(draft, head.found, notes, options))
    entries = [{"fullUrl": f"urn:uuid:{uuid.uuid5(_IDS, pretty(each))}", "resource": each} for each in requests]
    bundle: Element = {"resourceType": "Bundle", "type": "collection", "entry": entries}
    return FhirExport(
        pretty(bundle),
        len(requests),
        frozenset(number for draft in drafts for number in draft.parameter_lines),
        frozenset(elements),
        frozenset(noted),
        sum(bool(line.text[code_of(line.text) :].strip()) for entry in document.entries for line in entry.lines),
    )


def _draft(scope: Scope) -> _Draft:
    draft = _Draft(scope)
    for block in scope.blocks:
        draft.own.add(_number(block.entry))
        delay = block.heading.delay if block.heading is not None else None
        if delay is not None:
            draft.parameters.append(back_up_delay(delay))
            draft.parameter_lines.add(_number(block.entry))
        for entry in block.details:
            lines = {_number(each) for each in (entry, *entry.rows)}
            draft.own |= lines
            key = key_of(block, entry.statement) if entry.statement is not None else None
            if not _is_in_force(scope, key, entry):
                draft.overruled |= lines
            elif block.section in SECTIONS and key not in scope.repeated:
                _take(draft, entry)
    return draft


def _is_in_force(scope: Scope, key: str | None, entry: Entry) -> bool:
    """Whether a statement holds in a period, and is not overruled by another of the same term."""
    statement = entry.statement
    if key is None or key in scope.repeated or statement is None:
        return True  # of a term that stands twice nobody knows which holds: both are told
    stated = scope.by_key.get(key)
    if stated is None or (statement.term is not None and statement.term.form in REPEATED_FORMS):
        return True
    return stated.entry is entry


def _take(draft: _Draft, entry: Entry) -> None:
    """A statement as parameters. The head of a table is told by each of its rows."""
    found = parameters_of(entry)
    if not found:
        return
    draft.parameters += found
    readable = (row for row in entry.rows if row.statement is not None and row.statement.readable)
    draft.parameter_lines |= {_number(each) for each in (entry, *readable)}


def _request(draft: _Draft, head: Element, notes: Sequence[str], options: Options) -> Element:
    first = ["NOT TO BE USED AS WRITTEN: findings to reject stand at this order."] if options.rejected else []
    first.append(CAUTION)
    if options.screened:
        first.append("\n".join([options.screened, *([""] if options.stands else []), *map(_as_code, options.stands)]))
    parameters: Element = {"parameter": draft.parameters} if draft.parameters else {}
    return {
        "resourceType": "DeviceRequest",
        **head,
        **parameters,
        "note": [{"text": text} for text in (*first, *notes)],
    }


# ---- notes


def _notes(
    document: Document, left_out: set[int], elsewhere: set[int], period: n.Period | None
) -> tuple[list[str], set[int]]:
    """The lines of an order that nothing else tells, section by section, and their numbers.

    They stand as a block of code, so that nothing in them is taken for mark-up. ``period`` is told by the timing.
    """
    notes: list[str] = []
    noted: set[int] = set()
    told: list[str] = []
    says = False

    def close() -> None:
        if says:
            notes.append("\n".join(map(_as_code, told)))

    for entry in document.entries:
        number = _number(entry)
        if entry.kind in ("document", "heading"):
            close()
            told = lines_of(entry)
            says = number not in elsewhere and _says_alone(entry.heading, period)
            if says:
                noted.add(number)
        elif entry.kind in _SAYS and number not in left_out:
            told += [f"{'    ' if entry.kind == 'row' else '  '}{line}" for line in lines_of(entry)]
            noted.add(number)
            says = True
    close()
    return notes, noted


def _says_alone(heading: n.Heading | None, period: n.Period | None) -> bool:
    """Whether a heading says something that would be lost without a line under it."""
    if heading is None or heading.section in _ALONE:
        return True
    own = heading.period
    return (
        own is not None
        and period is not None
        and bool(own.windows or own.up_to)
        and period_text(own) != period_text(period)
    )


def _as_code(line: str) -> str:
    """A line of a block of code in Markdown."""
    return f"    {line}"


def _number(entry: Entry) -> int:
    return entry.lines[0].number
