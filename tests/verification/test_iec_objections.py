"""Each rule of the IEC family objects to the one thing that it forbids, in a plan sound otherwise.

Every change below touches the record and its steps alike, so that no comparison of the two finds
it; the plan is that of a joinery on one phase of 230 V.
"""
# ruff: noqa: ANN401 - a change takes any part of a record

from collections.abc import Mapping
from functools import cache
from typing import Any

import attrs
import pytest
from tests.verification.planted import with_circuit

import ampwright as aw
from ampwright.engine import default
from ampwright.tables import Table
from ampwright.verification.verify import verify

OPTION = "rotary"
SHOP = {
    "schema": "ampwright.shop/1",
    "name": "Two machines on one phase",
    "region": "iec",
    "supply": {
        "arrangement": "line-neutral",
        "voltage": "230 V",
        "frequency": "50 Hz",
        "rating": "63 A",
        "existing_load": "9 A",
        "fault_current": "3 kA",
        "earthing": "tn-s",
    },
    "site": {"ambient": "32 degC", "installation": "conduit", "grouped_circuits": 2},
    "machines": [
        {
            "id": "saw",
            "length": "18 m",
            "start": "light",
            "load_torque": "friction",
            "motors": [
                {"power": "3 kW", "voltage": "230/400 V", "current": "10.9/6.3 A",
                 "frequency": "50 Hz", "speed": "1430 rpm"}
            ],
        },
        {
            "id": "fan",
            "length": "9 m",
            "start": "light",
            "load_torque": "fan",
            "plug": {"poles": 3, "current": "16 A", "voltage": "230 V"},
            "motors": [
                {"power": "1.1 kW", "voltage": "230/400 V", "current": "4.5/2.6 A",
                 "frequency": "50 Hz", "speed": "1420 rpm"}
            ],
        },
    ],
}  # fmt: skip


@cache
def sound(earthing: str = "tn-s") -> aw.Plan:
    shop = {**SHOP, "supply": {**SHOP["supply"], "earthing": earthing}}  # type: ignore[dict-item]
    return aw.plan(aw.Shop.from_dict(shop), check=False)


def tables() -> Mapping[str, Table]:
    return default().regions()["iec"].tables


def stated() -> Mapping[str, Any]:
    found: Mapping[str, Any] = default().regions()["iec"].stated  # type: ignore[attr-defined]
    return found


def option(plan: aw.Plan) -> aw.Option:
    return next(one for one in plan.options if one.id == OPTION)


def circuit(name: str, plan: aw.Plan) -> aw.Circuit:
    return next(one for one in option(plan).circuits if one.id == name)


def objections(decision: aw.Decision) -> set[tuple[str, str]]:
    found = verify(decision, tables(), stated())
    return {(one.code, one.rule) for one in found if one.severity != "info"}


def changed(
    name: str, values: Mapping[str, float | str], plan: aw.Plan | None = None, **parts: Any
) -> set[tuple[str, str]]:
    """Return the objections to a plan with parts of a circuit and the steps of them replaced."""
    plan = plan or sound()
    own = circuit(name, plan)
    place = f"options/{OPTION}/circuits/{name}/"
    steps = tuple(
        attrs.evolve(one, value=values[one.path.removeprefix(place)])
        if one.path.removeprefix(place) in values
        else one
        for one in own.steps
    )
    return objections(with_circuit(plan, OPTION, attrs.evolve(own, steps=steps, **parts)))


@pytest.mark.parametrize("earthing", ["tn-s", "tt", "it"])
def test_the_plan_itself_is_sound(earthing: str) -> None:
    assert option(sound(earthing)).circuits
    assert not objections(sound(earthing))


def test_a_plan_says_no_more_that_nobody_checked_it() -> None:
    found = aw.verify(sound())
    assert "plan.not-independently-checked" not in {one.code for one in found}
    again = aw.Plan.from_json(sound().to_json())
    assert aw.verify(again) == found


@pytest.mark.parametrize(
    ("part", "value", "rule"),
    [
        ("breaking_capacity_a", 1500.0, "iec.434.5.1"),
        ("rating_v", 120.0, "iec.60898-1"),
        ("poles", 2, "iec.461.2"),
    ],
)
def test_a_device_of_too_low_a_rating(part: str, value: float, rule: str) -> None:
    own = circuit("branch.saw", sound()).protective_device
    parts: dict[str, Any] = {part: value}
    found = changed(
        "branch.saw", {f"protective_device/{part}": float(value)},
        protective_device=attrs.evolve(own, **parts),
    )  # fmt: skip
    assert ("check.breach", rule) in found


def test_a_made_leg_without_what_clears_its_fault() -> None:
    assert circuit("branch.saw", sound()).guards
    assert ("check.breach", "iec.411.4") in changed("branch.saw", {}, guards=())


