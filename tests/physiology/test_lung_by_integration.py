"""The closed forms of the one-compartment lung against numerical integration of its equation of motion.

The integration knows nothing of the closed forms: it follows volume, flow and pressure through a breath, and finds the
steady state from two breaths that start at different volumes, because the volume after a breath is a straight-line
function of the volume before it.
"""

import itertools
from collections.abc import Callable
from dataclasses import dataclass

import pytest
from scipy.integrate import solve_ivp

from rxlint.physiology import lung

TOLERANCE = 2e-5  # relative; well inside the half per cent that matters to anybody


@dataclass(frozen=True)
class Breath:
    """One steady breath: volumes above PEEP (mL) at its start and highest, time integrals of pressures (cmH2O s)."""

    start: float
    highest: float
    alveolar: float
    airway: float


Phase = tuple[float, Callable[[float], float], Callable[[float], float]]


def follow(start: float, compliance: float, phases: list[Phase]) -> tuple[list[float], float, float]:
    """Volumes at the end of each phase and the integrals of alveolar and airway pressure above PEEP.

    A phase is its length, the flow as a function of volume, and the airway pressure as one of volume.
    """
    ends: list[float] = []
    state = [start, 0.0, 0.0]
    for length, flow, airway in phases:
        if length == 0:
            continue

        def slope(
            _time: float,
            now: list[float],
            flow: Callable[[float], float] = flow,
            paw: Callable[[float], float] = airway,
        ) -> list[float]:
            return [flow(now[0]), now[0] / compliance, paw(now[0])]

        done = solve_ivp(slope, (0.0, length), state, method="DOP853", rtol=1e-9, atol=1e-9)
        state = [float(row[-1]) for row in done.y]
        ends.append(state[0])
    return ends, state[1], state[2]


def steady(compliance: float, phases: list[Phase]) -> Breath:
    low, high = 0.0, 1000.0
    after_low, after_high = (follow(start, compliance, phases)[0][-1] for start in (low, high))
    gain = (after_high - after_low) / (high - low)
    start = (after_low - gain * low) / (1 - gain)
    ends, alveolar, airway = follow(start, compliance, phases)
    assert ends[-1] == pytest.approx(start, rel=1e-6, abs=1e-6)
    return Breath(start, max(ends), alveolar, airway)


def expiration(compliance: float, resistance: float, time: float) -> Phase:
    return time, lambda volume: -volume / compliance / resistance, lambda _: 0.0


def close(expected: float) -> object:
    return pytest.approx(expected, rel=TOLERANCE, abs=1e-5)


# Compliance mL/cmH2O, Ri and Re cmH2O s/mL: preterm, term, child, adult, obstructive and stiff adult.
MECHANICS = [
    (1.0, 0.08, 0.12), (3.17, 0.04, 0.04), (15.0, 0.02, 0.03), (50.0, 0.01, 0.01), (60.0, 0.015, 0.025),
    (95.0, 0.021, 0.021), (25.0, 0.012, 0.008),
]  # fmt: skip
TIMES = [(0.3, 0.5), (1.0, 3.0), (1.0, 0.7), (2.0, 1.0)]


@pytest.mark.parametrize(("mechanics", "times"), list(itertools.product(MECHANICS, TIMES)))
def test_pressure_control(mechanics: tuple[float, float, float], times: tuple[float, float]) -> None:
    compliance, inspiratory, expiratory = mechanics
    ti, te = times
    pressure, peep = 14.0, 6.0
    inspiration: Phase = (
        ti, lambda volume: (pressure - volume / compliance) / inspiratory, lambda _: pressure,
    )  # fmt: skip
    breath = steady(compliance, [inspiration, expiration(compliance, expiratory, te)])
    given = (compliance, inspiratory, expiratory, pressure, ti, te)
    assert lung.pc_tidal_volume(*given) == close(breath.highest - breath.start)
    assert lung.pc_intrinsic_peep(*given) == close(breath.start / compliance)
    assert lung.pc_end_inspiratory_pressure(*given, peep) == close(peep + breath.highest / compliance)
    assert lung.pc_mean_alveolar_pressure(*given, peep) == close(peep + breath.alveolar / (ti + te))


@pytest.mark.parametrize(("mechanics", "times", "pause"), list(itertools.product(MECHANICS, TIMES, (0.0, 0.4))))
def test_volume_control(mechanics: tuple[float, float, float], times: tuple[float, float], pause: float) -> None:
    compliance, inspiratory, expiratory = mechanics
    flow_time, te = times
    volume, peep = 9.0 * compliance, 6.0
    flow = volume / flow_time
    inspiration: Phase = (
        flow_time, lambda _: flow, lambda now: now / compliance + inspiratory * flow,
    )  # fmt: skip
    hold: Phase = (pause, lambda _: 0.0, lambda now: now / compliance)
    breath = steady(compliance, [inspiration, hold, expiration(compliance, expiratory, te)])
    cycle = flow_time + pause + te
    plateau = peep + breath.highest / compliance
    assert lung.vc_intrinsic_peep(volume, compliance, expiratory, te) == close(breath.start / compliance)
    assert lung.vc_plateau(volume, compliance, expiratory, te, peep) == close(plateau)
    peak = lung.vc_peak(volume, compliance, inspiratory, expiratory, flow, te, peep)
    assert peak == close(plateau + inspiratory * flow)
    given = (expiratory, flow_time, pause, te, peep)
    assert lung.vc_mean_alveolar_pressure(volume, compliance, *given) == close(peep + breath.alveolar / cycle)
    assert lung.vc_mean_airway_pressure(volume, compliance, inspiratory, *given) == close(peep + breath.airway / cycle)
    assert lung.vc_inspiratory_time(volume, flow, pause) == close(flow_time + pause)


def test_a_long_expiration_empties_the_lung_without_overflow() -> None:
    assert lung.vc_intrinsic_peep(500.0, 1.0, 0.001, 100.0) == 0.0
    assert lung.pc_tidal_volume(1.0, 0.001, 0.001, 10.0, 100.0, 100.0) == 10.0
