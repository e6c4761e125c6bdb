"""YAML as a tree with places. Plain data alone: no tags, no aliases, no objects; size and nesting are bounded."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from rxlint.packs.pack import PackProblem, Spot
from rxlint.packs.places import OTHER_ENDS, Lines, place_in
from rxlint.text.files import read_up_to

MAX_BYTES: Final = 400_000
MAX_DEPTH: Final = 24
_ANCHOR: Final = re.compile(r"(?:^|[\s\[{,])[&*][^\s&*]", re.MULTILINE)
_INDENT: Final = 200  # columns of indentation that no pack has
_TOO_DEEP: Final = f"nested too deeply: the limit is {MAX_DEPTH} levels"
_MOST_BRACKETS: Final = MAX_DEPTH * 4
_CORE: Final = frozenset(
    f"tag:yaml.org,2002:{kind}" for kind in ("str", "int", "float", "bool", "null", "map", "seq", "timestamp")
)


@dataclass(frozen=True, slots=True)
class Scalar:
    """A scalar, always as text. ``raw`` is how it stands in the file, with its quotes or block indicator."""

    text: str
    spot: Spot
    raw: str
    style: str

    def spot_of(self, offset: int) -> Spot:
        """Where the character of the text at an offset stands."""
        block = self.style in ("|", ">")
        quote = self.style if self.style in ("'", '"') else ""
        lines, columns = place_in(self.raw, self.text, offset, block=block, quote=quote)
        return Spot(self.spot.line + lines, columns + 1 if lines else self.spot.column + columns)


@dataclass(frozen=True, slots=True)
class Sequence_:
    """A list."""

    items: tuple[Tree, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Mapping_:
    """Keys with their values, in the order of the file."""

    items: tuple[tuple[Scalar, Tree], ...]
    spot: Spot

    def get(self, key: str) -> Tree | None:
        """The value of a key; None where the key is not there."""
        return next((value for name, value in self.items if name.text == key), None)


Tree = Scalar | Sequence_ | Mapping_


class Refused(Exception):
    """The file can't be read as a pack; ``problem`` says where and why."""

    def __init__(self, problem: PackProblem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def read_file(path: Path, shown: str) -> str | PackProblem:
    """The text of a file that is to be read as a tree, or why it can't be. Never raises for what the file holds."""
    try:
        read = read_up_to(path, MAX_BYTES)
        text = read[0].decode("utf-8") if read is not None else ""
    except (OSError, ValueError) as error:
        why = f"can't be opened: {error.strerror}" if isinstance(error, OSError) else "is not UTF-8 text"
        return PackProblem(shown, 1, 1, why)
    if read is None:
        return PackProblem(shown, 1, 1, "is not a regular file")
    return too_large(shown) if read[1] > MAX_BYTES else text


def read_tree(text: str, path: str) -> Tree:
    """The tree of a YAML text. Raises Refused."""
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    if len(text.encode("utf-8", "replace")) > MAX_BYTES:
        raise Refused(too_large(path))
    fast = _fast_tree(text, path)
    if fast is not None:
        return fast
    try:
        _refuse_nesting(text, path)
        node = YAML(typ="safe", pure=True).compose(text)
    except MarkedYAMLError as error:
        raise Refused(_told(error, text, path)) from None
    except RecursionError:
        raise Refused(PackProblem(path, 1, 1, _TOO_DEEP)) from None
    except (YAMLError, ValueError) as error:
        raise Refused(_unreadable(error, text, path)) from None
    if node is None:
        raise Refused(PackProblem(path, 1, 1, "the file is empty"))
    return _Converter(text, path).convert(node, 0)


def _fast_tree(text: str, path: str) -> Tree | None:
    """The tree by the C parser, where that is installed; None for any fault, which the plain parser then tells."""
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    if any(len(line) - len(line.lstrip(" -?")) > _INDENT for line in text.split("\n")):
        return None  # the C parser recurses without a guard: depth is bounded by what stands before a line's text
    if _ANCHOR.search(text):
        return None  # the C parser does not say where an anchor stands
    if OTHER_ENDS.search(text):
        return None  # the two parsers would not see the same lines
    text = text.removeprefix("\ufeff")  # the C parser does not count it, and the places of what is raw would be off
    try:
        _refuse_nesting(text, path)
        if _nests_too_deeply(text):
            return None
        node = YAML(typ="safe", pure=False).compose(text)
        return None if node is None else _Converter(text, path).convert(node, 0)
    except (Refused, YAMLError, ValueError, RecursionError):
        return None


_MEANT: Final = (  # what the YAML reader's complaints are about, and whether the slip is where the thing begins
    ("found unexpected end of stream", "the quotation mark is never closed", True),
    ("could not find expected ':'", "a key has no colon after it", True),
    ("expected ',' or ']'", "the list that begins here is not closed, or a comma is missing in it", True),
    ("expected ',' or '}'", "the mapping that begins here is not closed, or a comma is missing in it", True),
    (
        "mapping values are not allowed",
        "no value can begin at this colon: a text with a colon needs quotation marks, a key its neighbours' column",
        False,
    ),
    ("expected <block end>", "the indentation fits nothing above it", False),
    ("sequence entries are not allowed", "no list can begin here: its first item needs a line of its own", False),
    ("found another document", "a second document begins here: a file holds one", False),
    ("found character '\\t'", "a tab stands where only spaces can", False),
    ("that cannot start any token", "a text can't begin with this sign: it needs quotation marks", False),
    ("found undefined alias", "anchors and aliases are not read in packs", False),
)


def _told(error: Any, text: str, path: str) -> PackProblem:
    """A fault of the YAML reader in words of its own: where the slip is, not where the reader gave up."""
    mark, told = error.problem_mark or error.context_mark, str(error.problem)
    for fragment, words, at_start in _MEANT:
        if fragment in told:
            told = words
            mark = error.context_mark if at_start and error.context_mark is not None else mark
            break
    line, column = Lines(text).place(mark.index, mark.line, mark.column) if mark is not None else (1, 1)
    return PackProblem(path, line, column, f"not YAML that can be read: {told}")


def _unreadable(error: Exception, text: str, path: str) -> PackProblem:
    """A fault that the YAML reader gives no mark for: a character that no text file should hold has its place."""
    at = getattr(error, "position", None)
    if isinstance(at, int) and 0 <= at < len(text):
        before = text[:at]
        line, column = before.count("\n") + 1, at - (before.rfind("\n") + 1) + 1
        told = f"not YAML that can be read: the character U+{ord(text[at]):04X} can't stand in a text file"
        return PackProblem(path, line, column, told)
    return PackProblem(path, 1, 1, f"not YAML that can be read: {str(error).splitlines()[0]}")


def too_large(path: str) -> PackProblem:
    """The problem of a file above the limit."""
    return PackProblem(path, 1, 1, f"the file is too large to be a pack: the limit is {MAX_BYTES:,} bytes")


def _refuse_nesting(text: str, path: str) -> None:
    # brackets nest without indentation, and the composer recurses: count them before it does
    depth = 0
    for number, line in enumerate(text.split("\n"), 1):
        depth = max(depth + line.count("[") + line.count("{") - line.count("]") - line.count("}"), 0)
        if depth > _MOST_BRACKETS:
            raise Refused(PackProblem(path, number, 1, _TOO_DEEP))


def _nests_too_deeply(text: str) -> bool:
    """Whether the C parser would recurse too deeply. Brackets in texts and comments close nothing, so that counting
    does not tell; its events do, one after another and without recursion. Raises YAMLError for what is no YAML.
    """
    if text.count("[") + text.count("{") <= _MOST_BRACKETS:  # whatever closes
        return False
    from ruamel.yaml import YAML
    from ruamel.yaml.events import CollectionEndEvent, CollectionStartEvent

    depth = 0
    for event in YAML(typ="safe", pure=False).parse(text):
        depth += isinstance(event, CollectionStartEvent) - isinstance(event, CollectionEndEvent)
        if depth > _MOST_BRACKETS:
            return True
    return False


class _Converter:
    """Nodes of the YAML reader to our own tree, refusing what a pack may not hold."""

    def __init__(self, text: str, path: str) -> None:
        self.text = text
        self.path = path
        self.lines = Lines(text)
        self.seen: set[int] = set()

    def refused(self, spot: Spot, message: str) -> Refused:
        return Refused(PackProblem(self.path, spot.line, spot.column, message))

    def convert(self, node: Any, depth: int) -> Tree:
        mark = node.start_mark
        spot = Spot(*self.lines.place(mark.index, mark.line, mark.column))
        if depth > MAX_DEPTH:
            raise self.refused(spot, _TOO_DEEP)
        if id(node) in self.seen or getattr(node, "anchor", None):
            raise self.refused(spot, "anchors and aliases are not read in packs")
        self.seen.add(id(node))
        tag = str(node.tag or getattr(node, "ctag", ""))
        if tag and tag not in _CORE:
            is_merge = tag.endswith(":merge")
            told = "a merge key (<<) is not read in packs" if is_merge else f"tags are not read in packs: {tag}"
            raise self.refused(spot, told)
        if node.id == "scalar":
            raw = self.text[node.start_mark.index : node.end_mark.index]
            return Scalar(str(node.value), spot, raw, node.style or "")
        if node.id == "sequence":
            return Sequence_(tuple(self.convert(each, depth + 1) for each in node.value), spot)
        return self.mapping(node, spot, depth)

    def mapping(self, node: Any, spot: Spot, depth: int) -> Mapping_:
        items: list[tuple[Scalar, Tree]] = []
        names: set[str] = set()
        for key_node, value_node in node.value:
            key = self.convert(key_node, depth + 1)
            if not isinstance(key, Scalar) or not key.text:
                raise self.refused(key.spot, "a key must be text")
            if key.text in names:
                raise self.refused(key.spot, f"{key.text} stands twice")
            names.add(key.text)
            value = self.convert(value_node, depth + 1)
            if isinstance(value, Scalar) and not value.raw:  # nothing there: told at the key
                value = replace(value, spot=key.spot)
            items.append((key, value))
        return Mapping_(tuple(items), spot)
