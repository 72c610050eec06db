"""A star-only motor whose star point a winder brings out: then a plain drive, by hand."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.methods.test_drive import answered, proposed
from tests.unit.planning.shops import machine, motor, supply

import ampwright as aw
from ampwright.method import Proposal

FIFTY = {"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz"}
STAR: dict[str, Any] = {
    "power": "4 kW", "voltage": "400 V", "current": "8.2 A", "frequency": "50 Hz",
    "speed": "1430 rpm", "connection": "star",
}  # fmt: skip


def star_only(**changes: Any) -> Any:
    return machine("a", motors=(motor(**(STAR | changes)),))


def test_in_delta_it_is_made_for_less_and_draws_more() -> None:
    """400 / 1.732 = 231 V and 8.2 x 1.732 = 14.2 A: the same power."""
    found = proposed(star_only(), supply=supply(**FIFTY))
    output = found.demands[1]
    assert output.voltage.value == pytest.approx(400 / math.sqrt(3))
    assert output.motors[0].current.value == pytest.approx(8.2 * math.sqrt(3))
    assert found.converters[0].output_current_a == pytest.approx(8.2 * math.sqrt(3))
    said = {one.code: one for one in found.findings}
    assert said["machine.needs-change"].parameters[0].value == "star-point"
    assert "machine.relink-consequences" in said


@pytest.mark.parametrize(
    "changes",
    [{"connection": None}, {"connection": "delta"}, {"voltage": "690 V", "current": "4.7 A"}],
)
def test_any_other_winding_stays_as_it_is_behind_a_transformer(changes: dict[str, Any]) -> None:
    found = proposed(star_only(**changes), supply=supply(**FIFTY))
    assert "machine.needs-change" not in {one.code for one in found.findings}
    (transformer,) = found.transformers
    assert transformer.secondary_v == found.demands[-1].voltage.value


def test_where_the_ends_are_out_nobody_has_to_wind() -> None:
    found = answered(star_only(leads=6), supply=supply(**FIFTY))
    assert isinstance(found, Proposal)
    assert "machine.needs-change" not in {one.code for one in found.findings}


def test_the_whole_plan_holds_and_names_the_condition() -> None:
    stated = aw.Shop(
        region="iec", machines=(star_only(),),
        supply=supply(**FIFTY, rating="63 A", earthing="tn-s", impedance="0.1 ohm"),
    )  # fmt: skip
    plan = aw.plan(stated)
    assert not [one for one in plan.checks or () if one.severity == "blocks"]
    drive = next(one for one in plan.options if one.assignment == {"a": "drive"})
    assert drive.verdict == "feasible-with-conditions"
    (overload,) = next(one for one in drive.circuits if one.role == "output").overloads
    assert overload.setting_a == pytest.approx(8.2 * math.sqrt(3))
