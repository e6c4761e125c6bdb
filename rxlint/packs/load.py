"""A pack's tree to typed rules. Every fault is reported at its place in the file; a pack with a fault does not load."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Final

from rxlint.expressions import BoolType, Node, NumberType, Type, check, nodes
from rxlint.expressions.problems import near
from rxlint.model.names import NameTable, own_key
from rxlint.packs.cases_load import read_cases
from rxlint.packs.found_by import EVENTS, near_events, shared_fields
from rxlint.packs.message import read_message
from rxlint.packs.pack import (
    BASES,
    LEVELS,
    POLICY_BASES,
    Correction,
    Defined,
    Level,
    Message,
    Pack,
    PackProblem,
    Rule,
    Spot,
    Stricter,
)
from rxlint.packs.profile_load import read_profile
from rxlint.packs.reading import Reader
from rxlint.packs.yaml_tree import Mapping_, Refused, Scalar, Sequence_, Tree, read_file, read_tree
from rxlint.units import UNITS, Unit, find_unit, units_of, without_basis
from rxlint.vocabulary import vocabulary

PACK_KEYS: Final = ("pack", "revision", "summary", "uses", "define", "rules", "profiles of cases")
POLICY_KEYS: Final = ("fixed", "limits", "demand", "must be checked", "never accepted", "adjust")
"""The keys that make a pack a site's policy."""
_RULE_KEYS: Final = (
    "id", "level", "stricter", "basis", "title", "when", "require", "each", "asked of", "level where allowed",
    "found by", "at", "say", "makes", "corrections", "because", "source", "yields to", "cases",
)  # fmt: skip
_ID: Final = re.compile(r"[a-z][a-z0-9-]*(\.[a-z0-9-]+)+")
_NAME: Final = re.compile(r"[a-z][a-z0-9-]*")
_TERM: Final = re.compile(r"[^\W\d_][\w',-]*( [\w',-]+)*")
_WORDS: Final = frozenset(
    ["and", "or", "not", "if", "then", "else", "is", "has", "in", "of", "within", "before", "between", "stated"]
)
MOST_STEPS: Final = 64
"""The most terms of a pack that are defined by way of one another, one behind another."""
_NEEDED: Final = ("id", "level", "basis", "title", "say", "because", "source", "cases")


def load_pack(
    path: Path, shown: str | None = None, known: Sequence[Pack] | None = None
) -> tuple[Pack | None, tuple[PackProblem, ...]]:
    """Load a pack file; (None, problems) where it can't be used. Never raises for what the file holds.

    ``known`` are the packs that a policy may refer to: the built-in ones where none are given.
    """
    name = shown or str(path)
    text = read_file(path, name)
    if isinstance(text, PackProblem):
        return None, (text,)
    return load_text(text, name, known)


def load_text(text: str, path: str, known: Sequence[Pack] | None = None) -> tuple[Pack | None, tuple[PackProblem, ...]]:
    """Load a pack from its text; ``known`` as for ``load_pack``."""
    try:
        tree = read_tree(text, path)
    except Refused as error:
        return None, (error.problem,)
    loader = _Loader(path, known)
    pack = loader.pack(tree, hashlib.sha256(text.encode("utf-8")).hexdigest()[:32])
    return (None, loader.told()) if loader.problems else (pack, ())


@lru_cache(maxsize=4)
def defined_in(define: Tree, pack: str) -> tuple[NameTable, Mapping[str, Defined]]:
    """The names that the expressions of a pack may use, and the terms of its own, as far as what stands under
    ``define`` can be read: for an editor, whatever else is wrong with the pack. Remembered while that stays the same.
    """
    loader = _Loader("", None)
    loader.define(define, pack)
    return loader.names, loader.defined


