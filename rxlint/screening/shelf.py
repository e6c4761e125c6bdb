"""The documents that stand beside the one that is screened, as its `follows` line may name them.

Where they come from is not decided here: from a folder of files, or from the texts of a case.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from rxlint.model.stated import Scope
from rxlint.notation import nodes as n
from rxlint.notation.document import read_document
from rxlint.notation.tree import Document
from rxlint.screening.head import Head
from rxlint.screening.template import Template
from rxlint.text import Problem, read_source

__all__ = ["Head", "Shelf", "TextShelf", "head_of", "head_of_scope"]


class Shelf(Protocol):
    """The documents of a library, as seen from one of them; that one is never among the others."""

    @property
    def is_searched(self) -> bool:
        """Whether the library as a whole is screened, so that what all its documents say together counts."""

    @property
    def is_library(self) -> bool:
        """Whether this is a library at all: what is not in a mere folder of files may well be where they came from."""

    @property
    def beyond(self) -> str:
        """Where what is not in the library may stand, and how to name that; empty where nothing is known of it."""

    @property
    def problem(self) -> str | None:
        """Why the library can't be searched at all; None where it can."""

    @property
    def unread(self) -> Sequence[str]:
        """The documents of which not even the head could be read."""

    def heads(self, identifier: str) -> Sequence[Head]:
        """The other documents with this identifier, in a fixed order."""

    def template_ids(self) -> frozenset[str]:
        """The identifiers of all templates of the library."""

    def followed_ids(self) -> frozenset[str]:
        """The identifiers that some document of the library follows."""

    def template(self, head: Head) -> Template | Problem:
        """What a document lays down for those that follow it; why that can't be read."""


def head_of(document: Document, shown: str) -> Head:
    """The head of a document that was read."""
    found: dict[str, object] = {}
    for block in document.blocks_of("head"):
        for entry in block.details:
            statement = entry.statement
            if statement is not None and statement.term is not None and statement.readable:
                found[statement.term.key] = statement.body
    return Head(shown, document.kind, **_said(found))  # type: ignore[arg-type]


def head_of_scope(document: Document, scope: Scope) -> Head:
    """The head of the document that a scope belongs to."""
    found = {key: each.statement.body for key, each in scope.by_key.items() if each.statement.readable}
    return Head("", document.kind, **_said(found))  # type: ignore[arg-type]


def _said(bodies: Mapping[str, object]) -> dict[str, object]:
    said: dict[str, object] = {}
    match bodies.get("document id"):
        case n.Phrase(text=identifier):
            said["id"] = identifier
    match bodies.get("document revision"):
        case n.Part(number=number):
            said["revision"] = int(number)
    match bodies.get("document status"):
        case n.Words(alternatives=[[status, *_], *_]):
            said["status"] = status.text
    match bodies.get("document follows"):
        case n.Link(id=named, revision=revision):
            said["follows"] = (named.text, int(revision.number))
    return said


class TextShelf:
    """A library of texts by name, as a case gives them, seen from the one with the name ``own``."""

    def __init__(self, texts: Mapping[str, str], own: str) -> None:
        self._documents: dict[Head, Document] = {}
        self._unread: list[str] = []
        for name, text in texts.items():
            if name == own:
                continue
            source = read_source(text.encode("utf-8"))
            if isinstance(source, Problem):
                self._unread.append(name)
            else:
                document = read_document(source)
                self._documents[head_of(document, name)] = document

    @property
    def is_searched(self) -> bool:
        """A case's library is always the whole one."""
        return True

    @property
    def is_library(self) -> bool:
        """A case with a library has one."""
        return True

    @property
    def beyond(self) -> str:
        """Nothing lies beyond a case."""
        return ""

    @property
    def problem(self) -> None:
        """It can always be searched."""

    @property
    def unread(self) -> Sequence[str]:
        """The texts that are no documents."""
        return self._unread

    def heads(self, identifier: str) -> Sequence[Head]:
        """The other documents with this identifier."""
        return [head for head in self._documents if head.id == identifier]

    def template_ids(self) -> frozenset[str]:
        """The identifiers of the other templates."""
        return frozenset(head.id for head in self._documents if head.kind == "template" and head.id is not None)

    def followed_ids(self) -> frozenset[str]:
        """The identifiers that the others follow."""
        return frozenset(head.follows[0] for head in self._documents if head.follows is not None)

    def template(self, head: Head) -> Template | Problem:
        """What a document lays down."""
        return Template(self._documents[head], head.shown)
