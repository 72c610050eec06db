"""Where South Africa differs from the family, figure by figure."""

from pathlib import Path

import pytest
from ampwright_region_za import TABLES

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
    for word in ("arth leakage protection", "arth continuity conductor"):
        assert word in report


def test_supplies_of_the_country_are_known_and_others_are_not(engine: aw.Engine) -> None:
    region = engine.regions()["za"]
    foreign = aw.Supply(arrangement="split-phase", voltage="120 V", frequency="60 Hz")
    assert region.includes(SHOP.supply)
    assert not region.includes(foreign)


def test_ampacities_are_read_from_its_own_table(plan: aw.Plan) -> None:
    """Table 6.3(a), method 2, three-phase: 1.5 mm2 carry 15 A, 4 mm2 27 A."""
    assert plan.best is not None
    read = {(one.cell, one.value) for each in plan.best.circuits for one in each.steps
            if one.table == "ampacity_sans_6_3a"}  # fmt: skip
    values = {value for _, value in read}
    assert {15.0, 27.0} <= values


def test_the_drop_is_binding(engine: aw.Engine) -> None:
    """A heater of 3 kW at the end of 120 m: the family's size falls short of 5 %."""
    data = SHOP.to_dict()
    load = {"kind": "resistive", "power": "3 kW", "voltage": "230 V", "phases": 1}
    data["machines"] = [{"id": "oven", "length": "120 m", "loads": [load]}]
    data["supply"] |= {"arrangement": "line-neutral", "voltage": "230 V"}
    data.pop("together", None)
    drops = {}
    for region in ("za", "iec"):
        plan = engine.plan(aw.Shop.from_dict({**data, "region": region}), methods=["direct"])
        assert plan.best is not None
        drops[region] = next(
            one.voltage_drop_fraction for one in plan.best.circuits if one.id == "branch.oven"
        )
    assert drops["iec"] > 0.10
    assert drops["za"] <= 0.05
