"""A static set: what the motor keeps, what starts it, and why most machines are refused."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor, only, shop, supply

import ampwright as aw
from ampwright.case import Case
from ampwright.kernels.induction import branch
from ampwright.method import Proposal, Refusal
from ampwright.methods.static import Static
from ampwright.methods.static.model import (
    at_load,
    rated_loss_w,
    run_capacitor,
    set_up,
    share_by_leg,
    share_by_losses,
    start_capacitances,
    started,
)
from ampwright.methods.static.sizing import plain_kind

LIGHT: dict[str, Any] = {
    "start": "light", "load_torque": "friction", "controls": "none", "average_load": "30 %"
}  # fmt: skip
STIFF = {"impedance": "0.001 ohm"}


def case(**changes: Any) -> Case:
    single = changes.pop("single", {})
    return case_of(machine(**(LIGHT | changes)), supply=supply(**single))


def answer(**changes: Any) -> Proposal | Refusal:
    found = case(**changes)
    return Static().answer(found, [only(found)])


def proposed(**changes: Any) -> Proposal:
    found = answer(**changes)
    assert isinstance(found, Proposal), found
    return found


def refused(**changes: Any) -> set[str]:
    found = answer(**changes)
    assert isinstance(found, Refusal), found.findings
    return {one.code for one in found.reasons}


def test_on_two_lines_the_current_is_that_of_both_sequences_in_series() -> None:
    """I = V / (Z1 + Z2), the classic result for a motor that lost a line."""
    setup = set_up(found := case(single=STIFF), only(found))
    at = at_load(setup, 0.0, 0.4)
    (rotor,) = at.rotors
    one = branch(setup.motor.circuit, rotor.slip, rotor.leakage).y
    two = branch(setup.motor.circuit, 2.0 - rotor.slip, rotor.leakage).y
    expected = at.line_v[0] / abs(1.0 / one + 1.0 / two)
    assert rotor.line_a[0] == pytest.approx(expected, rel=1e-6)
    assert rotor.line_a[2] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("power", ["3 hp", "5 hp", "10 hp"])
def test_equal_losses_leave_about_half(power: str) -> None:
    """Two models of motors of 3 to 10 hp: 0.47 to 0.50 of rated; a twentieth either way."""
    own = motor(power=power, current=None, code_letter="H")
    setup = set_up(found := case(motors=(own,), single=STIFF), only(found))
    share = share_by_losses(setup, 0.0)
    assert 0.40 < share < 0.55
    (rotor,) = at_load(setup, 0.0, share).rotors
    losses = rotor.machine.stator_loss_w + rotor.machine.rotor_loss_w
    assert losses == pytest.approx(rated_loss_w(setup), rel=1e-3)


def test_equal_line_current_leaves_less_than_equal_losses() -> None:
    own = motor(current=None, code_letter="H")
    setup = set_up(found := case(motors=(own,), single=STIFF), only(found))
    by_leg = share_by_leg(setup, 0.0, setup.motor.circuit.rated_current_a)
    assert by_leg < share_by_losses(setup, 0.0)
    assert max(at_load(setup, 0.0, by_leg).rotors[0].line_a) == pytest.approx(
        setup.motor.circuit.rated_current_a, rel=1e-3
    )


def test_a_run_capacitor_lets_the_motor_keep_more() -> None:
    setup = set_up(found := case(motors=(motor(power="1 hp", current="3.4/1.7 A"),)), only(found))
    farads = run_capacitor(setup)
    assert farads > 0.0
    assert share_by_losses(setup, farads) > share_by_losses(setup, 0.0)
    assert at_load(setup, farads, 0.3).vuf < at_load(setup, 0.0, 0.3).vuf


def test_more_start_capacitance_gives_more_torque_up_to_the_resonance() -> None:
    setup = set_up(found := case(), only(found))
    torques = [started(setup, c, 0.0).start_torque_nm for c in start_capacitances(setup)]
    assert torques == sorted(torques)
    assert torques[-1] > 4.0 * torques[0]


def test_start_capacitors_follow_power_voltage_and_frequency() -> None:
    setup = set_up(found := case(), only(found))
    assert start_capacitances(setup)[0] == pytest.approx(50e-6 * 5.0, rel=1e-6)
    single = aw.Supply(arrangement="line-neutral", voltage="120 V", frequency="60 Hz",
                       rating="60 A")  # fmt: skip
    low = case_of(machine(motors=(motor(voltage="115/230 V", current="26/13 A"),), **LIGHT),
                  supply=single)  # fmt: skip
    ratio = start_capacitances(set_up(low, only(low)))[0] / start_capacitances(setup)[0]
    assert ratio == pytest.approx(4.0, rel=1e-6)


def test_the_output_is_bounded_by_duty_and_service_factor() -> None:
    kinds = {
        "continuous": {},
        "service-factor": {"motors": (motor(service_factor=1.15),)},
        "short-time": {"motors": (motor(duty="S2 30 min"),)},
    }  # type: dict[str, dict[str, Any]]
    for kind, changes in kinds.items():
        found = case(**changes)
        assert plain_kind(set_up(found, only(found))) == kind
    long = case(motors=(motor(duty="S2 30 min"),), traits=("continuous",))
    assert plain_kind(set_up(long, only(long))) == "continuous"


def test_what_asks_for_more_than_the_set_leaves_is_refused() -> None:
    assert refused(average_load="90 %") == {"converter.static-derate"}
    found = proposed(average_load="30 %")
    (usable,) = {one.usable_fraction for state in found.states for one in state.motors}
    assert 0.3 <= usable <= 0.7


def test_where_relays_look_for_a_lost_phase_a_run_capacitor_is_needed() -> None:
    single = aw.Supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz",
                       rating="32 A")  # fmt: skip
    own = motor(power="0.75 kW", voltage="230/400 V", current="3.4/2 A", frequency="50 Hz",
                speed="1400 rpm")  # fmt: skip
    found = case_of(machine(**(LIGHT | {"motors": (own,), "average_load": "10 %"})), supply=single)
    proposal = Static().answer(found, [only(found)])
    assert isinstance(proposal, Proposal)
    assert "run" in {one.purpose for one in proposal.converters[0].capacitors}
    assert "static.phase-loss-relay" in {one.code for one in proposal.findings}


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"start": "hard"}, "machine.hard-start"),
        ({"traits": ("hermetic",)}, "machine.hermetic-compressor"),
        ({"traits": ("high-inertia",)}, "machine.high-inertia"),
        ({"traits": ("two-speed",)}, "machine.two-speed-pole-changing"),
        ({"traits": ("life-safety",)}, "machine.life-safety"),
        ({"load_torque": "pulsating"}, "machine.pulsating-load"),
        ({"controls": "made-leg"}, "control.manufactured-leg"),
        ({"controls": "line-neutral"}, "control.neutral-from-manufactured-leg"),
        ({"needs_neutral": True}, "machine.needs-neutral"),
        ({"starter": "star-delta"}, "machine.starter-unsuited"),
        ({"unbalance_limit": "4 %"}, "converter.balance-out-of-limits"),
        ({"motors": (motor(), motor(power="1 hp", current="3.4/1.7 A"))}, "static.one-motor"),
        ({"motors": (motor(voltage="460 V", current="6.6 A"),)}, "supply.voltage-mismatch"),
        ({"average_load": None}, "static.load-not-stated"),
        ({"start": "hard"}, "converter.static-derate"),
        ({"motors": (motor(frequency="50 Hz", speed="1440 rpm"),)}, "supply.frequency-mismatch"),
        ({"motors": (motor(power="30 hp", current="76/38 A"),)}, "static.no-window"),
    ],
)
def test_what_a_static_set_does_not_stand(changes: dict[str, Any], code: str) -> None:
    assert code in refused(**changes)


def test_several_machines_get_a_set_each() -> None:
    found = case_of(machine("saw", **LIGHT), machine("drill", **LIGHT))
    together = Static().answer(found, found.machines)
    assert isinstance(together, Refusal)
    assert {one.code for one in together.reasons} == {"static.one-motor"}


def test_the_overload_as_set_says_what_it_leaves() -> None:
    shop = aw.Shop(region="us", supply=supply(), machines=(machine(**LIGHT),))
    plan = aw.plan(shop)
    own = next(one for one in plan.options if one.id == "static")
    said = next(one for one in own.findings if one.code == "static.overload-limits-output")
    (share,) = [part.value for part in said.parameters if part.name == "fraction"]
    setting = own.circuits[-1].overloads[0].setting_a or 0.0
    found = case()
    setup = set_up(found, only(found))
    run = sum(c.capacitance_f for c in own.converters[0].capacitors if c.purpose == "run")
    largest = max(at_load(setup, run, float(share)).rotors[0].line_a)
    assert largest == pytest.approx(setting, rel=1e-3)


def test_the_start_draws_less_than_the_motor_on_two_lines() -> None:
    (begun,) = proposed().starts
    assert begun.runs_up
    assert begun.torque_nm is not None
    assert begun.needed_torque_nm is not None
    assert begun.torque_nm >= begun.needed_torque_nm
    assert math.isfinite(begun.current_a)


def test_a_start_capacitor_is_large_enough_for_the_conductors_too() -> None:
    """What it starts at its own terminals by a hair, it does not start at the end of a cable."""
    plate = motor(power="3 hp", voltage="230 V", current=None, speed=None)
    one = machine("a", motors=(plate,), start="normal", load_torque="constant",
                  average_load=0.4, controls="none", length="10 m")  # fmt: skip
    stated = shop(one, supply=supply(rating="400 A", impedance="0.05 ohm"))
    plan = aw.plan(stated, methods=["static"], check=False)
    assert plan.best is not None
    assert plan.best.assignment == {"a": "static"}


def test_the_smallest_fault_is_that_at_the_lowest_voltage() -> None:
    """240 V and 216 V: in proportion 0.9, and a little less, for the leakage saturates less."""
    found = []
    for lowest in ("240 V", "216 V"):
        plan = proposed(single={"lowest_voltage": lowest})
        (step,) = [one for one in plan.steps if one.path.endswith("/made_leg_fault")]
        found.append(float(step.value))
    assert 0.85 < found[1] / found[0] <= 0.9 * (1 + 1e-9)
