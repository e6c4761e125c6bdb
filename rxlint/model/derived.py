"""Derived terms: what the stated values imply. Each lists its ways in order; the first whose terms are all there is taken.

A way is an expression over terms, other derived terms and the functions of ``rxlint.physiology``; simple arithmetic is written out so that
it stays exact and its terms stay correlated over ranges. The unit is the one in which values are told.
"""

from __future__ import annotations

from typing import Final

from rxlint.model.derivation import Derived, Way
from rxlint.model.derived_clinical import CLINICAL

_DEFINITION: Final = "definition"
_CONVENTION: Final = "ISO 19223:2019 (pressures relative to ambient and to the baseline); read through public summaries"
_WAVE: Final = "definition of breath times"
_MOTION: Final = "one-compartment model: Marini JJ, Crooke PS, Truwit JD. J Appl Physiol 1989;67:1081-92 (inputs and outputs); formulas derived here"
_POWER_VC: Final = "Gattinoni L et al. Intensive Care Med 2016;42:1567-75"
_POWER_PC: Final = "Becher T et al. Intensive Care Med 2019;45:1321-3"
_PBW: Final = "ARDS Network. N Engl J Med 2000;342:1301-8"
_SPAN: Final = (
    f"{_PBW}; arm span for height where the spine is curved: Prediction of spirometric values in patients with scoliosis. "
    "Acta Orthop Scand 1978;49:469-74 (abstract)"
)

_PC: Final = "patient compliance, patient resistance, exhalation resistance, pressure above baseline, inspiration, expiratory time"


def _by(length: str) -> str:
    """The predicted weight by a length."""
    return f"if (patient sex is male) then (predicted weight, male of ({length})) else (predicted weight, female of ({length}))"


def _one(
    key: str, unit: str, means: str, source: str, *texts: str, plain: bool = False, basis: str | None = None
) -> Derived:
    return Derived(key, unit, means, tuple(Way(text, source) for text in texts), plain, basis)


