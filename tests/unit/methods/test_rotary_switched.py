"""Run capacitors of which a part is switched with the load, where unbalance would ask for iron."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor

from ampwright.case import Case
from ampwright.kernels.legs import capacitors
from ampwright.kernels.network import Rotor, solve
from ampwright.method import Proposal
from ampwright.methods.rotary import Rotary
from ampwright.methods.rotary.setup import set_up
from ampwright.methods.rotary.sizing import Sizing, meets
from ampwright.methods.rotary.trial import best_pair


def planer(**changes: Any) -> Any:
    """Return a machine with two motors; the low plate of the large one keeps every leg low."""
    small = motor(power="1 hp", current="3.4/1.7 A")
    large = motor(power="7.5 hp", voltage="220/440 V", current="20.8/10.4 A")
    return machine("planer", motors=(large, small), start="light", load_torque="friction",
                   **changes)  # fmt: skip


def fan(**changes: Any) -> Any:
    return machine("fan", motors=(motor(),), start="normal", load_torque="fan", **changes)


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(planer(), fan(), together=(("planer", "fan"), ("fan",)))


@pytest.fixture(scope="module")
def found(case: Case) -> Proposal:
    one = Rotary().answer(case, case.machines)
    assert isinstance(one, Proposal)
    return one


def farads(found: Proposal, leg: str, running: str) -> float:
    return sum(
        one.capacitance_f
        for one in found.converters[0].capacitors
        if one.purpose == "run" and one.between == leg and (not one.sets or running in one.sets)
    )


def test_the_idler_is_smaller_than_any_with_capacitors_that_stay(
    case: Case, found: Proposal
) -> None:
    tries = Sizing(set_up(case, case.machines))
    power = found.converters[0].idler_power_w
    smaller = [one for one in tries.sizes if power is not None and one.power_w <= power * 1.001]
    assert smaller
    assert not any(meets(best_pair(tries.setup, one)) for one in smaller)


def test_what_is_switched_says_for_what_and_is_named(found: Proposal) -> None:
    (made,) = found.converters
    switched = [one for one in made.capacitors if one.sets]
    assert switched
    assert {name for one in switched for name in one.sets} <= {"idle", "set-1", "set-2"}
    assert len({one.id for one in made.capacitors}) == len(made.capacitors)
    assert "converter.switched-capacitors" in {one.code for one in found.findings}


def test_more_is_switched_in_with_the_load(found: Proposal) -> None:
    assert farads(found, "ca", "set-1") > farads(found, "ca", "idle") > 0.0


def test_each_state_is_the_networks_with_what_is_switched_in_for_it(
    case: Case, found: Proposal
) -> None:
    by_id = {one.id: one for one in found.states}
    for running, machines in (("set-1", ("planer", "fan")), ("set-2", ("fan",))):
        motors = [one for name in machines for one in case.machine(name).motors]
        setup = set_up(case, case.machines)
        idler = next(
            one for one in Sizing(setup).sizes if one.power_w == found.converters[0].idler_power_w
        )
        legs = capacitors(0.0, farads(found, "bc", running), farads(found, "ca", running), 60.0)
        rotors = [Rotor(idler.found.circuit), *(Rotor(one.circuit, one.load) for one in motors)]
        alone = solve(case.supply.source, legs, rotors)
        state = by_id[f"rotary/{running}/full"]
        assert state.line_voltage_v == pytest.approx(alone.line_v)


def test_capacitors_that_stay_are_not_said_to_be_switched() -> None:
    easy = case_of(machine("a", motors=(motor(),), start="light"), together=(("a",),))
    one = Rotary().answer(easy, easy.machines)
    assert isinstance(one, Proposal)
    switched = [each for each in one.converters[0].capacitors if each.sets]
    said = "converter.switched-capacitors" in {each.code for each in one.findings}
    assert said == bool(switched)
