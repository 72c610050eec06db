"""Breaker voltages, poles, fault currents, voltage drop."""
# ruff: noqa: ANN401 - the builders take any field of a record

import math
from typing import Any

import attrs
import pytest
from tests.unit.families.nec.questions import bound

from ampwright.families.nec.answer import answer_circuit
from ampwright.families.nec.book import size_key
from ampwright.families.nec.conditions import Conditions
from ampwright.families.nec.drop import fraction
from ampwright.kernels.cable import load_voltage_v


@pytest.mark.parametrize(
    ("legs", "volts", "rating"),
    [
        ((120, 120), 240, 120),
        ((126, 126), 240, 120),
        ((126.1, 126.1), 240, 240),
        ((120, 120), 252, 120),
        ((120, 120), 252.1, 277),
        ((120, 120, 208), 240, 240),
        ((277, 277, 277), 480, 277),
        ((240, 240, 416), 480, 480),
        ((0, 120), 120, 120),
        ((208, 208), 208, 240),
    ],
)
def test_breaker_voltage(us: Any, legs: tuple[float, ...], volts: float, rating: float) -> None:
    demand = us.single(
        loads=(us.load(10),), voltage=us.figure(volts),
        voltage_to_earth=tuple(us.figure(one) for one in legs),
    )  # fmt: skip
    assert us.ask(demand).circuit.protective_device.rating_v == rating


def test_no_breaker_bears_more_than_600_v(us: Any) -> None:
    demand = us.single(loads=(us.load(10),), voltage_to_earth=(us.figure(800),))
    assert "supply.leg-voltage-to-earth" in us.codes(us.ask(demand))
    assert us.ask(demand).circuit is None


def test_poles(us: Any) -> None:
    one = us.single(loads=(us.load(10),), voltage=us.figure(120),
                    voltage_to_earth=(us.figure(120), us.figure(0)))  # fmt: skip
    assert us.ask(one).circuit.protective_device.poles == 1
    two = us.single(loads=(us.load(10),))
    assert us.ask(two).circuit.protective_device.poles == 2
    assert us.ask(us.demand(motors=(us.motor(5, 13),))).circuit.protective_device.poles == 3
    half = us.demand(phases=1, loads=(us.load(10),), voltage=us.figure(120))
    assert us.ask(half).circuit.protective_device.poles == 1
    whole = us.demand(phases=1, loads=(us.load(10),))
    assert us.ask(whole).circuit.protective_device.poles == 2


@pytest.mark.parametrize(
    ("legs", "volts", "poles"),
    [
        ((120, 0.99), 240, 1),
        ((120, 1.0), 240, 2),
        ((), 143, 1),
        ((), 144, 2),
    ],
)
def test_a_grounded_conductor_needs_no_pole(
    us: Any, legs: tuple[float, ...], volts: float, poles: int
) -> None:
    """By its volts to ground; without those, where less than 0.6 of 240 V = 144 V lies across."""
    demand = us.demand(
        phases=1, loads=(us.load(10),), voltage=us.figure(volts),
        voltage_to_earth=tuple(us.figure(one) for one in legs),
    )  # fmt: skip
    circuit = us.ask(demand).circuit
    assert circuit.protective_device.poles == poles
    assert circuit.disconnect.poles == poles


def test_smallest_fault_at_the_end(us: Any) -> None:
    """120 V, 70 A at the head: 120 / (120/70 + 12/304.8 x 2 x (3.1 + 0.073)) = 61.1 A on 14 AWG."""
    motors = (us.motor(5, 13),)
    answer = us.ask(us.made(motors=motors, fault_source=us.figure(70)))
    assert answer.circuit.fault_current_min_a == pytest.approx(61.096, rel=1e-4)
    assert "protection.made-leg-fault" in us.codes(answer)
    assert [one.id for one in answer.circuit.guards] == ["voltage-relay"]
    strong = us.ask(us.made(motors=motors, fault_source=us.figure(5000)))
    assert strong.circuit.guards == ()
    assert "protection.made-leg-fault" not in us.codes(strong)
    unknown = us.ask(us.made(motors=motors))
    assert unknown.circuit.fault_current_min_a is None
    assert "protection.made-leg-fault" in us.codes(unknown)
    assert us.ask(us.demand(motors=motors)).circuit.guards == ()


