"""Motor currents, duty, starts, ceilings, overloads."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest
from tests.unit.families.nec.questions import Asker

from ampwright.families.nec.ratings import next_down


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
    [("S2 5 min", 110), ("S2 6 min", 120), ("S2 10 min", 120), ("S2 15 min", 120),
     ("S2 16 min", 150), ("S2 60 min", 150), ("S2", 150), ("S4", 140), ("S9", 200)],
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
    (rule,) = {one.rule for one in beyond.circuit.steps if one.path.endswith("rotor_current_a")}
    assert rule == "nec.430.251"


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


def test_the_disconnect_of_several_goes_by_tables_not_by_plates(us: Any) -> None:
    """10 and 5 hp at 230 V: 28 + 15.2 = 43.2 A is 20 hp (54 A); 162 + 92 = 254 A is 20 hp (290 A).

    Locked-rotor currents on the plates, 300 and 200 A, would ask for 40 hp (580 A).
    """
    stated = {"locked_rotor_current": us.figure(300)}, {"locked_rotor_current": us.figure(200)}
    motors = (us.motor(10, 26, **stated[0]), us.motor(5, 13, id="b/0", **stated[1]))
    answer = us.ask(us.made(motors=motors))
    assert us.step(answer, "disconnect/locked_sum_a") == pytest.approx(254)
    assert us.step(answer, "disconnect/power_hp") == 20
    assert us.step(answer, "protective_device/start/current_a") == pytest.approx(315.2)


@pytest.mark.parametrize(
    ("changes", "locked"),
    [
        ({"design": "B"}, 92),
        ({"design": "A"}, 200),
        ({"design": ""}, 92),
        ({"voltage": 400}, 200),
        ({"power_hp": 1.5 / 0.7456998715822702}, 50),  # 1.5 kW is sold as 2 hp: 50 A
        ({"power_hp": 2.04}, 50),
        ({"power_hp": 2.042}, 64),  # more than 2 % above 2 hp: the row of 3 hp
    ],
)
def test_locked_rotor_current_for_a_disconnect(
    us: Any, changes: dict[str, Any], locked: float
) -> None:
    """Table 430.251(B) holds for designs B, C, D and its voltages; else what the plate says."""
    more = dict(changes)
    if "voltage" in more:
        more["voltage"] = us.figure(more["voltage"])
    first = us.motor(more.pop("power_hp", 5), 13, locked_rotor_current=us.figure(200), **more)
    answer = us.ask(us.made(motors=(first, us.motor(5, 13, id="b/0"))))
    assert us.step(answer, "disconnect/locked_sum_a") == pytest.approx(locked + 92)


def test_single_phase_motors_have_a_table_of_their_own(us: Any) -> None:
    """3 hp 230 V: 102 A by Table 430.251(A), whatever the design letter; two of them 204 A."""
    one = us.motor(3, 16, phases=1, design="L", locked_rotor_current=us.figure(60))
    two = us.motor(3, 16, phases=1, id="b/0", locked_rotor_current=us.figure(60))
    answer = us.ask(us.single(motors=(one, two)))
    assert us.step(answer, "disconnect/locked_sum_a") == pytest.approx(204)
    # two times 17 A is 34 A: 7-1/2 hp (40 A), as is 204 A (240 A)
    assert us.step(answer, "disconnect/by_full_load_hp") == 7.5
    assert us.step(answer, "disconnect/by_locked_rotor_hp") == 7.5
    assert [one.poles for one in answer.circuit.overloads] == [1, 1]


def speeds(us: Any) -> tuple[Any, Any]:
    """Return the speeds of one motor: 3 and 5 hp, 9 and 14 A on the plate."""
    same = {"multispeed": True, "one_at_a_time": True, "machine": "lathe"}
    slow = us.motor(3, 9, id="lathe/0", locked_rotor_current=us.figure(70), **same)
    fast = us.motor(5, 14, id="lathe/1", locked_rotor_current=us.figure(90), **same)
    return slow, fast


def test_the_speeds_of_a_motor_never_run_together(us: Any) -> None:
    """430.22(B): the larger current alone: 1.25 x 14 = 17.5 A and 2.5 x 14 = 35 A.

    Each speed has its own overload: 1.25 x 9 = 11.25 A and 17.5 A.
    """
    answer = us.ask(us.made(motors=speeds(us)))
    assert us.step(answer, "design_current_a") == 17.5
    assert us.step(answer, "protective_device/ceiling/rating_a") == 35
    assert us.step(answer, "protective_device/start/current_a") == 90
    assert us.step(answer, "protective_device/start/before_a") == 14
    assert us.step(answer, "full_load_sum_a") == 14
    assert us.step(answer, "disconnect/least_a") == pytest.approx(16.1)
    settings = [one.setting_a for one in answer.circuit.overloads]
    assert settings == pytest.approx([11.25, 17.5])
    assert answer.circuit.disconnect.power_w == pytest.approx(5 * 745.7, rel=1e-6)


def test_the_speeds_of_a_motor_beside_another(us: Any) -> None:
    """28 x 1.25 + 14 = 49 A; the worst start is the 10 hp motor's with 14 A running."""
    other = us.motor(10, 26, id="saw/0", locked_rotor_current=us.figure(162))
    answer = us.ask(us.made(motors=(*speeds(us), other)))
    assert us.step(answer, "design_current_a") == pytest.approx(49)
    assert us.step(answer, "protective_device/start/current_a") == pytest.approx(176)
    assert us.step(answer, "protective_device/start/before_a") == pytest.approx(42)
    lathe = us.motor(10, 26, id="saw/0", locked_rotor_current=us.figure(100))
    answer = us.ask(us.made(motors=(*speeds(us), lathe)))
    assert us.step(answer, "protective_device/start/current_a") == pytest.approx(118)


