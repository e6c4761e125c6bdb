"""Changes that an author may ask for at a place. None is preferred, and none is made by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from rxlint.editor.actions_accept import acceptance
from rxlint.editor.actions_insert import Addition, lines_asked_for, missing_sections, settings_needed
from rxlint.editor.shapes import Action, Edit, Mark
from rxlint.editor.snapshot import Snapshot
from rxlint.notation.tree import Place
from rxlint.screening.finding import Finding, Suggestion
from rxlint.text import Problem, printable

_MODE_LACKS: Final = ("modes.setting-missing", "modes.ceiling-by-alarm")


def actions(snapshot: Snapshot, place: Place, marks: Sequence[Mark] = ()) -> tuple[Action, ...]:
    """The changes that are offered for some lines.

    First those that answer findings of these lines, in the order of the text, then lines that are missing, then the
    layout of the whole. ``marks`` are those shown there; an action names the one that it answers.
    """
    found: list[Action] = []
    screening = snapshot.screened.screening
    findings = screening.findings if screening is not None else ()
    here = [each for each in findings if each.place.file is None and _meet(each.place, place)]
    for finding in here:
        found += _for(snapshot, finding, _mark_of(finding, marks))
    of_mode = next((each for each in here if _is_of_mode(snapshot, each)), None)
    settles = _mark_of(of_mode, marks) if of_mode is not None else None
    kind: Final = "quickfix" if of_mode is not None else "refactor"
    for _, addition in settings_needed(snapshot, place.line, place.end_line):
        found.append(Action(addition.title, kind, {snapshot.path: (addition.edit,)}, settles))
    if _is_first(snapshot, place):
        found += [_adding(snapshot, addition) for addition in missing_sections(snapshot)]
    found += _tidying(snapshot)
    once: dict[tuple[str, tuple[Edit, ...]], Action] = {}
    for action in found:
        once.setdefault((action.title, action.edits[snapshot.path]), action)
    return tuple(once.values())


def _meet(one: Place, other: Place) -> bool:
    """Whether two places have a line in common."""
    return one.line <= other.end_line and other.line <= one.end_line


def _mark_of(finding: Finding, marks: Sequence[Mark]) -> Mark | None:
    return next((mark for mark in marks if mark.rule == finding.rule and mark.place == finding.place), None)


def _is_of_mode(snapshot: Snapshot, finding: Finding) -> bool:
    """Whether a finding tells that a mode lacks a setting."""
    rules = (rule for event in _MODE_LACKS for rule in snapshot.rules.found_by.get(event, ()))
    return any(rule.id == finding.rule for rule in rules)


def _for(snapshot: Snapshot, finding: Finding, mark: Mark | None) -> Iterator[Action]:
    """The corrections of a finding, in its own order; the lines that it asks for; the line that would accept it."""
    for suggestion in finding.corrections:
        if suggestion.place is not None and suggestion.place.file is None and suggestion.replacement is not None:
            edit = Edit(suggestion.place, suggestion.replacement)
            yield Action(_title(snapshot, suggestion), "quickfix", {snapshot.path: (edit,)}, mark)
    for addition in lines_asked_for(snapshot, finding):
        yield _adding(snapshot, addition, mark, is_answer=True)
    accepting = acceptance(snapshot, finding)
    if accepting is not None:
        yield _adding(snapshot, accepting, mark, is_answer=True)


def _adding(snapshot: Snapshot, addition: Addition, mark: Mark | None = None, *, is_answer: bool = False) -> Action:
    kind: Final = "quickfix" if is_answer else "refactor"
    return Action(addition.title, kind, {snapshot.path: (addition.edit,)}, mark)


def _title(snapshot: Snapshot, suggestion: Suggestion) -> str:
    """What a correction writes and what it makes of the order."""
    if suggestion.is_reading and suggestion.place is not None:
        was = _text_at(snapshot, suggestion.place)
        return printable(f"write {suggestion.text} instead of {was}" if was else f"add {suggestion.text}")
    makes = f" (makes {suggestion.makes})" if suggestion.makes else ""
    return printable(f"{suggestion.text}{makes}")


def _text_at(snapshot: Snapshot, place: Place) -> str:
    """What stands at a place of one line; nothing for one that goes over several."""
    if place.line != place.end_line or not 0 < place.line <= len(snapshot.lines):
        return ""
    return snapshot.lines[place.line - 1].text[place.column - 1 : place.end_column - 1].strip()


def _is_first(snapshot: Snapshot, place: Place) -> bool:
    """Whether a place touches the first line of the document itself."""
    document = snapshot.document
    entry = next((each for each in document.entries if each.kind == "document"), None) if document is not None else None
    return entry is not None and place.line <= entry.lines[0].number <= place.end_line


# ---- layout


def _tidying(snapshot: Snapshot) -> Iterator[Action]:
    edits = layout(snapshot)
    if edits:
        yield Action("lay out the document: white space alone changes", "source", {snapshot.path: edits})


def layout(snapshot: Snapshot, first: int | None = None, last: int | None = None) -> tuple[Edit, ...]:
    """The edits that bring a text into its canonical layout; with lines, the sections alone that these touch."""
    from rxlint.notation.tidy import plan

    source = snapshot.source
    if isinstance(source, Problem):
        return ()
    lines = (first, last) if first is not None and last is not None else None
    count = len(source.lines)
    found: list[Edit] = []
    for each in plan(source, lines).edits:
        start, end = (each.first, 1), (each.end, 1)
        if each.end > count and count and not source.lines[-1].ending:  # there is no line after the last
            end = (count, len(source.lines[-1].text) + 1)
        if each.first > count and count and not source.lines[-1].ending:
            start = end
        found.append(Edit(Place(*start, *end), each.text))
    return tuple(found)
