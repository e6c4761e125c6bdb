"""Pressure, flow and volume over a breath of one passive linear compartment: `lung` tells its ends, this its course.

Equation of motion: airway pressure = PEEP + R x flow + volume / C, volume counted from that at PEEP, with resistance Ri
in inspiration and Re in expiration (the model of Marini JJ, Crooke PS, Truwit JD, J Appl Physiol 1989;67:1081-92, as in
`lung`; the solutions are derived here). In each phase either the airway pressure or the flow is straight in time:

Pressure from b above PEEP with slope s, p being the alveolar pressure above PEEP and k = R C:
  k p' = b + s t - p, so p = p_0 e^(-t/k) + b (1 - e^(-t/k)) + s (t - k (1 - e^(-t/k))), flow = (b + s t - p) / R.
Flow from b to f over the time t: p = p_0 + (b + f)/2 x t / C, airway pressure = PEEP + p + R f.

Pressure control with a straight rise over Tr is the mean of pressure steps that come evenly over Tr. The equation is
linear, so intrinsic PEEP and tidal volume are those of the step in `lung` times what the rise leaves of the filling:
  (1 - e^(-(Ti - Tr)/k) (1 - e^-m) / m) / (1 - e^(-Ti/k)), m = Tr / k.

A supported breath is that of a patient who does nothing after having triggered it. Its flow is highest at the end of
the rise and then falls as e^(-t/k), so it comes to a share q of its peak at Tr + k ln(1/q).

Units as in `lung`: cmH2O, mL, s, mL/s. At its baseline, without a breath, a passive lung stands still: no function.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from statistics import fmean
from typing import Literal

from rxlint.physiology import lung
from rxlint.physiology.errors import OutOfDomain, computable, not_negative, ordered, positive
from rxlint.physiology.timing import time_constant


@dataclass(frozen=True, slots=True)
class Mechanics:
    """Compliance (mL/cmH2O) and the resistances of inspiration and expiration (cmH2O s/mL). Raises OutOfDomain."""

    compliance: float
    inspiratory_resistance: float
    expiratory_resistance: float

    def __post_init__(self) -> None:
        inspiratory = time_constant(self.inspiratory_resistance, self.compliance)
        expiratory = time_constant(self.expiratory_resistance, self.compliance)
        positive(inspiratory_time_constant=inspiratory, expiratory_time_constant=expiratory)

    @property
    def inspiratory_time_constant(self) -> float:
        """Resistance times compliance in inspiration (s)."""
        return time_constant(self.inspiratory_resistance, self.compliance)

    @property
    def expiratory_time_constant(self) -> float:
        """Resistance times compliance in expiration (s)."""
        return time_constant(self.expiratory_resistance, self.compliance)


@dataclass(frozen=True, slots=True)
class Phase:
    """A part of a breath of some length (s), in which one quantity runs straight from ``begin`` to ``end``.

    It is the airway pressure above PEEP (cmH2O) where ``drives`` says pressure, else the flow (mL/s).
    """

    name: Literal["rise", "hold", "flow", "pause", "expiration"]
    drives: Literal["pressure", "flow"]
    length: float
    begin: float
    end: float

    def driven(self, time: float) -> float:
        """The driven quantity at a time (s) after the phase's start."""
        return self.begin + (self.end - self.begin) * (time / self.length)


@dataclass(frozen=True, slots=True)
class Moment:
    """Time (s), airway and alveolar pressure (cmH2O above ambient), flow (mL/s), volume above that at PEEP (mL)."""

    time: float
    airway: float
    alveolar: float
    flow: float
    volume: float


Plan = tuple[Phase, ...]