def test_the_larger_device_leads_a_feeder_not_the_larger_current(us: Any) -> None:
    """Hermetic 30 A: 1.75 x 30 = 52.5, down to 50 A; 10 hp, 28 A: 70 A. 70 + 30 = 100 A."""
    motors = (us.motor(10, 30, hermetic=True), us.motor(10, 26, id="b/0"))
    answer = us.ask(us.demand(role="output", motors=motors))
    assert us.step(answer, "protective_device/ceiling/sum_a") == pytest.approx(100)


def test_the_conductor_of_a_hermetic_motor(us: Any) -> None:
    """440.32: 1.25 x 22 A; device 1.75 x 22 = 38.5 up to 40 A, raised 2.25 x 22 = 49.5: 45 A."""
    answer = us.ask(us.demand(motors=(us.motor(5, 22, hermetic=True),)))
    step = next(
        one for one in answer.circuit.steps if one.path.endswith("saw/0/conductor_current_a")
    )
    assert (step.value, step.rule) == (27.5, "nec.440.32")
    assert us.step(answer, "protective_device/ceiling/rating_a") == 40
    assert us.step(answer, "protective_device/ceiling/raised_a") == 45


def test_marks_of_hermetic_equipment_go_before_all_else(us: Any) -> None:
    """440.4(B): marked for 31 A of ampacity and a device of 45 A: both count as they stand."""
    marks = {"minimum_circuit_current": us.figure(31), "largest_device": us.figure(45)}
    motor = us.motor(5, 22, hermetic=True, locked_rotor_current=us.figure(150), **marks)
    answer = us.ask(us.demand(motors=(motor,)))
    assert us.step(answer, "design_current_a") == 31
    assert us.step(answer, "protective_device/ceiling/rating_a") == 45
    assert answer.circuit.conductor.size == "10 AWG"
    rules = {one.path.removeprefix("options/x/circuits/c/"): one.rule
             for one in answer.circuit.steps}  # fmt: skip
    assert rules["design_current_a"] == "nec.440.4(B)"
    assert rules["motors/saw/0/conductor_current_a"] == "nec.440.4(B)"
    assert rules["protective_device/ceiling/rating_a"] == "nec.440.4(B)"
    feeder = us.ask(us.demand(role="output", motors=(motor, us.motor(3, 9, id="b/0"))))
    assert us.step(feeder, "design_current_a") == pytest.approx(31 + 9.6)
    assert us.step(feeder, "protective_device/ceiling/sum_a") == pytest.approx(45 + 9.6)


