"""The rotary converter: its operating points and starts, against the kernels and the balance."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.methods.rotaries import HORSEPOWER_W, asked, proposed
from tests.unit.planning.shops import case_of, heater, machine, motor, supply

from ampwright.case import Case
from ampwright.kernels.identification import identify
from ampwright.kernels.legs import capacitors, plus
from ampwright.kernels.network import Legs, Rotor, solve
from ampwright.kernels.run_up import run_up
from ampwright.kernels.starter import Shaft
from ampwright.kernels.starting import locked_rotor
from ampwright.kernels.unbalance import deviation_unbalance
from ampwright.method import Proposal, Refusal, State
from ampwright.methods.rotary import Rotary
from ampwright.records.equipment import OwnedConverter
from ampwright.records.load import Load

IDLE_SLIP = 0.004  # of an idler that drives nothing: what the model takes a turning one at


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(
        machine("a", load_torque="friction", start="light", average_load=0.6),
        machine("b", motors=(motor(power="3 hp", current="8.4/4.2 A"),), start="light"),
        together=(("a",), ("b",), ("a", "b")),
    )


@pytest.fixture(scope="module")
def found(case: Case) -> Proposal:
    return asked(case)


def by_id(found: Proposal) -> dict[str, State]:
    return {one.id: one for one in found.states}


def idler(found: Proposal) -> Any:
    """Return the typical circuit of the idler that was chosen, identified anew."""
    power = found.converters[0].idler_power_w
    assert power is not None
    return identify(power_w=power, voltage_v=240.0, frequency_hz=60.0, poles=4)


def run_capacitors(found: Proposal, running: str = "idle") -> Legs:
    """Return the run capacitors that are switched in for a running set, as admittances."""
    by_leg = {"bc": 0.0, "ca": 0.0}
    for one in found.converters[0].capacitors:
        if one.purpose == "run" and (not one.sets or running in one.sets):
            by_leg[one.between] += one.capacitance_f
    return capacitors(0.0, by_leg["bc"], by_leg["ca"], 60.0)


def test_there_is_a_state_for_idling_and_two_for_each_running_set(found: Proposal) -> None:
    assert [one.id for one in found.states] == [
        "rotary/idle",
        *(f"rotary/set-{n}/average" for n in (1, 2, 3)),
        *(f"rotary/set-{n}/full" for n in (1, 2, 3)),
    ]
    assert [one.running for one in found.states[4:]] == [("a",), ("b",), ("a", "b")]


def test_input_is_shaft_and_losses_in_every_state(found: Proposal) -> None:
    for one in found.states:
        shaft = sum(motor.shaft_w for motor in one.motors)
        assert one.input_power_w == pytest.approx(shaft + one.losses_w, rel=1e-6), one.id


def test_input_current_voltage_and_factor_belong_together(found: Proposal) -> None:
    for one in found.states:
        product = one.input_current_a * one.line_voltage_v[0] * one.input_power_factor
        assert product == pytest.approx(one.input_power_w, rel=1e-9)
        assert 0.0 < one.input_power_factor <= 1.0


def test_each_motor_gives_its_rated_power_at_full_load(found: Proposal) -> None:
    """The load's torque is the rated one; at the slip found that is the rated power within 2 %."""
    states = by_id(found)
    for name, rated in (("set-1", {"a/0": 5.0}), ("set-3", {"a/0": 5.0, "b/0": 3.0})):
        motors = {one.id: one.shaft_w for one in states[f"rotary/{name}/full"].motors[1:]}
        wanted = {key: one * HORSEPOWER_W for key, one in rated.items()}
        assert motors == pytest.approx(wanted, rel=0.02)


def test_at_average_load_each_motor_gives_that_share(found: Proposal) -> None:
    state = by_id(found)["rotary/set-1/average"]
    assert state.motors[1].shaft_w == pytest.approx(0.6 * 5 * HORSEPOWER_W, rel=0.03)
    assert state.input_power_w < by_id(found)["rotary/set-1/full"].input_power_w


def test_the_idler_drives_nothing(found: Proposal) -> None:
    for one in found.states:
        assert one.motors[0].id == "rotary"
        assert abs(one.motors[0].shaft_w) < 1.0


