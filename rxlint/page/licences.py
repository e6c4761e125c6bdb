"""Under which licences everything in the folder stands, as one text."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from rxlint.page.problems import Unbuildable

_HEAD: Final = """What this folder is made of, and under which licences

rxlint and the Python packages carry theirs with them, in wheels/. These come from the npm registry; python/ is the
package pyodide, with Python and its standard library (https://docs.python.org/3/license.html), in whose archive some
modules stand compiled as well.
"""
_TOOLS: Final = {"esbuild", "ws"}  # they make the folder, and nothing of them is in it
_TYPES: Final = ("@types/", "@esbuild/")


def licences(web: Path) -> str:
    """Name, version, licence and its text of every package that ``web`` has from npm. Raises Unbuildable."""
    return "\n".join([_HEAD, *_entries(web / "node_modules")])


def _entries(folder: Path) -> Iterator[str]:
    for path in sorted([*folder.glob("*/package.json"), *folder.glob("@*/*/package.json")]):
        name = path.parent.relative_to(folder).as_posix()
        if name in _TOOLS or name.startswith(_TYPES):
            continue
        told: dict[str, Any] = json.loads(path.read_text("utf-8"))
        if not told.get("license"):
            raise Unbuildable(f"the npm package {name} says no licence")
        texts = [each.read_text("utf-8").strip() for each in sorted(path.parent.iterdir()) if _is_licence(each)]
        text = "\n\n".join(texts) or f"The text and the sources: {_home(told)}"
        yield f"{'=' * 80}\n{name} {told['version']}: {told['license']}\n\n{text}\n"


def _is_licence(path: Path) -> bool:
    return path.is_file() and path.stem.lower() in ("license", "licence", "copying", "notice")


def _home(told: dict[str, Any]) -> str:
    repository = told.get("repository", "")
    return str(repository.get("url", "") if isinstance(repository, dict) else repository) or str(told.get("homepage"))
