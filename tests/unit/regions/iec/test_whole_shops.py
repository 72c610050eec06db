"""What the rules of the family ask for, in whole plans: each rule where a reader would look for it.

Tables and formulas are held to published figures elsewhere; here stands that a plan has them.
"""
# ruff: noqa: ANN401 - the builders take any field of a record

from collections.abc import Mapping
from typing import Any

import pytest

import ampwright as aw

FINAL_S = {"tn-s": 0.4, "tt": 0.2, "it": 0.4}  # IEC 60364-4-41, Table 41.1, 230 V to earth
DISTRIBUTION_S = {"tn-s": 5.0, "tt": 1.0, "it": 5.0}
SYSTEMS = tuple(FINAL_S)


def saw(**changes: Any) -> dict[str, Any]:
    motor = {"power": "3 kW", "voltage": "230/400 V", "current": "11.3/6.5 A",
             "frequency": "50 Hz", "speed": "1440 rpm"}  # fmt: skip
    usual = {"id": "saw", "length": "15 m", "start": "light"}
    return usual | {"motors": [motor | changes.pop("motor", {})]} | changes


def planned(
    method: str, machine: Mapping[str, Any] | None = None, *, earthing: str = "tn-s", **site: Any
) -> aw.Plan:
    shop = {
        "region": "iec",
        "supply": {
            "arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
            "rating": "80 A", "existing_load": "5 A", "fault_current": "3 kA",
            "earthing": earthing, "impedance": "0.1 ohm",
            "three_phase": {"where": "at-meter", "current": "63 A"},
        },
        "machines": [machine or saw()],
        "site": site,
    }  # fmt: skip
    return aw.plan(aw.Shop.from_dict(shop), methods=[method])


@pytest.fixture(scope="module")
def rotaries() -> dict[str, aw.Plan]:
    """Return a plan with a rotary converter under each system of earthing."""
    return {one: planned("rotary", earthing=one) for one in SYSTEMS}


def circuits(plan: aw.Plan) -> dict[str, aw.Circuit]:
    assert plan.options
    return {one.id: one for one in plan.options[0].circuits}


def value(circuit: aw.Circuit, name: str) -> float:
    """Return the number of a step of a circuit."""
    (found,) = [one for one in circuit.steps if one.path.endswith(f"/{circuit.id}/{name}")]
    return float(found.value)


def findings(plan: aw.Plan) -> set[str]:
    return {one.code for one in plan.options[0].findings}


@pytest.mark.parametrize("system", SYSTEMS)
def test_nothing_is_objected_to(system: str, rotaries: dict[str, aw.Plan]) -> None:
    checks = rotaries[system].checks
    assert checks is not None
    assert {one.code for one in checks} <= {"check.not-checked"}


@pytest.mark.parametrize("system", SYSTEMS)
def test_load_device_and_cable_are_in_order(system: str, rotaries: dict[str, aw.Plan]) -> None:
    """IEC 60364-4-43, 433.1: I_b <= I_n <= I_z."""
    for one in circuits(rotaries[system]).values():
        rating, carries = one.protective_device.rating_a, one.conductor.ampacity_a
        assert rating is not None
        assert carries is not None
        assert one.design_current_a <= rating <= carries
        assert one.protective_device.curve in ("B", "C", "D")


@pytest.mark.parametrize("system", SYSTEMS)
def test_times_are_those_of_final_and_distribution_circuits(
    system: str, rotaries: dict[str, aw.Plan]
) -> None:
    found = circuits(rotaries[system])
    assert value(found["branch.saw"], "fault/longest_s") == FINAL_S[system]
    assert value(found["supply.rotary"], "fault/longest_s") == DISTRIBUTION_S[system]


def test_tn_the_made_leg_feeds_too_little_and_a_residual_device_does_it(
    rotaries: dict[str, aw.Plan],
) -> None:
    found = circuits(rotaries["tn-s"])
    supply, branch = found["supply.rotary"], found["branch.saw"]
    assert supply.fault_current_min_a is not None
    assert supply.fault_current_min_a >= value(supply, "fault/needed_a")
    assert not supply.guards
    assert branch.fault_current_min_a is not None
    assert branch.fault_current_min_a < value(branch, "fault/needed_a")
    (guard,) = branch.guards
    assert (guard.curve, guard.setting_a, guard.poles) == ("type A", 0.1, 3)
    (ahead,) = found["output.rotary"].guards
    assert (ahead.curve, ahead.setting_a) == ("type A S", 0.3)
    assert "protection.fault-not-disconnected" in findings(rotaries["tn-s"])


