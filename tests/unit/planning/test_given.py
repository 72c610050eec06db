"""Every number of the statement is a step, with the caller's own words beside it."""

import pytest
from tests.unit.planning.shops import machine, motor, shop, supply

from ampwright.planning.given import CALLER, PLATE, steps_of, unit_of
from ampwright.records.equipment import OwnedCapacitors
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.supply import Feeder


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("power_w", "W"), ("transformer_va", "VA"), ("voltage_v", "V"), ("current_a", "A"),
        ("frequency_hz", "Hz"), ("speed_rpm", "1/min"), ("length_m", "m"), ("area_mm2", "mm2"),
        ("impedance_ohm", "ohm"), ("torque_nm", "N m"), ("inertia_kgm2", "kg m2"),
        ("time_s", "s"), ("hours_per_year_h", "h"), ("temperature_rise_k", "K"),
        ("ambient_c", "degC"), ("efficiency", ""), ("power_factor", ""), ("quantity", ""),
        ("a", ""), ("v", ""),
    ],
)  # fmt: skip
def test_the_ending_of_a_name_states_the_unit(name: str, unit: str) -> None:
    assert unit_of(name) == unit


def test_a_number_stands_at_its_field_with_value_unit_and_words() -> None:
    by_path = {one.path: one for one in steps_of(supply(voltage="0.24 kV"), "shop/supply")}
    voltage = by_path["shop/supply/voltage_v"]
    assert (voltage.kind, voltage.value, voltage.unit) == ("given", 240.0, "V")
    assert (voltage.text, voltage.source) == ("0.24 kV", CALLER)


def test_the_unit_is_that_of_what_was_said_where_a_field_takes_two() -> None:
    for said, value, unit in (("14 A", 14.0, "A"), ("3.6 kVA", 3600.0, "VA")):
        stated = supply(existing_load=said)
        (one,) = [one for one in steps_of(stated, "s") if one.path == "s/existing_load"]
        assert (one.value, one.unit) == (value, unit)


def test_what_is_no_number_is_no_step() -> None:
    stated = machine(required=False, unloader=True, traits=("reversing",), extra={"price": 9.0})
    paths = {one.path for one in steps_of(stated, "m")}
    assert not any(part in path for path in paths for part in ("required", "unloader", "extra"))
    assert "m/length_m" in paths
    assert "m/quantity" in paths


def test_parts_stand_by_their_ids_and_otherwise_by_their_place() -> None:
    stated = shop(
        machine("saw", motors=(motor(), motor(power="1 hp", current=None))),
        machine("lathe"),
        equipment=(OwnedCapacitors(id="box", capacitance="40 uF"),),
        supply=supply(feeder=Feeder(size="4 AWG", length="20 m")),
    )
    by_path = {one.path: one.value for one in steps_of(stated, "shop")}
    assert by_path["shop/machines/saw/motors/1/power_w"] == pytest.approx(745.7, rel=1e-5)
    assert by_path["shop/machines/lathe/length_m"] == 10.0
    assert by_path["shop/supply/feeder/length_m"] == 20.0
    assert any(path.startswith("shop/equipment/box/") for path in by_path)


def test_alternatives_of_a_plate_stand_one_by_one() -> None:
    by_path = {one.path: one.value for one in steps_of(motor(), "m")}
    assert by_path["m/ratings/0/voltage_v"] == 230.0
    assert by_path["m/ratings/1/voltage_v"] == 460.0
    assert by_path["m/ratings/1/current_a"] == 6.6


def test_what_is_read_from_a_plate_says_so() -> None:
    assert all(one.source == PLATE for one in steps_of(motor(), "m", PLATE))


def test_paths_stand_once() -> None:
    several = Machine(id="a", motors=(Motor(power="1 hp"), Motor(power="2 hp")))
    paths = [one.path for one in steps_of(several, "m")]
    assert len(set(paths)) == len(paths)
