"""What may be left out of what is at hand, or of what watches, so that the order would be signed all the same."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rxlint.notation import nodes as n
from tests.slips.sheet import Detail, Sheet

_SPARE: Final = {"mask", "ECG", "arterial line", "transcutaneous CO2", "expired volume monitor", "leak monitor",
                 "suction", "suction catheter", "insufflation-exsufflation device", "oxygen analyser",
                 "blood gas analyser", "oxygen cylinder", "spare circuit", "spare mask", "battery suction",
                 "external battery"}  # fmt: skip
_KIT: Final = {"self-inflating bag", "suction", "spare tube same size"}
"""What an emergency kit of a tracheostomy is taken out for; a smaller tube besides, where one is made."""


def spare(sheet: Sheet, detail: Detail, item: n.Item) -> str:
    """Why an order without this item would be signed; empty where it would not."""
    place = sheet.word("patient", "place of care")
    name = item.name
    everywhere = name in _SPARE or (name == "battery" and place not in ("home", "transfer"))
    if everywhere or (name.startswith("spare tube") and place == "intensive care"):
        return f"{name} is not on every such list, and the order is safe without it"
    if name in _names(sheet, "monitoring" if detail.section == "equipment" else "equipment"):
        return f"{name} is listed a second time, under the other heading"
    if name == "tracheostomy emergency kit" and _names(sheet, "equipment") >= _KIT:
        return "what a kit is made of stands in the list by itself"
    if name == "cuff pressure gauge" and sheet.word("airway", "cuff").startswith("deflated"):
        return "the cuff is down, and there is nothing to measure"
    if name == "second ventilator" and (place == "transfer" or not _depends(sheet)):
        return "on the way the bag stands in for it, and at home who can wait has one brought"
    if name in ("self-inflating bag", "battery") and place == "home" and _by_mask(sheet) and not _depends(sheet):
        return f"at home by mask, {name} is for those who can't do without for long"
    return ""


def given_away(sheet: Sheet, detail: Detail, items: Sequence[n.Item]) -> str:
    """Why an order without a whole line of items would be signed: it would be without any of them."""
    reasons = [spare(sheet, detail, item) for item in items]
    return reasons[0] if all(reasons) else ""


def _names(sheet: Sheet, section: str) -> set[str]:
    bodies = (each.body for each in sheet.find(section))
    return {item.name for body in bodies if isinstance(body, n.Items) for item in body.items}


def _by_mask(sheet: Sheet) -> bool:
    return any(word in sheet.word("airway", "interface") for word in ("mask", "pillows"))


def _depends(sheet: Sheet) -> bool:
    """16 h a day and more, or safe alone for less than 4 h, as the rules have it."""
    hours, alone = (_number(sheet, term) for term in ("hours ventilated", "unaided up to"))
    return (hours is not None and hours >= 16) or (alone is not None and alone < 4)


def _number(sheet: Sheet, term: str) -> float | None:
    """The number of hours that stands in a line; a range counts by what it begins with."""
    parts = sheet.word("patient", term).removeprefix("at least ").split()
    is_hours = bool(parts) and parts[-1] in ("h", "h/day") and parts[0].replace(".", "", 1).isdigit()
    return float(parts[0]) if is_hours else None
