"""Kinds of slips in what joins ventilator and patient: interface, cuff, limb, parts and their order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rxlint.notation import nodes as n
from tests.slips.at_hand import spare
from tests.slips.sheet import Detail, Edit, Sheet, Slip

_PARTS = (
    "circuit.",
    "humidity.",
    "airway.",
    "monitoring.no-sampling-place",
    "volume.dead-space",
    "oxygen.",
    "reading.",
)
_FACE = ("airway.", "circuit.", "alarms.", "humidity.", "volume.", "pressure.", "mode.", "equipment.", "monitoring.",
         "timing.", "escalation.", "transport.")  # fmt: skip
_INTERFACES = ("nasal mask vented", "oronasal mask non-vented", "mouthpiece", "tracheostomy cuffed",
               "endotracheal tube cuffed", "nasal prongs", "helmet")  # fmt: skip
_CUFF = ("airway.", "volume.", "alarms.", "monitoring.", "humidity.exchanger-unsuitable", "mode.", "pressure.",
         "timing.no-maximum-inspiration")  # fmt: skip
_LIMBS = ("single with leak port", "single with exhalation valve", "dual")


def _circuit(sheet: Sheet) -> list[int]:
    lines = [each.first for each in [*sheet.find("circuit"), *sheet.find("airway")]]
    return [*lines, *(each.line for each in sheet.headings if each.section in ("circuit", "airway"))]


def _other_word(
    sheet: Sheet, section: str, term: str, words: Sequence[str], fitting: tuple[str, ...], related: Sequence[int] = ()
) -> Iterator[Slip]:
    """The line says each of the other words of its list."""
    for detail in sheet.find(section, term):
        text = detail.entry.text.split("#")[0].rstrip()
        old = text.split(term, 1)[1].strip()
        for new in words:
            if new != old:
                yield sheet.edited([sheet.put(detail, len(text) - len(old), len(text), new)], fitting, related)


def interface_changed(sheet: Sheet) -> Iterator[Slip]:
    """The interface is changed, and tube size, cuff, circuit and alarms are those of the old one."""
    return _other_word(sheet, "airway", "interface", _INTERFACES, _FACE, _circuit(sheet))


def mask_vent_swapped(sheet: Sheet) -> Iterator[Slip]:
    for detail in sheet.find("airway", "interface"):
        for old, new in ((" non-vented", " vented"), (" vented", " non-vented")):
            if old in detail.entry.text:
                edit = sheet.put_word(detail, old, new)
                yield sheet.edited([edit], ("circuit.", "airway."), _circuit(sheet))


def cuff_changed(sheet: Sheet) -> Iterator[Slip]:
    """The cuff is let down or blown up, or the tube gets or loses one, and nothing else follows."""
    for detail in sheet.find("airway", "cuff", "interface"):
        for old, new in (
            ("inflated", "deflated"),
            ("deflated", "inflated"),
            (" uncuffed", " cuffed"),
            (" cuffed", " uncuffed"),
        ):
            if old in detail.entry.text and not (old == " cuffed" and detail.term == "cuff"):
                related = [
                    each.first for each in [*sheet.find("airway"), *sheet.find("circuit"), *sheet.find("settings")]
                ]
                yield sheet.edited([sheet.put_word(detail, old, new)], _CUFF, related)


def limb_changed(sheet: Sheet) -> Iterator[Slip]:
    return _other_word(sheet, "circuit", "limb", _LIMBS, ("circuit.",), _circuit(sheet))


def humidification_changed(sheet: Sheet) -> Iterator[Slip]:
    words = ("HME", "heated humidifier", "none")
    return _other_word(sheet, "circuit", "humidification", words, ("humidity.", "circuit."), _circuit(sheet))


def inlet_changed(sheet: Sheet) -> Iterator[Slip]:
    words = ("capped", "in use", "open")
    related = [each.first for each in sheet.find("oxygen", "flow")]
    return _other_word(sheet, "circuit", "oxygen inlet", words, ("circuit.oxygen-inlet", "oxygen."), related)


# ---- parts
def _lists(sheet: Sheet) -> Iterator[tuple[Detail, tuple[n.Item, ...]]]:
    for detail in sheet.find("circuit", "assembly", "expiratory limb"):
        if isinstance(detail.body, n.Items):
            yield detail, detail.body.items


def _rebuilt(sheet: Sheet, detail: Detail, items: Sequence[n.Item], signed: str = "") -> Slip:
    """The line with these parts in this order, on one line of text; the line that it went on with is left empty."""
    told = ", ".join(detail.stretch(item.start, item.end) for item in items)
    first = detail.entry.lines[0].number
    head = sheet.lines[first - 1]
    body = detail.body
    assert isinstance(body, n.Items)
    edits = [Edit(first, body.items[0].start, len(head), told)]
    edits += [
        Edit(line.number, 0, len(line.text), "    # the parts stand in one line") for line in detail.entry.lines[1:]
    ]
    slip = sheet.edited(edits[:1] if len(edits) == 1 else edits, _PARTS, _circuit(sheet), signed)
    return Slip(
        slip.text,
        slip.lines,
        sheet.lines[first - 1].strip(),
        head[: body.items[0].start].strip() + " " + told,
        slip.fitting,
        signed,
    )


def part_lost(sheet: Sheet) -> Iterator[Slip]:
    for detail, items in _lists(sheet):
        for at, item in enumerate(items):
            why = (
                "this part is no part of every such circuit"
                if item.name in ("flow sensor", "water trap", "CO2 adapter")
                else ""
            )
            if len(items) > 1:
                yield _rebuilt(sheet, detail, [*items[:at], *items[at + 1 :]], why)


def part_doubled(sheet: Sheet) -> Iterator[Slip]:
    for detail, items in _lists(sheet):
        for at, item in enumerate(items):
            why = "two tubings in line are an ordinary circuit" if item.name == "tubing" else ""
            yield _rebuilt(sheet, detail, [*items[: at + 1], item, *items[at + 1 :]], why)


_EITHER = ({"flow sensor", "CO2 adapter"}, {"CO2 adapter", "HME"}, {"tubing", "water trap"},
           {"leak port", "CO2 adapter"}, {"anti-asphyxia valve", "leak port"})  # fmt: skip


def parts_exchanged(sheet: Sheet) -> Iterator[Slip]:
    """Two neighbouring parts in each other's place."""
    for detail, items in _lists(sheet):
        for at in range(len(items) - 1):
            pair = {items[at].name, items[at + 1].name}
            why = "these two parts work in either order" if pair in _EITHER or len(pair) == 1 else ""
            yield _rebuilt(sheet, detail, [*items[:at], items[at + 1], items[at], *items[at + 2 :]], why)


