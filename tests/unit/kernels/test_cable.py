"""Conductors: the promised accuracies, inverse operations, refusals."""

import cmath
import math
import random

import pytest

from ampwright.kernels.cable import (
    ALUMINIUM,
    COPPER,
    adiabatic_area_mm2,
    adiabatic_k,
    ambient_factor,
    conductor_temperature_c,
    drop_v,
    fault_current_a,
    fault_temperature_c,
    largest_loop_ohm,
    load_voltage_v,
    resistance_at,
)


def test_resistance_goes_there_and_back() -> None:
    hot = resistance_at(1.83, at_c=20, to_c=70, metal=COPPER)
    assert resistance_at(hot, at_c=70, to_c=20, metal=COPPER) == pytest.approx(1.83, rel=1e-15)
    assert hot > 1.83


def test_load_voltage_closes_the_triangle() -> None:
    """Source minus drop, as phasors, is the load voltage found."""
    chance = random.Random(1)  # noqa: S311 - a sample, no secret
    for _ in range(300):
        r, x = chance.uniform(0, 0.5), chance.uniform(0, 0.3)
        amps, factor, leading = chance.uniform(0, 60), chance.uniform(0, 1), chance.random() < 0.5
        load = load_voltage_v(240, amps, r_ohm=r, x_ohm=x, power_factor=factor, leading=leading)
        angle = math.acos(factor) * (1 if leading else -1)
        source = load + cmath.rect(amps, angle) * complex(r, x)
        assert abs(source) == pytest.approx(240.0, rel=1e-12)


def test_approximate_drop_is_as_near_as_promised() -> None:
    chance = random.Random(2)  # noqa: S311 - a sample, no secret
    seen = 0
    while seen < 400:
        r, x = chance.uniform(0, 1), chance.uniform(0, 0.4)
        amps, factor, leading = chance.uniform(0, 60), chance.uniform(0, 1), chance.random() < 0.2
        exact = 240 - load_voltage_v(
            240, amps, r_ohm=2 * r, x_ohm=2 * x, power_factor=factor, leading=leading
        )
        size = amps * 2 * math.hypot(r, x) / 240
        if size > 0.2:
            continue
        seen += 1
        usual = drop_v(
            amps, 1, r_ohm_per_m=r, x_ohm_per_m=x, power_factor=factor, phases=1, leading=leading
        )
        promised = 0.0013 if size <= 0.05 else 0.0051 if size <= 0.1 else 0.021
        assert -1e-12 < (exact - usual) / 240 < promised


def test_the_drop_of_a_start_on_a_thin_cable_is_low_by_more() -> None:
    """1 km of 10 mm2 at power factor 0.3: volts at the load plus drop, as phasors, make 240 V."""
    lag = -math.acos(0.3)
    source = 225.791 + cmath.rect(9.451, lag) * 2 * complex(1.83, 0.09)
    assert abs(source) == pytest.approx(240.0, abs=0.001)
    usual = drop_v(9.451, 1000, r_ohm_per_m=0.00183, x_ohm_per_m=9e-5, power_factor=0.3, phases=1)
    assert usual == pytest.approx(12.0, abs=0.001)
    assert 240.0 - 225.791 - usual == pytest.approx(2.209, abs=0.002)


def test_three_phase_drop_is_root_three_of_one_line() -> None:
    single, three = (
        drop_v(20, 30, r_ohm_per_m=0.002, x_ohm_per_m=1e-4, power_factor=0.8, phases=phases)
        for phases in (1, 3)
    )
    assert three == pytest.approx(single * math.sqrt(3) / 2)


def test_a_leading_current_can_raise_the_voltage() -> None:
    assert (
        drop_v(20, 30, r_ohm_per_m=1e-4, x_ohm_per_m=1e-3, power_factor=0.1, phases=1, leading=True)
        < 0
    )


