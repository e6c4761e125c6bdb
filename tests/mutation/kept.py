"""What is kept by hand: why a mutant survives."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from ruamel.yaml import YAML

REASONS: Final = Path(__file__).with_name("survivors.yaml")
KINDS: Final = {
    "equivalent": "nothing that the program does differs",
    "performance only": "the same answers, found sooner or later, or remembered or not",
    "message only": "only the wording of a message, or the order or number of its suggestions, differs",
    "unreachable": "no input gets there, or only the import of the module does",
    "gap": "the answer differs, and no test here sees it",
}
# What can't be noticed by any test of what the program answers.
NO_FAULT: Final = ("equivalent", "performance only", "unreachable")


@dataclass(frozen=True, slots=True)
class Reason:
    """One of the kinds, and why."""

    kind: str
    why: str


def reasons(text: str | None = None) -> dict[str, Reason]:
    """The reasons by the mutants' names. Raises ValueError for an unknown kind, no reason or a name given twice."""
    given = YAML(typ="safe", pure=True).load(REASONS.read_text(encoding="utf-8") if text is None else text) or {}
    found: dict[str, Reason] = {}
    for kind, groups in given.items():
        if kind not in KINDS:
            raise ValueError(f"{REASONS.name}: no kind {kind!r}")
        for group in groups or ():
            why = " ".join(str(group.get("why") or "").split())
            if not why or not group.get("mutants"):
                raise ValueError(f"{REASONS.name}: under {kind!r} a reason or its mutants are missing: {group}")
            for name in group["mutants"]:
                if name in found:
                    raise ValueError(f"{REASONS.name}: {name} stands there twice")
                found[name] = Reason(kind, why)
    return found


def complaints(
    given: Mapping[str, Reason], survivors: Collection[str], killed: Collection[str], existing: Collection[str]
) -> list[str]:
    """Survivors without a reason, and reasons for mutants that are killed or do not exist."""
    return [
        *(f"{name}: survives, and no reason is given" for name in survivors if name not in given),
        *(f"{name}: a reason is given, but a test kills it" for name in given if name in killed),
        *(f"{name}: a reason is given, but there is no such mutant" for name in given if name not in existing),
    ]
