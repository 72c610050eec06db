"""Voltage relays behind a converter: set between what runs and what a fault leaves, and slow."""

from collections.abc import Callable
from functools import cache
from typing import Any

import attrs
import pytest

import ampwright as aw
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.device import ProtectiveDevice
from ampwright.option import Option

SHOP = {
    "region": "us",
    "supply": {
        "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "200 A",
        "existing_load": "10 A", "fault_current": "5 kA",
    },
    "machines": [
        {"id": "lathe", "plate": "3 HP 3 PH 60 HZ 1740 RPM 230 V 9.0 A", "start": "light",
         "length": "40 ft"},
        {"id": "mill", "plate": "2 HP 3 PH 60 HZ 1725 RPM 230 V 6.4 A", "start": "light"},
    ],
}  # fmt: skip


@cache
def plan() -> aw.Plan:
    return aw.plan(aw.Shop.from_dict(SHOP))


def rotary() -> Option:
    return next(one for one in plan().options if one.id == "rotary")


def relays() -> list[tuple[Circuit, ProtectiveDevice]]:
    """Return every voltage relay of the rotary way, with its circuit."""
    return [
        (one, each)
        for one in rotary().circuits
        for each in one.guards
        if each.kind == "voltage-relay"
    ]


def objections(changed: Option) -> list[str]:
    options = tuple(changed if one.id == "rotary" else one for one in plan().options)
    found = aw.verify(attrs.evolve(plan(), options=options))
    return [str(one) for one in found if one.severity == "blocks"]


def with_relay(circuit: Circuit, **changes: Any) -> Option:  # noqa: ANN401 - any field
    (relay,) = circuit.guards
    put = attrs.evolve(circuit, guards=(attrs.evolve(relay, **changes),))
    circuits = tuple(put if one is circuit else one for one in rotary().circuits)
    return attrs.evolve(rotary(), circuits=circuits)


def lowest_running_v() -> float:
    return min(volts for one in rotary().states for volts in one.line_voltage_v)


def longest_start_s() -> float:
    return max(one.time_s or 0.0 for one in rotary().starts if one.converter == "rotary")


def test_each_relay_lies_between_what_runs_and_what_a_fault_leaves() -> None:
    """A fault brings the made leg to earth: to the others it then has their 120 V to earth."""
    assert {one.id for one, _ in relays()} == {"output.rotary", "branch.lathe", "branch.mill"}
    for _, relay in relays():
        assert relay.setting_v == pytest.approx(0.95 * lowest_running_v())
        assert relay.setting_v is not None
        assert relay.setting_v > 120.0
        assert relay.delay_s == pytest.approx(1.25 * longest_start_s())


def test_an_idler_has_none_for_its_made_line_is_dead_until_it_runs() -> None:
    (idler,) = (one for one in rotary().circuits if one.role == "idler")
    assert idler.guards == ()
    assert "protection.idler-fault" in {
        one.code for one in rotary().findings if idler.id in one.where
    }


def test_that_only_the_delay_tells_a_start_from_a_fault_is_said() -> None:
    dip = min(one.lowest_voltage_v for one in rotary().starts if one.converter == "rotary")
    (said,) = (one for one in rotary().findings if one.code == "protection.relay-start-blanking")
    values = {part.name: part.value for part in said.parameters}
    assert values["dip"] == pytest.approx(dip)
    assert dip < lowest_running_v() * 0.95


def test_the_plan_itself_is_not_objected_to() -> None:
    assert [one for one in plan().checks or () if one.severity == "blocks"] == []


WRONG: dict[str, tuple[str, Callable[[], float | None]]] = {
    "above what runs": ("setting_v", lambda: lowest_running_v() * 1.01),
    "below what a fault leaves": ("setting_v", lambda: 119.0),
    "no voltage": ("setting_v", lambda: None),
    "faster than a start": ("delay_s", lambda: longest_start_s() * 0.9),
    "no delay": ("delay_s", lambda: None),
}


@pytest.mark.parametrize("wrong", WRONG)
def test_the_check_sees_a_wrong_setting(wrong: str) -> None:
    field, value = WRONG[wrong]
    circuit, relay = relays()[0]
    found = objections(with_relay(circuit, **{field: value()}))
    place = f"{circuit.id}/guards/{relay.id}/{field}"
    assert any(place in one and "nec.250.4(A)(5)" in one for one in found)


def test_the_check_sees_a_relay_on_the_idlers_circuit() -> None:
    (idler,) = (one for one in rotary().circuits if one.role == "idler")
    _, relay = relays()[0]
    put = attrs.evolve(idler, guards=(relay,))
    circuits = tuple(put if one is idler else one for one in rotary().circuits)
    found = objections(attrs.evolve(rotary(), circuits=circuits))
    assert any("idler.rotary/guards" in one and "dead" in one for one in found)


@pytest.mark.parametrize("code", ["protection.relay-start-blanking", "protection.idler-fault"])
def test_the_check_sees_what_is_kept_silent(code: str) -> None:
    kept = tuple(one for one in rotary().findings if one.code != code)
    found = objections(attrs.evolve(rotary(), findings=kept))
    assert any(code in one for one in found)
