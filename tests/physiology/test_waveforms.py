"""The course of a breath against numerical integration of the equation of motion, and against its ends in `lung`."""

import itertools
import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from rxlint.physiology import OutOfDomain, lung
from rxlint.physiology import waveforms as w

PEEP = 6.0
# Preterm, term, child, adult, obstructive and stiff adult: mL/cmH2O, cmH2O s/mL.
LUNGS = [
    w.Mechanics(1.0, 0.08, 0.12),
    w.Mechanics(3.17, 0.04, 0.04),
    w.Mechanics(15.0, 0.02, 0.03),
    w.Mechanics(50.0, 0.01, 0.01),
    w.Mechanics(60.0, 0.015, 0.025),
    w.Mechanics(25.0, 0.012, 0.008),
]
TIMES = [(0.3, 0.5), (1.0, 3.0), (2.0, 1.0)]

mechanics = st.builds(w.Mechanics, st.floats(0.5, 150), st.floats(0.002, 0.15), st.floats(0.002, 0.2))
seconds = st.floats(0.2, 4.0)
pressures = st.floats(2.0, 40.0)
shares = st.one_of(st.just(0.0), st.floats(1e-6, 1.0))


@st.composite
def breaths(draw: st.DrawFn) -> w.Waveform:
    """Breaths of every kind; those of pressure and of volume are in steady state."""
    compartment, ti, te = draw(mechanics), draw(seconds), draw(seconds)
    size, share = draw(pressures), draw(shares)
    match draw(st.sampled_from(("pressure", "volume", "supported"))):
        case "pressure":
            return w.pressure_controlled(compartment, size, share * ti, ti, te, PEEP)
        case "volume":
            volume = size * compartment.compliance
            return w.volume_controlled(compartment, volume, ti, share, te, PEEP, draw(shares))
        case _:
            return w.pressure_supported(compartment, size, share * ti, ti, te, PEEP, draw(st.floats(0.0, 1.0)))


@st.composite
def steady_breaths(draw: st.DrawFn) -> w.Waveform:
    found = draw(breaths())
    compartment, plan = found.mechanics, found.plan
    if found.plan[0].name == "flow":
        return found
    rise = sum(phase.length for phase in plan if phase.name == "rise")
    return w.pressure_controlled(compartment, plan[0].end, rise, found.inspiratory_time, plan[-1].length, PEEP)


def close(expected: float, relative: float = 1e-7) -> object:
    return pytest.approx(expected, rel=relative, abs=1e-7)


def integrated(
    compartment: w.Mechanics, start: float, pieces: list[tuple[float, bool, Callable[[float], float]]]
) -> list[float]:
    """Volume above PEEP at the end of each piece: its length, whether pressure is given (else flow), and which."""
    volumes, volume, count = [], start, len(pieces)
    for number, (length, has_pressure, driven) in enumerate(pieces, start=1):
        resistance = compartment.expiratory_resistance if number == count else compartment.inspiratory_resistance

        def flow(
            time: float,
            now: list[float],
            given: Callable[[float], float] = driven,
            pressure: bool = has_pressure,
            r: float = resistance,
        ) -> list[float]:
            return [(given(time) - now[0] / compartment.compliance) / r if pressure else given(time)]

        done = solve_ivp(flow, (0.0, length), [volume], method="DOP853", rtol=1e-10, atol=1e-10)
        volume = float(done.y[0][-1])
        volumes.append(volume)
    return volumes


def ends(found: w.Waveform) -> list[float]:
    return [moments[-1].volume for moments in found.moments(1)]


