"""The words of the notation, as data: sections, terms, slots, items, modes, and the tries that join words into phrases.

What a value is and whether it makes sense is not decided here.
"""

from rxlint.vocabulary.load import vocabulary
from rxlint.vocabulary.phrases import (
    EMPTY_TRIE,
    Chunk,
    PhraseInput,
    PhraseLexer,
    PhraseTrie,
    Unexpected,
    chunks_of,
    where_it_stopped,
)
from rxlint.vocabulary.terms import ItemSet, Mode, Section, Slot, Term, Vocabulary

__all__ = [
    "EMPTY_TRIE",
    "Chunk",
    "ItemSet",
    "Mode",
    "PhraseInput",
    "PhraseLexer",
    "PhraseTrie",
    "Section",
    "Slot",
    "Term",
    "Unexpected",
    "Vocabulary",
    "chunks_of",
    "vocabulary",
    "where_it_stopped",
]
