"""Where India differs from the family, figure by figure."""

from pathlib import Path

import pytest
from ampwright_region_in import TABLES

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
    for word in ("arth continuity conductor", "red"):
        assert word in report


def test_supplies_of_the_country_are_known_and_others_are_not(engine: aw.Engine) -> None:
    region = engine.regions()["in"]
    foreign = aw.Supply(arrangement="split-phase", voltage="120 V", frequency="60 Hz")
    assert region.includes(SHOP.supply)
    assert not region.includes(foreign)


def test_motors_above_two_horsepower_on_one_phase_are_said(engine: aw.Engine) -> None:
    data = SHOP.to_dict()
    motor = {"power": "2.2 kW", "phases": 1, "voltage": "230 V", "current": "14 A",
             "frequency": "50 Hz"}  # fmt: skip
    data["machines"] = [{"id": "pump", "length": "9 m", "motors": [motor]}]
    data.pop("together")
    plan = engine.plan(aw.Shop.from_dict(data))
    said = [one for one in plan.options[0].findings if one.code == "supply.operator-motor-limit"]
    values = {part.name: part.value for part in said[0].parameters}
    assert values["statement"] == "Gujarat"
    assert values["limit"] == pytest.approx(2 * 745.7, rel=1e-4)
