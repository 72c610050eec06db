"""Where South Africa differs from the family, figure by figure."""

import tomllib
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


def test_a_drop_above_5_per_cent_is_not_allowed() -> None:
    """That it is kept is a claim of the contract."""
    stated = tomllib.loads((TABLES / "manifest.toml").read_text(encoding="utf-8"))
    assert stated["limits"] == {"drop_fraction": 0.05}
