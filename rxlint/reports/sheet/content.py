"""A screened document as the rows of its sheet. Pure: the same document, rules and day give the same rows."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from rxlint import __version__
from rxlint.library.comparing import Compared
from rxlint.library.screen import Screened
from rxlint.model.facts import Facts, facts_of
from rxlint.notation import nodes as n
from rxlint.notation.render import render_body
from rxlint.notation.tree import Document
from rxlint.packs import Defined
from rxlint.reports.sheet.content_changes import changes_of, setup_of
from rxlint.reports.sheet.content_findings import findings_of, is_cut, raw_lines, text_lines
from rxlint.reports.sheet.content_limits import Beside, tables_of
from rxlint.reports.sheet.content_own import identity_name, own_check
from rxlint.reports.sheet.content_parts import Part, parts_of
from rxlint.reports.sheet.content_pictures import pictures_of
from rxlint.reports.sheet.content_sums import Sums, sums_of
from rxlint.reports.sheet.content_values import coverage_of, derived_values
from rxlint.reports.sheet.rows import (
    About,
    Circuit,
    Findings,
    OwnCheck,
    PartsRow,
    Pictures,
    Section,
    SetUpRows,
    Sheet,
)
from rxlint.reports.text import policies_told
from rxlint.screening.follows import Followed, resolve
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.shelf import Shelf

_KINDS: Final = {"prescription": "Prescription", "template": "Template", "readings": "Readings"}
_NO_READING: Final = "The document could not be read."


@dataclass(frozen=True, slots=True)
class Given:
    """What a sheet is made with besides the screened document.

    ``data`` are the file's bytes, to be shown where they are no document; ``compared`` is the document against an
    earlier revision, ``unchanged_since`` the name of one that it is the same as.
    """

    rules: RuleSet | None
    day: datetime.date
    shelf: Shelf | None = None
    data: bytes | None = None
    ventilator: str | None = None
    compared: Compared | None = None
    unchanged_since: str | None = None
    version: str = __version__


def sheet_of(screened: Screened, given: Given) -> Sheet:
    """The rows of a sheet. Raises NoList where a ventilator is asked for that there is no profile of."""
    document = screened.document
    if document is None or screened.screening is None or given.rules is None:
        return _unread(screened, given)
    rules = given.rules
    scopes = _scopes(document, rules.defined, given.day)
    parts = parts_of(scopes)
    sums = sums_of(parts, rules.defined)
    findings, named = findings_of(screened, rules)
    followed, _ = resolve(document, scopes, given.shelf)
    beside = Beside(rules, followed)
    name = identity_name(document, screened.shown)
    return Sheet(
        title=_title(name, document, screened),
        running=name,
        kind=_KINDS.get(document.kind or "", "A document of unknown kind"),
        notices=tuple(_notices(screened, document)),
        own=own_check(document, sums.blanks),
        findings=findings,
        lines=text_lines(document, named),
        settings=_section(parts, ("settings", "back-up"), beside, "The order states no settings."),
        template=_template_told(followed, document),
        values=_values(document, sums),
        pictures=pictures_of(parts, rules.defined),
        alarms=_section(parts, ("alarms",), beside, "The order states no alarms."),
        circuit=_circuit(document, parts, beside),
        oxygen=_section(parts, ("oxygen",), beside, "The order adds no oxygen and states no supply."),
        coverage=coverage_of(screened.screening, rules),
        changes=changes_of(given.compared, rules, given.unchanged_since),
        setup=setup_of(screened, rules, given.ventilator),
        about=_about(screened, given),
    )


def _scopes(document: Document, defined: Mapping[str, Defined], day: datetime.date) -> Sequence[Facts]:
    if document.kind is None and not document.blocks:
        return ()
    return tuple(facts_of(document, {key: each.node for key, each in defined.items()}, day))


def _title(name: str, document: Document, screened: Screened) -> str:
    return f"{name}: {document.title or screened.shown}"


def _about(screened: Screened, given: Given) -> About:
    return About(screened.shown, given.day.isoformat(), given.version, tuple(policies_told(screened.policies)))


# ---- what could not be read


def _unread(screened: Screened, given: Given) -> Sheet:
    """The sheet of a file that is no document, or that could not be screened: it says so, and shows what there is."""
    what = "was not screened" if screened.misconfigured else "could not be read"
    notices = [
        f"This file {what}: {each.message}"
        + (f" (line {each.line}, column {each.column})" if each.line is not None else "")
        for each in screened.problems
    ]
    if given.data is not None and is_cut(given.data):
        notices.append("It is too long to be shown to its end: the text below holds its beginning alone.")
    nothing = Section(why=_NO_READING)
    return Sheet(
        title=screened.shown,
        running=screened.shown,
        kind="A file that could not be read",
        notices=tuple(notices or (_NO_READING,)),
        own=OwnCheck((), (), (), (), why=f"{_NO_READING} There is nothing here to check it by."),
        findings=Findings(why="Nothing was screened, so nothing is known of it. It must not be used from this sheet."),
        lines=raw_lines(given.data) if given.data is not None else (),
        settings=nothing,
        template="",
        values=nothing,
        pictures=Pictures(),
        alarms=nothing,
        circuit=Circuit(why=_NO_READING),
        oxygen=nothing,
        coverage=None,
        changes=changes_of(given.compared, given.rules, given.unchanged_since),
        setup=SetUpRows(why=_NO_READING),
        about=_about(screened, given),
    )


def _notices(screened: Screened, document: Document) -> Iterator[str]:
    if document.kind is None:
        yield "The first line of this document could not be read, so it is not known what kind of document it is."
    if document.kind == "readings":
        yield "This file holds readings alone. The order that they are of is not on this sheet."
    lines = _unread_lines(document)
    if lines:
        what = "A line" if len(lines) == 1 else f"{len(lines)} lines"
        numbers = ", ".join(map(str, lines))
        yield f"{what} of this document could not be read: {numbers}. What is written there is missing from the sums."
    if screened.screening is not None and screened.screening.crashes:
        yield "Some checks failed through a fault of the program: see the findings."


def _unread_lines(document: Document) -> list[int]:
    bad: list[int] = []
    for entry in document.entries:
        statement = entry.statement
        unread = entry.kind in ("detail", "row") and (statement is None or not statement.readable)
        if unread or entry.kind == "unread" or (entry.kind == "heading" and entry.heading is None):
            bad.append(entry.lines[0].number)
    return bad


# ---- sections


def _section(parts: Sequence[Part], sections: Sequence[str], beside: Beside, why: str) -> Section:
    tables = tables_of(parts, sections, beside)
    return Section(tables, why="" if tables else why)


def _template_told(followed: Followed, document: Document) -> str:
    """Which template the settings stand beside; why there is none where there is none."""
    if followed.template is not None:
        return f"Compared with {followed.label} ({followed.template.shown})."
    if followed.link is not None:
        return f"The template that it follows could not be held against it: {followed.why}."
    return "It is a template itself." if document.kind == "template" else "It follows no template."


def _values(document: Document, sums: Sums) -> Section:
    """The answers to the checker's own sums, then every other value that follows."""
    values = (*sums.answers, *derived_values(document, sums.terms))
    return Section(values=values, why="" if values else "Nothing follows from what the order states.")


def _circuit(document: Document, parts: Sequence[Part], beside: Beside) -> Circuit:
    tables = tables_of(parts, ("airway", "circuit"), beside)
    lists: list[PartsRow] = []
    for block in document.blocks_of("circuit"):
        heading = " ".join(block.entry.text.split())
        for entry in block.details:
            statement = entry.statement
            body = statement.body if statement is not None else None
            if statement is not None and statement.term is not None and isinstance(body, n.Items):
                items = tuple(render_body(n.Items((item,)), None) for item in body.items)
                lists.append(PartsRow(heading, statement.term.phrase, entry.lines[0].number, items))
    return Circuit(tables, tuple(lists), "" if tables else "The order states no circuit.")


__all__ = ["Given", "sheet_of"]
