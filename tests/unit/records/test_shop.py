"""A whole shop."""

import copy
import io
import json
import pickle
import tomllib
from pathlib import Path
from typing import Any

import attrs
import pytest

from ampwright.errors import AmpwrightError, ConsistencyError, FormatError, InputError
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop, load_shop
from ampwright.records.site import Site
from ampwright.records.supply import Supply

TOML = """
schema = "ampwright.shop/1"
name = "Quarry Lane joinery"
region = "us"
together = [["saw", "dust"], ["dust"]]
hours_open = "1800 h"
energy_price = "0.17 USD/kWh"

[supply]
arrangement = "split-phase"
voltage = "240 V"
frequency = "60 Hz"
rating = "100 A"
existing_load = "14 A"

[site]
ambient = "30 degC"

[[machines]]
id = "saw"
plate = "5 HP 3PH 60CY 1740 RPM 230/460 V 13.2/6.6 A"
length = "12 m"
required = true

[[machines]]
id = "dust"

[[machines.motors]]
power = "5 hp"
voltage = "230/460 V"
current = "12.8/6.4 A"
"""
DATA: dict[str, Any] = tomllib.loads(TOML)


def changed(**changes: Any) -> dict[str, Any]:  # noqa: ANN401 - plain data
    """Return the shop with top-level *changes*."""
    return {**copy.deepcopy(DATA), **changes}


def machine(name: str, **fields: Any) -> dict[str, Any]:  # noqa: ANN401 - plain data
    """Return a small machine as plain data."""
    return {"id": name, "plate": "5 HP 230 V", **fields}


def test_toml_json_mapping_and_records_are_equal(tmp_path: Path) -> None:
    by_hand = Shop(
        name="Quarry Lane joinery",
        region="us",
        together=[["saw", "dust"], ["dust"]],
        hours_open="1800 h",
        energy_price="0.17 USD/kWh",
        supply=Supply(
            arrangement="split-phase", voltage="240 V", frequency="60 Hz", rating="100 A",
            existing_load="14 A",
        ),
        site=Site(ambient="30 degC"),
        machines=[
            Machine(
                id="saw", plate="5 HP 3PH 60CY 1740 RPM 230/460 V 13.2/6.6 A", length="12 m"
            ),
            Machine(
                id="dust",
                motors=[Motor(power="5 hp", voltage="230/460 V", current="12.8/6.4 A")],
            ),
        ],
    )  # fmt: skip
    path = tmp_path / "shop.json"
    path.write_text(json.dumps(DATA), encoding="utf-8")
    shops = [
        Shop.from_dict(DATA), load_shop(io.StringIO(TOML)), load_shop(path), load_shop(str(path)),
        by_hand,
    ]  # fmt: skip
    assert all(one == by_hand for one in shops)
    assert all(hash(one) == hash(by_hand) for one in shops)
    assert load_shop(path).to_dict() == DATA
    del DATA["machines"][0]["required"]
    assert by_hand.to_dict() == DATA
    DATA["machines"][0]["required"] = True


def test_what_was_stated_though_usual_is_written_back_and_what_was_not_is_not() -> None:
    data = changed(locale=None, equipment=[], machines=[machine("saw", quantity=1, traits=[])])
    data["together"] = None
    assert Shop.from_dict(data).to_dict() == data
    del data["schema"]
    assert Shop.from_dict(data).to_dict() == data


def test_the_text_of_a_shop_file_is_read_back() -> None:
    shop = Shop.from_dict(DATA)
    assert load_shop(io.StringIO(shop.to_toml())) == shop
    assert tomllib.loads(shop.to_toml()) == DATA


def test_the_callers_data_is_left_alone() -> None:
    data = changed(extra={"a": [1]})
    before = copy.deepcopy(data)
    shop = Shop.from_dict(data)
    shop.to_dict()["machines"][0]["id"] = "other"
    assert data == before
    assert shop.to_dict() == before


def test_no_site_is_a_site_of_which_nothing_is_known() -> None:
    data = changed()
    del data["site"]
    shop = Shop.from_dict(data)
    assert shop.site == Site()
    assert shop.to_dict() == data
    assert Shop.from_dict(changed(site={})).to_dict()["site"] == {}


