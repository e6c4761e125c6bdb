"""A mutant put into the running program: its code replaces that of the function, whoever already holds the function."""

from __future__ import annotations

import ast
import functools
import gc
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import CodeType, FunctionType
from weakref import WeakKeyDictionary

from tests.mutation.source import ROOT, Mutant, files

Key = tuple[str, str, int]  # file (folder and name), qualified name, first line
Live = Mapping[Key, list[FunctionType]]


class OutOfReach(Exception):
    """No function that runs has this code, or it can't take other code."""


def live_functions() -> dict[Key, list[FunctionType]]:
    """The functions that exist, by where they stand. Closures made by one function are several."""
    ours = {str(path): f"{path.parent.name}/{path.name}" for path in files()}
    found: dict[Key, list[FunctionType]] = {}
    for each in gc.get_objects():
        if isinstance(each, FunctionType) and (file := ours.get(each.__code__.co_filename)):
            found.setdefault((file, each.__code__.co_qualname, each.__code__.co_firstlineno), []).append(each)
    return found


def install(mutant: Mutant, live: Live) -> None:
    """Make the change in this process, for good. Raises OutOfReach."""
    mutant.change.apply()
    path = ROOT / "rxlint" / mutant.file
    compiled = compile(ast.fix_missing_locations(mutant.tree), str(path), "exec", dont_inherit=True)
    codes = {(code.co_qualname, code.co_firstlineno): code for code in _codes(compiled)}
    replaced = False
    for name, line in mutant.keys:
        for function in live.get((mutant.file, name, line), ()):
            try:
                function.__code__ = codes[name, line]
            except (KeyError, ValueError) as error:
                raise OutOfReach(f"{mutant.name}: {error}") from error
            replaced = True
    if not replaced:
        raise OutOfReach(f"{mutant.name}: no function has this code")
    forget()


def forget() -> None:
    """Clear what the functions of the package have remembered, where a changed function may have had a part in it."""
    for name, module in list(sys.modules.items()):
        if name.startswith(_REMEMBERING):
            for each in vars(module).values():
                if isinstance(each, WeakKeyDictionary):
                    each.clear()
                elif isinstance(each, functools._lru_cache_wrapper) and each.__name__ not in _KEPT:
                    each.cache_clear()


_REMEMBERING = ("rxlint.physiology", "rxlint.expressions")
_KEPT = frozenset(("grammar",))  # costs much to build, and no function of ours takes part in it


def is_fresh(live: Live) -> bool:
    """Whether the files are still those from which the program was loaded."""
    for path in files():
        file = f"{path.parent.name}/{path.name}"
        now = {(c.co_qualname, c.co_firstlineno): c for c in _codes(_compiled(path))}
        for (where, name, line), functions in live.items():
            if where == file and any(now.get((name, line)) != each.__code__ for each in functions):
                return False
    return True


def _compiled(path: Path) -> CodeType:
    return compile(path.read_text(encoding="utf-8"), str(path), "exec", dont_inherit=True)


def _codes(code: CodeType) -> Iterator[CodeType]:
    for each in code.co_consts:
        if isinstance(each, CodeType):
            yield each
            yield from _codes(each)
