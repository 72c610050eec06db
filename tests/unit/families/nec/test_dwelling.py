"""The calculated load of a dwelling unit, beyond the printed examples."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest

from ampwright.families.nec.draft import Draft
from ampwright.families.nec.dwelling import (
    Dwelling,
    amperes,
    general_method,
    optional_method,
)
from ampwright.step import Worksheet


def sheet(us: Any) -> Draft:
    return Draft(us.code.book, Worksheet("x"), ())


def test_no_dryer_counts_nothing_and_a_small_one_5000_va(us: Any) -> None:
    """1000 ft2: 3000 + 3000 + 1500 = 7500; 3000 + 0.35 x 4500 = 4575 VA."""
    for dryer, load in ((0, 4575), (4000, 9575), (6000, 10575)):
        found, _ = general_method(sheet(us), Dwelling(area_ft2=1000, dryer_va=dryer))
        assert found.value == pytest.approx(load)


def test_heat_or_cooling_whichever_is_larger(us: Any) -> None:
    for heat, cooling in ((5000, 3000), (3000, 5000)):
        home = Dwelling(area_ft2=1000, heat_va=heat, cooling_va=cooling)
        assert general_method(sheet(us), home)[0].value == pytest.approx(9575)


@pytest.mark.parametrize(("units", "demand"), [(1, 0.65), (3, 0.65), (4, 0.4), (5, 0.4)])
def test_heat_by_its_units(us: Any, units: int, demand: float) -> None:
    """1000 ft2: 7500 VA below 10 kVA in full, 10 kVA of heat at 65 or 40 %."""
    home = Dwelling(area_ft2=1000, heat_va=10000, heat_units=units)
    assert optional_method(sheet(us), home).value == pytest.approx(7500 + demand * 10000)


def test_existing_dwelling_has_a_lower_first_step(us: Any) -> None:
    """12 000 VA: 10 000 + 0.4 x 2000 = 10 800; existing 8000 + 0.4 x 4000 = 9600."""
    home = Dwelling(area_ft2=1000, appliances_va=4500)
    assert optional_method(sheet(us), home).value == pytest.approx(10800)
    assert optional_method(sheet(us), home, existing=True).value == pytest.approx(9600)


def values(draft: Draft) -> dict[str, Any]:
    return {
        one.path.removeprefix("x/dwelling/"): (float(one.value), one.rule)
        for one in draft.sheet.steps
    }


def test_general_method_step_by_step(us: Any) -> None:
    """2000 ft2, three small-appliance and two laundry circuits, range, dryer, 2500 VA appliances.

    3 x 2000 + 5 x 1500 = 13 500 VA; 3000 + 0.35 x 10 500 = 6675; range 8000; dryer 5500;
    heat 6000: 6675 + 8000 + 5500 + 2500 + 6000 = 28 675; neutral 6675 + 0.7 x 13 500 = 16 125.
    """
    draft = sheet(us)
    home = Dwelling(
        area_ft2=2000, small_appliance_circuits=3, laundry_circuits=2, range_va=12000,
        dryer_va=5500, appliances_va=2500, heat_va=6000, cooling_va=3000,
    )  # fmt: skip
    load, neutral = general_method(draft, home)
    assert load.value == pytest.approx(28675)
    assert neutral.value == pytest.approx(16125)
    found = values(draft)
    assert found["lighting_va"] == (13500, "nec.220.82")
    assert found["general_va"] == (pytest.approx(6675), "nec.220.42")
    assert found["range_demand_va"] == (8000, "nec.220.55")
    assert found["dryer_demand_va"] == (5500, "nec.220.54")
    assert found["load_va"][1] == "nec.220.42"
    assert found["neutral_va"][1] == "nec.220.61"


def test_a_small_dwelling_is_not_reduced(us: Any) -> None:
    """No circuits but 900 ft2: 2700 VA is below the first 3000 VA: in full."""
    draft = sheet(us)
    home = Dwelling(area_ft2=900, small_appliance_circuits=0, laundry_circuits=0)
    assert general_method(draft, home)[0].value == pytest.approx(2700)


def test_optional_method_names_its_clause_and_gives_amperes(us: Any) -> None:
    """10 800 VA at 240 V are 45 A."""
    home = Dwelling(area_ft2=1000, appliances_va=4500)
    for existing, rule in ((False, "nec.220.82"), (True, "nec.220.83")):
        draft = sheet(us)
        load = optional_method(draft, home, existing=existing)
        found = values(draft)
        for name in ("general_va", "general_demand_va", "climate_va", "load_va"):
            assert found[name][1] == rule
    draft = sheet(us)
    load = optional_method(draft, home)
    assert amperes(draft, load, us.figure(240)).value == pytest.approx(45)
    assert values(draft)["load_a"] == (pytest.approx(45), "nec.220.82")


def test_a_dwelling_has_usual_circuits() -> None:
    home = Dwelling(area_ft2=1)
    assert (home.small_appliance_circuits, home.laundry_circuits, home.heat_units) == (2, 1, 1)
    assert home.range_va == home.dryer_va == home.appliances_va == 0.0
    assert home.heat_va == home.cooling_va == 0.0