def _moved(sheet: Sheet, names: tuple[str, ...]) -> Iterator[Slip]:
    """The part at every other place of the list but those next to it, which are exchanges."""
    for detail, items in _lists(sheet):
        for at, item in enumerate(items):
            if item.name not in names:
                continue
            rest = [*items[:at], *items[at + 1 :]]
            for to in range(len(rest) + 1):
                if abs(to - at) > 1:
                    yield _rebuilt(sheet, detail, [*rest[:to], item, *rest[to:]])


def filter_moved(sheet: Sheet) -> Iterator[Slip]:
    return _moved(sheet, ("filter",))


def exchanger_moved(sheet: Sheet) -> Iterator[Slip]:
    return _moved(sheet, ("HME", "HME filter", "heated humidifier"))


def valve_moved(sheet: Sheet) -> Iterator[Slip]:
    """Where breath leaves is put at another place of the circuit."""
    return _moved(sheet, ("leak port", "exhalation valve", "anti-asphyxia valve", "speaking valve", "Y-piece"))


def exchanger_added(sheet: Sheet) -> Iterator[Slip]:
    """An exchanger from stock goes before the interface."""
    for detail, items in _lists(sheet):
        if detail.term == "assembly":
            new = n.Item("HME", None, items[-1].start, items[-1].end)
            slip = _rebuilt(sheet, detail, [*items[:-1], new, items[-1]])
            told = detail.stretch(items[-1].start, items[-1].end)
            yield Slip(
                slip.text.replace(f"{told}, {told}", f"HME 30 mL, {told}", 1), slip.lines, slip.before,
                slip.after.replace(f"{told}, {told}", f"HME 30 mL, {told}", 1), slip.fitting,
            )  # fmt: skip


def equipment_lost(sheet: Sheet) -> Iterator[Slip]:
    """One thing is left out of what must be at hand or of what watches."""
    for section in ("equipment", "monitoring"):
        for detail in sheet.find(section):
            if isinstance(detail.body, n.Items) and len(detail.body.items) > 1:
                yield from _one_less(sheet, detail, detail.body.items)


def _one_less(sheet: Sheet, detail: Detail, items: tuple[n.Item, ...]) -> Iterator[Slip]:
    fitting = ("equipment.", "monitoring.", "transport.", "airway.", "titration.unmeasured", "alarms.unmeasured",
               "reading.", "oxygen.", "target.", "escalation.")  # fmt: skip
    for at, item in enumerate(items):
        last = at == len(items) - 1
        start = items[at - 1].end if last else item.start
        end = item.end if last else items[at + 1].start
        why = spare(sheet, detail, item)
        yield sheet.edited([sheet.put(detail, start, end, "")], fitting, range(1, len(sheet.lines) + 1), why)