# ---- against integration
@pytest.mark.parametrize(("compartment", "times"), list(itertools.product(LUNGS, TIMES)))
def test_a_pressure_breath_follows_the_equation_of_motion(compartment: w.Mechanics, times: tuple[float, float]) -> None:
    ti, te = times
    rise = 0.4 * ti
    found = w.pressure_controlled(compartment, 14.0, rise, ti, te, PEEP)
    pieces: list[tuple[float, bool, Callable[[float], float]]] = [
        (rise, True, lambda time: 14.0 * time / rise),
        (ti - rise, True, lambda _: 14.0),
        (te, True, lambda _: 0.0),
    ]
    assert ends(found) == close_each(integrated(compartment, found.start * compartment.compliance, pieces))
    supported = w.pressure_supported(compartment, 14.0, rise, ti, te, PEEP, 0.5)
    assert ends(supported) == close_each(integrated(compartment, 0.5 * compartment.compliance, pieces))


@pytest.mark.parametrize(("compartment", "times", "last"), list(itertools.product(LUNGS, TIMES, (1.0, 0.25, 0.0))))
def test_a_volume_breath_follows_the_equation_of_motion(
    compartment: w.Mechanics, times: tuple[float, float], last: float
) -> None:
    ti, te = times
    volume = 9.0 * compartment.compliance
    found = w.volume_controlled(compartment, volume, ti, 0.2, te, PEEP, last)
    first = 2 * volume / ti / (1 + last)
    pieces: list[tuple[float, bool, Callable[[float], float]]] = [
        (ti, False, lambda time: first * (1 - (1 - last) * time / ti)),
        (0.2, False, lambda _: 0.0),
        (te, True, lambda _: 0.0),
    ]
    assert ends(found) == close_each(integrated(compartment, found.start * compartment.compliance, pieces))
    assert found.tidal_volume == close(volume)


def close_each(expected: list[float]) -> object:
    return pytest.approx(expected, rel=1e-6, abs=1e-6)


# ---- properties of every breath
@given(steady_breaths())
def test_a_steady_breath_ends_as_it_began(found: w.Waveform) -> None:
    assert found.end == close(found.start)
    first, *_, last = (moment for moments in found.moments(1) for moment in moments)
    assert last.volume == close(first.volume)


@given(breaths())
def test_flow_is_what_changes_the_volume(found: w.Waveform) -> None:
    for number, moments in enumerate(found.moments(1)):
        begun, length = moments[0].time, found.plan[number].length
        assert moments[1].time == close(begun + length)
        moved, _ = quad(flow_of(found, number), 0.0, length, limit=200, epsabs=1e-6, epsrel=1e-8)
        assert moments[1].volume - moments[0].volume == close(moved, 1e-5)


def flow_of(found: w.Waveform, number: int) -> Callable[[float], float]:
    """The flow in one phase as a function of the time in it."""
    phase = found.plan[number]
    start = [moments[0] for moments in found.moments(1)][number].alveolar - found.peep

    def flow(time: float) -> float:
        if time <= 0:
            time = phase.length * 1e-12
        piece = w.Phase(phase.name, phase.drives, time, phase.begin, phase.driven(time))
        (moments,) = w.Waveform((piece,), found.mechanics, found.peep, start).moments(1)
        return moments[1].flow

    return flow


@given(breaths(), st.integers(2, 9))
def test_every_moment_obeys_the_equation_of_motion(found: w.Waveform, steps: int) -> None:
    compartment = found.mechanics
    for phase, moments in zip(found.plan, found.moments(steps), strict=True):
        assert len(moments) == steps + 1
        inward = phase.name != "expiration"
        resistance = compartment.inspiratory_resistance if inward else compartment.expiratory_resistance
        for moment in moments:
            assert moment.airway == close(PEEP + resistance * moment.flow + moment.volume / compartment.compliance)
            assert moment.alveolar == close(PEEP + moment.volume / compartment.compliance)
        if not inward:
            assert all(moment.airway == PEEP for moment in moments)


@given(breaths(), st.integers(3, 40))
def test_nothing_lies_beyond_the_peaks(found: w.Waveform, steps: int) -> None:
    every = [moment for moments in found.moments(steps) for moment in moments]
    assert max(moment.airway for moment in every) <= found.peak_pressure + 1e-9
    assert max(moment.flow for moment in every) <= found.peak_flow + 1e-9
    assert min(moment.flow for moment in every) >= found.peak_expiratory_flow - 1e-9
    finest = max(moment.airway for moments in found.moments(500) for moment in moments)
    assert found.peak_pressure == pytest.approx(finest, rel=1e-3)


