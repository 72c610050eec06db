"""Where Australia differs from the family, figure by figure."""

import tomllib
from pathlib import Path

import pytest
from ampwright_region_au import TABLES

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
    region = engine.regions()["au"]
    foreign = aw.Supply(arrangement="split-phase", voltage="120 V", frequency="60 Hz")
    assert region.includes(SHOP.supply)
    assert not region.includes(foreign)


def test_ampacities_are_re_based_to_40_c(plan: aw.Plan) -> None:
    """By hand: 27 A x 0.87 = 23.49 A for 4 mm2; sqrt((70 - 40) / (70 - 30)) = 0.866."""
    assert plan.best is not None
    far = next(one for one in plan.best.circuits if one.id == "branch.planer")
    assert far.conductor.ampacity_a == pytest.approx(23.49)
    assert pytest.approx(0.87, abs=0.005) == (30.0 / 40.0) ** 0.5


def test_a_drop_above_5_per_cent_is_not_allowed() -> None:
    """That it is kept is a claim of the contract."""
    stated = tomllib.loads((TABLES / "manifest.toml").read_text(encoding="utf-8"))
    assert stated["limits"] == {"drop_fraction": 0.05}


def test_hrc_fuses_are_rated_up_to_nine_tenths(engine: aw.Engine) -> None:
    table = engine.regions()["au"].tables["device_curves"]
    factor = table.number("gG", "cable_factor")
    assert factor is not None
    assert 1.0 / factor == pytest.approx(0.9, abs=1e-4)
    assert 1.0 / factor <= 0.9


def test_limits_of_western_australia_are_named_as_such(engine: aw.Engine) -> None:
    rows = engine.regions()["au"].tables["utility_limits"].rows
    assert [row["largest_start_a"] for row in rows] == ["45", "18"]
    assert all(row["row"].startswith("Western Australia") for row in rows)
