"""Bytes to lines: decoding, limits, line ends, and the hazards of single characters.

Knows nothing of the notation's words. Positions are code points from 0 within a line; reports count from 1.
"""

from rxlint.text.characters import Hazard, code_of, hazards_of, repair_letters
from rxlint.text.source import (
    MAX_BYTES,
    MAX_LINE,
    MAX_LINES,
    Line,
    Problem,
    Source,
    printable,
    read_source,
    source_of_text,
)

__all__ = [
    "MAX_BYTES",
    "MAX_LINE",
    "MAX_LINES",
    "Hazard",
    "Line",
    "Problem",
    "Source",
    "code_of",
    "hazards_of",
    "printable",
    "read_source",
    "repair_letters",
    "source_of_text",
]