@pytest.mark.parametrize(
    ("changes", "path", "code", "said"),
    [
        ({"machines": []}, "machines", "field.empty", "at least one"),
        ({"machines": {}}, "machines", "type.list", "list"),
        ({"machines": [machine("a"), machine("a")], "together": None}, "machines[1].id",
         "id.duplicate", "machines[0]"),
        ({"together": [["saw", "M9"]]}, "together[0][1]", "id.unknown", "M9"),
        ({"together": [["saw", "dusd"]]}, "together[0][1]", "id.unknown", '"dust"'),
        ({"together": [[]]}, "together[0]", "field.empty", "at least one"),
        ({"together": [["saw", "saw"]]}, "together[0][1]", "id.duplicate", "once"),
        ({"together": ["saw"]}, "together[0]", "type.list", "list"),
        ({"region": 5}, "region", "type.text", "text"),
        ({"currency": "usd"}, "currency", "enum.currency", "USD"),
        ({"currency": "EUR"}, "energy_price", "currency.mixed", "EUR"),
        ({"energy_price": "0.17 USD"}, "energy_price", "quantity.syntax", "USD/kWh"),
        ({"energy_price": 0.17}, "energy_price", "unit.missing", "USD/kWh"),
        ({"hours_open": 1800}, "hours_open", "unit.missing", "1800 h"),
        ({"locale": "klingon"}, "locale", "enum.locale", "de-DE"),
        ({"macines": []}, "macines", "field.unknown", "machines"),
        ({"schema": "ampwright.shop/2"}, "schema", "schema.too_new", "upgrade"),
        ({"schema": "ampwright.plan/1"}, "schema", "schema.unknown", "ampwright.shop/1"),
        ({"supply": None}, "supply", "field.missing", "value"),
        ({"tariff": {"demand_charge": "9.5 USD"}}, "tariff.demand_charge", "quantity.syntax",
         "/kW"),
    ],
)  # fmt: skip
def test_what_is_refused(changes: dict[str, Any], path: str, code: str, said: str) -> None:
    with pytest.raises(AmpwrightError) as caught:
        Shop.from_dict(changed(**changes))
    assert (caught.value.path, caught.value.code) == (path, code)
    assert said in str(caught.value)


def test_unknown_ids_are_found_wherever_machines_are_named() -> None:
    data = changed(
        together=[["a", "x1"]],
        machines=[machine("a", needs=["x2"]), machine("b", fed_from="x3")],
        equipment=[{"kind": "drive", "id": "d", "serves": ["x4"]}],
    )
    with pytest.raises(ConsistencyError) as caught:
        Shop.from_dict(data)
    assert {one.path: one.value for one in caught.value.faults} == {
        "together[0][1]": "x1",
        "machines[0].needs[0]": "x2",
        "machines[1].fed_from": "x3",
        "equipment[0].serves[0]": "x4",
    }


def test_machines_do_not_feed_each_other_in_a_ring() -> None:
    ring = [machine("a", fed_from="c"), machine("b", fed_from="a"), machine("c", fed_from="b")]
    with pytest.raises(ConsistencyError) as caught:
        Shop.from_dict(changed(machines=ring, together=None))
    assert caught.value.code == "id.cycle"
    chain = [machine("a"), machine("b", fed_from="a"), machine("c", fed_from="b")]
    assert Shop.from_dict(changed(machines=chain, together=None))


def test_prices_are_in_one_currency() -> None:
    data = changed(machines=[machine("a", value="500 GBP")], together=None)
    data["supply"]["three_phase"] = {"where": "in-street", "price": "9200 EUR"}
    with pytest.raises(ConsistencyError) as caught:
        Shop.from_dict(data)
    found = [(one.path, one.code) for one in caught.value.faults]
    assert found == [
        ("supply.three_phase.price", "currency.mixed"),
        ("machines[0].value", "currency.mixed"),
    ]


