"""Single clause groups, where their whole answer is easiest to see."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest

from ampwright.families.nec.book import horsepower, read_book, size_key, size_name
from ampwright.families.nec.grounding import by_device, increased, smallest_of_area
from ampwright.families.nec.motor import voltage_column
from ampwright.families.nec.ratings import ceiling_up, next_down, next_up
from ampwright.region import CircuitAnswer
from ampwright.step import Figure

PLACE = "options/x/circuits/c"


def figure(value: float) -> Figure:
    return Figure(float(value), "case/given")


def codes(answer: CircuitAnswer) -> set[str]:
    return {one.code for one in answer.findings}


def assumed(answer: CircuitAnswer) -> set[str]:
    return {one.code for one in answer.assumptions}


def step(answer: CircuitAnswer, name: str) -> Any:
    assert answer.circuit is not None, answer.findings
    return next(one.value for one in answer.circuit.steps if one.path == f"{PLACE}/{name}")


@pytest.mark.parametrize(
    ("key", "value"), [("7-1/2", 7.5), ("1/2", 0.5), ("10", 10.0), ("1-1/2", 1.5), ("3/4", 0.75)]
)
def test_horsepower_keys(key: str, value: float) -> None:
    assert horsepower(key) == value


@pytest.mark.parametrize(
    ("key", "name"), [("14", "14 AWG"), ("4/0", "4/0 AWG"), ("250", "250 kcmil"), ("1", "1 AWG")]
)
def test_size_names(key: str, name: str) -> None:
    assert size_name(key) == name
    assert size_key(name) == key


def test_next_sizes(us: Any) -> None:
    book = us.code.book
    assert next_up(book, 60) == 60
    assert next_up(book, 60 * (1 + 1e-12)) == 60
    assert next_up(book, 60.0001) == 70
    assert next_up(book, 6001) == float("inf")
    assert ceiling_up(book, 6001) == 6000
    assert next_down(book, 59.999) == 50
    assert next_down(book, 9.9) == 0
    assert next_up(book, 2, "fuse") == 3


def test_an_unknown_edition(us: Any) -> None:
    with pytest.raises(KeyError):
        read_book(us.code.folder, "1897")


@pytest.mark.parametrize(
    ("volts", "column"),
    [
        (115, "v115"), (120, "v115"), (200, "v200"), (208, "v208"), (220, "v230"), (240, "v230"),
        (440, "v460"), (480, "v460"), (575, "v575"), (600, "v575"), (400, None), (380, None),
    ],
)  # fmt: skip
def test_voltage_columns(us: Any, volts: float, column: str | None) -> None:
    assert voltage_column(us.code.book, volts) == column


# motors


def test_a_motor_beside_the_tables_goes_by_its_plate(us: Any) -> None:
    for changes in (
        {"voltage": figure(400)},
        {"speed": figure(1199)},
        {"multispeed": True},
        {"power": figure(100)},
        {"power": figure(1e6)},
        {"hermetic": True},
    ):
        answer = us.ask(us.demand(motors=(us.motor(5, 11.0, **changes),)))
        assert step(answer, "motors/saw/0/full_load_current_a") == 11.0, changes
        assert "motor.current-from-plate" in assumed(answer)
    plain = us.ask(us.demand(motors=(us.motor(5, 11.0, speed=figure(1200)),)))
    assert step(plain, "motors/saw/0/full_load_current_a") == 15.2
    assert "motor.current-from-plate" not in assumed(plain)


def test_a_plate_current_that_is_none_is_asked_for(us: Any) -> None:
    known = us.motor(5, 11.0, voltage=figure(400))
    guessed = us.motor(5, 11.0, voltage=figure(400), current_known="derived")
    for motor, asked in ((known, False), (guessed, True)):
        answer = us.ask(us.demand(motors=(motor,)))
        fields = {one.field for one in answer.questions}
        assert ("machines.saw.motors.current" in fields) is asked


def test_746_w_is_one_horsepower(us: Any) -> None:
    answer = us.ask(us.demand(motors=(us.motor(1, 4.0, power=figure(5 * 746)),)))
    assert step(answer, "motors/saw/0/full_load_current_a") == 15.2
    assert "motor.current-interpolated" not in assumed(answer)


@pytest.mark.parametrize(
    ("duty", "percent"),
    [("S2 5 min", 110), ("S2 10 min", 120), ("S2 60 min", 150), ("S2", 150), ("S4", 140),
     ("S9", 200)],
)  # fmt: skip
def test_duty_classes(us: Any, duty: str, percent: float) -> None:
    answer = us.ask(us.demand(motors=(us.motor(5, 10.0, duty=duty),)))
    assert step(answer, "design_current_a") == pytest.approx(percent / 10)


def test_duty_motor_among_others(us: Any) -> None:
    """S3 motor with 14 A plate counts 19.6 A; 10 hp 35 A: 35 + 19.6 = 54.6 A."""
    motors = (us.motor(5, 14.0, duty="S3"), us.motor(10, 26, id="b/0"))
    answer = us.ask(us.demand(role="output", motors=motors))
    assert step(answer, "design_current_a") == pytest.approx(54.6)


def test_locked_rotor_from_table_or_six_times(us: Any) -> None:
    table = us.ask(us.demand(motors=(us.motor(5, 13),)))
    assert step(table, "motors/saw/0/locked_rotor_current_a") == 92
    between = us.ask(us.demand(motors=(us.motor(6, 13),)))
    assert step(between, "motors/saw/0/locked_rotor_current_a") == 127
    beyond = us.ask(us.demand(motors=(us.motor(5, 13, voltage=figure(400)),)))
    assert step(beyond, "motors/saw/0/locked_rotor_current_a") == pytest.approx(78)
    assert "motor.locked-rotor-six-times" in assumed(beyond)


def test_wound_rotor_has_a_lower_ceiling(us: Any) -> None:
    """150 % of 28 A is 42 A: 45 A."""
    answer = us.ask(us.demand(motors=(us.motor(10, 26, wound_rotor=True),)))
    assert step(answer, "protective_device/ceiling/rating_a") == 45


def test_above_100_a_the_raised_ceiling_is_300_per_cent(us: Any) -> None:
    """50 hp, 130 A: 390 A, down to 350 A; 2.5 x 130 = 325 A, up to 350 A: nothing to raise."""
    answer = us.ask(us.demand(motors=(us.motor(50, 120),)))
    assert step(answer, "protective_device/ceiling/rating_a") == 350
    assert step(answer, "protective_device/ceiling/raised_percent") == 300
    with pytest.raises(StopIteration):
        step(answer, "protective_device/ceiling/raised_a")


def test_start_time_is_assumed_where_none_was_reckoned(us: Any) -> None:
    motors = (us.motor(5, 13),)
    assert "motor.start-time" in assumed(us.ask(us.demand(motors=motors)))
    known = us.ask(us.demand(motors=motors, starting_time=figure(2)))
    assert "motor.start-time" not in assumed(known)


def test_a_start_stated_larger_governs(us: Any) -> None:
    answer = us.ask(us.demand(motors=(us.motor(5, 13),), starting_current=figure(120)))
    assert step(answer, "protective_device/start/current_a") == 120
    lower = us.ask(us.demand(motors=(us.motor(5, 13),), starting_current=figure(50)))
    assert step(lower, "protective_device/start/current_a") == 92


def test_worst_start_with_the_others_running(us: Any) -> None:
    """10 hp locked 162 A with 5 hp running 15.2 A and 12 A of heat: 189.2 A; before 55.2 A."""
    motors = (us.motor(5, 13), us.motor(10, 26, id="b/0"))
    answer = us.ask(us.demand(role="output", motors=motors, loads=(us.load(12),)))
    assert step(answer, "protective_device/start/current_a") == pytest.approx(189.2)
    assert step(answer, "protective_device/start/before_a") == pytest.approx(55.2)


def test_overload_that_trips_while_running(us: Any) -> None:
    """10 A plate at 115 %: 11.5 A; a leg of 11.6 A trips it, 11.5 A does not."""
    for leg, trips in ((11.6, True), (11.5, False)):
        motor = us.motor(3, 10.0, service_factor=None, largest_leg=figure(leg))
        answer = us.ask(us.demand(motors=(motor,)))
        assert ("protection.overload-trips-running" in codes(answer)) is trips


def test_feeders_have_neither_overload_nor_switch(us: Any) -> None:
    circuit = us.ask(us.demand(role="output", motors=(us.motor(5, 13),))).circuit
    assert circuit.overloads == ()
    assert circuit.disconnect is None


# conductors and raceways


def test_wet_places_and_their_insulation(us: Any) -> None:
    demand = us.demand(motors=(us.motor(5, 13),))
    buried = us.site(installation="buried-conduit", insulation="THHN")
    assert "conductor.insulation-unfit" in codes(us.ask(demand, buried))
    answer = us.ask(demand, us.site(installation="buried-conduit"))
    assert answer.circuit.raceway.kind == "PVC-40"
    assert answer.circuit.conductor.insulation == "THWN-2"
    warm = us.site(installation="buried-conduit", soil_temperature="20 degC")
    assert step(us.ask(demand, warm), "conditions/ambient_c") == 20


def test_converter_place_heats_what_ends_there(us: Any) -> None:
    site = us.site(converter_place={"ambient": "45 degC"})
    motors = (us.motor(5, 13),)
    assert step(us.ask(us.demand(role="output", motors=motors), site), "conditions/ambient_c") == 45
    assert step(us.ask(us.demand(motors=motors), site), "conditions/ambient_c") == 30


def test_nonmetallic_cable_keeps_to_60_c(us: Any) -> None:
    """31.25 A: NM-B 8 AWG by the 60 C column (40 A), although marked 75 C."""
    site = us.site(installation="cable", insulation="NM-B")
    answer = us.ask(us.single(loads=(us.load(25),)), site)
    assert step(answer, "conductor/terminal_c") == 60
    assert answer.circuit.raceway is None


def test_too_hot_for_any(us: Any) -> None:
    answer = us.ask(us.demand(motors=(us.motor(5, 13),)), us.site(ambient="88 degC"))
    assert "conductor.too-hot" in codes(answer)


@pytest.mark.parametrize(
    ("marked", "column"), [("60 degC", 60), ("74 degC", 60), ("75 degC", 75), ("85 degC", 75),
                           ("90 degC", 90), ("105 degC", 90), ("50 degC", 60)],
)  # fmt: skip
def test_terminals_marked_between_two_columns(us: Any, marked: str, column: float) -> None:
    answer = us.ask(us.single(loads=(us.load(25),)), us.site(terminals=marked))
    assert step(answer, "conductor/terminal_c") == column


@pytest.mark.parametrize(("ambient", "factor"), [("30", 1.0), ("30.2", 0.96), ("35", 0.96)])
def test_ambient_between_two_bands(us: Any, ambient: str, factor: float) -> None:
    answer = us.ask(us.single(loads=(us.load(25),)), us.site(ambient=f"{ambient} degC"))
    assert step(answer, "conductor/ambient_factor") == factor


def test_trunking_states_its_area(us: Any) -> None:
    """3 x 0.0097 + 0.0097 in2 of 14 AWG over a fifth: 0.194 in2."""
    site = us.site(installation="trunking")
    answer = us.ask(us.demand(motors=(us.motor(5, 13),)), site)
    assert step(answer, "raceway/needed_in2") == pytest.approx(0.194)
    assert answer.circuit.raceway is None


def test_raceway_that_is_not_tabulated(us: Any) -> None:
    answer = us.ask(us.demand(motors=(us.motor(5, 13),)), us.site(raceway="bamboo"))
    assert "plan.rule-not-checked" in codes(answer)
    assert answer.circuit is not None


@pytest.mark.parametrize(
    ("kind", "size"), [("EMT", "1/2"), ("IMC", "1/2"), ("PVC-80", "1/2"), ("RMC", "1/2")]
)
def test_raceway_as_stated(us: Any, kind: str, size: str) -> None:
    circuit = us.ask(us.demand(motors=(us.motor(5, 13),)), us.site(raceway=kind)).circuit
    assert (circuit.raceway.kind, circuit.raceway.size) == (kind, size)
    assert circuit.raceway.limit_fraction == 0.4


def test_grouped_circuits_share_the_raceway(us: Any) -> None:
    """Two circuits of 3 + 1 conductors 14 AWG: 8 x 0.0097 = 0.0776 of 0.304 in2."""
    circuit = us.ask(us.demand(motors=(us.motor(3, 9),)), us.site(grouped_circuits=2)).circuit
    assert circuit.conductor.size == "14 AWG"
    assert circuit.raceway.fill_fraction == pytest.approx(0.0776 / 0.304)


# grounding


def test_grounding_conductor_rows(us: Any) -> None:
    book = us.code.book
    assert by_device(book, 10, "cu") == ("15", "14")
    assert by_device(book, 60, "cu") == ("60", "10")
    assert by_device(book, 61, "al") == ("100", "6")
    assert by_device(book, 7000, "cu") is None


def test_never_larger_than_the_phase_conductor(us: Any) -> None:
    assert increased(us.code.book, "10", "14", "14") == "14"
    assert increased(us.code.book, "10", "8", "8") == "10"
    assert smallest_of_area(us.code.book, 4111) == "12"
    assert smallest_of_area(us.code.book, 1e8) is None


# faults


@pytest.mark.parametrize(
    ("legs", "volts", "rating"),
    [
        ((120, 120), 240, 120),
        ((127, 127), 240, 120),
        ((120, 120, 208), 240, 240),
        ((277, 277, 277), 480, 277),
        ((240, 240, 416), 480, 480),
        ((0, 120), 120, 120),
        ((208, 208), 208, 240),
    ],
)
def test_breaker_voltage(us: Any, legs: tuple[float, ...], volts: float, rating: float) -> None:
    demand = us.single(
        loads=(us.load(10),), voltage=figure(volts),
        voltage_to_earth=tuple(figure(one) for one in legs),
    )  # fmt: skip
    assert us.ask(demand).circuit.protective_device.rating_v == rating


def test_no_breaker_bears_more_than_600_v(us: Any) -> None:
    demand = us.single(loads=(us.load(10),), voltage_to_earth=(figure(800),))
    assert "supply.leg-voltage-to-earth" in codes(us.ask(demand))
    assert us.ask(demand).circuit is None


def test_poles(us: Any) -> None:
    one = us.single(loads=(us.load(10),), voltage=figure(120),
                    voltage_to_earth=(figure(120), figure(0)))  # fmt: skip
    assert us.ask(one).circuit.protective_device.poles == 1
    two = us.single(loads=(us.load(10),))
    assert us.ask(two).circuit.protective_device.poles == 2
    assert us.ask(us.demand(motors=(us.motor(5, 13),))).circuit.protective_device.poles == 3
    half = us.demand(phases=1, loads=(us.load(10),), voltage=figure(120))
    assert us.ask(half).circuit.protective_device.poles == 1
    whole = us.demand(phases=1, loads=(us.load(10),))
    assert us.ask(whole).circuit.protective_device.poles == 2


def test_smallest_fault_at_the_end(us: Any) -> None:
    """70 A at the head, 120 V: 120 / (120/70 + 12/304.8 x (3.1 + 3.1)) = 61.3 A on 14 AWG."""
    motors = (us.motor(5, 13),)
    answer = us.ask(us.made(motors=motors, fault_source=figure(70)))
    assert answer.circuit.fault_current_min_a == pytest.approx(61.275, rel=1e-4)
    assert "protection.made-leg-fault" in codes(answer)
    assert [one.id for one in answer.circuit.guards] == ["voltage-relay"]
    strong = us.ask(us.made(motors=motors, fault_source=figure(5000)))
    assert strong.circuit.guards == ()
    assert "protection.made-leg-fault" not in codes(strong)
    unknown = us.ask(us.made(motors=motors))
    assert unknown.circuit.fault_current_min_a is None
    assert "protection.made-leg-fault" in codes(unknown)
    assert us.ask(us.demand(motors=motors)).circuit.guards == ()


def test_fault_level_not_known(us: Any) -> None:
    answer = us.ask(us.single(loads=(us.load(10),), fault_largest=None))
    assert "protection.fault-level" in codes(answer)
    assert answer.circuit.protective_device.breaking_capacity_a is None
    assert answer.circuit.fault_current_a is None


# drop


def test_drop_ahead_counts(us: Any) -> None:
    """1 % here and 4.5 % ahead is more than 5 % together."""
    demand = us.single(
        loads=(us.load(10, continuous=False),), length=figure(20), running_current=figure(10),
        power_factor=figure(1),
    )  # fmt: skip
    assert step(us.ask(demand), "voltage_drop_fraction") < 0.03
    assert "feeder.voltage-drop" not in codes(us.ask(demand))
    behind = us.single(
        loads=(us.load(10, continuous=False),), length=figure(20), running_current=figure(10),
        power_factor=figure(1), drop_ahead=figure(0.045),
    )  # fmt: skip
    assert "feeder.voltage-drop" in codes(us.ask(behind))


def test_drop_names_the_size_that_keeps_the_recommendation(us: Any) -> None:
    """25 A over 60 m, 8 AWG 3.2 %: 6 AWG with 0.49 ohm/kft gives 2.0 %."""
    demand = us.single(
        loads=(us.load(25),), length=figure(60), running_current=figure(25),
        power_factor=figure(1),
    )  # fmt: skip
    answer = us.ask(demand)
    finding = next(one for one in answer.findings if one.code == "feeder.voltage-drop")
    assert {one.name: one.value for one in finding.parameters}["size"] == "6"
    assert answer.circuit.conductor.size == "8 AWG"


def test_reactance_follows_the_frequency(us: Any) -> None:
    motors = (us.motor(50, 120),)
    common = {"motors": motors, "running_current": figure(130), "power_factor": figure(0.1)}
    at = [
        step(us.ask(us.demand(frequency=figure(hz), **common)), "voltage_drop_fraction")
        for hz in (50, 60)
    ]
    assert at[0] < at[1]


def test_starting_drop_with_an_assumed_power_factor(us: Any) -> None:
    demand = us.demand(motors=(us.motor(5, 13),), starting_current=figure(92))
    assert step(us.ask(demand), "starting_power_factor") == 0.4
    known = us.demand(
        motors=(us.motor(5, 13),), starting_current=figure(92), starting_power_factor=figure(0.5)
    )
    with pytest.raises(StopIteration):
        step(us.ask(known), "starting_power_factor")
    assert us.ask(us.demand(motors=(us.motor(5, 13),))).circuit.starting_drop_fraction is None


# cords, transformers, converters


def test_receptacle_of_a_heater_is_rated_like_its_circuit(us: Any) -> None:
    """25 A continuous: 35 A device: a 50 A receptacle; a motor of 19 A takes 20 A."""
    heater = us.ask(us.single(loads=(us.load(25),), cord=True))
    assert step(heater, "cord/receptacle") == "6-50R"
    assert "protection.ground-fault-receptacle" in codes(heater)
    motor = us.ask(us.made(motors=(us.motor(5, 13),), cord=True))
    assert step(motor, "cord/receptacle") == "15-20R"
    assert "protection.ground-fault-receptacle" not in codes(motor)
    assert "authority.ground-fault-receptacle" in {one.code for one in motor.questions}


def test_cord_in_the_heat(us: Any) -> None:
    """19 A at 40 C: 12 AWG 20 x 0.82 = 16.4 A falls short, 10 AWG 25 x 0.82 = 20.5 A does."""
    answer = us.ask(us.made(motors=(us.motor(5, 13),), cord=True), us.site(ambient="40 degC"))
    assert step(answer, "cord/size") == "10 AWG"


def test_no_cord_that_large(us: Any) -> None:
    answer = us.ask(us.made(motors=(us.motor(50, 120),), cord=True))
    finding = next(one for one in answer.findings if one.code == "protection.plug-rating")
    values = {one.name: one.value for one in finding.parameters}
    assert (values["receptacle"], values["cord"]) == ("", "")


@pytest.mark.parametrize(("amps", "ceiling"), [(9, 15), (20, 25), (100, 125)])
def test_transformer_rounds_up_from_9_a(us: Any, amps: float, ceiling: float) -> None:
    load = us.load(amps, kind="transformer", continuous=False)
    answer = us.ask(us.single(loads=(load,)))
    assert step(answer, "protective_device/ceiling/rating_a") == ceiling


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
    assert step(answer, "design_current_a") == 12.5
    assert "converter.fixed-loads" not in assumed(answer)


def test_fixed_loads_without_any_known(us: Any) -> None:
    demand = us.single(role="supply", converter=us.converter(10, fixed_loads=True))
    assert step(us.ask(demand), "design_current_a") == 12.5


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
    assert step(supply, "protective_device/ceiling/drive_a") == 45
    output = us.ask(us.demand(converter=drive, motors=motors))
    assert step(output, "design_current_a") == pytest.approx(28.6)
    assert step(output, "disconnect/least_a") == pytest.approx(1.15 * 24.8)


def test_drive_window(us: Any) -> None:
    """28 A: 10 AWG to 28 A, 35 A device to 28 A, a 60 A switch to 52.2 A; any smaller plate."""
    drive = us.converter(28, id="d", method="drive", kind="drive")
    demand = us.single(role="supply", converter=drive, motors=(us.motor(5, 13),))
    (window,) = us.ask(demand).windows
    assert window.largest_input_current_a == 28
    assert window.smallest_input_current_a == 0


def test_welder_with_a_marked_effective_current(us: Any) -> None:
    welder = us.load(40, kind="welder", effective_current=figure(22))
    assert step(us.ask(us.single(loads=(welder,))), "design_current_a") == 22


def test_welder_without_a_duty_cycle_counts_in_full(us: Any) -> None:
    welder = us.load(40, kind="welder")
    answer = us.ask(us.single(loads=(welder,)))
    assert step(answer, "design_current_a") == 40
    assert any(one.field.endswith("duty_cycle") for one in answer.questions)
