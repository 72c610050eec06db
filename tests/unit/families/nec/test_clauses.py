"""Which clause each number names: by what the clauses settle, as the region's rules say."""
# ruff: noqa: ANN401 - the builders take any field of a record

import re
from typing import Any

import pytest

#: Steps that name the same clause wherever they stand, by clause.
EVERYWHERE = {
    "nec.110.9": "fault_current_a protective_device/breaking_capacity_a",
    "nec.110.14(C)": "conductor/least_end_a conductor/marked_terminal_c conductor/terminal_c "
    "conductor/unmarked_terminal_c conductor/terminal_ampacity_a "
    "conductor/smaller/terminal_ampacity_a",
    "nec.240.15(B)": "protective_device/poles",
    "nec.240.85": "protective_device/rating_v protective_device/to_earth_v",
    "nec.250.4(A)(5)": "fault/instantaneous_multiple fault/lowest_v fault/needed_a "
    "fault_current_min_a guards/voltage-relay/poles",
    "nec.250.122(A)": "protective_conductor/count protective_conductor/size "
    "protective_conductor/table/size",
    "nec.250.122(B)": "protective_conductor/wanted_mm2",
    "nec.300.3(B)": "protective_conductor/length_m",
    "nec.310.4": "conductor/insulation_c conductor/limit_c",
    "nec.310.15(B)": "conductor/ambient_factor",
    "nec.310.15(C)(1)": "conductor/adjustment_factor conductor/count conductor/together",
    "nec.310.16": "conductor/ampacity_a conductor/table_ampacity_a conductor/smaller/ampacity_a "
    "conductor/smaller/table_ampacity_a",
    "nec.400.5": "cord/ambient_factor cord/ampacity_a cord/size cord/table_ampacity_a",
    "nec.210.21(B)": "cord/receptacle cord/receptacle_least_a",
    "nec.430.6(A)(1)": "motors/*/power_hp motors/*/full_load_current_a motors/*/full_load_lower_a "
    "motors/*/full_load_upper_a",
    "nec.430.22(C)": "motors/*/delta_factor motors/*/delta_leads_a",
    "nec.430.22(E)": "motors/*/duty_percent",
    "nec.430.32(A)(1)": "overloads/*/factor overloads/*/setting_a",
    "nec.430.37": "overloads/*/poles",
    "nec.430.52": "start/before_a start/current_a start/first_half_cycle start/heat_a "
    "start/heating_time_constant_s start/hold start/instantaneous_lower start/kept_fraction "
    "start/peak_a start/time_s limits/start_heat/rating_a limits/start_peak/rating_a",
    "nec.430.52(C)(1)": "ceiling/percent",
    "nec.430.52(C)(1)X2": "ceiling/raised_percent",
    "nec.430.110(A)": "disconnect/power_w",
    "nec.430.110(C)": "disconnect/locked_sum_a disconnect/by_full_load_hp disconnect/power_hp "
    "disconnect/by_locked_rotor_hp",
    "nec.430.251": "motors/*/locked_rotor_current_a disconnect/*/locked_rotor_a",
    "nec.455.8(C)(2)": "disconnect/switch_locked_rotor_a disconnect/switch_hp",
    "nec.455.6(A)(1)": "design/by_plate_a",
    "nec.455.6(A)(2)": "design/by_loads_a design/loads_a",
    "nec.455.8(C)": "disconnect/by_plate_a",
    "nec.9.1": "raceway/conductors raceway/fill_fraction raceway/filled_in2 raceway/percent "
    "raceway/limit_fraction raceway/phase_area_in2 raceway/protective_area_in2 "
    "raceway/smaller/fill_fraction",
    "nec.9.4": "raceway/size raceway/total_in2 raceway/smaller/total_in2",
    "nec.9.8": "area circular_mils",
    "nec.9.9": "voltage_drop_fraction starting_drop_fraction impedance/r_ohm_per_kft "
    "impedance/x_ohm_per_kft fault/phase_r_ohm_per_kft fault/phase_x_ohm_per_kft fault/phase_ohm "
    "fault/protective_r_ohm_per_kft fault/protective_x_ohm_per_kft fault/protective_ohm",
}
#: Steps whose clause goes by what the circuit feeds: of the conductor, of the device, of its
#: ceiling as it is reckoned and as it is rounded, of the disconnect.
CONDUCTOR = "design_current_a conductor/size"
DEVICE = "required_a rating_a smaller/rating_a limits/load/rating_a load_a input_a"
DISCONNECT = "disconnect/least_a disconnect/rating_a disconnect/poles disconnect/rating_v"
MOTOR = {
    "nec.430.52(C)(1)": "ceiling/calculated_a",
    "nec.430.52(C)(1)X1": "ceiling/rating_a",
    "nec.430.52(C)(1)X2": "ceiling/raised_a ceiling/raised_calculated_a",
}
ONE_MOTOR = MOTOR | {
    "nec.430.22": f"{CONDUCTOR} motors/*/conductor_current_a",
    "nec.430.52": DEVICE,
    "nec.430.110(A)": f"{DISCONNECT} full_load_sum_a",
}
SEVERAL = MOTOR | {
    "nec.430.22": "motors/*/conductor_current_a",
    "nec.430.24": CONDUCTOR,
    "nec.430.52": "required_a rating_a smaller/rating_a",
    "nec.430.110(C)": f"{DISCONNECT} full_load_sum_a",
}
CONVERTER = {
    "nec.460.8": "capacitors/conductor_factor",
    "nec.430.22": "motors/*/conductor_current_a",
    "nec.455.7": f"{DEVICE} ceiling/calculated_a ceiling/rating_a window/device_a "
    "window/device_least_a window/last_rating_a window/smaller_rating_a "
    "window/smallest_input_current_a",
}
DRIVE = MOTOR | {
    "nec.430.22": "motors/*/conductor_current_a",
    "nec.430.130": f"{DEVICE} ceiling/drive_a window/device_a window/smallest_input_current_a",
    "nec.430.122(A)": f"{CONDUCTOR} window/conductor_a",
    "nec.430.128": f"{DISCONNECT} window/disconnect_a",
}
LOADS = {
    "nec.210.19(A)": f"{CONDUCTOR} {DISCONNECT} full_load_sum_a loads/*/counted_a",
    "nec.210.20(A)": DEVICE,
}
BY_CASE: dict[int, dict[str, str]] = {
    0: ONE_MOTOR,
    1: SEVERAL
    | {"nec.430.63": "limits/load/rating_a ceiling/sum_a ceiling/several_a",
       "nec.210.19(A)": "loads/*/counted_a"},
    2: SEVERAL | {"nec.430.62(A)": "limits/load/rating_a ceiling/sum_a ceiling/several_a"},
    3: ONE_MOTOR,
    # 4.97 hp plate figures of a 4 kW motor: it starts only by the second exception
    4: ONE_MOTOR | {"nec.430.52": "required_a limits/load/rating_a load_a",
                    "nec.430.52(C)(1)X2": "ceiling/raised_a ceiling/raised_calculated_a rating_a "
                    "smaller/rating_a"},
    5: ONE_MOTOR | {"nec.430.22": "", "nec.430.22(E)": f"{CONDUCTOR} motors/*/conductor_current_a"},
    6: ONE_MOTOR
    | {"nec.430.22": "", "nec.440.32": f"{CONDUCTOR} motors/*/conductor_current_a",
       "nec.430.52": "required_a limits/load/rating_a load_a",
       "nec.440.22": "ceiling/calculated_a ceiling/rating_a ceiling/raised_a "
       "ceiling/raised_calculated_a rating_a smaller/rating_a"},
    7: ONE_MOTOR,
    8: CONVERTER
    | {"nec.455.6(A)(1)": f"{CONDUCTOR} window/conductor_a",
       "nec.455.8(C)": f"{DISCONNECT} window/disconnect_a"},
    9: CONVERTER
    | {"nec.455.6(A)(2)": CONDUCTOR, "nec.455.8(C)(1)": f"{DISCONNECT} disconnect/by_loads_a"},
    10: DRIVE,
    11: DRIVE | {"nec.430.122(A)": "", "nec.430.122(B)": CONDUCTOR, "nec.430.128": "",
                 "nec.430.110(A)": DISCONNECT},
    12: LOADS,
    13: {"nec.630.11(A)": f"{CONDUCTOR} loads/*/counted_a loads/*/multiplier",
         "nec.630.12(A)": f"{DEVICE} ceiling/calculated_a ceiling/rating_a",
         "nec.630.31(A)": "loads/*/varying loads/*/resistance_multiplier",
         "nec.630.13": DISCONNECT},
    14: LOADS
    | {"nec.210.20(A)": "limits/load/rating_a",
       "nec.450.3(B)": "ceiling/calculated_a ceiling/rating_a ceiling/both_a "
       "ceiling/with_secondary_a inrush/transformer_inrush inrush/instantaneous_lower "
       "inrush/peak_a limits/inrush/rating_a required_a rating_a smaller/rating_a"},
    15: ONE_MOTOR,
    16: {"nec.630.31(A)": f"{CONDUCTOR} loads/*/counted_a loads/*/varying "
         "loads/*/resistance_multiplier",
         "nec.630.32(A)": f"{DEVICE} ceiling/calculated_a ceiling/rating_a",
         "nec.630.33": DISCONNECT},
}  # fmt: skip


