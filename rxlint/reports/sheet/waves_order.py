"""What an order says of its breaths, read for a drawing: numbers, their texts, and why a number is not there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from rxlint.expressions import Missing
from rxlint.model.facts import AS_WRITTEN, Facts
from rxlint.model.names import base_names
from rxlint.physiology import OutOfDomain, timing
from rxlint.physiology.waveforms import Mechanics
from rxlint.screening.values import Teller, show_number, unit_for
from rxlint.units import Unit, find_unit
from rxlint.vocabulary import vocabulary

Control = Literal["pressure", "volume", "volume-targeted pressure"]

_CONTROLS: Final[dict[str, Control]] = {
    "PC": "pressure",
    "VC": "volume",
    "vtPC": "volume-targeted pressure",
    "PS": "pressure",
    "vtPS": "volume-targeted pressure",
}
BACK_UP: Final = "fallback "


def unit(symbol: str) -> Unit:
    """A unit that the table of units is known to have."""
    found = find_unit(symbol)
    assert found is not None
    return found


class Order:
    """One scope's values as set. Every key that was asked for is remembered in ``asked``.

    ``unknown`` holds why a setting that may be left out, and is stated, has no value.
    """

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.asked: set[str] = set()
        self.unknown: dict[str, None] = {}
        self._teller = Teller(facts, base_names(), {})

    def number(self, key: str) -> float | None:
        """A value in base units; None where the order gives none."""
        self.asked.add(key)
        value = self.facts.as_set.value(key)
        return float(value) if isinstance(value, Fraction | float) else None

    def optional(self, key: str) -> float | None:
        """The value of a setting that may be left out; where it is stated without a value, that is remembered."""
        value = self.number(key)
        if value is None and self.facts.is_stated(key):
            self.unknown |= dict.fromkeys(self.why_none(key))
        return value

    def text(self, key: str) -> str:
        """A value as the reports tell it: as written, or computed in its term's unit."""
        return self._teller.key(key, self.facts.as_set)

    def why_none(self, *keys: str) -> tuple[str, ...]:
        """Why some of these have no value: what the order does not state, or states in a way that gives none."""
        reasons: dict[str, list[str]] = {}
        terms: set[str] = set()
        for key in keys:
            value = self.facts.as_set.value(key)
            if isinstance(value, Missing):
                for term, why in map(_parts, value.reasons):
                    reasons.setdefault(why, []).append(term)
                terms |= set() if value.reasons else value.terms or {key}
        unstated = [f"no {told(each)}" for each in sorted(terms)]
        together = [(list(dict.fromkeys(which)), why) for why, which in reasons.items()]
        return (
            *([f"the order states {_all(unstated)}"] if unstated else []),
            *(
                f"{_all(which)} {why.replace('is ', 'are ', 1) if len(which) > 1 else why}".strip()
                for which, why in together
            ),
        )

    def allowed(self) -> list[str]:
        """Of everything that was asked for: what is drawn as set, though the order allows it to be moved."""
        found = []
        for key in sorted(self.facts.closure(self.asked) & self.facts.allowed.keys()):
            axis = self.facts.allowed[key]
            if isinstance(axis.as_set, Fraction) and axis.low != axis.high:
                measure = unit_for(key, self.facts, {})
                low, as_set, high = (show_number(each, measure, key) for each in (axis.low, axis.as_set, axis.high))
                term = told(key.removesuffix(AS_WRITTEN))
                found.append(f"{term} is drawn as set, {as_set}; the order allows {low} to {high}")
        return found


def told(key: str) -> str:
    """A term as a reader of the order knows it."""
    for start, words in (("patient ", " of the patient"), (BACK_UP, " in the back-up section")):
        if key.startswith(start):
            return f"{key.removeprefix(start)}{words}"
    return key


_WHYS: Final = (" is stated as a range", " is stated but could not be read", " is switched off")


