"""What is kept by hand: which numbers are left out, which count whole things, and which nobody has published."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from ruamel.yaml import YAML

from tests.constants.trial import Verdict

REASONS: Final = Path(__file__).with_name("reasons.yaml")


@dataclass(frozen=True, slots=True)
class Reasons:
    """Names of numbers, each with a reason."""

    left_out: Mapping[str, str]
    whole: Mapping[str, str]
    unpublished: Mapping[str, str]


def reasons(text: str | None = None) -> Reasons:
    """The reasons that the file gives. Raises ValueError where a part is missing or a reason is empty."""
    given = YAML(typ="safe", pure=True).load(REASONS.read_text(encoding="utf-8") if text is None else text)
    if set(given) != {"left out", "whole", "unpublished"}:
        raise ValueError(f"{REASONS.name}: the parts are 'left out', 'whole' and 'unpublished', not {sorted(given)}")
    parts = [
        {str(name): " ".join(str(why or "").split()) for name, why in (part or {}).items()} for part in given.values()
    ]
    for part in parts:
        for name, why in part.items():
            if not why:
                raise ValueError(f"{REASONS.name}: {name} has no reason")
    return Reasons(**{key.replace(" ", "_"): part for key, part in zip(given, parts, strict=True)})


def astray(given: Reasons, names: Collection[str]) -> list[str]:
    """What is wrong with the reasons before anything is run: names of no number, and names in two parts."""
    wrong = [
        f"{name}: no such number in the source"
        for part in (given.left_out, given.whole, given.unpublished)
        for name in part
        if name not in names
    ]
    return wrong + [
        f"{name}: left out, and yet said to be changed"
        for name in given.left_out
        if name in given.whole or name in given.unpublished
    ]


def unexplained(given: Reasons, verdicts: Sequence[Verdict]) -> list[str]:
    """Numbers that no test holds and no reason excuses, and reasons for numbers that a test does hold."""
    wrong = []
    for each in verdicts:
        name = each.constant.name
        if each.held and name in given.unpublished:
            wrong.append(f"{name}: said to be unpublished, but {each.up and each.up.test} holds it")
        if not each.held and name not in given.unpublished:
            wrong.append(f"{name}: {unnoticed(each)}, and no reason is given")
    return wrong


def unnoticed(verdict: Verdict) -> str:
    """In which direction a change goes unnoticed."""
    lost = [way for way, caught in (("up", verdict.up), ("down", verdict.down)) if caught is None]
    return f"a change {' and '.join(lost)} goes unnoticed"
