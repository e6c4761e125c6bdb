"""YAML as a tree with places. Only plain data: no tags, no aliases, no object is ever built; size and nesting are bounded."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from rxlint.packs.pack import PackProblem, Spot

MAX_BYTES: Final = 1_000_000
MAX_DEPTH: Final = 24
_CORE: Final = ("tag:yaml.org,2002:str", "tag:yaml.org,2002:int", "tag:yaml.org,2002:float", "tag:yaml.org,2002:bool",
                "tag:yaml.org,2002:null", "tag:yaml.org,2002:map", "tag:yaml.org,2002:seq", "tag:yaml.org,2002:timestamp")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Scalar:
    """A scalar, always as text. ``block`` scalars begin on the line after their indicator."""

    text: str
    spot: Spot
    block: bool
    quoted: bool


@dataclass(frozen=True, slots=True)
class Sequence_:
    items: tuple[Tree, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Mapping_:
    items: tuple[tuple[Scalar, Tree], ...]
    spot: Spot

    def get(self, key: str) -> Tree | None:
        return next((value for name, value in self.items if name.text == key), None)


Tree = Scalar | Sequence_ | Mapping_


class Refused(Exception):
    """The file can't be read as a pack; ``problem`` says where and why."""

    def __init__(self, problem: PackProblem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def read_tree(text: str, path: str) -> Tree:
    """The tree of a YAML text. Raises Refused."""
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    if len(text.encode("utf-8", "replace")) > MAX_BYTES:
        raise Refused(PackProblem(path, 1, 1, f"the file is too large to be a pack: the limit is {MAX_BYTES:,} bytes"))
    try:
        yaml = YAML(typ="safe", pure=True)
        _refuse_nesting(text, path)
        node = yaml.compose(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
        raise Refused(PackProblem(path, line, column, f"not YAML that can be read: {error.problem}")) from None
    except (YAMLError, ValueError, RecursionError) as error:
        raise Refused(PackProblem(path, 1, 1, f"not YAML that can be read: {str(error).splitlines()[0]}")) from None
    if node is None:
        raise Refused(PackProblem(path, 1, 1, "the file is empty"))
    return _convert(node, path, 0, set())


def _refuse_nesting(text: str, path: str) -> None:
    # brackets nest without indentation, and the composer recurses: count them before it does
    depth = 0
    for number, line in enumerate(text.split("\n"), 1):
        if line.lstrip().startswith("#"):
            continue
        depth += line.count("[") + line.count("{") - line.count("]") - line.count("}")
        if depth > MAX_DEPTH or line.count("[") + line.count("{") > MAX_DEPTH * 4:
            raise Refused(PackProblem(path, number, 1, f"nested too deeply: the limit is {MAX_DEPTH} levels"))


def _convert(node: Any, path: str, depth: int, seen: set[int]) -> Tree:
    spot = Spot(node.start_mark.line + 1, node.start_mark.column + 1)
    if depth > MAX_DEPTH:
        raise Refused(PackProblem(path, spot.line, spot.column, f"nested too deeply: the limit is {MAX_DEPTH} levels"))
    if id(node) in seen or getattr(node, "anchor", None):
        raise Refused(PackProblem(path, spot.line, spot.column, "anchors and aliases are not read in packs"))
    seen.add(id(node))
    tag = str(node.tag or getattr(node, "ctag", ""))
    if tag and tag not in _CORE:
        raise Refused(PackProblem(path, spot.line, spot.column, f"tags are not read in packs: {tag}"))
    kind = node.id
    if kind == "scalar":
        return Scalar(str(node.value), spot, node.style in ("|", ">"), node.style in ('"', "'"))
    if kind == "sequence":
        return Sequence_(tuple(_convert(each, path, depth + 1, seen) for each in node.value), spot)
    items: list[tuple[Scalar, Tree]] = []
    names: set[str] = set()
    for key_node, value_node in node.value:
        key = _convert(key_node, path, depth + 1, seen)
        if not isinstance(key, Scalar) or not key.text:
            raise Refused(PackProblem(path, key.spot.line, key.spot.column, "a key must be text"))
        if key.text in names:
            raise Refused(PackProblem(path, key.spot.line, key.spot.column, f"{key.text} stands twice"))
        names.add(key.text)
        items.append((key, _convert(value_node, path, depth + 1, seen)))
    return Mapping_(tuple(items), spot)
