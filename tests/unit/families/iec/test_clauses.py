"""Each number of a circuit names the clause that asks for it.

IEC 60364-4-41 for the time to disconnect, -4-43 for overload and fault, -5-52 for capacity, size
and drop, -5-54 for protective conductors, and the standards of the devices. What is no rule's, such
as how a circuit is laid, names none.
"""
# ruff: noqa: ANN401 - the asker builds records

import re
from typing import Any

import pytest

from ampwright.step import Figure

CURVES = "heat_a hold inrush_a instant_low peak_a rating_a required_a time_constant_s"
CLAUSES = {
    "": "conditions/ambient_c conditions/ground_c conditions/grouped_circuits conditions/soil "
    "conductor/length_m phases voltage_v voltage_to_earth_v/*",
    # current-carrying capacity: 523; temperature and soil 523.2, groups 523.5, harmonics 523.6
    "iec.523": "conditions/limit_c conductor/count conductor/ampacity_a "
    "conductor/table_ampacity_a conductor/smaller/ampacity_a conductor/smaller/table_ampacity_a",
    "iec.523.2": "conductor/ambient_factor conductor/soil_factor",
    "iec.523.5": "conductor/grouping_factor",
    "iec.523.6": "harmonics/factor harmonics/required_a",
    "iec.524": "conductor/area_mm2 conductor/limits/*/area_mm2 conductor/limits/smallest/size "
    "protective_conductor/area_mm2 protective_conductor/line/area_mm2",
    "iec.525": "conductor/limits/start/size voltage_drop_fraction starting_drop_fraction "
    "starting_power_factor drop/extra_most drop/fraction_per_m drop/from_m drop/recommended "
    "drop/recommended_fraction drop/start_most impedance/*",
    # design current up to device up to capacity
    "iec.433.1": "conductor/device_factor conductor/needed_a conductor/size conductor/smaller/size "
    "conductor/limits/capacity/size design_current_a full_load_sum_a loads/*/counted_a "
    "window/largest_input_current_a window/smallest_input_current_a",
    "iec.434.5.1": "fault_current_a protective_device/breaking_capacity_a",
    "iec.434.5.2": "conductor/limits/fault-energy/size fault/heat_mm2 fault/k",
    "iec.411.3.2": "fault/longest_s protective_device/to_earth_v",
    "iec.411.4": "fault/line_ohm fault/loop_ohm fault/lowest_v fault/needed_a "
    "fault/protective_ohm fault/source_ohm fault/voltage_factor fault_current_min_a",
    "iec.411.5": "fault/largest_earth_ohm fault/touch_voltage_v guards/*/setting_a",
    "iec.461.2": "protective_device/poles",
    "iec.531.3.3": "guards/*/poles guards/*/rating_a guards/*/type",
    "iec.537.3": "disconnect/poles",
    "iec.543.1": "protective_conductor/count protective_conductor/heat/area_mm2 "
    "protective_conductor/k protective_conductor/length_m protective_conductor/size "
    "protective_conductor/table/* protective_conductor/wanted_mm2",
    "iec.543.7": "protective_conductor/reinforced_mm2",
    "iec.552": "motors/*/current_a protective_device/start/*",
    "iec.60204-1.5.3": "disconnect/rating_v",
    "iec.60204-1.7.3": "overloads/*/poles overloads/*/setting_a",
    "iec.60898-1": "fault/instantaneous_multiple protective_device/curve "
    "protective_device/curves/* protective_device/first_half_cycle protective_device/rating_a "
    "protective_device/rating_v protective_device/smaller/rating_a",
    "iec.60898-1.hold": "loads/*/inrush_multiple protective_device/curves/heat_a "
    "protective_device/inrush_a protective_device/inrush_multiple",
    "iec.60898-1.let-through": "fault/let_through_a2s",
    "iec.60947-3": "disconnect/power_w disconnect/rating_a motors_power_w",
    "iec.60947-4-1": "overloads/*/class overloads/*/classes/*",
    "iec.61000-3-3": "disturbance/change_fraction disturbance/impedance_ohm "
    "disturbance/limit_fraction disturbance/seldom_fraction",
}  # fmt: skip
BY_NAME = {name: rule for rule, names in CLAUSES.items() for name in names.split()}
#: What asks for a size where the neutral carries harmonics: they do, and not the device.
HARMONIC = ("conductor/size", "conductor/smaller/size", "conductor/limits/capacity/size")


def figure(value: float) -> Figure:
    return Figure(float(value), "case/given")


def short(path: str) -> str:
    """Return the name of a step: parts without their ids, lists of equals without their members."""
    name = path.removeprefix("options/x/circuits/c/")
    name = re.sub(r"^(motors|loads|overloads)/\w+(/\d+)?", r"\1/*", name)
    name = re.sub(r"^(guards)/[\w-]+", r"\1/*", name)
    name = re.sub(r"^(voltage_to_earth_v)/\d", r"\1/*", name)
    name = re.sub(r"^(conductor/limits)/[\w-]+/area", r"\1/*/area", name)
    name = re.sub(r"^(protective_device/curves)/\w/heat_a", r"\1/heat_a", name)
    for head in ("impedance", "protective_conductor/table", "protective_device/start",
                 "overloads/*/classes"):  # fmt: skip
        if name.startswith(f"{head}/"):
            return f"{head}/*"
    curve = re.match(r"protective_device/curves/\w/(\w+)$", name)
    return "protective_device/curves/*" if curve and curve[1] in CURVES.split() else name


