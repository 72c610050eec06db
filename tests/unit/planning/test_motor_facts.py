"""What measured windings, plates, plugs and surroundings call for."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor, supply

from ampwright.case import Case
from ampwright.planning.motor_facts import motor_facts
from ampwright.records.machine import Plug
from ampwright.records.site import Site


def codes(case: Case) -> list[str]:
    steps = {one.path: one.value for one in case.steps}
    found = list(motor_facts(case))
    for part in (part for one in found for part in one.parameters if part.step):
        assert steps[part.step] == part.value
    return [one.code for one in found]


def of_motor(**fields: Any) -> list[str]:
    return codes(case_of(machine(motors=(motor(**fields),))))


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({}, []),
        ({"insulation_resistance": "0.9 Mohm"}, ["machine.insulation-low"]),
        ({"insulation_resistance": "1 Mohm"}, []),
        # 13.2 A at 230 V
        ({"overload_range": "7-13 A"}, ["protection.overload-range"]),
        ({"overload_range": "9-14 A"}, []),
        ({"winding_resistance": "30 ohm"}, ["machine.winding-resistance"]),
        ({"service_factor": 1.15, "service_factor_current": "15.2 A"}, []),
        ({"service_factor": 1.15, "service_factor_current": "20 A"}, ["nameplate.implausible"]),
        ({"service_factor_current": "12 A"}, ["nameplate.implausible"]),
        ({"rotor_voltage": "200 V"}, ["machine.wound-rotor"]),
        ({"rotor_current": "10 A"}, ["machine.wound-rotor"]),
    ],
)
def test_what_a_plate_or_a_measurement_calls_for(
    fields: dict[str, Any], expected: list[str]
) -> None:
    assert of_motor(**fields) == expected


@pytest.mark.parametrize(
    ("here", "made_for", "told"),
    [("45 degC", None, True), ("40 degC", None, False), ("45 degC", "50 degC", False)],
)
def test_a_place_warmer_than_the_motor_is_made_for(
    here: str, made_for: str | None, *, told: bool
) -> None:
    case = case_of(machine(motors=(motor(ambient=made_for),)), site=Site(ambient=here))
    assert codes(case) == (["machine.too-warm-here"] if told else [])


@pytest.mark.parametrize(
    ("enclosure", "trait", "told"),
    [
        ("ODP", "wash-down", True), ("IP23", "conductive-dust", True), ("TEFC", "wash-down", False),
        ("ODP", "high-inertia", False), (None, "wash-down", False), ("IP55", "wash-down", False),
    ],
)  # fmt: skip
def test_an_open_motor_in_dust_or_water(enclosure: str | None, trait: Any, *, told: bool) -> None:
    case = case_of(machine(motors=(motor(enclosure=enclosure),), traits=(trait,)))
    assert codes(case) == (["machine.enclosure-unfit"] if told else [])


@pytest.mark.parametrize(("whole", "told"), [("16 A", False), ("17 A", True), ("9 A", True)])
def test_a_machines_plate_against_its_motors(whole: str, *, told: bool) -> None:
    """13.2 A and a quarter are 16.5 A."""
    assert codes(case_of(machine(full_load_current=whole))) == (
        ["nameplate.implausible"] if told else []
    )


@pytest.mark.parametrize(
    ("bears", "fault", "told"),
    [("5 kA", "8 kA", True), ("10 kA", "8 kA", False), ("5 kA", None, False)],
)
def test_a_control_panel_bears_the_fault_current_or_not(
    bears: str, fault: str | None, *, told: bool
) -> None:
    case = case_of(machine(short_circuit_rating=bears), supply=supply(fault_current=fault))
    assert codes(case) == (["protection.short-circuit-rating"] if told else [])


@pytest.mark.parametrize(
    ("fields", "fit"),
    [
        ({"current": "20 A", "voltage": "250 V", "poles": 3, "motor_rating": "5 hp"}, True),
        ({}, True), ({"current": "13 A"}, False), ({"voltage": "125 V"}, False),
        ({"poles": 2}, False), ({"motor_rating": "3 hp"}, False),
    ],
)  # fmt: skip
def test_a_plug_is_made_for_its_machine_or_not(fields: dict[str, Any], *, fit: bool) -> None:
    found = codes(case_of(machine(plug=Plug(**fields))))
    assert found == ([] if fit else ["protection.plug-rating"])
