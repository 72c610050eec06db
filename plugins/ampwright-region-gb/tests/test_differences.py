"""Where the United Kingdom differs from the family, figure by figure."""

from pathlib import Path

import pytest
from ampwright_region_gb import TABLES

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
    for word in ("Circuit protective conductor", "RCD", "solator"):
        assert word in report


def test_supplies_of_the_country_are_known_and_others_are_not(engine: aw.Engine) -> None:
    region = engine.regions()["gb"]
    foreign = aw.Supply(arrangement="split-phase", voltage="120 V", frequency="60 Hz")
    assert region.includes(SHOP.supply)
    assert not region.includes(foreign)


def test_the_voltage_to_earth_counts_with_0_95(plan: aw.Plan) -> None:
    """Table 41.3 rests on 0.95 x 230 V: B32 has 0.95 x 230 / (5 x 32) = 1.37 ohm."""
    assert plan.best is not None
    steps = [one for each in plan.best.circuits for one in each.steps if one.table == "factors"]
    (value,) = {one.value for one in steps if one.cell[0] == "voltage_factor"}
    assert value == 0.95
    assert pytest.approx(1.37, abs=0.005) == 0.95 * 230.0 / (5 * 32)


def test_fuses_to_bs_88_may_be_rated_up_to_the_capacity(engine: aw.Engine) -> None:
    table = engine.regions()["gb"].tables["device_curves"]
    assert {row["cable_factor"] for row in table.rows if row["kind"] == "fuse"} == {"1.0"}


def test_a_start_may_step_the_voltage_by_3_per_cent(engine: aw.Engine) -> None:
    """EREC P28, issue 1; the family has the 4 % of IEC 61000-3-3."""
    for code, wanted in (("gb", 0.03), ("iec", 0.04)):
        plan = engine.plan(SHOP, region=code, methods=["rotary"])
        assert plan.best is not None
        limits = {one.value for each in plan.best.circuits for one in each.steps
                  if one.path.endswith("/disturbance/limit_fraction")}  # fmt: skip
        assert limits == {wanted}
        assert plan.checks is not None
        assert "check.breach" not in {one.code for one in plan.checks}