def _parts(reason: str) -> tuple[str, str]:
    """A reason as its term and what is said of that, so that terms of which the same is said are told together."""
    plain = reason.replace(AS_WRITTEN, "")
    why = next((each for each in _WHYS if plain.endswith(each)), "")  # any other reason is told as it is
    return (told(plain.removesuffix(why)), why.strip())


def _all(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


@dataclass(frozen=True, slots=True)
class Settings:
    """The settings of a breath that the ventilator times, in base units; pressures above the baseline.

    ``level``, ``total`` and ``base`` are the keys that its pressure, its volume and its baseline are told by;
    ``lowest`` and ``highest`` are the limits of the pressure, where the ventilator finds it itself.
    """

    control: Control
    baseline: float
    inspiration: float
    expiration: float
    rise: float
    pressure: float | None = None
    volume: float | None = None
    flow: float | None = None
    pause: float = 0.0
    lowest: float | None = None
    highest: float | None = None
    level: str = "mandatory peak"
    total: str = "tidal volume"
    base: str = "baseline"

    @property
    def is_back_up(self) -> bool:
        """Whether these are settings that an apnoea brings; the calculations have none of them."""
        return self.level.startswith(BACK_UP) or self.total.startswith(BACK_UP)

    @property
    def cycle(self) -> float:
        """From one breath to the next."""
        return self.inspiration + self.expiration


Lacking = tuple[str, ...]


def control_of(order: Order) -> Control | None:
    """What a mandatory breath of the mode controls; None where nothing is set of it."""
    mode = order.facts.mode
    return _CONTROLS.get(mode.type or "") if mode is not None else None


def mandatory_settings(order: Order) -> Settings | Lacking:
    """The settings of the mandatory breath, or why they are not all there."""
    control = control_of(order)
    if control is None:
        return ("the mode sets no breath",)
    pressure, level = "pressure above baseline", "mandatory peak"
    mode = order.facts.mode
    if mode is not None and mode.pattern == "S/T" and order.number(level) is None:
        pressure, level = "support above baseline", "supported peak"  # timed and triggered breaths have one level
    needs = {"pressure": [pressure], "volume": ["tidal volume"], "volume-targeted pressure": []}[control]
    lacking = order.why_none("baseline", *needs, "inspiration", "expiratory time")
    if lacking:
        return lacking
    baseline, inspiration, expiration = (
        _number(order, each) for each in ("baseline", "inspiration", "expiratory time")
    )
    rise = order.optional("rise time") or 0.0
    if control == "pressure":
        return _ordinary(
            Settings(control, baseline, inspiration, expiration, rise, order.number(pressure), level=level)
        )
    if control == "volume":
        volume, flow = order.number("tidal volume"), order.optional("inspiratory flow")
        pause = order.optional("inspiratory pause") or 0.0
        _, highest = pressure_limits(order, baseline)
        return _volume(
            Settings(control, baseline, inspiration, expiration, 0.0, None, volume, flow, pause, highest=highest)
        )
    return _ordinary(_targeted(order, baseline, inspiration, expiration, rise))


def _targeted(order: Order, baseline: float, inspiration: float, expiration: float, rise: float) -> Settings:
    total = "volume target" if order.number("volume target") is not None else "tidal volume"
    lowest, highest = pressure_limits(order, baseline)
    return Settings(
        "volume-targeted pressure", baseline, inspiration, expiration, rise,
        volume=order.number(total), lowest=lowest, highest=highest, total=total,
    )  # fmt: skip


def pressure_limits(order: Order, baseline: float) -> tuple[float | None, float | None]:
    """Lowest and highest pressure (above the baseline) that a volume target may use, where they are stated."""
    low, high = (order.optional(f"{each} inspiratory pressure") for each in ("minimum", "maximum"))
    return (None if low is None else low - baseline), (None if high is None else high - baseline)


def back_up_settings(order: Order) -> Settings | Lacking:
    """The settings of the breaths that an apnoea brings, or why they are not all there."""
    stated = [key for key in ("inspiratory pressure", "IPAP", "tidal volume") if order.facts.is_stated(BACK_UP + key)]
    if not stated:
        return ("the order states no pressure or volume in the back-up section that a breath can be drawn by",)
    if "tidal volume" in stated and len(stated) > 1:
        return ("the back-up section states both a pressure and a volume",)
    level = BACK_UP + stated[0]
    own = next((f"{BACK_UP}{key}" for key in ("PEEP", "EPAP") if order.facts.is_stated(BACK_UP + key)), "baseline")
    rate = next((BACK_UP + key for key in ("rate", "back-up rate") if order.facts.is_stated(BACK_UP + key)), "set rate")
    time = next((BACK_UP + key for key in ("inspiratory time", "I:E") if order.facts.is_stated(BACK_UP + key)), "")
    lacking = order.why_none(level, own, rate, *([time] if time else []))
    if not time:
        lacking += ("the order states no inspiratory time in the back-up section",)
    if lacking:
        return lacking
    baseline, size, each_second = (_number(order, key) for key in (own, level, rate))
    try:
        inspiration = _number(order, time)
        if time.endswith("I:E"):
            inspiration = timing.inspiratory_time(inspiration, each_second)
        expiration = timing.expiratory_time(each_second, inspiration)
    except OutOfDomain as error:
        return (str(error),)
    if stated == ["tidal volume"]:
        flow, pause = order.optional(f"{BACK_UP}inspiratory flow"), order.optional(f"{BACK_UP}inspiratory pause") or 0.0
        return _volume(
            Settings("volume", baseline, inspiration, expiration, 0.0, None, size, flow, pause, total=level, base=own)
        )
    rise = order.optional(f"{BACK_UP}rise time") or 0.0
    return _ordinary(
        Settings("pressure", baseline, inspiration, expiration, rise, size - baseline, level=level, base=own)
    )


def _number(order: Order, key: str) -> float:
    value = order.number(key)
    assert value is not None, key  # the caller has asked for the reasons first
    return value


def _ordinary(found: Settings) -> Settings | Lacking:
    """The settings, unless their times or pressures leave no breath."""
    for words, value in (
        ("the inspiratory time", found.inspiration),
        ("the time to breathe out", found.expiration),
        ("the inspiratory pressure less the baseline", found.pressure),
        ("the volume", found.volume),
    ):
        if value is not None and value <= 0:
            return (f"{words} is not above zero",)
    if found.baseline < 0:
        return ("the baseline is below ambient",)
    return found


def _volume(found: Settings) -> Settings | Lacking:
    """The settings of a breath of a set volume, unless the volume takes longer than the inspiration."""
    checked = _ordinary(found)
    if isinstance(checked, Settings) and flow_time(checked) > checked.inspiration * (1 + 1e-9):
        return ("the tidal volume takes longer at the inspiratory flow than the inspiration lasts",)
    if isinstance(checked, Settings) and flow_time(checked) <= 0:
        return ("the inspiratory pause leaves no time for the flow",)
    return checked


def flow_time(found: Settings) -> float:
    """How long the flow of a breath of a set volume lasts (s): by its flow, else what the pause leaves of the time."""
    if found.flow is not None and found.volume is not None and found.flow > 0:
        return found.volume / found.flow
    return found.inspiration - found.pause


def mechanics_of(order: Order) -> Mechanics | Lacking:
    """Compliance and resistances as the order states them: those that the calculations use."""
    keys = ("patient compliance", "patient resistance", "exhalation resistance")
    lacking = order.why_none(*keys[:2]) or order.why_none(*keys[2:])
    if lacking:
        return lacking
    try:
        return Mechanics(*(_number(order, each) for each in keys))
    except OutOfDomain as error:
        return (str(error),)


def term_of(key: str) -> str:
    """A key as a term: in its section's words where it is one, else the derived term."""
    found = vocabulary().terms.get(key)
    if found is None or key.startswith(BACK_UP):
        return told(key)
    return f"{found.phrase} alarm" if found.section == "alarms" else found.phrase