def test_tt_one_device_at_the_head_and_the_electrode_for_50_v(rotaries: dict[str, aw.Plan]) -> None:
    """411.5.3: 50 V / 0.3 A = 167 ohm."""
    found = circuits(rotaries["tt"])
    (guard,) = found["supply.rotary"].guards
    assert guard.curve == "type A"
    assert value(found["supply.rotary"], "fault/largest_earth_ohm") == pytest.approx(50 / 0.3)
    assert not any(one.guards for name, one in found.items() if name != "supply.rotary")
    assert "protection.touch-voltage" in findings(rotaries["tt"])


def test_it_half_the_current_of_tn_and_a_monitor(rotaries: dict[str, aw.Plan]) -> None:
    alone, isolated = circuits(rotaries["tn-s"]), circuits(rotaries["it"])
    for name in ("supply.rotary", "branch.saw"):
        whole, half = alone[name].fault_current_min_a, isolated[name].fault_current_min_a
        assert whole is not None
        assert half == pytest.approx(whole / 2)
    assert "protection.insulation-monitor" in findings(rotaries["it"])


def test_what_a_made_leg_and_a_machine_are_to_be_marked_and_switched_by(
    rotaries: dict[str, aw.Plan],
) -> None:
    """IEC 60204-1, 4.3 and 5.3; IEC 60445: colours; the third line bears a label."""
    plan = rotaries["tn-s"]
    assert {"converter.made-leg-marking", "converter.all-lines-live", "plan.equipment-approval",
            "protection.disconnect-in-sight"} <= findings(plan)  # fmt: skip
    switch = circuits(plan)["branch.saw"].disconnect
    assert switch is not None
    assert (switch.poles, switch.power_w) == (3, 3000.0)
    report = str(plan.report("markdown"))
    for color in ("brown", "black", "grey", "blue", "green-and-yellow"):
        assert color in report


def test_a_motor_has_an_overload_at_its_plate_current_and_of_a_class(
    rotaries: dict[str, aw.Plan],
) -> None:
    """IEC 60204-1, 7.3, and IEC 60947-4-1."""
    (relay,) = circuits(rotaries["tn-s"])["branch.saw"].overloads
    assert (relay.setting_a, relay.poles) == (11.3, 3)
    assert relay.curve.startswith("class 10")


def test_start_against_flicker_and_an_operator_whom_nobody_has_asked(
    rotaries: dict[str, aw.Plan],
) -> None:
    """IEC 61000-3-3: 0.1 ohm were stated; more than 4 % of 230 V take 92 A."""
    supply = circuits(rotaries["tn-s"])["supply.rotary"]
    assert value(supply, "disturbance/impedance_ohm") == 0.1
    fraction = value(supply, "disturbance/change_fraction")
    said = "supply.voltage-change" in findings(rotaries["tn-s"])
    assert said == (fraction > 0.04)
    asked = {one.code for one in rotaries["tn-s"].questions}
    assert "authority.starting-limit" in asked
    limits = aw.Engine(allow=()).regions()["iec"].tables["utility_limits"]
    assert [row["row"] for row in limits.rows] == ["not known"]


def test_let_through_energy_is_bounded_and_the_protective_conductor_bears_it(
    rotaries: dict[str, aw.Plan],
) -> None:
    """EN 60898-1, class 3, C 32 A at 3 kA: 22,000 A2 s; k = 115: 1.3 mm2, so the table governs."""
    supply = circuits(rotaries["tn-s"])["supply.rotary"]
    assert (supply.protective_device.curve, supply.protective_device.rating_a) == ("C", 32.0)
    assert value(supply, "fault/let_through_a2s") == 22000.0
    assert supply.protective_conductor is not None
    assert supply.protective_conductor.size == supply.conductor.size == "6 mm2"


def test_after_a_step_up_each_leg_has_the_volts_of_an_earthed_star() -> None:
    """400 V / sqrt(3) on every leg behind the transformer; ahead the made leg stands highest."""
    machine = saw(motor={"voltage": "400 V", "current": "6.5 A"})
    plan = planned("rotary", machine)
    found = circuits(plan)
    assert found["branch.saw"].voltage_to_earth_v == pytest.approx([230.94] * 3, abs=0.1)
    ahead = found["output.rotary"].voltage_to_earth_v
    assert ahead[:2] == pytest.approx([230.0, 0.0])
    assert ahead[2] > ahead[0]
    assert "converter.step-up-grounding" in findings(plan)


