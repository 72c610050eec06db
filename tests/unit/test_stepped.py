"""A machine behind a transformer: ratio, rating, what the lines see, and its two circuits."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.planning.shops import HORSEPOWER_W, case_of, heater, machine, motor, only

import ampwright as aw
from ampwright.case import MachineCase
from ampwright.kernels.induction import branch
from ampwright.kernels.torque_curve import balanced_state, locked_rotor
from ampwright.method import Proposal
from ampwright.methods.rotary import Rotary
from ampwright.step import Figure, Worksheet
from ampwright.stepped import SteppedMachine, behind_transformer

ROOT = math.sqrt(3.0)
FOR_460: dict[str, Any] = {"voltage": "460 V", "current": "6.6 A"}


def stepped(own: MachineCase, volts: float = 240.0, hertz: float = 60.0) -> SteppedMachine | None:
    figure = Figure(volts, "shop/supply/voltage_v")
    return behind_transformer(own, figure, figure, hertz, Worksheet("~"))


def served(**changes: Any) -> SteppedMachine:
    found = stepped(only(case_of(machine(motors=(motor(**(FOR_460 | changes)),)))))
    assert found is not None
    return found


def test_a_motor_for_460_gets_480_volts() -> None:
    found = served()
    assert found.transformer.secondary_v == 480.0
    assert found.transformer.primary_v == 240.0
    assert found.transformer.kind == "isolating"
    assert found.ratio.value == 0.5


@pytest.mark.parametrize(
    ("voltage", "current", "expected"),
    [("575 V", "5.3 A", 600.0), ("380 V", "8 A", 380.0), ("200 V", "15 A", 208.0)],
)
def test_the_first_usual_secondary_that_suits(voltage: str, current: str, expected: float) -> None:
    assert served(voltage=voltage, current=current).transformer.secondary_v == expected


def test_a_small_change_takes_an_autotransformer() -> None:
    assert served(voltage="200 V", current="15 A").transformer.kind == "auto"


def test_its_rating_carries_what_runs() -> None:
    found = served()
    needed = ROOT * 480.0 * 6.6
    assert found.transformer.rating_va >= needed
    assert found.transformer.rating_va == 6000.0  # 5.49 kVA; 5 would be too small


def test_the_lines_see_the_current_by_the_ratio_and_the_same_power() -> None:
    found = served()
    (seen,), (own,) = found.referred.motors, found.own.motors
    assert seen.demand.current.value == pytest.approx(13.2, rel=1e-12)
    power = own.demand.voltage.value * own.demand.current.value
    assert seen.demand.voltage.value * seen.demand.current.value == pytest.approx(power, rel=1e-12)
    assert seen.demand.power.value == pytest.approx(5 * HORSEPOWER_W, rel=1e-9)


def test_without_impedance_it_would_draw_twice_the_current_at_half_the_voltage() -> None:
    found = served()
    (seen,), (own,) = found.referred.motors, found.own.motors
    reactance = 0.04 * 240.0**2 / 6000.0
    bare = seen.circuit._replace(series_ohm=seen.circuit.series_ohm - reactance)
    here, there = balanced_state(bare, 240.0, 0.03), balanced_state(own.circuit, 480.0, 0.03)
    assert abs(here.current1_a) == pytest.approx(2.0 * abs(there.current1_a), rel=1e-9)
    assert here.shaft_w == pytest.approx(there.shaft_w, rel=1e-9)


def test_its_impedance_costs_starting_torque() -> None:
    found = served()
    (seen,), (own,) = found.referred.motors, found.own.motors
    assert seen.start_torque.value < locked_rotor(own.circuit, 480.0).torque_nm
    assert seen.start_torque.value > 0.6 * locked_rotor(own.circuit, 480.0).torque_nm


def test_what_no_usual_voltage_suits_has_none() -> None:
    own = only(case_of(machine(motors=(motor(voltage="690 V", current="4.4 A"),))))
    assert stepped(own) is None


def test_a_heater_draws_its_rated_power_behind_it() -> None:
    own = only(case_of(heater(voltage="480 V")))
    found = stepped(own)
    assert found is not None
    (watts,) = found.own.watts
    assert watts.value == pytest.approx(6000.0, rel=1e-9)
    (load,) = found.referred.loads
    assert load.current.value == pytest.approx(6000.0 / (ROOT * 240.0), rel=1e-9)


def proposed(**changes: Any) -> Proposal:
    case = case_of(machine(motors=(motor(**FOR_460),), start="light"), **changes)
    found = Rotary().answer(case, case.machines)
    assert isinstance(found, Proposal), found
    return found


def test_a_rotary_serves_it_through_two_circuits() -> None:
    found = proposed()
    demands = {one.id: one for one in found.demands}
    ahead, behind = demands["feeder.saw"], demands["branch.saw"]
    assert (ahead.voltage.value, behind.voltage.value) == (240.0, 480.0)
    assert ahead.fed_from == "output.rotary"
    assert behind.fed_from == "feeder.saw"
    assert [one.kind for one in ahead.loads] == ["transformer"]
    assert ahead.loads[0].current.value == pytest.approx(6000.0 / (ROOT * 240.0), rel=1e-9)
    assert behind.motors[0].current.value == 6.6
    assert ahead.made_leg
    assert not behind.made_leg


def test_its_earthing_is_a_question_of_its_own() -> None:
    said = {one.code for one in proposed().findings}
    assert {"converter.step-up-grounding", "transformer.needed"} <= said
    (one,) = proposed().transformers
    assert one.machines == ("saw",)


def test_behind_it_the_start_is_measured_at_the_motor() -> None:
    begun = next(one for one in proposed().starts if one.id == "saw")
    plain = case_of(machine(motors=(motor(),), start="light"))
    other = Rotary().answer(plain, plain.machines)
    assert isinstance(other, Proposal)
    same = next(one for one in other.starts if one.id == "saw")
    assert begun.motor_peak_a is not None
    assert same.motor_peak_a is not None
    # half the current at twice the voltage; the idlers may be a size apart
    assert begun.motor_peak_a == pytest.approx(same.motor_peak_a / 2.0, rel=0.2)
    assert begun.lowest_voltage_v > same.lowest_voltage_v


def test_the_plan_prices_it_and_the_check_has_no_objection() -> None:
    own = machine(motors=(motor(**FOR_460),), start="light", traits=("internal-switching",))
    supply = aw.Supply(arrangement="split-phase", voltage="240 V", frequency="60 Hz",
                       rating="150 A", fault_current="5 kA")  # fmt: skip
    plan = aw.plan(aw.Shop(region="us", supply=supply, machines=(own,)))
    option = next(one for one in plan.options if one.id == "rotary")
    paid = {one.id for one in option.costs}
    assert {"transformer.saw/purchase", "transformer.saw/installation"} <= paid
    assert not [one for one in plan.checks or () if one.severity != "info"]


def test_its_impedance_does_not_saturate_with_the_leakage_of_the_motor() -> None:
    """At a locked rotor the lines see the motor's saturated circuit and all of the reactance."""
    found = served()
    (seen,), (own,) = found.referred.motors, found.own.motors
    reactance = 0.04 * 240.0**2 / 6000.0
    assert seen.circuit.series_ohm == pytest.approx(reactance, rel=1e-12)
    assert seen.circuit.x1_ohm == pytest.approx(own.circuit.x1_ohm / 4, rel=1e-12)
    here = locked_rotor(seen.circuit, 240.0)
    bare = seen.circuit._replace(series_ohm=0.0)
    alone = 1 / branch(bare, 1.0, here.leakage).y
    core = 1 / seen.circuit.rc_ohm  # at the terminals in either case
    through = 1 / (1 / (1 / (1 / alone - core) + 1j * reactance) + core)
    assert here.current_a == pytest.approx(240.0 / ROOT / abs(through), rel=1e-9)
    assert own.circuit.saturation < 1.0
