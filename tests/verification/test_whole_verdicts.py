"""Verdicts of a whole way, and currents that no plate states: plan and check agree."""

from typing import Any

import attrs
import pytest

import ampwright as aw
from ampwright.finding import Finding

UNSWITCHED = {"kind": "outlet", "id": "outlets", "on_converter": True, "switched": False}


def planned(region: str, supply: dict[str, Any], motor: dict[str, Any], **shop: Any) -> aw.Plan:  # noqa: ANN401 - parts of a shop
    data = {
        "region": region,
        "supply": supply | {"rating": "100 A", "existing_load": "5 A"},
        "machines": [{"id": "saw", "start": "light", "motors": [motor]}],
    }
    return aw.plan(aw.Shop.from_dict(data | shop))


def objections(findings: tuple[Finding, ...] | None) -> list[str]:
    assert findings is not None
    return [str(one) for one in findings if one.severity == "blocks"]


US = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz"}
SAW = {"power": "5 hp", "voltage": "230/460 V", "current": "13/6.5 A", "frequency": "60 Hz"}


def test_what_is_dangerous_as_it_is_there_is_a_condition_of_every_way() -> None:
    plan = planned("us", US, SAW, equipment=[UNSWITCHED])
    assert any(one.severity == "blocks" for one in plan.findings)
    assert {one.verdict for one in plan.options if one.feasible} == {"feasible-with-conditions"}
    assert objections(plan.checks) == []


def test_a_plain_yes_beside_it_is_objected_to() -> None:
    plan = planned("us", US, SAW, equipment=[UNSWITCHED])
    options = tuple(
        attrs.evolve(one, verdict="feasible") if one.feasible else one for one in plan.options
    )
    wrong = attrs.evolve(plan, options=options, verdict="feasible")
    assert objections(aw.verify(wrong)) != []


@pytest.mark.parametrize("current", [None, "3.3/1.9 A"])
def test_a_relinked_motor_without_a_current_takes_the_guide_current(current: str | None) -> None:
    """IEC 60947-4-1, table G.1: the guide current of 0.75 kW at 230 V is 3.3 A; from memory."""
    supply = {"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz"}
    motor = {"power": "0.75 kW", "voltage": "400 V", "frequency": "50 Hz", "speed": "1430 rpm",
             "leads": 6, "connection": "star"}  # fmt: skip
    if current is not None:
        motor |= {"voltage": "230/400 V", "current": current}
    plan = planned("iec", supply, motor)
    assert objections(plan.checks) == []