def test_what_lies_ahead_of_the_circuit_is_in_the_loop(us: Any) -> None:
    """120 / (120/70 + 2 + 12/304.8 x 2 x 3.173) = 30.3 A; at an idler two of its own lines count.

    120 / (120/70 + 2 + 12/304.8 x 3 x 3.173) = 29.3 A.
    """
    asked = us.made(
        motors=(us.motor(5, 13),), fault_source=us.figure(70), fault_path=us.figure(2.0)
    )
    assert us.ask(asked).circuit.fault_current_min_a == pytest.approx(30.271, rel=1e-4)
    idler = us.ask(attrs.evolve(asked, role="idler"))
    assert idler.circuit.conductor.size == "14 AWG"
    assert idler.circuit.fault_current_min_a == pytest.approx(29.347, rel=1e-4)


def test_only_what_others_are_fed_from_states_its_impedance(us: Any) -> None:
    """12 m of 14 AWG in steel: 12/304.8 x 3.173 = 0.1249 ohm."""
    asked = us.made(motors=(us.motor(5, 13),), fault_source=us.figure(70))
    assert us.ask(asked).line is None
    output = us.ask(attrs.evolve(asked, role="output"))
    assert output.line.value == pytest.approx(0.12492, rel=1e-4)
    assert output.protective.value == pytest.approx(0.12492, rel=1e-4)


def test_phase_and_grounding_conductor_have_each_their_own_impedance(us: Any) -> None:
    """12 m in steel, Table 9: 4 AWG (0.31 + 0.060) x 12/304.8, 6 AWG (0.49 + 0.064) x 12/304.8."""
    output = us.ask(us.made(role="output", motors=(us.motor(25, 68),)))
    circuit = output.circuit
    assert (circuit.conductor.size, circuit.protective_conductor.size) == ("4 AWG", "6 AWG")
    assert output.line.value == pytest.approx(0.014567, rel=1e-4)
    assert output.protective.value == pytest.approx(0.021811, rel=1e-4)


@pytest.mark.parametrize(("phases", "poles"), [(3, 3), (1, 2)])
def test_a_ground_fault_device_opens_every_line(us: Any, phases: int, poles: int) -> None:
    """250.4(A)(5) asks for a path on which a fault opens something."""
    answer = us.ask(
        us.demand(phases=phases, loads=(us.load(10, phases=phases),), stepped=True,
                  fault_source=us.figure(20),
                  voltage_to_earth=(us.figure(120), us.figure(120)))
    )  # fmt: skip
    (guard,) = answer.circuit.guards
    assert guard.poles == us.step(answer, "guards/residual-current/poles") == poles
    rules = {one.path.rpartition("circuits/c/")[2]: one.rule for one in answer.circuit.steps}
    assert rules["guards/residual-current/poles"] == "nec.250.4(A)(5)"
    said = next(one for one in answer.findings if one.code == "protection.ground-fault-device")
    assert (said.severity, said.rule) == ("caution", "nec.250.4(A)(5)")


@pytest.mark.parametrize("known", [True, False])
def test_behind_a_transformer_a_ground_fault_device_stands_in(us: Any, *, known: bool) -> None:
    asked = us.made(
        motors=(us.motor(5, 13),), made_leg=False, stepped=True,
        fault_source=us.figure(70) if known else None,
    )  # fmt: skip
    answer = us.ask(asked)
    assert [one.kind for one in answer.circuit.guards] == ["residual-current"]
    assert "protection.ground-fault-device" in us.codes(answer)
    assert "protection.made-leg-fault" not in us.codes(answer)
    strong = us.ask(attrs.evolve(asked, fault_source=us.figure(5000)))
    assert strong.circuit.guards == ()


@pytest.mark.parametrize(("other", "lowest"), [(1.0, 1.0), (0.99, 120.0)])
def test_a_leg_from_one_volt_is_live(us: Any, other: float, lowest: float) -> None:
    demand = us.demand(
        phases=1, loads=(us.load(10),), voltage=us.figure(120), fault_source=us.figure(1000),
        voltage_to_earth=(us.figure(120), us.figure(other)),
    )  # fmt: skip
    assert us.step(us.ask(demand), "fault/lowest_v") == lowest


def test_a_fault_that_just_opens_the_device_needs_no_relay(us: Any) -> None:
    """No length: 120 V / (120 / I) = I; ten times the 30 A device is 300 A."""
    motors = (us.motor(5, 13),)
    for source, guarded in ((300.0, False), (299.9, True)):
        demand = us.made(motors=motors, length=us.figure(0), fault_source=us.figure(source),
                         starting_time=us.figure(1))  # fmt: skip
        answer = us.ask(demand)
        assert answer.circuit.protective_device.rating_a == 30
        assert bool(answer.circuit.guards) is guarded


