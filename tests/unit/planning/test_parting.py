"""Machines with three-phase and single-phase parts: what stays on the panel, and how."""

from typing import Any

import attrs
import pytest
from tests.properties.walking import numbers, steps

import ampwright as aw
from ampwright.option import Option

TWO_HP: dict[str, Any] = {
    "power": "2 hp", "voltage": "230/460 V", "current": "6/3 A", "frequency": "60 Hz",
    "speed": "1740 rpm", "code_letter": "K",
}  # fmt: skip
COOLANT: dict[str, Any] = {
    "power": "1/3 hp", "voltage": "230 V", "phases": 1, "current": "3.6 A", "frequency": "60 Hz",
}  # fmt: skip
LAMP: dict[str, Any] = {"kind": "lamp", "power": "60 W", "voltage": "120 V", "phases": 1}
CONTROL: dict[str, Any] = {
    "kind": "control", "power": "200 W", "voltage": "240 V", "phases": 1, "power_factor": 1,
}  # fmt: skip
HEATER: dict[str, Any] = {"kind": "resistive", "power": "3 kW", "voltage": "240 V"}
US: dict[str, Any] = {
    "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "200 A",
    "fault_current": "5 kA",
    "three_phase": {"where": "at-meter", "voltage": "240 V", "current": "100 A"},
}  # fmt: skip
IEC: dict[str, Any] = {
    "arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz", "rating": "100 A",
    "earthing": "tn-s", "fault_current": "3 kA",
    "three_phase": {"where": "at-meter", "voltage": "400 V", "current": "63 A"},
}  # fmt: skip
IEC_MOTOR: dict[str, Any] = {
    "power": "1.5 kW", "voltage": "230/400 V", "current": "6.1/3.5 A", "frequency": "50 Hz",
    "speed": "1430 rpm", "code_letter": "K",
}  # fmt: skip
IEC_PUMP: dict[str, Any] = {
    "power": "0.25 kW", "voltage": "230 V", "phases": 1, "current": "2.1 A", "frequency": "50 Hz",
}  # fmt: skip
CONVERTING = ("drive", "rotary", "static", "electronic", "utility")


def plan_of(*methods: str, region: str = "us", **machine: Any) -> aw.Plan:  # noqa: ANN401 - any field
    """Return the plan of one machine by certain methods; by all where none is named."""
    made: dict[str, Any] = {
        "id": "mill", "length": "10 m", "start": "none", "load_torque": "fan",
        "average_load": 0.5,
    }  # fmt: skip
    supply = US if region == "us" else IEC
    stated = {"name": "one mill", "region": region, "supply": supply, "machines": [made | machine]}
    return aw.plan(aw.Shop.from_dict(stated), methods=list(methods) or None)


def first(plan: aw.Plan) -> Option:
    """Return the first way."""
    return plan.options[0]


def objections(plan: aw.Plan) -> list[str]:
    """Return what the check objects to."""
    return [f"{one.code} {one.rule}" for one in plan.checks or () if one.severity != "info"]


def circuits(option: Option) -> dict[str, Any]:
    """Return the circuits by id."""
    return {one.id: one for one in option.circuits}


@pytest.mark.parametrize("method", CONVERTING)
def test_a_coolant_pump_has_a_circuit_from_the_panel_whatever_serves_the_main_motor(
    method: str,
) -> None:
    plan = plan_of(method, motors=[TWO_HP, COOLANT])
    option = first(plan)
    assert option.assignment == {"mill": method}
    own = circuits(option)["branch.mill.single-phase"]
    assert (own.fed_from, own.phases, own.voltage_v, own.feeds) == ("", 1, 240.0, ("mill",))
    # 1/3 hp on 230 V draws 3.6 A by Table 430.248; 430.22 asks for 1.25 times it
    assert own.design_current_a == pytest.approx(1.25 * 3.6)
    (overload,) = own.overloads
    assert overload.id == "mill/1"
    assert overload.setting_a == pytest.approx(1.15 * 3.6)
    assert own.disconnect is not None
    assert own.disconnect.poles == 2
    assert own.disconnect.rating_a is not None
    for other in option.circuits:
        if other.phases == 3:
            assert "mill/1" not in {one.id for one in other.overloads}
    assert not objections(plan)