@dataclass(frozen=True, slots=True)
class Waveform:
    """A breath from its plan: ``start`` is the alveolar pressure above PEEP (cmH2O) that it begins with."""

    plan: Plan
    mechanics: Mechanics
    peep: float
    start: float

    @property
    def length(self) -> float:
        """From the start of the inspiration to the end of the expiration (s)."""
        return math.fsum(phase.length for phase in self.plan)

    @property
    def inspiratory_time(self) -> float:
        """Length of the inspiration, a pause included (s)."""
        return math.fsum(phase.length for phase in self.plan if phase.name != "expiration")

    @property
    def tidal_volume(self) -> float:
        """What the inspiration adds (mL)."""
        return self.mechanics.compliance * (self._filled()[-1] - self.start)

    @property
    def end_inspiratory_pressure(self) -> float:
        """Alveolar pressure at the end of the inspiration (cmH2O above ambient)."""
        return self.peep + self._filled()[-1]

    @property
    def end(self) -> float:
        """Alveolar pressure above PEEP at the end of the breath (cmH2O)."""
        *_, last = self.moments(1)
        return last[-1].alveolar - self.peep

    @property
    def peak_pressure(self) -> float:
        """Highest airway pressure (cmH2O above ambient)."""
        return max(
            self._moment(phase, begun, filled, time).airway
            for phase, begun, filled in self._states()
            for time in self._turns(phase)
        )

    @property
    def peak_flow(self) -> float:
        """Highest flow in inspiration (mL/s)."""
        return max(moment.flow for moments in self.moments(1) for moment in moments)

    @property
    def peak_expiratory_flow(self) -> float:
        """Highest flow in expiration (mL/s), below zero."""
        return min(moment.flow for moments in self.moments(1) for moment in moments)

    def moments(self, steps: int) -> Iterator[tuple[Moment, ...]]:
        """For each phase its moments at even steps, both ends included: pressure and flow may jump between phases."""
        for phase, begun, filled in self._states():
            times = (phase.length * step / steps for step in range(steps + 1))
            yield tuple(self._moment(phase, begun, filled, time) for time in times)

    def _states(self) -> Iterator[tuple[Phase, float, float]]:
        """Each phase with the time and the alveolar pressure above PEEP at which it begins."""
        begun, filled = 0.0, self.start
        for phase in self.plan:
            yield phase, begun, filled
            filled = self._pressure(phase, filled, phase.length)
            begun += phase.length

    def _filled(self) -> list[float]:
        """Alveolar pressure above PEEP at the end of each phase of the inspiration."""
        return [
            self._pressure(phase, filled, phase.length)
            for phase, _, filled in self._states()
            if phase.name != "expiration"
        ]

    def _turns(self, phase: Phase) -> Iterator[float]:
        """The times after a phase's start at which its airway pressure can be highest."""
        yield phase.length
        # A flow that falls: R f + volume / C stops rising where f = -R C f', at the start if it never rises.
        if phase.drives == "flow" and phase.end < phase.begin:
            empty = phase.begin / (phase.begin - phase.end) * phase.length
            turn = empty - self.mechanics.inspiratory_time_constant
            yield min(max(turn, 0.0), phase.length)

    def _pressure(self, phase: Phase, filled: float, time: float) -> float:
        """Alveolar pressure above PEEP at a time after a phase's start."""
        if phase.drives == "flow":
            return filled + fmean([phase.begin, phase.driven(time)]) * time / self.mechanics.compliance
        constant = self._resistance(phase) * self.mechanics.compliance
        gone = -math.expm1(-time / constant)
        ramp = (phase.end - phase.begin) * ((time - constant * gone) / phase.length)
        return filled * (1 - gone) + phase.begin * gone + ramp

    def _moment(self, phase: Phase, begun: float, filled: float, time: float) -> Moment:
        pressure, driven = self._pressure(phase, filled, time), phase.driven(time)
        resistance = self._resistance(phase)
        flow = driven if phase.drives == "flow" else (driven - pressure) / resistance
        airway = pressure + resistance * flow if phase.drives == "flow" else driven
        volume = self.mechanics.compliance * pressure
        return Moment(begun + time, self.peep + airway, self.peep + pressure, flow, volume)

    def _resistance(self, phase: Phase) -> float:
        lung_ = self.mechanics
        return lung_.expiratory_resistance if phase.name == "expiration" else lung_.inspiratory_resistance


def pressure_plan(
    pressure_above_peep: float, rise_time: float, inspiratory_time: float, expiratory_time: float
) -> Plan:
    """The phases of a breath whose pressure (cmH2O above PEEP) rises straight over the rise time; times in s.

    It needs no mechanics. Raises OutOfDomain, as where the rise time is above the inspiratory time.
    """
    positive(
        pressure_above_peep=pressure_above_peep, inspiratory_time=inspiratory_time, expiratory_time=expiratory_time
    )
    not_negative(rise_time=rise_time)
    ordered("rise time", rise_time, "inspiratory time", inspiratory_time)
    pressure = pressure_above_peep
    return _with_length(
        Phase("rise", "pressure", rise_time, 0.0, pressure),
        Phase("hold", "pressure", inspiratory_time - rise_time, pressure, pressure),
        Phase("expiration", "pressure", expiratory_time, 0.0, 0.0),
    )


def volume_plan(volume: float, flow_time: float, pause: float, expiratory_time: float, end_flow: float = 1.0) -> Plan:
    """The phases of a breath of a volume (mL), whose flow falls straight to a share of what it begins with; times in s.

    ``end_flow`` is that share: 1 for a constant flow, 0 for one that ends with the volume. It needs no mechanics.
    Raises OutOfDomain.
    """
    positive(volume=volume, flow_time=flow_time, expiratory_time=expiratory_time)
    not_negative(pause=pause, end_flow=end_flow)
    ordered("end flow", end_flow, "the flow at the start", 1.0)
    flow = volume / flow_time / fmean([1.0, end_flow])
    return _with_length(
        Phase("flow", "flow", flow_time, flow, flow * end_flow),
        Phase("pause", "flow", pause, 0.0, 0.0),
        Phase("expiration", "pressure", expiratory_time, 0.0, 0.0),
    )


def _with_length(*phases: Phase) -> Plan:
    return tuple(phase for phase in phases if phase.length > 0)


