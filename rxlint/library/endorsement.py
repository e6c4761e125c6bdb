"""Endorses a document: adds the line that says who checked it and when, with the code of what was checked.

The line is added only to a document in which nothing stands that must not be used as written, and never for its author.
The rest of the file stays as it is, to the byte. The code finds a change made by accident; it is no proof against
somebody who works out a new one.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from rxlint.library.discover import read_bytes
from rxlint.library.rulings import Rulings
from rxlint.library.screen import Screened, parse_bytes, screen_under
from rxlint.model.content import check_code, content_of, holds, unread_lines
from rxlint.model.context import same_role
from rxlint.notation import nodes as n
from rxlint.notation.render import render_heading
from rxlint.notation.tree import Document
from rxlint.packs import LEVELS
from rxlint.screening.finding import Finding
from rxlint.text import Problem, Source, code_of, hazards_of
from rxlint.text.files import ChangedError, linked_file, write_whole

CAUTION: Final = (
    "The code tells whether the content was changed by accident after this check. It is no signature: it does not show "
    "forgery, for anybody can write such a line."
)

Outcome = Literal["endorsed", "refused", "not usable", "misconfigured"]


@dataclass(frozen=True, slots=True)
class Endorsement:
    """What became of it, and what to tell. ``not usable``: the file could not be read or written, or a rule failed."""

    outcome: Outcome
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Checker:
    """In which role a document was checked, and when."""

    by: str
    at: datetime.datetime

    def heading(self, code: str | None) -> n.Heading:
        """The heading of the check, with this code."""
        moment = n.Moment(f"{self.at:%Y-%m-%d}", f"{self.at:%H:%M}", 0, 0)
        return n.Heading("checked", 0, 0, moment=moment, by=self.by, code=code)


def endorse(
    path: Path, shown: str, checker: Checker, rulings: Rulings, day: datetime.date, *, write: bool = True
) -> Endorsement:
    """Add the check to a file, screened under what holds for its folder; without ``write`` only say what would be done.

    A link is followed to a file in its own folder, and refused where it leads out of that.
    """
    target = linked_file(path)
    if target is None:
        return _refused(shown, ": is a link that leads out of its folder; name the file itself")
    data = read_bytes(target)
    if isinstance(data, Problem):
        return Endorsement("not usable", (f"{shown}: {data.message}",))
    document = parse_bytes(data)
    if isinstance(document, Problem):
        return Endorsement("not usable", (f"{shown}: {document.message}",))
    faults = _faults(document, checker)
    if faults:
        return _refused(shown, *faults)
    heading = checker.heading(check_code(document))
    line = render_heading(heading)
    whole = data + addition(document.source, line)
    if not _reads_back(whole, heading):
        return _refused(shown, ": the line of the check would not be read as it is meant")
    ruling, shelf = rulings.of_folder(path.parent), rulings.library(path)
    screened = screen_under(ruling, shown, whole, day, path, shelf=shelf)
    stopped = _stops(screened, shown) or (_written(target, shown, whole, data) if write else None)
    done = "added" if write else "would be added"
    return stopped or Endorsement("endorsed", (f"{shown}: {done}: {line}", *_standing(screened), CAUTION))


def _refused(shown: str, *faults: str) -> Endorsement:
    """Each fault begins with its place, or with a colon alone."""
    return Endorsement("refused", tuple(f"{shown}{each}" for each in faults))


def addition(source: Source, line: str) -> bytes:
    """What is appended to a document for a line at its end: a blank line before it, line ends as those of the file.

    A file that ends without a line feed still does.
    """
    lines = source.lines
    end = next((each.ending for each in reversed(lines) if each.ending), "\n")
    closed = not lines or lines[-1].ending != ""
    is_blank = bool(lines) and not lines[-1].text.strip(" \t")
    before = ("" if closed else end) + ("" if is_blank else end)
    return (before + line + (end if closed else "")).encode("utf-8")


def _faults(document: Document, checker: Checker) -> list[str]:
    """Why this checker can't endorse this document, whatever the rules say of it; each begins with its place."""
    found = [f": the role {why}" for why in _role_faults(checker.by)]
    author = _author(document)
    if author is not None and same_role(author, checker.by):
        found.append(f": {author} wrote it, and nobody checks what they wrote themselves")
    content = content_of(document)
    for block in document.blocks_of("checked"):
        heading = block.heading
        if heading is None or heading.code is None or content is None or not same_role(checker.by, heading.by):
            continue
        if holds(heading.code, content):
            found.append(f":{block.entry.lines[0].number}: {checker.by} has checked it as it stands already")
    unread = [entry.lines[0].number for entry in unread_lines(document)]
    found += [f":{number}: this line can't be read; `rxlint screen` tells why" for number in unread]
    if content is None and not unread:
        found.append(": is no order or template, for it does not begin with the line of one")
    return found


