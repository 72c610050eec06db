"""Examples D1(a), D1(b) and D2(a) to D2(c) of Annex D of the National Electrical Code, 2005.

They were seen as a public web page reproduces them (a pocket guide to the code of 2005, with its
annexes), not in the standard: check against it. The rules that they use are the same in the
editions at hand. Amperes that the page does not print are our own division by 240 V.
"""

from collections.abc import Callable
from pathlib import Path

import pytest

import ampwright.regions.us
from ampwright.families.nec.code import NecCode
from ampwright.records.dwelling import Appliance, Dwelling
from ampwright.records.supply import Supply
from ampwright.region import ExistingLoad

Check = Callable[..., None]
FOLDER = Path(ampwright.regions.us.__file__).parent
CODES = {edition: NecCode.read(FOLDER, edition) for edition in ("2023", "2020")}
NEXT_SIZES = (100, 110, 125, 150)  # 240.6(A)


def plates(**ratings: str) -> tuple[Appliance, ...]:
    return tuple(
        Appliance(name=name.replace("_", " "), rating=one) for name, one in ratings.items()
    )


def reckon(code: NecCode, home: Dwelling) -> tuple[ExistingLoad, dict[str, float]]:
    supply = Supply(arrangement="split-phase", voltage="240 V", frequency="60 Hz",
                    rating="150 A", dwelling=home)  # fmt: skip
    found = code.existing(supply, "d")
    assert found is not None
    return found, {one.path.removeprefix("d/"): float(one.value) for one in found.steps}


def service(amperes: float) -> int:
    """Return the standard size of a service, at least the 100 A of 230.79."""
    return next(one for one in NEXT_SIZES if one >= amperes)


@pytest.mark.parametrize("code", CODES.values(), ids=list(CODES))
def test_d1a_by_the_general_method(printed: Check, code: NecCode) -> None:
    """1500 ft2, 12 kW range, 5.5 kW dryer: 18 600 VA, 78 A (77.5), service of 100 A."""
    home = Dwelling(floor_area="1500 ft2", cooking=plates(range="12 kW"), dryer="5.5 kW",
                    method="general")  # fmt: skip
    found, steps = reckon(code, home)
    printed("lighting and circuits", 9000, steps["general_va"], "VA", within=1e-6)
    printed("net of these", 5100, steps["general_demand_va"], "VA", within=1e-6)
    printed("range", 8000, steps["cooking_demand_va"], "VA", within=0)
    printed("dryer", 5500, steps["dryer_demand_va"], "VA", within=0)
    printed("load", 18600, steps["load_va"], "VA", within=1e-6)
    printed("neutral", 14550, steps["neutral_va"], "VA", within=1e-6)
    assert found.load is not None
    printed("amperes", 78, found.load.value, "A", within=0.51)
    assert service(found.load.value) == 100
    assert code.book.cell("dwelling_load", "least_service_a", "value") == 100


def test_d1b_lies_between_its_two_lines(printed: Check) -> None:
    """D1(a) with two room units, disposer and dishwasher: 99 A on one line, 104 A on the other.

    The example adds amperes line by line; here 120 V loads count as spread over both lines, so
    that ours has to lie between the two, and comes to the same service of 110 A. A quarter of the
    largest motor is 3 A there and here.
    """
    home = Dwelling(
        floor_area="1500 ft2", cooking=plates(range="12 kW"), dryer="5.5 kW", method="general",
        cooling=(Appliance(current="6 A", voltage="230 V"),
                 Appliance(current="12 A", voltage="115 V")),
        appliances=(Appliance(name="disposer", current="8 A", voltage="115 V", motor=True),
                    Appliance(name="dishwasher", current="10 A", voltage="120 V", motor=True)),
    )  # fmt: skip
    found, steps = reckon(CODES["2023"], home)
    assert found.load is not None
    assert found.motor is not None
    printed("quarter of the largest motor", 3, 0.25 * found.motor.value, "A", within=0)
    whole = found.load.value + 0.25 * found.motor.value
    assert steps["load_va"] == pytest.approx(18600 + 1380 + 1380 + 920 + 1200)
    assert 99 < whole < 104
    assert service(whole) == 110


