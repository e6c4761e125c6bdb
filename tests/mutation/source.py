"""Every mutant of the files that are looked at, with a name that does not hang on a line number."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Final

from tests.mutation.operators import Change, FunctionNode, changes_in

ROOT: Final = Path(__file__).resolve().parent.parent.parent
FOLDERS: Final = ("physiology", "expressions")
# The numbers of the physiology are changed by `tests.constants`, against published ones.
_WITH_NUMBERS: Final = ("expressions",)
# To try everything takes hours: of the mutants of a folder, one in so many is drawn, from every file alike.
ONE_IN: Final = {"physiology": 1, "expressions": 3}
SEED: Final = 20
_LONGEST: Final = 100


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change; `functions` are the function it stands in and those around that, outermost first."""

    file: str
    function: str
    text: str
    ordinal: int
    change: Change
    tree: ast.Module
    functions: tuple[FunctionNode, ...]

    @property
    def name(self) -> str:
        again = f", number {self.ordinal}" if self.ordinal > 1 else ""
        return f"{self.file}, {self.function}: {self.text}{again}"

    @property
    def is_drawn(self) -> bool:
        """Whether it is tried: all are where tests are quick, else one in some, by its name and so always the same."""
        one_in = ONE_IN[self.file.split("/", maxsplit=1)[0]]
        return int.from_bytes(sha256(f"{SEED} {self.name}".encode()).digest()[:8]) % one_in == 0

    @property
    def operator(self) -> str:
        return self.change.operator

    @property
    def keys(self) -> tuple[tuple[str, int], ...]:
        """Qualified name and first line of each of the functions, as their code objects tell them."""
        found, name = [], ""
        for node, full in zip(self.functions, _qualified(self.function), strict=True):
            name = full
            found.append((name, min([node.lineno, *(each.lineno for each in node.decorator_list)])))
        return tuple(found)


def _qualified(name: str) -> list[str]:
    """`C.f.<locals>.g` -> `C.f`, `C.f.<locals>.g`."""
    parts = name.split(".<locals>.")
    return [".<locals>.".join(parts[: end + 1]) for end in range(len(parts))]


def files() -> list[Path]:
    return [path for folder in FOLDERS for path in sorted((ROOT / "rxlint" / folder).glob("*.py"))]


def mutants(paths: Sequence[Path] | None = None) -> list[Mutant]:
    """Every mutant, in the order of files and lines."""
    return [
        each
        for path in (files() if paths is None else paths)
        for each in mutants_of(path.read_text(encoding="utf-8"), f"{path.parent.name}/{path.name}")
    ]


def mutants_of(source: str, file: str) -> list[Mutant]:
    """Every mutant of the functions of one source; they share one tree, so that only one can ever be applied."""
    tree = ast.parse(source)
    numbers = file.split("/", maxsplit=1)[0] in _WITH_NUMBERS
    seen: Counter[tuple[str, str]] = Counter()
    found = []
    for name, functions in functions_in(tree):
        for change in changes_in(functions[-1].body, functions[-1], numbers):
            text = described(change)
            seen[name, text] += 1
            found.append(Mutant(file, name, text, seen[name, text], change, tree, functions))
    return found


def out_of_reach(source: str) -> list[Change]:
    """The changes to what runs only while the module is imported."""
    tree = ast.parse(source)
    owners: list[ast.Module | ast.ClassDef] = [tree]
    owners += [node for node in ast.walk(tree) if isinstance(node, ast.ClassDef)]
    return [change for owner in owners for change in changes_in(owner.body, owner, numbers=False)]


def functions_in(
    tree: ast.AST, prefix: str = "", around: tuple[FunctionNode, ...] = ()
) -> Iterator[tuple[str, tuple[FunctionNode, ...]]]:
    """Every function with its qualified name and the functions around it."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            name = f"{prefix}{node.name}"
            yield name, (*around, node)
            yield from functions_in(node, f"{name}.<locals>.", (*around, node))
        elif isinstance(node, ast.ClassDef):
            yield from functions_in(node, f"{prefix}{node.name}.", around)
        else:
            yield from functions_in(node, prefix, around)


def described(change: Change) -> str:
    """What is changed, on one line."""
    old = _text(change.old)
    match change.operator:
        case "statement deleted":
            return f"without `{old}`"
        case "return turned round" if isinstance(change.new, ast.If):
            return f"goes on instead of `{old}`"
        case "case of a match passed over" if isinstance(change.old, ast.match_case):
            return f"without the case `{_cut(ast.unparse(change.old.pattern))}`"
        case "condition forced" if isinstance(change.new, ast.BoolOp):
            return f"`{old}` taken as {_text(change.new.values[0])}"
        case _:
            return f"`{old}` -> `{_text(change.new)}`"


def _text(node: ast.AST) -> str:
    return _cut(" ".join(ast.unparse(node).split()))


def _cut(text: str) -> str:
    half = _LONGEST // 2
    return text if len(text) <= _LONGEST else f"{text[:half]} … {text[-half:]}"