def test_idling_is_what_the_network_gives_for_idler_and_capacitors(
    case: Case, found: Proposal
) -> None:
    alone = solve(case.supply.source, run_capacitors(found), (Rotor(idler(found).circuit),))
    state = found.states[0]
    assert state.line_voltage_v == pytest.approx(alone.line_v)
    assert state.input_power_w == pytest.approx(alone.input_va.real - alone.source_loss_w)
    assert state.input_current_a == pytest.approx(abs(alone.source_a[0]), rel=1e-6)


def test_full_load_is_what_the_network_gives_for_idler_and_motors(
    case: Case, found: Proposal
) -> None:
    a, b = (one.motors[0] for one in case.machines)
    rotors = [Rotor(idler(found).circuit), Rotor(a.circuit, a.load), Rotor(b.circuit, b.load)]
    alone = solve(case.supply.source, run_capacitors(found, "set-3"), rotors)
    state = by_id(found)["rotary/set-3/full"]
    assert state.line_voltage_v == pytest.approx(alone.line_v)
    assert state.leg_to_earth_v == pytest.approx(alone.leg_to_earth_v)
    for mine, theirs in zip(state.motors, alone.rotors, strict=True):
        assert mine.slip == pytest.approx(theirs.slip)
        assert mine.current_a == pytest.approx(theirs.line_a)


def test_unbalance_is_that_of_the_line_voltages(found: Proposal) -> None:
    for one in found.states:
        a, b, c = one.line_voltage_v
        mean = (a + b + c) / 3
        by_hand = max(abs(one - mean) for one in (a, b, c)) / mean
        assert one.deviation_fraction == pytest.approx(by_hand)
        assert one.deviation_fraction == pytest.approx(deviation_unbalance(a, b, c))
        assert one.negative_sequence_fraction is not None
        # a deviation of u needs a negative sequence of at least that order: known bounds
        assert 0.5 * by_hand <= one.negative_sequence_fraction <= 1.5 * by_hand + 1e-9


def test_the_made_leg_stands_higher_to_earth_than_the_lines(found: Proposal) -> None:
    """Earth is the middle of line a-b: the made leg's volts are the median of the triangle.

    On balanced lines of 240 V that is 240 x sqrt(3)/2 = 208 V.
    """
    for one in found.states:
        ab, bc, ca = one.line_voltage_v
        median = math.sqrt((bc**2 + ca**2) / 2 - ab**2 / 4)
        assert one.leg_to_earth_v == pytest.approx((ab / 2, ab / 2, median), rel=1e-6)
        assert median > ab / 2
    assert found.states[0].leg_to_earth_v[2] == pytest.approx(208.0, rel=0.06)


def test_equal_apparent_power_is_the_sum_of_the_machines(found: Proposal) -> None:
    """13.2 and 8.4 A at 230 V: 1.732 x 230 x 21.6 / 240 = 35.85 A."""
    state = by_id(found)["rotary/set-3/full"]
    assert state.equal_kva_current_a == pytest.approx(35.853, rel=1e-4)
    assert found.states[0].equal_kva_current_a == 0.0


def test_a_motor_is_never_usable_above_its_rating(found: Proposal) -> None:
    for state in found.states[1:]:
        for one in state.motors[1:]:
            assert 0.0 < one.usable_fraction <= 1.0
            assert not one.stalled


def test_the_start_of_each_machine_is_the_kernels_with_the_idler_turning(
    case: Case, found: Proposal
) -> None:
    power = found.converters[0].idler_power_w
    assert power is not None
    turning = Shaft(Rotor(idler(found).circuit), 0.015 * (power / 3730) ** 1.25, IDLE_SLIP)
    starts = {one.id: one for one in found.starts}
    assert list(starts) == ["rotary", "a", "b"]
    for owner in case.machines:
        (one,) = owner.motors
        still = Shaft(Rotor(one.low, one.run_up), one.inertia.value)
        alone = run_up(case.supply.source, run_capacitors(found), (turning,), still)
        mine = starts[owner.id]
        assert mine.runs_up
        assert mine.time_s == pytest.approx(alone.low.time_s)
        assert mine.current_a == pytest.approx(alone.largest_source_a)
        instant = locked_rotor(case.supply.source, run_capacitors(found), (turning,), still)
        assert mine.torque_nm == pytest.approx(instant.torque_low_nm)
        assert mine.needed_torque_nm == pytest.approx(one.breakaway.value)
        assert mine.torque_nm is not None
        assert mine.torque_nm >= one.breakaway.value


