"""Where each rule was asked and where it spoke: in the examples, in the slips among them, in its own cases."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Final

from rxlint.library.beside import Sheet, screen_beside
from rxlint.library.index import Index, View
from rxlint.library.profiles import read_profiles
from rxlint.library.rulings import Ruling
from rxlint.library.screen import screen_bytes
from rxlint.notation.document import read_document
from rxlint.screening.compare import compare_documents
from rxlint.screening.engine import Screening
from rxlint.screening.ruleset import RuleSet, builtin_rules
from rxlint.screening.shelf import Shelf
from rxlint.text import Problem, read_source
from tests.documents import DAY
from tests.packs.cases import RULES, screened
from tests.shelf import shelf_of

EXAMPLES: Final = Path(__file__).resolve().parent.parent.parent / "examples"
ANSWERED: Final = frozenset({"met", "broken", "can break", "undecided"})
_BESIDE: Final = {"readings/TM-0508-second-day.vrx": "sound/TM-0508-adult-lung-protective.vrx"}


@dataclass(slots=True)
class Reach:
    """Documents that reach a rule: those that it answered, those in which it spoke, each with how many there are."""

    answered: list[str] = field(default_factory=list)
    spoke: list[str] = field(default_factory=list)


@cache
def example_rules() -> RuleSet:
    """The built-in rules with the two invented ventilators of the examples."""
    profiles, problems = read_profiles([(EXAMPLES / "profiles", "profiles")])
    assert profiles and not problems, problems
    return replace(builtin_rules(), profiles=profiles)


def examples() -> Iterator[tuple[str, Screening]]:
    """The example documents: orders and templates, readings beside their order, the revisions of the story."""
    for folder in ("sound", "templates"):
        for path in sorted((EXAMPLES / folder).glob("*.vrx")):
            yield from _screened(f"{folder}/{path.name}", path, shelf_of(path, is_searched=True))
    story = Index(EXAMPLES / "story")  # a library of its own
    for path in sorted((EXAMPLES / "story").rglob("*.vrx")):
        own = story.shown(path)
        shelf = View(story, own, True) if own is not None else None
        yield from _screened(f"story/{path.parent.name}/{path.name}", path, shelf)
    for sheet, order in _BESIDE.items():
        given = [Sheet(sheet, (EXAMPLES / sheet).read_bytes())]
        path = EXAMPLES / order
        both = screen_beside(Ruling(example_rules()), order, path.read_bytes(), given, DAY, shelf=shelf_of(path))
        yield from ((sheet, each.screening) for each in both if each.screening is not None)
    revisions = sorted((EXAMPLES / "story" / "orders").glob("*.vrx"))
    for before, after in itertools.pairwise(revisions):
        old, new = (read_source(path.read_bytes()) for path in (before, after))
        assert not isinstance(old, Problem) and not isinstance(new, Problem), "the story can be read"
        compared = compare_documents(read_document(old), read_document(new), example_rules(), DAY)
        yield f"story/orders/{before.name} to {after.name}", compared.screening


def slips() -> Iterator[tuple[str, Screening]]:
    """The documents with one slip each."""
    for path in sorted((EXAMPLES / "slips").glob("*.vrx")):
        yield from _screened(f"slips/{path.name}", path, shelf_of(path))


def _screened(name: str, path: Path, shelf: Shelf | None) -> Iterator[tuple[str, Screening]]:
    found = screen_bytes(path.name, path.read_bytes(), example_rules(), DAY, shelf=shelf)
    assert found.screening is not None and not found.screening.crashes, (name, found.problems)
    yield name, found.screening


def reach(of: Iterator[tuple[str, Screening]]) -> Mapping[str, Reach]:
    """By rule, the documents that reach it."""
    found = {rule.id: Reach() for rule in RULES}
    for name, screening in of:
        for row in screening.coverage.rules:
            if row.outcome in ANSWERED and row.rule in found:
                found[row.rule].answered.append(name)
        for rule in dict.fromkeys(each.rule for each in screening.findings):
            found[rule].spoke.append(name)
    return found


@cache
def of_examples() -> Mapping[str, Reach]:
    """What the example documents reach."""
    return reach(examples())


@cache
def of_slips() -> Mapping[str, Reach]:
    """What the slips among the examples reach."""
    return reach(slips())


@cache
def of_cases() -> Mapping[str, Mapping[str, int]]:
    """By rule, how many of its cases are what they say, by kind: the rule speaks, is met, is silent."""
    found: dict[str, Mapping[str, int]] = {}
    for rule in RULES:
        counts = {"fires": 0, "holds": 0, "silent": 0}
        for index, case in enumerate(rule.cases):
            screening = screened(rule.id, index)
            spoke = any(each.rule == rule.id for each in screening.findings)
            outcome = next((row.outcome for row in screening.coverage.rules if row.rule == rule.id), "does not apply")
            is_so = spoke if case.kind == "fires" else not spoke and (outcome == "met") == (case.kind == "holds")
            counts[case.kind] += is_so
        found[rule.id] = counts
    return found