def test_fault_level_not_known(us: Any) -> None:
    answer = us.ask(us.single(loads=(us.load(10),), fault_largest=None))
    assert "protection.fault-level" in us.codes(answer)
    assert answer.circuit.protective_device.breaking_capacity_a is None
    assert answer.circuit.fault_current_a is None


def test_drop_ahead_counts(us: Any) -> None:
    """1 % here and 4.5 % ahead is more than 5 % together."""
    demand = us.single(
        loads=(us.load(10, continuous=False),), length=us.figure(20), running_current=us.figure(10),
        power_factor=us.figure(1),
    )  # fmt: skip
    assert us.step(us.ask(demand), "voltage_drop_fraction") < 0.03
    assert "feeder.voltage-drop" not in us.codes(us.ask(demand))
    behind = us.single(
        loads=(us.load(10, continuous=False),), length=us.figure(20), running_current=us.figure(10),
        power_factor=us.figure(1), drop_ahead=us.figure(0.045),
    )  # fmt: skip
    assert "feeder.voltage-drop" in us.codes(us.ask(behind))


@pytest.mark.parametrize(("ahead", "size"), [(0.0299, "6 AWG"), (0.031, "4 AWG")])
def test_the_drop_ahead_bears_on_the_size_that_suffices(us: Any, ahead: float, size: str) -> None:
    """25 A over 60 m: 6 AWG 2.01 %, 4 AWG 1.27 %; 5 % in all less what is lost ahead."""
    demand = us.single(
        loads=(us.load(25),), length=us.figure(60), running_current=us.figure(25),
        power_factor=us.figure(1), drop_ahead=us.figure(ahead),
    )  # fmt: skip
    finding = next(one for one in us.ask(demand).findings if one.code == "feeder.voltage-drop")
    assert {one.name: one.value for one in finding.parameters}["sufficient"] == size


def test_drop_names_the_size_that_keeps_the_recommendation(us: Any) -> None:
    """25 A over 60 m, 8 AWG 3.2 %: 6 AWG with 0.49 ohm/kft gives 2.0 %."""
    demand = us.single(
        loads=(us.load(25),), length=us.figure(60), running_current=us.figure(25),
        power_factor=us.figure(1),
    )  # fmt: skip
    answer = us.ask(demand)
    finding = next(one for one in answer.findings if one.code == "feeder.voltage-drop")
    assert {one.name: one.value for one in finding.parameters}["sufficient"] == "6 AWG"
    assert answer.circuit.conductor.size == "8 AWG"


def test_reactance_follows_the_frequency(us: Any) -> None:
    motors = (us.motor(50, 120),)
    common = {"motors": motors, "running_current": us.figure(130), "power_factor": us.figure(0.1)}
    at = [
        us.step(us.ask(us.demand(frequency=us.figure(hz), **common)), "voltage_drop_fraction")
        for hz in (50, 60)
    ]
    assert at[0] < at[1]


def test_starting_drop_with_an_assumed_power_factor(us: Any) -> None:
    demand = us.demand(motors=(us.motor(5, 13),), starting_current=us.figure(92))
    assert us.step(us.ask(demand), "starting_power_factor") == 0.4
    step = next(one for one in us.ask(demand).circuit.steps if one.path.endswith("power_factor"))
    assert (step.low, step.high) == (0.3, 0.5)
    known = us.demand(
        motors=(us.motor(5, 13),),
        starting_current=us.figure(92),
        starting_power_factor=us.figure(0.5),
    )
    with pytest.raises(StopIteration):
        us.step(us.ask(known), "starting_power_factor")
    assert us.ask(us.demand(motors=(us.motor(5, 13),))).circuit.starting_drop_fraction is None


@pytest.mark.parametrize("phases", [1, 3])
@pytest.mark.parametrize(("hertz", "factor"), [(60, 0.85), (50, 0.3), (60, 1.0)])
def test_sizes_are_compared_by_the_same_drop(
    us: Any, phases: int, hertz: float, factor: float
) -> None:
    """The drop by which larger sizes are judged is the one that is stated."""
    demand = us.demand(
        phases=phases, motors=(us.motor(15, 40),), frequency=us.figure(hertz),
        power_factor=us.figure(factor), running_current=us.figure(37), length=us.figure(41),
    )  # fmt: skip
    answer = us.ask(demand)
    key = size_key(answer.circuit.conductor.size)
    installed = Conditions(
        material="copper", insulation="THWN-2", raceway="EMT", ambient=us.figure(30),
        circuits=us.figure(1),
    )  # fmt: skip
    ours = fraction(us.code.book, installed, demand, key)
    assert us.step(answer, "voltage_drop_fraction") == pytest.approx(ours, rel=1e-12)


