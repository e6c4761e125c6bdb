"""A rule's page as Markdown, for editors: what it asks, why, and where that comes from, without its cases."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Final

from rxlint.packs import Origin, Rule
from rxlint.reports.rule_page import BASES, message_text
from rxlint.reports.text import SET_BY
from rxlint.text import printable

_MARKS: Final = re.compile(r"([\\`*_~\[\]<>#|&$@])")


Show = Callable[[str], str]


def rule_markdown(rule: Rule, origins: Iterable[Origin] | None = None, *, says: bool = True) -> str:
    """What a reader needs to know of one rule. ``origins`` are the rows of policies that made it what it is, where more
    is known of them than the rule holds. ``says``: with its message, the slots in braces.
    """
    head = f"**{plain(rule.id)}**: {plain(rule.title)}"
    facts = [f"- {label}: {text}" for label, text in _facts(rule, _told(rule, origins), plain, code, says)]
    return "\n\n".join([head, "\n".join(facts)])


def rule_text(rule: Rule, origins: Iterable[Origin] | None = None) -> str:
    """The same without any marks, and without its message."""
    facts = [f"{label}: {text}" for label, text in _facts(rule, _told(rule, origins), on_one_line, on_one_line, False)]
    return "\n".join([f"{on_one_line(rule.id)}: {on_one_line(rule.title)}", *facts])


def _told(rule: Rule, origins: Iterable[Origin] | None) -> tuple[Origin, ...]:
    return tuple(origins if origins is not None else rule.origins)


def _facts(rule: Rule, origins: Iterable[Origin], plain: Show, code: Show, says: bool) -> Iterator[tuple[str, str]]:
    yield "level", rule.bounded(rule.level)
    yield "basis", f"{rule.basis} ({BASES[rule.basis]})"
    if rule.code:
        yield "checked by", f"Python: {code(rule.code)}"
    for part in (rule, *rule.parts):
        if part.when_text:
            yield "when", code(part.when_text)
        if part.require_text:
            yield "requires", code(part.require_text)
    if rule.found_by:
        yield "found by", ", ".join(map(code, rule.found_by))
    if says and rule.say.parts:
        yield "says", plain(message_text(rule.say))
    yield "because", plain(rule.because)
    yield "source", plain(rule.source)
    if rule.yields_to:
        yield "yields to", ", ".join(map(plain, rule.yields_to))
    for origin in origins:
        yield SET_BY[origin.sets], plain(str(origin))


def on_one_line(text: str) -> str:
    """Text of a document or a pack on one line, with nothing in it that changes how it is shown."""
    return printable(" ".join(text.split()))


def plain(text: str) -> str:
    """Text of a document or a pack on one line: nothing in it is read as Markdown, or changes how it is shown."""
    return _MARKS.sub(r"\\\1", on_one_line(text))


def code(text: str) -> str:
    """Text in the letters of code."""
    return f"`{on_one_line(text).replace('`', chr(39))}`"