def test_factors_of_the_ground_stand_in_the_plan() -> None:
    """Tables B.52.16 and B.52.19: 3 K m/W 0.90, two circuits 0.75; 25 C in a PVC column 0.95."""
    plan = planned("rotary", installation="buried-cable", insulation="NYY", grouped_circuits=2,
                   soil_resistivity="3 K m/W", soil_temperature="25 degC")  # fmt: skip
    branch = circuits(plan)["branch.saw"]
    assert value(branch, "conductor/soil_factor") == 0.9
    assert value(branch, "conductor/grouping_factor") == 0.75
    assert value(branch, "conductor/ambient_factor") == 0.95


def test_a_plug_gets_a_socket_a_flexible_cable_and_30_ma() -> None:
    plan = planned("rotary", saw(traits=["plug-connected"]))
    (guard,) = circuits(plan)["branch.saw"].guards
    assert guard.setting_a == 0.03
    (said,) = [one for one in plan.options[0].findings if one.code == "protection.plug-rating"]
    words = {part.name: part.value for part in said.parameters}
    assert words["receptacle"] == "3-phase 16 A"
    assert str(words["cord"]).endswith("mm2")
    assert "conductor.cord-derived" in {one.code for one in plan.assumptions}


@pytest.mark.parametrize(
    ("method", "traits", "kind"),
    [
        ("drive", [], "type F"),
        ("electronic", [], "type B"),
        ("utility", [], "type A"),
        ("utility", ["rectifier-input"], "type B"),
        ("rotary", [], "type A"),
    ],
)
def test_residual_types_of_a_tt_shop(method: str, traits: list[str], kind: str) -> None:
    """531.3.3: type F ahead of a drive on line and neutral, B where a rectifier sees two lines."""
    plan = planned(method, saw(traits=traits), earthing="tt")
    heads = [one for one in plan.options[0].circuits if not one.fed_from and one.id != "service"]
    assert [[guard.curve for guard in one.guards] for one in heads] == [[kind]]


@pytest.mark.parametrize(("share", "size"), [("10 %", "4 mm2"), ("40 %", "10 mm2")])
def test_harmonics_in_the_neutral_of_a_machine_enlarge_its_cable(share: str, size: str) -> None:
    """Annex E: 25 A x 3 x 0.4 / 0.86 = 34.9 A; B2, PVC, three loaded: 27, 34, 46 A."""
    oven = {"id": "oven", "length": "12 m", "needs_neutral": True, "third_harmonic": share,
            "loads": [{"kind": "resistive", "power": "15 kW", "voltage": "400 V",
                       "phases": 3}]}  # fmt: skip
    plan = planned("utility", oven)
    branch = circuits(plan)["branch.oven"]
    assert branch.protective_device.rating_a == 25.0
    assert branch.conductor.size == size
    assert plan.checks is not None
    assert {one.code for one in plan.checks} <= {"check.not-checked"}


@pytest.mark.parametrize("method", ["A1", "A2", "B1", "B2", "C", "D1", "D2", "E", "F", "G"])
def test_every_reference_method_can_be_stated(method: str) -> None:
    plan = planned("rotary", installation=method, insulation="PVC")
    said = [one for one in plan.assumptions if one.code == "site.installation-method"]
    assert said
    assert plan.checks is not None
    assert {one.code for one in plan.checks} <= {"check.not-checked"}
    # single cores in free air stand in the tables from 25 mm2 on, 110 A in trefoil
    if method == "F":
        assert circuits(plan)["branch.saw"].conductor.ampacity_a == 110.0


@pytest.mark.parametrize("method", ["rotary", "electronic", "utility"])
@pytest.mark.parametrize("system", SYSTEMS)
def test_no_device_of_a_lesser_type_stands_ahead_of_another(method: str, system: str) -> None:
    """531.3.3: what a device has to bear flows through every device ahead of it as well."""
    plan = planned(method, saw(traits=["rectifier-input"]), earthing=system)
    order = {"AC": 1, "A": 2, "F": 3, "B": 4}
    found = circuits(plan)
    types = {
        name: order[guard.curve.removeprefix("type ").removesuffix(" S")]
        for name, one in found.items()
        for guard in one.guards
    }
    assert types or system != "tt"
    behind = [(name, one.fed_from) for name, one in found.items() if one.fed_from in types]
    assert all(types[ahead] >= types[name] for name, ahead in behind if name in types)
    assert max(types.values(), default=4) == 4, "a rectifier between three lines asks for type B"