def demands(iec: Any) -> dict[str, Any]:
    saw, dust = iec.motor(4, 9), iec.motor(1.5, 3.5, id="dust/0", machine="dust")
    oven = iec.load(12)
    started = {"starting_current": figure(54), "starting_time": figure(3)}
    return {
        "one motor": iec.demand(motors=(saw,)),
        "two motors": iec.demand(motors=(saw, dust)),
        "heater": iec.single(loads=(oven,)),
        "far heater": iec.single(loads=(oven,), length=figure(150)),
        "line behind a converter": iec.made(role="output", motors=(saw, dust)),
        "motor behind a converter": iec.made(motors=(saw,)),
        "converter": iec.single(role="supply", converter=iec.converter(30), motors=(saw,)),
        "idler": iec.made(role="idler", motors=(saw,)),
        "start": iec.demand(motors=(saw,), starting_power_factor=figure(0.4), **started),
        "start with a limit": iec.demand(
            motors=(saw,), starting_drop_limit=figure(0.03), starting_current=figure(54)
        ),
        "harmonics": iec.demand(motors=(saw,), neutral=True, third_harmonic=figure(0.2)),
    }


NAMES = ("one motor", "two motors", "heater", "far heater", "line behind a converter",
         "motor behind a converter", "converter", "idler", "start", "start with a limit",
         "harmonics")  # fmt: skip


@pytest.mark.parametrize("earthing", ["tn-s", "tt"])
@pytest.mark.parametrize("laid", ["conduit", "buried-cable", "tray"])
@pytest.mark.parametrize("name", NAMES)
def test_each_step_names_the_clause_that_asks_for_it(
    iec: Any, name: str, laid: str, earthing: str
) -> None:
    site, supply = iec.site(installation=laid), iec.supply(earthing=earthing)
    answer = iec.ask(demands(iec)[name], site, supply)
    assert answer.circuit is not None
    seen = {short(step.path): step.rule for step in answer.circuit.steps}
    wanted = {one: BY_NAME.get(one, "no clause is known for it") for one in seen}
    if name == "harmonics":
        wanted |= dict.fromkeys(HARMONIC, "iec.523.6")
    assert seen == wanted
    limits = {"conductor/limits/capacity/size", "conductor/limits/*/area_mm2"}
    assert limits | {"conductor/size"} <= {*seen}


def test_every_clause_is_met_by_one_of_them(iec: Any) -> None:
    supplies = [iec.supply(earthing=one) for one in ("tn-s", "tt")]
    met = {
        step.rule
        for demand in demands(iec).values()
        for supply in supplies
        for step in iec.ask(demand, supply=supply).circuit.steps
    }
    assert met == set(CLAUSES)


def test_in_an_it_network_the_smallest_fault_is_the_second_one(iec: Any) -> None:
    """IEC 60364-4-41, 411.6.4."""
    answer = iec.ask(iec.made(motors=(iec.motor(4, 9),)), supply=iec.supply(earthing="it"))
    rules = {short(step.path): step.rule for step in answer.circuit.steps}
    assert rules["fault_current_min_a"] == "iec.411.6"


def test_a_drive_has_the_protective_conductor_of_543_7(iec: Any) -> None:
    """More than 10 mA: 10 mm2 of copper, or a second one; and its inrush comes with its kind."""
    drive = iec.converter(30, kind="drive", method="drive")
    answer = iec.ask(iec.single(role="supply", converter=drive, motors=(iec.motor(4, 9),)))
    rules = {short(step.path): step.rule for step in answer.circuit.steps}
    assert rules["protective_conductor/count"] == "iec.543.7"
    assert rules["protective_device/inrush_multiple"] == "iec.60898-1.hold"


def test_the_next_smaller_size_is_shown_with_what_it_carries(iec: Any) -> None:
    """30 A, cable C, PVC: 4 mm2 carries 36 A, 2.5 mm2 27 A, less than the device of 32 A.

    IEC 60364-5-52, B.52.2; status: seen.
    """
    answer = iec.ask(
        iec.single(loads=(iec.load(30),), running_current=figure(30)),
        iec.site(installation="C", insulation="PVC"),
    )
    values = {short(step.path): step.value for step in answer.circuit.steps}
    assert (values["conductor/size"], values["conductor/ampacity_a"]) == ("4 mm2", 36)
    assert values["conductor/smaller/size"] == "2.5 mm2"
    assert values["conductor/smaller/ampacity_a"] == 27
    assert values["conductor/limits/capacity/size"] == "4 mm2"
    assert values["conductor/limits/smallest/size"] == "1.5 mm2"
    assert values["conductor/area_mm2"] == 4


def test_beyond_the_rows_the_formula_of_annex_d_is_named(iec: Any) -> None:
    """Method E, PVC, three loaded, 150 mm2: 12.9 x 150^0.64 = 12.9 x 24.70 = 318.6 A.

    IEC 60364-5-52, D.52.1; from memory, as is that B.52.10 prints 319.
    """
    answer = iec.ask(
        iec.demand(loads=(iec.load(300, phases=3),), running_current=figure(300)),
        iec.site(installation="E", insulation="PVC"),
    )
    steps = {short(step.path): step for step in answer.circuit.steps}
    assert steps["conductor/size"].value == "150 mm2"
    held = steps["conductor/table_ampacity_a"]
    assert held.value == pytest.approx(318.6, abs=0.05)
    assert held.formula == "a * 150.0 ** m"
    for name, value in (("a", 12.9), ("m", 0.64)):
        assert (steps[f"conductor/{name}"].value, steps[f"conductor/{name}"].rule) == (
            value, "iec.523.annex-d",
        )  # fmt: skip
    assert held.rule == "iec.523.annex-d"
    assert steps["conductor/ampacity_a"].rule == "iec.523"
