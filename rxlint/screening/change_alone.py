"""Settings that were changed while what belongs to them was not.

A pair is told where it fitted before and does not fit now: that a setting moved is no fault by itself. What each pair
asks is common practice; how far a value may move before its alarms are asked about stands in the pack ``change``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Words
from rxlint.model.facts import Facts
from rxlint.model.names import base_names
from rxlint.model.stated import Stated
from rxlint.packs import Defined
from rxlint.screening.change import Change
from rxlint.screening.change_lines import is_alike
from rxlint.screening.values import Teller, show_number, unit_for

_PEAKS: Final = (("inspiratory pressure", "pressure above baseline"), ("IPAP", "support above baseline"))
_VOLUMES: Final = (("expected tidal volume", "tidal volume"), ("expected minute volume", "minute volume"))
# Where breaths of the patient's own add to those that are set, the minute volume does not follow the set rate.
_PRESSURES: Final = "pressure that alarms follow"
_VOLUMES_FOLLOW: Final = "share of a volume that alarms follow"
_OXYGEN: Final = "FiO2 that alarms follow"
_TIMES: Final = "share of the inspiration that a rate may move"
_COUNTED: Final = frozenset({"CMV", "A/C"})


@dataclass(frozen=True, slots=True)
class Alone:
    """A setting that moved by itself: its line, the lines that stayed, and what that makes of them."""

    moved: Stated
    kept: tuple[Stated, ...]
    what: str
    stayed: str
    effect: str


@dataclass(frozen=True, slots=True)
class View:
    """One period before and after, with what changed in it and what the pack defines."""

    old: Facts
    new: Facts
    changes: Mapping[str, Change]
    defined: Mapping[str, Defined]

    def values(self, key: str) -> tuple[Fraction, Fraction] | None:
        """A value as set, before and after, where both are known."""
        first, second = self.old.as_set.value(key), self.new.as_set.value(key)
        return (first, second) if isinstance(first, Fraction) and isinstance(second, Fraction) else None

    def moved(self, key: str) -> tuple[Fraction, Fraction] | None:
        """The same where they differ by more than what rounding in another unit leaves: by a figure that is shown."""
        values = self.values(key)
        if values is None or is_alike(*values):
            return None
        return values if self.told(key, values[0]) != self.told(key, values[1]) else None

    def limit(self, name: str) -> Fraction | None:
        """A term of the pack's own, for the order as it was before."""
        value = self.old.as_set.value(f"change: {name}")
        return value if isinstance(value, Fraction) else None

    def kept(self, key: str) -> Stated | None:
        """The line of a value that is stated as it was before."""
        stated = self.new.stated(key)
        is_on = key not in self.new.off and self.new.as_set.is_stated(key)
        return stated if stated is not None and is_on and key not in self.changes and self.old.is_stated(key) else None

    def changed(self, *keys: str) -> Stated | None:
        """The first of these settings that is stated and was changed."""
        found = (self.new.stated(key) for key in keys if key in self.changes)
        return next((stated for stated in found if stated is not None), None)

    def told(self, key: str, value: Fraction) -> str:
        """A value as text."""
        return show_number(value, unit_for(key, self.new, self.defined), key)

    def course(self, key: str, values: tuple[Fraction, Fraction]) -> str:
        """How a value goes from one to another."""
        return f"from {self.told(key, values[0])} to {self.told(key, values[1])}"

    def setting(self, line: Stated) -> str:
        """A setting that moved, with how it was written before and is written now."""
        change = self.changes[line.key]
        if change.before is None or change.after is None:
            return f"{line.key} ({change.after or change.before})"
        return f"{line.key} ({change.before} -> {change.after})"

    def line(self, key: str) -> str:
        """A setting with its value."""
        return f"{key} {Teller(self.new, base_names(), {}).key(key, self.new.as_set)}"


def alone(view: View) -> Iterator[Alone]:
    """Every setting of a period that moved while what belongs to it stayed."""
    yield from _baseline(view)
    yield from _two_kinds(view)
    yield from _rate(view)
    yield from _pressure_alarms(view)
    yield from _volume_alarms(view)
    yield from _oxygen_alarms(view)


# ---- pressures


def _baseline(view: View) -> Iterator[Alone]:
    """A pressure above ambient that stayed where it was while the pressure that breaths start from moved."""
    moved = view.moved("baseline")
    if moved is None:
        return
    for key, above in _PEAKS:
        reference = view.new.constants.get("inspiratory pressure reference")
        is_above = key == "IPAP" or (isinstance(reference, Words) and "ambient" in reference.stated)
        values = view.values(above)
        line, stayed = view.changed("PEEP", "EPAP"), view.kept(key)
        if line is not None and stayed is not None and is_above and values is not None:
            effect = f"what a breath adds above {line.key} goes {view.course(above, values)}"
            yield Alone(line, (stayed,), view.setting(line), view.line(key), effect)