@pytest.mark.parametrize(("marked", "rating"), [(45, 45), (48, 45), (15, 15), (6, 10)])
def test_a_marked_device_rounds_down(us: Any, marked: float, rating: float) -> None:
    """To a standard rating, 10 A being the smallest of 2023."""
    motor = us.motor(1, 2, hermetic=True, largest_device=us.figure(marked))
    answer = us.ask(us.demand(motors=(motor,)))
    assert us.step(answer, "protective_device/ceiling/rating_a") == rating


def test_leads_of_a_star_delta_starter(us: Any) -> None:
    """430.22(C): 72 % of 28 A is 20.16 A between starter and motor; 35 A ahead of the starter."""
    answer = us.ask(us.demand(motors=(us.motor(10, 26, starter="star-delta"),)))
    assert us.step(answer, "design_current_a") == 35
    (said,) = [one for one in answer.findings if one.code == "machine.star-delta-leads"]
    assert (said.severity, said.rule) == ("info", "nec.430.22(C)")
    values = {one.name: one.value for one in said.parameters}
    assert values == {"motor": "saw/0", "current": pytest.approx(20.16)}
    direct = us.ask(us.demand(motors=(us.motor(10, 26, starter="direct"),)))
    assert "machine.star-delta-leads" not in us.codes(direct)


def test_control_circuits_are_said_to_be_unchecked(us: Any) -> None:
    """Once for the shop, whatever the circuit; where there is a motor at its end."""
    motors = (us.motor(5, 13),)
    (said,) = [
        one
        for one in us.ask(us.demand(motors=motors)).findings
        if one.code == "control.circuit-not-checked"
    ]
    assert (said.where, said.severity, said.rule) == ((), "info", "nec.430.72")
    for other in (us.demand(role="output", motors=motors), us.single(loads=(us.load(10),))):
        assert "control.circuit-not-checked" not in us.codes(us.ask(other))


def test_the_switch_of_several_is_rated_at_the_voltage_of_the_circuit(us: Any) -> None:
    """208 V: 28 + 10.6 = 38.6 A is 15 hp (46.2 A); 162 + 71 = 233 A is 15 hp (257 A)."""
    motors = (us.motor(10, 26), us.motor(3, 9, id="b/0", voltage=us.figure(208)))
    answer = us.ask(us.demand(motors=motors, voltage=us.figure(208)))
    assert us.step(answer, "disconnect/locked_sum_a") == pytest.approx(233)
    assert us.step(answer, "disconnect/by_full_load_hp") == 15
    assert us.step(answer, "disconnect/by_locked_rotor_hp") == 15


def test_past_the_tables_horsepower_is_added_up(us: Any) -> None:
    """No column for 400 V: 10 + 5 hp."""
    volts = us.figure(400)
    motors = (us.motor(10, 15, voltage=volts), us.motor(5, 8, id="b/0", voltage=volts))
    answer = us.ask(us.demand(motors=motors, voltage=volts))
    assert us.step(answer, "disconnect/power_hp") == pytest.approx(15)


@pytest.mark.parametrize(
    ("power", "between"), [(5.0245, False), (5.0255, True), (4.9755, False), (4.9745, True)]
)
def test_within_half_a_percent_a_power_is_that_of_the_row(
    us: Any, power: float, *, between: bool
) -> None:
    answer = us.ask(us.demand(motors=(us.motor(power, 13),)))
    assert ("motor.current-interpolated" in us.assumed(answer)) is between


def test_the_row_of_percentages(us: Any) -> None:
    for motor, row in (
        (us.motor(3, 16, phases=1), "single_phase"),
        (us.motor(3, 9), "polyphase_other_than_wound_rotor"),
        (us.motor(3, 9, wound_rotor=True), "wound_rotor"),
    ):
        answer = us.ask(us.demand(phases=motor.phases, motors=(motor,)))
        (step,) = [one for one in answer.circuit.steps if one.path.endswith("ceiling/percent")]
        assert step.cell == (row, "inverse_time_breaker")


