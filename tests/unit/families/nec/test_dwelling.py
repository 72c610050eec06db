"""The calculated load of a dwelling unit, beyond the printed examples."""
# ruff: noqa: ANN401 - the builders take any field of a record

from pathlib import Path
from typing import Any

import pytest
from tests.unit.families.nec.dwellings import load_va, on_supply, plates, reckon, value

from ampwright.families.nec.code import NecCode
from ampwright.records.dwelling import Appliance, Dwelling
from ampwright.regions.us import __file__ as tables


@pytest.fixture(scope="module")
def code() -> NecCode:
    return NecCode.read(Path(tables).parent)


def small(**fields: Any) -> Dwelling:
    """1000 ft2: 3000 VA of lighting, 3000 of small appliances, 1500 of laundry: 7500 VA."""
    return Dwelling(**({"floor_area": "1000 ft2"} | fields))


def test_an_existing_dwelling_goes_by_220_83(code: NecCode) -> None:
    """7500 + 4500 = 12 000 VA: 8000 + 0.4 x 4000 = 9600 VA, 40 A at 240 V."""
    found = reckon(code, small(appliances=plates("4.5 kW")))
    assert load_va(found) == pytest.approx(9600)
    assert found.load is not None
    assert found.load.value == pytest.approx(40)
    assert found.rule == "nec.220.83"
    assert found.motor is None
    assert [one.code for one in found.questions] == ["authority.shop-among-appliances"]
    assert {one.code for one in found.assumptions} == {
        "supply.existing-load-calculated", "supply.dwelling-lines-alike",
    }  # fmt: skip


def test_the_new_method_has_a_higher_first_step(code: NecCode) -> None:
    """12 000 VA: 10 000 + 0.4 x 2000 = 10 800 VA by 220.82."""
    found = reckon(code, small(appliances=plates("4.5 kW"), method="optional"))
    assert load_va(found) == pytest.approx(10800)
    assert found.rule == "nec.220.82"


@pytest.mark.parametrize(("units", "continuous", "load"), [
    (1, False, 7500 + 10000), (3, False, 17500), (4, True, 17500),
    (4, False, 8000 + 0.4 * 9500), (1, True, 17500),
])  # fmt: skip
def test_heat_of_an_existing_dwelling(
    code: NecCode, units: int, *, continuous: bool, load: float
) -> None:
    """In full, as in (B), but four units and more with the rest: 8000 of 17 500 VA in full."""
    home = small(heating="10 kW", heating_units=units, heating_continuous=continuous)
    found = reckon(code, home)
    assert load_va(found) == pytest.approx(load)
    assert "supply.dwelling-climate-in-full" in {one.code for one in found.assumptions}


def test_whichever_of_heating_and_cooling_asks_for_more(code: NecCode) -> None:
    """Five heaters of 10 kW: 8000 + 3800 = 11 800; 6 kVA of cooling: 7500 + 6000 = 13 500 VA."""
    home = small(heating="10 kW", heating_units=5, cooling=plates("6 kVA"))
    assert load_va(reckon(code, home)) == pytest.approx(13500)
    home = small(heating="10 kW", heating_units=5, cooling=plates("4 kVA"))
    assert load_va(reckon(code, home)) == pytest.approx(11800)
    for heating, cooling in (("5 kW", "3 kVA"), ("3 kW", "5 kVA")):
        home = small(heating=heating, cooling=plates(cooling))
        assert load_va(reckon(code, home)) == pytest.approx(12500)


def test_a_heat_pump_counts_with_its_supplementary_heat(code: NecCode) -> None:
    """220.83: 7500 + 5000 + 8000 in full; 220.82(C): 65 % of the 8000; part III: in full."""
    for method, load in (("existing", 20500), ("optional", 7500 + 5000 + 5200),
                         ("general", 4575 + 13000)):  # fmt: skip
        home = small(heat_pump="5 kVA", heating="8 kW", heating_units=6, method=method)
        assert load_va(reckon(code, home)) == pytest.approx(load)


