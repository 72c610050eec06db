"""What two plans differ in."""

from pathlib import Path

import attrs
import pytest

import ampwright as aw

EXAMPLE = Path(__file__).parents[2] / "docs" / "examples" / "quarry-lane.toml"


@pytest.fixture(scope="module")
def shop() -> aw.Shop:
    return aw.load_shop(EXAMPLE)


@pytest.fixture(scope="module")
def plan(shop: aw.Shop) -> aw.Plan:
    return aw.plan(shop)


def test_a_plan_changes_nothing_against_itself(plan: aw.Plan) -> None:
    changes = aw.compare(plan, plan)
    assert not changes
    assert changes.verdict == (plan.verdict, plan.verdict)
    assert changes.equipment == changes.circuits == changes.machines == changes.costs == ()
    assert changes.appeared == changes.disappeared == ()


def test_a_longer_cable_changes_its_circuit_and_no_other(shop: aw.Shop) -> None:
    only = ("drive", "relink")  # so that the advised way stays the same
    machines = tuple(
        attrs.evolve(one, length="120 m") if one.id == "heater" else one for one in shop.machines
    )
    longer = attrs.evolve(shop, machines=machines)
    changes = aw.compare(aw.plan(shop, methods=only), aw.plan(longer, methods=only))
    assert {one.id for one in changes.circuits} == {"branch.heater"}
    drop = next(one for one in changes.circuits if one.field == "voltage_drop_fraction")
    assert isinstance(drop.before, float)
    assert isinstance(drop.after, float)
    # the same conductor, 120 m for 11 m
    assert drop.after / drop.before == pytest.approx(120 / 11, rel=1e-9)
    assert "feeder.voltage-drop" in {one.code for one in changes.appeared}


def test_a_machine_that_goes_is_gone_everywhere(shop: aw.Shop, plan: aw.Plan) -> None:
    left = tuple(one for one in shop.machines if one.id != "sander")
    changes = aw.compare(plan, aw.plan(attrs.evolve(shop, machines=left)))
    gone = [one for one in changes.machines if one.id == "sander"]
    assert [(one.field, one.before, one.after) for one in gone] == [("", "there", None)]
    assert changes


def test_another_method_changes_the_advised_option(shop: aw.Shop, plan: aw.Plan) -> None:
    other = aw.plan(shop, methods=["drive", "relink"])
    changes = aw.compare(plan, other)
    assert changes.option == ("relink+rotary", "drive+relink")
    methods = {one.id: (one.before, one.after) for one in changes.machines if one.field == "method"}
    turned = {one.id for one in shop.machines} - {"heater"}
    assert methods == dict.fromkeys(turned, ("rotary", "drive"))
    assert {one.field for one in changes.machines} <= {"method", "verdict"}
    back = aw.compare(other, plan)
    assert {(one.id, one.field) for one in back.machines} == {
        (one.id, one.field) for one in changes.machines
    }
    assert {one.code for one in back.appeared} == {one.code for one in changes.disappeared}
