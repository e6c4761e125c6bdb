"""A rule's page as Markdown, for editors: what it asks, why, and where that comes from, without its cases."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Final

from rxlint.packs import Origin, Rule
from rxlint.reports.rule_page import BASES, message_text
from rxlint.reports.text import SET_BY
from rxlint.text import printable

_MARKS: Final = re.compile(r"([\\`*_\[\]<>#|])")


def rule_markdown(rule: Rule, origins: Iterable[Origin] | None = None) -> str:
    """What a reader needs to know of one rule. ``origins`` are the rows of policies that made it what it is, where more
    is known of them than the rule holds.
    """
    told = tuple(origins if origins is not None else rule.origins)
    head = f"**{plain(rule.id)}**: {plain(rule.title)}"
    facts = [f"- {label}: {text}" for label, text in _facts(rule, told)]
    return "\n\n".join([head, "\n".join(facts)])


def _facts(rule: Rule, origins: Iterable[Origin]) -> Iterator[tuple[str, str]]:
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
    if rule.say.parts:
        yield "says", plain(message_text(rule.say))
    yield "because", plain(rule.because)
    yield "source", plain(rule.source)
    if rule.yields_to:
        yield "yields to", ", ".join(map(plain, rule.yields_to))
    for origin in origins:
        yield SET_BY[origin.sets], plain(str(origin))


def plain(text: str) -> str:
    """Text of a document or a pack on one line: nothing in it is read as Markdown, or changes how it is shown."""
    return _MARKS.sub(r"\\\1", printable(" ".join(text.split())))


def code(text: str) -> str:
    """Text in the letters of code."""
    return f"`{printable(' '.join(text.split())).replace('`', chr(39))}`"