_BREATHS: Final[tuple[Derived, ...]] = (
    _one("baseline", "cmH2O", "pressure between breaths, above ambient", _DEFINITION, "PEEP", "EPAP", plain=True),
    _one("mandatory peak", "cmH2O", "pressure that a mandatory breath is set to reach, above ambient", _CONVENTION, "inspiratory pressure", "IPAP", plain=True),
    _one("supported peak", "cmH2O", "pressure that a supported breath is set to reach, above ambient", _CONVENTION, "baseline + pressure support", "IPAP"),
    _one("pressure above baseline", "cmH2O", "set pressure of a mandatory breath above the baseline", _CONVENTION, "mandatory peak - baseline"),
    _one("support above baseline", "cmH2O", "pressure of a supported breath above the baseline", _CONVENTION, "pressure support", "IPAP - baseline"),
    _one("set rate", "/min", "rate of breaths the ventilator gives", _DEFINITION, "rate", "back-up rate", plain=True),
    _one("cycle time", "s", "time from one mandatory breath to the next", _WAVE, "1 / set rate"),
    Derived(
        "inspiration",
        "s",
        "duration of a mandatory inspiration, pause included",
        (
            Way("inspiratory time", _DEFINITION),
            Way("cycle time * I:E / (1 + I:E)", _WAVE),
            Way("tidal volume / inspiratory flow + inspiratory pause", _WAVE),
            Way("tidal volume / inspiratory flow", _WAVE),
        ),
    ),
    Derived(
        "expiratory time",
        "s",
        "time left to breathe out",
        (
            Way("cycle time - inspiratory time", _WAVE),
            Way("cycle time / (1 + I:E)", _WAVE),  # a product as inspiration is, so that ranges of the two compare exactly
            Way("cycle time - inspiration", _WAVE),
        ),
    ),
    _one("ratio of times", "", "inspiratory divided by expiratory time", _WAVE, "inspiration / expiratory time"),
    _one("duty cycle", "%", "share of the cycle that is inspiration", _WAVE, "inspiration / cycle time"),
    # the arm span stands in where height can't be measured, and where a curved spine takes height away
    Derived(
        "predicted weight", "kg", "predicted body weight of an adult, from sex and height, or arm span for height",
        (
            Way(f"if (patient diagnosis is chest wall) then ({_by('patient arm span')}) else ({_by('patient height')})", _SPAN),
            Way(_by("patient height"), _PBW),
            Way(_by("patient arm span"), _SPAN),
        ), basis="predicted weight",
    ),
    _one("exhalation resistance", "cmH2O/(L/s)", "resistance that expiration meets", _DEFINITION, "patient expiratory resistance", "patient resistance", plain=True),
    _one("inspiratory time constant", "s", "resistance x compliance in inspiration", "definition", "patient resistance * patient compliance"),
    _one("expiratory time constant", "s", "resistance x compliance in expiration", "definition", "exhalation resistance * patient compliance"),
    _one("time constants of expiration", "", "expiratory time in time constants", "definition", "expiratory time / expiratory time constant"),
    _one("modelled tidal volume", "mL", "volume of a pressure-controlled breath at the stated mechanics", _MOTION, f"pressure-control tidal volume of ({_PC})"),
    _one(
        "modelled intrinsic PEEP", "cmH2O", "pressure above the set PEEP that is left at the end of expiration", _MOTION,
        f"pressure-control intrinsic PEEP of ({_PC})",
        "volume-control intrinsic PEEP of (tidal volume, patient compliance, exhalation resistance, expiratory time)",
    ),
    _one("modelled total PEEP", "cmH2O", "set and intrinsic PEEP together", _MOTION, "baseline + modelled intrinsic PEEP"),
    _one(
        "modelled plateau", "cmH2O", "pressure in the lung at the end of inspiration", _MOTION,
        f"pressure-control end-inspiratory alveolar pressure of ({_PC}, baseline)",
        "volume-control plateau of (tidal volume, patient compliance, exhalation resistance, expiratory time, baseline)",
    ),
    _one(
        "modelled peak", "cmH2O", "peak airway pressure of a volume-controlled breath", _MOTION,
        "volume-control peak of (tidal volume, patient compliance, patient resistance, exhalation resistance, inspiratory flow, expiratory time, baseline)",
    ),
    Derived(
        "driving pressure",
        "cmH2O",
        "plateau less total PEEP: volume divided by compliance",
        (
            Way("reading plateau pressure - reading total PEEP", "Amato MBP et al. N Engl J Med 2015;372:747-55 (definition)"),
            Way("reading plateau pressure - baseline", "Amato MBP et al. N Engl J Med 2015;372:747-55 (definition)"),
            Way("modelled plateau - modelled total PEEP", _MOTION),
        ),
    ),
    _one("expected tidal volume", "mL", "volume of a mandatory breath", _DEFINITION, "tidal volume", "modelled tidal volume", "volume target", plain=True),
    _one("expected minute volume", "L/min", "rate times volume of mandatory breaths", _DEFINITION, "set rate * expected tidal volume"),
    _one("volume per predicted weight", "mL/kg", "expected volume for each kilogram of predicted weight", _DEFINITION, "expected tidal volume / predicted weight", basis="predicted weight"),
    _one("volume per measured weight", "mL/kg", "expected volume for each kilogram of body weight", _DEFINITION, "expected tidal volume / patient weight", basis="measured weight"),
    _one(
        "mean airway pressure", "cmH2O", "mean over the breath with a square pressure wave", "definition of a mean",
        "baseline + pressure above baseline * duty cycle",
    ),
    Derived(
        "mechanical power",
        "J/min",
        "energy given to the lung each minute",
        (
            # the formula's time is that of the flow: no gas moves in a pause
            Way("mechanical power, volume control of (set rate, tidal volume, patient compliance, patient resistance, inspiration - inspiratory pause, baseline)", _POWER_VC),
            Way("mechanical power, volume control of (set rate, tidal volume, patient compliance, patient resistance, inspiration, baseline)", _POWER_VC),
            Way("mechanical power, pressure control of (set rate, expected tidal volume, pressure above baseline, baseline)", _POWER_PC),
        ),
    ),
)  # fmt: skip

DERIVED: Final[tuple[Derived, ...]] = (*_BREATHS, *CLINICAL)

__all__ = ["DERIVED", "Derived", "Way"]
