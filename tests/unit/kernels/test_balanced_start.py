"""Starts on balanced lines against the locked rotor, energy and a fine integration."""

import math

import pytest
from scipy.integrate import solve_ivp

from ampwright.kernels.balanced_start import BalancedStart, Lines, balanced_start, instant
from ampwright.kernels.induction import InductionCircuit, synchronous_speed
from ampwright.kernels.network import LoadLaw, Rotor
from ampwright.kernels.starter import DIRECT, Shaft, Stage, soft, star_delta
from ampwright.kernels.torque_curve import balanced_state, locked_rotor, running_slip

FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)
FAN = LoadLaw(constant_nm=2.0, square_nm=18.0)
STIFF = Lines(240.0)
OMEGA = synchronous_speed(FIVE)


def start(*stages: Stage, lines: Lines = STIFF, load: LoadLaw = FAN) -> BalancedStart:
    motor = Shaft(Rotor(FIVE, load), 0.06)
    return balanced_start(lines, motor, stages=stages or (DIRECT,))


def test_standstill_is_the_locked_rotor() -> None:
    found, still = start(), locked_rotor(FIVE, 240.0)
    assert found.torque_nm == pytest.approx(still.torque_nm, rel=1e-9)
    assert found.largest_line_a == pytest.approx(still.current_a, rel=1e-9)
    volt_amperes = math.sqrt(3.0) * 240.0 * still.current_a
    assert found.largest_va == pytest.approx(volt_amperes, rel=1e-9)


def test_any_speed_is_the_balanced_state() -> None:
    motor = Shaft(Rotor(FIVE, FAN), 0.06)
    for slip in (0.02, 0.1, 0.4):
        one, other = instant(STIFF, motor, DIRECT, slip), balanced_state(FIVE, 240.0, slip)
        left = one.at.torque_nm - one.at.braking_nm
        assert left == pytest.approx(other.shaft_torque_nm, rel=1e-9)
        assert one.input_w == pytest.approx(other.input_w, rel=1e-9)


def test_it_settles_at_the_running_slip() -> None:
    slip = running_slip(FIVE, 240.0, 20.0)
    found = start(load=LoadLaw(constant_nm=20.0))
    assert slip is not None
    assert found.nominal.settled_slip == pytest.approx(slip, rel=0.05)


def test_the_time_is_that_of_a_fine_integration() -> None:
    def rates(_: float, speed: list[float]) -> list[float]:
        share = speed[0] / OMEGA
        torque = balanced_state(FIVE, 240.0, 1.0 - share).shaft_torque_nm
        return [(torque - 2.0 - 18.0 * share**2) / 0.06]

    def up(_: float, speed: list[float]) -> float:
        return speed[0] - 0.95 * OMEGA

    up.terminal = True  # type: ignore[attr-defined] # solve_ivp reads it
    fine = solve_ivp(rates, (0.0, 9.0), [0.0], events=up, rtol=1e-8)
    assert start().nominal.time_s == pytest.approx(fine.t[-1], rel=0.05)


def test_a_current_limit_holds_and_costs_torque_with_its_square() -> None:
    unsaturated = FIVE._replace(saturation=1.0)
    motor = Shaft(Rotor(unsaturated, FAN), 0.06)
    limit, still = 30.0, locked_rotor(unsaturated, 240.0)
    found = balanced_start(STIFF, motor, stages=soft(limit))
    assert found.largest_line_a == pytest.approx(limit, rel=1e-12)
    square = (limit / still.current_a) ** 2
    assert found.torque_nm == pytest.approx(still.torque_nm * square, rel=1e-9)
    assert found.nominal.time_s > balanced_start(STIFF, motor).nominal.time_s


def test_star_takes_a_third_of_torque_and_line_current() -> None:
    unsaturated = FIVE._replace(saturation=1.0)
    motor = Shaft(Rotor(unsaturated, FAN), 0.06)
    direct = instant(STIFF, motor, DIRECT, 1.0)
    star = instant(STIFF, motor, star_delta(0.8, 10.0)[0], 1.0)
    assert star.at.torque_nm == pytest.approx(direct.at.torque_nm / 3.0, rel=1e-9)
    assert star.at.line_current_a[0] == pytest.approx(direct.at.line_current_a[0] / 3.0, rel=1e-9)


def test_impedance_lowers_voltage_and_torque() -> None:
    weak = Lines(240.0, 0.2 + 0.2j)
    found = start(lines=weak)
    assert found.lowest_line_v < 240.0
    assert found.torque_nm < start().torque_nm


def test_a_load_beyond_the_torque_does_not_start() -> None:
    found = start(load=LoadLaw(constant_nm=500.0, breakaway_nm=600.0))
    assert not found.starts
    assert found.low.time_s == math.inf


@pytest.mark.parametrize("band", [-0.1, 1.0])
def test_a_band_that_is_none_is_refused(band: float) -> None:
    with pytest.raises(ValueError, match="band"):
        balanced_start(STIFF, Shaft(Rotor(FIVE), 0.06), torque_band=band)


def test_an_inertia_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="inertia"):
        balanced_start(STIFF, Shaft(Rotor(FIVE), 0.0))
