"""Motors whose leads allow a link that the plate does not state, by the geometry of windings."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor, only, shop

import ampwright as aw
from ampwright.case import MotorCase

STAR: dict[str, Any] = {
    "voltage": "415 V", "current": "7.3 A", "connection": "star", "leads": 6,
}  # fmt: skip


def of(*, traits: tuple[Any, ...] = (), **changes: Any) -> MotorCase:
    own = machine(motors=(motor(**(STAR | changes)),), traits=traits)
    return only(case_of(own)).motors[0]


def said(**changes: Any) -> set[str]:
    own = machine(motors=(motor(**(STAR | changes)),))
    return {one.code for one in case_of(own).findings}


def test_a_star_with_six_leads_becomes_a_delta() -> None:
    found = of()
    assert found.fits
    assert found.relinked
    assert found.demand.voltage.value == pytest.approx(415.0 / math.sqrt(3.0), rel=1e-12)
    assert found.demand.current.value == pytest.approx(7.3 * math.sqrt(3.0), rel=1e-12)


def test_the_power_stays() -> None:
    found = of()
    power = found.demand.voltage.value * found.demand.current.value
    assert power == pytest.approx(415.0 * 7.3, rel=1e-12)


def test_the_circuit_is_that_of_a_plate_in_delta() -> None:
    again, plain = of(), of(voltage="239.6 V", current="12.64 A", connection="delta", leads=None)
    assert again.circuit.r1_ohm == pytest.approx(plain.circuit.r1_ohm, rel=0.01)
    assert again.start_torque.value == pytest.approx(plain.start_torque.value, rel=0.01)


def test_a_locked_rotor_current_follows() -> None:
    found = of(locked_rotor_current="45 A").demand.locked_rotor_current
    assert found is not None
    assert found.value == pytest.approx(45.0 * math.sqrt(3.0), rel=1e-12)


def test_it_is_said_with_its_consequences() -> None:
    assert {"nameplate.dual-voltage", "machine.relink-consequences"} <= said()
    assert "nameplate.single-voltage" in said(leads=3)


def test_nine_leads_in_series_become_parallel() -> None:
    found = of(voltage="460 V", current="6.6 A", leads=9)
    assert found.fits
    assert found.demand.voltage.value == 230.0
    assert found.demand.current.value == 13.2


@pytest.mark.parametrize(
    "changes",
    [{"leads": 3}, {"leads": None}, {"connection": None}, {"connection": "delta"},
     {"voltage": "575 V", "current": "5.3 A"}],
)  # fmt: skip
def test_otherwise_it_stays_as_it_is(changes: dict[str, Any]) -> None:
    assert not of(**changes).fits


def test_six_leads_of_a_two_speed_motor_are_no_choice() -> None:
    assert not of(traits=("two-speed",)).fits


def test_what_the_leads_allow_counts_for_other_lines_too() -> None:
    found = of(voltage="230 V", current="13.2 A", connection="delta")
    link = found.linking(400.0)
    assert link is not None
    assert link.voltage.value == pytest.approx(230.0 * math.sqrt(3.0), rel=1e-12)
    assert found.linking(230.0) is not None


def test_a_plan_of_such_a_motor_has_no_objection() -> None:
    own = machine(motors=(motor(**STAR),), start="light")
    plan = aw.plan(shop(own))
    assert plan.verdict != "not-feasible"
    assert not [one for one in plan.checks or () if one.severity != "info"]