@pytest.mark.parametrize("method", ["drive", "electronic", "static", "rotary"])
def test_the_same_holds_under_iec(method: str) -> None:
    plan = plan_of(method, region="iec", motors=[IEC_MOTOR, IEC_PUMP])
    option = first(plan)
    assert option.assignment == {"mill": method}
    own = circuits(option)["branch.mill.single-phase"]
    assert (own.fed_from, own.phases, own.voltage_v) == ("", 1, 230.0)
    assert [(one.id, one.setting_a) for one in own.overloads] == [("mill/1", pytest.approx(2.1))]
    assert not objections(plan)


def test_what_is_made_for_line_and_neutral_has_a_circuit_of_its_own() -> None:
    plan = plan_of("drive", motors=[TWO_HP], loads=[LAMP, CONTROL])
    own = circuits(first(plan))
    lamp, control = own["branch.mill.one-leg"], own["branch.mill.single-phase"]
    assert (lamp.voltage_v, control.voltage_v) == (120.0, 240.0)
    # a lamp counts as continuous, 210.19(A); 60 W at 120 V and 200 W at 240 V
    assert lamp.design_current_a == pytest.approx(1.25 * 60 / 120)
    assert control.design_current_a == pytest.approx(200 / 240)
    assert lamp.protective_device.poles == 1
    assert control.protective_device.poles == 2
    assert not objections(plan)


def test_it_counts_in_the_service_the_states_and_the_panel() -> None:
    alone, both = first(plan_of("drive", motors=[TWO_HP])), first(
        plan_of("drive", motors=[TWO_HP, COOLANT])
    )  # fmt: skip

    def drawn(option: Option) -> float:
        return next(one.input_power_w for one in option.states if one.id == "supply/all")

    # 3.6 A at 240 V and the usual power factor 0.8
    assert drawn(both) - drawn(alone) == pytest.approx(240 * 3.6 * 0.8)

    def load(option: Option) -> float:
        return next(float(one.value) for one in option.steps if one.path.endswith("service/load_a"))

    assert load(both) > load(alone) + 1.0
    said = {one.id for one in both.states}
    assert "mill.single-phase/all" in said


def test_it_is_said_that_two_sources_feed_the_machine() -> None:
    plan = plan_of("drive", motors=[TWO_HP, COOLANT], loads=[LAMP])
    (said,) = [one for one in first(plan).findings if one.code == "machine.two-sources"]
    assert said.where == ("mill",)
    assert {one.name: one.value for one in said.parameters} == {
        "circuits": "branch.mill.single-phase, branch.mill.one-leg"
    }
    assert first(plan).verdict == "feasible-with-conditions"
    # NFPA 70, 430.113: energy from more than one source (from memory)
    assert said.rule == "nec.430.113"
    assert "Part its inner wiring" in plan.report("text")


def test_one_phase_takes_the_whole_machine_on_one_circuit() -> None:
    plan = plan_of("motor-swap", motors=[TWO_HP, COOLANT])
    (branch,) = (one for one in first(plan).circuits if one.role == "branch")
    assert {one.id for one in branch.overloads} == {"mill/0", "mill/1"}
    assert not objections(plan)


def test_a_part_for_a_voltage_that_is_not_there_is_the_reason() -> None:
    odd = COOLANT | {"voltage": "400 V", "current": "2 A"}
    plan = plan_of("drive", motors=[TWO_HP, odd])
    (refusal,) = [one for one in first(plan).refusals if one.method == "drive"]
    assert [one.code for one in refusal.reasons] == ["supply.voltage-mismatch"]
    assert {one.name: one.value for one in refusal.reasons[0].parameters} == {"rated": 400.0}


@pytest.mark.parametrize("method", ["drive", "static"])
@pytest.mark.parametrize("stated", [True, None])
def test_a_heater_is_relinked_where_the_method_takes_the_motor_only(
    method: str,
    stated: bool | None,  # noqa: FBT001 - a parameter of the test
) -> None:
    heater = HEATER if stated is None else HEATER | {"relinkable": stated}
    plan = plan_of(method, motors=[TWO_HP], loads=[heater])
    option = first(plan)
    assert option.assignment == {"mill": method}
    own = circuits(option)["branch.mill.single-phase"]
    # 3 kW of resistance at 240 V, three hours or more at a stretch: 210.19(A)
    assert own.design_current_a == pytest.approx(1.25 * 3000 / 240)
    codes = {one.code for one in option.findings}
    assert {"machine.two-sources", "machine.resistive-load-no-conversion"} <= codes
    asked = [one.field for one in plan.questions if one.code == "machine.relinkable"]
    assert asked == ([] if stated else ["machines.mill.loads[0].relinkable"])
    assert not objections(plan)


