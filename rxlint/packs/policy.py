"""What makes a pack a site's policy: what it fixes, limits, demands, adjusts and insists on, read to typed rules.

Every row of ``fixed``, ``limits`` and ``demand`` becomes an ordinary rule, whose basis is the site's own decision. How
several policies go together is decided in ``stack``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from rxlint.expressions import BoolType, NumberType, Type, check
from rxlint.expressions.problems import near
from rxlint.model.names import stated_types
from rxlint.model.quantities import has_state
from rxlint.packs.allowed import Allowed, read_allowed
from rxlint.packs.cases_load import read_cases
from rxlint.packs.fixed import Fixed, read_fixed
from rxlint.packs.message import read_message
from rxlint.packs.pack import (
    LEVELS,
    Correction,
    LevelChange,
    Mention,
    Message,
    Origin,
    Pack,
    Policy,
    PolicyRow,
    Rule,
    Spot,
    TermChange,
)
from rxlint.packs.reading import Reader
from rxlint.packs.yaml_tree import Mapping_, Scalar, Sequence_, Tree
from rxlint.vocabulary import vocabulary

ID: Final = re.compile(r"[a-z][a-z0-9-]*(\.[a-z0-9-]+)+")
_NAME: Final = re.compile(r"[a-z][a-z0-9-]*")
_COMMON: Final = ("id", "level", "when", "source", "because", "final", "cases")
_NEEDED: Final = ("id", "level", "source")


@dataclass(frozen=True, slots=True)
class Head:
    """The policy's name and revision, and the rules that stand under ``rules``."""

    name: str
    revision: int
    rules: tuple[Rule, ...]


_Read = Callable[[Mapping_], PolicyRow | None]


@dataclass(frozen=True, slots=True)
class Demand:
    """One requirement of a row: the condition, what is said where it fails, and the term it stands at."""

    require: str
    say: str
    at: str


def read_policy(reader: Reader, tree: Mapping_, head: Head, known: Sequence[Pack] | None) -> Policy:
    """The policy in a pack's tree; every fault is noted in ``reader``. ``known`` are the packs it may refer to."""
    if known is None:
        from rxlint.packs.builtin import builtin_packs

        known = builtin_packs()
    return _PolicyReader(reader, head, known).read(tree)