class _Loader(Reader):
    def __init__(self, path: str, known: Sequence[Pack] | None) -> None:
        super().__init__(path)
        self.defined: dict[str, Defined] = {}
        self.depths: dict[str, int] = {}  # of defined terms: how many stand one behind another, this one among them
        self.known = known
        self.bases = BASES

    # ---- the file
    def pack(self, tree: Tree, digest: str) -> Pack | None:
        if not isinstance(tree, Mapping_):
            self.fault(tree.spot, "a pack is a mapping with the keys " + ", ".join(PACK_KEYS))
            return None
        is_policy = any(tree.get(key) is not None for key in POLICY_KEYS)
        self.unknown_keys(tree, (*PACK_KEYS, *POLICY_KEYS), "a pack")
        name = self.text(tree, "pack") or ""
        if name and not is_policy and not _NAME.fullmatch(name):
            told = f"a pack's name is lower-case letters, digits and hyphens: {name}"
            self.fault(self.spot_of(tree, "pack"), told)
        revision = self.revision(tree)
        define = tree.get("define")
        if define is not None:
            self.define(define, name)
        self.bases = POLICY_BASES if is_policy else BASES
        listed = self.sequence(tree.get("rules"), None if is_policy else tree)
        rules = tuple(rule for rule in (self.rule(each, name) for each in listed) if rule)
        self.ids_once(rules)
        uses = self.uses(tree, is_policy)
        trial = [read_profile(self, each, digest) for each in self.sequence(tree.get("profiles of cases"), None)]
        profiles = tuple(each for each in trial if each is not None)
        policy = None
        if is_policy:
            from rxlint.packs.policy import Head, read_policy

            policy = read_policy(
                self,
                tree,
                Head(name, revision, rules),
                self.known,
            )
        if self.problems:
            return None
        return Pack(
            name,
            revision,
            self.text(tree, "summary") or "",
            self.path,
            digest,
            rules,
            self.defined,
            self.names,
            uses,
            policy,
            profiles,
        )

    def uses(self, tree: Mapping_, is_policy: bool) -> tuple[str, ...]:
        """The packs that this one uses. What a policy names is looked for where the policy is read."""
        value = tree.get("uses")
        named = tuple(each for each in self.sequence(value, None) if isinstance(each, Scalar))
        known = {pack.name for pack in self.known or ()}
        for each in named:
            if not is_policy and known and each.text not in known:
                told = f"uses: there is no pack {each.text} among the built-in ones and those named before this file"
                self.fault(each.spot, told, near(each.text, known))
        return tuple(each.text for each in named)

    def ids_once(self, rules: tuple[Rule, ...]) -> None:
        seen: dict[str, Spot] = {}
        for rule in rules:
            if rule.id in seen:
                told = f"the id {rule.id} stands twice, first at line {seen[rule.id].line}"
                self.fault(rule.spot, told)
            seen.setdefault(rule.id, rule.spot)

    # ---- defined terms
    def define(self, tree: Tree, pack: str) -> None:
        if not isinstance(tree, Mapping_):
            self.fault(tree.spot, "define is a mapping from a term to what it is")
            return
        for name, body in tree.items:
            if not isinstance(body, Mapping_):
                self.fault(body.spot, "a defined term is a mapping with as (or rows), means and source")
                continue
            self.unknown_keys(body, ("as", "rows", "means", "source", "unit"), "a defined term")
            if name.text in self.names.spellings():
                self.fault(name.spot, f"{name.text} is a term already")
                continue
            if not _TERM.fullmatch(name.text) or name.text in _WORDS:  # it would take the place of a number or a sign
                self.fault(name.spot, f"a term's name is words that begin with a letter: {name.text}")
                continue
            if body.get("as") is not None and body.get("rows") is not None:
                self.fault(body.spot, "a defined term has as or rows, not both")
                continue
            node = self.rows(body) if body.get("rows") is not None else self.expression(body.get("as"), None, name.text)
            means, source = self.text(body, "means"), self.text(body, "source")
            if node is None:
                if body.get("as") is None and body.get("rows") is None:
                    self.fault(body.spot, "a defined term needs as, or rows")
                continue
            kind = check(node, self.names).type
            assert kind is not None
            unit = self.unit(body, kind)
            key = own_key(pack, name.text)
            self.depths[key] = 1 + max((self.depths.get(each, 0) for each in nodes.keys_in(node)), default=0)
            if self.depths[key] > MOST_STEPS:
                told = f"{name.text} is defined by way of more than {MOST_STEPS} terms, one behind another"
                self.fault(name.spot, told)
                return
            self.defined[key] = Defined(key, node, means or "", source or "", unit, name.spot, self.unsourced(body))
            self.names = self.names.with_own(pack, name.text, kind)

    def rows(self, body: Mapping_) -> Node | None:
        """A table as a chain of choices: the first row whose condition holds gives the value."""
        given = self.sequence(body.get("rows"), None)
        rows = [each for each in given if isinstance(each, Mapping_)]
        for each in given:
            if not isinstance(each, Mapping_):
                self.fault(each.spot, "a row has when and is, or otherwise")
        if not given and isinstance(body.get("rows"), Sequence_):
            self.fault(self.spot_of(body, "rows"), "rows is empty: the last row is otherwise, with a value")
        chain: Node | None = None
        for row in reversed(rows):
            self.unknown_keys(row, ("when", "is", "otherwise", "source"), "a row")
            if row.get("otherwise") is not None:
                if chain is not None:
                    self.fault(row.spot, "otherwise is the last row")
                chain = self.expression(row.get("otherwise"), None, "otherwise")
                continue
            when, value = (
                self.expression(row.get("when"), BoolType(), "when"),
                self.expression(row.get("is"), None, "is"),
            )
            if when is None or value is None:
                if row.get("when") is None or row.get("is") is None:
                    self.fault(row.spot, "a row has when and is, or otherwise")
                return None
            if chain is None:
                self.fault(row.spot, "the last row is otherwise: every document needs a value")
                return None
            chain = nodes.Choice(when, value, chain)
        if chain is not None:
            errors = check(chain, self.names).errors
            for problem in errors:
                self.fault(body.spot, f"rows: {problem.message}")
            return None if errors else chain
        return chain

    def unsourced(self, body: Mapping_) -> tuple[Spot, ...]:
        """The rows of a table that do not say where they come from."""
        rows = (each for each in self.sequence(body.get("rows"), None) if isinstance(each, Mapping_))
        return tuple(row.spot for row in rows if row.get("source") is None)

    def unit(self, body: Mapping_, kind: Type) -> Unit | None:
        """The unit that a defined term is told in."""
        symbol = self.text(body, "unit", needed=False)
        if symbol is None:
            return self.unit_of(kind)
        unit = find_unit(symbol)
        if unit is None:
            self.fault(self.spot_of(body, "unit"), f"unit: there is no unit {symbol}", near(symbol, UNITS))
        elif not isinstance(kind, NumberType) or without_basis(kind.dimension) != unit.dimension:
            self.fault(self.spot_of(body, "unit"), f"unit: the term is not measured in {symbol}")
        return unit

    @staticmethod
    def unit_of(kind: Type) -> Unit | None:
        symbols = units_of(kind.dimension) if isinstance(kind, NumberType) and kind.dimension.exponents else []
        return find_unit(symbols[0]) if symbols else None

    # ---- rules
    def rule(self, tree: Tree, pack: str) -> Rule | None:
        if not isinstance(tree, Mapping_):
            self.fault(tree.spot, "a rule is a mapping")
            return None
        before = len(self.problems)
        self.unknown_keys(tree, _RULE_KEYS, "a rule")
        # where each requirement says it in its own words, the rule itself need not
        self.needed(tree, tuple(key for key in _NEEDED if key != "say" or tree.get("each") is None))
        found_by = self.events(tree)
        require, when, each = tree.get("require"), tree.get("when"), tree.get("each")
        if [require is None, each is None, not found_by].count(False) != 1:
            self.fault(tree.spot, "a rule has exactly one of require, each and found by")
        identifier = self.text(tree, "id", needed=False) or ""
        if identifier and not _ID.fullmatch(identifier):
            told = f"an id is lower-case words with hyphens, an area before a point: {identifier}"
            self.fault(self.spot_of(tree, "id"), told)
        fields = shared_fields(found_by)
        rule = Rule(
            id=identifier,
            level=self.one_of(tree, "level", LEVELS),
            basis=self.one_of(tree, "basis", self.bases),
            title=self.text(tree, "title", needed=False) or "",
            say=self.message(tree.get("say"), fields),
            because=" ".join((self.text(tree, "because", needed=False) or "").split()),
            source=" ".join((self.text(tree, "source", needed=False) or "").split()),
            pack=pack,
            spot=tree.spot,
            when=self.expression(when, BoolType(), "when"),
            require=self.expression(require, BoolType(), "require"),
            found_by=found_by,
            as_set_only=self.asked_of(tree),
            level_where_allowed=self.where_allowed(tree),
            at=self.keys(tree, "at"),
            makes=self.keys(tree, "makes"),
            stricter=self.stricter(tree.get("stricter")),
            corrections=self.corrections(tree.get("corrections")),
            yields_to=self.others(tree, identifier),
            cases=read_cases(self, tree.get("cases")),
            when_text=when.text.strip() if isinstance(when, Scalar) else "",
            require_text=require.text.strip() if isinstance(require, Scalar) else "",
        )
        if each is not None:
            rule = replace(rule, parts=self.parts(each, rule, fields))
        return rule if len(self.problems) == before else None

    def parts(self, tree: Tree, rule: Rule, fields: tuple[str, ...]) -> tuple[Rule, ...]:
        """The requirements of a rule that has several; each may narrow when, and say it in its own words."""
        found: list[Rule] = []
        if isinstance(tree, Sequence_) and not tree.items:
            self.fault(tree.spot, "each is empty: a rule needs a requirement")
        for part in self.sequence(tree, None):
            if not isinstance(part, Mapping_) or part.get("require") is None:
                self.fault(
                    part.spot,
                    "each is a list of requirements: require, with when, at, say, makes and corrections of its own",
                )
                continue
            self.unknown_keys(part, ("when", "require", "at", "say", "makes", "corrections"), "each")
            own, when, require = part.get("say"), part.get("when"), part.get("require")
            node = self.expression(when, BoolType(), "when")
            both = node if rule.when is None else rule.when if node is None else nodes.Logic("and", (rule.when, node))
            found.append(
                replace(
                    rule,
                    when=both,
                    require=self.expression(require, BoolType(), "require"),
                    at=self.keys(part, "at") or rule.at,
                    say=self.message(own, fields) if own is not None else rule.say,
                    makes=self.keys(part, "makes") or rule.makes,
                    corrections=self.corrections(part.get("corrections")) or rule.corrections,
                    when_text=when.text.strip() if isinstance(when, Scalar) else "",
                    require_text=require.text.strip() if isinstance(require, Scalar) else "",
                )
            )
        return tuple(found)

    def events(self, tree: Mapping_) -> tuple[str, ...]:
        """The events that a rule is found by."""
        found = self.scalars(tree, "found by")
        for each in found:
            if each.text not in EVENTS:
                self.fault(each.spot, f"there is no event {each.text or 'without a name'}", near_events(each.text))
        return tuple(each.text for each in found)

    def asked_of(self, tree: Mapping_) -> bool:
        """Whether a rule is asked of the values as set alone."""
        return (
            tree.get("asked of") is not None
            and self.one_of(tree, "asked of", ("all that is allowed", "values as set")) == "values as set"
        )

    def where_allowed(self, tree: Mapping_) -> Level | None:
        """The level of a finding of which the values as set are free, and something else that is allowed is not."""
        if tree.get("level where allowed") is None:
            return None
        level: Level = self.one_of(tree, "level where allowed", LEVELS)
        return level

    def others(self, tree: Mapping_, own: str) -> tuple[str, ...]:
        """The rules that this one gives way to."""
        found = self.scalars(tree, "yields to")
        for each in found:
            if not _ID.fullmatch(each.text):
                self.fault(each.spot, f"yields to: {each.text or 'nothing'} is no id of a rule")
            elif each.text == own:
                self.fault(each.spot, "yields to: a rule that gives way to itself is never heard")
        return tuple(each.text for each in found)

    def keys(self, tree: Mapping_, key: str) -> tuple[str, ...]:
        found = self.scalars(tree, key)
        spellings = self.names.spellings()
        sections = tuple(f"section {name}" for name in vocabulary().sections)
        for each in found:
            if each.text not in spellings and each.text not in sections and each.text not in vocabulary().terms:
                told = f"{key}: there is no term {each.text}"
                self.fault(each.spot, told, near(each.text, (*spellings, *sections)))
        return tuple(spellings.get(each.text, each.text) for each in found)

    def message(self, scalar: Tree | None, fields: tuple[str, ...]) -> Message:
        if not isinstance(scalar, Scalar):
            if scalar is not None:
                self.fault(scalar.spot, "say must be text")
            return Message(())
        message, problems = read_message(scalar.text, self.names, fields)
        for offset, text, suggestions in problems:
            self.fault(self.inside(scalar, offset), f"say: {text}", suggestions)
        if not message.parts:
            self.fault(scalar.spot, "say must be text")
        return message

    def stricter(self, tree: Tree | None) -> tuple[Stricter, ...]:
        found: list[Stricter] = []
        for each in self.sequence(tree, None):
            if not isinstance(each, Mapping_):
                self.fault(each.spot, "stricter is a list of level and when")
                continue
            self.unknown_keys(each, ("level", "when"), "stricter")
            self.needed(each, ("level", "when"))
            node = self.expression(each.get("when"), BoolType(), "when")
            if node is not None:
                found.append(Stricter(self.one_of(each, "level", LEVELS), node))
        return tuple(found)

    def corrections(self, tree: Tree | None) -> tuple[Correction, ...]:
        found: list[Correction] = []
        for each in self.sequence(tree, None):
            if not isinstance(each, Mapping_):
                self.fault(each.spot, "a correction has set and to")
                continue
            self.unknown_keys(each, ("set", "to"), "a correction")
            self.needed(each, ("set", "to"))
            key = self.text(each, "set", needed=False) or ""
            kind = self.names.types.get(key)
            if not isinstance(kind, NumberType) or key not in vocabulary().terms:
                if key:
                    told = f"set: {key} is nothing that a document can set to a number"
                    self.fault(self.spot_of(each, "set"), told, near(key, vocabulary().terms))
                continue
            to = each.get("to")
            node = self.expression(to, kind, "to")
            if node is not None and isinstance(to, Scalar):
                measured = check(node, self.names).type
                if measured != kind:
                    self.fault(to.spot, f"to: {key} can't be set to what this measures")
                found.append(Correction(key, node, to.text))
        return tuple(found)
