"""Other spellings of unit symbols: those accepted as they are, and those that are refused with a better one shown.

A discouraged spelling is never read as the symbol it stands for; it is only named, with the reason.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

# Words that nobody can misread. Abbreviations other than the symbols are discouraged instead.
ALIASES: Final[Mapping[str, str]] = {
    "second": "s",
    "seconds": "s",
    "minute": "min",
    "minutes": "min",
    "hour": "h",
    "hours": "h",
    "hours/day": "h/day",
    "minutes/day": "min/day",
    "time/day": "times/day",
    "breath/min": "breaths/min",
    "percent": "%",
}

_ISMP: Final = "ISMP list of error-prone abbreviations, symbols and dose designations, 2021"
_PRACTICE: Final = "common practice, no published source"
_LITRE: Final = f"a lower-case l can be read as the digit 1 ({_ISMP})"
_CC: Final = f"cc can be read as u or as zeros ({_ISMP})"
_BEATS: Final = f"beats and breaths a minute are written alike ({_PRACTICE})"
_LPM: Final = f"the unit is written out, so that litres and minutes can be checked ({_PRACTICE})"
_CASE: Final = f"the letters of a symbol have a fixed case ({_PRACTICE})"
_TIME: Final = f"times have one symbol each: s, min, h ({_PRACTICE})"
_DEGREE: Final = f"a degree sign can be read as hours or as a zero ({_PRACTICE})"
_POUND: Final = (
    "weights are ordered in kilograms, and the number changes with the unit (1 lb is 0.4536 kg); "
    f"pounds have been taken for kilograms ({_PRACTICE})"
)
_COUNT: Final = f"a rate names the time that it counts over ({_PRACTICE})"

# spelling -> (standard symbol, why); "lb" alone is also a unit with a factor, so that it can be compared and converted.
DISCOURAGED: Final[Mapping[str, tuple[str, str]]] = {
    "cc": ("mL", _CC),
    "ccs": ("mL", _CC),
    "cc/kg": ("mL/kg", _CC),
    "cm3": ("mL", f"volumes are written in mL ({_PRACTICE})"),
    "l": ("L", _LITRE),
    "ml": ("mL", _LITRE),
    "dl": ("dL", _LITRE),
    "l/min": ("L/min", _LITRE),
    "l/s": ("L/s", _LITRE),
    "l/h": ("L/h", _LITRE),
    "ml/min": ("mL/min", _LITRE),
    "ml/s": ("mL/s", _LITRE),
    "ml/kg": ("mL/kg", _LITRE),
    "ml/kg/min": ("mL/kg/min", _LITRE),
    "ml/cmH2O": ("mL/cmH2O", _LITRE),
    "l/cmH2O": ("L/cmH2O", _LITRE),
    "ml/mbar": ("mL/mbar", _LITRE),
    "cmH2O/l/s": ("cmH2O/(L/s)", _LITRE),
    "cmH2O/(l/s)": ("cmH2O/(L/s)", _LITRE),
    "mg/l": ("mg/L", _LITRE),
    "ML": ("mL", _CASE),
    "Ml": ("mL", _CASE),
    "cmH2O/L/s": ("cmH2O/(L/s)", f"two strokes in a row can be read in two ways ({_PRACTICE})"),
    "bpm": ("/min", _BEATS),
    "BPM": ("/min", _BEATS),
    "br/min": ("/min", _COUNT),
    "breaths": ("/min", _COUNT),
    "breaths/minute": ("breaths/min", _TIME),
    "rpm": ("/min", _BEATS),
    "lpm": ("L/min", _LPM),
    "LPM": ("L/min", _LPM),
    "Lpm": ("L/min", _LPM),
    "sec": ("s", _TIME),
    "secs": ("s", _TIME),
    "msec": ("ms", _TIME),
    "mins": ("min", _TIME),
    "hr": ("h", _TIME),
    "hrs": ("h", _TIME),
    "hrs/day": ("h/day", _TIME),
    "h/d": ("h/day", _TIME),
    "mBar": ("mbar", _CASE),
    "MBAR": ("mbar", _CASE),
    "hpa": ("hPa", _CASE),
    "kpa": ("kPa", _CASE),
    "KPa": ("kPa", _CASE),
    "KPA": ("kPa", _CASE),
    "mmhg": ("mmHg", _CASE),
    "mmHG": ("mmHg", _CASE),
    "cmh2o": ("cmH2O", _CASE),
    "cmh2O": ("cmH2O", _CASE),
    "cmH2o": ("cmH2O", _CASE),
    "cmH20": ("cmH2O", f"the last sign is a zero where the letter O belongs ({_PRACTICE})"),
    "cmHO": ("cmH2O", f"the 2 is missing ({_PRACTICE})"),
    "cm H2O": ("cmH2O", f"a unit is one word without a space ({_PRACTICE})"),
    "mm Hg": ("mmHg", f"a unit is one word without a space ({_PRACTICE})"),
    "torr": ("mmHg", f"one symbol is used for the millimetre of mercury ({_PRACTICE})"),
    "Torr": ("mmHg", f"one symbol is used for the millimetre of mercury ({_PRACTICE})"),
    "lb": ("kg", _POUND),
    "lbs": ("kg", _POUND),
    "Kg": ("kg", _CASE),
    "KG": ("kg", _CASE),
    "kgs": ("kg", f"symbols have no plural ({_PRACTICE})"),
    "C": ("degC", f"a lone C says neither degree nor compliance ({_PRACTICE})"),
    "\u00b0C": ("degC", _DEGREE),
    "\u2103": ("degC", _DEGREE),
    "F": ("degC", f"temperatures are ordered in degC; degrees Fahrenheit are not converted ({_PRACTICE})"),
    "FR": ("Fr", _CASE),
    "Ch": ("Fr", f"one symbol is used for catheter size ({_PRACTICE})"),
    "pct": ("%", f"one symbol is used for per cent ({_PRACTICE})"),
    "inches": ("in", f"lengths have one symbol each ({_PRACTICE})"),
}
