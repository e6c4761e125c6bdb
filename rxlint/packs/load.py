"""A pack's tree to typed rules. Every fault is reported at its place in the file; a pack with a fault does not load."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final, get_args

from rxlint.expressions import BoolType, Node, NumberType, Parsed, Type, check, parse, read_condition
from rxlint.expressions.problems import near
from rxlint.model.names import NameTable, base_names
from rxlint.notation.events import EVENTS as READER_EVENTS
from rxlint.packs.events import EVENTS as SCREENING_EVENTS
from rxlint.packs.message import read_message
from rxlint.packs.pack import (
    BASES,
    LEVELS,
    Case,
    CaseKind,
    Correction,
    Defined,
    Message,
    Pack,
    PackProblem,
    Rule,
    Spot,
    Stricter,
)
from rxlint.packs.yaml_tree import Mapping_, Refused, Scalar, Sequence_, Tree, read_tree
from rxlint.units import find_unit, units_of
from rxlint.vocabulary import vocabulary

EVENTS: Final[Mapping[str, tuple[str, ...]]] = {**READER_EVENTS, **SCREENING_EVENTS}
_PACK_KEYS: Final = ("pack", "revision", "summary", "uses", "define", "rules")
_RULE_KEYS: Final = (
    "id", "level", "stricter", "basis", "title", "when", "require", "found by", "at", "say", "makes", "corrections", "because",
    "source", "yields to", "cases",
)  # fmt: skip
_NEEDED: Final = ("id", "level", "basis", "title", "say", "because", "source", "cases")


def load_pack(path: Path, shown: str | None = None) -> tuple[Pack | None, tuple[PackProblem, ...]]:
    """Load a pack file; (None, problems) where it can't be used. Never raises for what the file holds."""
    name = shown or str(path)
    try:
        data = path.read_bytes()
        text = data.decode("utf-8")
    except OSError as error:
        return None, (PackProblem(name, 1, 1, f"can't be opened: {error.strerror}"),)
    except UnicodeDecodeError:
        return None, (PackProblem(name, 1, 1, "is not UTF-8 text"),)
    return load_text(text, name)


def load_text(text: str, path: str) -> tuple[Pack | None, tuple[PackProblem, ...]]:
    """Load a pack from its text."""
    try:
        tree = read_tree(text, path)
    except Refused as error:
        return None, (error.problem,)
    loader = _Loader(path)
    pack = loader.pack(tree, hashlib.sha256(text.encode("utf-8")).hexdigest()[:32])
    return (None, tuple(loader.problems)) if loader.problems else (pack, ())


