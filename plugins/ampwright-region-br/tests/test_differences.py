"""Where Brazil differs from the family, figure by figure."""

import tomllib
from pathlib import Path

import pytest
from ampwright_region_br import TABLES

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
    for word in ("concession", "light blue"):
        assert word in report


def test_supplies_of_the_country_are_known_and_others_are_not(engine: aw.Engine) -> None:
    region = engine.regions()["br"]
    foreign = aw.Supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz")
    assert region.includes(SHOP.supply)
    assert not region.includes(foreign)


@pytest.mark.parametrize(
    ("arrangement", "voltage"),
    [("line-neutral", "127 V"), ("line-neutral", "220 V"), ("line-line", "220 V"),
     ("line-line", "380 V"), ("split-phase", "254 V")],
)  # fmt: skip
def test_every_voltage_of_the_country_is_known(
    engine: aw.Engine, arrangement: str, voltage: str
) -> None:
    stated = {"arrangement": arrangement, "voltage": voltage, "frequency": "60 Hz"}
    machine = {"id": "lamp", "loads": [{"kind": "lamp", "power": "1 kW", "voltage": voltage}]}
    shop = aw.Shop.from_dict({"supply": stated, "machines": [machine]})
    assert engine.regions()["br"].includes(shop.supply)


def test_reactance_is_taken_at_60_hz(plan: aw.Plan) -> None:
    """The family states it at 50 Hz; every drop is multiplied by f / 50."""
    assert plan.best is not None
    formulas = {one.formula for each in plan.best.circuits for one in each.steps
                if one.path.endswith("/voltage_drop_fraction")}  # fmt: skip
    assert all("X * f / 50" in one for one in formulas)
    assert SHOP.supply.frequency_hz == 60.0


def test_a_drop_above_5_per_cent_is_not_allowed() -> None:
    """That it is kept is a claim of the contract."""
    stated = tomllib.loads((TABLES / "manifest.toml").read_text(encoding="utf-8"))
    assert stated["limits"] == {"drop_fraction": 0.05}