@pytest.mark.parametrize("code", CODES.values(), ids=list(CODES))
def test_d2a_heating_larger(printed: Check, code: NecCode) -> None:
    """9 kW of heat in five rooms, one room unit of 6 A, by the optional method: 21 480 VA."""
    home = Dwelling(
        floor_area="1500 ft2", cooking=plates(range="12 kW"), dryer="5 kW", heating="9 kW",
        heating_units=5, cooling=(Appliance(current="6 A", voltage="230 V"),),
        appliances=(Appliance(name="water heater", rating="2.5 kW"),
                    Appliance(name="dishwasher", rating="1.2 kW", voltage="120 V")),
        method="optional",
    )  # fmt: skip
    found, steps = reckon(code, home)
    printed("cooling", 1380, steps["cooling_va"], "VA", within=1e-9)
    printed("general", 29700, steps["general_va"], "VA", within=1e-6)
    printed("demand", 17880, steps["general_demand_va"], "VA", within=1e-6)
    printed("heat", 3600, steps["climate_va"], "VA", within=1e-9)
    printed("load", 21480, steps["load_va"], "VA", within=1e-6)
    assert found.load is not None
    printed("amperes", 89.5, found.load.value, "A", within=1e-6)


def test_d2a_neutral(printed: Check) -> None:
    """The same dwelling: 5100 + 70 % of 8000 and 5000 + 1200 of the dishwasher = 15 400 VA."""
    home = Dwelling(
        floor_area="1500 ft2", cooking=plates(range="12 kW"), dryer="5 kW", method="general",
        appliances=(Appliance(name="water heater", rating="2.5 kW", voltage="240 V"),
                    Appliance(name="dishwasher", rating="1.2 kW", voltage="120 V")),
    )  # fmt: skip
    _, steps = reckon(CODES["2023"], home)
    printed("neutral", 15400, steps["neutral_va"], "VA", within=1e-6)


@pytest.mark.parametrize("code", CODES.values(), ids=list(CODES))
def test_d2b_cooling_larger(printed: Check, code: NecCode) -> None:
    """Six room units of 7 A, taken at 240 V, 1.5 kW of heat in a bathroom: 29 200 VA."""
    home = Dwelling(
        floor_area="1500 ft2", dryer="5 kW", heating="1.5 kW", method="optional",
        cooking=plates(oven="4 kW", other_oven="4 kW", top="5.1 kW"),
        appliances=plates(water_heater="4.5 kW", dishwasher="1.2 kW"),
        cooling=tuple(Appliance(current="7 A", voltage="240 V") for _ in range(6)),
    )  # fmt: skip
    found, steps = reckon(code, home)
    printed("general", 32800, steps["general_va"], "VA", within=1e-6)
    printed("demand", 19120, steps["general_demand_va"], "VA", within=1e-6)
    printed("cooling", 10080, steps["climate_va"], "VA", within=1e-9)
    printed("load", 29200, steps["load_va"], "VA", within=1e-6)
    assert found.load is not None


def test_d2b_cooking_of_the_neutral(printed: Check) -> None:
    """Two ovens of 4 kW and a top of 5.1 kW: 55 % of 13.1 kW, printed rounded to 7200 VA."""
    home = Dwelling(floor_area="1500 ft2", method="general",
                    cooking=plates(oven="4 kW", other_oven="4 kW", top="5.1 kW"))  # fmt: skip
    _, steps = reckon(CODES["2023"], home)
    printed("ovens and cooking unit", 7200, steps["cooking_demand_va"], "VA", within=6)


@pytest.mark.parametrize("code", CODES.values(), ids=list(CODES))
def test_d2c_heat_pump(printed: Check, code: NecCode) -> None:
    """2000 ft2, heat pump of 24 A with 15 kW of supplementary heat: 34 790 VA, 150 A service."""
    home = Dwelling(
        floor_area="2000 ft2", cooking=plates(range="12 kW"), dryer="5 kW", heat_pump="5760 VA",
        heating="15 kW", method="optional",
        appliances=plates(water_heater="4.5 kW", dishwasher="1.2 kW"),
    )  # fmt: skip
    found, steps = reckon(code, home)
    printed("general", 33200, steps["general_va"], "VA", within=1e-6)
    printed("demand", 19280, steps["general_demand_va"], "VA", within=1e-6)
    printed("heat", 15510, steps["climate_va"], "VA", within=1e-6)
    printed("load", 34790, steps["load_va"], "VA", within=1e-6)
    assert found.load is not None
    assert service(found.load.value) == 150