def test_too_much_current_cannot_flow() -> None:
    with pytest.raises(ValueError, match="cannot flow"):
        load_voltage_v(240, 300, r_ohm=1, x_ohm=0, power_factor=1)
    with pytest.raises(ValueError, match="cannot flow"):
        load_voltage_v(240, 300, r_ohm=0, x_ohm=1, power_factor=1)


@pytest.mark.parametrize(
    ("limit_c", "ambient_c", "above_k"), [(70, 30, 4.0), (75, 30, 4.0), (90, 30, 4.0), (90, 0, 8.0)]
)
def test_conductor_temperature_errs_upward(limit_c: int, ambient_c: int, above_k: float) -> None:
    """Against the balance with a resistance that follows the temperature."""
    for percent in range(0, 141, 5):
        share = percent / 100
        usual = conductor_temperature_c(
            share * 40, ampacity_a=40, ambient_c=ambient_c, limit_c=limit_c, rated_ambient_c=30
        )
        exact = float(ambient_c)
        for _ in range(60):
            warm = resistance_at(1.0, at_c=limit_c, to_c=exact, metal=COPPER)
            exact = ambient_c + (limit_c - 30) * share**2 * warm
        if exact <= limit_c:
            assert -1e-9 <= usual - exact < above_k


def test_at_its_ampacity_a_conductor_is_at_its_limit() -> None:
    factor = ambient_factor(45, limit_c=90, rated_ambient_c=30)
    assert conductor_temperature_c(
        40 * factor, ampacity_a=40, ambient_c=45, limit_c=90, rated_ambient_c=30
    ) == pytest.approx(90.0)


def test_area_and_temperature_of_a_fault_agree() -> None:
    k = adiabatic_k(90, 250, ALUMINIUM)
    area = adiabatic_area_mm2(5000, 0.2, k)
    assert fault_temperature_c(
        5000, 0.2, area_mm2=area, initial_c=90, metal=ALUMINIUM
    ) == pytest.approx(250.0)
    assert fault_temperature_c(5000, 5, area_mm2=0.1, initial_c=90, metal=COPPER) == math.inf


def test_fault_current_and_loop_are_inverse() -> None:
    loop = largest_loop_ohm(230, 160, voltage_factor=0.95)
    assert fault_current_a(230, complex(0.6 * loop, 0.8 * loop), voltage_factor=0.95) == (
        pytest.approx(160.0)
    )


def test_what_is_outside_its_range_is_refused() -> None:
    with pytest.raises(ValueError, match="temperatures"):
        resistance_at(1, at_c=20, to_c=400, metal=COPPER)
    with pytest.raises(ValueError, match="power factor"):
        drop_v(1, 1, r_ohm_per_m=1, x_ohm_per_m=0, power_factor=1.1, phases=1)
    with pytest.raises(ValueError, match="phases"):
        drop_v(1, 1, r_ohm_per_m=1, x_ohm_per_m=0, power_factor=1, phases=2)
    with pytest.raises(ValueError, match="power factor"):
        load_voltage_v(240, 1, r_ohm=1, x_ohm=0, power_factor=-0.1)
    with pytest.raises(ValueError, match="finite"):
        drop_v(math.nan, 1, r_ohm_per_m=1, x_ohm_per_m=0, power_factor=1, phases=1)
    with pytest.raises(ValueError, match="ampacity"):
        conductor_temperature_c(60, ampacity_a=40, ambient_c=30, limit_c=70, rated_ambient_c=30)
    with pytest.raises(ValueError, match="ambient"):
        ambient_factor(75, limit_c=70, rated_ambient_c=30)
    with pytest.raises(ValueError, match="rising"):
        adiabatic_k(160, 70, COPPER)
    with pytest.raises(ValueError, match="5"):
        adiabatic_area_mm2(100, 6, 115)
    with pytest.raises(ValueError, match="area"):
        fault_temperature_c(100, 1, area_mm2=0, initial_c=70, metal=COPPER)
    with pytest.raises(ValueError, match="impedance"):
        fault_current_a(230, 0, voltage_factor=1)