@pytest.mark.parametrize(("units", "share"), [(1, 0.65), (3, 0.65), (4, 0.4), (5, 0.4)])
def test_heat_by_its_units_under_220_82(code: NecCode, units: int, share: float) -> None:
    home = small(heating="10 kW", heating_units=units, method="optional")
    assert load_va(reckon(code, home)) == pytest.approx(7500 + share * 10000)
    home = small(heating="10 kW", heating_units=units, heating_continuous=True, method="optional")
    assert load_va(reckon(code, home)) == pytest.approx(17500)


def test_part_three_step_by_step(code: NecCode) -> None:
    """2000 ft2, three small-appliance and two laundry circuits, range, dryer, 2500 VA appliances.

    3 x 2000 + 5 x 1500 = 13 500 VA; 3000 + 0.35 x 10 500 = 6675; range 8000; dryer 5500;
    heat 6000: 6675 + 8000 + 5500 + 2500 + 6000 = 28 675; neutral 6675 + 0.7 x 13 500 = 16 125.
    """
    home = Dwelling(
        floor_area="2000 ft2", small_appliance_circuits=3, laundry_circuits=2, method="general",
        cooking=plates("12 kW"), dryer="5.5 kW", appliances=plates("2500 VA"), heating="6 kW",
        cooling=plates("3 kVA"),
    )  # fmt: skip
    found = reckon(code, home)
    assert value(found, "general_va") == pytest.approx(13500)
    assert value(found, "general_demand_va") == pytest.approx(6675)
    assert value(found, "cooking_demand_va") == 8000
    assert value(found, "dryer_demand_va") == 5500
    assert value(found, "neutral_va") == pytest.approx(16125)
    assert load_va(found) == pytest.approx(28675)
    assert {one.path: one.rule for one in found.steps}["dwelling/climate_va"] == "nec.220.60"
    assert found.rule == "nec.220.40"
    assert not found.questions


def test_the_neutral_beside_two_lines_of_a_star_is_not_reduced(code: NecCode) -> None:
    """220.61(C)(1): 5100 + 8000 + 5500 = 18 600 VA on 208Y/120 V; 70 % of both on 120/240 V.

    As a thread of a forum of electricians quotes the clause; not read in the standard.
    """
    home = Dwelling(floor_area="1500 ft2", cooking=plates("12 kW"), dryer="5.5 kW",
                    method="general")  # fmt: skip
    star = {"arrangement": "line-line", "voltage": "208 V", "neutral": True}
    assert value(reckon(code, home, **star), "neutral_va") == pytest.approx(18600)
    assert value(reckon(code, home), "neutral_va") == pytest.approx(5100 + 0.7 * 13500)


def test_a_small_dryer_counts_5000_va_and_none_nothing(code: NecCode) -> None:
    """1000 ft2: 3000 + 0.35 x 4500 = 4575 VA."""
    for dryer, load in ((None, 4575), ("4 kW", 9575), ("6 kW", 10575)):
        assert load_va(reckon(code, small(dryer=dryer, method="general"))) == pytest.approx(load)


def test_a_small_dwelling_is_not_reduced(code: NecCode) -> None:
    """No circuits but 900 ft2: 2700 VA is below the first 3000 VA: in full."""
    home = Dwelling(floor_area="900 ft2", small_appliance_circuits=0, laundry_circuits=0,
                    method="general")  # fmt: skip
    assert load_va(reckon(code, home)) == pytest.approx(2700)


def test_four_fastened_appliances_count_three_quarters(code: NecCode) -> None:
    """4575 + 0.75 x (4500 + 1200 + 900 + 600) = 9975; one of 400 W counts in full and as none."""
    four = small(appliances=plates("4.5 kW", "1.2 kW", "900 W", "600 W"), method="general")
    assert load_va(reckon(code, four)) == pytest.approx(9975)
    with_a_small_one = plates("4.5 kW", "1.2 kW", "900 W", "400 W")
    three = small(appliances=with_a_small_one, method="general")
    assert load_va(reckon(code, three)) == pytest.approx(4575 + 7000)
    five = small(appliances=(*four.appliances, *plates("400 W")), method="general")
    assert load_va(reckon(code, five)) == pytest.approx(10375)


