"""Where Japan differs from the family, figure by figure."""

from pathlib import Path

import pytest
from ampwright_region_jp import TABLES

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
    for word in ("arth leakage protection", "white"):
        assert word in report


def test_supplies_of_the_country_are_known_and_others_are_not(engine: aw.Engine) -> None:
    region = engine.regions()["jp"]
    foreign = aw.Supply(arrangement="split-phase", voltage="120 V", frequency="60 Hz")
    assert region.includes(SHOP.supply)
    assert not region.includes(foreign)


@pytest.mark.parametrize("frequency", ["50 Hz", "60 Hz"])
def test_both_frequencies_are_known(engine: aw.Engine, frequency: str) -> None:
    supply = aw.Supply(arrangement="split-phase", voltage="200 V", frequency=frequency)
    assert engine.regions()["jp"].includes(supply)


def test_everything_that_is_its_own_says_that_it_is_from_memory(engine: aw.Engine) -> None:
    region = engine.regions()["jp"]
    own = [one for one in region.rules.values() if one.document.startswith("JIS")]
    assert own
    assert {one.known for one in own} == {"memory"}
