"""What a screening asked of the library around a document, kept beside its result so that it can be asked again.

A result holds as long as every question has the answer that it had: another document with the same id, a template that
was changed, a file that is gone each give another answer. Long answers are kept as digests.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

from rxlint.screening.head import Head
from rxlint.text import Problem

if TYPE_CHECKING:
    from rxlint.library.index import View
    from rxlint.screening.template import Template

Answer = bool | str | None
Trace = list[tuple[str, str, Answer]]
"""Questions with what they were asked about and their answers, each question once."""
_NONE: Final = ""  # the answer of an empty list: by far the commonest


class Recorded:
    """A library as seen from a document, which writes down what it is asked. A ``Shelf``."""

    def __init__(self, view: View) -> None:
        self._view = view
        self._asked: dict[tuple[str, str], Answer] = {}
        self.can_be_kept = True
        """Whether every answer can be had again: a template that could not be read may be there the next time."""

    @property
    def trace(self) -> Trace:
        """What was asked, and what was answered."""
        return [(question, about, told) for (question, about), told in self._asked.items()]

    def _ask(self, question: str, about: str = "") -> None:
        if (question, about) not in self._asked:
            self._asked[question, about] = answer(self._view, question, about)

    @property
    def is_searched(self) -> bool:
        """As of the library."""
        self._ask("is searched")
        return self._view.is_searched

    @property
    def is_library(self) -> bool:
        """As of the library."""
        self._ask("is library")
        return self._view.is_library

    @property
    def beyond(self) -> str:
        """As of the library."""
        self._ask("beyond")
        return self._view.beyond

    @property
    def problem(self) -> str | None:
        """As of the library."""
        self._ask("problem")
        return self._view.problem

    @property
    def unread(self) -> Sequence[str]:
        """As of the library."""
        self._ask("unread")
        return self._view.unread

    def heads(self, identifier: str) -> Sequence[Head]:
        """As of the library."""
        self._ask("heads", identifier)
        return self._view.heads(identifier)

    def template_ids(self) -> frozenset[str]:
        """As of the library."""
        self._ask("template ids")
        return self._view.template_ids()

    def followed_ids(self) -> frozenset[str]:
        """As of the library."""
        self._ask("followed ids")
        return self._view.followed_ids()

    def template(self, head: Head) -> Template | Problem:
        """As of the library."""
        found = self._view.template(head)
        self._ask("template", head.shown)
        if isinstance(found, Problem) or self._asked["template", head.shown] is None:
            self.can_be_kept = False
        return found


def holds(trace: Iterable[tuple[str, str, Answer]], view: View) -> bool:
    """Whether the library still gives every answer that it gave."""
    return all(answer(view, question, about) == told for question, about, told in trace)


def answer(view: View, question: str, about: str) -> Answer:
    """The answer to a question about a library as it is kept. Raises LookupError for a question that nobody asks."""
    match question:
        case "is searched":
            return view.is_searched
        case "is library":
            return view.is_library
        case "beyond":
            return view.beyond
        case "problem":
            return view.problem
        case "heads":
            return _digest([[h.shown, h.kind, h.id, h.revision, h.status, h.follows] for h in view.heads(about)])
        case "template":
            return view.template_mark(about)
        case "unread" | "template ids" | "followed ids":
            return _of_all(view, question)
        case _:
            raise LookupError(question)


def _of_all(view: View, question: str) -> str:
    """The digest of a long answer, which is the same for all documents of a library: worked out once in a run."""
    known = view.told.get(question)
    if known is None:
        if question == "unread":
            told = list(view.unread)
        else:
            told = sorted(view.template_ids() if question == "template ids" else view.followed_ids())
        known = view.told[question] = _digest(told)
    return known


def _digest(told: Sequence[object]) -> str:
    if not told:
        return _NONE
    return hashlib.sha256(json.dumps(told).encode("ascii")).hexdigest()[:40]
