"""Screens documents one after another: bytes to findings, with every input accounted for."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from rxlint.library.discover import Input, read_bytes
from rxlint.library.rulings import Ruling, Rulings
from rxlint.library.settings import Settings
from rxlint.model.stated import periods_of, too_many_scopes
from rxlint.notation import nodes as n
from rxlint.notation.document import read_document
from rxlint.notation.join import join
from rxlint.notation.tree import Document
from rxlint.packs.stack import PolicyUse
from rxlint.screening.acceptances import too_many_acceptances
from rxlint.screening.engine import Screening, screen_document
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.shelf import Shelf
from rxlint.text import Problem, read_source


@dataclass(frozen=True, slots=True)
class Screened:
    """An input with what became of it: problems where it could not be read, else its screening.

    ``policies`` and ``settings`` are those it was screened under; ``misconfigured`` says that a fault in its settings
    kept it from being screened. ``beside`` is the order that readings were screened with.
    """

    shown: str
    problems: tuple[Problem, ...]
    document: Document | None
    screening: Screening | None
    policies: tuple[PolicyUse, ...] = ()
    settings: Settings | None = None
    misconfigured: bool = False
    beside: Screened | None = None

    @property
    def kind(self) -> str | None:
        """Prescription or template, where its first line says so."""
        return self.document.kind if self.document is not None else None

    @property
    def id(self) -> str | None:
        """The document's identifier, where it states one."""
        return document_id(self.document) if self.document is not None else None

    @property
    def has_periods(self) -> bool:
        """Whether the order has more than one period."""
        whole = (self.beside or self).document
        return whole is not None and len(periods_of(whole)) > 1

    @property
    def is_beside(self) -> bool:
        """Whether these are readings that were screened with an order."""
        return self.beside is not None

    @property
    def texts(self) -> Mapping[tuple[str | None, int], str]:
        """The lines of the document, and of the files that were screened with it, by file (None: itself) and number."""
        sources: dict[str | None, Document] = {None: self.document} if self.document is not None else {}
        order = self.beside or self
        if order.document is not None and order.document.joined:
            sources |= {each.file: each.document for each in order.document.joined}
        if self.beside is not None and order.document is not None:
            sources[order.shown] = order.document
        return {(file, line.number): line.text for file, document in sources.items() for line in document.source.lines}


def document_id(document: Document) -> str | None:
    """The identifier that a document states."""
    for block in document.blocks_of("head"):
        for detail in block.details:
            statement = detail.statement
            if statement is not None and statement.term is not None and statement.term.key == "document id":
                return statement.body.text if isinstance(statement.body, n.Phrase) else None
    return None


def screen_inputs(
    inputs: Iterable[Input], rules: RuleSet | Rulings, today: datetime.date | None = None
) -> Iterator[Screened]:
    """Screen every input, each under the rules of its folder; one that can't be read has its problem in its place."""
    for each in inputs:
        if each.problem is not None or each.path is None:
            yield unread(each)
            continue
        if isinstance(rules, RuleSet):
            yield screen_under(Ruling(rules), each.shown, read_bytes(each.path), today, each.path)
            continue
        ruling, shelf = rules.of_folder(each.path.parent), rules.library(each.path, each.searched)
        yield screen_under(ruling, each.shown, read_bytes(each.path), today, each.path, shelf=shelf)


def unread(given: Input) -> Screened:
    """An input that there is nothing to read of."""
    return Screened(given.shown, (given.problem or Problem("is not there"),), None, None)


def screen_under(
    ruling: Ruling,
    shown: str,
    data: bytes | Problem,
    today: datetime.date | None = None,
    path: Path | None = None,
    beside: Sequence[tuple[str, Document]] = (),
    shelf: Shelf | None = None,
) -> Screened:
    """Screen what was read of an input under what holds for its folder; findings known of its ``path`` are marked.

    ``beside`` are files of readings that are read as if they stood in it, ``shelf`` is the library that it stands in.
    """
    if isinstance(data, Problem):
        return Screened(shown, (data,), None, None)
    if ruling.rules is None:
        return Screened(shown, ruling.problems, None, None, settings=ruling.settings, misconfigured=True)
    screened = screen_bytes(shown, data, ruling.rules, today, beside, shelf)
    screening = screened.screening
    if ruling.known is not None and path is not None and screening is not None:
        screening = ruling.known.mark(screening, path)
    return replace(screened, screening=screening, policies=ruling.rules.policies, settings=ruling.settings)


def screen_bytes(
    shown: str,
    data: bytes,
    rules: RuleSet,
    today: datetime.date | None = None,
    beside: Sequence[tuple[str, Document]] = (),
    shelf: Shelf | None = None,
) -> Screened:
    """Screen a document's bytes under a name."""
    try:
        document = parse_bytes(data)
        if isinstance(document, Problem):
            return Screened(shown, (document,), None, None)
        document = join(document, beside)
        return Screened(shown, (), document, screen_document(document, rules, today, shelf))
    except Exception as error:  # a fault of ours in one file must neither hide the others nor look clean
        told = f"could not be screened, through a fault of this program: {type(error).__name__}: {error}"
        return Screened(shown, (Problem(told),), None, None)


def parse_bytes(data: bytes) -> Document | Problem:
    """The document in some bytes, or why there is none."""
    source = read_source(data)
    if isinstance(source, Problem):
        return source
    if not any(line.text.strip() for line in source.lines):
        return Problem("the file is empty: it holds no document")
    document = read_document(source)
    if all(entry.kind == "blank" for entry in document.entries):
        return Problem("the file holds no document: blank lines and comments alone")
    return too_many_scopes(document) or too_many_acceptances(document) or document
