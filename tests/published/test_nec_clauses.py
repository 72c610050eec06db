"""Clauses of the National Electrical Code, each reckoned by hand beside the test.

The clause text behind each figure is known as the region's `rules.csv` says (NFPA 70, as
reproduced on public web pages and from memory); table values are those of the region's tables,
written out here by hand so that a changed cell is noticed.
"""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest

from ampwright.families.nec.book import HORSEPOWER_W
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import (
    CircuitAnswer,
    CircuitDemand,
    ConverterInput,
    LoadDemand,
    MotorDemand,
    ServiceDemand,
)
from ampwright.regions.us import ampwright_regions
from ampwright.step import Figure

PLACE = "options/x/circuits/c"
(US,) = ampwright_regions()
SUPPLY = Supply(
    arrangement="split-phase", voltage="240 V", frequency="60 Hz", rating="100 A",
    existing_load="20 A",
)  # fmt: skip


def figure(value: float) -> Figure:
    return Figure(float(value), "case/given")


def motor(hp: float, plate: float = 10.0, *, name: str = "m", **more: Any) -> MotorDemand:
    stated: dict[str, Any] = {
        "id": f"{name}/0", "machine": name, "phases": 3, "power": figure(hp * HORSEPOWER_W),
        "voltage": figure(230), "current": figure(plate), "speed": figure(1750),
        "locked_rotor_current": figure(0.1),
    }  # fmt: skip
    return MotorDemand(**(stated | more))


def load(amps: float, **more: Any) -> LoadDemand:
    stated: dict[str, Any] = {
        "id": "l/0", "machine": "l", "kind": "resistive", "phases": 1, "current": figure(amps),
        "continuous": True,
    }  # fmt: skip
    return LoadDemand(**(stated | more))


def circuit(phases: int = 3, **more: Any) -> CircuitDemand:
    stated: dict[str, Any] = {
        "id": "c", "role": "branch", "feeds": ("m",), "phases": phases, "voltage": figure(240),
        "frequency": figure(60), "length": figure(10), "running_current": figure(1),
        "power_factor": figure(0.85), "fault_largest": figure(5000),
        "starting_time": figure(1),
    }  # fmt: skip
    return CircuitDemand(**(stated | more))


def converter(amps: float, **more: Any) -> ConverterInput:
    stated: dict[str, Any] = {
        "id": "k", "method": "rotary", "kind": "phase-converter", "current": figure(amps),
        "given": True, "output_voltage": figure(240), "fixed_loads": False,
    }  # fmt: skip
    return ConverterInput(**(stated | more))


def supply(amps: float, **more: Any) -> CircuitDemand:
    return circuit(1, role="supply", feeds=("k",), converter=converter(amps), **more)


def ask(
    demand: CircuitDemand, *, terminals: str | None = "75 degC", edition: str = "2023", **site: Any
) -> CircuitAnswer:
    stated = {"ambient": "30 degC", "terminals": terminals, **site}
    return US.in_edition(edition).circuit(demand, Site(**stated), SUPPLY, PLACE)


def step(answer: CircuitAnswer, name: str) -> Any:
    assert answer.circuit is not None, answer.findings
    return next(one.value for one in answer.circuit.steps if one.path == f"{PLACE}/{name}")


def codes(answer: CircuitAnswer) -> set[str]:
    return {one.code for one in answer.findings}


def sizes(answer: CircuitAnswer) -> tuple[str, float | None, str]:
    """Return conductor, device and grounding conductor."""
    one = answer.circuit
    assert one is not None, answer.findings
    assert one.protective_conductor is not None
    return one.conductor.size, one.protective_device.rating_a, one.protective_conductor.size


def test_430_22_ten_horsepower() -> None:
    """28 A x 1.25 = 35 A: 10 AWG carries 35 A at 75 C; 10 hp plate current plays no part."""
    answer = ask(circuit(motors=(motor(10, 25.0),)))
    assert step(answer, "design_current_a") == 35.0
    assert sizes(answer)[0] == "10 AWG"


def test_430_6_interpolated_between_rows() -> None:
    """6 hp: 1/2.5 of the way from 5 hp (15.2 A) to 7-1/2 hp (22 A): 15.2 + 0.4 x 6.8 = 17.92."""
    answer = ask(circuit(motors=(motor(6),)))
    assert step(answer, "motors/m/0/full_load_current_a") == pytest.approx(17.92, rel=1e-9)


