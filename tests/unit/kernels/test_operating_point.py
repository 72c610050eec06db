"""Loads, iron and the derivatives of the torques."""

import math

import pytest

from ampwright.kernels.induction import InductionCircuit, leakage_factor
from ampwright.kernels.legs import ConstantPower, Legs, capacitors, plus, split_phase
from ampwright.kernels.operating_point import (
    LoadLaw,
    MainFlux,
    Rotor,
    evaluate,
    first_slip,
    load_slope,
    load_torque,
    main_flux,
    renewed,
)
from ampwright.kernels.torque_slopes import lead_of_lower_slips, torque_slopes

TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 0.8)
FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)
OMEGA_S = 60.0 * math.pi
SOURCE = split_phase(240.0, 0.06 + 0.05j)
LEGS = plus(capacitors(0.0, 5e-5, 1.94e-4, 60.0), Legs(y_c=0.01, y_ab=0.02))


def test_a_load_asks_the_sum_of_its_parts() -> None:
    load = LoadLaw(constant_nm=2.0, linear_nm=3.0, square_nm=4.0, power_w=100.0)
    assert load_torque(load, TEN, 0.1) == pytest.approx(2.0 + 2.7 + 3.24 + 100.0 / (0.9 * OMEGA_S))


def test_a_load_of_constant_power_asks_constant_torque_below_half_speed() -> None:
    load = LoadLaw(power_w=100.0)
    assert load_torque(load, TEN, 0.5) == pytest.approx(100.0 / (0.5 * OMEGA_S))
    assert load_torque(load, TEN, 1.0) == load_torque(load, TEN, 0.5)
    assert load_slope(load, TEN, 0.9) == 0.0


@pytest.mark.parametrize("slip", [0.03, 0.3, 0.8])
def test_the_slope_of_a_load_is_its_derivative(slip: float) -> None:
    load = LoadLaw(constant_nm=2.0, linear_nm=3.0, square_nm=4.0, power_w=100.0)
    rise = load_torque(load, TEN, slip + 1e-5) - load_torque(load, TEN, slip - 1e-5)
    assert load_slope(load, TEN, slip) == pytest.approx(rise / 2e-5, rel=1e-8)


def test_torque_slopes_are_derivatives() -> None:
    circuits, slips, leakage = [TEN, FIVE, FIVE], [0.002, 0.03, 0.6], [1.0, 0.95, 0.85]
    point = evaluate(SOURCE, LEGS, circuits, slips, leakage)
    slopes = torque_slopes(SOURCE, circuits, slips, leakage, point)
    for j in range(3):
        ends = []
        for way in (1e-6, -1e-6):
            moved = list(slips)
            moved[j] += way
            ends.append(evaluate(SOURCE, LEGS, circuits, moved, leakage))
        for i in range(3):
            rise = ends[0].machines[i].shaft_nm - ends[1].machines[i].shaft_nm
            assert slopes[i][j] == pytest.approx(rise / 2e-6, rel=1e-5, abs=1e-4)


def test_iron_passes_through_the_two_points_given() -> None:
    iron = main_flux(130.0, 1.30, 1.75)

    def current(e: float) -> float:
        return float((1.0 - iron.share) * e + iron.share * e**iron.exponent)

    assert current(1.0) == pytest.approx(1.0, rel=1e-15)
    assert current(1.1) == pytest.approx(1.30, rel=1e-12)
    assert current(1.2) == pytest.approx(1.75, rel=1e-12)


@pytest.mark.parametrize(("i110", "i120"), [(1.1, 1.2), (1.05, 1.3), (1.3, 1.35), (1.11, 40.0)])
def test_iron_that_does_not_bend_upwards_is_refused(i110: float, i120: float) -> None:
    with pytest.raises(ValueError, match="bends upwards"):
        main_flux(130.0, i110, i120)


def test_what_is_held_follows_current_flux_and_voltage() -> None:
    iron = MainFlux(130.0, 0.25, 7.0)
    loads = (ConstantPower("ca", 1000.0, 240.0), ConstantPower("c", 1000.0, 1000.0))
    point = evaluate(SOURCE, LEGS, [TEN], [1.0], [0.9])
    held = renewed([Rotor(TEN, main_flux=iron)], loads, point)
    m = point.machines[0]
    amps = math.sqrt(abs(m.i1) ** 2 + abs(m.i2) ** 2)
    assert held.leakage[0] == pytest.approx(leakage_factor(TEN, amps), rel=1e-14)
    e = abs(m.one.e * point.at.one) / 130.0
    assert held.flux[0] == pytest.approx(e / (0.75 * e + 0.25 * e**7), rel=1e-14)
    # at 0.7 of rated voltage and below, the impedance that draws the power at 0.7
    assert abs(point.at.c) < 700.0
    assert held.inverse_squares[1] == pytest.approx(700.0**-2, rel=1e-14)
    across = abs(point.at.c - point.at.a)
    assert held.inverse_squares[0] == pytest.approx(max(across, 168.0) ** -2, rel=1e-14)


def test_the_first_slip_is_near_the_running_one() -> None:
    """On the straight part three times V squared times slip over R2 is the power asked."""
    r2 = 0.42 * 2.5 / 2.92
    asked_w = 20.0 * OMEGA_S + 45.0 + 45.0
    assert first_slip(SOURCE, Rotor(FIVE, LoadLaw(constant_nm=20.0))) == pytest.approx(
        1.1 * asked_w * r2 / 240.0**2, rel=1e-12
    )


def test_beyond_its_peak_a_machine_had_more_torque_at_lower_slip() -> None:
    single = FIVE._replace(ro_ohm=1e9, saturation=1.0)
    at = evaluate(split_phase(240.0, 0j), LEGS, [single], [0.02], [1.0]).at
    peak = 0.42 / math.hypot(0.5, 1.9)  # of the positive sequence, magnetising branch left out
    assert lead_of_lower_slips(single, at, 0.8 * peak, 1.0) == 0.0
    assert lead_of_lower_slips(single, at, 2.0 * peak, 1.0) > 0.05