def test_the_idler_starts_on_its_start_capacitor(found: Proposal) -> None:
    """75 uF for each hp at 240 V and 60 Hz, between the made leg and a line."""
    (one,) = [each for each in found.converters[0].capacitors if each.purpose == "start"]
    power = found.converters[0].idler_power_w
    assert power is not None
    assert one.capacitance_f == pytest.approx(75e-6 * power / HORSEPOWER_W)
    assert found.starts[0].runs_up
    assert found.starts[0].converter == ""


def test_a_start_capacitor_keeps_its_reactive_power_on_another_supply() -> None:
    """At 230 V and 50 Hz: (240/230)^2 x 60/50 times as many microfarads a horsepower."""
    european = supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz")
    stated = motor(power="2.2 kW", voltage="230 V", current="8.5 A", frequency="50 Hz",
                   speed="1430 rpm")  # fmt: skip
    one = proposed(machine("a", motors=(stated,), start="light"), supply=european)
    (made,) = one.converters
    (can,) = [each for each in made.capacitors if each.purpose == "start"]
    assert made.idler_power_w is not None
    wanted = 75e-6 * made.idler_power_w / HORSEPOWER_W * (240 / 230) ** 2 * 60 / 50
    assert can.capacitance_f == pytest.approx(wanted)
    assert made.idler_power_w / 1000 == pytest.approx(round(made.idler_power_w / 1000, 1))


def test_a_heater_behind_the_converter_takes_its_power_from_it() -> None:
    """3 kW at 240 V beside the motor; at the voltages found the balance still closes."""
    mixed = machine("a", motors=(motor(),), start="light",
                    loads=(Load(kind="resistive", power="3 kW", voltage="240 V"),))  # fmt: skip
    plain = machine("a", motors=(motor(),), start="light")
    case = case_of(mixed)
    one = asked(case)
    state = by_id(one)["rotary/all/full"]
    delta = complex(3000.0 / (3 * 240.0**2))
    legs = plus(run_capacitors(one, "all"), Legs(delta, delta, delta))
    (load,) = case.machines[0].motors
    alone = solve(
        case.supply.source, legs, (Rotor(idler(one).circuit), Rotor(load.circuit, load.load))
    )
    assert state.line_voltage_v == pytest.approx(alone.line_v)
    heat = delta.real * sum(volts**2 for volts in state.line_voltage_v)
    shaft = sum(each.shaft_w for each in state.motors)
    assert state.input_power_w == pytest.approx(shaft + heat + state.losses_w, rel=1e-6)
    without = by_id(proposed(plain))["rotary/all/full"].input_power_w
    assert state.input_power_w - without == pytest.approx(3000, rel=0.15)


def refused(*machines: Any, **changes: Any) -> dict[str, set[str]]:
    case = case_of(*machines, **changes)
    found = Rotary().answer(case, case.machines)
    assert isinstance(found, Refusal)
    assert found.method == "rotary"
    assert all(one.severity == "blocks" for one in found.reasons)
    reasons: dict[str, set[str]] = {}
    for one in found.reasons:
        for name in one.where:
            reasons.setdefault(name, set()).add(one.code)
    return reasons


def test_what_must_not_stand_on_a_made_leg_is_refused_by_name() -> None:
    assert refused(machine("a"), heater("h")) == {"h": {"machine.resistive-load-no-conversion"}}
    assert refused(machine("a", needs_neutral=True), machine("b")) == {
        "a": {"machine.needs-neutral"}
    }
    other = motor(voltage="690 V", current="4.4 A")  # no usual transformer leads there
    assert refused(machine("a", motors=(other,)), machine("b")) == {
        "a": {"supply.voltage-mismatch"}
    }
    wrong = Load(kind="resistive", power="1 kW", voltage="690 V")
    assert refused(machine("a", motors=(motor(),), loads=(wrong,))) == {
        "a": {"supply.voltage-mismatch"}
    }
    fifty = motor(voltage="230 V", current="13.2 A", frequency="50 Hz", speed="1430 rpm")
    assert refused(machine("a", motors=(fifty,))) == {"a": {"supply.frequency-mismatch"}}


