"""What the statement gives cause to say: each fact its finding, and no fact none."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor, supply

from ampwright.planning.observations import FACTS, LOADS, asked, observed
from ampwright.records.equipment import OwnedCapacitors, OwnedDrive, OwnedOutlet
from ampwright.records.load import Load
from ampwright.records.motor import Motor
from ampwright.records.site import Site
from ampwright.records.supply import Standby

ALWAYS = {("plan.permit-inspection", ("shop",))}


def said(*machines: Any, **changes: Any) -> set[tuple[str, tuple[str, ...]]]:
    return {(one.code, one.where) for one in observed(case_of(*machines, **changes))}


def fact(field: str, value: str) -> dict[str, Any]:
    """Return the field of a machine that the row of the table is about."""
    known: dict[str, Any] = {"true": True, "false": False}
    return {field: (value,) if field == "traits" else known.get(value, value)}


def test_a_plain_machine_gives_cause_to_nothing_but_a_permit() -> None:
    assert said(machine()) == ALWAYS


@pytest.mark.parametrize("row", FACTS.rows, ids=lambda row: f"{row['field']}-{row['value']}")
def test_each_fact_of_the_table_has_its_finding(row: dict[str, str]) -> None:
    stated = machine(**fact(row["field"], row["value"]))
    assert said(stated) == ALWAYS | {(row["code"], ("saw",))}


@pytest.mark.parametrize(
    "fields",
    [
        {"start": "light"}, {"load_torque": "constant"}, {"rotation_critical": False},
        {"overload_fitted": True}, {"disconnect_in_sight": True}, {"unloader": True},
        {"traits": ("reversing",)},
    ],
)  # fmt: skip
def test_what_is_in_order_is_not_mentioned(fields: dict[str, Any]) -> None:
    assert said(machine(**fields)) == ALWAYS


def test_a_finding_is_about_its_own_machine() -> None:
    found = said(machine("a", traits=("hermetic",)), machine("b", start="hard"))
    assert found == ALWAYS | {
        ("machine.hermetic-compressor", ("a",)),
        ("machine.hard-start", ("b",)),
    }


def test_several_motors_are_one_finding_unless_they_are_speeds_of_one() -> None:
    two = (motor(), motor(power="1 hp", current="3.5/1.7 A"))
    assert ("machine.multi-motor", ("saw",)) in said(machine(motors=two))
    speeds = said(machine(motors=two, traits=("two-speed",)))
    assert speeds == ALWAYS | {("machine.two-speed-pole-changing", ("saw",))}


def test_a_single_phase_motor_beside_another_is_not_one_of_several() -> None:
    coolant = Motor(power="0.1 hp", voltage="115 V", phases=1, frequency="60 Hz")
    found = {code for code, _ in said(machine(motors=(motor(), coolant)))}
    assert "machine.multi-motor" not in found


def test_a_limit_of_stopping_time_is_quoted_with_its_step() -> None:
    case = case_of(machine(stopping_time_limit="10 s"))
    (one,) = [found for found in observed(case) if found.code == "safety.braking-time"]
    (part,) = one.parameters
    assert (part.value, part.unit) == (10.0, "s")
    assert part.step in {found.path for found in case.steps}


@pytest.mark.parametrize(
    ("where", "told"),
    [("at-meter", True), ("in-building", True), ("in-street", True), ("extension", False),
     ("none", False)],
)  # fmt: skip
def test_three_phase_at_hand_is_pointed_out(where: str, *, told: bool) -> None:
    found = said(machine(), supply=supply(three_phase=where))
    assert (("supply.three-phase-already-available", ("supply",)) in found) == told


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"arrangement": "line-line", "voltage": "208 V"}, "supply.two-live-conductors"),
        ({"source": "inverter"}, "supply.inverter-source"),
        ({"lowest_voltage": "215 V"}, "supply.wide-voltage-range"),  # 10.4 % below 240 V
        ({"lowest_voltage": "216 V", "highest_voltage": "264 V"}, None),
        ({"highest_voltage": "265 V"}, "supply.wide-voltage-range"),
        ({}, None),
        ({"source": "generator"}, "supply.generator-source"),
    ],
)
def test_the_kind_of_supply(changes: dict[str, Any], code: str | None) -> None:
    found = {
        one for one, where in said(machine(), supply=supply(**changes)) if where == ("supply",)
    }
    assert found == ({code} if code else set())


def test_earth_is_not_exported_to_another_building() -> None:
    apart, here = Site(detached_building=True), Site(detached_building=False)
    tn_c_s = supply(earthing="tn-c-s")
    wanted = ("supply.earthing-export", ("supply",))
    assert wanted in said(machine(), supply=tn_c_s, site=apart)
    assert wanted not in said(machine(), supply=tn_c_s, site=here)
    assert wanted not in said(machine(), supply=supply(earthing="tn-s"), site=apart)


def test_machines_to_come_call_for_a_margin() -> None:
    wanted = ("plan.future-machine-margin", ("shop",))
    assert wanted in said(machine(), site=Site(future_machines=1))
    assert wanted not in said(machine(), site=Site(future_machines=0))


@pytest.mark.parametrize("row", LOADS.rows, ids=lambda row: f"{row['kind']}-{row['code']}")
def test_each_kind_of_load_has_its_finding(row: dict[str, Any]) -> None:
    on_three = Load(kind=row["kind"], power="5 kW", voltage="240 V")
    on_one = Load(kind=row["kind"], power="5 kW", voltage="240 V", phases=1)
    wanted = (row["code"], ("saw",))
    assert wanted in said(machine(loads=(on_three,)))
    assert wanted not in said(machine(loads=(on_one,)))


def test_controls_of_a_single_phase_machine_meet_no_made_leg() -> None:
    single = machine(motors=(motor(phases=1),), controls="line-neutral")
    assert said(single) == ALWAYS
    three = machine(controls="line-neutral")
    assert ("control.neutral-from-manufactured-leg", ("saw",)) in said(three)


def test_what_is_missing_on_a_plate_is_named() -> None:
    case = case_of(machine(plate_lacks=("short-circuit-rating",)))
    (one,) = [found for found in observed(case) if found.code == "nameplate.missing-field"]
    assert one.parameters[0].value == "short-circuit-rating"


@pytest.mark.parametrize(
    ("connection", "codes"),
    [
        ("lead-with-two-plugs", {"safety.backfeed", "safety.plug-live-pins"}),
        ("parallel", {"safety.backfeed"}),
        ("transfer-switch", set()),
        ("interlock", set()),
        (None, {"safety.backfeed"}),
    ],
)
def test_the_way_a_second_source_is_connected(connection: Any, codes: set[str]) -> None:
    standby = Standby(kind="generator", connection=connection)
    case = case_of(machine(), supply=supply(standby=standby))
    assert {one.code for one in observed(case) if one.code.startswith("safety.")} == codes
    blocks = {one.code for one in observed(case) if one.severity == "blocks"}
    assert blocks == (codes if connection else set())
    assert bool(asked(case)) == (connection is None)


@pytest.mark.parametrize(
    ("piece", "codes"),
    [
        (OwnedOutlet(id="x", on_converter=True, switched=False),
         {"converter.output-live-on-two-legs"}),
        (OwnedOutlet(id="x", on_converter=True, switched=True), set()),
        (OwnedOutlet(id="x", on_converter=False, switched=False), set()),
        (OwnedCapacitors(id="x", discharge_resistors=False), {"converter.capacitor-discharge"}),
        (OwnedCapacitors(id="x", discharge_resistors=True), set()),
        (OwnedDrive(id="x", shared=True),
         {"converter.drive-one-motor", "converter.drive-output-switching"}),
        (OwnedDrive(id="x", shared=False), set()),
    ],
)  # fmt: skip
def test_what_is_there_already_may_be_dangerous(piece: Any, codes: set[str]) -> None:
    case = case_of(machine(), equipment=(piece,))
    assert {one.code for one in observed(case) if "x" in one.where} == codes
    assert not asked(case)


def test_what_is_not_known_of_capacitors_is_asked() -> None:
    (one,) = asked(case_of(machine(), equipment=(OwnedCapacitors(id="x"),)))
    assert (one.code, one.where) == ("equipment.discharge-resistors", ("x",))


@pytest.mark.parametrize(("stated", "open_"), [(None, True), (True, False), (False, False)])
def test_whether_electronics_take_one_phase_is_asked(stated: bool | None, *, open_: bool) -> None:  # noqa: FBT001 - what a caller may state
    load = Load(kind="rectifier", current="10 A", voltage="240 V", relinkable=stated)
    found = asked(case_of(machine(loads=(load,))))
    assert [one.changes for one in found] == (["method"] if open_ else [])