class _Loader:
    def __init__(self, path: str) -> None:
        self.path = path
        self.problems: list[PackProblem] = []
        self.names: NameTable = base_names()
        self.defined: dict[str, Defined] = {}

    def fault(self, spot: Spot, message: str, suggestions: tuple[str, ...] = ()) -> None:
        self.problems.append(PackProblem(self.path, spot.line, spot.column, message, suggestions))

    # ---- the file
    def pack(self, tree: Tree, digest: str) -> Pack | None:
        if not isinstance(tree, Mapping_):
            self.fault(tree.spot, "a pack is a mapping with the keys " + ", ".join(_PACK_KEYS))
            return None
        self.unknown_keys(tree, _PACK_KEYS, "a pack")
        name = self.text(tree, "pack") or ""
        revision = self.text(tree, "revision") or "0"
        if not revision.isascii() or not revision.isdigit():
            self.fault(tree.spot, f"revision is a whole number, not {revision}")
        define = tree.get("define")
        if define is not None:
            self.define(define)
        rules = tuple(
            rule for rule in (self.rule(each, name) for each in self.sequence(tree.get("rules"), tree)) if rule
        )
        self.ids_once(rules)
        if self.problems:
            return None
        uses = tuple(each.text for each in self.sequence(tree.get("uses"), None) if isinstance(each, Scalar))
        return Pack(
            name,
            int(revision),
            self.text(tree, "summary") or "",
            self.path,
            digest,
            rules,
            self.defined,
            self.names,
            uses,
        )

    def ids_once(self, rules: tuple[Rule, ...]) -> None:
        seen: set[str] = set()
        for rule in rules:
            if rule.id in seen:
                self.fault(rule.spot, f"the id {rule.id} stands twice")
            seen.add(rule.id)

    # ---- small readers
    def unknown_keys(self, tree: Mapping_, allowed: tuple[str, ...], what: str) -> None:
        for key, _ in tree.items:
            if key.text not in allowed:
                self.fault(key.spot, f"{key.text} is no key of {what}", near(key.text, allowed))

    def text(self, tree: Mapping_, key: str, needed: bool = True) -> str | None:
        value = tree.get(key)
        if value is None:
            if needed:
                self.fault(tree.spot, f"the key {key} is missing")
            return None
        if not isinstance(value, Scalar) or not value.text.strip():
            self.fault(value.spot, f"{key} must be text")
            return None
        return value.text.strip()

    def sequence(self, tree: Tree | None, parent: Mapping_ | None) -> tuple[Tree, ...]:
        if tree is None:
            if parent is not None:
                self.fault(parent.spot, "the key rules is missing")
            return ()
        if not isinstance(tree, Sequence_):
            self.fault(tree.spot, "a list is expected")
            return ()
        return tree.items

    def one_of(self, tree: Mapping_, key: str, allowed: tuple[Any, ...]) -> Any:
        value = tree.get(key)
        if isinstance(value, Scalar) and value.text in allowed:
            return value.text
        if value is not None:
            shown = value.text if isinstance(value, Scalar) else "this"
            self.fault(value.spot, f"{key} is one of {', '.join(allowed)}, not {shown}", near(shown, allowed))
        return allowed[0]

    # ---- expressions
    def expression(self, scalar: Tree | None, wanted: Type | None, what: str) -> Node | None:
        """A node of an expression in the file; its problems are placed in the file."""
        if scalar is None:
            return None
        if not isinstance(scalar, Scalar):
            self.fault(scalar.spot, f"{what} must be an expression")
            return None
        text = scalar.text.strip() if scalar.block else scalar.text
        read = read_condition(text, self.names) if isinstance(wanted, BoolType) else self.number(text, wanted)
        for problem in read.errors:
            self.fault(self.inside(scalar, problem.start), f"{what}: {problem.message}", problem.suggestions)
        return read.node

    def number(self, text: str, wanted: Type | None) -> Parsed:
        read = parse(text, self.names)
        if read.node is None:
            return read
        checked = check(read.node, self.names)
        if checked.errors:
            return Parsed(None, checked.errors)
        return read

    @staticmethod
    def inside(scalar: Scalar, offset: int) -> Spot:
        """The place of an offset of a scalar's text. Exact on one line; a folded text is placed at its start."""
        if scalar.block:
            return Spot(scalar.spot.line + 1, scalar.spot.column)
        return Spot(scalar.spot.line, scalar.spot.column + offset + (1 if scalar.quoted else 0))

    # ---- defined terms
    def define(self, tree: Tree) -> None:
        if not isinstance(tree, Mapping_):
            self.fault(tree.spot, "define is a mapping from a term to what it is")
            return
        for name, body in tree.items:
            if not isinstance(body, Mapping_):
                self.fault(body.spot, "a defined term is a mapping with as (or rows), means and source")
                continue
            self.unknown_keys(body, ("as", "rows", "means", "source", "unit"), "a defined term")
            if name.text in self.names.types:
                self.fault(name.spot, f"{name.text} is a term already")
                continue
            node = self.rows(body) if body.get("rows") is not None else self.expression(body.get("as"), None, name.text)
            means, source = self.text(body, "means"), self.text(body, "source")
            if node is None:
                if body.get("as") is None and body.get("rows") is None:
                    self.fault(body.spot, "a defined term needs as, or rows")
                continue
            kind = check(node, self.names).type
            assert kind is not None
            symbol = self.text(body, "unit", needed=False)
            unit = find_unit(symbol) if symbol else self.unit_of(kind)
            self.defined[name.text] = Defined(name.text, node, means or "", source or "", unit)
            self.names = self.names.with_names({name.text: kind})

    def rows(self, body: Mapping_) -> Node | None:
        """A table as a chain of choices: the first row whose condition holds gives the value."""
        from rxlint.expressions import nodes

        rows = [each for each in self.sequence(body.get("rows"), None) if isinstance(each, Mapping_)]
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
            for problem in check(chain, self.names).errors:
                self.fault(body.spot, f"rows: {problem.message}")
        return chain

    @staticmethod
    def unit_of(kind: Type) -> Any:
        symbols = units_of(kind.dimension) if isinstance(kind, NumberType) and kind.dimension.exponents else []
        return find_unit(symbols[0]) if symbols else None

    # ---- rules
    def rule(self, tree: Tree, pack: str) -> Rule | None:
        if not isinstance(tree, Mapping_):
            self.fault(tree.spot, "a rule is a mapping")
            return None
        before = len(self.problems)
        self.unknown_keys(tree, _RULE_KEYS, "a rule")
        for key in _NEEDED:
            if tree.get(key) is None:
                self.fault(tree.spot, f"the key {key} is missing")
        found_by = self.text(tree, "found by", needed=False)
        require, when = tree.get("require"), tree.get("when")
        if (require is None) == (found_by is None):
            self.fault(tree.spot, "a rule has exactly one of require and found by")
        if found_by is not None and found_by not in EVENTS:
            self.fault(tree.get("found by").spot, f"there is no event {found_by}", near(found_by, EVENTS))  # type: ignore[union-attr]
        identifier = self.text(tree, "id") or ""
        if "." not in identifier:
            self.fault(tree.spot, f"an id has an area before a point: {identifier}")
        fields = EVENTS.get(found_by or "", ())
        rule = Rule(
            id=identifier,
            level=self.one_of(tree, "level", LEVELS),
            basis=self.one_of(tree, "basis", BASES),
            title=self.text(tree, "title") or "",
            say=self.message(tree.get("say"), fields),
            because=" ".join((self.text(tree, "because") or "").split()),
            source=" ".join((self.text(tree, "source") or "").split()),
            pack=pack,
            spot=tree.spot,
            when=self.expression(when, BoolType(), "when"),
            require=self.expression(require, BoolType(), "require"),
            found_by=found_by,
            at=self.keys(tree, "at"),
            makes=self.keys(tree, "makes"),
            stricter=self.stricter(tree.get("stricter")),
            corrections=self.corrections(tree.get("corrections")),
            yields_to=self.texts(tree, "yields to"),
            cases=self.cases(tree.get("cases")),
            when_text=when.text.strip() if isinstance(when, Scalar) else "",
            require_text=require.text.strip() if isinstance(require, Scalar) else "",
        )
        return rule if len(self.problems) == before else None

    def texts(self, tree: Mapping_, key: str) -> tuple[str, ...]:
        value = tree.get(key)
        if isinstance(value, Scalar):
            return (value.text,)
        return tuple(each.text for each in self.sequence(value, None) if isinstance(each, Scalar))

    def keys(self, tree: Mapping_, key: str) -> tuple[str, ...]:
        found = self.texts(tree, key)
        sections = tuple(f"section {name}" for name in vocabulary().sections)
        for each in found:
            if each not in self.names.types and each not in sections and each not in vocabulary().terms:
                value = tree.get(key)
                self.fault(
                    value.spot if value else tree.spot,
                    f"{key}: there is no term {each}",
                    near(each, (*self.names.types, *sections)),
                )
        return found

    def message(self, scalar: Tree | None, fields: tuple[str, ...]) -> Message:
        if not isinstance(scalar, Scalar):
            return Message(())
        message, problems = read_message(scalar.text.strip(), self.names, fields)
        for offset, text, suggestions in problems:
            self.fault(self.inside(scalar, offset), f"say: {text}", suggestions)
        return message

    def stricter(self, tree: Tree | None) -> tuple[Stricter, ...]:
        found: list[Stricter] = []
        for each in self.sequence(tree, None):
            if not isinstance(each, Mapping_):
                self.fault(each.spot, "stricter is a list of level and when")
                continue
            self.unknown_keys(each, ("level", "when"), "stricter")
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
            key = self.text(each, "set") or ""
            kind = self.names.types.get(key)
            if not isinstance(kind, NumberType):
                self.fault(each.spot, f"set: there is no numeric term {key}", near(key, self.names.types))
                continue
            to = each.get("to")
            node = self.expression(to, kind, "to")
            if node is not None and isinstance(to, Scalar):
                measured = check(node, self.names).type
                if measured != kind:
                    self.fault(to.spot, f"to: {key} can't be set to what this measures")
                found.append(Correction(key, node, to.text))
        return tuple(found)

    def cases(self, tree: Tree | None) -> tuple[Case, ...]:
        found: list[Case] = []
        for each in self.sequence(tree, None):
            if not isinstance(each, Mapping_) or len(each.items) != 1:
                self.fault(each.spot, "a case is one of fires, holds, silent with its facts")
                continue
            kind, body = each.items[0]
            kinds = get_args(CaseKind)
            if kind.text not in kinds:
                self.fault(kind.spot, f"a case is one of {', '.join(kinds)}, not {kind.text}", near(kind.text, kinds))
                continue
            whole = isinstance(body, Mapping_)
            scalar = body.get("text") if isinstance(body, Mapping_) else body
            if not isinstance(scalar, Scalar) or not scalar.text.strip():
                self.fault(body.spot, "a case is a line of facts, or text: with a whole document")
                continue
            found.append(Case(kind.text, scalar.text, whole, body.spot))  # type: ignore[arg-type]
        return tuple(found)
