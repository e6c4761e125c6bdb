"""What a term takes: kinds of value, qualifiers, leave to adjust. What it does not take is never passed over."""

from __future__ import annotations

from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.amounts import not_understood
from rxlint.vocabulary import Term

_CALLED: Final = {
    "reference": "reference",
    "basis": "weight",
    "manner": "way of knowing",
    "at": "second amount",
    "place": "place",
    "after": "delay",
}


def takes_qualifier(term: Term, kind: str) -> bool:
    """Whether a qualifier of this kind may follow a value of the term."""
    match kind:
        case "reference":
            return term.reference is not None  # another than the term's own has an event of its own
        case "basis":
            return term.per_weight
        case "manner":
            return bool(term.manner)
        case "at":
            return term.at is not None
        case "place":
            return bool(term.places)
        case _:
            return term.kind == "limit"


def takes_allow(term: Term) -> bool:
    """Whether staff may be given leave to adjust the term: it is something that is set."""
    return term.kind == "value"


def takes_automatic(term: Term) -> bool:
    """Whether a ventilator can move the term by itself: a setting of it."""
    return term.kind == "value" and term.section in ("settings", "back-up")


def takes_off(term: Term) -> bool:
    """Whether the term can be switched off: an alarm. A setting that is not used is left out."""
    return term.kind == "limit"


def states_of(term: Term) -> tuple[str, ...]:
    """The words of state that the term takes."""
    if term.form == "state" and term.kind == "fact":
        return "yes", "no"
    return ("on", "off") if term.form in ("state", "delay") else ("off",) if takes_off(term) else ()


def takes(term: Term) -> str:
    """What may follow a value of the term, in words, for messages."""
    words = [f"above {term.reference}"] if term.reference in ("ambient", "PEEP") else []
    words += ["above ambient", "above PEEP"] if term.reference == "stated" else []
    words += ["of a weight"] if term.per_weight else []
    words += list(term.manner)
    words += [f"at an amount in {term.at.symbol}"] if term.at is not None else []
    words += [f"at {place}" for place in term.places]
    words += ["after a delay"] if term.kind == "limit" else []
    words += ["allow", "in steps of"] if takes_allow(term) else []
    return ", ".join([*words, "the end of the line"])


def check_taken(term: Term, measure: n.Measure) -> None:
    """Raises Unreadable for the first part of a measure that its term does not take."""
    _check_kind(term, measure)
    _check_amounts(term, measure)
    seen: set[str] = set()
    for each in measure.qualifiers:
        if not takes_qualifier(term, each.kind) and each.kind not in ("reference", "basis"):
            raise not_understood(each.start, each.end, f"{term.phrase} takes no {_CALLED[each.kind]}", takes(term))
        if each.kind in seen:
            raise not_understood(each.start, each.end, f"the {_CALLED[each.kind]} stands twice", "one")
        seen.add(each.kind)
    leave = measure.allow or measure.steps
    if leave is not None and not takes_allow(term):
        what = f"{term.phrase} takes no {'allow' if measure.allow else 'steps'}"
        raise not_understood(leave.start, leave.end, what, takes(term))


def _check_kind(term: Term, measure: n.Measure) -> None:
    value, allow = measure.value, measure.allow
    if value.kind == "automatic" and not takes_automatic(term):
        raise not_understood(value.start, value.end, f"{term.phrase} is nothing that a ventilator moves", "a value")
    if allow is not None and allow.kind == "automatic":
        what = "automatic says what the ventilator does, not what staff may set"
        raise not_understood(allow.start, allow.end, what, "a range or a choice")
    if value.kind != "exact" and term.kind == "measured":
        raise not_understood(value.start, value.end, f"{term.phrase} is a reading", "one value")


def _check_amounts(term: Term, measure: n.Measure) -> None:
    """A ratio where a ratio belongs, and a plain number where that belongs. Units tell the other forms apart."""
    amounts = (*measure.value.amounts, *(measure.allow.amounts if measure.allow else ()))
    for amount in amounts:
        text = amount.parts[0].text
        if term.form == "ratio" and not amount.ratio:
            raise not_understood(amount.start, amount.end, f"{text} is no ratio", "a ratio such as 1:2")
        if term.form == "number" and amount.ratio:
            raise not_understood(amount.start, amount.end, f"{text} is a ratio", "a number")