def test_all_faults_of_a_statement_come_in_one_error() -> None:
    data = changed(regoin="us")
    data["supply"] |= {"voltage": 240, "rating": "100 V"}
    data["machines"][0] |= {"length": "12", "quantity": 1.5}
    data["machines"][1]["motors"][0] |= {"power": "5 kVA", "efficiency": 89, "code_letter": "I"}
    with pytest.raises(InputError) as caught:
        Shop.from_dict(data)
    found = {(one.path, one.code) for one in caught.value.faults}
    assert found == {
        ("regoin", "field.unknown"),
        ("supply.voltage", "unit.missing"),
        ("supply.rating", "unit.dimension"),
        ("machines[0].length", "unit.missing"),
        ("machines[0].quantity", "type.integer"),
        ("machines[1].motors[0].power", "unit.kind"),
        ("machines[1].motors[0].efficiency", "range.fraction"),
        ("machines[1].motors[0].code_letter", "enum.code_letter"),
    }
    assert len(str(caught.value).splitlines()) == 8
    again = pickle.loads(pickle.dumps(caught.value))  # noqa: S301 - made in the same line
    assert str(again) == str(caught.value)


def test_a_constructor_names_its_first_fault() -> None:
    with pytest.raises(InputError) as caught:
        Supply(arrangement="split-phase", voltage=240, frequency=60)  # type: ignore[arg-type]
    assert (caught.value.path, caught.value.code) == ("voltage", "unit.missing")


def test_decimal_commas_are_read_where_a_locale_is_stated() -> None:
    data = changed(locale="de-DE", machines=[machine("a", length="12,5 m")], together=None)
    data["energy_price"] = "0,31 EUR/kWh"
    shop = Shop.from_dict(data)
    assert (shop.machines[0].length_m, shop.energy_price) == (12.5, 0.31)
    assert shop.to_dict() == data
    assert Shop.from_dict(json.loads(json.dumps(data))) == shop
    without = attrs.evolve(shop, locale=None)
    assert without.to_dict()["machines"][0]["length"] == "12.5 m"
    assert Shop.from_dict(without.to_dict()) == without
    del data["locale"]
    with pytest.raises(InputError) as caught:
        Shop.from_dict(data)
    assert {one.code for one in caught.value.faults} == {"quantity.syntax"}
    assert Shop.from_dict(data, locale="de-DE") == shop
    assert load_shop(io.StringIO(json.dumps(data)), locale="de-DE") == shop


def test_a_locale_does_not_reach_beyond_its_shop() -> None:
    Shop.from_dict(changed(locale="de-DE", hours_open="1800,5 h"))
    with pytest.raises(InputError):
        Motor(power="5,5 kW")
    with pytest.raises(InputError):
        Shop.from_dict(changed(locale="de-DE", hours_open="broken"))
    with pytest.raises(InputError):
        Motor(power="5,5 kW")


def test_texts_with_a_point_are_written_with_a_comma_where_a_point_would_mislead() -> None:
    shop = Shop.from_dict(changed(hours_open="1.234 h"))
    spoken = attrs.evolve(shop, locale="de-DE")
    assert spoken.to_dict()["hours_open"] == "1,234 h"
    assert Shop.from_dict(spoken.to_dict()) == spoken


def test_two_locales_are_one_too_many() -> None:
    with pytest.raises(ConsistencyError) as caught:
        Shop.from_dict(changed(locale="de-DE"), locale="en-US")
    assert caught.value.code == "locale.conflict"
    assert Shop.from_dict(changed(locale="de-DE"), locale="de-DE").locale == "de-DE"


@pytest.mark.parametrize("data", [None, [], "text", 5])
def test_only_a_mapping_is_a_shop(data: Any) -> None:  # noqa: ANN401 - anything
    with pytest.raises(FormatError) as caught:
        Shop.from_dict(data)
    assert caught.value.code == "schema.top_level"


def test_a_shop_is_frozen_and_pickles() -> None:
    shop = Shop.from_dict(DATA)
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        shop.name = "other"  # type: ignore[misc]
    again = pickle.loads(pickle.dumps(shop))  # noqa: S301 - made in the same line
    assert again == shop
    assert again.to_dict() == DATA
