"""Which branch of a rule nothing reaches: rows of tables, alternatives of an `or`, parts, stricter levels, events.

A row counts as reached where it is the one that a table gives, an alternative where it is true and no other of its `or`
is, both in a scope in which a rule that reads them answers: it is met, broken or does not apply. A part and a stricter
level count as reached where the part is broken, and the level's condition true then.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from rxlint.expressions import Environment, Node, at_point, condition, keys_in, nodes, show, walk
from rxlint.library.screen import parse_bytes
from rxlint.model.facts import Facts, facts_of
from rxlint.model.names import shown_key
from rxlint.notation.tree import Document
from rxlint.packs import Defined, Rule
from rxlint.packs.cases_load import is_whole
from rxlint.screening.case_text import document_of
from rxlint.screening.cases import CASE_DAY
from rxlint.screening.review_cases import facts_of_cases
from rxlint.screening.ruleset import builtin_rules
from rxlint.text import Problem
from tests.packs.cases import PACK_OF, RULES, screened
from tests.reached.gather import EXAMPLES

_ANSWERS: Final = frozenset({"met", "broken", "does not apply"})
_FOLDERS: Final = ("sound", "templates", "slips")


@dataclass(frozen=True, slots=True, order=True)
class Branch:
    """A branch: of a rule, or of a term that its pack defines; what kind; which, from 1; and what it says."""

    home: str
    kind: str
    number: str
    text: str

    def __str__(self) -> str:
        return f"{self.home}, {self.kind} {self.number}: {self.text}"


@dataclass(frozen=True, slots=True, eq=False)
class Fork:
    """A place where one of several ways is taken: the branches in their order, with the condition of each."""

    branches: tuple[Branch, ...]
    ways: tuple[Node | None, ...]
    is_row: bool

    def taken(self, environment: Environment) -> Branch | None:
        """The branch that alone makes the value there: the first row that applies, or the one alternative."""
        truths = [True if way is None else condition(way, environment) for way in self.ways]
        if self.is_row:
            for branch, truth in zip(self.branches, truths, strict=True):
                if truth is not False:
                    return branch if truth is True else None
            return None
        only = [branch for branch, truth in zip(self.branches, truths, strict=True) if truth is True]
        return only[0] if len(only) == 1 else None


def forks_of(home: str, root: Node) -> Iterator[Fork]:
    """Every table and every `or` of an expression."""
    inner: set[int] = set()  # the rest of a table, which is a choice too
    count = {"row": 0, "or": 0}
    for node in walk(root):
        if isinstance(node, nodes.Choice) and id(node) not in inner:
            count["row"] += 1
            yield _table(home, node, count["row"], inner)
        elif isinstance(node, nodes.Logic) and node.operator == "or":
            count["or"] += 1
            texts = enumerate(node.parts, 1)
            made = (Branch(home, "alternative", f"{count['or']}.{at}", show(each)) for at, each in texts)
            yield Fork(tuple(made), node.parts, is_row=False)


def _table(home: str, node: Node, which: int, inner: set[int]) -> Fork:
    branches: list[Branch] = []
    ways: list[Node | None] = []
    while isinstance(node, nodes.Choice):
        inner.add(id(node))
        branches.append(Branch(home, "row", f"{which}.{len(branches) + 1}", show(node.condition)))
        ways.append(node.condition)
        node = node.no
    branches.append(Branch(home, "row", f"{which}.{len(branches) + 1}", "otherwise"))
    return Fork((*branches,), (*ways, None), is_row=True)


# ---- the branches of a rule


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """A rule's requirement, or a part of it: the forks that it reads, its own branch, those of its stricter levels."""

    part: Rule
    forks: tuple[Fork, ...]
    own: Branch | None
    levels: tuple[tuple[Branch, Node], ...]

    @property
    def branches(self) -> Iterator[Branch]:
        """All of them."""
        for fork in self.forks:
            yield from fork.branches
        if self.own is not None:
            yield self.own
        yield from (branch for branch, _ in self.levels)


def plans_of(rule: Rule, defined: Mapping[str, Defined], terms: Mapping[str, tuple[Fork, ...]]) -> tuple[Plan, ...]:
    """What there is to reach of a rule with a requirement. What all parts share is counted once, with the rule."""
    levels = tuple(
        (Branch(rule.id, "stricter level", str(at), f"{each.level} when {show(each.when)}"), each.when)
        for at, each in enumerate(rule.stricter, 1)
    )
    common = [*([rule.when] if rule.when is not None else []), *(node for _, node in levels)]
    found: list[Plan] = []
    for at, part in enumerate(rule.parts or (rule,), 1):
        if part.require is not None:
            own = Branch(rule.id, "part", str(at), part.require_text or show(part.require)) if rule.parts else None
            roots = [part.require, *_own_when(rule, part)]
            forks = [*_forks(rule.id, common), *_forks(f"{rule.id}, part {at}" if rule.parts else rule.id, roots)]
            forks += [fork for key in sorted(_terms_read([*common, *roots], defined)) for fork in terms[key]]
            found.append(Plan(part, tuple(forks), own, levels))
    return tuple(found)