def test_a_heater_that_cannot_be_relinked_keeps_the_drive_off() -> None:
    plan = plan_of("drive", motors=[TWO_HP], loads=[HEATER | {"relinkable": False}])
    assert first(plan).assignment == {"mill": None}
    (refusal,) = first(plan).refusals
    assert [one.code for one in refusal.reasons] == ["converter.drive-one-motor"]


def test_a_shared_converter_carries_no_heater_that_someone_said_can_be_relinked() -> None:
    with_it = first(plan_of("electronic", motors=[TWO_HP], loads=[HEATER]))
    without = first(plan_of("electronic", motors=[TWO_HP], loads=[HEATER | {"relinkable": True}]))
    assert "branch.mill.single-phase" not in circuits(with_it)
    assert "branch.mill.single-phase" in circuits(without)
    assert without.converters[0].output_current_a < with_it.converters[0].output_current_a


def test_real_three_phase_takes_the_heater_as_it_is() -> None:
    plan = plan_of("utility", motors=[TWO_HP], loads=[HEATER | {"relinkable": True}])
    assert set(circuits(first(plan))) == {"output.utility", "branch.mill"}


def test_elements_for_another_voltage_are_exchanged() -> None:
    plan = plan_of("drive", motors=[TWO_HP], loads=[HEATER | {"voltage": "480 V"}])
    own = circuits(first(plan))["branch.mill.single-phase"]
    assert own.design_current_a == pytest.approx(1.25 * 3000 / 240)
    assert "machine.needs-change" in {one.code for one in first(plan).findings}


def test_a_start_of_the_machine_is_judged_on_the_circuit_of_the_motor() -> None:
    bare = first(plan_of("electronic", motors=[TWO_HP]))
    more = first(plan_of("electronic", motors=[TWO_HP, COOLANT]))
    (alone,), (beside,) = bare.starts, more.starts
    assert beside.lowest_voltage_v == pytest.approx(alone.lowest_voltage_v)
    assert (beside.id, beside.device_trips) == (alone.id, alone.device_trips)


def test_the_check_sees_a_part_without_a_circuit() -> None:
    engine = aw.Engine()
    plan = plan_of("drive", motors=[TWO_HP, COOLANT], loads=[LAMP])
    option = first(plan)
    for lost, path in (("single-phase", "motors/1"), ("one-leg", "loads/0")):
        kept = tuple(one for one in option.circuits if one.id != f"branch.mill.{lost}")
        broken = attrs.evolve(plan, options=(attrs.evolve(option, circuits=kept),))
        rules = [
            {part.name: part.value for part in one.parameters}["path"]
            for one in engine.verify(broken)
            if one.rule == "plan.part-without-circuit"
        ]
        assert rules == [f"options/drive/machines/mill/{path}"]


def test_another_motor_takes_no_part_of_a_machine_whose_heater_it_cannot_feed() -> None:
    plan = plan_of("motor-swap", motors=[TWO_HP], loads=[HEATER | {"voltage": "480 V"}])
    (refusal,) = first(plan).refusals
    assert [one.code for one in refusal.reasons] == ["motor-swap.other-loads"]


def test_nothing_is_converted_for_a_machine_that_takes_one_phase() -> None:
    plan = plan_of(*CONVERTING, motors=[COOLANT], loads=[CONTROL])
    assert first(plan).assignment == {"mill": None}
    codes = {one.method: {each.code for each in one.reasons} for one in first(plan).refusals}
    assert codes == {name: {"machine.takes-one-phase"} for name in CONVERTING}


def test_the_check_sees_that_two_sources_were_not_said() -> None:
    plan = plan_of("drive", motors=[TWO_HP, COOLANT])
    option = first(plan)
    kept = tuple(one for one in option.findings if one.code != "machine.two-sources")
    broken = attrs.evolve(plan, options=(attrs.evolve(option, findings=kept),))
    assert "plan.two-sources" in {one.rule for one in aw.Engine().verify(broken)}


def test_a_rectifier_for_one_phase_asks_for_the_type_of_a_residual_device() -> None:
    charger = CONTROL | {"kind": "rectifier"}
    for load, said in ((CONTROL, False), (charger, True)):
        supply = US | {"residual_current": "30 mA"}
        stated = {"id": "mill", "length": "10 m", "motors": [TWO_HP], "loads": [load]}
        shop = {"name": "one mill", "region": "us", "supply": supply, "machines": [stated]}
        plan = aw.plan(aw.Shop.from_dict(shop), methods=["rotary"])
        assert ("protection.rcd-type" in {one.code for one in first(plan).findings}) is said


