"""The rectifier: its table, scaling, monotony, refusals."""

import math
from itertools import pairwise

import pytest

from ampwright.kernels.figures import rows
from ampwright.kernels.rectifier import (
    choke_reactance_ohm,
    constant_flux_hz,
    direct_power_w,
    drive_derating,
    output_limit_v,
    rectifier_input,
    reflected_peak_v,
)

BASE_OHM = 240.0**2 / 4440.0


def state(**change: float) -> object:
    asked = {
        "frequency_hz": 60.0,
        "resistance_ohm": 0.0075 * BASE_OHM,
        "reactance_ohm": 0.03 * BASE_OHM,
        "capacitance_f": 2e-3,
        **change,
    }
    return rectifier_input(4440.0, 240.0, **asked)


@pytest.mark.parametrize("row", rows("rectifier_states")[::13], ids=str)
def test_a_row_of_the_table_comes_back(row: dict[str, str]) -> None:
    value = {name: float(text) for name, text in row.items()}
    found = rectifier_input(
        4440.0,
        240.0,
        frequency_hz=60.0,
        resistance_ohm=value["resistance"] * BASE_OHM,
        reactance_ohm=value["reactance"] * BASE_OHM,
        capacitance_f=value["capacitance"] / (120.0 * math.pi * BASE_OHM) * (1 + 1e-12 * (
            1 if value["capacitance"] < 10 else -1)),
    )  # fmt: skip
    assert found.current_a == pytest.approx(value["current"] * 18.5, rel=1e-6)
    assert found.direct_low_v == pytest.approx(value["direct_low"] * 240.0, rel=1e-6)


def test_power_balance_of_every_row() -> None:
    """Power from the source is the direct power and the loss in the line, to four digits."""
    for row in rows("rectifier_states"):
        value = {name: float(text) for name, text in row.items()}
        taken = value["power_factor"] * value["current"]
        assert taken == pytest.approx(1.0 + value["resistance"] * value["current"] ** 2, abs=2e-4)
        assert value["direct_low"] < value["direct_mean"] < value["direct_high"] < 1.75
        assert value["power_factor"] <= value["displacement"] <= 1.0


def test_more_reactance_means_less_current_and_less_voltage() -> None:
    found = [
        rectifier_input(
            4440.0, 240.0, frequency_hz=60.0, resistance_ohm=0.005 * BASE_OHM,
            reactance_ohm=x * BASE_OHM, capacitance_f=2e-3,
        )
        for x in (0.001, 0.002, 0.004, 0.008, 0.016, 0.032, 0.064)
    ]  # fmt: skip
    for one, other in pairwise(found):
        assert other.current_a < one.current_a
        assert other.peak_a < one.peak_a
        assert other.distortion < one.distortion
        if one.reactance > 0.003:  # below, the resistance alone shapes the pulse
            assert other.direct_mean_v < one.direct_mean_v


def test_it_scales_with_voltage_power_and_frequency() -> None:
    """Twice the voltage and power at 50 Hz: the same per-unit state, the same current."""
    one = rectifier_input(
        4440.0, 240.0, frequency_hz=60.0, resistance_ohm=0.1, reactance_ohm=0.4, capacitance_f=2e-3
    )
    other = rectifier_input(
        8880.0, 480.0, frequency_hz=50.0, resistance_ohm=0.2, reactance_ohm=0.8,
        capacitance_f=1.2e-3,
    )  # fmt: skip
    assert other.current_a == pytest.approx(one.current_a, rel=1e-12)
    assert other.direct_low_v == pytest.approx(2.0 * one.direct_low_v, rel=1e-12)


@pytest.mark.parametrize(
    "change",
    [{"reactance_ohm": 0.0005 * BASE_OHM}, {"reactance_ohm": 0.13 * BASE_OHM},
     {"resistance_ohm": 0.11 * BASE_OHM}, {"capacitance_f": 5e-4}, {"capacitance_f": 2e-2},
     {"frequency_hz": 0.0}, {"reactance_ohm": math.nan}],
)  # fmt: skip
def test_outside_the_table_there_is_no_answer(change: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="wanted"):
        state(**change)


def test_derating_never_exceeds_the_lower_bound_of_the_current() -> None:
    """Equal waveforms would allow one over the square root of three."""
    derating = drive_derating()
    assert derating.ripple < derating.capacitor_current < derating.line_current < 1 / math.sqrt(3)


def test_output_voltage_and_flux() -> None:
    assert output_limit_v(300.0, space_vector=True) == pytest.approx(212.13, abs=0.01)
    assert output_limit_v(300.0, space_vector=False) == pytest.approx(0.6124 * 300.0, abs=0.02)
    assert constant_flux_hz(207.0, motor_v=230.0, motor_hz=60.0) == pytest.approx(54.0)


def test_small_formulas() -> None:
    assert choke_reactance_ohm(0.03, 240.0, 24.0) == pytest.approx(0.3)
    assert direct_power_w(3730.0, motor_efficiency=0.875, drive_efficiency=0.96) == pytest.approx(
        4440.5, abs=0.1
    )
    short = reflected_peak_v(325.0, cable_m=1.0, rise_s=1e-7, reflection=0.9)
    assert short == pytest.approx(325.0 * (1 + 0.9 * 2 / 15))
    assert reflected_peak_v(325.0, cable_m=7.5, rise_s=1e-7, reflection=0.9) == pytest.approx(617.5)
    assert reflected_peak_v(325.0, cable_m=80.0, rise_s=1e-7, reflection=0.9) == (
        pytest.approx(617.5)
    )


def test_small_formulas_refuse() -> None:
    with pytest.raises(ValueError, match="drop"):
        choke_reactance_ohm(0.3, 240.0, 24.0)
    with pytest.raises(ValueError, match="motor"):
        direct_power_w(1.0, motor_efficiency=1.2, drive_efficiency=0.96)
    with pytest.raises(ValueError, match="direct voltage"):
        output_limit_v(-1.0, space_vector=True)
    with pytest.raises(ValueError, match="above zero"):
        constant_flux_hz(0.0, motor_v=230.0, motor_hz=60.0)
    with pytest.raises(ValueError, match="length"):
        reflected_peak_v(325.0, cable_m=-1.0, rise_s=1e-7, reflection=0.9)