def test_430_6_low_speed_takes_the_plate() -> None:
    """870 r/min is below 1200: the plate's 17.5 A x 1.25 = 21.875 A, not the table's 15.2 A."""
    answer = ask(circuit(motors=(motor(5, 17.5, speed=figure(870)),)))
    assert step(answer, "design_current_a") == 21.875


def test_430_250_208_v_column() -> None:
    """5 hp at 208 V: 16.7 A x 1.25 = 20.875 A: 12 AWG (25 A at 75 C)."""
    answer = ask(circuit(motors=(motor(5, voltage=figure(208)),), voltage=figure(208)))
    assert step(answer, "design_current_a") == 20.875
    assert sizes(answer)[0] == "12 AWG"


def test_430_52_round_up_and_the_raised_ceiling() -> None:
    """10 hp: 2.5 x 28 = 70 A exactly; 4 x 28 = 112 A, down to 110 A where it does not start."""
    answer = ask(circuit(motors=(motor(10),)))
    assert step(answer, "protective_device/ceiling/rating_a") == 70
    assert step(answer, "protective_device/ceiling/raised_a") == 110


def test_430_52_device_carries_load_and_start() -> None:
    """10 hp, 162 A locked: first half cycle 1.4 x 162 / 5 = 45.4 A, so 50 A, within 70 A.

    Heating over 1 s: sqrt(162^2 (1 - q) + 28^2 q), q = exp(-1/41.7) = 0.976, is 37.3 A.
    """
    answer = ask(circuit(motors=(motor(10, locked_rotor_current=figure(162)),)))
    assert step(answer, "protective_device/start/peak_a") == pytest.approx(45.36)
    assert step(answer, "protective_device/start/heat_a") == pytest.approx(37.3, abs=0.1)
    assert sizes(answer)[1] == 50


def test_430_52_a_long_start_asks_for_the_raised_ceiling() -> None:
    """10 hp, 162 A for 20 s: q = 0.619; sqrt(162^2 x 0.381 + 28^2 x 0.619) = 102.4 A: 110 A."""
    one = motor(10, locked_rotor_current=figure(162))
    answer = ask(circuit(motors=(one,), starting_time=figure(20)))
    assert step(answer, "protective_device/start/heat_a") == pytest.approx(102.4, abs=0.1)
    assert sizes(answer)[1] == 110
    assert "protection.trips-at-start" not in codes(answer)


def test_430_52_no_ceiling_for_an_endless_start() -> None:
    """The same for 60 s: q = 0.237, 142 A, above 112 A: 110 A and the caution that it trips."""
    one = motor(10, locked_rotor_current=figure(162))
    answer = ask(circuit(motors=(one,), starting_time=figure(60)))
    assert sizes(answer)[1] == 110
    assert "protection.trips-at-start" in codes(answer)


def test_240_4_g_small_conductor_behind_a_large_motor_device() -> None:
    """5 hp: 19 A: 14 AWG (20 A at 75 C) although its device exceeds 15 A."""
    answer = ask(circuit(motors=(motor(5, locked_rotor_current=figure(92)),)))
    assert sizes(answer) == ("14 AWG", 30, "14 AWG")


def test_240_4_d_small_conductor_on_a_heater() -> None:
    """16 A continuous x 1.25 = 20 A: device 20 A; 14 AWG carries 20 A but is capped at 15 A."""
    assert sizes(ask(circuit(1, loads=(load(16),)))) == ("12 AWG", 20, "12 AWG")


def test_210_20_continuous_load() -> None:
    """25 A x 1.25 = 31.25 A: 35 A device; 10 AWG (35 A) is capped at 30 A, so 8 AWG."""
    assert sizes(ask(circuit(1, loads=(load(25),)))) == ("8 AWG", 35, "10 AWG")


def test_210_19_load_that_is_not_continuous() -> None:
    """25 A at 100 %: 25 A device, 10 AWG since 12 AWG (25 A) is capped at 20 A."""
    assert sizes(ask(circuit(1, loads=(load(25, continuous=False),)))) == ("10 AWG", 25, "10 AWG")


def test_110_14_unmarked_terminals_below_and_above_the_border() -> None:
    """Unmarked: 80 A x 1.25 = 100 A takes the 60 C column: 1 AWG (110 A). Marked 75 C: 3 AWG."""
    demand = circuit(1, loads=(load(80),))
    assert sizes(ask(demand, terminals=None))[0] == "1 AWG"
    assert sizes(ask(demand))[0] == "3 AWG"


