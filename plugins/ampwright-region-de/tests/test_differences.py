"""Where Germany differs from the family, figure by figure."""

from pathlib import Path

import pytest
from ampwright_region_de import TABLES

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
    for word in ("Fehlerstrom-Schutzeinrichtung", "Netzbetreiber"):
        assert word in report


def test_supplies_of_the_country_are_known_and_others_are_not(engine: aw.Engine) -> None:
    region = engine.regions()["de"]
    foreign = aw.Supply(arrangement="split-phase", voltage="120 V", frequency="60 Hz")
    assert region.includes(SHOP.supply)
    assert not region.includes(foreign)


def test_more_than_4600_va_on_one_phase_is_said(engine: aw.Engine) -> None:
    """By hand: 5.5 kW at the shaft need more than 5.5 kVA on one phase, whatever the way."""
    data = SHOP.to_dict()
    data["machines"] = data["machines"][:1]
    data["machines"][0]["motors"] = [
        {"power": "5.5 kW", "voltage": "230/400 V", "current": "20.0/11.5 A", "frequency": "50 Hz"}
    ]
    data.pop("together")
    plan = engine.plan(aw.Shop.from_dict(data), methods=["rotary"])
    said = [one for each in plan.options for one in each.findings
            if one.code == "supply.operator-power-limit"]  # fmt: skip
    assert said
    values = {part.name: part.value for part in said[0].parameters}
    assert values["limit"] == 4600.0
    assert float(values["need"]) > 5500.0


def test_below_4600_va_nothing_is_said(plan: aw.Plan) -> None:
    assert plan.best is not None
    assert "supply.operator-power-limit" not in {one.code for one in plan.best.findings}


def test_four_per_cent_are_recommended(plan: aw.Plan) -> None:
    assert plan.best is not None
    values = {one.value for each in plan.best.circuits for one in each.steps
              if one.path.endswith("/drop/recommended")}  # fmt: skip
    assert values == {0.04}