class _PolicyReader:
    def __init__(self, reader: Reader, head: Head, known: Sequence[Pack]) -> None:
        self.reader = reader
        self.head = head
        self.packs = {pack.name: pack for pack in known}
        self.owners = {rule.id: pack.name for pack in known for rule in pack.rules}
        self.rows = {row.rule.id: pack.name for pack in known if pack.policy for row in pack.policy.rows}
        self.used: frozenset[str] = frozenset()
        self.absent: frozenset[str] = frozenset()  # what uses names and is not there: told there, and nowhere else
        self.own: tuple[str, ...] = ()

    def read(self, tree: Mapping_) -> Policy:
        if self.head.name and not _NAME.fullmatch(self.head.name):
            told = f"a policy's name is lower-case letters, digits and hyphens: {self.head.name}"
            self.reader.fault(self.reader.spot_of(tree, "pack"), told)
        self.uses(tree.get("uses"))
        rows = (
            *self.listed(tree, "fixed", ("setting", "to"), self.fixed),
            *self.listed(tree, "limits", ("of", "allow"), self.limits),
            *self.listed(tree, "demand", ("terms",), self.demand),
        )
        self.ids(rows)
        self.own = (*(row.rule.id for row in rows), *(rule.id for rule in self.head.rules))
        levels, terms = self.adjustments(tree.get("adjust"))
        return Policy(
            rows,
            levels,
            terms,
            tuple(self.mentions(tree, "must be checked")),
            tuple(self.mentions(tree, "never accepted")),
        )

    # ---- what it refers to
    def uses(self, tree: Tree | None) -> None:
        """The packs that the policy speaks of. One that is not there is told once: what is said of it can't be judged.

        Where a name is a slip away from that of a pack, the pack is meant, and the rest is held against it.
        """
        used: set[str] = set()
        absent: set[str] = set()
        for each in self.reader.sequence(tree, None):
            if not isinstance(each, Scalar):
                self.reader.fault(each.spot, "uses is a list of the names of packs")
            elif each.text in self.packs:
                used.add(each.text)
            else:
                meant = near(each.text, self.packs)
                self.reader.fault(each.spot, f"uses: {_missing(each.text, meant)}", meant)
                used |= set(meant)
                absent.add(each.text)
        self.used, self.absent = frozenset(used), frozenset(absent)

    def is_of_absent(self, name: str, alike: Sequence[str]) -> bool:
        """Whether a rule, an area or a pack may be one of a pack that is not there."""
        return bool(self.absent) and (name in self.absent or not alike)

    def ids(self, rows: Iterable[PolicyRow]) -> None:
        """Every id once, and none that a rule of another pack has: rows of wider policies may be replaced."""
        seen = {rule.id: rule.spot for rule in self.head.rules}
        for row in rows:
            rule = row.rule
            if rule.id in seen:
                told = f"the id {rule.id} stands twice, first at line {seen[rule.id].line}"
                self.reader.fault(rule.spot, told)
            elif rule.id in self.owners:
                told = (
                    f"{rule.id} is a rule of {self.owners[rule.id]}; adjust its level, or give the row an id of its own"
                )
                self.reader.fault(rule.spot, told)
            seen.setdefault(rule.id, rule.spot)

    def is_known_rule(self, name: str, spot: Spot, what: str) -> bool:
        """Whether a rule's id can be referred to; a fault that says why not."""
        if self.owners.get(name) in self.used:
            return True
        alike = near(name, [*self.own, *self.owners])
        if name in self.own:
            told = f"{what}: {name} is a rule of this policy: set its level there"
            self.reader.fault(spot, told)
        elif name in self.owners:
            told = f"{what}: {name} is a rule of {self.owners[name]}, which uses does not name"
            self.reader.fault(spot, told)
        elif name in self.rows:
            told = f"{what}: {name} is a row of {self.rows[name]}: a row with the same id replaces it"
            self.reader.fault(spot, told)
        elif not self.is_of_absent(name, alike):
            self.reader.fault(spot, f"{what}: there is no rule {name} in what uses names", alike)
        return False

    def mentions(self, tree: Mapping_, key: str) -> Iterator[Mention]:
        """Rules and areas that a list names."""
        used = [rule for rule, pack in self.owners.items() if pack in self.used]
        areas = {rule.partition(".")[0] for rule in (*used, *self.own)}
        for each in self.reader.sequence(tree.get(key), None):
            if not isinstance(each, Scalar) or not each.text:
                self.reader.fault(each.spot, f"{key} is a list of areas and ids of rules")
            elif each.text in areas or each.text in self.own:
                yield Mention(each.text, each.spot)
            elif "." in each.text:
                if self.is_known_rule(each.text, each.spot, key):
                    yield Mention(each.text, each.spot)
            else:
                self.no_area(each, key, areas)

    def no_area(self, named: Scalar, key: str, areas: Iterable[str]) -> None:
        """Says why an area can't be named."""
        owners = sorted({pack for rule, pack in self.owners.items() if rule.partition(".")[0] == named.text})
        alike = near(named.text, areas)
        if owners:
            told = f"{key}: {named.text} is an area of the pack {' and '.join(owners)}, which uses does not name"
            self.reader.fault(named.spot, told)
        elif not self.is_of_absent(named.text, alike):
            self.reader.fault(named.spot, f"{key}: there is no area {named.text} in what uses names", alike)

    # ---- rows
    def listed(self, tree: Mapping_, kind: str, keys: tuple[str, ...], read: _Read) -> list[PolicyRow]:
        found: list[PolicyRow] = []
        for each in self.reader.sequence(tree.get(kind), None):
            if not isinstance(each, Mapping_):
                self.reader.fault(each.spot, f"a row of {kind} is a mapping with {', '.join((*_NEEDED, *keys))}")
                continue
            before = len(self.reader.problems)
            self.reader.unknown_keys(each, (*_COMMON, *keys), f"a row of {kind}")
            self.reader.needed(each, (*_NEEDED, *keys))
            row = read(each) if all(each.get(key) is not None for key in (*_NEEDED, *keys)) else None
            if row is not None and len(self.reader.problems) == before:
                found.append(row)
        return found

    def fixed(self, tree: Mapping_) -> PolicyRow | None:
        setting = self.term(tree, "setting", tuple(vocabulary().terms))
        to = tree.get("to")
        if setting is None or to is None:
            return None
        fixed = read_fixed(self.reader, setting, to, tuple(self.packs.values()))
        if fixed is None:
            return None
        name = self.head.name
        parts = [Demand(fixed.require, f"{setting} is {fixed.told}, where {name} always sets {fixed.stated}", setting)]
        if fixed.may_be_off:
            off = f"{setting} is switched off, where {name} always sets {fixed.stated}"
            parts.insert(0, Demand(f"{setting} state is on", off, setting))
        rule = self.rule(tree, f"{setting} is not {fixed.stated}", parts, self.corrections(fixed, to))
        return PolicyRow("fixed", rule, self.final(tree), setting, fixed.stated)

    def corrections(self, fixed: Fixed, to: Tree) -> tuple[Correction, ...]:
        if not fixed.sets:
            return ()
        read = self.reader.number(fixed.sets)
        if read.node is None:
            self.reader.fault(to.spot, f"to: {read.errors[0].message}", read.errors[0].suggestions)
            return ()
        return (Correction(fixed.setting, read.node, fixed.sets),)

    def limits(self, tree: Mapping_) -> PolicyRow | None:
        numbers = tuple(self.reader.names.spellings())
        of = self.term(tree, "of", numbers)
        allow = tree.get("allow")
        if of is None or allow is None:
            return None
        allowed = read_allowed(self.reader, of, allow, tuple(self.packs.values()))
        if allowed is None:
            return None
        say, title = _limit_words(of, allowed, self.head.name)
        rule = self.rule(tree, title, [Demand(allowed.require, say, of)])
        return PolicyRow(
            "limits", rule, self.final(tree), allowed.measured, allowed.stated, allowed.low, allowed.high
        )  # fmt: skip

    def demand(self, tree: Mapping_) -> PolicyRow | None:
        terms: list[str] = []
        known = stated_types()
        listed = tree.get("terms")
        for each in listed.items if isinstance(listed, Sequence_) else ():
            if isinstance(each, Scalar) and each.text in terms:
                self.reader.fault(each.spot, f"terms: {each.text} stands twice")
            elif isinstance(each, Scalar) and each.text in known:
                terms.append(each.text)
            else:
                shown = each.text if isinstance(each, Scalar) else "this"
                is_derived = shown in self.reader.names.spellings()
                why = f"{shown} is worked out, not stated" if is_derived else f"there is no term {shown}"
                self.reader.fault(each.spot, f"terms: {why}", () if is_derived else near(shown, known))
        if not isinstance(listed, Sequence_) or not listed.items:
            self.reader.fault(self.reader.spot_of(tree, "terms"), "terms is a list of what an order must state")
        if not terms:
            return None
        parts = [part for term in terms for part in _demanded(term, self.head.name)]
        several = f"one of {len(terms)} terms" if len(terms) > 2 else " or ".join(terms)
        rule = self.rule(tree, f"{several} that {self.head.name} demands is not stated", parts)
        return PolicyRow("demand", rule, self.final(tree), terms=tuple(terms))

    def term(self, tree: Mapping_, key: str, known: Sequence[str]) -> str | None:
        name = self.reader.text(tree, key)
        if name is None or name in known:
            return name
        spot = self.reader.spot_of(tree, key)
        ends = tuple(f"target {end} {name.removeprefix('target ')}" for end in ("low", "high"))
        if ends[0] in known and name.startswith("target "):
            self.reader.fault(spot, f"{key}: {name} has two ends", ends)
        else:
            self.reader.fault(spot, f"{key}: there is no term {name}", near(name, known))
        return None

    def final(self, tree: Mapping_) -> bool:
        return tree.get("final") is not None and self.reader.one_of(tree, "final", ("true", "false")) == "true"

    def rule(
        self, tree: Mapping_, title: str, parts: Sequence[Demand], corrections: tuple[Correction, ...] = ()
    ) -> Rule:
        """A row as a rule; one of several requirements has them as its parts."""
        reader, head = self.reader, self.head
        identifier = reader.text(tree, "id") or ""
        if identifier and not ID.fullmatch(identifier):
            told = f"an id is lower-case words with hyphens, an area before a point: {identifier}"
            reader.fault(reader.spot_of(tree, "id"), told)
        when = tree.get("when")
        whole = Rule(
            id=identifier,
            level=reader.one_of(tree, "level", LEVELS),
            basis="policy",
            title=title,
            say=Message(()),
            because=" ".join((reader.text(tree, "because", needed=False) or f"{head.name} decides so.").split()),
            source=" ".join((reader.text(tree, "source") or "").split()),
            pack=head.name,
            spot=tree.spot,
            when=reader.expression(when, BoolType(), "when"),
            corrections=corrections,
            cases=read_cases(reader, tree.get("cases")),
            when_text=when.text.strip() if isinstance(when, Scalar) else "",
            origins=(Origin(head.name, head.revision, reader.path, tree.spot.line),),
        )
        made = tuple(self.part(whole, part) for part in parts)
        if len(made) == 1:
            return made[0]
        return replace(whole, at=made[0].at, parts=tuple(replace(part, when_text="") for part in made))

    def part(self, whole: Rule, part: Demand) -> Rule:
        read = self.reader.condition(part.require)
        for problem in read.errors:
            self.reader.fault(whole.spot, problem.message, problem.suggestions)
        say, faults = read_message(part.say, self.reader.names, ())
        for _, told, suggestions in faults:
            self.reader.fault(whole.spot, told, suggestions)
        return replace(whole, require=read.node, say=say, at=(part.at,), require_text=part.require)

    # ---- adjustments
    def adjustments(self, tree: Tree | None) -> tuple[tuple[LevelChange, ...], tuple[TermChange, ...]]:
        levels: dict[str, LevelChange] = {}
        terms: dict[str, TermChange] = {}
        for each in self.reader.sequence(tree, None):
            if not isinstance(each, Mapping_) or (each.get("rule") is None) == (each.get("term") is None):
                told = "a row of adjust has rule, level and because, or term, of, to and because"
                self.reader.fault(each.spot, told)
            elif each.get("rule") is not None:
                level = self.level(each)
                if level is not None and levels.setdefault(level.rule, level) is not level:
                    first = levels[level.rule].spot.line
                    self.reader.fault(each.spot, f"{level.rule} is adjusted twice, first at line {first}")
            else:
                term = self.changed(each)
                if term is not None and terms.setdefault(term.key, term) is not term:
                    first = terms[term.key].spot.line
                    self.reader.fault(each.spot, f"{term.name} is adjusted twice, first at line {first}")
        return tuple(levels.values()), tuple(terms.values())

    def level(self, tree: Mapping_) -> LevelChange | None:
        self.reader.unknown_keys(tree, ("rule", "level", "because", "final"), "a row of adjust")
        self.reader.needed(tree, ("level", "because"))
        rule = self.reader.text(tree, "rule")
        if rule is None or not self.is_known_rule(rule, self.reader.spot_of(tree, "rule"), "rule"):
            return None
        level = self.reader.one_of(tree, "level", LEVELS)
        return LevelChange(rule, level, self.because(tree), self.final(tree), tree.spot)

    def changed(self, tree: Mapping_) -> TermChange | None:
        self.reader.unknown_keys(tree, ("term", "of", "to", "because", "final"), "a row of adjust")
        self.reader.needed(tree, ("of", "to", "because"))
        name, of = self.reader.text(tree, "term"), self.reader.text(tree, "of", needed=False)
        pack = self.packs.get(of or "")
        if pack is None or pack.name not in self.used or pack.policy is not None:
            if of is not None:
                self.not_of(of, pack, self.reader.spot_of(tree, "of"))
            return None
        key = pack.names.own.get(name or "")
        if name is None or key is None:
            if name is not None:
                told = f"term: {of} defines no term {name}"
                self.reader.fault(self.reader.spot_of(tree, "term"), told, near(name, pack.names.own))
            return None
        return self.replacement(tree, pack, name, key)

    def not_of(self, of: str, pack: Pack | None, spot: Spot) -> None:
        """Says why the term of a pack can't be changed."""
        alike = near(of, self.used)
        if pack is not None and pack.policy is not None:
            self.reader.fault(spot, f"of: {of} is a policy")
        elif pack is not None:
            self.reader.fault(spot, f"of: uses does not name the pack {of}")
        elif not self.is_of_absent(of, alike):
            self.reader.fault(spot, f"of: {of} is no pack that uses names", alike)

    def replacement(self, tree: Mapping_, pack: Pack, name: str, key: str) -> TermChange | None:
        """What a term of a pack becomes: read with that pack's names, and of the same type."""
        to = tree.get("to")
        other = Reader(self.reader.path)
        other.names = pack.names
        wanted = pack.names.type_of(key)
        node = other.expression(to, wanted, "to")
        self.reader.problems += other.problems
        if node is None or not isinstance(to, Scalar):
            return None
        found = check(node, pack.names).type
        if found != wanted:
            self.reader.fault(to.spot, f"to: {name} is {_kind(wanted)}, and this is {_kind(found)}")
            return None
        text = " ".join(to.text.split())
        return TermChange(pack.name, name, key, node, text, self.because(tree), self.final(tree), tree.spot)

    def because(self, tree: Mapping_) -> str:
        return " ".join((self.reader.text(tree, "because", needed=False) or "").split())


