"""Where New Zealand differs from the family, figure by figure."""

import tomllib
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


def test_a_drop_above_5_per_cent_is_not_allowed() -> None:
    """That it is kept is a claim of the contract."""
    stated = tomllib.loads((TABLES / "manifest.toml").read_text(encoding="utf-8"))
    assert stated["limits"] == {"drop_fraction": 0.05}


def test_its_own_references_are_the_usual_ones(engine: aw.Engine) -> None:
    """Soil of 15 C instead of 20 C: sqrt((70 - 15) / (70 - 20)) = 1.05 for PVC in the ground."""
    data = SHOP.to_dict()
    data["site"] = {"installation": "buried-conduit"}
    plan = engine.plan(aw.Shop.from_dict(data), methods=["rotary"])
    steps = [one for each in plan.options for circuit in each.circuits for one in circuit.steps]
    factors = {one.value for one in steps if one.table == "ambient_ground"}
    assert factors == {1.05}
    assert pytest.approx(1.05, abs=0.005) == (55.0 / 50.0) ** 0.5