def test_a_binding_limit_makes_the_conductor_larger(us: Any) -> None:
    """25 A over 60 m at 3 %: 8 AWG drops 3.2 %, 6 AWG 2.0 %; its grounding conductor grows too."""
    demand = us.single(
        loads=(us.load(25),), length=us.figure(60), running_current=us.figure(25),
        power_factor=us.figure(1),
    )  # fmt: skip
    book = us.code.book
    strict = bound(book, 0.03)
    answer = answer_circuit(strict, demand, us.site(), us.supply(), "options/x/circuits/c")
    assert answer.circuit is not None
    assert answer.circuit.conductor.size == "6 AWG"
    assert answer.circuit.protective_conductor is not None
    assert answer.circuit.protective_conductor.size == "8 AWG"  # 10 AWG x 26240/16510
    assert us.step(answer, "conductor/limits/voltage-drop/size") == "6 AWG"
    assert us.step(answer, "conductor/limits/terminals/size") == "10 AWG"
    assert us.step(answer, "conductor/limits/small-conductor/size") == "8 AWG"


def test_a_grounded_conductor_is_no_leg(us: Any) -> None:
    """Line and neutral: the fault loop has the line's 120 V, not the neutral's nought."""
    demand = us.demand(
        phases=1, loads=(us.load(10),), voltage=us.figure(120), fault_source=us.figure(1000),
        voltage_to_earth=(us.figure(120), us.figure(0)),
    )  # fmt: skip
    assert us.step(us.ask(demand), "fault/lowest_v") == 120


def started(us: Any, limit: float | None, **more: Any) -> Any:
    """5 hp over 60 m of copper in steel: k = sqrt(3) x 92 x 60 / 304.8 / 240 = 0.1307 a kft-ohm.

    Along the voltage of the motor 14 AWG takes a = k (3.1 x 0.4 + 0.073 x 0.9165) = 17.08 %, across
    it b = k (0.073 x 0.4 - 3.1 x 0.9165) = 36.75 %, so that sqrt(1 - b^2) - a = 75.92 % are left: a
    drop of 24.08 %. 12 AWG: 11.27 and 23.60, 14.10 %; 10: 7.03 and 14.05, 8.02 %; 8: 4.86 and 9.00,
    5.26 %.
    """
    demand = us.demand(
        motors=(us.motor(5, 13),), length=us.figure(60), starting_current=us.figure(92),
        starting_drop_limit=None if limit is None else us.figure(limit), **more,
    )  # fmt: skip
    return us.ask(demand)


@pytest.mark.parametrize(
    ("limit", "size", "grounding"),
    [(None, "14 AWG", "14 AWG"), (0.241, "14 AWG", "14 AWG"), (0.142, "12 AWG", "12 AWG"),
     (0.0803, "10 AWG", "10 AWG"), (0.08, "8 AWG", "8 AWG")],
)  # fmt: skip
def test_a_start_that_must_succeed_makes_the_conductor_larger(
    us: Any, limit: float | None, size: str, grounding: str
) -> None:
    """The grounding conductor grows in proportion: 40 A device, 10 AWG, bounded by the phase."""
    circuit = started(us, limit).circuit
    steps = {one.path.removeprefix("options/x/circuits/c/"): one.value for one in circuit.steps}
    assert (circuit.conductor.size, circuit.protective_conductor.size) == (size, grounding)
    assert (steps.get("conductor/raised/size") == "14 AWG") is (size != "14 AWG")
    assert (steps.get("conductor/limits/start/size") == size) is (limit is not None)
    if limit is not None:
        assert circuit.starting_drop_fraction <= limit
    assert steps["conductor/limits/terminals/size"] == "14 AWG"
    answer = started(us, limit)
    said = [one for one in answer.findings if one.code == "conductor.raised"]
    assert bool(said) is (size != "14 AWG")
    for one in said:
        assert (one.severity, one.where) == ("info", ("c", "saw"))
        assert {p.name: p.value for p in one.parameters} == {"minimum": "14 AWG", "chosen": size}


def test_where_no_size_lets_it_start_the_rules_size_it(us: Any) -> None:
    answer = started(us, 1e-6)
    assert answer.circuit.conductor.size == "14 AWG"
    said = [one for one in answer.findings if one.code == "feeder.voltage-drop"]
    values = {one.name: one.value for one in said[-1].parameters}
    assert (said[-1].severity, said[-1].rule, said[-1].where) == (
        "caution",
        "nec.9.9",
        ("c", "saw"),
    )
    assert values["recommended"] == 1e-6
    assert values["drop"] == pytest.approx(0.2408, rel=1e-3)
    assert len([one for one in started(us, 0.0803).findings if one.rule == "nec.9.9"]) == 0


