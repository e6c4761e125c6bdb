"""A rule's page, and the list of rules."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from rxlint.packs import Case, Message, Origin, Rule
from rxlint.reports.text import SET_BY
from rxlint.text import printable

_WIDTH = 100
BASES = {
    "contradiction": "the document contradicts itself",
    "verified": "a published source, read",
    "practice": "common practice, no published source",
    "memory": "a published source, from memory",
    "policy": "the site's own decision",
}


def message_text(message: Message) -> str:
    """The message with its slots in braces."""
    return "".join(part if isinstance(part, str) else f"{{{part.text}}}" for part in message.parts)


def rule_list(rules: Iterable[Rule]) -> Iterator[str]:
    """One line a rule, by area."""
    return map(printable, _list(rules))


def rule_page(rule: Rule, origins: Iterable[Origin] | None = None) -> Iterator[str]:
    """Everything a reader needs to know of one rule.

    ``origins`` are the rows of policies that made it what it is, where more is known of them than the rule holds.
    """
    return map(printable, _page(rule, tuple(origins if origins is not None else rule.origins)))


def _list(rules: Iterable[Rule]) -> Iterator[str]:
    area = ""
    for rule in rules:
        if rule.area != area:
            area = rule.area
            yield f"{area}"
        origins = "".join(f"  ({SET_BY[each.sets]} {each.policy})" for each in rule.origins)
        yield f"  {rule.bounded(rule.level):<7} {rule.id:<40} {rule.title}{origins}"


def _page(rule: Rule, origins: Iterable[Origin]) -> Iterator[str]:
    yield f"{rule.id}: {rule.title}"
    yield ""
    yield f"level     {rule.bounded(rule.level)}"
    for stricter in rule.stricter:
        bounded = rule.bounded(stricter.level)
        if bounded != rule.bounded(rule.level):
            yield f"          {bounded} in a stricter case"
    yield f"basis     {rule.basis} ({BASES[rule.basis]})"
    yield from _conditions(rule)
    if rule.as_set_only:
        yield from _labelled("asked of", "the values as set")
    if rule.found_by:
        yield from _labelled("found by", ", ".join(rule.found_by))
    if rule.say.parts:
        yield from _labelled("says", message_text(rule.say))
    for correction in rule.corrections:
        yield from _labelled("offers", f"{correction.key} set to {correction.text}")
    yield from _labelled("because", rule.because)
    yield from _labelled("source", rule.source)
    if rule.yields_to:
        yield from _labelled("yields to", ", ".join(rule.yields_to))
    yield f"pack      {rule.pack}"
    for origin in origins:
        yield from _labelled(SET_BY[origin.sets], str(origin))
    if rule.cases:
        yield ""
        yield "cases"
        for case in rule.cases:
            yield from _case(case)


def _case(case: Case) -> Iterator[str]:
    if case.before is not None:
        yield from _labelled(f"  {case.kind}", f"before: {case.before}")
        yield from _labelled("", f"now: {case.text}")
        return
    yield from _labelled(f"  {case.kind}", case.text if not case.whole else "(a document)")
    if case.whole:
        yield from (f"            | {line}"[:_WIDTH] for line in case.text.splitlines())


def _conditions(rule: Rule) -> Iterator[str]:
    if rule.code:
        yield from _labelled("checked by", f"Python: {rule.code}")
    if rule.when_text:
        yield from _labelled("when", rule.when_text)
    if rule.require_text:
        yield from _labelled("requires", rule.require_text)
    for part in rule.parts:
        if part.when_text:
            yield from _labelled("when", part.when_text)
        yield from _labelled("requires", part.require_text)
        if part.say != rule.say:
            yield from _labelled("says", message_text(part.say))


def _labelled(label: str, text: str) -> Iterator[str]:
    for index, line in enumerate(wrap(" ".join(text.split()), _WIDTH) or [""]):
        yield f"{label if index == 0 else '':<9} {line}"