def test_a_switch_by_the_larger_of_both_currents(us: Any) -> None:
    """Heat: 15.2 + 40 = 55.2 A is 25 hp (68 A), 92 + 40 = 132 A is 10 hp (162 A).

    Motors: 28 + 9.6 = 37.6 A is 15 hp (42 A), 162 + 64 = 226 A is 15 hp (232 A); with design A of
    300 A locked 20 hp by 300 + 64 = 364 A: 25 hp (365 A).
    """
    heat = us.ask(us.made(motors=(us.motor(5, 13),), loads=(us.load(40),)))
    assert us.step(heat, "disconnect/by_full_load_hp") == 25
    assert us.step(heat, "disconnect/by_locked_rotor_hp") == 10
    assert us.step(heat, "disconnect/power_hp") == 25
    locked = us.motor(10, 26, design="A", locked_rotor_current=us.figure(300))
    motors = us.ask(us.made(motors=(locked, us.motor(3, 9, id="b/0"))))
    assert us.step(motors, "disconnect/by_full_load_hp") == 15
    assert us.step(motors, "disconnect/by_locked_rotor_hp") == 25
    assert us.step(motors, "disconnect/power_hp") == 25


@pytest.mark.parametrize(("current", "total"), [(28.0, 98), (24.2, 100)])
def test_the_leading_device_of_a_feeder(us: Any, current: float, total: float) -> None:
    """Against a marked 70 or 60 A on 30 A: the larger device; of equal ones the larger current.

    2.5 x 28 = 70 A, as the marked one: 70 + 28 = 98. 2.5 x 24.2 = 60.5, up to 70 A: 70 + 30 = 100.
    """
    marked = 70 if current == 28.0 else 60
    plate = us.motor(10, current, voltage=us.figure(400))
    other = us.motor(10, 30, id="b/0", hermetic=True, largest_device=us.figure(marked))
    answer = us.ask(us.demand(role="output", motors=(plate, other)))
    assert us.step(answer, "protective_device/ceiling/sum_a") == pytest.approx(total)


def test_what_control_conductors_need_no_device_of_their_own(us: Any) -> None:
    """430.72(B): four times 310.17 inside, 25, 30, 40 A at 60 C; three times 310.16: 15, 20, 30."""
    answer = us.ask(us.made(motors=(us.motor(5, 13.2),)))
    (said,) = [one for one in answer.findings if one.code == "control.circuit-not-checked"]
    (limits,) = [one.value for one in said.parameters]
    assert limits == "14 AWG 100/45 A; 12 AWG 120/60 A; 10 AWG 160/90 A"
    assert (said.severity, said.rule, said.where) == ("info", "nec.430.72", ())


@pytest.mark.parametrize(
    ("current", "older", "newer"),
    [(20, 35, 35), (22, 35, 40), (15, 25, 30), (5, 15, 15), (9, 15, 20)],
)
def test_the_device_of_a_compressor_rounds_up_since_2023(
    us: Any, current: float, older: float, newer: float
) -> None:
    """1.75 x 22 = 38.5 A: 35 A by 440.22(A) of 2020, 40 A by exception 1 of 2023; 9 A: 15.75 A."""
    for code, rating in ((us.code.in_edition("2020"), older), (us.code, newer)):
        asked = Asker(code).ask(us.demand(motors=(us.motor(3, current, hermetic=True),)))
        assert us.step(asked, "protective_device/ceiling/rating_a") == rating
        raised = us.step(asked, "protective_device/ceiling/raised_a")
        assert raised == max(15, next_down(code.book, 2.25 * current))


def test_the_disconnect_of_a_motor_stands_in_sight(us: Any) -> None:
    """430.102(B) at the end of a branch; 455.8(A) at a converter; a feeder has none to be seen."""
    motors = (us.motor(5, 13.2),)
    for demand, clause in (
        (us.made(motors=motors), "nec.430.102(B)"),
        (us.single(role="supply", converter=us.converter(60), motors=motors), "nec.455.8(A)"),
        (us.made(role="output", motors=motors), ""),
    ):
        said = [
            one for one in us.ask(demand).findings if one.code == "protection.disconnect-in-sight"
        ]
        assert [one.rule for one in said] == ([clause] if clause else [])
        assert all((one.where[0], one.severity) == ("c", "info") for one in said)
