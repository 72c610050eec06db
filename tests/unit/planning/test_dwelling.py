"""The load of a dwelling in a plan: service, what is left, what stands beside it, other codes."""
# ruff: noqa: ANN401 - fields of a record of any kind

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from tests.unit.planning.shops import machine, supply

import ampwright as aw
from ampwright.records.dwelling import Appliance, Dwelling
from ampwright.testing import engine_with

CANADA = Path(__file__).parents[3] / "plugins" / "ampwright-region-ca" / "src"
#: 1000 ft2: 7500 VA, and 4500 VA of a water heater: 8000 + 0.4 x 4000 = 9600 VA, 40 A at 240 V.
HOME = Dwelling(floor_area="1000 ft2", appliances=(Appliance(rating="4.5 kW"),))


@cache
def planned(region: str = "us", **fields: Any) -> aw.Plan:
    usual = {"existing_load": None, "dwelling": HOME}
    shop = aw.Shop(region=region, supply=supply(**(usual | fields)), machines=(machine("saw"),))
    return aw.plan(shop)


def codes(plan: aw.Plan) -> set[str]:
    said = [*plan.findings, *plan.assumptions, *plan.questions]
    said += plan.options[0].findings
    return {one.code for one in said}


def step(plan: aw.Plan, path: str) -> aw.Step:
    steps = [*plan.steps, *plan.options[0].steps]
    (found,) = [one for one in steps if one.path.endswith(path)]
    return found


def objections(plan: aw.Plan) -> list[aw.Finding]:
    return [one for one in plan.checks or () if one.severity != "info"]


def test_the_service_carries_the_dwelling_and_what_is_added() -> None:
    plan = planned()
    there = step(plan, "service/existing_a")
    assert (there.value, there.rule) == (pytest.approx(40), "nec.220.83")
    added = float(step(plan, "service/added_a").value)
    motor = float(step(plan, "service/largest_motor_a").value)
    load = step(plan, "service/load_a")
    assert load.value == pytest.approx(40 + added + motor)
    assert load.rule == "nec.220.83"
    assert step(plan, "service/spare_a").value == pytest.approx(100 - float(load.value))
    assert not objections(plan)
    assert "supply.no-existing-load" not in codes(plan)
    assert not [one for one in plan.questions if one.field == "supply.existing_load"]


def test_what_is_left_for_the_next_machine_leaves_the_dwelling_its_own() -> None:
    plan = planned()
    assert step(plan, "left/main_a").value == pytest.approx(60)
    (room,) = [one for one in plan.findings if one.code == "plan.headroom"]
    values = {one.name: one.value for one in room.parameters}
    drawn = float(step(plan, "service/added_a").value)
    quarter = float(step(plan, "service/largest_motor_a").value)
    assert quarter > 1
    assert values["main"] == pytest.approx(60 - drawn - quarter)


def test_a_dwelling_that_leaves_nothing_blocks() -> None:
    """30 kW of central heat: 7500 + 30 000 VA and more are above 100 A."""
    home = Dwelling(floor_area="1000 ft2", heating="30 kW")
    plan = planned(dwelling=home)
    assert plan.best is None
    (said,) = [one for one in plan.options[0].findings if one.code == "supply.undersized"]
    assert (said.severity, said.rule) == ("blocks", "nec.220.83")
    assert not objections(plan)


@pytest.mark.parametrize(("load", "record", "amperes", "rule", "said"), [
    ("20 A", None, 40, "nec.220.83", "supply.larger-load-governs"),
    ("36 A", None, 45, "nec.220.87", "supply.larger-load-governs"),
    ("20 A", "none", 40, "nec.220.83", "supply.larger-load-governs"),
    ("20 A", "year", 25, "nec.220.87", "supply.measured-governs"),
    ("20 A", "month", 25, "nec.220.87", "supply.measured-governs"),
])  # fmt: skip
def test_a_measured_load_beside_it(
    load: str, record: str | None, amperes: float, rule: str, said: str
) -> None:
    """Recorded as 220.87 asks, 1.25 of it stands; else the larger of that and 40 A."""
    plan = planned(existing_load=load, demand_record=record)
    there = step(plan, "service/existing_a")
    assert (there.value, there.rule) == (pytest.approx(amperes), rule)
    assert said in codes(plan)
    assert "supply.demand-not-recorded" not in codes(plan)
    assert not objections(plan)
    left = {None: 40, "none": 40, "year": 20, "month": 20}[record]
    left = max(left, float(load.split(maxsplit=1)[0])) if record in (None, "none") else left
    assert step(plan, "left/main_a").value == pytest.approx(100 - left)


def test_a_record_alone_settles_what_was_assumed() -> None:
    for record, assumed, asked in ((None, True, False), ("year", False, False),
                                   ("none", False, True)):  # fmt: skip
        plan = planned(existing_load="20 A", dwelling=None, demand_record=record)
        assert ("supply.existing-load-measured" in codes(plan)) == assumed
        assert ("supply.demand-not-recorded" in codes(plan)) == asked
        assert step(plan, "service/existing_a").value == pytest.approx(25)
        assert not objections(plan)


def test_the_larger_motor_of_dwelling_and_shop_counts() -> None:
    """Part III: 4575 + 4500 + 9600 VA; a quarter of the 40 A of the cooling, above any machine."""
    home = Dwelling(
        floor_area="1000 ft2", appliances=(Appliance(rating="4.5 kW"),), method="general",
        cooling=(Appliance(current="40 A", voltage="240 V"),),
    )  # fmt: skip
    plan = planned(dwelling=home, rating="200 A")
    assert step(plan, "service/existing_a").value == pytest.approx(18675 / 240)
    assert step(plan, "service/largest_motor_a").value == pytest.approx(10)
    assert not objections(plan)


@pytest.mark.parametrize("load", [None, "10 A"])
def test_another_family_says_that_it_does_not_count(load: str | None) -> None:
    plan = planned("iec", arrangement="line-neutral", voltage="230 V", frequency="50 Hz",
                   existing_load=load)  # fmt: skip
    (said,) = [one for one in plan.findings if one.code == "supply.dwelling-not-used"]
    assert said.severity == ("caution" if load is None else "info")
    assert step(plan, "service/existing_a").value == (10 if load else 0)
    assert not objections(plan)


def test_canada_says_that_it_does_not_count() -> None:
    """Its rule 8-200 is another model, and is not held."""
    engine = engine_with(CANADA / "ampwright_region_ca" / "tables")
    shop = aw.Shop(
        region="ca", supply=supply(existing_load=None, dwelling=HOME), machines=(machine("saw"),)
    )
    plan = engine.plan(shop)
    assert "supply.dwelling-not-used" in {one.code for one in plan.findings}
    assert step(plan, "service/existing_a").value == 0
    assert not [one for one in plan.steps if one.path.startswith("dwelling/")]
    assert not objections(plan)
    assert any(one.field == "supply.existing_load" for one in plan.questions)


def test_a_plan_with_a_dwelling_is_stored_and_read_again() -> None:
    plan = planned()
    again = aw.Plan.from_json(plan.to_json())
    assert again.to_dict() == plan.to_dict()
    assert aw.verify(again) == plan.checks
