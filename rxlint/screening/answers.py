"""What a rule answers in one scope for the values as set, and where its answer would rest on what could not be read."""

from __future__ import annotations

import re
from typing import Any, Final

from rxlint.expressions import CLOSE, AtPoint, at_point, condition
from rxlint.expressions.decide import PointOutcome
from rxlint.model.facts import Facts, home_key
from rxlint.notation.near import near
from rxlint.screening.ruleset import Prepared
from rxlint.vocabulary import vocabulary

_OF_SETTINGS: Final = frozenset({"pressure", "timing", "volume"})
_WORD: Final = re.compile(r"[^\W\d_]+")
_SECTIONS: Final = {"fallback block": "back-up", "fallback delay": "back-up"}


def is_beyond(prepared: Prepared, facts: Facts) -> bool:
    """Whether a rule judges settings of a mode that is not modelled: what they mean there is not known."""
    if facts.mode is None or facts.mode.checked or prepared.rule.area not in _OF_SETTINGS:
        return False
    terms = vocabulary().terms
    return any(key != "mode" and key in terms and terms[key].section == "settings" for key in prepared.reads)


def why_unsure(presence: frozenset[str], facts: Facts) -> str:
    """Why the absence of a term proves nothing here: a line of its section could not be told."""
    if not facts.scope.unsure:
        return ""
    for key in sorted(presence):
        if not facts.is_stated(key) and _may_be_untold(key, facts):
            return f"a line of {_section(key)} could not be read"
    return ""


def _section(key: str) -> str:
    term = vocabulary().terms.get(home_key(key))
    return term.section if term is not None else _SECTIONS.get(key, key)


def _may_be_untold(key: str, facts: Facts) -> bool:
    """Whether a line that could not be told may state a term. One that is chosen by words can only stand where a line
    holds one of them, or something near: a misspelt weight is no aim of care.
    """
    section = _section(key)
    if section not in facts.scope.unsure:
        return False
    lines = facts.scope.untold.get(section)
    term = vocabulary().terms.get(home_key(key))
    if lines is None or term is None or term.form != "words":
        return True
    words = {word for slot in term.slots for phrase in slot.words for word in phrase.split()}
    return any(near(word, words) for line in lines for word in _WORD.findall(line))


def never_applies(prepared: Prepared, facts: Facts) -> bool:
    """Whether the rule would not apply either if the lines that could not be told stated what it asks for."""
    when = prepared.rule.when
    if when is None:
        return False
    presumed = facts.as_set.presuming(key for key in prepared.asks_when if _may_be_untold(key, facts))
    return condition(when, presumed) is False


def answer_as_set(prepared: Prepared, facts: Facts, values: list[Any]) -> AtPoint:
    """The answer for the values as set: by the compiled conditions, or exactly where those can't be trusted."""
    rule = prepared.rule
    assert rule.require is not None
    outcome = quick(prepared, values)
    return AtPoint(outcome) if outcome is not None else at_point(rule.when, rule.require, facts.as_set)


def quick(prepared: Prepared, values: list[Any]) -> PointOutcome | None:
    """The outcome by the compiled conditions; None where floats or missing values need the exact evaluator."""
    assert prepared.require is not None
    if prepared.when is not None:
        applies = prepared.when.run(values)
        if applies is False:
            return "does not apply"
        if applies is not True:
            return None
    holds = prepared.require.run(values)
    if holds is CLOSE or holds is None:
        return None
    return "met" if holds else "broken"