def test_the_power_factor_of_a_start_bears_on_its_limit(us: Any) -> None:
    """At 0.8: 12 AWG 21.4 % along and 15.0 % across, so 22.6 %; 10 AWG 13.0 and 8.8, so 13.4 %."""
    assert (
        started(us, 0.15, starting_power_factor=us.figure(0.8)).circuit.conductor.size == "10 AWG"
    )
    none = us.demand(motors=(us.motor(5, 13),), starting_drop_limit=us.figure(1e-6))
    assert us.ask(none).circuit.conductor.size == "14 AWG"


@pytest.mark.parametrize("factor", [0.3, 0.6, 1.0])
@pytest.mark.parametrize(("phases", "conductors"), [(1, 2), (3, 1)])
def test_a_starting_drop_is_the_difference_of_both_voltages(
    us: Any, phases: int, conductors: int, factor: float
) -> None:
    """The source is the load voltage and the impedance times the current, added as phasors.

    Over 40 m with 110 A. Three-phase lines are reckoned from phase to star point, a single-phase
    one there and back.
    """
    demand = us.demand(
        phases=phases, motors=(us.motor(5, 28 if phases == 1 else 15.2),), length=us.figure(40),
        starting_current=us.figure(110), starting_power_factor=us.figure(factor),
        starting_drop_limit=us.figure(0.12),
    )  # fmt: skip
    circuit = us.ask(demand).circuit
    key = size_key(circuit.conductor.size)
    ohm = us.code.book.column("conductor_impedance", "r_cu_steel")[key]
    ohm_x = us.code.book.column("conductor_impedance", "xl_steel")[key]
    source = 240 / (1 if phases == 1 else math.sqrt(3))
    left = load_voltage_v(
        source, 110, r_ohm=conductors * ohm * 40 / 304.8, x_ohm=conductors * ohm_x * 40 / 304.8,
        power_factor=factor,
    )  # fmt: skip
    assert circuit.starting_drop_fraction == pytest.approx(1 - left / source, rel=1e-12)


def test_of_a_start_that_cannot_flow_nothing_is_left(us: Any) -> None:
    """Over 600 m of 14 AWG the resistance alone takes more than the source has: a drop of one."""
    demand = us.demand(
        motors=(us.motor(5, 13),), length=us.figure(600), starting_current=us.figure(92)
    )
    assert us.ask(demand).circuit.starting_drop_fraction == 1.0


def test_a_voltage_relay_is_set_below_what_runs_and_slower_than_a_start(us: Any) -> None:
    """0.95 x 217 = 206.15 V and 1.25 x 0.86 = 1.075 s: common practice, no source."""
    asked = us.made(
        motors=(us.motor(5, 13),), fault_source=us.figure(70), lowest_running=us.figure(217),
        longest_start=us.figure(0.86),
    )  # fmt: skip
    (relay,) = us.ask(asked).circuit.guards
    assert relay.setting_v == pytest.approx(206.15)
    assert relay.delay_s == pytest.approx(1.075)
    # where no start was reckoned, 5 s as for the starts of other circuits
    (relay,) = us.ask(attrs.evolve(asked, longest_start=None)).circuit.guards
    assert relay.delay_s == pytest.approx(6.25)


def test_what_a_fault_leaves_between_the_lines_is_held_against_the_setting(us: Any) -> None:
    """61.1 A x 12/304.8 x 2 x 3.173 ohm = 15.3 V stay on the made leg beside 120 V: 135.3 V."""
    asked = us.made(
        motors=(us.motor(5, 13),), fault_source=us.figure(70), lowest_running=us.figure(142),
        longest_start=us.figure(1),
    )  # fmt: skip
    answer = us.ask(asked)
    assert us.step(answer, "guards/voltage-relay/left_v") == pytest.approx(135.26, rel=1e-3)
    assert "protection.relay-cannot-tell" in us.codes(answer)
    fine = us.ask(attrs.evolve(asked, lowest_running=us.figure(143)))
    assert "protection.relay-cannot-tell" not in us.codes(fine)


def test_the_circuit_of_an_idler_has_no_voltage_relay(us: Any) -> None:
    asked = us.made(motors=(us.motor(5, 13),), fault_source=us.figure(70), role="idler")
    answer = us.ask(asked)
    assert answer.circuit.guards == ()
    assert "protection.idler-fault" in us.codes(answer)
    assert "protection.made-leg-fault" not in us.codes(answer)
