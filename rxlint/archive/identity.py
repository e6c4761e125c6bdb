"""What tells one program with its rules from another: results of two that differ are never mixed."""

from __future__ import annotations

import hashlib
import json
from functools import cache
from pathlib import Path
from typing import Final

from rxlint import __version__
from rxlint.data import data_folder
from rxlint.screening.ruleset import RuleSet

_CODE: Final = (".py", ".lark", ".yaml", ".csv", ".json")


@cache
def program() -> str:
    """A digest of every file that this program is made of, whatever its version says."""
    digest = hashlib.sha256(__version__.encode())
    package = Path(__file__).resolve().parent.parent
    for name, folder in (("rxlint", package), ("grammar", data_folder("grammar")), ("rules", data_folder("rules"))):
        for path in sorted(folder.rglob("*")):
            within = path.relative_to(folder)
            if path.suffix in _CODE and path.is_file() and within.parts[0] != "_data":
                data = path.read_bytes()
                digest.update(f"\n{name}/{within.as_posix()} {len(data)}\n".encode() + data)
    return digest.hexdigest()[:32]


def identity_of(rules: RuleSet) -> str:
    """A digest of the program, and of the rules that it screens under: packs, policies, profiles of ventilators."""
    said = {
        "program": program(),
        "packs": [[each.name, each.revision, each.digest, each.path] for each in rules.packs],
        "policies": [[each.name, each.revision, each.digest, each.path] for each in rules.policies],
        "profiles": [[each.name, each.digest, each.path] for each in rules.profiles],
    }
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()[:32]