@pytest.mark.parametrize("kind", ["welder", "rectifier", "transformer"])
def test_what_has_no_motor_and_is_no_heat_is_not_called_a_heater(kind: str) -> None:
    power = {"apparent_power": "8 kVA"}
    set_ = machine("w", motors=(), loads=(Load(kind=kind, voltage="240 V", **power),))
    assert refused(machine("a"), set_) == {"w": {"converter.motors-only"}}


def test_no_machine_is_no_job(case: Case) -> None:
    assert isinstance(Rotary().answer(case, ()), Refusal)


def test_a_motor_beyond_the_largest_idler_is_refused() -> None:
    big = machine("a", motors=(motor(power="150 hp", voltage="230 V", current=None,
                                     speed="1780 rpm"),))  # fmt: skip
    assert refused(big, supply=supply(rating="800 A")) == {"a": {"converter.idler-too-small"}}


def codes(found: Proposal) -> dict[str, tuple[str, ...]]:
    return {one.code: one.where for one in found.findings}


def test_controls_on_the_made_leg_or_a_neutral_are_pointed_out() -> None:
    made = proposed(machine("a", start="light", controls="made-leg"))
    assert codes(made)["control.manufactured-leg"] == ("a",)
    neutral = proposed(machine("a", start="light", controls="line-neutral"))
    assert codes(neutral)["control.neutral-from-manufactured-leg"] == ("a",)
    for harmless in ("none", "supply-lines", "own-transformer"):
        found = proposed(machine("a", start="light", controls=harmless))
        assert not {one for one in codes(found) if one.startswith("control.")}
        assert not [one for one in found.questions if one.code == "machine.controls"]


def test_unknown_controls_are_asked_for_safety() -> None:
    for unknown in (None, "unknown"):
        found = proposed(machine("a", start="light", controls=unknown))
        (one,) = [each for each in found.questions if each.code == "machine.controls"]
        assert (one.changes, one.field) == ("safety", "machines.a.controls")


def test_what_every_rotary_converter_calls_for_is_said(found: Proposal) -> None:
    told = codes(found)
    for code in (
        "converter.idler-start-sequence", "converter.output-live-on-two-legs",
        "converter.capacitor-discharge", "converter.rotation-follows-start",
        "converter.idler-loss", "plan.idle-cost", "plan.recheck-on-plate",
    ):  # fmt: skip
        assert told[code][0] == "rotary"
    grave = {one.code: one.severity for one in found.findings}
    assert {code for code, severity in grave.items() if severity == "info"} == {
        "converter.idler-start-sequence", "plan.idle-cost", "plan.recheck-on-plate",
    }  # fmt: skip


def test_a_method_says_what_kind_it_is() -> None:
    assert (Rotary.id, Rotary.shared, Rotary.converts) == ("rotary", True, True)


def test_what_unbalance_takes_from_each_motor_is_said_where_it_takes_anything(
    found: Proposal,
) -> None:
    """For each set and motor whose usable fraction at average load is below one."""
    wanted: dict[tuple[str, ...], tuple[float, State]] = {
        (one.id.partition("/")[0], "rotary", state.set): (one.usable_fraction, state)
        for state in found.states
        if state.load == "average"
        for one in state.motors[1:]
        if one.usable_fraction < 1.0
    }
    told = {
        one.where: one for one in found.findings if one.code == "converter.balance-out-of-limits"
    }
    assert wanted
    assert told.keys() == wanted.keys()
    for where, one in told.items():
        values = {part.name: part.value for part in one.parameters}
        usable, state = wanted[where]
        assert one.severity == "caution"
        assert values["usable"] == usable
        assert values["unbalance"] == state.deviation_fraction
        assert values["asked"] == (0.6 if where[0] == "a" else values["asked"])


