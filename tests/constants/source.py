"""The numbers that stand in the source, each by file, name, and the expression around it."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parent.parent.parent
FOLDER: Final = ROOT / "rxlint" / "physiology"
_UP: Final = Decimal("1.05")
_DOWN: Final = Decimal("0.95")


@dataclass(frozen=True, slots=True)
class Constant:
    """A number: its file, the function or name it belongs to, its text, the expression around it, where it stands."""

    file: str
    where: str
    text: str
    within: str
    ordinal: int
    line: int
    column: int

    @property
    def name(self) -> str:
        """What the number is called in the table and in the reasons; it does not hang on a line number."""
        within = f" in {self.within}" if self.within else ""
        again = f", number {self.ordinal}" if self.ordinal > 1 else ""
        return f"{self.file}, {self.where}: {self.text}{within}{again}"

    @property
    def module(self) -> str:
        return f"rxlint.physiology.{self.file.removesuffix('.py')}"


def constants() -> list[Constant]:
    """Every number of the physiology but 0 and 1, in the order of files and lines."""
    return [
        each
        for path in sorted(FOLDER.glob("*.py"))
        for each in constants_of(path.read_text(encoding="utf-8"), path.name)
    ]


def constants_of(source: str, file: str) -> list[Constant]:
    """Every number of a source but 0 and 1, whose meaning is nothing and the whole."""
    tree = ast.parse(source)
    parents = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
    seen: Counter[tuple[str, str, str]] = Counter()
    found = []
    for node in sorted(_numbers(tree), key=lambda each: (each.lineno, each.col_offset)):
        text, where = ast.get_source_segment(source, node) or "", _where(node, parents)
        parent = parents[node]
        if isinstance(parent, ast.UnaryOp):
            parent = parents[parent]
        own_line = isinstance(parent, ast.Assign | ast.AnnAssign)  # `where` is that name already
        within = "" if own_line else " ".join((ast.get_source_segment(source, parent) or "").split())
        seen[where, text, within] += 1
        found.append(Constant(file, where, text, within, seen[where, text, within], node.lineno, node.col_offset))
    return found


def changes(text: str) -> tuple[str, str]:
    """A number as the source writes it, 5 % up and 5 % down; a whole number that stays whole is still written whole."""
    return _scaled(text, _UP), _scaled(text, _DOWN)


def steps(text: str) -> tuple[str, str]:
    """The next whole numbers up and down: for numbers that counted things are compared with."""
    return str(int(text) + 1), str(int(text) - 1)


def _scaled(text: str, factor: Decimal) -> str:
    changed = Decimal(text.replace("_", "")) * factor
    if "e" in text.lower():
        return str(changed.normalize())
    whole = "." not in text and changed == int(changed)
    return str(int(changed)) if whole else f"{changed.normalize():f}"


def _numbers(tree: ast.Module) -> Iterator[ast.Constant]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, int | float) and node.value not in (0, 1):
            yield node


def _where(node: ast.AST, parents: dict[ast.AST, ast.AST]) -> str:
    names: list[str] = []
    while node in parents:
        node = parents[node]
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            names.append(node.name)
        elif not names and isinstance(node, ast.Assign | ast.AnnAssign):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            if isinstance(target, ast.Name) and isinstance(parents[node], ast.Module):
                names.append(target.id)
    return ".".join(reversed(names)) or "module"
