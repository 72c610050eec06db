"""Where New Zealand differs from the family, figure by figure."""

from pathlib import Path

import pytest
from ampwright_region_nz import TABLES

import ampwright as aw
from ampwright.testing import engine_with

SHOP = aw.load_shop(Path(__file__).parents[1] / "docs" / "shop.toml")


@pytest.fixture(scope="module")
def engine() -> aw.Engine:
    return engine_with(TABLES)


@pytest.fixture(scope="module")
def plan(engine: aw.Engine) -> aw.Plan:
    return engine.plan(SHOP, methods=["rotary"])


def test_the_report_uses_the_words_of_the_country(plan: aw.Plan) -> None:
    report = " ".join(str(plan.report("markdown")).split())
    for word in ("rotective earthing conductor",):
        assert word in report


def test_supplies_of_the_country_are_known_and_others_are_not(engine: aw.Engine) -> None:
    region = engine.regions()["nz"]
    foreign = aw.Supply(arrangement="split-phase", voltage="120 V", frequency="60 Hz")
    assert region.includes(SHOP.supply)
    assert not region.includes(foreign)


def test_the_drop_is_binding(engine: aw.Engine) -> None:
    """A heater of 3 kW at the end of 120 m: the family's size falls short of 5 %."""
    data = SHOP.to_dict()
    load = {"kind": "resistive", "power": "3 kW", "voltage": "230 V", "phases": 1}
    data["machines"] = [{"id": "oven", "length": "120 m", "loads": [load]}]
    data["supply"] |= {"arrangement": "line-neutral", "voltage": "230 V"}
    data.pop("together", None)
    drops = {}
    for region in ("nz", "iec"):
        plan = engine.plan(aw.Shop.from_dict({**data, "region": region}), methods=["direct"])
        assert plan.best is not None
        drops[region] = next(
            one.voltage_drop_fraction for one in plan.best.circuits if one.id == "branch.oven"
        )
    assert drops["iec"] > 0.10
    assert drops["nz"] <= 0.05


def test_its_own_references_are_the_usual_ones(engine: aw.Engine) -> None:
    """Soil of 15 C instead of 20 C: sqrt((70 - 15) / (70 - 20)) = 1.05 for PVC in the ground."""
    data = SHOP.to_dict()
    data["site"] = {"installation": "buried-conduit"}
    plan = engine.plan(aw.Shop.from_dict(data), methods=["rotary"])
    steps = [one for each in plan.options for circuit in each.circuits for one in circuit.steps]
    factors = {one.value for one in steps if one.table == "ambient_ground"}
    assert factors == {1.05}
    assert pytest.approx(1.05, abs=0.005) == (55.0 / 50.0) ** 0.5
