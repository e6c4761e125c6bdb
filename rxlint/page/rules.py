"""Files of rules at a desk: which of them hold for documents, and settings that would have the others hold."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

from rxlint.editor.shapes import Mark
from rxlint.editor.yaml_files import YamlFile
from rxlint.editor.yaml_schema import Kind
from rxlint.library.places import NAME
from rxlint.library.rulings import Rulings
from rxlint.page.shapes import Checks, SettingsText

_KINDS: Final[dict[Kind, str]] = {
    "settings": "Settings", "policy": "A policy", "pack": "A rule pack", "profile": "A ventilator profile",
}  # fmt: skip
_LISTS: Final[dict[Kind, str]] = {"pack": "packs", "policy": "policies", "profile": "profiles"}
_PLAIN: Final = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_./-]*")


def named_by(settings: Iterable[Path], rulings: Rulings) -> frozenset[Path]:
    """The files, and folders of files, that some settings name."""
    found: set[Path] = set()
    for path in settings:
        read = rulings.of_folder(path.parent).settings
        for layer in read.layers if read is not None else ():
            known = [layer.known_findings] if layer.known_findings is not None else []
            found |= {each.path for each in (*layer.packs, *layer.policies, *layer.profiles, *known)}
    return frozenset(found)


def holds(file: YamlFile, named: frozenset[Path]) -> bool:
    """Whether a file of rules holds for documents: settings do, and what they name."""
    return file.kind == "settings" or file.path in named or file.path.parent in named


def checks_of_rules(file: YamlFile, named: frozenset[Path], faults: int) -> Checks:
    """What is told of a file of rules in one line: what it is, and whether it holds for anything."""
    if file.kind is None:
        told = "No settings, policy, rule pack or ventilator profile of ours: nothing is checked in it."
        return {"state": "no document", "made": 0, "wanting": 0, "failed": 0, "told": told}
    what = _KINDS[file.kind]
    if faults:
        told = f"{what} with {faults} fault{'' if faults == 1 else 's'}: it can't be used as it stands."
    else:
        told = f"{what} without a fault that could be found."
    if not holds(file, named):
        told += f" No {NAME} names it, so it holds for no document."
    return {"state": "rules", "made": 0, "wanting": 0, "failed": 0, "told": told}


def title_of(mark: Mark) -> str:
    """What a mark in a file of rules is, in a few words."""
    return "can't be used" if mark.level == "reject" else "found by the review of the pack"


def settings_for(files: Sequence[tuple[str, Kind]], *, is_there: bool) -> SettingsText:
    """Settings for the top of the folder that name some files. Where there are settings already (``is_there``), which
    somebody has written, nothing is put in their place: then the files alone are told.
    """
    adds = sorted(path for path, kind in files if kind in _LISTS)
    if not adds or is_there:
        return {"path": NAME, "text": "", "adds": adds}
    lines: list[str] = []
    for kind, name in _LISTS.items():
        own = sorted(path for path, each in files if each == kind)
        if own:
            lines.append(f"{name}:{'  # the widest first, the nearest last' if kind == 'policy' else ''}")
            lines += [f"  - {_quoted(path)}" for path in own]
    return {"path": NAME, "text": "".join(f"{line}\n" for line in lines), "adds": adds}


def _quoted(path: str) -> str:
    return path if _PLAIN.fullmatch(path) else json.dumps(path, ensure_ascii=False)
