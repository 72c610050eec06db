"""Starts in the time domain: convergence, steady states, refusals."""

import cmath
import math

import pytest

from ampwright.kernels.flux_equations import steady_fluxes, windings
from ampwright.kernels.induction import ABSENT_CAGE, InductionCircuit, synchronous_speed
from ampwright.kernels.network import (
    LoadLaw,
    Rotor,
    Source,
    capacitors,
    line_neutral,
    solve,
    split_phase,
)
from ampwright.kernels.run_up import run_up
from ampwright.kernels.starter import Shaft
from ampwright.kernels.transient import difference, steps_needed, transient

TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 1e15, 90.0, 90.0, 25.0, 2, 60.0, 1.0)
FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 1e15, 45.0, 45.0, 13.0, 2, 60.0, 1.0)
SINGLE = FIVE._replace(ro_ohm=ABSENT_CAGE * 10.0)
SOURCE = split_phase(240.0, 0.06 + 0.05j)
IDLER = Shaft(Rotor(TEN), 0.05, 0.004)
FAN = LoadLaw(constant_nm=2.0, square_nm=18.0)
MOTOR = Shaft(Rotor(FIVE, FAN), 0.06)
SETS = [
    (0.0, 0.0, 0.0),
    (1e-4, 0.0, 0.0),
    (0.0, 8e-5, 0.0),
    (0.0, 0.0, 2e-4),
    (0.0, 5e-5, 1.94e-4),
    (4e-5, 5e-5, 1.94e-4),
]


@pytest.mark.slow
@pytest.mark.parametrize("farads", SETS)
def test_it_ends_in_the_steady_state_of_the_network(
    farads: tuple[float, float, float],
) -> None:
    """Phasors leave out the ripple of speed, so inertia is large and the start is from speed."""
    heavy = Shaft(Rotor(FIVE, FAN), 0.06)
    found = transient(SOURCE, farads, (IDLER,), heavy, duration_s=1.6)
    state = solve(SOURCE, capacitors(*farads, 60.0), (IDLER.rotor, heavy.rotor))
    last = found.periods[-1]
    assert last.line_v == pytest.approx(state.line_v, rel=0.003)
    assert last.line_current_a == pytest.approx(state.rotors[1].line_a, rel=0.01)
    assert last.source_a == pytest.approx(abs(state.source_a[0]), rel=0.005)
    assert last.speed == pytest.approx(1.0 - state.rotors[1].slip, abs=1.5e-3)


@pytest.mark.parametrize("farads", SETS)
def test_before_switching_it_stands_in_the_steady_state(
    farads: tuple[float, float, float],
) -> None:
    """A starter of a hundred-thousandth part disturbs nothing; a heavy idler has no ripple."""
    heavy = IDLER._replace(inertia_kg_m2=50.0)
    tiny = FIVE._replace(
        **{name: getattr(FIVE, name) * 1e5 for name in FIVE._fields if name.endswith("_ohm")},
        rated_current_a=1.3e-4,
    )
    state = solve(SOURCE, capacitors(*farads, 60.0), (IDLER.rotor,))
    found = transient(
        SOURCE, farads, (heavy,), Shaft(Rotor(tiny), 1e3), duration_s=0.03, steps_per_period=400,
        switching_rad=1.1,
    )  # fmt: skip
    for period in found.periods:
        assert period.line_v == pytest.approx(state.line_v, rel=2e-4)
        assert period.source_a == pytest.approx(abs(state.source_a[0]), rel=5e-4, abs=0.01)
    assert found.running_slips[0] == pytest.approx(state.rotors[0].slip, abs=2e-4)
    assert found.speed == 0.0 or abs(found.speed) < 1e-6


@pytest.mark.parametrize("circuit", [FIVE, SINGLE])
def test_halving_the_step_divides_the_error_by_sixteen(circuit: InductionCircuit) -> None:
    motor = Shaft(Rotor(circuit, FAN), 0.06)

    def final(steps: int) -> tuple[complex, ...]:
        return transient(
            SOURCE, (0.0, 0.0, 0.0), (IDLER,), motor, duration_s=0.2, saturating=False,
            steps_per_period=steps,
        ).state  # fmt: skip

    exact = final(512)
    ratio = difference(final(32), exact) / difference(final(64), exact)
    assert 11.0 < ratio < 23.0


@pytest.mark.parametrize("farads", SETS)
def test_the_estimate_bounds_the_error(farads: tuple[float, float, float]) -> None:
    found = transient(
        SOURCE, farads, (IDLER,), MOTOR, duration_s=0.3, saturating=False, estimate_error=True
    )
    exact = transient(
        SOURCE, farads, (IDLER,), MOTOR, duration_s=0.3, saturating=False,
        steps_per_period=4 * found.steps // 18,
    )  # fmt: skip
    error = difference(found.state, exact.state)
    assert error < 3e-4
    assert error < 4.0 * found.error + 1e-7


