"""Where Ireland differs from the family, figure by figure."""

from pathlib import Path

import pytest
from ampwright_region_ie import TABLES

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
    for word in ("RCD",):
        assert word in report


def test_supplies_of_the_country_are_known_and_others_are_not(engine: aw.Engine) -> None:
    region = engine.regions()["ie"]
    foreign = aw.Supply(arrangement="split-phase", voltage="120 V", frequency="60 Hz")
    assert region.includes(SHOP.supply)
    assert not region.includes(foreign)


@pytest.mark.parametrize(("contract", "limit"), [("12 kVA", "26"), ("16 kVA", "40")])
def test_starts_are_held_against_the_limit_of_the_connection(
    engine: aw.Engine, contract: str, limit: str
) -> None:
    """A single-phase motor of 2.2 kW draws far more than 26 A or 40 A when it starts."""
    data = SHOP.to_dict()
    data["supply"]["contract"] = contract
    data["machines"] = [
        {
            "id": "pump",
            "length": "9 m",
            "motors": [
                {
                    "power": "2.2 kW",
                    "phases": 1,
                    "voltage": "230 V",
                    "current": "14 A",
                    "frequency": "50 Hz",
                    "locked_rotor_current": "70 A",
                }
            ],
        }
    ]
    data.pop("together")
    plan = engine.plan(aw.Shop.from_dict(data))
    assert plan.options
    said = [one for one in plan.options[0].findings if one.code == "supply.operator-start-limit"]
    assert said
    values = {part.name: part.value for part in said[0].parameters}
    assert values["limit"] == float(limit)
    assert values["statement"] == contract
