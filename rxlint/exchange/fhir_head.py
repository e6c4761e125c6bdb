"""The elements of a DeviceRequest beside its parameters: identity, status, authorship, reason and time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final
from urllib.parse import quote

from rxlint.exchange.fhir_timing import timing_of
from rxlint.exchange.fhir_values import Element, concept
from rxlint.model.stated import Scope, Stated
from rxlint.notation import nodes as n
from rxlint.notation.render import render_body
from rxlint.text import printable

_STATUS: Final = {"active": ("active", "order"), "withdrawn": ("revoked", "order")}
_DRAFT: Final = ("draft", "proposal")
_IN_URLS: Final = "-._~:@!$&'*+;="  # characters that the last part of a URL may hold as they are


@dataclass(slots=True)
class Head:
    """Elements, the numbers of the lines that they tell, and of those that they tell only in part.

    ``period`` is the one that the timing tells.
    """

    found: Element = field(default_factory=dict)
    lines: set[int] = field(default_factory=set)
    partly: set[int] = field(default_factory=set)
    period: n.Period | None = None

    def take(self, stated: Stated | None, *, partly: bool = False) -> None:
        """Count a statement as told."""
        if stated is not None:
            number = stated.entry.lines[0].number
            self.lines.add(number)
            if partly:
                self.partly.add(number)


def elements_of(scope: Scope, subject: str | None, canonical_base: str, *, rejected: bool) -> Head:
    """The elements of the request for one period. What the order does not state is left out, not invented.

    Only an order that calls itself active is an active order; one that must not be used as written is a draft.
    """
    head = Head()
    name, revision = _text(scope, head, "document id"), _text(scope, head, "document revision")
    whole = f"{name} revision {revision}" if name is not None and revision is not None else name
    status = _text(scope, head, "document status")
    stated, intent = _STATUS.get(status or "", _DRAFT)
    period = head.period = _period(scope)
    if whole is not None:
        of_period = f"{whole}, {scope.period}" if scope.period is not None else whole
        head.found |= {"identifier": [{"value": printable(of_period)}]}
    _template(scope, head, canonical_base)
    _replaced(scope, head)
    if whole is not None:
        head.found["groupIdentifier"] = {"value": printable(whole)}
    head.found |= {"status": "draft" if rejected else stated, "intent": "proposal" if rejected else intent}
    head.found["code"] = {"concept": concept("Ventilator")}
    head.found["subject"] = _subject(subject, whole)
    timing = timing_of(period, _text(scope, head, "document valid until"))
    if timing is not None:
        head.found["occurrenceTiming"] = timing
    _author(scope, head)
    if period is not None and period.use == "as needed":
        head.found["asNeeded"] = True
    reasons = list(_reasons(scope, head))
    if reasons:
        head.found["reason"] = reasons
    return head


def _read(scope: Scope, key: str) -> Stated | None:
    """What is stated of a term, where it can be read and stands once."""
    stated = scope.by_key.get(key)
    if stated is None or key in scope.repeated or not stated.statement.readable:
        return None
    return stated


def _text(scope: Scope, head: Head, key: str) -> str | None:
    stated = _read(scope, key)
    match stated.statement.body if stated is not None else None:
        case n.Phrase(text=text) | n.Part(text=text):
            found = text
        case n.Words(alternatives=((word,),)):
            found = word.text
        case n.Moment(date=date):
            found = date
        case _:
            return None
    head.take(stated)
    return found


def _period(scope: Scope) -> n.Period | None:
    """The period as its sections tell it: the first that tells its hours, else the first."""
    named = [
        block.heading.period for block in scope.blocks if block.heading is not None and block.heading.period is not None
    ]
    return next((each for each in named if each.windows), named[0] if named else None)


def _subject(subject: str | None, order: str | None) -> Element:
    if subject is not None:
        return {"type": "Patient", "identifier": {"value": printable(subject)}}
    of = f"the patient of order {order}" if order is not None else "the patient of the order"
    return {"display": printable(f"not told: {of}")}


def _template(scope: Scope, head: Head, base: str) -> None:
    stated = _read(scope, "document follows")
    if stated is not None and isinstance(stated.statement.body, n.Link):
        link = stated.statement.body
        head.found["instantiatesCanonical"] = [f"{base}{quote(link.id.text, safe=_IN_URLS)}|{link.revision.text}"]
        head.take(stated)


def _replaced(scope: Scope, head: Head) -> None:
    stated = _read(scope, "document replaces")
    if stated is not None and isinstance(stated.statement.body, n.Link):
        link = stated.statement.body
        told = f"{link.id.text} revision {link.revision.text}"
        head.found["replaces"] = [{"type": "DeviceRequest", "identifier": {"value": printable(told)}}]
        head.take(stated)


def _author(scope: Scope, head: Head) -> None:
    """When and in which role it was written. FHIR takes no time without its zone, and an order states none."""
    stated = _read(scope, "document written")
    if stated is not None and isinstance(stated.statement.body, n.Signed):
        signed = stated.statement.body
        head.found["authoredOn"] = signed.moment.date
        if signed.by.strip():
            head.found["requester"] = {"display": printable(signed.by)}
        head.take(stated, partly=signed.moment.time is not None)


def _is_text(text: n.Text) -> bool:
    return bool(text.text.strip())  # no text of FHIR may be empty


def _reasons(scope: Scope, head: Head) -> Iterator[Element]:
    indication = _read(scope, "patient indication")
    if indication is not None and isinstance(indication.statement.body, n.Text) and _is_text(indication.statement.body):
        yield {"concept": concept(indication.statement.body.text)}
        head.take(indication)
    diagnosis = _read(scope, "patient diagnosis")
    if diagnosis is not None and isinstance(diagnosis.statement.body, n.Words):
        yield {"concept": concept(render_body(diagnosis.statement.body, diagnosis.statement.term))}
        head.take(diagnosis)
