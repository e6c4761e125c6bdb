"""The set-up list of a document's file: its screening, its periods on a ventilator, and what stands against it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rxlint.expressions import Node, Words
from rxlint.expressions.problems import near
from rxlint.library.screen import Screened
from rxlint.model.facts import Facts, facts_of
from rxlint.model.stated import periods_of
from rxlint.notation import nodes as n
from rxlint.notation.tree import Document
from rxlint.packs.profile import Profile, same_name
from rxlint.screening.finding import Finding
from rxlint.screening.profile_walk import find_profile
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.setup import STOPS, SetUp, set_up


@dataclass(frozen=True, slots=True)
class SetUpList:
    """A document on a ventilator: one sheet a period. ``stops`` say why the list must not be keyed in as it stands."""

    screened: Screened
    document: Document
    profile: Profile
    sheets: tuple[SetUp, ...]
    stops: tuple[str, ...]
    rejects: tuple[Finding, ...]

    @property
    def can_be_keyed_in(self) -> bool:
        """Whether the list can be keyed in as it stands: nothing is to be rejected, impossible or left open."""
        return not self.stops


class NoList(ValueError):
    """No list can be made: what is asked for is not there, or is not something that a list is made of."""


def list_for(screened: Screened, rules: RuleSet, ventilator: str | None, period: str | None) -> SetUpList:
    """The set-up list of a screened document on a ventilator, or on the one that the document names.

    Raises NoList for a template, an unknown period, and a ventilator that is not named or has no profile.
    """
    document = screened.document
    if document is None or document.kind != "prescription":
        what = "a template" if document is not None and document.kind == "template" else "no prescription"
        raise NoList(f"{screened.shown} is {what}: a set-up list is made of a prescription, for one patient")
    known = [each for each in periods_of(document) if each is not None]
    if period is not None and period not in known:
        raise NoList(f"there is no period {period}{_meant(period, known)}")
    profile = _profile(ventilator, document, rules.profiles)
    return set_up_list(screened, document, profile, period, rules.defined_nodes)


def _profile(name: str | None, document: Document, profiles: Sequence[Profile]) -> Profile:
    named = ventilators_named(document)
    if name is None and len(named) != 1:
        told = "more than one ventilator" if named else "no ventilator"
        raise NoList(f"the prescription names {told}: give --ventilator NAME")
    wanted = name if name is not None else named[0]
    found = find_profile(wanted, profiles)
    if found is None:
        raise NoList(
            f"there is no profile of the ventilator {wanted}{_meant(wanted, [each.name for each in profiles])}"
        )
    return found


def _meant(text: str, known: list[str]) -> str:
    close = near(text, known)
    if close:
        return f"; did you mean {' or '.join(close)}?"
    return f"; there are {', '.join(known)}" if known else "; none is given"


def ventilators_named(document: Document) -> list[str]:
    """The ventilators that a document names, in the order of the text."""
    found = [
        detail.statement.body.text
        for block in document.blocks_of("circuit")
        for detail in block.details
        if detail.statement is not None
        and detail.statement.term is not None
        and detail.statement.term.key == "ventilator"
        and isinstance(detail.statement.body, n.Text)
    ]
    return list(dict.fromkeys(found))


def set_up_list(
    screened: Screened, document: Document, profile: Profile, period: str | None, defined: Mapping[str, Node]
) -> SetUpList:
    """The list of a screened prescription; of one period where it is named, else of all of them."""
    sheets = tuple(set_up(facts, profile) for facts in _scopes(document, period, defined))
    findings = screened.screening.findings if screened.screening is not None else ()
    rejects = tuple(each for each in findings if each.level == "reject" and each.counts)
    stops = (*_of_document(screened, profile, sheets, rejects), *_of_sheets(sheets))
    return SetUpList(screened, document, profile, sheets, stops, rejects)


def _scopes(document: Document, period: str | None, defined: Mapping[str, Node]) -> Iterator[Facts]:
    for facts in facts_of(document, defined):
        elsewhere = facts.band is not None and facts.band.is_elsewhere
        if facts.scope.readings is None and not elsewhere and period in (None, facts.period):
            yield facts


def _of_document(
    screened: Screened, profile: Profile, sheets: tuple[SetUp, ...], rejects: tuple[Finding, ...]
) -> Iterator[str]:
    """What the document itself says against being used, or against being used on this ventilator."""
    if rejects:
        yield f"{_count(len(rejects), 'finding')} to reject {'stands' if len(rejects) == 1 else 'stand'}"
    crashes = screened.screening.crashes if screened.screening is not None else ()
    if crashes:
        yield f"{_count(len(crashes), 'rule')} failed and could not be checked"
    for facts in [sheet.facts for sheet in sheets][:1]:
        status = facts.constants.get("document status")
        if isinstance(status, Words) and "active" not in status.stated:
            yield f"the prescription is not active: its status is {', '.join(sorted(status.stated))}"
    named = {
        stated.statement.body.text: None
        for sheet in sheets
        for stated in [sheet.facts.scope.by_key.get("ventilator")]
        if stated is not None and isinstance(stated.statement.body, n.Text)
    }
    for each in named:
        if not same_name(each, profile.name):
            yield f"the prescription names the ventilator {each}, and this list is for {profile.name}"


def _of_sheets(sheets: tuple[SetUp, ...]) -> Iterator[str]:
    cannot = sum(line.state in STOPS for sheet in sheets for line in sheet.lines)
    lacking = sum(len(sheet.lacking) for sheet in sheets)
    asks = sum(len(sheet.asks) for sheet in sheets)
    if cannot:
        yield f"{_count(cannot, 'line')} can't be set as prescribed"
    if lacking:
        yield f"{_count(lacking, 'part')} of the prescription {'is' if lacking == 1 else 'are'} beyond this ventilator"
    if asks:
        yield f"{_count(asks, 'question')} to the prescriber {'is' if asks == 1 else 'are'} open"


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