def short(path: str) -> str:
    """Return the name of a step: motors and loads without their number, areas by what they are."""
    name = path.removeprefix("options/x/circuits/c/")
    name = re.sub(r"(?<=/)(saw|dust|oven)/\d+", "*", name)
    for kind in ("area_mm2", "circular_mils"):
        if name.endswith(kind):
            return kind.removesuffix("_mm2")
    return name


def clauses(groups: dict[str, str]) -> dict[str, str]:
    """Return the clause of each step by its name; of a device without ``protective_device/``."""
    return {name: rule for rule, names in groups.items() for name in names.split()}


@pytest.mark.parametrize("terminals", ["75 degC", None])
@pytest.mark.parametrize("n", BY_CASE)
def test_each_step_names_the_clause_that_asks_for_it(
    us: Any, demands: Any, n: int, terminals: str | None
) -> None:
    answer = us.ask(demands(us)[n], us.site(terminals=terminals))
    everywhere, here = clauses(EVERYWHERE), clauses(BY_CASE[n])
    for window in answer.windows:  # its upper edge is the one of the part that gives way first
        here["window/largest_input_current_a"] = here[f"window/{window.part}_a"]
    for step in answer.circuit.steps:
        name = short(step.path)
        names = (name, name.removeprefix("protective_device/"))
        wanted = next((one[at] for at in names for one in (here, everywhere) if at in one), "")
        assert step.rule == wanted, (name, step.rule, wanted)


def test_a_feeder_of_loads_names_the_clauses_of_feeders(us: Any) -> None:
    loads = (us.load(20), us.load(10, id="b/0"))
    answer = us.ask(us.made(role="output", loads=loads))
    rules = {short(one.path): one.rule for one in answer.circuit.steps}
    assert rules["design_current_a"] == rules["full_load_sum_a"] == "nec.215.2(A)"
    assert rules["protective_device/rating_a"] == "nec.215.3"
    assert us.step(answer, "design_current_a") == 37.5
    assert us.step(answer, "full_load_sum_a") == 30.0
    assert answer.circuit.disconnect is None


def test_several_welders_name_the_rule_of_groups(us: Any) -> None:
    welders = tuple(
        us.load(40, kind="welder", id=f"w{n}/0", effective_current=us.figure(22)) for n in range(2)
    )
    answer = us.ask(us.single(loads=welders))
    rules = {short(one.path): one.rule for one in answer.circuit.steps}
    assert rules["design_current_a"] == rules["conductor/size"] == "nec.630.11(B)"
    assert rules["loads/w0/0/counted_a"] == "nec.630.11(A)"
