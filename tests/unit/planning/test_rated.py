"""The rated point of a motor: plate figures as printed, the rest by hand arithmetic."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.planning.shops import HORSEPOWER_W, completed, motor, reading, step

from ampwright.kernels.rated_point import typical_motor
from ampwright.planning.rated import PlateReading, RatedFigures, poles_of, rated
from ampwright.records.motor import Motor
from ampwright.step import Figure

ROOT = math.sqrt(3)


def read(stated: Motor, **supply: Any) -> tuple[RatedFigures, PlateReading]:
    at = completed(**supply)
    one = reading(stated, at)
    return rated(one, at), one


def missing(one: PlateReading) -> dict[str, str]:
    """Return field and what it changes, of every question for a missing figure."""
    return {
        str(part.value): question.changes
        for question in one.words.questions
        if question.code == "motor.field"
        for part in question.parameters
        if part.name == "field"
    }


def test_a_whole_plate_is_used_as_it_stands() -> None:
    point, one = read(motor(efficiency=0.87, power_factor=0.85))
    assert point.power.value == pytest.approx(5 * HORSEPOWER_W)
    assert (point.voltage.value, point.current.value) == (230.0, 13.2)
    assert (point.frequency.value, point.efficiency.value, point.power_factor.value) == (
        60.0, 0.87, 0.85,
    )  # fmt: skip
    assert point.speed is not None
    assert (point.speed.value, point.current_known) == (1740.0, "plate")
    assert not one.words.findings
    assert not one.words.assumptions
    assert point.current.path == "shop/machines/saw/motors/0/ratings/0/current_a"


def test_on_another_supply_the_other_rating_counts() -> None:
    point, _ = read(motor(), voltage="480 V")
    assert (point.voltage.value, point.current.value) == (460.0, 6.6)
    assert point.current.path == "shop/machines/saw/motors/0/ratings/1/current_a"


def test_a_missing_current_follows_from_power() -> None:
    """3 kW, 230 V, 0.85 x 0.80: 3000 / (1.732 x 230 x 0.68) = 11.075 A."""
    stated = motor(power="3 kW", current=None, efficiency=0.85, power_factor=0.80)
    point, one = read(stated)
    assert point.current.value == pytest.approx(11.0746, rel=1e-5)
    assert point.current_known == "assumed"
    assert missing(one) == {"current": "figures"}
    (said,) = one.words.findings
    assert (said.code, said.where) == ("nameplate.missing-field", ("saw",))


def test_a_missing_power_follows_from_current() -> None:
    """230 V, 10 A, 0.85 x 0.80: 1.732 x 230 x 10 x 0.68 = 2708.9 W."""
    stated = motor(power=None, current="10 A", voltage="230 V", efficiency=0.85, power_factor=0.80)
    point, one = read(stated)
    assert point.power.value == pytest.approx(2708.95, rel=1e-5)
    assert point.current_known == "plate"
    assert missing(one) == {"power": "size"}


def test_one_phase_has_no_root_of_three() -> None:
    """1.5 kW, 230 V, 0.75 x 0.90: 1500 / (230 x 0.675) = 9.662 A."""
    stated = Motor(power="1.5 kW", voltage="230 V", phases=1, frequency="60 Hz", speed="1740 rpm",
                   efficiency=0.75, power_factor=0.90)  # fmt: skip
    point, _ = read(stated)
    assert point.current.value == pytest.approx(9.66184, rel=1e-5)
    back = Motor(current="9.66184 A", voltage="230 V", phases=1, frequency="60 Hz",
                 speed="1740 rpm", efficiency=0.75, power_factor=0.90)  # fmt: skip
    assert read(back)[0].power.value == pytest.approx(1500.0, rel=1e-5)


def test_twice_the_power_draws_twice_the_current() -> None:
    one, two = (
        read(motor(power=power, current=None, efficiency=0.85, power_factor=0.8))[0]
        for power in ("2 kW", "4 kW")
    )
    assert two.current.value == pytest.approx(2 * one.current.value)


@pytest.mark.parametrize(("speed", "pairs"), [("3480 rpm", 1), ("1740 rpm", 2), ("1150 rpm", 3)])
def test_what_nobody_stated_is_that_of_a_usual_motor_of_its_power_and_poles(
    speed: str, pairs: int
) -> None:
    point, one = read(motor(current=None, speed=speed))
    usual = typical_motor(5 * HORSEPOWER_W, pairs)
    assert point.efficiency.value == usual.efficiency
    assert point.power_factor.value == usual.power_factor
    assert {said.code for said in one.words.assumptions} == {
        "motor.efficiency-assumed",
        "motor.power-factor-assumed",
    }
    found = step(one.sheet.steps, "/efficiency")
    assert found.low is not None
    assert found.high is not None
    assert found.low < usual.efficiency < found.high < 1.0


def test_stated_poles_go_before_the_speed() -> None:
    point, _ = read(motor(current=None, speed=None, poles=6))
    assert point.efficiency.value == typical_motor(5 * HORSEPOWER_W, 3).efficiency


def test_a_plate_without_voltage_takes_the_supplys_and_asks() -> None:
    point, one = read(motor(voltage=None, current="13.2 A"))
    assert point.voltage.value == 240.0
    assert missing(one) == {"voltage": "figures"}


def test_a_plate_without_frequency_takes_the_supplys() -> None:
    point, _ = read(motor(frequency=None))
    assert point.frequency.value == 60.0


def test_of_a_range_the_voltage_nearest_the_supply_counts() -> None:
    """On 220 V a range of 208-230 V is reckoned with at 220 V."""
    point, _ = read(motor(voltage="208-230 V", current="13.8-13.2 A"), voltage="220 V")
    assert point.voltage.value == 220.0
    assert read(motor(voltage="208-230 V", current="13.8-13.2 A"))[0].voltage.value == 230.0


def test_a_current_ten_times_too_large_is_not_used() -> None:
    """5 hp at 230 V cannot draw 152 A; what follows from power and voltage can: about 13 A."""
    stated = motor(voltage="230 V", current="152 A", efficiency=0.87, power_factor=0.83)
    point, one = read(stated)
    expected = 5 * HORSEPOWER_W / (ROOT * 230 * 0.87 * 0.83)
    assert point.current.value == pytest.approx(expected)
    assert point.current_known == "derived"
    (said,) = one.words.findings
    assert said.code == "nameplate.implausible"
    values = {part.name: part.value for part in said.parameters}
    assert values == {"field": "current", "stated": 152.0, "derived": pytest.approx(expected)}
    (asked,) = one.words.questions
    assert (asked.code, asked.changes) == ("motor.contradiction", "size")
    assert asked.field == "machines.saw.motors[0].current"


def test_a_power_that_volts_and_amperes_contradict_is_not_used() -> None:
    """50 hp with 13.2 A at 230 V, efficiency and power factor stated: the current rules."""
    stated = motor(power="50 hp", voltage="230 V", current="13.2 A", efficiency=0.87,
                   power_factor=0.83)  # fmt: skip
    point, one = read(stated)
    codes = {said.code for said in one.words.findings}
    assert codes == {"nameplate.implausible"}
    used = {"power": point.power.value, "current": point.current.value}
    product = ROOT * point.voltage.value * used["current"] * 0.87 * 0.83
    assert used["power"] == pytest.approx(product, rel=0.15)


def test_every_figure_of_the_point_has_a_step_or_stands_on_the_plate() -> None:
    point, one = read(motor(power=None, current="10 A", voltage=None))
    paths = {found.path for found in one.sheet.steps}
    for figure in point:
        if isinstance(figure, Figure) and not figure.path.startswith("shop/"):
            assert figure.path in paths


@pytest.mark.parametrize(
    ("rpm", "hertz", "poles"),
    [
        # synchronous speed is 120 f / poles; a motor runs a little below it
        (3500.0, 60.0, 2), (1740.0, 60.0, 4), (1150.0, 60.0, 6), (860.0, 60.0, 8),
        (2880.0, 50.0, 2), (1440.0, 50.0, 4), (955.0, 50.0, 6), (710.0, 50.0, 8),
        (1800.0, 60.0, 4), (3600.0, 60.0, 2), (1500.0, 50.0, 4), (1425.0, 50.0, 4),
        (1640.0, 60.0, 4),
    ],
)  # fmt: skip
def test_poles_of_a_speed(rpm: float, hertz: float, poles: int) -> None:
    assert poles_of(Figure(rpm, ""), Figure(hertz, "")) == poles


def test_without_a_speed_four_poles_are_taken() -> None:
    assert poles_of(None, Figure(60.0, "")) == 4


def test_without_a_power_the_usual_motor_is_that_of_the_volts_and_amperes() -> None:
    """1.732 x 230 x 40 x 0.7 = 11.15 kW: what is usual there, not at 1 kW or at 100 kW."""
    stated = motor(power=None, voltage="230 V", current="40 A", speed="1760 rpm")
    point, _ = read(stated)
    near = typical_motor(ROOT * 230 * 40 * 0.7, 2)
    assert point.efficiency.value == near.efficiency
    assert point.power_factor.value == near.power_factor
    far = typical_motor(1000.0, 2)
    assert far.efficiency != near.efficiency


def test_a_frequency_that_nobody_stated_is_an_assumption() -> None:
    _, one = read(motor(frequency=None))
    (said,) = [each for each in one.words.assumptions if each.code == "motor.frequency-assumed"]
    assert said.parameters[0].value == 60.0