def _own_when(rule: Rule, part: Rule) -> list[Node]:
    """The condition of a part alone, which is joined to that of its rule."""
    if part.when is None or part.when == rule.when:
        return []
    is_joined = rule.when is not None and isinstance(part.when, nodes.Logic) and part.when.parts[0] == rule.when
    return [*part.when.parts[1:]] if is_joined and isinstance(part.when, nodes.Logic) else [part.when]


def _forks(home: str, roots: Sequence[Node]) -> list[Fork]:
    """The forks of several expressions of one rule, counted through."""
    found = (fork for root in roots for fork in forks_of(home, root))
    return [_numbered(fork, at) for at, fork in enumerate(found, 1)]


def _numbered(fork: Fork, at: int) -> Fork:
    """A fork of a rule with its place among all forks of the rule in the numbers of its branches."""
    made = (Branch(b.home, b.kind, f"{at}.{b.number.partition('.')[2]}", b.text) for b in fork.branches)
    return Fork(tuple(made), fork.ways, fork.is_row)


def _terms_read(roots: Sequence[Node], defined: Mapping[str, Defined]) -> set[str]:
    """The terms of packs that some conditions read, by way of others too."""
    found: set[str] = set()
    waiting = [key for root in roots for key in keys_in(root)]
    while waiting:
        key = waiting.pop()
        if key in defined and key not in found:
            found.add(key)
            waiting += keys_in(defined[key].node)
    return found


def look(plan: Plan, scopes: Sequence[Facts]) -> Iterator[Branch]:
    """The branches that are reached in some scopes."""
    assert plan.part.require is not None, "a plan has a requirement"
    for facts in scopes:
        outcome = at_point(plan.part.when, plan.part.require, facts.as_set).outcome
        if outcome in _ANSWERS:
            yield from (taken for fork in plan.forks if (taken := fork.taken(facts.as_set)) is not None)
        if outcome == "broken":
            if plan.own is not None:
                yield plan.own
            yield from (branch for branch, node in plan.levels if condition(node, facts.as_set) is True)


# ---- all of them


def unreached() -> tuple[int, tuple[Branch, ...]]:
    """How many branches there are, and those that no case and no example reaches."""
    every: dict[Branch, bool] = {}
    shown = [tuple(facts_of(document, builtin_rules().defined_nodes, CASE_DAY)) for document in _examples()]
    for name in dict.fromkeys(PACK_OF[rule.id].name for rule in RULES):
        pack = next(each for each in PACK_OF.values() if each.name == name)
        terms = {key: tuple(forks_of(shown_key(key), each.node)) for key, each in pack.defined.items()}
        for rule in pack.rules:
            plans = plans_of(rule, pack.defined, terms)
            cases = [each.scopes for each in facts_of_cases(rule, pack)] if plans else []
            for plan in plans:
                every |= {branch: False for branch in plan.branches if branch not in every}
                for scopes in cases:
                    every |= dict.fromkeys(look(plan, scopes), True)
                if not all(every[branch] for branch in plan.branches):
                    for scopes in shown:
                        every |= dict.fromkeys(look(plan, scopes), True)
        every |= events_reached(rule for rule in pack.rules if len(rule.found_by) > 1)
    return len(every), tuple(branch for branch, is_reached in every.items() if not is_reached)


def events_reached(rules: Iterator[Rule]) -> dict[Branch, bool]:
    """Of rules found by several events: whether a case shows each of them, alone among the rule's events."""
    found: dict[Branch, bool] = {}
    for rule in rules:
        for at, event in enumerate(rule.found_by, 1):
            found[Branch(rule.id, "event", str(at), event)] = any(
                _events(rule, index) == {event} for index, case in enumerate(rule.cases) if case.kind == "fires"
            )
    return found


def _events(rule: Rule, index: int) -> set[str]:
    """The events of a rule in one of its cases: those of the reader, or else the one of a walk, where it speaks."""
    case = rule.cases[index]
    document = parse_bytes((case.text if is_whole(case.text) else document_of(case.text)).encode())
    assert not isinstance(document, Problem), "a case is text"
    read = {each.event.name for each in document.reported} & set(rule.found_by)
    walked = [event for event in rule.found_by if not event.startswith("reader.")]
    spoke = any(each.rule == rule.id for each in screened(rule.id, index).findings)
    return read or (set(walked) if spoke and len(walked) == 1 else set())


def _examples() -> Iterator[Document]:
    for folder in _FOLDERS:
        for path in sorted((EXAMPLES / folder).glob("*.vrx")):
            document = parse_bytes(path.read_bytes())
            if not isinstance(document, Problem):
                yield document
