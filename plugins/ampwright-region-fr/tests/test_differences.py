"""Where France differs from the family, figure by figure."""

import tomllib
from pathlib import Path

import pytest
from ampwright_region_fr import TABLES

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
    for word in ("dispositif différentiel",):
        assert word in report


def test_supplies_of_the_country_are_known_and_others_are_not(engine: aw.Engine) -> None:
    region = engine.regions()["fr"]
    foreign = aw.Supply(arrangement="split-phase", voltage="120 V", frequency="60 Hz")
    assert region.includes(SHOP.supply)
    assert not region.includes(foreign)


def test_an_intake_without_a_stated_earthing_is_tt(engine: aw.Engine) -> None:
    data = SHOP.to_dict()
    del data["supply"]["earthing"]
    plan = engine.plan(aw.Shop.from_dict(data), methods=["rotary"])
    assert plan.best is not None
    supply = next(one for one in plan.best.circuits if one.role == "supply")
    assert [one.kind for one in supply.guards] == ["residual-current"]


def test_motors_above_3_kw_do_not_start_direct_on_one_phase(engine: aw.Engine) -> None:
    data = SHOP.to_dict()
    motor = {"power": "4 kW", "phases": 1, "voltage": "230 V", "current": "25 A",
             "frequency": "50 Hz"}  # fmt: skip
    data["machines"] = [{"id": "pump", "length": "9 m", "motors": [motor]}]
    data.pop("together")
    plan = engine.plan(aw.Shop.from_dict(data))
    said = [one for one in plan.options[0].findings if one.code == "supply.operator-motor-limit"]
    values = {part.name: part.value for part in said[0].parameters}
    assert values["limit"] == 3000.0


def test_a_drop_above_5_per_cent_is_not_allowed() -> None:
    """That it is kept is a claim of the contract."""
    stated = tomllib.loads((TABLES / "manifest.toml").read_text(encoding="utf-8"))
    assert stated["limits"] == {"drop_fraction": 0.05}
