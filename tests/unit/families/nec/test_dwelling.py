"""The calculated load of a dwelling unit, beyond the printed examples."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest

from ampwright.families.nec.draft import Draft
from ampwright.families.nec.dwelling import Dwelling, general_method, optional_method
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