@given(breaths())
def test_times_add_up(found: w.Waveform) -> None:
    *_, last = found.moments(1)
    assert last[-1].time == close(found.length)
    assert found.inspiratory_time == close(found.length - found.plan[-1].length)
    assert all(phase.length > 0 for phase in found.plan)


@given(breaths())
def test_the_tidal_volume_is_what_the_inspiration_adds(found: w.Waveform) -> None:
    before_last = list(found.moments(1))[-2][-1]
    assert found.tidal_volume == close(before_last.volume - found.start * found.mechanics.compliance)
    assert found.end_inspiratory_pressure == close(before_last.alveolar)


# ---- against the ends that the program shows
def given_to_lung(compartment: w.Mechanics) -> tuple[float, float, float]:
    return compartment.compliance, compartment.inspiratory_resistance, compartment.expiratory_resistance


@given(mechanics, pressures, seconds, seconds)
def test_without_a_rise_a_pressure_breath_has_the_ends_of_the_closed_forms(
    compartment: w.Mechanics, pressure: float, ti: float, te: float
) -> None:
    found = w.pressure_controlled(compartment, pressure, 0.0, ti, te, PEEP)
    terms = (*given_to_lung(compartment), pressure, ti, te)
    assert [phase.name for phase in found.plan] == ["hold", "expiration"]
    assert found.tidal_volume == close(lung.pc_tidal_volume(*terms))
    assert found.start == close(lung.pc_intrinsic_peep(*terms))
    assert found.end_inspiratory_pressure == close(lung.pc_end_inspiratory_pressure(*terms, PEEP))
    assert found.peak_pressure == close(PEEP + pressure)


@given(mechanics, pressures, seconds, seconds, shares)
def test_a_volume_breath_has_the_ends_of_the_closed_forms(
    compartment: w.Mechanics, pressure: float, flow_time: float, te: float, pause: float
) -> None:
    volume = pressure * compartment.compliance
    found = w.volume_controlled(compartment, volume, flow_time, pause, te, PEEP)
    flow = volume / flow_time
    assert found.start == close(
        lung.vc_intrinsic_peep(volume, compartment.compliance, given_to_lung(compartment)[2], te)
    )
    plateau = lung.vc_plateau(volume, compartment.compliance, compartment.expiratory_resistance, te, PEEP)
    assert found.end_inspiratory_pressure == close(plateau)
    assert found.peak_pressure == close(lung.vc_peak(volume, *given_to_lung(compartment), flow, te, PEEP))
    assert found.peak_flow == close(flow)
    assert found.inspiratory_time == close(lung.vc_inspiratory_time(volume, flow, pause))


@given(mechanics, pressures, seconds, seconds, st.floats(0.01, 1.0))
def test_a_rise_takes_from_the_volume_what_it_should(
    compartment: w.Mechanics, pressure: float, ti: float, te: float, share: float
) -> None:
    left = w.filling_left(compartment, share * ti, ti)
    assert 0 < left <= 1
    step = w.pressure_controlled(compartment, pressure, 0.0, ti, te, PEEP)
    found = w.pressure_controlled(compartment, pressure, share * ti, ti, te, PEEP)
    assert found.tidal_volume == close(step.tidal_volume * left)
    assert w.filling_left(compartment, 0.0, ti) == 1.0
    assert w.filling_left(compartment, 1e-9 * ti, ti) == pytest.approx(1.0, abs=1e-6)


@given(mechanics, pressures, seconds, seconds, shares)
def test_the_pressure_for_a_volume_brings_it(
    compartment: w.Mechanics, pressure: float, ti: float, te: float, share: float
) -> None:
    volume = pressure * compartment.compliance
    needed = w.pc_pressure_for_volume(compartment, volume, share * ti, ti, te)
    assert w.pressure_controlled(compartment, needed, share * ti, ti, te, PEEP).tidal_volume == close(volume, 1e-6)