def test_310_15_ambient_and_grouping_from_the_90_c_column() -> None:
    """52.5 A; 45 C: 0.87; two circuits of three: 0.80; 6 AWG 75 x 0.696 = 52.2 A: 4 AWG 66.12 A."""
    answer = ask(
        circuit(motors=(motor(15),), running_current=figure(42)),
        ambient="45 degC", grouped_circuits=2,
    )  # fmt: skip
    assert step(answer, "design_current_a") == 52.5
    assert sizes(answer)[0] == "4 AWG"
    assert step(answer, "conductor/ampacity_a") == pytest.approx(66.12, rel=1e-9)


def test_310_16_aluminum() -> None:
    """31.25 A and a 35 A device: aluminum 8 AWG carries 40 A at 75 C; 10 AWG 30 A does not."""
    answer = ask(circuit(1, loads=(load(25),)), conductor_material="aluminum")
    assert sizes(answer)[0] == "8 AWG"


def test_430_24_several_motors_and_a_heater() -> None:
    """10, 5 and 3 hp with 12 A of heat: 35 + 15.2 + 9.6 + 15 = 74.8 A: 4 AWG (85 A)."""
    motors = (motor(5, name="a"), motor(10, name="b"), motor(3, name="c"))
    answer = ask(circuit(motors=motors, loads=(load(12, phases=3),), role="output"))
    assert step(answer, "design_current_a") == pytest.approx(74.8, rel=1e-12)
    assert sizes(answer)[0] == "4 AWG"


def test_430_62_feeder_device_rounds_down() -> None:
    """10 hp: branch device at most 70 A; 70 + 15.2 + 9.6 = 94.8 A: 90 A at most."""
    motors = (motor(5, name="a"), motor(10, name="b"), motor(3, name="c"))
    answer = ask(circuit(motors=motors, role="output"))
    assert step(answer, "protective_device/ceiling/several_a") == 90


@pytest.mark.parametrize(
    ("more", "setting"),
    [
        ({"service_factor": figure(1.15)}, 12.5),
        ({"service_factor": figure(1.0)}, 11.5),
        ({"temperature_rise": figure(40)}, 12.5),
        ({"temperature_rise": figure(50)}, 11.5),
        ({}, 11.5),
    ],
)
def test_430_32_overload_by_plate_current(more: dict[str, Any], setting: float) -> None:
    """10 A plate: 12.5 A with a service factor of 1.15 or a rise of 40 C, else 11.5 A."""
    answer = ask(circuit(motors=(motor(3, 10.0, **more),)))
    assert step(answer, "overloads/m/0/setting_a") == pytest.approx(setting, rel=1e-12)


def test_430_37_three_units() -> None:
    answer = ask(circuit(motors=(motor(3),)))
    assert answer.circuit is not None
    assert [one.poles for one in answer.circuit.overloads] == [3]


def test_430_110_disconnect() -> None:
    """10 hp: 1.15 x 28 = 32.2 A: a 60 A switch, rated 10 hp."""
    answer = ask(circuit(motors=(motor(10),)))
    assert answer.circuit is not None
    assert answer.circuit.disconnect is not None
    assert step(answer, "disconnect/least_a") == pytest.approx(32.2, rel=1e-12)
    assert answer.circuit.disconnect.rating_a == 60
    assert answer.circuit.disconnect.power_w == pytest.approx(7456.998715822702, rel=1e-12)


def test_430_110_c_switch_for_two_motors() -> None:
    """5 and 3 hp: 24.8 A full load, as 10 hp (28 A); locked 92 + 64 = 156 A, as 10 hp (162 A)."""
    two = tuple(
        motor(hp, name=name, locked_rotor_current=None) for hp, name in ((5, "a"), (3, "b"))
    )
    answer = ask(circuit(motors=two))
    assert step(answer, "disconnect/locked_sum_a") == pytest.approx(156, rel=1e-12)
    assert step(answer, "disconnect/power_hp") == 10


def test_430_22_e_short_time_duty() -> None:
    """S2, 30 min: 150 % of the plate's 14 A = 21 A."""
    answer = ask(circuit(motors=(motor(5, 14.0, duty="S2 30 min"),)))
    assert step(answer, "design_current_a") == pytest.approx(21.0, rel=1e-12)


