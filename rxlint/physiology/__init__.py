"""Physiology as pure functions: timing, pressures, a one-compartment lung, mechanical power, body size and growth,
carbon dioxide and oxygenation, leak, oxygen and its supply, humidity.

Every argument and result is a float in the base units of `rxlint.units`: cmH2O, mL, s, cm, kg, so compliance is in
mL/cmH2O, resistance in cmH2O s/mL (1 cmH2O/(L/s) is 0.001), flow in mL/s, rate in 1/s and power in cmH2O mL/s. Each
function refuses input outside its domain. `registry` lists them with their sources and bounds them over intervals.
What an order says, and whether a value is acceptable, is not decided here. All lung formulas hold for a passive patient
with one linear compartment: they serve to see whether settings are plausible together, not to predict a patient.
"""

from rxlint.physiology.errors import OutOfDomain
from rxlint.physiology.registry import FORMULAS, Formula, enclose

__all__ = ["FORMULAS", "Formula", "OutOfDomain", "enclose"]
