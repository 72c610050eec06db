"""Machines of one phase whose parts take line to line and line to neutral."""

import json

import pytest

import ampwright as aw

SUPPLY = {
    "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "200 A",
}  # fmt: skip
THREE = {"power": "5 hp", "voltage": "230 V", "current": "13.2 A", "frequency": "60 Hz"}
LINES = {
    "power": "2 hp", "phases": 1, "voltage": "230 V", "current": "12 A", "frequency": "60 Hz",
}  # fmt: skip
ONE_LEG = {
    "power": "0.5 hp", "phases": 1, "voltage": "115 V", "current": "9.8 A", "frequency": "60 Hz",
}  # fmt: skip
HEATER = {"kind": "resistive", "phases": 1, "voltage": "240 V", "current": "10 A"}
LAMP = {"kind": "lamp", "phases": 1, "voltage": "120 V", "current": "2 A"}
HEAT3 = {"kind": "resistive", "voltage": "240 V", "power": "6 kW", "relinkable": True}


def planned(**machine: object) -> aw.Plan:
    """Return the plan of one machine on 120/240 V."""
    shop = {
        "schema": "ampwright.shop/1", "name": "one", "region": "us", "supply": SUPPLY,
        "machines": [{"id": "m", "length": "12 m", **machine}],
    }  # fmt: skip
    return aw.plan(aw.Shop.from_dict(shop))


def option(plan: aw.Plan, name: str) -> aw.Option:
    """Return the option of that name."""
    return next(one for one in plan.options if one.id == name)


def objections(plan: aw.Plan) -> list[tuple[str, str]]:
    """Return code and rule of what the check objects to."""
    return [(one.code, one.rule) for one in aw.verify(plan) if one.severity != "info"]


@pytest.mark.parametrize(
    ("machine", "way"),
    [
        ({"motors": [LINES, ONE_LEG]}, "direct"),
        ({"loads": [HEATER, LAMP]}, "direct"),
        ({"motors": [LINES], "loads": [LAMP]}, "direct"),
        ({"motors": [THREE, ONE_LEG]}, "motor-swap"),
        ({"motors": [THREE], "loads": [LAMP]}, "motor-swap"),
        ({"loads": [HEAT3, LAMP]}, "relink"),
        ({"motors": [ONE_LEG], "loads": [HEAT3]}, "relink"),
    ],
    ids=str,
)
def test_each_voltage_has_a_circuit_of_its_own(machine: dict[str, object], way: str) -> None:
    plan = planned(**machine)
    found = option(plan, way)
    circuits = {one.id: one for one in found.circuits}
    assert set(circuits) == {"branch.m", "branch.m.one-leg"}
    assert circuits["branch.m"].voltage_v == 240.0
    leg = circuits["branch.m.one-leg"]
    assert leg.voltage_v == 120.0
    assert leg.voltage_to_earth_v == (120.0, 0.0)
    assert leg.protective_device is not None
    assert leg.protective_device.poles == 1
    assert "machine.two-sources" in {one.code for one in found.findings}
    assert not objections(plan)


def test_a_part_on_one_leg_counts_with_its_own_voltage() -> None:
    """Half a horsepower of 9.8 A at 120 V draws 1176 VA: 4.9 A of the two lines' current."""
    plan = planned(motors=[LINES, ONE_LEG])
    states = {one.id: one for one in option(plan, "direct").states}
    assert states["m.one-leg/all"].input_current_a == pytest.approx(4.9, rel=1e-12)
    assert states["m/all"].input_current_a == pytest.approx(12.0, rel=1e-12)
    assert states["supply/all"].input_current_a == pytest.approx(16.9, rel=1e-12)


def test_what_takes_line_to_neutral_alone_keeps_its_one_circuit() -> None:
    found = option(planned(motors=[ONE_LEG], loads=[LAMP]), "direct")
    assert [(one.id, one.voltage_v) for one in found.circuits] == [("branch.m", 120.0)]
    assert "machine.two-sources" not in {one.code for one in found.findings}


@pytest.mark.parametrize("machine", [{"motors": [LINES, ONE_LEG]}, {"loads": [HEATER, LAMP]}])
def test_the_check_objects_to_all_of_it_on_two_lines(machine: dict[str, object]) -> None:
    """As if both parts hung on the circuit that has no neutral."""
    data = json.loads(planned(**machine).to_json())
    for one in data["options"]:
        one["circuits"] = [each for each in one["circuits"] if each["id"] != "branch.m.one-leg"]
    assert ("check.breach", "plan.part-without-circuit") in objections(aw.Plan.from_dict(data))
