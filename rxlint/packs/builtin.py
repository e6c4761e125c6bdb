"""The packs that come with the program."""

from __future__ import annotations

from functools import cache
from typing import Final

from rxlint.data import data_folder
from rxlint.packs.compiled import keep_packs, read_packs
from rxlint.packs.pack import Pack

# The order of the areas, in which rules are listed and run.
AREAS: Final = ("notation", "relation", "mode", "pressure", "timing", "volume")


@cache
def builtin_packs() -> tuple[Pack, ...]:
    """The built-in packs in the order of their areas, as they were kept or else read anew.

    A fault in one is a fault of the build: raises ValueError.
    """
    kept = read_packs()
    if kept is not None:
        return kept
    packs = load_builtin()
    keep_packs(packs)
    return packs


def load_builtin() -> tuple[Pack, ...]:
    """The built-in packs, read from their files. Raises ValueError as ``builtin_packs``."""
    from rxlint.packs.load import load_pack

    folder = data_folder("rules")
    names = sorted(path.stem for path in folder.glob("*.yaml"))
    ordered = [name for name in AREAS if name in names] + [name for name in names if name not in AREAS]
    packs: list[Pack] = []
    for name in ordered:
        pack, problems = load_pack(folder / f"{name}.yaml", f"rules/{name}.yaml")
        if pack is None:
            raise ValueError("\n".join(map(str, problems)))
        packs.append(pack)
    return tuple(packs)
