"""Slips in a file of readings, which show beside the order that they are of, or beside the sets before them."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from rxlint.notation import nodes as n
from tests.slips.harness import ROOT
from tests.slips.numbers import parts_of, written
from tests.slips.scene import Scene, SceneSlip
from tests.slips.sheet import Detail, Sheet

_ORDER: Final = "order.vrx"
_SHEET: Final = "readings.vrx"
_ORDERS: Final = (
    "TM-0508-adult-lung-protective",
    "TM-0513-adult-neuromuscular-night",
    "TM-0524-adult-weaning-with-oxygen-bled-in",
    "TM-0535-adult-tube-lungs-at-rest",
)
_SHORT: Final = {
    "TM-0508-adult-lung-protective": ("plateau pressure  20 cmH2O", "PEEP  10 cmH2O", "total PEEP  10 cmH2O",
                                      "SpO2  93 %"),
    "TM-0417-tracheostomy-night": ("total leak  25 L/min", "SpO2  97 %"),
}  # fmt: skip
"""Sheets with few lines: what is told only where no volume was read, and the leak of a tube."""
_HOURS: Final = ("08:00", "12:00", "16:00")
_SEEN: Final = ("drift.", "reading.", "pressure.", "notation.implausible", "target.", "volume.")


def _order(name: str) -> str:
    return (ROOT / "examples" / "sound" / f"{name}.vrx").read_text("utf-8")


def _readings(sheet: Sheet) -> list[Detail]:
    return sheet.find("readings")


def _scene(name: str, *read: str) -> Scene:
    """An order, and three sets of readings of one later day that say the same: what its own readings say, or these."""
    text = _order(name)
    sheet = Sheet(name, text)
    head = f"readings for {sheet.word('head', 'id')} revision {sheet.word('head', 'revision')}"
    own = [f"  {each}" for each in read] or [sheet.lines[each.first - 1] for each in _readings(sheet)]
    day = [line for hour in _HOURS for line in ("", f'readings at 2026-11-22 {hour} by "nurse on duty"', *own)]
    return Scene({_ORDER: text, _SHEET: "\n".join([head, *day, ""])}, _ORDER, readings=(_SHEET,))


def sound_scenes() -> Iterator[Scene]:
    for name in _ORDERS:
        yield _scene(name)
    for name, read in _SHORT.items():
        yield _scene(name, *read)


def _changed(old: str, new: str, told: str, *fitting: str) -> Iterator[SceneSlip]:
    """One stretch of each sheet changed, where it stands there; the first of it alone."""
    for scene in sound_scenes():
        text = scene.files[_SHEET]
        if old in text:
            yield SceneSlip(scene.with_text(_SHEET, text.replace(old, new, 1)), told, fitting)


def of_another_order() -> Iterator[SceneSlip]:
    """The sheet of the bed beside it, or the one from before the order was changed."""
    yield from _changed("for TM-05", "for TM-06", "another order's number", "reading.another-order")
    yield from _changed("revision 3", "revision 2", "the revision before", "reading.another-revision")
    yield from _changed("revision 2", "revision 1", "the revision before", "reading.another-revision")
    yield from _changed("revision 1", "revision 2", "a revision to come", "reading.another-revision")


def first_line_bare() -> Iterator[SceneSlip]:
    """The first line does not say whose readings these are."""
    for scene in sound_scenes():
        text = scene.files[_SHEET].split("\n", 1)[1]
        yield SceneSlip(
            scene.with_text(_SHEET, text.lstrip("\n")), "the first line is lost", ("notation.readings-unnamed",)
        )


def alone() -> Iterator[SceneSlip]:
    """The sheet is screened, and the order is forgotten; in the folder of a ward it lies by itself."""
    for scene in sound_scenes():
        yield SceneSlip(
            Scene({"ward/sheet.vrx": scene.files[_SHEET]}), "no order beside it", ("notation.readings-alone",)
        )


def setting_among_readings() -> Iterator[SceneSlip]:
    """A change that was made is written under the readings."""
    for scene in sound_scenes():
        text = scene.files[_SHEET] + "\nsettings\n  FiO2  60 %\n"
        yield SceneSlip(scene.with_text(_SHEET, text), "settings below the readings", ("notation.not-readings",))


def hour_wrong() -> Iterator[SceneSlip]:
    """The hour is that of the set before, copied and left with another number in it, or is earlier than it."""
    for scene in sound_scenes():
        text = scene.files[_SHEET]
        same = text.replace("16:00", "12:00")
        head, term, last = same.rpartition("SpO2 ")
        percent = last.split("%")[0].strip()
        other = last.replace(percent, str(int(percent) - 1), 1)
        early = text.replace("16:00", "06:00")
        yield SceneSlip(scene.with_text(_SHEET, f"{head}{term}{other}"), "an hour copied", ("reading.same-moment",))
        yield SceneSlip(scene.with_text(_SHEET, early), "6 h for 16 h", ("reading.out-of-order",))


def set_misread() -> Iterator[SceneSlip]:
    """A number of the last set is of another patient: half as much again, and a third less."""
    for scene in sound_scenes():
        text = scene.files[_SHEET]
        sheet = Sheet("readings", text)
        last = max(each.block for each in _readings(sheet))
        for detail in (each for each in _readings(sheet) if each.block == last):
            for factor in ("1.5", "0.66"):
                for part in parts_of(detail):
                    new = _times(part, factor)
                    slip = sheet.edited([sheet.put(detail, part.start, part.number_end, new)], _SEEN)
                    told = f"{slip.before} -> {slip.after}"
                    yield SceneSlip(scene.with_text(_SHEET, slip.text), told, _SEEN)


def _times(part: n.Part, factor: str) -> str:
    places = Decimal(1).scaleb(-len(part.text.partition(".")[2]))
    return written((Decimal(part.text) * Decimal(factor)).quantize(places))
