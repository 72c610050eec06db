"""Cords, transformers, converters, drives, welders."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest


def test_receptacle_of_a_heater_is_rated_like_its_circuit(us: Any) -> None:
    """25 A continuous: 35 A device: a 50 A receptacle; a motor of 19 A takes 20 A."""
    heater = us.ask(us.single(loads=(us.load(25),), cord=True))
    assert us.step(heater, "cord/receptacle") == "6-50R"
    assert "protection.ground-fault-receptacle" in us.codes(heater)
    motor = us.ask(us.made(motors=(us.motor(5, 13),), cord=True))
    assert us.step(motor, "cord/receptacle") == "15-20R"
    assert "protection.ground-fault-receptacle" not in us.codes(motor)
    assert "authority.ground-fault-receptacle" in {one.code for one in motor.questions}


def test_cord_in_the_heat(us: Any) -> None:
    """19 A at 40 C: 12 AWG 20 x 0.82 = 16.4 A falls short, 10 AWG 25 x 0.82 = 20.5 A does."""
    answer = us.ask(us.made(motors=(us.motor(5, 13),), cord=True), us.site(ambient="40 degC"))
    assert us.step(answer, "cord/size") == "10 AWG"


def test_no_cord_that_large(us: Any) -> None:
    answer = us.ask(us.made(motors=(us.motor(50, 120),), cord=True))
    finding = next(one for one in answer.findings if one.code == "protection.plug-rating")
    values = {one.name: one.value for one in finding.parameters}
    assert (values["receptacle"], values["cord"]) == ("", "")


@pytest.mark.parametrize(("amps", "ceiling"), [(9, 15), (20, 25), (100, 125)])
def test_transformer_rounds_up_from_9_a(us: Any, amps: float, ceiling: float) -> None:
    load = us.load(amps, kind="transformer", continuous=False)
    answer = us.ask(us.single(loads=(load,)))
    assert us.step(answer, "protective_device/ceiling/rating_a") == ceiling


@pytest.mark.parametrize(("amps", "calculated"), [(9, 11.25), (8.9, 14.863), (2, 3.34), (1.9, 5.7)])
def test_percentages_of_transformers(us: Any, amps: float, calculated: float) -> None:
    """450.3(B): 125 % from 9 A, 167 % from 2 A, 300 % below."""
    load = us.load(amps, kind="transformer", continuous=False)
    answer = us.ask(us.single(loads=(load,)))
    assert us.step(answer, "protective_device/ceiling/calculated_a") == pytest.approx(calculated)
    asked = {(one.code, one.changes) for one in answer.questions}
    assert ("authority.separately-derived", "safety") in asked


@pytest.mark.parametrize(
    ("amps", "calculated", "rating"),
    [(20, 25.0, 25), (21, 26.25, 30), (9, 11.25, 15), (8.9, 14.863, None), (1.9, 3.173, None)],
)
def test_percentages_of_autotransformers(
    us: Any, amps: float, calculated: float, rating: float | None
) -> None:
    """450.4(A): 125 %, rounded up from 9 A on; 167 % below, with no more for the smallest."""
    load = us.load(amps, kind="transformer", continuous=False, construction="auto")
    answer = us.ask(us.single(loads=(load,)))
    ceiling = "protective_device/ceiling"
    assert us.step(answer, f"{ceiling}/calculated_a") == pytest.approx(calculated)
    rules = {one.path.rpartition("/c/")[2]: one.rule for one in answer.circuit.steps}
    assert rules[f"{ceiling}/calculated_a"] == "nec.450.4"
    assert rules["protective_device/inrush/peak_a"] == "nec.450.4"
    if rating is not None:
        assert us.step(answer, f"{ceiling}/rating_a") == rating
        assert answer.circuit.protective_device.rating_a == rating
        (said,) = [one for one in answer.findings if one.code == "transformer.trips-on-energising"]
        assert (said.rule, said.severity) == ("nec.450.4", "caution")
        assert {one.name for one in said.parameters} == {"needed", "largest"}  # no 250 % for it
    asked = {(one.code, one.changes) for one in answer.questions}
    assert ("authority.autotransformer", "safety") in asked
    assert ("authority.separately-derived", "safety") not in asked


@pytest.mark.parametrize(("amps", "rating"), [(9, 15), (14.4, 20), (20, 25), (100, 125)])
def test_the_largest_device_is_taken_that_a_transformer_may_have(
    us: Any, amps: float, rating: float
) -> None:
    """Magnetising asks for 12 / 5 = 2.4 times the rated current, more than 450.3(B) allows."""
    answer = us.ask(us.single(loads=(us.load(amps, kind="transformer", continuous=False),)))
    assert answer.circuit.protective_device.rating_a == rating
    peak = us.step(answer, "protective_device/inrush/peak_a")
    assert peak == pytest.approx(2.4 * amps)
    said = {one.code for one in answer.findings}
    assert "transformer.trips-on-energising" in said
    assert not said & {"protection.trips-at-start", "transformer.inrush"}


def test_with_a_device_on_the_secondary_the_primary_does_not_round_up(us: Any) -> None:
    """450.3(B): 2.5 x 14.4 = 36 A, 35 A; 2.5 x 9 = 22.5 A, 20 A."""
    for amps, most in ((14.4, 35), (9, 20)):
        answer = us.ask(us.single(loads=(us.load(amps, kind="transformer", continuous=False),)))
        assert us.step(answer, "protective_device/ceiling/with_secondary_a") == most


@pytest.mark.parametrize(("amps", "fuse"), [(5, 6), (2, 3), (1.9, 3), (0.4, 1)])
def test_small_transformers_need_a_fuse(us: Any, amps: float, fuse: float) -> None:
    """1.67 x 5 = 8.35: 6 A; 1.67 x 2 = 3.34: 3 A; 3 x 1.9 = 5.7: 3 A; 3 x 0.4 = 1.2: 1 A."""
    load = us.load(amps, kind="transformer", continuous=False)
    answer = us.ask(us.single(loads=(load,)))
    finding = next(one for one in answer.findings if one.code == "transformer.primary-fuse")
    assert {one.name: one.value for one in finding.parameters}["fuse"] == fuse


def test_fixed_loads_only_give_relief(us: Any) -> None:
    """10 A plate: 12.5 A by plate, 2.5 x 15.2 = 38 A by the load: the plate governs."""
    demand = us.single(
        role="supply", converter=us.converter(10, fixed_loads=True), motors=(us.motor(5, 13),)
    )
    answer = us.ask(demand)
    assert us.step(answer, "design_current_a") == 12.5
    assert "converter.fixed-loads" not in us.assumed(answer)


def test_fixed_loads_without_any_known(us: Any) -> None:
    demand = us.single(role="supply", converter=us.converter(10, fixed_loads=True))
    assert us.step(us.ask(demand), "design_current_a") == 12.5


def test_electronic_converters_leave_the_article_open(us: Any) -> None:
    asked = []
    for method in ("rotary", "electronic"):
        demand = us.single(role="supply", converter=us.converter(40, method=method))
        asked.append({one.code for one in us.ask(demand).questions})
    assert "authority.electronic-converter-article" not in asked[0]
    assert "authority.electronic-converter-article" in asked[1]


def test_drive_with_two_motors(us: Any) -> None:
    """15.2 and 9.6 A: device at most 40 + 9.6 = 49.6 A, down to 45 A; output 1.25 x 15.2 + 9.6."""
    drive = us.converter(20, id="d", method="drive", kind="drive")
    motors = (us.motor(5, 13), us.motor(3, 9, id="b/0"))
    supply = us.ask(us.single(role="supply", converter=drive, motors=motors))
    assert us.step(supply, "protective_device/ceiling/drive_a") == 45
    output = us.ask(us.demand(converter=drive, motors=motors))
    assert us.step(output, "design_current_a") == pytest.approx(28.6)
    assert us.step(output, "disconnect/least_a") == pytest.approx(1.15 * 24.8)


def test_behind_a_drive_the_drive_protects(us: Any) -> None:
    """Its overload has three units and is in the drive; no breaker stands at the head."""
    drive = us.converter(28, id="d", method="drive", kind="drive")
    circuit = us.ask(us.demand(converter=drive, motors=(us.motor(5, 13),))).circuit
    (overload,) = circuit.overloads
    assert (overload.poles, overload.curve, overload.setting_a) == (3, "in the drive", 16.25)
    assert circuit.protective_device.breaking_capacity_a is None
    assert circuit.disconnect.power_w == pytest.approx(5 * 745.7, rel=1e-6)
    branch = us.ask(us.demand(motors=(us.motor(5, 13),))).circuit
    assert branch.overloads[0].curve == "class 10"
    assert branch.protective_device.breaking_capacity_a == 10000
    two = us.demand(converter=drive, motors=(us.motor(5, 13), us.motor(3, 9, id="b/0")))
    assert us.ask(two).circuit.disconnect.power_w is None
    assert len(us.ask(two).circuit.overloads) == 2


def test_clauses_of_a_drive_with_several_motors(us: Any) -> None:
    drive = us.converter(36, id="d", method="drive", kind="drive")
    motors = (us.motor(5, 13), us.motor(3, 9, id="b/0"))
    answer = us.ask(us.single(role="supply", converter=drive, motors=motors))
    rules = {one.path.removeprefix("options/x/circuits/c/protective_device/"): one.rule
             for one in answer.circuit.steps}  # fmt: skip
    assert rules["ceiling/sum_a"] == rules["ceiling/several_a"] == "nec.430.62(A)"
    alone = us.ask(us.single(role="supply", converter=drive, motors=motors[:1]))
    found = {one.path.removeprefix("options/x/circuits/c/protective_device/"): one
             for one in alone.circuit.steps}  # fmt: skip
    for name in ("input_a", "limits/load/rating_a", "required_a", "rating_a"):
        assert found[name].rule == "nec.430.130", name
    assert found["input_a"].value == 36


def test_a_drive_whose_input_no_device_carries(us: Any) -> None:
    """5 hp: at most 40 A, 41 A of input: blocked, by the clause on devices ahead of drives."""
    drive = us.converter(41, id="d", method="drive", kind="drive")
    answer = us.ask(us.single(role="supply", converter=drive, motors=(us.motor(5, 13),)))
    (said,) = [one for one in answer.findings if one.severity == "blocks"]
    assert (said.code, said.rule) == ("protection.device-too-small", "nec.430.130")


def test_drive_window(us: Any) -> None:
    """28 A: 10 AWG to 28 A, 35 A device to 28 A, a 60 A switch to 52.2 A; any smaller plate."""
    drive = us.converter(28, id="d", method="drive", kind="drive")
    demand = us.single(role="supply", converter=drive, motors=(us.motor(5, 13),))
    (window,) = us.ask(demand).windows
    assert window.largest_input_current_a == 28
    assert window.smallest_input_current_a == 0


def test_drive_window_where_the_device_falls_short(us: Any) -> None:
    """36 A plate, 5 hp: a device of 40 A at most carries 36 A, not 45 A: it holds up to 40 A.

    6 AWG by the 60 C column to 55/1.25 = 44 A, a 60 A switch to 52.2 A.
    """
    drive = us.converter(36, id="d", method="drive", kind="drive")
    demand = us.single(role="supply", converter=drive, motors=(us.motor(5, 13),))
    (window,) = us.ask(demand, us.site(terminals="60 degC")).windows
    assert (window.part, window.largest_input_current_a) == ("device", 40.0)
    exact = us.converter(32, id="d", method="drive", kind="drive")
    demand = us.single(role="supply", converter=exact, motors=(us.motor(5, 13),))
    (window,) = us.ask(demand).windows  # 8 AWG by 75 C to 50/1.25 = 40 A
    assert (window.part, window.largest_input_current_a) == ("device", 32.0)


def test_where_plate_and_loads_ask_for_the_same_the_plate_governs(us: Any) -> None:
    """1.25 x 30.4 = 2.5 x 15.2 = 38 A."""
    demand = us.single(role="supply", converter=us.converter(30.4, fixed_loads=True),
                       motors=(us.motor(5, 13),))  # fmt: skip
    answer = us.ask(demand)
    rules = {one.path.rpartition("/")[2]: one.rule for one in answer.circuit.steps}
    assert rules["design_current_a"] == "nec.455.6(A)(1)"


def test_fixed_loads_settle_the_disconnect_too(us: Any) -> None:
    """2.5 x 24.8 = 62 A is less than 1.15 x 82 = 94.3 A; a switch by 24.8 A of locked rotors."""
    motors = (us.motor(5, 13), us.motor(3, 9, id="b/0"))
    demand = us.single(role="supply", converter=us.converter(82, fixed_loads=True), motors=motors)
    answer = us.ask(demand)
    assert us.step(answer, "disconnect/least_a") == pytest.approx(62)
    # 2 x (92 + 9.6) = 203.2 A: 7-1/2 hp on one phase (240 A)
    assert us.step(answer, "disconnect/switch_locked_rotor_a") == pytest.approx(203.2)
    assert us.step(answer, "disconnect/switch_hp") == 7.5
    assert answer.circuit.disconnect.power_w == pytest.approx(7.5 * 745.7, rel=1e-6)
    less = us.single(role="supply", converter=us.converter(52, fixed_loads=True), motors=motors)
    assert us.step(us.ask(less), "disconnect/least_a") == pytest.approx(59.8)


def test_other_output_voltage_scales_what_loads_ask(us: Any) -> None:
    """480 V out of 240 V: 2.5 x 7.6 x 480 / 240 = 38 A; 2 x 46 x 2 = 184 A: 7-1/2 hp (240 A)."""
    converter = us.converter(60, fixed_loads=True, output_voltage=us.figure(480))
    motor = us.motor(5, 6.6, voltage=us.figure(460))
    answer = us.ask(us.single(role="supply", converter=converter, motors=(motor,)))
    assert us.step(answer, "design_current_a") == pytest.approx(38)
    assert us.step(answer, "disconnect/least_a") == pytest.approx(38)
    assert us.step(answer, "disconnect/switch_locked_rotor_a") == pytest.approx(184)
    assert us.step(answer, "disconnect/switch_hp") == 7.5


def test_cord_of_a_welder_goes_by_the_welder(us: Any) -> None:
    """40 A at 50 %: 28.4 A: 30 A receptacle and 10 AWG cord (30 A), whatever the device."""
    welder = us.load(40, kind="welder", duty_cycle=us.figure(0.5))
    answer = us.ask(us.single(loads=(welder,), cord=True))
    assert us.step(answer, "cord/receptacle_least_a") == pytest.approx(28.4)
    assert us.step(answer, "cord/receptacle") == "6-30R"
    assert us.step(answer, "cord/size") == "10 AWG"
    both = us.ask(us.single(loads=(welder, us.load(5, id="b/0")), cord=True))
    assert us.step(both, "cord/receptacle_least_a") == pytest.approx(34.65)


def test_cord_of_a_heater_bears_its_device(us: Any) -> None:
    """240.5: 25 A continuous, 35 A device: 8 AWG (40 A); at 40 C 6 AWG, 55 x 0.82 = 45.1 A."""
    demand = us.single(loads=(us.load(25),), cord=True)
    assert us.step(us.ask(demand), "cord/size") == "8 AWG"
    warm = us.ask(demand, us.site(ambient="40 degC"))
    assert us.step(warm, "cord/size") == "6 AWG"
    assert us.step(warm, "cord/ampacity_a") == pytest.approx(45.1)


@pytest.mark.parametrize(("volts", "covered"), [(150, True), (151, False)])
def test_ground_fault_rules_reach_to_150_v(us: Any, volts: float, *, covered: bool) -> None:
    legs = (us.figure(120), us.figure(volts))
    answer = us.ask(us.single(loads=(us.load(10),), cord=True, voltage_to_earth=legs))
    assert ("protection.ground-fault-receptacle" in us.codes(answer)) is covered
    asked = {one.code for one in answer.questions}
    assert ("authority.ground-fault-receptacle" in asked) is not covered


def test_cord_without_known_legs_is_covered(us: Any) -> None:
    answer = us.ask(us.demand(phases=1, loads=(us.load(10),), cord=True))
    assert "protection.ground-fault-receptacle" in us.codes(answer)


def test_welder_with_a_marked_effective_current(us: Any) -> None:
    welder = us.load(40, kind="welder", effective_current=us.figure(22))
    assert us.step(us.ask(us.single(loads=(welder,))), "design_current_a") == 22


def test_the_ceiling_of_a_welder_goes_by_its_largest_current(us: Any) -> None:
    """630.12(A): 2 x 45 A of I1max = 90 A; without that mark 2 x 40 A = 80 A."""
    for marked, ceiling in ((us.figure(45), 90), (None, 80)):
        welder = us.load(40, kind="welder", largest_current=marked, duty_cycle=us.figure(0.5))
        answer = us.ask(us.single(loads=(welder,)))
        assert us.step(answer, "protective_device/ceiling/rating_a") == ceiling
        assert us.step(answer, "protective_device/load_a") == 40


def test_a_duty_between_two_rows_counts_as_the_longer(us: Any) -> None:
    """40 A at 55 %: the row of 60 %, 0.78: 31.2 A; at exactly 50 % 0.71: 28.4 A."""
    for duty, amps in ((0.55, 31.2), (0.5, 28.4)):
        welder = us.load(40, kind="welder", duty_cycle=us.figure(duty), construction="arc")
        answer = us.ask(us.single(loads=(welder,)))
        assert us.step(answer, "design_current_a") == pytest.approx(amps)


def test_a_group_of_welders(us: Any) -> None:
    """50, 40, 30, 20, 20, 10 A marked: 50 + 40 + 0.85 x 30 + 0.7 x 20 + 0.6 x 20 + 0.6 x 10.

    147.5 A; the device carries that and has no ceiling of its own.
    """
    welders = tuple(
        us.load(amps, kind="welder", id=f"w{n}/0", effective_current=us.figure(amps))
        for n, amps in enumerate((30, 50, 20, 40, 10, 20))
    )
    answer = us.ask(us.single(loads=welders))
    assert us.step(answer, "design_current_a") == pytest.approx(147.5)
    assert us.step(answer, "protective_device/load_a") == pytest.approx(147.5)
    few = tuple(
        us.load(amps, kind="welder", id=f"w{n}/0", effective_current=us.figure(5))
        for n, amps in enumerate((30, 50))
    )
    assert us.step(us.ask(us.single(loads=few)), "protective_device/load_a") == 50


def test_a_welder_that_no_device_suits_names_its_clause(us: Any) -> None:
    """I1max of 10 A: at most 20 A; the rated 40 A are not carried."""
    welder = us.load(40, kind="welder", largest_current=us.figure(10))
    (said,) = [one for one in us.ask(us.single(loads=(welder,))).findings
               if one.severity == "blocks"]  # fmt: skip
    assert (said.code, said.rule) == ("protection.device-too-small", "nec.630.12(A)")


def test_welder_without_a_duty_cycle_counts_in_full(us: Any) -> None:
    welder = us.load(40, kind="welder")
    answer = us.ask(us.single(loads=(welder,)))
    assert us.step(answer, "design_current_a") == 40
    assert any(one.field.endswith("duty_cycle") for one in answer.questions)


def test_switch_at_exactly_its_rating(us: Any) -> None:
    """24 A continuous asks for 30 A: the 30 A switch suffices; 24.1 A does not."""
    for amps, rating in ((24, 30), (24.1, 60)):
        circuit = us.ask(us.single(loads=(us.load(amps),))).circuit
        assert circuit.disconnect.rating_a == rating


def test_an_unknown_limit_of_the_drive_is_asked_for(us: Any) -> None:
    for limit, asked in ((None, True), (us.figure(60), False)):
        drive = us.converter(28, id="d", method="drive", kind="drive", largest_device=limit)
        demand = us.single(role="supply", converter=drive, motors=(us.motor(5, 13),))
        questions = {one.code for one in us.ask(demand).questions}
        assert ("authority.drive-input-device" in questions) is asked


def test_a_heater_behind_a_drive_is_an_ordinary_load(us: Any) -> None:
    drive = us.converter(28, id="d", method="drive", kind="drive")
    answer = us.ask(us.demand(converter=drive, loads=(us.load(10),)))
    assert us.step(answer, "design_current_a") == 12.5


def test_a_supply_without_a_converter_has_no_window(us: Any) -> None:
    answer = us.ask(us.single(role="supply", motors=(us.motor(5, 13),)))
    assert answer.windows == ()
    assert "plan.equipment-approval" not in us.codes(answer)


def test_a_smaller_plate_may_bring_unmarked_terminals_below_the_border(us: Any) -> None:
    """Drive of 90 A: 2 AWG by the 75 C column; by that of 60 C it has 95 A: 100/1.25 = 80 A."""
    drive = us.converter(90, id="d", method="drive", kind="drive")
    demand = us.single(role="supply", converter=drive, motors=(us.motor(40, 100),))
    for mark, smallest in ((None, 80.0), ("75 degC", 0.0)):
        answer = us.ask(demand, us.site(terminals=mark))
        (found,) = answer.windows
        assert answer.circuit.conductor.size == "2 AWG"
        assert found.smallest_input_current_a == smallest
        rules = {one.path.rpartition("/")[2]: one.rule for one in answer.circuit.steps}
        assert rules.get("terminals_least_a", "nec.110.14(C)") == "nec.110.14(C)"


@pytest.mark.parametrize("plate", [84, 80])
def test_below_the_border_a_smaller_plate_brings_nothing(us: Any, plate: float) -> None:
    """84 A: 105 A, 110 A device, but a 100 A switch; 80 A: 100 A exactly. Both read 60 C."""
    drive = us.converter(plate, id="d", method="drive", kind="drive")
    demand = us.single(role="supply", converter=drive, motors=(us.motor(40, 100),))
    answer = us.ask(demand, us.site(terminals=None))
    assert us.step(answer, "conductor/terminal_c") == 60
    assert answer.windows[0].smallest_input_current_a == 0.0


def test_the_edges_of_a_window_name_all_that_bounds_them(us: Any) -> None:
    """90 A, unmarked: upward conductor, device and switch, downward device and terminals."""
    demand = us.single(role="supply", converter=us.converter(90))
    answer = us.ask(demand, us.site(terminals=None))
    steps = {one.path.rpartition("/window/")[2]: one for one in answer.circuit.steps}
    assert steps["largest_input_current_a"].formula == "min(conductor, device, disconnect)"
    assert steps["smallest_input_current_a"].formula == "max(device, terminals)"
    assert steps["smallest_input_current_a"].rule == "nec.455.7"
    assert steps["terminals_least_a"].value == 80.0
    motors = (us.motor(5, 13), us.motor(3, 9, id="b/0"))
    fixed = us.single(role="supply", converter=us.converter(48, fixed_loads=True), motors=motors)
    steps = {one.path.rpartition("/window/")[2]: one for one in us.ask(fixed).circuit.steps}
    assert steps["largest_input_current_a"].formula == "min(device, disconnect)"


def test_a_welder_may_have_twice_the_ampacity_ahead(us: Any) -> None:
    """50 A at 20 %: 22.5 A: 12 AWG (25 A at 75 C); 2 x 25 = 50 A, the device, is allowed."""
    welder = us.load(50, kind="welder", duty_cycle=us.figure(0.2), construction="arc")
    circuit = us.ask(us.single(loads=(welder,))).circuit
    assert (circuit.conductor.size, circuit.protective_device.rating_a) == ("12 AWG", 50)
    larger = us.load(51, kind="welder", duty_cycle=us.figure(0.2), construction="arc")
    circuit = us.ask(us.single(loads=(larger,))).circuit
    assert (circuit.conductor.size, circuit.protective_device.rating_a) == ("10 AWG", 60)


def window(us: Any, plate: float, **more: Any) -> Any:
    site = us.site(terminals=more.pop("terminals", None))
    converter = us.converter(plate, fixed_loads=more.pop("fixed", False))
    motors = tuple(us.motor(hp, 1, id=f"m{hp}/0") for hp in more.pop("hp", ()))
    demand = us.single(role="supply", converter=converter, motors=motors, **more)
    (found,) = us.ask(demand, site).windows
    return found


def test_window_with_the_terminal_column_of_the_smallest_end(us: Any) -> None:
    """90 A: 2 AWG by the 75 C column (115 A), 125 A device, 200 A switch.

    Upward 115/1.25 = 92 A; downward the device to 110/1.25 = 88 A, the column to 100/1.25 = 80 A.
    """
    found = window(us, 90)
    assert (found.part, found.largest_input_current_a) == ("conductor", 92.0)
    assert found.smallest_input_current_a == 88.0


def test_window_where_loads_bound_every_part(us: Any) -> None:
    """82 A plate, 5 and 3 hp: 62 A whatever the plate; a 70 A device down to 60/1.25 = 48 A.

    Upward nothing gives way before the last standard rating, 6000/1.25 = 4800 A.
    """
    found = window(us, 82, fixed=True, hp=(5, 3), terminals="75 degC")
    assert found.part == "device"
    assert found.largest_input_current_a == 4800.0
    assert found.smallest_input_current_a == 48.0


def test_window_where_the_plate_governs_and_loads_come_later(us: Any) -> None:
    """48 A plate: 60 A; loads ask 62 A at most: 6 AWG carries 65 A and never gives way.

    The 60 A device gives way at 60/1.25 = 48 A, the 60 A switch at 60/1.15 = 52.2 A.
    """
    found = window(us, 48, fixed=True, hp=(5, 3), terminals="75 degC")
    assert (found.part, found.largest_input_current_a) == ("device", 48.0)