def follow(plan: Plan, mechanics: Mechanics, peep: float, start: float) -> Waveform:
    """A plan in a lung that begins at an alveolar pressure (cmH2O above PEEP), PEEP being above ambient."""
    not_negative(peep=peep, start=start)
    return Waveform(plan, mechanics, peep, start)


def pressure_controlled(
    mechanics: Mechanics,
    pressure_above_peep: float,
    rise_time: float,
    inspiratory_time: float,
    expiratory_time: float,
    peep: float,
) -> Waveform:
    """A pressure-controlled breath in steady state; with a rise time of zero it is that of `lung`."""
    plan = pressure_plan(pressure_above_peep, rise_time, inspiratory_time, expiratory_time)
    step = lung.pc_intrinsic_peep(
        mechanics.compliance,
        mechanics.inspiratory_resistance,
        mechanics.expiratory_resistance,
        pressure_above_peep,
        inspiratory_time,
        expiratory_time,
    )
    left = filling_left(mechanics, rise_time, inspiratory_time)
    return follow(plan, mechanics, peep, step * left)


def volume_controlled(
    mechanics: Mechanics,
    volume: float,
    flow_time: float,
    pause: float,
    expiratory_time: float,
    peep: float,
    end_flow: float = 1.0,
) -> Waveform:
    """A volume-controlled breath in steady state; with constant flow it is that of `lung`."""
    plan = volume_plan(volume, flow_time, pause, expiratory_time, end_flow)
    start = lung.vc_intrinsic_peep(volume, mechanics.compliance, mechanics.expiratory_resistance, expiratory_time)
    return follow(plan, mechanics, peep, start)


def pressure_supported(
    mechanics: Mechanics,
    pressure_above_peep: float,
    rise_time: float,
    inspiratory_time: float,
    expiratory_time: float,
    peep: float,
    start: float,
) -> Waveform:
    """A supported breath without effort, from an alveolar pressure (cmH2O above PEEP) that the breath before left."""
    plan = pressure_plan(pressure_above_peep, rise_time, inspiratory_time, expiratory_time)
    return follow(plan, mechanics, peep, start)


@computable
def filling_left(mechanics: Mechanics, rise_time: float, inspiratory_time: float) -> float:
    """What a rise time (s) leaves of the filling that a step of pressure brings in the inspiratory time (s): 0 to 1."""
    positive(inspiratory_time=inspiratory_time)
    not_negative(rise_time=rise_time)
    ordered("rise time", rise_time, "inspiratory time", inspiratory_time)
    constant = mechanics.inspiratory_time_constant
    m = rise_time / constant
    if m == 0:
        return 1.0
    late = math.exp((rise_time - inspiratory_time) / constant) * math.expm1(-m) / m
    return (1 + late) / -math.expm1(-inspiratory_time / constant)


@computable
def supported_inspiratory_time(
    mechanics: Mechanics,
    pressure_above_peep: float,
    rise_time: float,
    cycle_off: float,
    start: float = 0.0,
    shortest: float = 0.0,
    longest: float = math.inf,
) -> float:
    """How long a supported breath lasts (s) until its flow has come to a share of its peak (0 to 1), within limits.

    No effort of the patient is taken into account; one that goes on makes the breath longer, one against it shorter.
    Raises OutOfDomain where the lung begins at or above the pressure (cmH2O above PEEP), so that nothing flows in.
    """
    positive(pressure_above_peep=pressure_above_peep, cycle_off=cycle_off)
    not_negative(rise_time=rise_time, start=start, shortest=shortest)
    ordered("the shortest inspiration", shortest, "the longest", longest)
    if start >= pressure_above_peep:
        raise OutOfDomain(
            f"the lung begins at {start:g} cmH2O above PEEP, so {pressure_above_peep:g} cmH2O move nothing"
        )
    if cycle_off >= 1:
        raise OutOfDomain(f"the share of the peak flow must be below 1, not {cycle_off:g}")
    own = rise_time - mechanics.inspiratory_time_constant * math.log(cycle_off)
    return max(shortest, min(own, longest))


@computable
def pc_pressure_for_volume(
    mechanics: Mechanics, volume: float, rise_time: float, inspiratory_time: float, expiratory_time: float
) -> float:
    """The pressure (cmH2O above PEEP) by which a pressure-controlled breath in steady state brings a volume (mL)."""
    positive(volume=volume)
    of_one = lung.pc_tidal_volume(
        mechanics.compliance,
        mechanics.inspiratory_resistance,
        mechanics.expiratory_resistance,
        1.0,
        inspiratory_time,
        expiratory_time,
    )
    return volume / (of_one * filling_left(mechanics, rise_time, inspiratory_time))


@computable
def emptying_time(mechanics: Mechanics, left: float) -> float:
    """Time (s) of passive expiration after which a share (above 0, below 1) of what is above PEEP is left."""
    positive(left=left)
    if left >= 1:
        raise OutOfDomain(f"the share that is left must be below 1, not {left:g}")
    return -mechanics.expiratory_time_constant * math.log(left)