def _role_faults(role: str) -> list[str]:
    if not role.strip():
        return ["is empty; name the role of whoever has checked it"]
    line = render_heading(n.Heading("checked", 0, 0, by=role)) if "\n" not in role else role
    if not role.isprintable() or hazards_of(line, code_of(line)):
        return ["holds characters that can't be seen"]
    return []


def _author(document: Document) -> str | None:
    for block in document.blocks_of("head"):
        for entry in block.details:
            statement = entry.statement
            if statement is not None and statement.term is not None and statement.term.key == "document written":
                return statement.body.by if isinstance(statement.body, n.Signed) else None
    return None


def _stops(screened: Screened, shown: str) -> Endorsement | None:
    """Why a document must not be written with its check, by its screening; None where nothing stands in the way."""
    if screened.misconfigured or screened.screening is None:
        told = tuple(f"{shown}: {problem.message}" for problem in screened.problems)
        return Endorsement("misconfigured" if screened.misconfigured else "not usable", told)
    if screened.screening.crashes:
        return Endorsement("not usable", tuple(f"{shown}: {each.told}" for each in screened.screening.crashes))
    rejects = [
        f":{each.place.line}:{each.place.column}: reject: {each.message} [{each.rule}]"
        for each in _counting(screened)
        if each.level == "reject"
    ]
    return _refused(shown, *rejects, ": what must not be used as written is not endorsed") if rejects else None


def _reads_back(whole: bytes, heading: n.Heading) -> bool:
    """Whether the last check of a document is this one, every line can be read, and the code is that of the content."""
    document = parse_bytes(whole)
    if isinstance(document, Problem) or unread_lines(document):
        return False
    last = [block.heading for block in document.blocks_of("checked")][-1:]
    is_same = [(each.by, each.code) for each in last if each is not None] == [(heading.by, heading.code)]
    return is_same and check_code(document) == heading.code


def _written(target: Path, shown: str, whole: bytes, data: bytes) -> Endorsement | None:
    try:
        write_whole(target, whole, instead_of=data)
    except ChangedError:
        return _refused(shown, ": was changed meanwhile by somebody else; nothing is written")
    except OSError as error:
        return Endorsement("not usable", (f"{shown}: can't be written: {error.strerror or error}",))
    return None


def _standing(screened: Screened) -> list[str]:
    """What a checker should know of that does not stand in the way."""
    levels = [each.level for each in _counting(screened)]
    names = {"query": "queries", "note": "notes"}
    counts = [(levels.count(level), level) for level in LEVELS if level in names and level in levels]
    told = " and ".join(f"{count} {level if count == 1 else names[level]}" for count, level in counts)
    return [f"{told} still stand{'s' if len(levels) == 1 else ''}: `rxlint screen` tells more"] if told else []


def _counting(screened: Screened) -> Sequence[Finding]:
    found = screened.screening.findings if screened.screening is not None else ()
    return [each for each in found if each.counts]
