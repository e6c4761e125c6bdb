"""What terms, modes and sections mean, as Markdown: in the vocabulary's own words."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final

from rxlint.model.names import derived_terms
from rxlint.notation.takes import states_of, takes_allow, takes_automatic, takes_qualifier
from rxlint.reports.rule_markdown import code, plain
from rxlint.vocabulary import Mode, Term, vocabulary

_FORMS: Final[Mapping[str, str]] = {
    "fraction": "a percentage, or a number up to 1",
    "age": "full years, months, weeks or days, or two of them, the larger first",
    "ratio": "a ratio such as 1:2",
    "count": "a whole number",
    "number": "a number without a unit",
    "mode": "a mode",
    "text": "text in quotation marks",
    "date": "a date such as 2026-11-02",
    "signed": 'a moment, and by "role"',
    "identifier": "a name without spaces",
    "link": "an id, and its revision",
    "delay": "after how long",
    "relation": "TERM = EXPRESSION, or a condition",
    "cylinder": "its contents in litres, or its letter with country and pressure",
    "pre-oxygenation": "a percentage, for how long, before suction",
    "nebuliser": "on which side, and what becomes of the exchanger",
    "raise": "one setting or two, by a step, every so often, up to or down to an end, when readings call for it",
    "stop": "a condition of readings",
    "call": "whom, in quotation marks, and when a condition of readings holds",
    "gases": "at times after the start",
    "extend": "by how much, how often, up to what",
    "return": "the name of a period",
    "accept": 'a rule\'s id, on which term at which value, until a date, because "reason" by "role"',
}
_KINDS: Final[Mapping[str, str]] = {
    "limit": "limit of an alarm",
    "window": "window that the settings are meant to reach",
    "measured": "value that was read",
}
KEYWORDS: Final[Mapping[str, str]] = {
    "above ambient": "measured above ambient pressure",
    "above PEEP": "measured above PEEP",
    "total": "the same as above ambient",
    "allow": "what may be set without a new order",
    "in steps of": "by how much at a time",
    "automatic": "the ventilator itself moves it between two ends",
    "by": "the value stands in the rows of a table",
    "off": "the alarm is off, and why",
    "after": "how long the alarm waits",
    "after apnoea": "how long without a breath before the back-up begins",
    "for": "how long it must last",
    "until": "the last day on which it is answered for",
    "because": "the reason, in quotation marks",
}
"""What keywords say, where that is not plain from the word."""


def meaning(term: Term) -> str:
    """What a term says."""
    return term.help or _KINDS.get(term.kind, "value")


def term_detail(term: Term) -> str:
    """What a term says, in one line with its usual unit."""
    unit = usual_unit(term)
    return f"{meaning(term)}, in {unit}" if unit else meaning(term)


def usual_unit(term: Term) -> str:
    """The unit that a term is told in; "" for none."""
    return term.unit.symbol if term.unit is not None else ""


def term_markdown(term: Term) -> str:
    """What a term means, what it takes, and its usual unit."""
    return _term_markdown(term.key)


@cache
def _term_markdown(key: str) -> str:
    term = vocabulary().terms[key]
    lines = [f"**{plain(term.phrase)}** ({term.section}): {plain(meaning(term))}", ""]
    lines.append(f"Takes {plain(_takes(term))}.")
    follows = _follows(term)
    if follows:
        lines.append(f"May be followed by {', '.join(follows)}.")
    if term.also:
        lines.append(f"Also read: {', '.join(map(code, term.also))}.")
    return "\n".join(lines)


def _takes(term: Term) -> str:
    if term.form == "quantity":
        symbols = [unit.symbol for unit in term.units]
        per = [term.per_kilogram.unit.symbol] if term.per_kilogram is not None else []
        told = " or ".join([*symbols, *(f"{symbol} of a weight" for symbol in per)])
        usual = f" (usual unit {symbols[0]})" if len(symbols) + len(per) > 1 else ""
        found = f"an amount in {told}{usual}"
    elif term.form == "words":
        found = "; ".join(f"{slot.name}: {' or '.join(slot.words)}" for slot in term.slots)
    elif term.form == "list":
        found = "items between commas, in their order"
    elif term.form == "state":
        return " or ".join(states_of(term))
    else:
        found = _FORMS.get(term.form, "a value")
        usual = usual_unit(term)
        found += f"; usual unit {usual}" if usual and term.form not in ("age", "cylinder") else ""
    states = states_of(term)
    return found + (f"; or {' or '.join(states)}" if states else "")


def _follows(term: Term) -> list[str]:
    if term.form not in ("quantity", "fraction", "age", "number", "ratio"):
        return []
    words = {"ambient": ["above ambient"], "PEEP": ["above PEEP"], "stated": ["above ambient", "above PEEP"]}
    found = [code(each) for each in words.get(term.reference or "", [])]
    if term.reference == "stated":
        found = [f"{' or '.join(found)} (one of them must be)"]
    found += [f"{code('of')} a weight"] if term.per_weight else []
    found += [code(each) for each in term.manner]
    found += [f"{code('at')} an amount in {term.at.symbol}"] if term.at is not None else []
    found += [code(f"at {place}") for place in term.places]
    found += [f"{code('after')} a delay"] if takes_qualifier(term, "after") else []
    found += [code("allow"), code("in steps of")] if takes_allow(term) else []
    return found + ([code("automatic between")] if takes_automatic(term) else [])


def mode_markdown(mode: Mode) -> str:
    """What a mode is, what it needs and what else is read in it."""
    lines = [f"**{mode.code}**: {mode.help}", ""]
    if not mode.checked:
        return "\n".join(
            [*lines, "Known and not modelled: an order in this mode is read, and what depends on it is not checked."]
        )
    lines.append("Needs:")
    lines.append("")
    lines += [f"- {' or '.join(choice)}" for choice in mode.needs]
    further = [phrase for phrase in vocabulary().sections["settings"].terms if phrase in mode.may]
    further = [phrase for phrase in further if not any(phrase in choice for choice in mode.needs)]
    if further:
        lines += ["", f"May have: {', '.join(further)}."]
    return "\n".join(lines)


def section_markdown(section: str, meant: str) -> str:
    """What a section is for."""
    known = vocabulary().sections.get(section)
    lines = [f"**{section}**: {meant}"]
    if known is not None and known.periods:
        lines += ["", "May hold for a period: it then overrides the section without one, value by value."]
    return "\n".join(lines)


def derived_markdown(key: str) -> str | None:
    """What a derived term means and how it is found; None for what is none."""
    derived = derived_terms().get(key)
    if derived is None:
        return None
    ways = "\n".join(f"- {code(way.text)} ({plain(way.source)})" for way in derived.ways)
    return f"**{plain(key)}**: {plain(derived.means)}\n\nWorked out as the first of these that can be:\n\n{ways}"
