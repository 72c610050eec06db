"""Behind separate windings the system of earthing is that of those windings, not of the supply.

IEC 60364-4-41, 411.4: with a point earthed at its source it is a system TN. An autotransformer
parts nothing, so what is behind it stays in the system of the supply.
"""

from functools import cache
from typing import Any

import attrs
import pytest
from tests.verification.planted import with_circuit

import ampwright as aw
from ampwright.engine import default
from ampwright.verification.verify import verify

PRESS = {
    "id": "press", "length": "40 m", "start": "light",
    "motors": [{"power": "4 kW", "voltage": "400 V", "current": "8.2 A", "frequency": "50 Hz",
                "speed": "1440 rpm"}],
}  # fmt: skip
#: A winding of 500 V is a quarter above 400 V: an autotransformer does.
TALL = PRESS | {"motors": [PRESS["motors"][0] | {"voltage": "500 V", "current": "6.6 A"}]}  # type: ignore[index]


@cache
def planned(method: str, earthing: str, *, auto: bool = False) -> aw.Plan:
    lines = {"arrangement": "line-line", "voltage": "400 V"}
    supply = {"arrangement": "line-neutral", "voltage": "230 V"} | (lines if auto else {})
    shop = {
        "region": "iec",
        "supply": supply | {"frequency": "50 Hz", "rating": "80 A", "existing_load": "5 A",
                            "fault_current": "3 kA", "earthing": earthing},
        "machines": [TALL if auto else PRESS],
    }  # fmt: skip
    plan = aw.plan(aw.Shop.from_dict(shop), methods=[method])
    assert plan.options
    assert plan.options[0].transformers[0].kind == ("auto" if auto else "isolating")
    assert {one.code for one in plan.checks or ()} <= {"check.not-checked"}
    return plan


def circuits(plan: aw.Plan) -> dict[str, aw.Circuit]:
    return {one.id: one for one in plan.options[0].circuits}


def allowed(one: aw.Circuit) -> float:
    """Return the longest time that the plan allows a fault to last [s]."""
    (step,) = [step for step in one.steps if step.path.endswith("/fault/longest_s")]
    return float(step.value)


def said(plan: aw.Plan, circuit: str) -> set[str]:
    return {one.code for one in plan.options[0].findings if circuit in one.where}


@pytest.mark.parametrize("earthing", ["tt", "it", "tn-s"])
@pytest.mark.parametrize(("method", "name", "time"), [
    # table 41.1: TN, 231 V to earth of a star of 400 V: 0.4 s; one end of 400 V earthed: 0.2 s
    ("rotary", "branch.press", 0.4), ("drive", "supply.drive.press", 0.2),
])  # fmt: skip
def test_a_circuit_behind_an_isolating_transformer_is_judged_as_tn(
    method: str, name: str, time: float, earthing: str
) -> None:
    plan = planned(method, earthing)
    assert allowed(circuits(plan)[name]) == time
    assert "protection.own-source" in said(plan, name)
    assert "protection.touch-voltage" not in said(plan, name)


@pytest.mark.parametrize(("method", "name"), [
    ("rotary", "branch.press"), ("drive", "supply.drive.press"),
])  # fmt: skip
def test_an_autotransformer_leaves_a_circuit_in_the_system_of_the_supply(
    method: str, name: str
) -> None:
    """Table 41.1, TT: above 400 V to earth 0.04 s; the rotary's circuit carries no device S."""
    plan = planned(method, "tt", auto=True)
    assert allowed(circuits(plan)[name]) in (0.04, 0.07)
    assert "protection.own-source" not in said(plan, name)


@pytest.mark.parametrize("method", ["rotary", "drive"])
@pytest.mark.parametrize("auto", [False, True])
def test_no_delayed_device_stands_ahead_of_circuits_without_their_own_under_tt(
    method: str, *, auto: bool
) -> None:
    """IEC 61008-1: a device S may take 0.5 s, at five times its setting 0.15 s; from memory.

    Final circuits at 230 V may take 0.2 s, at 400 V 0.07 s (Table 41.1), so it is too slow.
    """
    found = circuits(planned(method, "tt", auto=auto))
    heads = [one for one in found.values() if not one.fed_from]
    assert heads
    assert all(guard.curve[-1] != "S" for one in heads for guard in one.guards)
    assert any(one.guards for one in heads)


@pytest.mark.parametrize("earthing", ["tt", "tn-s"])
def test_a_drive_behind_a_transformer_asks_for_type_b(earthing: str) -> None:
    """531.3.3: type F is for drives between line and neutral; behind a transformer none is sure."""
    plan = planned("drive", earthing, auto=True)
    (guard,) = circuits(plan)["feeder.press"].guards
    assert guard.curve == "type B"
    asked = {
        part.value
        for one in planned("drive", earthing).options[0].findings
        for part in one.parameters
        if one.code == "protection.residual-type-if-any" and "supply.drive.press" in one.where
    }
    assert asked <= {"B"}


@pytest.mark.parametrize(
    ("method", "kind", "name", "curve", "rule"),
    [
        ("drive", "auto", "feeder.press", "type F", "iec.531.3.3"),
        ("drive", "isolating", "feeder.press", "type A S", "iec.411.5"),
        ("rotary", "auto", "supply.rotary", "type A S", "iec.411.5"),
    ],
)
def test_the_check_objects_to_a_lesser_or_a_delayed_device(
    method: str,
    kind: str,
    name: str,
    curve: str,
    rule: str,
) -> None:
    plan = planned(method, "tt", auto=kind == "auto")
    own = circuits(plan)[name]
    (guard,) = own.guards
    worse = attrs.evolve(own, guards=(attrs.evolve(guard, curve=curve),))
    region: Any = default().regions()["iec"]
    spoiled = with_circuit(plan, plan.options[0].id, worse)
    found = verify(spoiled, region.tables, region.stated)
    assert rule in {one.rule for one in found if one.code == "check.breach"}