# ---- supported breaths
@given(mechanics, pressures, shares, st.floats(0.05, 0.9), st.floats(0.0, 1.0))
def test_a_supported_breath_ends_where_its_flow_has_come_to_the_share(
    compartment: w.Mechanics, pressure: float, rise: float, share: float, start: float
) -> None:
    time = w.supported_inspiratory_time(compartment, pressure, rise, share, start)
    found = w.pressure_supported(compartment, pressure, rise, time, 1.0, PEEP, start)
    last = list(found.moments(1))[-2][-1]
    assert last.flow == close(share * found.peak_flow, 1e-6)
    assert w.supported_inspiratory_time(compartment, pressure, rise, share, start, shortest=time + 1) == close(time + 1)
    assert w.supported_inspiratory_time(compartment, pressure, rise, share, start, longest=time / 2) == close(time / 2)
    assert w.supported_inspiratory_time(compartment, pressure, rise, share, start, time / 2, 2 * time) == close(time)


@given(mechanics, st.floats(0.001, 0.99))
def test_emptying_time_leaves_the_share(compartment: w.Mechanics, left: float) -> None:
    from rxlint.physiology.timing import fraction_left

    time = w.emptying_time(compartment, left)
    assert fraction_left(time, compartment.expiratory_time_constant) == close(left)


def test_a_rise_of_half_a_time_constant_leaves_what_it_should() -> None:
    # k = 0.5 s, Ti = 1 s, Tr = 0.25 s: (1 - e^-1.5 (1 - e^-0.5) / 0.5) / (1 - e^-2), worked out by hand.
    assert w.filling_left(LUNG, 0.25, 1.0) == pytest.approx(0.824410 / 0.864665, rel=1e-5)


def test_a_falling_flow_may_peak_in_its_middle() -> None:
    # R f + V/C with f = 600 (1 - t) and C R = 0.5 s: 6 (1 - t) + 12 t - 6 t^2, highest at t = 0.5 with 7.5.
    found = w.volume_controlled(w.Mechanics(50.0, 0.01, 0.01), 300.0, 1.0, 0.0, 20.0, PEEP, 0.0)
    assert found.peak_pressure == close(PEEP + 7.5)
    # f = 480 - 360 t: 4.8 - 3.6 t + 9.6 t - 3.6 t^2, highest at t = 5/6 with 7.3.
    found = w.volume_controlled(w.Mechanics(50.0, 0.01, 0.01), 300.0, 1.0, 0.0, 20.0, PEEP, 0.25)
    assert found.peak_pressure == close(PEEP + 7.3)
    # C R = 2 s: highest at the start.
    found = w.volume_controlled(w.Mechanics(50.0, 0.04, 0.01), 300.0, 1.0, 0.0, 20.0, PEEP, 0.0)
    assert found.peak_pressure == close(PEEP + 24.0)


