"""The rules of a run, and what may go wrong in one, as SARIF describes them: each told once."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final

from rxlint.packs import Origin, Rule
from rxlint.reports.json_report import origin_object
from rxlint.reports.rule_markdown import rule_markdown, rule_text
from rxlint.reports.sarif_result import LEVELS, plain_message
from rxlint.screening.ruleset import RuleSet

NOTIFICATIONS: Final[list[dict[str, Any]]] = [
    {
        "id": id,
        "shortDescription": {"text": short},
        "fullDescription": {"text": full},
        "defaultConfiguration": {"level": "error"},
    }
    for id, short, full in (
        (
            "rxlint.unread",
            "A document could not be read.",
            "Nothing of it was screened: no result for it says nothing about it.",
        ),
        (
            "rxlint.not-screened",
            "A document was not screened.",
            "The settings that hold for its folder can't be used: no result for it says nothing about it.",
        ),
        (
            "rxlint.rule-failed",
            "A rule failed.",
            "A fault of the program or of an extension: the rule was not checked, the others were.",
        ),
    )
]


class RuleTable:
    """The rules that were met so far, in the order in which they were met.

    A rule stands here once for each way that policies shape it, for several descriptors may have one id (§3.52.4).
    """

    def __init__(self) -> None:
        self.descriptors: list[dict[str, Any]] = []
        self._known: dict[str, int] = {}  # by the text of the descriptor
        self._sets: dict[int, tuple[RuleSet, Mapping[str, int]]] = {}  # held, so that no other takes its number

    def indices(self, rules: RuleSet) -> Mapping[str, int]:
        """The index of each rule of a set, by its id."""
        if id(rules) not in self._sets:
            found = {rule.id: self._index(rule, rules.origins.get(rule.id)) for rule in rules.all_rules}
            self._sets[id(rules)] = (rules, found)
        return self._sets[id(rules)][1]

    def _index(self, rule: Rule, origins: tuple[Origin, ...] | None) -> int:
        made = descriptor(rule, origins)
        key = json.dumps(made)
        if key not in self._known:
            self._known[key] = len(self.descriptors)
            self.descriptors.append(made)
        return self._known[key]


def descriptor(rule: Rule, origins: tuple[Origin, ...] | None) -> dict[str, Any]:
    """A rule as a reporting descriptor: what it finds, why, and a help text that needs no other page."""
    rows = origins if origins is not None else rule.origins
    return {
        "id": rule.id,
        "shortDescription": {"text": plain_message(rule.title)},
        "fullDescription": {"text": plain_message(rule.because)},
        "help": {
            "text": _without_braces(rule_text(rule, rows)),
            "markdown": _without_braces(rule_markdown(rule, rows, says=False)),
        },
        "defaultConfiguration": {"level": LEVELS[rule.bounded(rule.level)]},
        "properties": {
            "tags": [rule.area],
            "level": rule.bounded(rule.level),
            "basis": rule.basis,
            "source": rule.source,
            "pack": rule.pack,
            **({"policy": [origin_object(each) for each in rows]} if rows else {}),
        },
    }


def _without_braces(text: str) -> str:
    """Braces are doubled, for single ones hold placeholders (§3.11.5)."""
    return text.replace("{", "{{").replace("}", "}}")