@pytest.mark.parametrize(("ratings", "demand"), [
    (("12 kW",), 8000),  # column C
    (("12.5 kW",), 8000),  # half a kilowatt above is no major part of one
    (("14.6 kW",), 8000 * 1.15),  # 2.6 above 12: three times 5 %, note 1
    (("9 kW", "15 kW"), 11000 * 1.05),  # (12 + 15) / 2 = 13.5: note 2; the half is no major part
    (("4 kW", "4 kW", "5.1 kW"), 0.55 * 13100),  # column B, note 3
    (("9 kW", "15.01 kW"), 11000 * 1.1),  # 13.505: the half is passed
    (("9 kW",) * 6, 21000), (("8.75 kW",), 7000), (("8.5 kW",), 6800), (("8.8 kW",), 8000),
    (("3.5 kW",) * 2, 0.65 * 7000), (("3.6 kW",) * 2, 0.65 * 7200), (("3.4 kW",) * 2, 0.75 * 6800),
    (("1.75 kW",), 1750),  # "in excess of 1 3/4 kW": from memory, high
    (("1.76 kW",), 1408), (("1.74 kW",), 1740),
    (("3 kW",), 2400), (("3 kW", "3 kW"), 4500),  # column A
    (("3 kW", "5 kW", "12 kW"), 2400 + 4000 + 8000),
    (("1.2 kW",), 1200),  # in no column
])  # fmt: skip
def test_cooking_by_its_table(code: NecCode, ratings: tuple[str, ...], demand: float) -> None:
    found = reckon(code, small(cooking=plates(*ratings), method="general"))
    assert value(found, "cooking_demand_va") == pytest.approx(demand)


def test_a_vehicle_counts_7200_va_since_2023(code: NecCode) -> None:
    """220.57 of 2023: 7200 VA or the plate; before, the plate; by 220.83 the plate."""
    for edition, rating, load in (("2023", "3.8 kW", 7200), ("2023", "9.6 kW", 9600),
                                  ("2020", "3.8 kW", 3800)):  # fmt: skip
        home = small(vehicle=rating, method="general")
        assert load_va(reckon(code.in_edition(edition), home)) == pytest.approx(4575 + load)
        found = reckon(code.in_edition(edition), small(vehicle="3.8 kW"))
        assert load_va(found) == pytest.approx(8000 + 0.4 * 3300)


def test_clauses_of_both_editions(code: NecCode) -> None:
    """General lighting stands in 220.14(J) and 220.42 in 2020, in 220.41 and 220.45 in 2023."""
    for edition, clauses in (("2020", ("220.14(J)", "220.42")), ("2023", ("220.41", "220.45"))):
        book = code.in_edition(edition).book
        assert (book.rules["nec.220.41"].clause, book.rules["nec.220.42"].clause) == clauses


def test_the_largest_motor_of_part_three(code: NecCode) -> None:
    """Pump 10 A at 230 V, window unit 12 A at 115 V, heat pump 2400 VA / 240 V = 10 A."""
    home = small(
        appliances=(Appliance(current="10 A", voltage="230 V", motor=True),
                    Appliance(current="30 A", voltage="240 V")),
        cooling=(Appliance(current="12 A", voltage="115 V"),), heat_pump="2400 VA",
        method="general",
    )  # fmt: skip
    found = reckon(code, home)
    assert found.motor is not None
    assert found.motor.value == pytest.approx(12)
    found = reckon(code, small(method="general", appliances=(
        Appliance(rating="1.2 kVA", voltage="120 V", motor=True),)))  # fmt: skip
    assert found.motor is not None
    assert found.motor.value == pytest.approx(10)


def test_a_heat_pump_may_be_the_largest_motor(code: NecCode) -> None:
    """4800 VA at 240 V: 20 A, above the 0.5 A of a fan; the fan alone counts as it is."""
    fan = Appliance(current="0.5 A", voltage="120 V", motor=True)
    for pump, amperes in (("4800 VA", 20.0), (None, 0.5)):
        home = small(method="general", appliances=(fan,), heat_pump=pump)
        found = reckon(code, home)
        assert found.motor is not None
        assert found.motor.value == pytest.approx(amperes)


def test_an_appliance_of_500_va_is_one_of_four(code: NecCode) -> None:
    """4575 + 0.75 x 4 x 500 = 6075 VA; of 499 W each all count in full."""
    for rating, load in (("500 W", 6075), ("499 W", 4575 + 4 * 499)):
        home = small(appliances=plates(*[rating] * 4), method="general")
        assert load_va(reckon(code, home)) == pytest.approx(load)