def _two_kinds(view: View) -> Iterator[Alone]:
    """Mandatory and supported breaths that reached one pressure, and of which only one was changed.

    Support that alone was lowered is weaning.
    """
    mandatory, supported = view.values("mandatory peak"), view.values("supported peak")
    if mandatory is None or supported is None or view.moved("baseline") is not None:
        return
    if not is_alike(mandatory[0], supported[0]) or is_alike(mandatory[1], supported[1]):
        return
    pressure, support = view.changed("inspiratory pressure", "IPAP"), view.changed("pressure support")
    reach = view.told("supported peak", supported[1]), view.told("mandatory peak", mandatory[1])
    told = f"supported breaths now reach {reach[0]}, mandatory ones {reach[1]}"
    if pressure is not None and support is None and (stayed := view.kept("pressure support")) is not None:
        yield Alone(pressure, (stayed,), view.setting(pressure), view.line("pressure support"), told)
    elif support is not None and pressure is None and supported[1] > supported[0]:
        for key in ("inspiratory pressure", "IPAP"):
            if (stayed := view.kept(key)) is not None:
                yield Alone(support, (stayed,), view.setting(support), view.line(key), told)


# ---- times


def _rate(view: View) -> Iterator[Alone]:
    """A rate that moved under a ratio of times that was kept: every inspiration gets shorter or longer with it."""
    rates, times, share = view.moved("set rate"), view.moved("inspiration"), view.limit(_TIMES)
    line, stayed = view.changed("rate", "back-up rate"), view.kept("I:E")
    if rates is None or times is None or share is None or line is None or stayed is None:
        return
    if abs(times[1] - times[0]) > share * times[0]:
        effect = f"inspiration goes {view.course('inspiration', times)}"
        yield Alone(line, (stayed,), view.setting(line), view.line("I:E"), effect)


# ---- alarms


def _pressure_alarms(view: View) -> Iterator[Alone]:
    limit = view.limit(_PRESSURES)
    line = view.changed("inspiratory pressure", "IPAP", "pressure support", "PEEP", "EPAP")
    peaks = [values for key in ("mandatory peak", "supported peak") if (values := view.values(key)) is not None]
    if limit is None or line is None or not peaks:
        return
    kept: dict[str, str] = {}
    for end, extreme in (("high", max), ("low", min)):
        course = extreme(each[0] for each in peaks), extreme(each[1] for each in peaks)
        name = f"alarm {end} inspiratory pressure"
        if view.kept(name) is not None and abs(course[1] - course[0]) > limit:
            which = "peak" if len(peaks) == 1 else f"{end}est peak"
            kept[name] = f"the {which} goes {view.course('mandatory peak', course)}"
    yield from _alarms(view, line, kept)


def _volume_alarms(view: View) -> Iterator[Alone]:
    """Alarms that stood in a fitting proportion to the volume that is set, and do so no more."""
    share = view.limit(_VOLUMES_FOLLOW)
    line = view.changed("tidal volume", "volume target", "rate")
    kept: dict[str, str] = {}
    for key, alarm in _VOLUMES:
        values = view.moved(key)
        if values is None or share is None or abs(values[1] - values[0]) <= share * values[0]:
            continue
        if key == "expected minute volume" and _pattern(view.new) not in _COUNTED:
            continue
        for end in ("low", "high"):
            name = f"alarm {end} {alarm}"
            limits = view.values(name)
            if view.kept(name) is None or limits is None:
                continue
            if _fits(end, limits[0], values[0]) and not _fits(end, limits[1], values[1]):
                kept[name] = f"the {key} goes {view.course(key, values)}"
    if line is not None:
        yield from _alarms(view, line, kept)


def _alarms(view: View, line: Stated, kept: Mapping[str, str]) -> Iterator[Alone]:
    """One answer for all the alarms that stayed; each with what moved away from it."""
    lines = tuple(stated for name in kept if (stated := view.kept(name)) is not None)
    if lines:
        told = " and ".join(view.line(name) for name in kept)
        yield Alone(line, lines, view.setting(line), told, ", ".join(dict.fromkeys(kept.values())))


def _fits(end: str, alarm: Fraction, value: Fraction) -> bool:
    """Whether an alarm stands where it can tell: a low one from half of the value on, a high one up to its double."""
    return value / 2 <= alarm <= value if end == "low" else value <= alarm <= 2 * value


def _oxygen_alarms(view: View) -> Iterator[Alone]:
    values, limit, line = view.moved("FiO2"), view.limit(_OXYGEN), view.changed("FiO2")
    if values is None or limit is None or line is None or abs(values[1] - values[0]) <= limit:
        return
    course = f"FiO2 goes {view.course('FiO2', values)}"
    names = [name for name in ("alarm low FiO2", "alarm high FiO2") if view.kept(name) is not None]
    yield from _alarms(view, line, dict.fromkeys(names, course))


def _pattern(facts: Facts) -> str | None:
    value = facts.constants.get("mode pattern")
    return next(iter(value.stated), None) if isinstance(value, Words) else None
