"""Reading the parts of a pack's tree: texts, lists, choices and expressions, each fault at its place in the file."""

from __future__ import annotations

import re
from typing import Any, Final

from rxlint.expressions import BoolType, Node, Parsed, Type, check, parse, read_condition
from rxlint.expressions.problems import near
from rxlint.model.names import NameTable, base_names
from rxlint.packs.pack import PackProblem, Spot
from rxlint.packs.yaml_tree import Mapping_, Scalar, Sequence_, Tree

MOST_PROBLEMS: Final = 100
_REVISION: Final = re.compile(r"[0-9]{1,9}")
_SHOWN: Final = 40  # characters of a value that is told as wrong


class Reader:
    """Collects problems while a pack is read; ``names`` grows by the terms that the pack defines."""

    def __init__(self, path: str) -> None:
        self.path = path
        self.problems: list[PackProblem] = []
        self.names: NameTable = base_names()

    def fault(self, spot: Spot, message: str, suggestions: tuple[str, ...] = ()) -> None:
        """Note a problem."""
        self.problems.append(PackProblem(self.path, spot.line, spot.column, message, suggestions))

    def told(self) -> tuple[PackProblem, ...]:
        """The problems in the order of the file, each once, no more than anybody would read."""
        found = sorted(dict.fromkeys(self.problems), key=lambda each: (each.line, each.column))
        if len(found) <= MOST_PROBLEMS:
            return tuple(found)
        last = found[MOST_PROBLEMS]
        more = PackProblem(
            self.path, last.line, last.column, f"{len(found) - MOST_PROBLEMS} more problems are not listed"
        )
        return (*found[:MOST_PROBLEMS], more)

    @staticmethod
    def spot_of(tree: Mapping_, key: str) -> Spot:
        """Where the value of a key stands; the mapping itself where the key is missing."""
        value = tree.get(key)
        return value.spot if value is not None else tree.spot

    def unknown_keys(self, tree: Mapping_, allowed: tuple[str, ...], what: str) -> None:
        """Fault every key that has no meaning here."""
        for key, _ in tree.items:
            if key.text not in allowed:
                self.fault(key.spot, f"{key.text} is no key of {what}", near(key.text, allowed))

    def needed(self, tree: Mapping_, keys: tuple[str, ...]) -> None:
        """Fault every key that is missing."""
        for key in keys:
            if tree.get(key) is None:
                self.fault(tree.spot, f"the key {key} is missing")

    def text(self, tree: Mapping_, key: str, needed: bool = True) -> str | None:
        """The text of a key; None, with a fault where it is needed, or not text."""
        value = tree.get(key)
        if value is None:
            if needed:
                self.fault(tree.spot, f"the key {key} is missing")
            return None
        if not isinstance(value, Scalar) or not value.text.strip():
            self.fault(value.spot, f"{key} must be text")
            return None
        return value.text.strip()

    def revision(self, tree: Mapping_) -> int:
        """The revision of a file; 0, with a fault, where it is missing or no number that anybody would count to."""
        text = self.text(tree, "revision") or "0"
        if not _REVISION.fullmatch(text):
            shown = text if len(text) <= _SHOWN else f"{text[:_SHOWN]}..."
            self.fault(self.spot_of(tree, "revision"), f"revision is a whole number of at most 9 digits, not {shown}")
            return 0
        return int(text)

    def sequence(self, tree: Tree | None, parent: Mapping_ | None) -> tuple[Tree, ...]:
        """The items of a list; none where it is missing, which is a fault of ``parent`` if given."""
        if tree is None:
            if parent is not None:
                self.fault(parent.spot, "the key rules is missing")
            return ()
        if not isinstance(tree, Sequence_):
            self.fault(tree.spot, "a list is expected")
            return ()
        return tree.items

    def scalars(self, tree: Mapping_, key: str) -> tuple[Scalar, ...]:
        """The texts of a key that has one or a list of them, each with its place; anything else is a fault."""
        value = tree.get(key)
        if isinstance(value, Scalar):
            return (value,)
        items = self.sequence(value, None)
        for each in items:
            if not isinstance(each, Scalar):
                self.fault(each.spot, f"{key}: a text is expected here, not a list or a mapping")
        return tuple(each for each in items if isinstance(each, Scalar))

    def one_of(self, tree: Mapping_, key: str, allowed: tuple[Any, ...]) -> Any:
        """The value of a key that is one of a few words; the first of them where it is not, with a fault."""
        value = tree.get(key)
        if isinstance(value, Scalar) and value.text in allowed:
            return value.text
        if value is not None:
            shown = value.text if isinstance(value, Scalar) else "this"
            self.fault(value.spot, f"{key} is one of {', '.join(allowed)}, not {shown}", near(shown, allowed))
        return allowed[0]

    def expression(self, scalar: Tree | None, wanted: Type | None, what: str) -> Node | None:
        """A node of an expression in the file; its problems are placed in the file."""
        if scalar is None:
            return None
        if not isinstance(scalar, Scalar):
            self.fault(scalar.spot, f"{what} must be an expression")
            return None
        read = read_condition(scalar.text, self.names) if isinstance(wanted, BoolType) else self.number(scalar.text)
        for problem in read.errors:
            self.fault(self.inside(scalar, problem.start), f"{what}: {problem.message}", problem.suggestions)
        return read.node

    def condition(self, text: str) -> Parsed:
        """A condition."""
        return read_condition(text, self.names)

    def number(self, text: str) -> Parsed:
        """An expression of any type."""
        read = parse(text, self.names)
        if read.node is None:
            return read
        checked = check(read.node, self.names)
        return Parsed(None, checked.errors) if checked.errors else read

    @staticmethod
    def inside(scalar: Scalar, offset: int) -> Spot:
        """The place in the file of an offset of a scalar's text."""
        return scalar.spot_of(offset)
