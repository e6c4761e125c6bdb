"""The notation: lines to a lossless tree of statements with typed values, and one writer back to text.

Knows what a line says, not what it means for a patient.
"""

from rxlint.notation.document import period_name, read_document
from rxlint.notation.events import EVENTS, Event
from rxlint.notation.measures import Quantity
from rxlint.notation.statements import Statement
from rxlint.notation.tree import Block, Document, Entry, Place, Reported
from rxlint.notation.write import NewDetail, NewSection, render_document, render_statement, sections_of, write

__all__ = [
    "EVENTS",
    "Block",
    "Document",
    "Entry",
    "Event",
    "NewDetail",
    "NewSection",
    "Place",
    "Quantity",
    "Reported",
    "Statement",
    "period_name",
    "read_document",
    "render_document",
    "render_statement",
    "sections_of",
    "write",
]
