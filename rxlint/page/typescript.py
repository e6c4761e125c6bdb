"""Makes ``web/src/shapes.ts`` of ``shapes.py``, so that what passes between the page and Python is written down once.

    python -m rxlint.page.typescript --write

Without ``--write`` it is written to standard output. Docstrings become comments; ``Literal`` becomes a union of texts.
"""

from __future__ import annotations

import ast
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

SHAPES: Final = Path(__file__).with_name("shapes.py")
MADE: Final = Path(__file__).parent / "web" / "src" / "shapes.ts"

_HEAD: Final = (
    "// Made of rxlint/page/shapes.py by `python -m rxlint.page.typescript --write`; change that, not this.\n"
)
_NAMES: Final = {"str": "string", "int": "number", "float": "number", "bool": "boolean"}


def typescript(source: str) -> str:
    """The TypeScript of a module of typed dictionaries and names of types. Raises ValueError for what is neither."""
    tree = ast.parse(source)
    parts = [_HEAD + "\n" + _comment(ast.get_docstring(tree) or "")]
    body = tree.body
    for index, node in enumerate(body):
        after = body[index + 1] if index + 1 < len(body) else None
        if isinstance(node, ast.ClassDef):
            parts.append(_interface(node))
        elif isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            parts.append(f"{_comment(_text(after))}export type {node.targets[0].id} = {_type(node.value)};\n")
        elif not isinstance(node, ast.Import | ast.ImportFrom) and _text(node) == "":
            raise ValueError(f"line {node.lineno}: neither a typed dictionary nor the name of a type")
    return "\n".join(parts)


def _interface(node: ast.ClassDef) -> str:
    lines = [f"{_comment(ast.get_docstring(node) or '')}export interface {node.name} {{"]
    lines += _fields(node)
    return "\n".join([*lines, "}", ""])


def _fields(node: ast.ClassDef) -> Iterator[str]:
    for field in node.body:
        if isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name):
            kind, mark = field.annotation, ""
            if isinstance(kind, ast.Subscript) and _name(kind.value) == "NotRequired":
                kind, mark = kind.slice, "?"
            yield f"  {field.target.id}{mark}: {_type(kind)};"


def _type(node: ast.expr) -> str:
    """A type as TypeScript has it."""
    if isinstance(node, ast.Name):
        return _NAMES.get(node.id, node.id)
    if isinstance(node, ast.Constant) and node.value is None:
        return "null"
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.BitOr):
        return f"{_type(node.left)} | {_type(node.right)}"
    if isinstance(node, ast.Subscript):
        of, given = _name(node.value), node.slice
        if of == "list":
            inner = _type(given)
            return f"({inner})[]" if " | " in inner else f"{inner}[]"
        if of == "dict" and isinstance(given, ast.Tuple):
            return f"Record<{_type(given.elts[0])}, {_type(given.elts[1])}>"
        if of == "Literal":
            words = given.elts if isinstance(given, ast.Tuple) else [given]
            return " | ".join(json.dumps(ast.literal_eval(each)) for each in words)
    raise ValueError(f"line {node.lineno}: no type that TypeScript is made of: {ast.unparse(node)}")


def _name(node: ast.expr) -> str:
    return node.id if isinstance(node, ast.Name) else ""


def _text(node: ast.stmt | None) -> str:
    """The text of a statement that is a docstring; "" for any other."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str):
        return node.value.value
    return ""


def _comment(text: str) -> str:
    lines = [line.strip().replace("``", "`").replace("*/", "* /") for line in text.strip().splitlines()]
    if not lines:
        return ""
    if len(lines) == 1:
        return f"/** {lines[0]} */\n"
    return "".join(["/**\n", *(f" * {line}".rstrip() + "\n" for line in lines), " */\n"])


def main() -> None:
    """Write the module, to its place or to standard output."""
    made = typescript(SHAPES.read_text("utf-8"))
    if "--write" in sys.argv[1:]:
        MADE.write_text(made, "utf-8", newline="\n")
    else:
        sys.stdout.write(made)


if __name__ == "__main__":
    main()
