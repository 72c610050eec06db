"""Motor currents, duty, starts, ceilings, overloads."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest


def test_a_motor_beside_the_tables_goes_by_its_plate(us: Any) -> None:
    for changes in (
        {"voltage": us.figure(400)},
        {"speed": us.figure(1199)},
        {"multispeed": True},
        {"power": us.figure(100)},
        {"power": us.figure(1e6)},
        {"hermetic": True},
    ):
        answer = us.ask(us.demand(motors=(us.motor(5, 11.0, **changes),)))
        assert us.step(answer, "motors/saw/0/full_load_current_a") == 11.0, changes
        assert "motor.current-from-plate" in us.assumed(answer)
    plain = us.ask(us.demand(motors=(us.motor(5, 11.0, speed=us.figure(1200)),)))
    assert us.step(plain, "motors/saw/0/full_load_current_a") == 15.2
    assert "motor.current-from-plate" not in us.assumed(plain)


def test_a_plate_current_that_is_none_is_asked_for(us: Any) -> None:
    known = us.motor(5, 11.0, voltage=us.figure(400))
    guessed = us.motor(5, 11.0, voltage=us.figure(400), current_known="derived")
    for motor, asked in ((known, False), (guessed, True)):
        answer = us.ask(us.demand(motors=(motor,)))
        fields = {one.field for one in answer.questions}
        assert ("machines.saw.motors.current" in fields) is asked


def test_746_w_is_one_horsepower(us: Any) -> None:
    answer = us.ask(us.demand(motors=(us.motor(1, 4.0, power=us.figure(5 * 746)),)))
    assert us.step(answer, "motors/saw/0/full_load_current_a") == 15.2
    assert "motor.current-interpolated" not in us.assumed(answer)


@pytest.mark.parametrize(
    ("duty", "percent"),
    [("S2 5 min", 110), ("S2 10 min", 120), ("S2 60 min", 150), ("S2", 150), ("S4", 140),
     ("S9", 200)],
)  # fmt: skip
def test_duty_classes(us: Any, duty: str, percent: float) -> None:
    answer = us.ask(us.demand(motors=(us.motor(5, 10.0, duty=duty),)))
    assert us.step(answer, "design_current_a") == pytest.approx(percent / 10)


def test_duty_motor_among_others(us: Any) -> None:
    """S3 motor with 14 A plate counts 19.6 A; 10 hp 35 A: 35 + 19.6 = 54.6 A."""
    motors = (us.motor(5, 14.0, duty="S3"), us.motor(10, 26, id="b/0"))
    answer = us.ask(us.demand(role="output", motors=motors))
    assert us.step(answer, "design_current_a") == pytest.approx(54.6)


def test_locked_rotor_from_table_or_six_times(us: Any) -> None:
    table = us.ask(us.demand(motors=(us.motor(5, 13),)))
    assert us.step(table, "motors/saw/0/locked_rotor_current_a") == 92
    between = us.ask(us.demand(motors=(us.motor(6, 13),)))
    assert us.step(between, "motors/saw/0/locked_rotor_current_a") == 127
    beyond = us.ask(us.demand(motors=(us.motor(5, 13, voltage=us.figure(400)),)))
    assert us.step(beyond, "motors/saw/0/locked_rotor_current_a") == pytest.approx(78)
    assert "motor.locked-rotor-six-times" in us.assumed(beyond)


def test_wound_rotor_has_a_lower_ceiling(us: Any) -> None:
    """150 % of 28 A is 42 A: 45 A."""
    answer = us.ask(us.demand(motors=(us.motor(10, 26, wound_rotor=True),)))
    assert us.step(answer, "protective_device/ceiling/rating_a") == 45


def test_above_100_a_the_raised_ceiling_is_300_per_cent(us: Any) -> None:
    """50 hp, 130 A: 390 A, down to 350 A; 2.5 x 130 = 325 A, up to 350 A: nothing to raise."""
    answer = us.ask(us.demand(motors=(us.motor(50, 120),)))
    assert us.step(answer, "protective_device/ceiling/rating_a") == 350
    assert us.step(answer, "protective_device/ceiling/raised_percent") == 300
    with pytest.raises(StopIteration):
        us.step(answer, "protective_device/ceiling/raised_a")


def test_start_time_is_assumed_where_none_was_reckoned(us: Any) -> None:
    motors = (us.motor(5, 13),)
    assert "motor.start-time" in us.assumed(us.ask(us.demand(motors=motors)))
    known = us.ask(us.demand(motors=motors, starting_time=us.figure(2)))
    assert "motor.start-time" not in us.assumed(known)


def test_a_start_stated_larger_governs(us: Any) -> None:
    answer = us.ask(us.demand(motors=(us.motor(5, 13),), starting_current=us.figure(120)))
    assert us.step(answer, "protective_device/start/current_a") == 120
    lower = us.ask(us.demand(motors=(us.motor(5, 13),), starting_current=us.figure(50)))
    assert us.step(lower, "protective_device/start/current_a") == 92


def test_worst_start_with_the_others_running(us: Any) -> None:
    """10 hp locked 162 A with 5 hp running 15.2 A and 12 A of heat: 189.2 A; before 55.2 A."""
    motors = (us.motor(5, 13), us.motor(10, 26, id="b/0"))
    answer = us.ask(us.demand(role="output", motors=motors, loads=(us.load(12),)))
    assert us.step(answer, "protective_device/start/current_a") == pytest.approx(189.2)
    assert us.step(answer, "protective_device/start/before_a") == pytest.approx(55.2)


def test_overload_that_trips_while_running(us: Any) -> None:
    """10 A plate at 115 %: 11.5 A; a leg of 11.6 A trips it, 11.5 A does not."""
    for leg, trips in ((11.6, True), (11.5, False)):
        motor = us.motor(3, 10.0, service_factor=None, largest_leg=us.figure(leg))
        answer = us.ask(us.demand(motors=(motor,)))
        assert ("protection.overload-trips-running" in us.codes(answer)) is trips


def test_feeders_have_neither_overload_nor_switch(us: Any) -> None:
    circuit = us.ask(us.demand(role="output", motors=(us.motor(5, 13),))).circuit
    assert circuit.overloads == ()
    assert circuit.disconnect is None
