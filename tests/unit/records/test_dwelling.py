"""A dwelling as it is stated: quantities, faults all at once, text and back."""

import json
import pickle
from typing import Any

import attrs
import pint
import pytest

import ampwright as aw
from ampwright.records.dwelling import MOST_COOKING, Appliance, Dwelling

HOME = """
schema = "ampwright.shop/1"
region = "us"

[supply]
arrangement = "split-phase"
voltage = "240 V"
frequency = "60 Hz"
rating = "200 A"
demand_record = "none"

[supply.dwelling]
floor_area = "2100 ft2"
laundry_circuits = 2
dryer = "5 kW"
heating = "9000 VA"
heating_units = 5
heat_pump = "4.2 kVA"
vehicle = "7.2 kW"
cooking = [{ name = "Range", rating = "12 kW" }]
cooling = [{ current = "18 A", voltage = "240 V" }]
appliances = [
  { name = "Water heater", rating = "4.5 kW" },
  { name = "Well pump", current = "10 A", voltage = "230 V", motor = true },
]

[[machines]]
id = "lathe"
plate = "3 HP 3PH 60 HZ 1740 RPM 230/460 V 8.6/4.3 A CODE J SF 1.15"
"""


def stated(**fields: Any) -> dict[str, Any]:  # noqa: ANN401 - fields of a record of any kind
    return {
        "supply": {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
                   "dwelling": {"floor_area": "100 m2"} | fields},
        "machines": [{"id": "a", "plate": "5 HP 230 V 60 HZ"}],
    }  # fmt: skip


def test_text_and_mapping_are_exact_inverses(tmp_path: Any) -> None:  # noqa: ANN401 - a fixture
    file = tmp_path / "shop.toml"
    file.write_text(HOME, encoding="utf-8")
    shop = aw.load_shop(file)
    assert shop.supply.dwelling is not None
    assert shop.supply.dwelling.appliances[1].motor is True
    again = aw.Shop.from_dict(json.loads(json.dumps(shop.to_dict())))
    assert again == shop
    assert again.to_dict() == shop.to_dict()
    file.write_text(shop.to_toml(), encoding="utf-8")
    assert aw.load_shop(file) == shop
    assert pickle.loads(pickle.dumps(shop)) == shop  # noqa: S301 - our own
    said = shop.to_dict()["supply"]["dwelling"]
    assert said["dryer"] == "5 kW"
    assert said["floor_area"] == "2100 ft2"


def test_floor_area_in_both_units() -> None:
    """1 ft is 0.3048 m: 2100 ft2 are 195.096384 m2."""
    assert Dwelling(floor_area="2100 ft2").floor_area_m2 == pytest.approx(195.096384)
    assert Dwelling(floor_area="2100 ft²").floor_area_m2 == pytest.approx(195.096384)
    assert Dwelling(floor_area="95 m2").floor_area_m2 == 95.0
    feet = pint.UnitRegistry().Quantity(1500, "ft**2")
    assert Dwelling(floor_area=feet).floor_area_m2 == pytest.approx(139.35456)


@pytest.mark.parametrize(("given", "rating"), [
    ("4.5 kW", 4500.0), ("4500 VA", 4500.0), ("4.5 kVA", 4500.0), ("500 W", 500.0),
])  # fmt: skip
def test_watts_count_as_volt_amperes(given: str, rating: float) -> None:
    one = Appliance(rating=given)
    assert one.rating_va == rating
    assert attrs.evolve(one, motor=True).rating_va == rating
    quantity = pint.UnitRegistry().Quantity(given)
    assert Appliance(rating=quantity).rating_va == rating


@pytest.mark.parametrize("given", ["1/2 hp", "1 HP", "1 PS", "12 A", "12", 4500])
def test_anything_else_is_no_rating(given: Any) -> None:  # noqa: ANN401 - any wrong value
    with pytest.raises(aw.InputError) as raised:
        Appliance(rating=given)
    assert raised.value.path == "rating"


def test_horsepower_of_a_quantity_is_no_rating() -> None:
    quantity = pint.UnitRegistry().Quantity(1, "horsepower")
    with pytest.raises(aw.UnitError) as raised:
        Appliance(rating=quantity)
    assert "current and voltage" in str(raised.value)


def test_an_appliance_states_its_rating_or_current_and_voltage() -> None:
    with pytest.raises(aw.InputError):
        Appliance(name="pump")
    with pytest.raises(aw.InputError) as raised:
        Appliance(current="10 A")
    assert raised.value.path == "voltage"
    assert Appliance(current="10 A", voltage="230 V").rating_va is None


def test_no_more_cooking_than_the_table_goes_to() -> None:
    one = Appliance(rating="4 kW")
    assert len(Dwelling(floor_area="90 m2", cooking=[one] * MOST_COOKING).cooking) == MOST_COOKING
    with pytest.raises(aw.LimitError) as raised:
        Dwelling(floor_area="90 m2", cooking=[one] * (MOST_COOKING + 1))
    assert raised.value.path == "cooking"


def test_all_faults_come_together_with_what_is_right() -> None:
    faulty = stated(
        flor_area="3 m2", heating="9 kWh", heating_units=0, method="normal",
        appliances=[{"name": "x"}, {"rating": "4 kW", "moter": True}],
    )  # fmt: skip
    del faulty["supply"]["dwelling"]["floor_area"]
    with pytest.raises(aw.InputError) as raised:
        aw.Shop.from_dict(faulty)
    found = {one.path: (one.code, one.remedy) for one in raised.value.faults}
    place = "supply.dwelling"
    assert found.keys() == {
        f"{place}.flor_area", f"{place}.floor_area", f"{place}.heating", f"{place}.heating_units",
        f"{place}.method", f"{place}.appliances[0]", f"{place}.appliances[1].moter",
    }  # fmt: skip
    assert found[f"{place}.flor_area"][0] == "field.unknown"
    assert "floor_area" in found[f"{place}.flor_area"][1]
    assert "motor" in found[f"{place}.appliances[1].moter"][1]
    assert found[f"{place}.floor_area"][0] == "field.missing"


def test_usual_circuits_where_nothing_is_said() -> None:
    home = Dwelling(floor_area="90 m2")
    assert (home.small_appliance_circuits, home.laundry_circuits, home.heating_units) == (2, 1, 1)
    assert home.cooking == home.appliances == home.cooling == ()
    assert home.method is home.dryer_va is home.heating_va is home.vehicle_va is None
