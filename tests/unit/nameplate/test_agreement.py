"""Figures of a rating that cannot all be true, and which of them cannot.

The expected verdicts follow from shaft power over volt-amperes, worked out in each test; that an
ordinary motor lies between about 0.55 and 0.88 is common practice, no source.
"""

import math

import pytest

from ampwright.nameplate.agreement import disagreements
from ampwright.nameplate.remarks import contradictions, stated_units
from ampwright.records.motor import Motor


@pytest.mark.parametrize(
    ("power_w", "voltage_v", "current_a"),
    [
        (3728.5, 230.0, 13.2),  # 0.709
        (5500.0, 400.0, 11.4),  # 0.696
        (90.0, 415.0, 0.3),  # 0.417, a coolant pump
        (370.0, 400.0, 1.05),  # 0.509
        (75000.0, 400.0, 134.0),  # 0.808
    ],
)
def test_ordinary_motors_agree(power_w: float, voltage_v: float, current_a: float) -> None:
    assert not disagreements(power_w=power_w, voltage_v=voltage_v, current_a=current_a)


def test_a_current_ten_times_too_large() -> None:
    (one,) = disagreements(power_w=3728.5, voltage_v=230.0, current_a=152.0)
    assert (one.figure, one.given) == ("current", 152.0)
    assert one.likely == pytest.approx(15.2)
    assert one.ratio == pytest.approx(3728.5 / (math.sqrt(3) * 230 * 152))


def test_a_power_ten_times_too_large() -> None:
    (one,) = disagreements(power_w=55000.0, voltage_v=400.0, current_a=11.4)
    assert one.figure == "power"
    assert one.likely == pytest.approx(5500.0)


def test_a_current_of_the_other_link() -> None:
    (one,) = disagreements(power_w=3000.0, voltage_v=400.0, current_a=11.1)
    assert one.figure == "current"
    assert one.likely == pytest.approx(11.1 / math.sqrt(3))


def test_nothing_makes_the_figures_agree() -> None:
    (one,) = disagreements(power_w=3000.0, voltage_v=400.0, current_a=0.4)
    assert (one.figure, one.likely) == ("current", None)


def test_single_phase_is_judged_without_the_root_of_three() -> None:
    assert not disagreements(power_w=7457.0, voltage_v=230.0, current_a=50.0, phases=1)
    (one,) = disagreements(power_w=7457.0, voltage_v=230.0, current_a=26.0, phases=1)
    assert one.figure == "current"


def test_factors_that_multiply_to_the_ratio_agree() -> None:
    # 3728.5 W / (1.732 * 230 V * 13.2 A) = 0.709 = 0.87 * 0.815
    assert not disagreements(
        power_w=3728.5, voltage_v=230.0, current_a=13.2, efficiency=0.87, power_factor=0.815
    )


def test_a_power_factor_that_leaves_more_than_the_whole() -> None:
    (one,) = disagreements(power_w=3728.5, voltage_v=230.0, current_a=13.2, power_factor=0.6)
    assert one.figure == "power-factor"  # 0.709 / 0.6 is above one


def test_an_efficiency_that_leaves_more_than_the_whole() -> None:
    (one,) = disagreements(power_w=3728.5, voltage_v=230.0, current_a=13.2, efficiency=0.6)
    assert one.figure == "efficiency"


def test_locked_rotor_current_below_the_rated_one() -> None:
    (one,) = disagreements(power_w=3728.5, voltage_v=230.0, current_a=13.2, locked_rotor_a=9.2)
    assert one.figure == "locked-rotor-current"
    assert one.likely == pytest.approx(92.0)


def test_nothing_is_said_about_what_is_not_stated() -> None:
    assert not disagreements(power_w=None, voltage_v=230.0, current_a=152.0)
    assert not disagreements(power_w=3728.5, voltage_v=230.0, current_a=None)


def test_a_motor_stated_field_by_field_is_judged_alike() -> None:
    (one,) = contradictions(Motor(power="5 hp", voltage="230 V", current="152 A"))
    assert one.figure == "current"
    assert one.likely == pytest.approx(15.2)


def test_a_range_of_volts_agrees_at_either_end() -> None:
    # 559 W at 2.0 A: 0.78 at 208 V, 0.67 at 240 V
    assert not contradictions(Motor(power="3/4 hp", voltage="208-240 V", current="2.0 A"))


def test_a_speed_that_no_number_of_poles_gives() -> None:
    motor = Motor(power="5 hp", voltage="230 V", frequency="60 Hz", speed="1450 rpm")
    (one,) = contradictions(motor)
    assert one.figure == "speed"


def test_metric_horsepower_is_named_with_both_readings() -> None:
    (said,) = stated_units(Motor(power="5 PS"))
    assert said.code == "nameplate.ambiguous-unit"
    values = {one.name: one.value for one in said.parameters}
    assert values["given"] == "PS"
    assert values["read"] == pytest.approx(735.49875)
    assert values["other"] == pytest.approx(745.6998715822702)
    assert not stated_units(Motor(power="5 hp"))
    assert not stated_units(Motor(power="5 kW"))
