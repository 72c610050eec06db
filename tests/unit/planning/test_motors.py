"""Motors completed: start, circuit, load and inertia, against arithmetic and against kernels."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from itertools import pairwise
from typing import Any

import pytest
from tests.unit.planning.shops import (
    HORSEPOWER_W,
    case_of,
    completed,
    machine,
    motor,
    of_motor,
    only,
    reading,
    step,
    supply,
    words,
)

from ampwright.kernels.identification import identify
from ampwright.kernels.torque_curve import balanced_state, locked_rotor
from ampwright.planning.motors import (
    INERTIA,
    LAWS,
    LETTERS,
    locked_figure,
    motor_case,
    relink_needed,
    single_phase_demand,
)
from ampwright.planning.rated import rated
from ampwright.records.motor import Motor

ROOT = math.sqrt(3)


def locked(stated: Motor, **supply: Any) -> tuple[float | None, str]:
    at = completed(**supply)
    one = reading(stated, at)
    figure, how = locked_figure(one, rated(one, at))
    return (figure.value if figure else None), how


@pytest.mark.parametrize(
    ("letter", "kva_per_hp"),
    # upper ends of the letters of NEMA MG 1, 10.37.2; from memory
    [("A", 3.14), ("F", 5.59), ("G", 6.29), ("J", 7.99), ("K", 8.99), ("U", 22.39)],
)
def test_a_letter_stands_for_the_upper_end_of_its_band(letter: str, kva_per_hp: float) -> None:
    """J, 5 hp, 230 V: 7990 x 5 / (1.732 x 230) = 100.3 A."""
    found, how = locked(motor(code_letter=letter))
    assert found == pytest.approx(1000 * kva_per_hp * 5 / (ROOT * 230))
    assert how == "letter"


def test_the_letter_counts_at_the_voltage_in_use() -> None:
    low, high = (
        locked(motor(code_letter="J"))[0],
        locked(motor(code_letter="J"), voltage="480 V")[0],
    )
    assert low is not None
    assert high is not None
    assert low / high == pytest.approx(2.0)


def test_a_letter_whose_band_has_no_upper_end_says_nothing() -> None:
    """V begins at 22.4 kVA per hp and is open."""
    assert locked(motor(code_letter="V")) == (None, "")


def test_what_was_tested_goes_before_a_letter() -> None:
    stated = motor(code_letter="J", locked_rotor_current="80 A")
    assert locked(stated) == (80.0, "tested")
    found, how = locked(motor(code_letter="J", locked_rotor_current_ratio=6.5))
    assert found == pytest.approx(6.5 * 13.2)
    assert how == "tested"
    assert locked(motor()) == (None, "")


def test_the_letters_of_the_table_do_not_overlap_and_leave_no_gap() -> None:
    ends = [(float(row["kva_per_hp_min"]), row["kva_per_hp_max"]) for row in LETTERS.rows]
    assert "".join(row["letter"] for row in LETTERS.rows) == "ABCDEFGHJKLMNPRSTUV"
    for (_, high), (low, _) in pairwise(ends):
        assert low == pytest.approx(float(high) + 0.01)


def test_the_circuit_is_the_one_that_the_kernel_finds_for_the_same_plate() -> None:
    stated = motor(efficiency=0.87, power_factor=0.83, locked_rotor_current="85 A",
                   locked_rotor_torque_ratio=2.2, breakdown_torque_ratio=2.9)  # fmt: skip
    found = of_motor(stated)
    alone = identify(
        power_w=5 * HORSEPOWER_W, voltage_v=230.0, frequency_hz=60.0, speed_rpm=1740.0,
        current_a=13.2, power_factor=0.83, efficiency=0.87, locked_rotor_current_a=85.0,
        locked_rotor_torque_ratio=2.2, breakdown_torque_ratio=2.9,
    )  # fmt: skip
    for mine, theirs in zip((found.circuit, found.low, found.high), alone[:3], strict=True):
        assert tuple(mine) == pytest.approx(tuple(theirs))


def test_the_middle_of_a_letter_sizes_the_circuit_and_its_end_the_demand() -> None:
    """J is 7.1 to 7.99: the circuit is fitted to 7.545, the rules look at 7.99."""
    found = of_motor(motor(code_letter="J"))
    middle = 1000 * 7.545 * 5 / (ROOT * 230)
    assert locked_rotor(found.circuit, 230.0).current_a == pytest.approx(middle, rel=0.02)
    assert found.demand.locked_rotor_current is not None
    assert found.demand.locked_rotor_current.value == pytest.approx(1000 * 7.99 * 5 / (ROOT * 230))


def test_without_any_word_on_its_start_the_edge_of_the_band_counts() -> None:
    found = of_motor(motor())
    assert found.demand.locked_rotor_current is not None
    edges = [locked_rotor(one, 230.0).current_a for one in (found.low, found.circuit, found.high)]
    assert found.demand.locked_rotor_current.value == pytest.approx(edges[2])
    assert edges[2] == max(edges)


def test_the_circuit_carries_the_rated_load_at_the_plate_current() -> None:
    stated = motor(efficiency=0.87, power_factor=0.83)
    found = of_motor(stated)
    slip = 1 - 1740 / 1800
    state = balanced_state(found.circuit, 230.0, slip)
    assert abs(state.current1_a) == pytest.approx(13.2, rel=0.03)


def test_rated_torque_is_power_over_speed() -> None:
    """3728.5 W at 1740 rpm: 3728.5 / (2 pi 29) = 20.46 N m."""
    found = of_motor(motor())
    assert found.rated_torque.value == pytest.approx(
        5 * HORSEPOWER_W / (2 * math.pi * 29), rel=2e-3
    )


def test_on_another_frequency_the_circuit_is_that_of_the_supply() -> None:
    found = of_motor(motor(voltage="230 V", current="13.2 A", frequency="50 Hz",
                                      speed="1430 rpm"))  # fmt: skip
    assert found.circuit.frequency_hz == 60.0
    assert found.frequency.value == 50.0


@pytest.mark.parametrize("row", LAWS.rows, ids=lambda row: f"{row['load_torque']}-{row['start']}")
def test_the_load_is_the_share_of_rated_torque_that_the_table_says(row: dict[str, str]) -> None:
    found = of_motor(motor(), load_torque=row["load_torque"], start=row["start"])
    torque = found.rated_torque.value
    assert found.breakaway.value == pytest.approx(float(row["breakaway"]) * torque)
    assert found.load.constant_nm == pytest.approx(float(row["constant"]) * torque)
    assert found.load.square_nm == pytest.approx(float(row["square"]) * torque)
    assert found.load.linear_nm == pytest.approx(float(row["linear"]) * torque)
    assert found.run_up.constant_nm == pytest.approx(float(row["run_up"]) * torque)
    assert found.run_up.square_nm == found.load.square_nm
    assert found.run_up.breakaway_nm == found.breakaway.value


def test_every_kind_of_load_and_start_is_in_the_table_once_and_carries_full_load() -> None:
    keys = [(row["load_torque"], row["start"]) for row in LAWS.rows]
    kinds = ("fan", "friction", "constant", "constant-power", "pulsating")
    starts = ("none", "light", "normal", "hard")
    assert sorted(keys) == sorted((kind, one) for kind in kinds for one in starts)
    for row in LAWS.rows:
        parts = (row["constant"], row["linear"], row["square"])
        assert sum(map(float, parts)) == pytest.approx(1.0)


def test_nothing_said_of_the_load_means_constant_and_normal() -> None:
    said = of_motor(motor(), load_torque="constant", start="normal")
    silent = of_motor(motor())
    assert silent.load == said.load
    assert silent.breakaway.value == said.breakaway.value


def test_a_harder_start_never_asks_less() -> None:
    for kind in ("fan", "friction", "constant", "constant-power", "pulsating"):
        asked = [
            of_motor(motor(), load_torque=kind, start=start).breakaway.value
            for start in ("none", "light", "normal", "hard")
        ]
        assert asked == sorted(asked)


@pytest.mark.parametrize(
    ("fields", "row"),
    [
        ({}, "usual"),
        ({"load_torque": "fan"}, "fan"),
        ({"traits": ("high-inertia",)}, "high-inertia"),
        ({"load_torque": "fan", "traits": ("high-inertia",)}, "high-inertia"),
    ],
)
def test_an_inertia_that_nobody_stated_is_the_rotors_so_many_times(
    fields: dict[str, Any], row: str
) -> None:
    """The rotor of 5 hp, four poles, by the rule: 0.015 x (3728.5/3730)^1.25 x 1 kg m2."""
    found = of_motor(motor(), **fields)
    rotor = 0.015 * (5 * HORSEPOWER_W / 3730) ** 1.25
    times = INERTIA.number(row, "load_over_rotor")
    assert times is not None
    assert found.inertia.value == pytest.approx(rotor * (1 + times))


def test_stated_inertias_are_added() -> None:
    found = of_motor(motor(inertia="0.02 kg.m2"), load_inertia="0.13 kg.m2")
    assert found.inertia.value == pytest.approx(0.15)
    found = of_motor(motor(inertia="0.02 kg.m2"))
    assert found.inertia.value == pytest.approx(0.02 * 3)  # a usual load has twice the rotor's


def test_more_poles_turn_a_larger_rotor() -> None:
    """The rule goes with the square of pole pairs: six poles have 9/4 of four."""
    four = of_motor(motor())
    six = of_motor(motor(speed="1150 rpm"))
    assert six.inertia.value / four.inertia.value == pytest.approx(2.25)


@pytest.mark.parametrize(
    ("stated", "needed"),
    [
        (motor(), None),  # two voltages, nobody said how it is linked
        (motor(linked_for="230 V"), False),
        (motor(linked_for="460 V"), True),
        (motor(voltage="230 V", current="13.2 A"), False),
        (motor(voltage="230 V", current="13.2 A", linked_for="240 V"), False),
        (motor(voltage=None, current="13.2 A"), False),
    ],
)
def test_whether_it_has_to_be_relinked(stated: Motor, needed: object) -> None:
    assert relink_needed(stated, 230.0) is needed
    assert of_motor(stated).relinked is needed


def said(stated: Motor, **supply: Any) -> set[str]:
    told = words()
    owner = machine(motors=(stated,))
    motor_case(owner, 0, stated, "shop/machines/saw/motors/0", completed(**supply), told)
    return {one.code for one in told.findings}


@pytest.mark.parametrize(
    ("stated", "codes"),
    [
        (motor(), {"nameplate.dual-voltage", "machine.relink-consequences"}),
        (motor(linked_for="230 V"), {"nameplate.dual-voltage"}),
        (motor(linked_for="460 V"), {"nameplate.dual-voltage", "machine.relink-consequences"}),
        (motor(voltage="230 V", current="13.2 A"), set()),
        (motor(voltage="460 V", current="6.6 A"), {"nameplate.single-voltage"}),
        (
            motor(voltage="230 V", current="13.2 A", frequency="50 Hz", speed="1430 rpm"),
            {"supply.frequency-mismatch"},
        ),
    ],
)
def test_what_there_is_to_say_of_voltage_and_frequency(stated: Motor, codes: set[str]) -> None:
    assert said(stated) == codes


def test_the_demand_carries_the_plate() -> None:
    stated = motor(service_factor=1.15, design="B", temperature_rise="80 K", duty="S3 40 %")
    found = of_motor(stated, overload_fitted=True)
    demand = found.demand
    assert (demand.id, demand.machine, demand.phases) == ("saw/0", "saw", 3)
    assert demand.service_factor is not None
    assert demand.service_factor.value == 1.15
    assert demand.temperature_rise is not None
    assert demand.temperature_rise.value == 80.0
    assert (demand.design, demand.duty, demand.overload_fitted) == ("B", "S3 40 %", True)


def test_a_single_phase_motor_starts_at_six_times_its_current_unless_stated() -> None:
    stated = Motor(power="1.5 hp", voltage="230 V", current="10 A", frequency="60 Hz", phases=1)
    owner = machine("drill", motors=(stated,))
    demand, sheet = single_phase_demand(
        owner, 0, stated, "shop/machines/drill/motors/0", completed(), words()
    )
    assert demand.phases == 1
    assert demand.locked_rotor_current is not None
    assert demand.locked_rotor_current.value == 60.0
    assert step(sheet.steps, "/locked_rotor_ratio").kind == "assumed"
    # G: 6.29 kVA per hp, no root of three: 1000 x 6.29 x 1.5 / 230 = 41.02 A
    lettered = Motor(power="1.5 hp", voltage="230 V", current="10 A", frequency="60 Hz", phases=1,
                     code_letter="G")  # fmt: skip
    demand, _ = single_phase_demand(
        owner, 0, lettered, "shop/machines/drill/motors/0", completed(), words()
    )
    assert demand.locked_rotor_current is not None
    assert demand.locked_rotor_current.value == pytest.approx(41.0217, rel=1e-4)


def test_every_voltage_that_it_can_be_linked_for_is_kept() -> None:
    found = of_motor(motor(voltage="208-230/460 V", current="13.8-13.2/6.6 A"))
    assert [one.voltage.value for one in found.linkings] == [230.0, 460.0]
    assert [one.voltage_from.value if one.voltage_from else None for one in found.linkings] == [
        208.0,
        None,
    ]
    assert [one.current.value for one in found.linkings if one.current] == [13.2, 6.6]
    on_460 = found.linking(480.0)
    assert on_460 is not None
    assert on_460.voltage.value == 460.0
    assert found.linking(400.0) is None
    assert of_motor(motor(voltage=None, current="13.2 A")).linkings == ()


def test_every_path_that_a_motor_quotes_is_a_step_of_the_case() -> None:
    case = case_of(machine(motors=(motor(code_letter="J", current=None),)))
    paths = {one.path for one in case.steps}
    (found,) = only(case).motors
    figures = [found.start_torque, found.rated_torque, found.breakaway, found.inertia]
    figures += [found.efficiency, found.power_factor, found.frequency, found.demand.power]
    assert {one.path for one in figures} <= paths


def test_what_the_machine_is_goes_to_the_wiring_rules() -> None:
    plain = of_motor(motor()).demand
    flags = (plain.multispeed, plain.wound_rotor, plain.hermetic, plain.one_at_a_time)
    assert flags == (False,) * 4
    assert plain.starter == ""
    told = of_motor(
        motor(), traits=("two-speed", "wound-rotor", "hermetic"), motors_one_at_a_time=True,
        starter="star-delta",
    ).demand  # fmt: skip
    assert told.multispeed
    assert told.wound_rotor
    assert told.hermetic
    assert told.one_at_a_time
    assert told.starter == "star-delta"
    assert of_motor(motor(current_kind="rated-load")).demand.hermetic


def test_a_motor_of_one_phase_has_no_slip_rings() -> None:
    stated = Motor(power="1 hp", voltage="230 V", current="8 A", frequency="60 Hz", phases=1)
    owner = machine("drill", motors=(stated,), traits=("wound-rotor",))
    demand, _ = single_phase_demand(
        owner, 0, stated, "shop/machines/drill/motors/0", completed(), words()
    )
    assert not demand.wound_rotor


def test_the_starting_torque_has_the_band_of_its_identification() -> None:
    stated = motor(efficiency=0.87, power_factor=0.83)
    case = case_of(machine(motors=(stated,)))
    alone = identify(
        power_w=5 * HORSEPOWER_W, voltage_v=230.0, frequency_hz=60.0, speed_rpm=1740.0,
        current_a=13.2, power_factor=0.83, efficiency=0.87,
    )  # fmt: skip
    torque = locked_rotor(alone.circuit, 240.0).torque_nm
    found = step(case.steps, "motors/0/start_torque")
    assert found.value == pytest.approx(torque)
    assert found.low == pytest.approx(torque * (1 - alone.start_torque_spread))
    assert found.high == pytest.approx(torque * (1 + alone.start_torque_spread))


def test_relinking_is_a_matter_of_more_than_a_tenth() -> None:
    """Linked for 253 V on 230 V is a tenth; 254 V is more."""
    assert relink_needed(motor(linked_for="252.9 V"), 230.0) is False
    assert relink_needed(motor(linked_for="254 V"), 230.0) is True


@pytest.mark.parametrize(
    ("plate", "source", "flux", "speed"),
    [
        # 230/60 against 230/50; 220/50 against 240/60; 460/60 against 400/50, the other link
        ({"voltage": "230 V", "frequency": "60 Hz"}, {"voltage": "230 V", "frequency": "50 Hz"},
         1.2, 5 / 6),
        ({"voltage": "220/380 V", "frequency": "50 Hz"}, {"voltage": "240 V"}, 240 / 220 * 50 / 60,
         1.2),
        ({"voltage": "230/460 V", "frequency": "60 Hz"}, {"voltage": "400 V", "frequency": "50 Hz"},
         400 / 460 * 60 / 50, 5 / 6),
    ],
)  # fmt: skip
def test_another_frequency_is_told_by_volts_over_hertz(
    plate: dict[str, Any], source: dict[str, Any], flux: float, speed: float
) -> None:
    stated = motor(**{"current": None, "speed": None, "power": "3 hp", **plate})
    feeding = supply(**{"arrangement": "line-line", **source})
    found = case_of(machine("a", motors=(stated,)), supply=feeding)
    said = next(one for one in found.findings if one.code == "supply.frequency-mismatch")
    values = {part.name: part.value for part in said.parameters}
    assert values["flux"] == pytest.approx(flux)
    assert values["speed"] == pytest.approx(speed)