def test_a_socket_without_additional_protection() -> None:
    assert ("check.breach", "iec.411.3.3") in changed("branch.fan", {}, guards=())


def test_tt_without_a_residual_current_device_at_the_head() -> None:
    found = changed("supply.rotary", {}, sound("tt"), guards=())
    assert ("check.breach", "iec.411.5") in found


def test_a_residual_current_device_that_is_too_coarse() -> None:
    (guard,) = circuit("branch.fan", sound()).guards
    assert guard.setting_a == 0.03
    found = changed(
        "branch.fan", {f"guards/{guard.id}/setting_a": 0.3},
        guards=(attrs.evolve(guard, setting_a=0.3),),
    )  # fmt: skip
    assert ("check.breach", "iec.411.5") in found


def test_a_fault_current_that_is_not_that_of_the_loop() -> None:
    least = circuit("branch.saw", sound()).fault_current_min_a or 0.0
    found = changed("branch.saw", {"fault_current_min_a": 2 * least}, fault_current_min_a=2 * least)
    assert ("check.breach", "iec.411.4") in found


def test_an_isolated_system_counts_the_second_fault() -> None:
    plan = sound("it")
    least = circuit("branch.saw", plan).fault_current_min_a or 0.0
    found = changed(
        "branch.saw", {"fault_current_min_a": 2 * least}, plan, fault_current_min_a=2 * least
    )
    assert ("check.breach", "iec.411.6") in found


def test_a_time_for_final_circuits_on_one_that_is_not() -> None:
    found = changed("supply.rotary", {"fault/longest_s": 0.4})
    assert ("check.breach", "iec.411.3.2") in found


def test_a_motor_without_overload() -> None:
    assert ("check.breach", "iec.60204-1.7.3") in changed("branch.saw", {}, overloads=())


def test_an_overload_that_watches_two_lines_of_three() -> None:
    (own,) = circuit("branch.saw", sound()).overloads
    found = changed(
        "branch.saw", {f"overloads/{own.id}/poles": 2.0}, overloads=(attrs.evolve(own, poles=2),)
    )
    assert ("check.breach", "iec.60204-1.7.3") in found


def test_a_machine_without_switch() -> None:
    assert ("check.breach", "iec.60204-1.5.3") in changed("branch.saw", {}, disconnect=None)


def test_a_switch_for_less_than_the_motor() -> None:
    own = circuit("branch.saw", sound()).disconnect
    assert own is not None
    found = changed(
        "branch.saw", {"disconnect/power_w": 1500.0}, disconnect=attrs.evolve(own, power_w=1500.0)
    )
    assert ("check.breach", "iec.60947-3") in found


@pytest.mark.parametrize("name", ["voltage_drop_fraction", "starting_drop_fraction"])
def test_a_drop_that_is_not_that_of_the_conductors(name: str) -> None:
    half = getattr(circuit("branch.saw", sound()), name) / 2
    found = changed("branch.saw", {name: half}, **{name: half})
    assert ("check.breach", "iec.525") in found


def test_one_thin_protective_conductor_of_aluminium_for_a_drive() -> None:
    """IEC 60364-5-54, 543.7 (from memory): 10 mm2 of copper, but 16 mm2 of aluminium."""
    saw = SHOP["machines"][0]  # type: ignore[index]
    shop = {**SHOP, "machines": [saw], "site": {"conductor_material": "aluminum"}}
    plan = aw.plan(aw.Shop.from_dict(shop), methods=["drive"], check=False)
    assert not objections(plan)
    own = next(one for one in plan.options[0].circuits if one.id == "supply.drive.saw")
    guard = own.protective_conductor
    assert guard is not None
    assert (guard.size, guard.count) == ("10 mm2", 2)
    steps = tuple(
        attrs.evolve(one, value=1.0) if one.path.endswith("protective_conductor/count") else one
        for one in own.steps
    )
    single = attrs.evolve(own, protective_conductor=attrs.evolve(guard, count=1), steps=steps)
    found = objections(with_circuit(plan, plan.options[0].id, single))
    assert ("check.breach", "iec.543.7") in found


def test_a_start_that_counts_from_what_is_drawn_once_it_is_over() -> None:
    """IEC 61000-3-3: before the start nothing is drawn, so the whole of it changes the voltage."""
    states = [one for one in option(sound()).states if one.converter == "rotary"]
    run = max(one.input_current_a for one in states)
    start = max(one.current_a for one in option(sound()).starts)
    less = (start - run) * 0.4717 / 230
    found = changed("supply.rotary", {"disturbance/change_fraction": less})
    assert ("check.breach", "iec.61000-3-3") in found


@pytest.mark.parametrize(
    ("name", "value", "rule"),
    [
        ("conditions/ambient_c", 25.0, "iec.523.2"),
        ("conditions/grouped_circuits", 1.0, "iec.523.5"),
        ("conductor/ambient_factor", 1.0, "iec.523.2"),
        ("conductor/grouping_factor", 1.0, "iec.523.5"),
    ],
)
def test_surroundings_milder_than_those_stated(name: str, value: float, rule: str) -> None:
    assert ("check.breach", rule) in changed("branch.saw", {name: value})


