"""A line in which somebody may answer for a finding. It holds only once reason and role are written, which is nobody
else's to do: both are left empty, and an acceptance without them is found itself.
"""

from __future__ import annotations

import datetime
from typing import Final

from rxlint.editor.actions_insert import Addition, at_end, new_section
from rxlint.editor.snapshot import Snapshot
from rxlint.model.stated import periods_of
from rxlint.notation import nodes as n
from rxlint.notation.statements import Statement, read_detail
from rxlint.notation.tree import Document, Entry
from rxlint.screening.acceptances import why_never
from rxlint.screening.finding import Finding

_SECTION: Final = "accepted"
_BOUND: Final = ("reference", "basis")  # the qualifiers that an accepted value takes


def acceptance(snapshot: Snapshot, finding: Finding) -> Addition | None:
    """The line that would accept a finding; None where it may not be accepted, or is already."""
    document = snapshot.document
    rule = next((each for each in snapshot.rules.all_rules if each.id == finding.rule), None)
    if document is None or rule is None or finding.acceptance is not None or finding.place.file is not None:
        return None
    if document.kind not in ("prescription", "template") or why_never(rule, snapshot.rules) is not None:
        return None
    line = _line(snapshot, document, finding)
    if line is None:
        return None
    blocks = document.blocks_of(_SECTION)
    edit = at_end(document, blocks[-1], [line]) if blocks else new_section(document, _SECTION, [line])
    if edit is None:
        return None
    return Addition(f"add a line that would accept {finding.rule}, its reason and role left blank", edit)


def _line(snapshot: Snapshot, document: Document, finding: Finding) -> str | None:
    """The line as precise as it can be, with term, value and period; with less where that would not read."""
    until = f'until {_until(snapshot, document).isoformat()} because "" by ""'
    term, value = _what(document, finding)
    several = len(periods_of(document)) > 1
    period = f" in {finding.period}" if finding.period is not None and several else ""
    wholes = [f" on {term} at {value}{period}"] if term and value else []
    wholes += [f" on {term}{period}"] if term else []
    wholes += [period, ""]
    for whole in wholes:
        line = f"accept {finding.rule}{whole} {until}"
        if _reads(read_detail(_SECTION, f"  {line}")):
            return line
    return None


def _reads(statement: Statement) -> bool:
    return statement.readable and not statement.events and isinstance(statement.body, n.Accept)


def _what(document: Document, finding: Finding) -> tuple[str | None, str | None]:
    """The term of the line where a finding stands, and its value where it is a single one."""
    entry = next((each for block in document.blocks for each in block.details if _is_on(each, finding)), None)
    statement = entry.statement if entry is not None else None
    if entry is None or statement is None or statement.term is None:
        return None, None
    body = statement.body
    if not isinstance(body, n.Measure) or not statement.readable or body.value.kind != "exact":
        return statement.term.phrase, None
    bound = [each for each in body.qualifiers if each.kind in _BOUND]
    words = [f"above {each.word}" if each.kind == "reference" else f"of {each.word}" for each in bound]
    told = " ".join(entry.text[body.value.start : body.value.end].split())
    return statement.term.phrase, " ".join([told, *words])


def _is_on(entry: Entry, finding: Finding) -> bool:
    return any(line.number == finding.place.line for line in (*entry.lines, *(row.lines[0] for row in entry.rows)))


def _until(snapshot: Snapshot, document: Document) -> datetime.date:
    """The day of the document's own review where that lies ahead, else today: no longer than was said already."""
    for block in document.blocks_of("head"):
        for entry in block.details:
            statement = entry.statement
            if statement is not None and statement.term is not None and statement.term.key == "document review by":
                body = statement.body
                if isinstance(body, n.Moment) and statement.readable:
                    return max(datetime.date.fromisoformat(body.date), snapshot.day)
    return snapshot.day