def test_a_plug_may_leave_a_motor_on_its_capacitors() -> None:
    plugged = proposed(machine("a", start="light", traits=("plug-connected",)))
    assert codes(plugged)["converter.self-excitation"] == ("a",)
    assert "converter.self-excitation" not in codes(proposed(machine("a", start="light")))


def test_a_phase_monitor_that_would_drop_out_blocks(found: Proposal) -> None:
    """The limit is held at the worst edge of the cans' tolerance, which is named with its step."""
    marked = max(one.deviation_fraction or 0.0 for one in found.states)

    def with_limit(limit: float) -> Proposal:
        return proposed(
            machine("a", load_torque="friction", start="light", average_load=0.6,
                    unbalance_limit=limit),
            machine("b", motors=(motor(power="3 hp", current="8.4/4.2 A"),), start="light"),
            together=(("a",), ("b",), ("a", "b")),
        )  # fmt: skip

    def blocking(one: Proposal) -> list[tuple[str, tuple[str, ...]]]:
        return [(each.code, each.where) for each in one.findings if each.severity == "blocks"]

    strict = with_limit(round(marked / 2, 4))
    assert blocking(strict) == [("converter.balance-out-of-limits", ("a",))]
    (said,) = (one for one in strict.findings if one.severity == "blocks")
    unbalance = next(one for one in said.parameters if one.name == "unbalance")
    worst = float(unbalance.value)
    step = next(one for one in strict.steps if one.path == unbalance.step)
    assert "d" in dict(step.inputs)
    assert worst > marked
    between = with_limit(round((worst + marked) / 2, 4))
    assert blocking(between) == [("converter.balance-out-of-limits", ("a",))]
    assert blocking(with_limit(round(worst + 0.005, 4))) == []


def test_the_order_of_starting_is_the_idler_then_the_heaviest(found: Proposal) -> None:
    assert found.sequence == ("rotary", "a", "b")
    turned = proposed(
        machine("b", motors=(motor(power="3 hp", current="8.4/4.2 A"),), start="light"),
        machine("a", start="light"),
    )
    assert turned.sequence == ("rotary", "a", "b")


def owned(**changes: Any) -> OwnedConverter:
    usual: dict[str, Any] = {
        "id": "old", "method": "rotary", "idler_power": "30 hp", "input_current": "61 A"
    }  # fmt: skip
    return OwnedConverter(**(usual | changes))


@pytest.mark.parametrize(
    ("piece", "taken"),
    [
        (owned(), True),
        (owned(idler_power=None, rating="30 hp"), True),
        (owned(idler_power="1 hp"), False),
        (owned(fate="must-go"), False),
        (owned(method="static"), False),
        (owned(input_current=None), False),
    ],
)
def test_the_plate_of_a_converter_that_is_there_is_used_if_it_is_large_enough(
    piece: OwnedConverter, *, taken: bool
) -> None:
    found = proposed(machine("a", start="light"), equipment=(piece,))
    (made,) = found.converters
    assert made.given is taken
    assert (made.input_current_a == 61.0) is taken
    assert ("plan.recheck-on-plate" in codes(found)) is not taken


def test_without_a_plate_the_input_is_assumed_on_the_safe_side(found: Proposal) -> None:
    """A tenth above the larger of the equal-power current and what the model draws at most."""
    (made,) = found.converters
    assert made.output_current_a == pytest.approx(13.2 + 8.4)
    equal = math.sqrt(3) * made.output_current_a
    drawn = max(one.input_current_a for one in found.states)
    assert made.input_current_a == pytest.approx(1.10 * max(equal, drawn))
    assert not made.given


def test_the_plate_of_the_converter_belongs_to_the_proposal(found: Proposal) -> None:
    (made,) = found.converters
    assert (made.id, made.method, made.machines) == ("rotary", "rotary", ("a", "b"))
    assert made.rating_w == made.idler_power_w
    assert made.largest_motor_w == pytest.approx(5 * HORSEPOWER_W)
    assert made.losses_w == found.states[0].losses_w
    assert (made.input_voltage_v, made.output_voltage_v) == (240.0, 240.0)
    for one in made.capacitors:
        assert one.voltage_v == 1.5 * 240.0
        assert one.tolerance_fraction == 0.10
