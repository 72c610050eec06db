"""A plate completed to a rated point that agrees with itself."""

import csv
import math
from importlib.resources import files
from typing import Any

import pytest

from ampwright.kernels.rated_point import (
    DIAGNOSTICS,
    CompletedPlate,
    complete_plate,
    typical_motor,
    typical_table,
)

NOTHING: dict[str, Any] = dict.fromkeys(
    ("speed_rpm", "poles", "current_a", "power_factor", "efficiency")
)
FIVE: dict[str, Any] = {"power_w": 3728.5, "voltage_v": 230.0, "frequency_hz": 60.0}
ROOT3 = math.sqrt(3.0)


def completed(**stated: Any) -> CompletedPlate:  # noqa: ANN401 - whatever a plate states
    return complete_plate(**{**FIVE, **NOTHING, **stated})


def codes(plate: CompletedPlate) -> list[str]:
    return [doubt.code for doubt in plate.diagnostics]


def test_typical_motor_meets_the_rows_of_the_table() -> None:
    place = files("ampwright.kernels").joinpath("typical_motor.csv")
    lines = place.read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("# source:")
    assert lines[1].startswith("# status:")
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        found = typical_motor(float(row["power_w"]), int(row["poles"]) // 2)
        for name, value in found._asdict().items():
            assert value == pytest.approx(float(row[name]), rel=1e-12)


def test_typical_motor_lies_between_its_neighbours_and_stops_at_the_ends() -> None:
    low, middle, high = (typical_motor(power_w, 2) for power_w in (3729.0, 4500.0, 5593.0))
    assert low.slip > middle.slip > high.slip
    assert low.efficiency < middle.efficiency < high.efficiency
    assert typical_motor(10.0, 2) == typical_motor(75.0, 2)
    assert typical_motor(2e5, 2) == typical_motor(74570.0, 2)
    assert typical_motor(3000.0, 6) == typical_motor(3000.0, 4)


def test_larger_typical_motors_are_better() -> None:
    for _, motors in typical_table().values():
        for name, sense in (("efficiency", 1), ("power_factor", 1), ("slip", -1)):
            values = [sense * getattr(motor, name) for motor in motors]
            assert values == sorted(values), name


def test_the_losses_of_the_point_add_up() -> None:
    for stated in ({}, {"speed_rpm": 1745.0}, {"speed_rpm": 1720.0, "efficiency": 0.88}):
        point = completed(**stated).point
        gap_w = point.power_w / point.efficiency - point.core_w - point.stator_w
        mechanical_w = gap_w * (1.0 - point.slip)
        braking_w = (point.friction_w + point.stray_w) * (1.0 - point.slip) ** 2
        assert mechanical_w - braking_w == pytest.approx(point.power_w, rel=1e-12)
        volt_amperes = ROOT3 * point.voltage_v * point.current_a
        assert point.power_w == pytest.approx(
            volt_amperes * point.efficiency * point.power_factor, rel=1e-12
        )


@pytest.mark.parametrize(
    ("frequency_hz", "speed_rpm", "pairs"),
    [(60, 3500, 1), (60, 1745, 2), (60, 1140, 3), (60, 860, 4), (50, 2850, 1), (50, 1425, 2),
     (50, 940, 3), (50, 700, 4), (60, 1565, 2), (50, 485, 6)],
)  # fmt: skip
def test_poles_follow_from_the_speed(frequency_hz: float, speed_rpm: float, pairs: int) -> None:
    plate = completed(frequency_hz=frequency_hz, speed_rpm=speed_rpm)
    assert plate.point.pole_pairs == pairs
    assert "poles" not in plate.assumed


@pytest.mark.parametrize(
    ("stated", "code"),
    [
        ({"speed_rpm": 1800.0}, "speed-synchronous"),
        ({"speed_rpm": 1200.0, "poles": 4}, "speed-frequency"),
        ({"speed_rpm": 30.0}, "speed-geared"),
        ({"speed_rpm": 1700.0, "efficiency": 0.94}, "slip-losses"),
        ({"speed_rpm": 1790.0, "efficiency": 0.6}, "losses-unexplained"),
        ({"current_a": 13.0, "efficiency": 0.9, "power_factor": 0.7}, "power-product"),
        ({"current_a": 5.0}, "current-power"),
        ({"current_a": 80.0}, "current-power"),
        ({"efficiency": 0.99}, "efficiency-implausible"),
        ({"power_factor": 1.0}, "power-factor-implausible"),
    ],
)
def test_contradictions_are_doubts(stated: dict[str, Any], code: str) -> None:
    plate = completed(**stated)
    assert code in codes(plate)
    assert code in DIAGNOSTICS
    assert all(math.isfinite(value) and value > 0.0 for value in plate.point)


def test_a_plate_that_agrees_raises_no_doubt_and_supposes_nothing() -> None:
    product = 0.875 * 0.81
    current_a = 3728.5 / (ROOT3 * 230.0 * product)
    plate = completed(speed_rpm=1745.0, current_a=current_a, efficiency=0.875, power_factor=0.81)
    assert plate.diagnostics == ()
    assert plate.assumed == {}
    assert plate.point.power_factor == pytest.approx(0.81, rel=1e-12)


@pytest.mark.parametrize("missing", ["current_a", "efficiency", "power_factor"])
def test_two_of_three_close_the_third(missing: str) -> None:
    current_a = 3728.5 / (ROOT3 * 230.0 * 0.875 * 0.81)
    whole = {"current_a": current_a, "efficiency": 0.875, "power_factor": 0.81}
    plate = completed(speed_rpm=1745.0, **{k: v for k, v in whole.items() if k != missing})
    assert plate.assumed == {missing: pytest.approx(whole[missing], rel=1e-12)}
    assert codes(plate) == []


def test_a_current_alone_splits_between_efficiency_and_power_factor() -> None:
    usual, more = completed().point, completed(current_a=15.0).point
    assert more.current_a == pytest.approx(15.0)
    assert more.efficiency < usual.efficiency
    assert more.power_factor < usual.power_factor
    assert math.log(usual.power_factor / more.power_factor) > 3.0 * math.log(
        usual.efficiency / more.efficiency
    )


def test_stating_what_would_be_supposed_changes_nothing() -> None:
    first = completed()
    again = completed(**{k: v for k, v in first.assumed.items() if k != "poles"})
    assert again.point == pytest.approx(first.point, rel=1e-12)
    assert again.assumed == {}
    assert again.diagnostics == ()


def test_a_high_slip_lowers_a_supposed_efficiency_and_not_a_stated_one() -> None:
    """A press motor at 1565 r/min loses 13 % in its rotor alone."""
    supposed = completed(speed_rpm=1565.0).point
    assert supposed.efficiency < 0.87 * (1.0 - 0.02)
    assert supposed.slip == pytest.approx(1.0 - 1565.0 / 1800.0)
    stated = completed(speed_rpm=1565.0, efficiency=0.9).point
    assert stated.efficiency == 0.9
    assert stated.slip < 0.09


@pytest.mark.parametrize(
    "wrong",
    [
        {"power_w": 0.0},
        {"power_w": math.nan},
        {"voltage_v": -230.0},
        {"frequency_hz": 0.0},
        {"speed_rpm": 0.0},
        {"current_a": -1.0},
        {"poles": 3},
        {"poles": 0},
    ],
)
def test_what_cannot_stand_on_a_plate_is_an_error(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=next(iter(wrong)).split("_")[0]):
        completed(**wrong)


def test_typical_motor_needs_a_power() -> None:
    with pytest.raises(ValueError, match="power_w"):
        typical_motor(0.0, 2)