def _missing(name: str, meant: Sequence[str]) -> str:
    """That a pack is not there; where no other can be meant, what to do about it."""
    if meant:
        return f"there is no pack {name}"
    return (
        f"there is no pack {name} among the built-in ones and those named before this policy; "
        "name its file first, and what is said of it here can be checked"
    )


def _kind(kind: Type | None) -> str:
    """What an expression gives, in words."""
    if isinstance(kind, NumberType):
        return kind.dimension.describe() if kind.dimension.exponents else "a number without a unit"
    return "a condition" if isinstance(kind, BoolType) else "a word"


def _limit_words(of: str, allowed: Allowed, policy: str) -> tuple[str, str]:
    """What a limit says where it is left, and its title."""
    value = f"{of} {allowed.told}"
    if allowed.low is not None and allowed.high is not None:
        return (
            f"{value} lies outside {allowed.stated}, which {policy} allows here",
            f"{of} lies outside {allowed.stated}",
        )
    if allowed.high is not None:
        most = allowed.stated.removeprefix("up to ")
        return f"{value} lies above {most}, the most that {policy} allows here", f"{of} lies above {most}"
    least = allowed.stated.removeprefix("at least ")
    return f"{value} lies below {least}, the least that {policy} allows here", f"{of} lies below {least}"


def _demanded(term: str, policy: str) -> Iterator[Demand]:
    """That a term is stated; of an alarm, also that it is not switched off: an alarm that is off warns nobody."""
    yield Demand(f"{term} is stated", f"{term} is not stated, which {policy} demands here", term)
    known = vocabulary().terms.get(term)
    if known is None or known.kind != "limit":
        return
    state = f"{term} state" if has_state(known) else term
    # asked with presence first, so that an alarm that is not stated has one finding, and this one is silent
    require = f"{term} is not stated or {state} is on"
    yield Demand(require, f"{term} is switched off, and {policy} demands it here", term)
