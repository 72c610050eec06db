"""Circuits as they are put to the wiring code: along which route each cable runs."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest

import ampwright as aw


def planned(more: dict[str, Any] | None = None, **route: Any) -> aw.Plan:
    """Plan one motor of 5 hp behind a cable of 20 m that runs as *route* says."""
    motor = {"power": "5 hp", "voltage": "230 V", "current": "14 A", "frequency": "60 Hz"}
    machine: dict[str, Any] = {"id": "saw", "motors": [motor], "start": "light"}
    supply = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
              "rating": "200 A", "existing_load": "10 A"}  # fmt: skip
    site = {"terminals": "75 degC", "ambient": "30 degC", "raceway": "EMT"}
    machine |= {"route": {"length": "20 m"} | route} | (more or {})
    shop = {"schema": "ampwright.shop/1", "name": "one saw", "region": "us",
            "supply": supply, "site": site, "machines": [machine]}  # fmt: skip
    return aw.plan(aw.Shop.from_dict(shop), check=False)


def circuit(plan: aw.Plan, name: str) -> aw.Circuit:
    """Return the circuit *name* of the option with a rotary converter."""
    option = next(one for one in plan.options if one.id == "rotary")
    return next(one for one in option.circuits if one.id == name)


def test_a_hot_route_bears_on_its_own_circuit_only() -> None:
    """A 5 hp motor asks for 1.25 x 15.2 = 19 A; THWN-2 counts from 90 C, Table 310.15(B)(1).

    55 C, factor 0.76: 14 AWG carries 0.76 x 25 = 19 A and serves. 60 C, factor 0.71: 17.75 A does
    not; 12 AWG with 0.71 x 30 = 21.3 A does.
    """
    assert circuit(planned(ambient="55 degC"), "branch.saw").conductor.size == "14 AWG"
    hot = planned(ambient="60 degC")
    branch = circuit(hot, "branch.saw")
    assert branch.conductor.size == "12 AWG"
    assert branch.conductor.ampacity_a == pytest.approx(21.3)
    step = next(one for one in branch.steps if one.path.endswith("conditions/ambient_c"))
    assert step.value == pytest.approx(60)
    output = next(
        one
        for one in circuit(hot, "output.rotary").steps
        if one.path.endswith("conditions/ambient_c")
    )
    assert output.value == pytest.approx(30)


def test_circuits_along_the_route_are_counted() -> None:
    """3 x 5 = 15 conductors: factor 0.5; 19 A need 38 A at 90 C: 10 AWG (40 A)."""
    branch = circuit(planned(grouping=5), "branch.saw")
    assert (branch.conductor.size, branch.conductor.ampacity_a) == ("10 AWG", 20.0)


def test_another_way_of_laying_drops_the_raceway_of_the_site() -> None:
    branch = circuit(planned(installation="buried-conduit"), "branch.saw")
    assert branch.raceway is not None
    assert branch.raceway.kind == "PVC-40"
    same = circuit(planned(), "branch.saw")
    assert same.raceway is not None
    assert same.raceway.kind == "EMT"


@pytest.mark.parametrize(
    ("machine", "plug"),
    [
        ({}, False),
        ({"traits": ["plug-connected"]}, True),
        ({"plug": {"poles": 3, "current": "20 A"}}, True),
    ],
)
def test_a_machine_with_a_plug_ends_in_a_cord(machine: dict[str, Any], *, plug: bool) -> None:
    """The branch circuit does; what runs to the converter does not."""
    plan = planned(machine)
    names = {
        one.id
        for option in plan.options
        for one in option.circuits
        if any("/cord/" in step.path for step in one.steps)
    }
    assert names == ({"branch.saw"} if plug else set())
