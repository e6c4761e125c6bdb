"""Slips in a new revision of an order, which show beside the one before it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Final

from tests.slips import slips_alarms as alarms
from tests.slips import slips_circuit as circuit
from tests.slips import slips_numbers as numbers
from tests.slips import slips_patient as patient
from tests.slips import slips_settings as settings
from tests.slips.harness import ROOT
from tests.slips.scene import Scene, SceneSlip
from tests.slips.sheet import Sheet, Slip

_REVISION: Final = re.compile(r"^(  revision +)(\d+)$", re.MULTILINE)
_WRITTEN: Final = re.compile(r"^(  written +)\S+ \S+", re.MULTILINE)
_CHECKED: Final = re.compile(r"^checked \S+ \S+", re.MULTILINE)
_READINGS: Final = re.compile(r"^readings\b.*\n(?:  .*\n|\n)*", re.MULTILINE)
_HIGH_RATE: Final = re.compile(r"^(  high rate +)(\d+)", re.MULTILINE)
_ORDERS: Final = (
    "TM-0417-tracheostomy-night",
    "TM-0504-child-tube-volume-targeted",
    "TM-0506-adult-copd-acute",
    "TM-0508-adult-lung-protective",
    "TM-0513-adult-neuromuscular-night",
)
_NEW: Final = "new.vrx"
_MOVED: Final = ("change.alone", "change.large-step", "notation.outside-allowed")
"""What tells a step; a value that is not even allowed is not compared, for nobody knows which of the two is meant."""


def _sound(name: str) -> str:
    return (ROOT / "examples" / "sound" / f"{name}.vrx").read_text("utf-8")


def revised(text: str) -> str:
    """The next revision of an order, written and checked anew, with no readings yet; what is ordered is as it was."""
    text = _READINGS.sub("", text)
    text = _REVISION.sub(lambda found: f"{found[1]}{int(found[2]) + 1}", text)
    text = _WRITTEN.sub(r"\g<1>2026-11-23 08:30", text)
    return _CHECKED.sub("checked 2026-11-23 15:00", text)


def sound_scenes() -> Iterator[Scene]:
    """Each order beside its next revision, in which a limit was moved a little, as it may be."""
    for name in _ORDERS:
        old = _sound(name)
        yield Scene({_NEW: _moved(revised(old))}, _NEW, before=old)


def _moved(text: str) -> str:
    return _HIGH_RATE.sub(lambda found: f"{found[1]}{int(found[2]) + 1}", text)


def _of_kind(
    make: Callable[[Sheet], Iterator[Slip]], *fitting: str, orders: tuple[str, ...] = _ORDERS, signed: bool = False
) -> Iterator[SceneSlip]:
    """The slips of a kind for one document, in the new revision; but those that would be signed only if asked for."""
    for name in orders:
        old = _sound(name)
        for slip in (each for each in make(Sheet(name, revised(old))) if signed or not each.signed):
            yield SceneSlip(Scene({_NEW: slip.text}, _NEW, before=old), f"{slip.before} -> {slip.after}", fitting)


def baseline_moved() -> Iterator[SceneSlip]:
    """PEEP or EPAP goes up or down, and everything else is copied."""
    yield from _of_kind(settings.baseline_raised, *_MOVED)
    yield from _of_kind(settings.baseline_lowered, *_MOVED)


def long_step() -> Iterator[SceneSlip]:
    """A pressure or a volume of another patient."""
    yield from _of_kind(alarms.alarm_left_pressure, *_MOVED)
    yield from _of_kind(settings.volume_of_another, *_MOVED)


def reference_changed() -> Iterator[SceneSlip]:
    """A pressure keeps its number and counts from something else; a volume per kilogram from another weight."""
    references = ("change.reference", "pressure.reference-mismatch", "pressure.limit-reference")
    yield from _of_kind(numbers.reference_swapped, *references)
    yield from _of_kind(numbers.weight_basis, "change.basis", signed=True)


def alarm_gone() -> Iterator[SceneSlip]:
    """An alarm line is not copied, or is switched off."""
    for name in _ORDERS[:2]:
        old = _sound(name)
        sheet = Sheet(name, revised(old))
        for detail in sheet.find("alarms"):
            slip = sheet.without(detail.first, detail.last, (), ())
            yield SceneSlip(Scene({_NEW: slip.text}, _NEW, before=old), f"{slip.before} (lost)", ("change.alarm-lost",))


def circuit_of_another() -> Iterator[SceneSlip]:
    """Another limb or interface, and everything else is copied."""
    yield from _of_kind(circuit.limb_changed, "change.circuit-type")
    yield from _of_kind(circuit.interface_changed, "change.circuit-type", orders=_ORDERS[:2])


def patient_of_another() -> Iterator[SceneSlip]:
    """The patient's facts are those of another: sex, and a height that has shrunk or grown by a fifth."""
    yield from _of_kind(patient.sex_swapped, "change.other-patient", signed=True)
    yield from _of_kind(patient.height_of_another, "change.other-patient", "patient.height-for-age", signed=True)


def head_left() -> Iterator[SceneSlip]:
    """What is ordered was changed, and a line of the head or the check was left, or the number goes down."""
    for scene in sound_scenes():
        new, old = scene.files[_NEW], scene.before
        revision, written, checked = (form.search(old) for form in (_REVISION, _WRITTEN, _CHECKED))
        assert revision is not None and written is not None and checked is not None
        lower = max(int(revision[2]) - 1, 1)
        kept = "library.revision-kept" if lower == int(revision[2]) else "change.revision-order"
        spoilt = (
            ("the revision was left", _REVISION.sub(revision[0], new), ("library.revision-kept",)),
            (f"the revision was set to {lower}", _REVISION.sub(rf"\g<1>{lower}", new), (kept,)),
            ("the date of writing was left", _WRITTEN.sub(written[0], new), ("change.unsigned",)),
            ("written a month too early", _WRITTEN.sub(r"\g<1>2026-10-23 08:30", new), ("change.revision-order",)),
            ("the check was left", _CHECKED.sub(checked[0], new), ("change.checked-kept",)),
        )  # fmt: skip
        for told, text, fitting in spoilt:
            yield SceneSlip(scene.with_text(_NEW, text), told, fitting)
