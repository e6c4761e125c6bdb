"""Messages of rules: text with `{expression}` or `{expression in unit}`; in a rule found by an event, `{field}`."""

from __future__ import annotations

import re
from typing import Final

from rxlint.expressions import NumberType, check, parse
from rxlint.expressions.problems import near
from rxlint.model.names import NameTable
from rxlint.packs.pack import Message, Slot
from rxlint.units import ALIASES, UNITS, find_unit, without_basis

_SLOT: Final = re.compile(r"\{([^{}]*)\}")
_IN_UNIT: Final = re.compile(r"(.*\S)\s+in\s+(\S+)")

Fault = tuple[int, str, tuple[str, ...]]


def read_message(text: str, names: NameTable, fields: tuple[str, ...]) -> tuple[Message, list[Fault]]:
    """The message, and what is wrong with it: offset, problem, suggestions."""
    parts: list[str | Slot] = []
    faults: list[Fault] = []
    at = 0
    for match in _SLOT.finditer(text):
        if match.start() > at:
            parts.append(text[at : match.start()])
        slot = match.group(1).strip()
        if slot in fields:
            parts.append(Slot(slot))
        else:
            parts.append(_expression(slot, match.start(1), names, fields, faults))
        at = match.end()
    if at < len(text):
        parts.append(text[at:])
    stray = re.search(r"[{}]", _SLOT.sub(lambda match: " " * len(match.group()), text))
    if stray is not None:
        faults.append((stray.start(), "a brace is not closed, or nested", ()))
    return Message(tuple(parts)), faults


def _expression(slot: str, offset: int, names: NameTable, fields: tuple[str, ...], faults: list[Fault]) -> Slot:
    wanted = _IN_UNIT.fullmatch(slot)
    unit = find_unit(wanted.group(2)) if wanted else None
    text = wanted.group(1) if wanted and unit is not None else slot
    read = parse(text, names)
    if read.node is None and wanted is not None and unit is None and parse(wanted.group(1), names).node is not None:
        told = f"there is no unit {wanted.group(2)}"
        faults.append((offset + wanted.start(2), told, near(wanted.group(2), (*UNITS, *ALIASES))))
        return Slot(slot)
    if read.node is None:
        problem = read.errors[0]
        faults.append((offset + problem.start, problem.message, problem.suggestions or near(slot, fields)))
        return Slot(slot)
    checked = check(read.node, names)
    if checked.errors:
        faults.append((offset + checked.errors[0].start, checked.errors[0].message, checked.errors[0].suggestions))
    elif unit is not None and not (
        isinstance(checked.type, NumberType) and without_basis(checked.type.dimension) == unit.dimension
    ):
        faults.append((offset, f"{text} is not measured in {unit.symbol}", ()))
    return Slot(text, read.node, unit)