# ---- what is refused
LUNG = w.Mechanics(50.0, 0.01, 0.01)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: w.Mechanics(0.0, 0.01, 0.01), "compliance must be above zero"),
        (lambda: w.Mechanics(50.0, -0.01, 0.01), "resistance must be above zero"),
        (lambda: w.Mechanics(50.0, 0.01, math.nan), "resistance must be a finite number"),
        (lambda: w.Mechanics(1e-200, 0.01, 1e-200), "expiratory time constant must be above zero"),
        (lambda: w.Mechanics(1e-200, 1e-200, 0.01), "inspiratory time constant must be above zero"),
        (lambda: w.pressure_plan(0.0, 0.0, 1.0, 2.0), "pressure above PEEP must be above zero"),
        (lambda: w.pressure_plan(10.0, 0.0, 0.0, 2.0), "inspiratory time must be above zero"),
        (lambda: w.pressure_plan(10.0, 0.0, 1.0, 0.0), "expiratory time must be above zero"),
        (lambda: w.pressure_plan(10.0, -0.1, 1.0, 2.0), "rise time must not be negative"),
        (lambda: w.pressure_plan(10.0, 1.1, 1.0, 2.0), "rise time .* must not be above inspiratory time"),
        (lambda: w.volume_plan(0.0, 1.0, 0.0, 2.0), "volume must be above zero"),
        (lambda: w.volume_plan(300.0, 0.0, 0.0, 2.0), "flow time must be above zero"),
        (lambda: w.volume_plan(300.0, 1.0, -0.1, 2.0), "pause must not be negative"),
        (lambda: w.volume_plan(300.0, 1.0, 0.0, 0.0), "expiratory time must be above zero"),
        (lambda: w.volume_plan(300.0, 1.0, 0.0, 2.0, -0.1), "end flow must not be negative"),
        (lambda: w.volume_plan(300.0, 1.0, 0.0, 2.0, 1.1), "end flow .* must not be above"),
        (lambda: w.follow((), LUNG, -1.0, 0.0), "PEEP must not be negative"),
        (lambda: w.follow((), LUNG, 0.0, -1.0), "start must not be negative"),
        (lambda: w.filling_left(LUNG, 1.1, 1.0), "rise time .* must not be above inspiratory time"),
        (lambda: w.filling_left(LUNG, -0.1, 1.0), "rise time must not be negative"),
        (lambda: w.filling_left(LUNG, 0.0, 0.0), "inspiratory time must be above zero"),
        (lambda: w.supported_inspiratory_time(LUNG, 10.0, 0.1, 0.0), "cycle off must be above zero"),
        (lambda: w.supported_inspiratory_time(LUNG, 10.0, 0.1, 1.0), "share of the peak flow must be below 1"),
        (lambda: w.supported_inspiratory_time(LUNG, 10.0, 0.1, 0.25, 10.0), "10 cmH2O move nothing"),
        (lambda: w.supported_inspiratory_time(LUNG, 0.0, 0.1, 0.25), "pressure above PEEP must be above zero"),
        (lambda: w.supported_inspiratory_time(LUNG, 10.0, -0.1, 0.25), "rise time must not be negative"),
        (lambda: w.supported_inspiratory_time(LUNG, 10.0, 0.1, 0.25, -1.0), "start must not be negative"),
        (lambda: w.supported_inspiratory_time(LUNG, 10.0, 0.1, 0.25, 0.0, -1.0), "shortest must not be negative"),
        (lambda: w.supported_inspiratory_time(LUNG, 10.0, 0.1, 0.25, 0.0, 2.0, 1.0), "must not be above the longest"),
        (lambda: w.pc_pressure_for_volume(LUNG, 0.0, 0.1, 1.0, 2.0), "volume must be above zero"),
        (lambda: w.pc_pressure_for_volume(LUNG, 300.0, 1.1, 1.0, 2.0), "rise time .* must not be above"),
        (lambda: w.emptying_time(LUNG, 0.0), "left must be above zero"),
        (lambda: w.emptying_time(LUNG, 1.0), "share that is left must be below 1"),
    ],
)
def test_input_outside_the_domain_is_refused(call: Callable[[], object], words: str) -> None:
    with pytest.raises(OutOfDomain, match=words):
        call()


def test_the_ends_of_the_domain_are_taken() -> None:
    assert len(w.pressure_plan(10.0, 1.0, 1.0, 2.0)) == 2  # all rise, no hold
    assert w.filling_left(LUNG, 1.0, 1.0) > 0
    assert [phase.name for phase in w.volume_plan(300.0, 1.0, 0.0, 2.0, 0.0)] == ["flow", "expiration"]
    assert w.supported_inspiratory_time(LUNG, 10.0, 0.1, 0.25, 0.0, 0.5, 0.5) == 0.5
    assert w.follow(w.pressure_plan(10.0, 0.0, 1.0, 2.0), LUNG, 0.0, 0.0).peep == 0.0
