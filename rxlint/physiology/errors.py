"""The refusal of input that a formula does not hold for, and the checks that raise it."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import wraps
from typing import Final, ParamSpec

P = ParamSpec("P")


class OutOfDomain(ValueError):
    """Input for which the formula has no meaning; the message says which argument and why."""


def finite(name: str, value: float) -> None:
    """Raise OutOfDomain unless the value is a finite number."""
    if not math.isfinite(value):
        raise OutOfDomain(f"{name} must be a finite number, not {value}")


def positive(**values: float) -> None:
    """Raise OutOfDomain unless every named value is finite and above zero."""
    for name, value in values.items():
        finite(_words(name), value)
        if value <= 0:
            raise OutOfDomain(f"{_words(name)} must be above zero, not {value:g}")


def not_negative(**values: float) -> None:
    """Raise OutOfDomain unless every named value is finite and at least zero."""
    for name, value in values.items():
        finite(_words(name), value)
        if value < 0:
            raise OutOfDomain(f"{_words(name)} must not be negative, not {value:g}")


def ordered(lower_name: str, lower: float, upper_name: str, upper: float) -> None:
    """Raise OutOfDomain unless the lower value is at most the upper one."""
    if lower > upper:
        raise OutOfDomain(f"{lower_name} ({lower:g}) must not be above {upper_name} ({upper:g})")


def computable(function: Callable[P, float]) -> Callable[P, float]:
    """Turn an overflow, a division by an underflowed zero or a result that is not finite into OutOfDomain."""

    @wraps(function)
    def guarded(*args: P.args, **kwargs: P.kwargs) -> float:
        try:
            result = function(*args, **kwargs)
        except ArithmeticError as error:
            raise OutOfDomain(f"values too extreme to compute with: {error}") from error
        if not math.isfinite(result):
            raise OutOfDomain("values too extreme to compute with: the result is not finite")
        return result

    return guarded


_WRITTEN: Final = {
    "peep": "PEEP",
    "ipap": "IPAP",
    "epap": "EPAP",
    "fio2": "FiO2",
    "pao2": "PaO2",
    "paco2": "PaCO2",
    "spo2": "SpO2",
    "co2": "CO2",
}


def _words(name: str) -> str:
    return " ".join(_WRITTEN.get(word, word) for word in name.split("_"))