def test_a_fourth_conductor_that_nobody_counted() -> None:
    own = attrs.evolve(circuit("branch.saw", sound()).conductor, count=4)
    found = changed("branch.saw", {"conductor/count": 4.0}, conductor=own)
    assert ("check.breach", "iec.523") in found


@pytest.mark.parametrize("end", ["largest_input_current_a", "smallest_input_current_a"])
def test_a_window_that_ends_elsewhere(end: str) -> None:
    own = option(sound())
    converter = own.converters[0]
    moved = attrs.evolve(converter.window[0], **{end: getattr(converter.window[0], end) + 5})
    converters = (attrs.evolve(converter, window=(moved,)), *own.converters[1:])
    assert ("check.breach", "iec.433.1") in objections(_with(converters=converters))


def _with(**parts: Any) -> aw.Decision:
    plan = sound()
    other = attrs.evolve(option(plan), **parts)
    options = tuple(other if one.id == OPTION else one for one in plan.options)
    return attrs.evolve(plan, options=options)


@pytest.mark.parametrize(
    ("code", "rule"),
    [
        ("converter.made-leg-marking", "iec.514.3"),
        ("converter.all-lines-live", "iec.551"),
        ("plan.equipment-approval", "iec.60204-1.4.3"),
        ("protection.fault-not-disconnected", "iec.411.4"),
        ("protection.plug-rating", "iec.60309-2"),
        ("supply.voltage-change", "iec.61000-3-3"),
        ("converter.capacitor-discharge", "plan.capacitors"),
    ],
)
def test_what_is_not_said(code: str, rule: str) -> None:
    kept = tuple(one for one in option(sound()).findings if one.code != code)
    assert len(kept) < len(option(sound()).findings)
    assert ("check.breach", rule) in objections(_with(findings=kept))


def test_a_cord_that_is_too_thin() -> None:
    findings = tuple(
        attrs.evolve(
            one,
            parameters=tuple(
                attrs.evolve(part, value="1 mm2") if part.name == "cord" else part
                for part in one.parameters
            ),
        )
        if one.code == "protection.plug-rating"
        else one
        for one in option(sound()).findings
    )
    assert ("check.breach", "iec.523") in objections(_with(findings=findings))


def test_a_load_of_the_intake_that_leaves_the_existing_one_out() -> None:
    place = f"options/{OPTION}/service/existing_a"
    steps = tuple(
        attrs.evolve(one, value=0.0) if one.path == place else one for one in option(sound()).steps
    )
    assert ("check.breach", "iec.311.1") in objections(_with(steps=steps))


@pytest.mark.parametrize(
    ("table", "row", "column", "rule"),
    [
        ("ampacity_b_52_4", "copper B2 2.5", "iz_a", "iec.523"),
        ("grouping", "2", "bunched", "iec.523.5"),
        ("ambient_air", "35", "pvc", "iec.523.2"),
        ("resistance", "1.5", "copper", "iec.525"),
        ("device_curves", "D", "instant_high", "iec.60898-1"),
    ],
)
def test_a_cell_that_differs_from_that_of_the_region(
    table: str, row: str, column: str, rule: str
) -> None:
    own = tables()[table]
    number = own.number(row, column)
    assert number is not None
    rows = [
        {**one, column: f"{1.5 * number:g}"} if one[own.key] == row else one for one in own.rows
    ]
    other = {**tables(), table: attrs.evolve(own, rows=tuple(rows))}
    found = verify(sound(), other, stated())
    assert ("check.breach", rule) in {(one.code, one.rule) for one in found}


def test_without_what_the_code_states_it_says_what_it_did_not_check() -> None:
    found = verify(sound(), tables())
    assert "iec.433.1" in {one.rule for one in found if one.code == "check.not-checked"}


def test_what_is_wrong_with_the_feeder_is_a_condition_of_the_whole() -> None:
    """The machines themselves are feasible; without such a finding the verdict has no ground."""
    with_care = "feasible-with-conditions"
    machines = tuple(
        attrs.evolve(one, verdict="feasible", reasons=()) for one in option(sound()).machines
    )
    bare = _with(machines=machines, verdict=with_care)
    assert ("check.breach", "plan.verdict") in objections(bare)
    wide = aw.Finding(code="feeder.voltage-drop", severity="caution", where=("service",))
    grounded = _with(
        machines=machines, verdict=with_care, findings=(*option(sound()).findings, wide)
    )
    place = f"options/{OPTION}/verdict"
    wrong = [
        one
        for one in verify(grounded, tables(), stated())
        if one.rule == "plan.verdict" and any(part.value == place for part in one.parameters)
    ]
    assert not wrong