def test_430_22_e_intermittent_duty() -> None:
    """S3 on a motor for continuous duty: 140 % of 14 A = 19.6 A; S6 runs on: 1.25 x 15.2 = 19 A."""
    intermittent = ask(circuit(motors=(motor(5, 14.0, duty="S3 40 %"),)))
    assert step(intermittent, "design_current_a") == pytest.approx(19.6, rel=1e-12)
    running_on = ask(circuit(motors=(motor(5, 14.0, duty="S6 40 %"),)))
    assert step(running_on, "design_current_a") == 19.0


def test_440_hermetic_compressor() -> None:
    """20 A rated load: conductor 25 A; device 1.75 x 20 = 35 A, raised 2.25 x 20 = 45 A."""
    answer = ask(circuit(motors=(motor(5, 20.0, hermetic=True),)))
    assert step(answer, "design_current_a") == 25.0
    assert step(answer, "protective_device/ceiling/rating_a") == 35
    assert step(answer, "protective_device/ceiling/raised_a") == 45


def test_455_6_and_455_7_by_plate() -> None:
    """48 A plate: 60 A: 6 AWG (65 A), device 60 A; disconnect 55.2 A: a 60 A switch; EGC 10 AWG."""
    answer = ask(supply(48))
    assert sizes(answer) == ("6 AWG", 60, "10 AWG")
    assert answer.circuit is not None
    assert answer.circuit.disconnect is not None
    assert answer.circuit.disconnect.rating_a == 60


def test_455_window() -> None:
    """6 AWG to 65/1.25 = 52 A, 60 A to 48 A, switch to 60/1.15 = 52.2 A; from 50/1.25 = 40 A."""
    (window,) = ask(supply(48)).windows
    assert window.part == "device"
    assert window.largest_input_current_a == 48.0
    assert window.smallest_input_current_a == 40.0


def test_455_window_ends_where_the_terminal_column_changes() -> None:
    """84 A unmarked: 105 A in the 75 C column: 2 AWG (115 A), in the 60 C column only 95 A.

    At or below 100/1.25 = 80 A the lower column would hold: the window ends there, 80 A, though
    the device (110 A) would stay allowed down to 100/1.25 = 80 A too.
    """
    (window,) = ask(supply(84), terminals=None).windows
    assert window.smallest_input_current_a == 80.0


def test_455_6_b_marking_and_455_9() -> None:
    three = circuit(made_leg=True, motors=(motor(5),))
    assert "converter.made-leg-marking" in codes(ask(three))
    one = circuit(1, made_leg=True, loads=(load(5),))
    answer = ask(one)
    assert answer.circuit is None
    assert "converter.made-leg-single-phase-load" in codes(answer)


def drive(amps: float, hp: float, **more: Any) -> CircuitAnswer:
    made = converter(amps, id="d", method="drive", kind="drive", fixed_loads=True, **more)
    return ask(circuit(1, role="supply", feeds=("d",), converter=made, motors=(motor(hp),)))


def test_430_122_and_430_130_drive() -> None:
    """28 A in, 5 hp: conductor 35 A: 10 AWG; device 2.5 x 15.2 = 38, at most 40 A; 35 A carries."""
    answer = drive(28, 5)
    assert sizes(answer) == ("10 AWG", 35, "10 AWG")
    assert step(answer, "protective_device/ceiling/rating_a") == 40


def test_430_130_instructions_cap_the_device() -> None:
    """28 A in with instructions that allow 30 A: 30 A carries 28 A, below the 35 A of 125 %."""
    answer = drive(28, 5, largest_device=figure(30))
    assert sizes(answer)[1] == 30
    assert "drive.device-below-margin" in codes(answer)


def test_430_130_a_drive_that_no_device_serves() -> None:
    """28 A in with instructions that allow 25 A: no device carries it."""
    answer = drive(28, 5, largest_device=figure(25))
    assert answer.circuit is None
    assert "protection.device-too-small" in codes(answer)


def test_430_128_disconnect_of_a_drive() -> None:
    """1.15 x 28 = 32.2 A."""
    assert step(drive(28, 5), "disconnect/least_a") == pytest.approx(32.2, rel=1e-12)


def test_430_122_b_output_conductors() -> None:
    """1.25 x 15.2 = 19 A by the motor, whatever the drive draws."""
    made = converter(28, id="d", method="drive", kind="drive", fixed_loads=True)
    answer = ask(circuit(converter=made, motors=(motor(5, 13.2, service_factor=figure(1.15)),)))
    assert step(answer, "design_current_a") == 19.0
    assert answer.circuit is not None
    assert [one.setting_a for one in answer.circuit.overloads] == [pytest.approx(16.5)]