@pytest.mark.parametrize(
    "heater", [HEATER, HEATER | {"voltage": "480 V"}, HEATER | {"relinkable": True}]
)
def test_every_number_of_such_a_plan_has_its_step(heater: dict[str, Any]) -> None:
    small = TWO_HP | {"power": "1 hp", "current": "3.4/1.7 A"}
    plan = plan_of(motors=[TWO_HP, small, COOLANT], loads=[LAMP, CONTROL, heater])
    by_path = {one.path: one for one in steps(plan)}
    assert len(by_path) == sum(1 for _ in steps(plan))
    assert [path for path, value in numbers(plan, "") if by_path[path].value != value] == []
    assert [path for one in by_path.values() for _, path in one.inputs if path not in by_path] == []
    assert not objections(plan)


@pytest.mark.parametrize("method", ["rotary", "drive", "electronic"])
def test_what_stays_on_the_panel_does_not_count_for_the_converter(method: str) -> None:
    """2 hp at 230 V and 6 A: sqrt(3) x 230 x 6 / 240 = 9.96 A on one phase, and 12.5 A of heat.

    Together they are 22.46 A for the supply, which feeds both.
    """
    heater = {**HEATER, "phases": 1}
    saw = {"id": "saw", "length": "9 m", "motors": [TWO_HP], "loads": [heater], "controls": "none",
           "start": "light"}  # fmt: skip
    plan = aw.plan(aw.Shop.from_dict({"region": "us", "supply": US, "machines": [saw]}),
                   methods=[method, "direct"])  # fmt: skip
    option = next(one for one in plan.options if method in one.assignment.values())
    total = [one.equal_kva_current_a for one in option.states if one.running and not one.converter]
    motor = 3**0.5 * 230 * 6 / 240
    behind = [
        one.equal_kva_current_a
        for one in option.states
        if one.running and any(each.id == "saw/0" for each in one.motors) and one.converter
    ]
    assert behind
    assert behind == pytest.approx([motor] * len(behind), rel=1e-6)
    assert total
    assert total == pytest.approx([motor + 12.5] * len(total), rel=1e-6)
    assert not [one for one in plan.checks or () if one.severity != "info"]


def test_two_sources_go_by_the_clause_of_the_code_in_force() -> None:
    """IEC 60204-1, 5.3.1: a supply disconnecting device for each incoming source (from memory)."""
    plan = plan_of("drive", region="iec", motors=[IEC_MOTOR, IEC_PUMP])
    (said,) = [one for one in first(plan).findings if one.code == "machine.two-sources"]
    assert said.rule == "iec.60204-1.5.3"
    # 430.113 is on motors and what they drive; an oven is none of it
    oven = {"loads": [HEATER | {"phases": 3, "relinkable": False}, LAMP]}
    plan = plan_of("utility", motors=[], **oven)
    (said,) = [one for one in first(plan).findings if one.code == "machine.two-sources"]
    assert said.rule == ""


def test_a_shared_converter_costs_each_machine_by_what_it_serves_of_it() -> None:
    """Two like motors share a converter alike, whatever stays on the panel beside one of them."""
    heater = {**HEATER, "phases": 1}
    usual = {"length": "9 m", "motors": [TWO_HP], "controls": "none", "start": "light",
             "value": "1 USD"}  # fmt: skip
    machines = [{"id": "saw", "loads": [heater], **usual}, {"id": "lathe", **usual}]
    shop = aw.Shop.from_dict({"region": "us", "supply": US, "machines": machines})
    plan = aw.plan(shop, methods=["rotary"])
    whole = sum(
        (one.low + one.high) / 2
        for one in first(plan).costs
        if one.id.startswith("rotary/") and one.kind in ("purchase", "installation")
    )
    spent = {
        one.where[0]: part.value
        for one in plan.findings
        if one.code == "plan.not-worth-it"
        for part in one.parameters
        if part.name == "cost"
    }
    assert spent == {
        "saw": pytest.approx(whole / 2, rel=1e-9), "lathe": pytest.approx(whole / 2, rel=1e-9)
    }  # fmt: skip
    assert not objections(plan)