def test_the_neutral_carries_what_is_stated_for_120_volts(code: NecCode) -> None:
    """4575 VA and 1200 VA at 120 V, of a service of 240 V or of 208 V; nothing at 152 V."""
    for volts, own, load in (("240 V", "120 V", 5775), ("208 V", "120 V", 5775),
                             ("240 V", "152 V", 4575), ("240 V", "230 V", 4575)):  # fmt: skip
        home = small(appliances=(Appliance(rating="1.2 kW", voltage=own),), method="general")
        found = reckon(code, home, voltage=volts)
        assert value(found, "neutral_va") == pytest.approx(load)
    home = small(cooling=(Appliance(current="10 A", voltage="115 V"),), method="general")
    assert value(reckon(code, home), "neutral_va") == pytest.approx(4575 + 1150)


def test_each_step_names_the_clause_that_asks_for_it(code: NecCode) -> None:
    home = small(
        method="general", dryer="5 kW", vehicle="8 kW", cooking=plates("12 kW"), heating="3 kW",
        appliances=(Appliance(rating="1 kW", motor=True),),
    )  # fmt: skip
    found = {one.path.removeprefix("dwelling/"): one.rule for one in reckon(code, home).steps}
    wanted = {
        "lighting_va": "220.41", "small_appliance_va": "220.52", "laundry_va": "220.52",
        "general_va": "220.42", "general_demand_va": "220.42", "cooking_c_va": "220.55",
        "cooking_demand_va": "220.55", "dryer_demand_va": "220.54", "vehicle_demand_va": "220.57",
        "appliances_demand_va": "220.53", "climate_va": "220.60", "neutral_va": "220.61",
        "motor_a": "220.50", "load_va": "220.40", "load_a": "220.40",
    }  # fmt: skip
    for name, clause in wanted.items():
        assert found[name] == f"nec.{clause}", name
    four = reckon(code, small(appliances=plates(*["1 kW"] * 4), method="general"))
    assert {one.path: one.rule for one in four.steps}[
        "dwelling/appliances_demand_va"
    ] == "nec.220.53"


@pytest.mark.parametrize(("volts", "rule"), [
    ("219 V", "nec.220.40"), ("220 V", "nec.220.83"), ("255 V", "nec.220.83"),
    ("256 V", "nec.220.40"),
])  # fmt: skip
def test_120_volts_have_a_band(code: NecCode, volts: str, rule: str) -> None:
    """Half of the voltage to earth: from 110 V to 127.5 V."""
    assert reckon(code, small(), voltage=volts).rule == rule


@pytest.mark.parametrize("supply", [
    {"arrangement": "line-line", "voltage": "240 V"},
    {"arrangement": "line-line", "voltage": "208 V"},
    {"arrangement": "line-line", "voltage": "480 V", "neutral": True},
    {"neutral": False},
])  # fmt: skip
def test_without_three_wires_of_120_volts_part_three_stands(
    code: NecCode, supply: dict[str, Any]
) -> None:
    assert reckon(code, small(), **supply).rule == "nec.220.40"
    assert not reckon(code, small(), **supply).findings
    found = reckon(code, small(method="existing"), **supply)
    assert found.rule == "nec.220.40"
    assert [(one.code, one.severity) for one in found.findings] == [
        ("supply.dwelling-method", "caution")
    ]


def test_two_lines_and_neutral_of_208_volts_do(code: NecCode) -> None:
    found = reckon(code, small(), arrangement="line-line", voltage="208 V", neutral=True)
    assert found.rule == "nec.220.83"
    assert found.load is not None
    assert found.load.value == pytest.approx(7500 / 208)


def test_220_82_asks_for_100_amperes(code: NecCode) -> None:
    for rating, rule in (("100 A", "nec.220.82"), ("90 A", "nec.220.40"), (None, "nec.220.40")):
        assert reckon(code, small(method="optional"), rating=rating).rule == rule


def test_another_code_has_no_way_of_its_own(code: NecCode) -> None:
    assert code.existing(on_supply(small(), dwelling=None), "dwelling") is None