def test_450_3_transformer_primary() -> None:
    """20 A primary: 1.25 x 20 = 25 A. 5 A primary: 1.67 x 5 = 8.35 A, below every breaker."""
    large = ask(circuit(1, loads=(load(20, kind="transformer", continuous=False),)))
    assert step(large, "protective_device/ceiling/rating_a") == 25
    small = ask(circuit(1, loads=(load(5, kind="transformer", continuous=False),)))
    assert "transformer.primary-fuse" in codes(small)


def test_630_11_b_group_of_welders() -> None:
    """60 % duty, 40, 30 and 20 A: 0.78 x (40 + 30 + 0.85 x 20) = 67.86 A."""
    welders = tuple(
        load(amps, id=f"w{amps}/0", kind="welder", duty_cycle=figure(0.6), construction="arc")
        for amps in (20, 40, 30)
    )
    answer = ask(circuit(1, loads=welders))
    assert step(answer, "design_current_a") == pytest.approx(67.86, rel=1e-12)


def test_chapter_9_raceway() -> None:
    """Three 6 AWG and one 10 AWG THWN-2: 3 x 0.0507 + 0.0211 = 0.1732 in2; 3/4 EMT 0.533 in2."""
    answer = ask(circuit(motors=(motor(15),)))
    assert sizes(answer)[0] == "6 AWG"
    circuit_ = answer.circuit
    assert circuit_ is not None
    assert circuit_.raceway is not None
    assert circuit_.raceway.size == "3/4"
    assert circuit_.raceway.fill_fraction == pytest.approx(0.1732 / 0.533, rel=1e-9)


def test_chapter_9_drop() -> None:
    """60 m of 8 AWG copper in steel at 25 A, power factor 1: 2 x 25 x 60/304.8 x 0.78 = 7.68 V."""
    demand = circuit(
        1, loads=(load(25),), length=figure(60), running_current=figure(25),
        power_factor=figure(1),
    )  # fmt: skip
    answer = ask(demand)
    assert step(answer, "voltage_drop_fraction") == pytest.approx(7.677 / 240, rel=1e-3)
    assert "feeder.voltage-drop" in codes(answer)


def test_240_85_straight_rated_breaker_on_the_made_leg() -> None:
    """120, 120 and 208 V to ground: a 120/240 V breaker does not bear 208 V, a 240 V one does."""
    legs = (figure(120), figure(120), figure(208))
    answer = ask(circuit(made_leg=True, motors=(motor(5),), voltage_to_earth=legs))
    assert answer.circuit is not None
    assert answer.circuit.protective_device.rating_v == 240
    plain = ask(circuit(1, loads=(load(10),), voltage_to_earth=legs[:2]))
    assert plain.circuit is not None
    assert plain.circuit.protective_device.rating_v == 120


def test_110_9_interrupting_rating() -> None:
    """12 kA at the head: 14 kA is the next rating in common use."""
    answer = ask(circuit(1, loads=(load(10),), fault_largest=figure(12000)))
    assert answer.circuit is not None
    assert answer.circuit.protective_device.breaking_capacity_a == 14000


def test_240_6_a_10_a_breaker_since_2023() -> None:
    """5 A continuous: 6.25 A: 10 A in 2023, 15 A in 2020."""
    demand = circuit(1, loads=(load(5),))
    assert sizes(ask(demand))[1] == 10
    assert sizes(ask(demand, edition="2020"))[1] == 15


def test_400_5_cord_and_receptacle() -> None:
    """5 hp: 19 A: 12 AWG cord (20 A with three conductors), a 15-20R receptacle."""
    answer = ask(circuit(motors=(motor(5),), cord=True))
    assert step(answer, "cord/size") == "12 AWG"
    assert step(answer, "cord/receptacle") == "15-20R"


def test_220_87_measured_demand() -> None:
    """20 A measured x 1.25 + 50 A = 75 A: 25 A left of 100 A; with 80 A, 5 A too much."""
    for amps, spare in ((50, 25.0), (80, -5.0)):
        demand = ServiceDemand(
            prefix="options/x/service", voltage=figure(240), running=(("set", figure(amps)),)
        )
        answer = US.service(demand, Site(), SUPPLY)
        assert answer.spare_a == spare
        assert answer.enough is (spare >= 0)
        assert ("supply.undersized" in {one.code for one in answer.findings}) is (spare < 0)