def test_its_time_is_near_that_of_steady_states() -> None:
    saturating = FIVE._replace(saturation=0.8)
    motor = Shaft(Rotor(saturating, FAN), 0.06)
    found = transient(SOURCE, (0.0, 5e-5, 1.94e-4), (IDLER,), motor, duration_s=1.0)
    steady = run_up(SOURCE, capacitors(0.0, 5e-5, 1.94e-4, 60.0), (IDLER,), motor)
    assert found.time_s == pytest.approx(steady.nominal.time_s, rel=0.05)
    assert min(found.lowest_line_v) == pytest.approx(min(steady.lowest_line_v), rel=0.12)


def test_a_load_that_sticks_stays_at_rest() -> None:
    stuck = Shaft(Rotor(FIVE, LoadLaw(breakaway_nm=500.0)), 0.06)
    found = transient(SOURCE, (0.0, 5e-5, 1.94e-4), (IDLER,), stuck, duration_s=0.2)
    assert found.speed == 0.0
    assert found.time_s == math.inf
    assert found.peak_line_a > 60.0


def test_an_idler_starts_from_rest_on_a_line_neutral_supply() -> None:
    source = line_neutral(240.0, 0.03 + 0.03j, 0.03 + 0.02j)
    found = transient(source, (0.0, 0.0, 7e-4), (), Shaft(Rotor(TEN), 0.05), duration_s=0.6)
    assert 0.95 < found.speed < 1.05
    assert found.running_slips == ()
    assert 0.05 < found.time_s < 0.6
    other = transient(SOURCE, (0.0, 7e-4, 0.0), (), Shaft(Rotor(TEN), 0.05), duration_s=0.3)
    assert other.speed < -0.3


def test_a_load_of_constant_power_is_carried() -> None:
    law = LoadLaw(power_w=800.0)
    found = transient(SOURCE, SETS[4], (IDLER,), Shaft(Rotor(FIVE, law), 0.06), duration_s=1.5)
    state = solve(SOURCE, capacitors(*SETS[4], 60.0), (IDLER.rotor, Rotor(FIVE, law)))
    assert found.speed == pytest.approx(1.0 - state.rotors[1].slip, abs=1.5e-3)


def test_steady_fluxes_turn_with_the_supply() -> None:
    """On balanced voltage the derivative of every flux is j w times itself."""
    v1, slip = cmath.rect(190.0, 0.4), 0.03
    fluxes = steady_fluxes(FIVE, v1, 0.0, slip, 1.0)
    omega = 2.0 * math.pi * 60.0
    m = windings(FIVE, LoadLaw(), inertia_kg_m2=0.1, breakaway_nm=0.0, leakage=1.0, double=1.0)
    gap = m.gap_stator * fluxes[0] + m.gap_inner * fluxes[1] + m.gap_outer * fluxes[2]
    current = m.per_h * (fluxes[0] - gap)
    assert v1 - FIVE.r1_ohm * current == pytest.approx(1j * omega * fluxes[0], rel=1e-12)
    for flux, rate in ((fluxes[1], m.inner_per_s), (fluxes[2], m.outer_per_s)):
        slope = 1j * omega * (1.0 - slip) * flux - rate * (flux - gap)
        assert slope == pytest.approx(1j * omega * flux, rel=1e-12)
    torque = m.torque_pairs * (fluxes[0].conjugate() * current).imag
    assert torque * synchronous_speed(FIVE) == pytest.approx(
        1.5 * (v1 * current.conjugate()).real - 1.5 * FIVE.r1_ohm * abs(current) ** 2, rel=1e-9
    )


def test_steps_follow_the_fastest_ringing() -> None:
    assert steps_needed(0.0, 60.0) == steps_needed(100.0, 60.0)
    assert steps_needed(13000.0, 60.0) > 3 * steps_needed(0.0, 60.0)
    assert steps_needed(1e5, 60.0) >= 1e5 / 60.0 / 2.0
    assert steps_needed(1e5, 60.0, doubled=True) >= 1e5 / 60.0
    assert steps_needed(777.0, 50.0) % 2 == 0


@pytest.mark.parametrize(
    ("source", "farads", "duration", "steps"),
    [
        (split_phase(240.0, 0.06 + 0j), (0.0, 0.0, 0.0), 0.1, 0),
        (SOURCE, (0.0, -1e-6, 0.0), 0.1, 0),
        (SOURCE, (0.0, 0.0, 0.0), 0.0, 0),
        (SOURCE, (0.0, 0.0, 0.0), 0.1, 41),
    ],
)
def test_what_cannot_be_followed(
    source: Source, farads: tuple[float, float, float], duration: float, steps: int
) -> None:
    with pytest.raises(ValueError, match="wanted"):
        transient(source, farads, (IDLER,), MOTOR, duration_s=duration, steps_per_period=steps)
