"""What a drive means for its motor, its cable and its stop, by hand."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.methods.test_drive import of_power, proposed
from tests.unit.planning.shops import HORSEPOWER_W, case_of, machine, motor, supply

from ampwright.finding import Finding
from ampwright.methods.drive import Drive
from ampwright.methods.drive.cautions import FACTS

LINK_W = 5 * HORSEPOWER_W / 0.88 / 0.96  # what the motor of these tests takes from its drive


def said(code: str, made: Any, **changes: Any) -> Finding | None:
    """Return the finding *code* of a machine on a drive, its numbers held against their steps."""
    found = proposed(made, **changes)
    one = next((each for each in found.findings if each.code == code), None)
    steps = {each.path: each for each in found.steps}
    for part in one.parameters if one is not None else ():
        if part.step in steps:
            assert steps[part.step].value == part.value
    return one


def of(found: Finding | None, name: str) -> float:
    assert found is not None
    return float(next(one.value for one in found.parameters if one.name == name))


def on(volts: float, **fields: Any) -> dict[str, Any]:
    """Return a machine of 5 hp for *volts* on a supply of the same."""
    plate = motor(voltage=f"{volts} V", current=None, efficiency=0.88)
    return {"made": machine("a", motors=(plate,), **fields), "supply": supply(voltage=f"{volts} V")}


def test_the_choke_is_the_one_that_the_input_was_reckoned_with() -> None:
    """Two per cent of U^2 / P: 0.02 x 240^2 / (2 pi 60 x P)."""
    found = said("drive.choke", of_power(5, 13.2))
    by_hand = 0.02 * 240**2 / (2 * math.pi * 60 * LINK_W)
    assert of(found, "inductance") == pytest.approx(by_hand)
    assert of(found, "share") == 0.02


def test_a_larger_motor_has_a_smaller_choke() -> None:
    small, large = (of(said("drive.choke", of_power(hp)), "inductance") for hp in (2, 10))
    assert small == pytest.approx(5 * large, rel=0.01)


@pytest.mark.parametrize("volts", [208.0, 230.0, 240.0])
def test_on_the_lower_voltages_a_cable_may_be_long(volts: float) -> None:
    """Even whole reflection stays below 1000 V: 1.9 x 1.414 x 264."""
    found = said("drive.cable-length", **on(volts))
    assert of(found, "length") == 100.0
    assert found is not None
    assert found.severity == "info"


def test_on_the_higher_voltages_it_must_be_short() -> None:
    """The crest of the highest supply times 1.9 passes 1000 V; steps of 0.1 us travel 15 m."""
    case = case_of(on(480.0)["made"], supply=on(480.0)["supply"])
    crest = math.sqrt(2) * case.supply.highest.value
    found = said("drive.cable-length", **on(480.0))
    assert of(found, "peak") == pytest.approx(1.9 * crest)
    assert of(found, "length") == pytest.approx((1000 / crest - 1) / 0.9 * 15 / 2)
    assert 2.0 < of(found, "length") < 5.0
    assert found is not None
    assert found.severity == "caution"


def test_an_old_winding_makes_the_cable_a_caution() -> None:
    found = said("drive.cable-length", of_power(5, traits=("old-insulation",)))
    assert found is not None
    assert found.severity == "caution"


def test_one_phase_leaves_less_than_the_motors_voltage() -> None:
    found = said("drive.flux-limit", of_power(5, 13.2))
    volts, hertz = of(found, "volts"), of(found, "hertz")
    assert of(found, "valley") < volts < 230.0
    assert hertz == pytest.approx(60.0 * volts / 230.0)
    assert 52.0 < hertz < 60.0


def test_a_motor_for_less_keeps_its_flux() -> None:
    plate = motor(voltage="200 V", current="15 A", efficiency=0.88)
    stated = machine("a", motors=(plate,))
    assert said("drive.flux-limit", stated) is None
    case = case_of(stated)
    (state,) = proposed(stated).states
    assert state.motors[0].usable_fraction == 1.0
    assert Drive().answer(case, case.machines) is not None


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"variable_speed": True, "load_torque": "constant"}, True),
        ({"variable_speed": True, "load_torque": "friction"}, True),
        ({"variable_speed": True, "load_torque": "fan"}, False),
        ({"load_torque": "constant"}, False),
    ],
)
def test_a_slow_motor_cools_itself_less(fields: dict[str, Any], *, told: bool) -> None:
    """0.85 at half speed, 0.6 at a quarter: common practice, no source."""
    found = said("drive.low-speed-cooling", of_power(5, **fields))
    assert (found is not None) is told
    if told:
        assert (of(found, "half"), of(found, "quarter")) == (0.85, 0.6)


def test_a_stop_brings_back_the_energy_of_what_turns() -> None:
    """Half the inertia times the square of the speed, spread over the time allowed."""
    made = of_power(5, stopping_time_limit="10 s", load_inertia="0.5 kg m2")
    (one,) = case_of(made).machines[0].motors
    speed = one.demand.power.value / one.rated_torque.value
    by_hand = one.inertia.value * speed**2 / 2
    found = said("drive.braking", made)
    assert of(found, "energy") == pytest.approx(by_hand)
    assert of(found, "power") == pytest.approx(by_hand / 10)
    assert of(found, "limit") == 10.0


@pytest.mark.parametrize(("traits", "told"), [(("high-inertia",), True), ((), False)])
def test_what_coasts_long_is_told_of_the_resistor(traits: tuple[str, ...], *, told: bool) -> None:
    assert (said("drive.braking", of_power(5, traits=traits)) is not None) is told


@pytest.mark.parametrize("row", FACTS.rows, ids=lambda row: f"{row['field']}-{row['value']}")
def test_what_a_fact_means_for_a_drive(row: dict[str, str]) -> None:
    assert row["field"] == "traits"
    found = said(row["code"], of_power(5, traits=(row["value"],)))
    assert found is not None
    assert found.severity == row["severity"]
    assert said(row["code"], of_power(5)) is None
