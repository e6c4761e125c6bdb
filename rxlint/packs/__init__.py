"""Rule packs: YAML to checked, typed rules. A pack is data: loading one runs no code of it.

What a rule finds in a document is decided in ``screening``.
"""

from rxlint.packs.found_by import EVENTS
from rxlint.packs.load import load_pack, load_text
from rxlint.packs.pack import (
    BASES,
    LEVELS,
    Basis,
    Case,
    Correction,
    Defined,
    Level,
    Message,
    Origin,
    Pack,
    PackProblem,
    Rule,
    Slot,
    Stricter,
)

__all__ = [
    "BASES",
    "EVENTS",
    "LEVELS",
    "Basis",
    "Case",
    "Correction",
    "Defined",
    "Level",
    "Message",
    "Origin",
    "Pack",
    "PackProblem",
    "Rule",
    "Slot",
    "Stricter",
    "load_pack",
    "load_text",
]
