"""What is wrong across fields is said together with what is wrong with single fields."""

from typing import Any

import pytest

from ampwright.errors import AmpwrightError
from ampwright.records.shop import Shop

PLATE = "5 HP 230 V 3 PH 60 HZ 13.2 A 1745 RPM"
SUPPLY = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz"}


def _codes(data: dict[str, Any]) -> dict[str, str]:
    with pytest.raises(AmpwrightError) as caught:
        Shop.from_dict(data)
    faults = caught.value.faults or (caught.value,)
    paths = [(one.path, one.code) for one in faults]
    assert len(paths) == len(set(paths))
    return dict(paths)


def _muddle() -> dict[str, Any]:
    return {
        "supply": {
            **SUPPLY,
            "frequency": "60",
            "lowest_voltage": "250 V",
            "highest_voltage": "225 V",
        },
        "together": [["lathe", "mil"]],
        "machines": [
            {"id": "lathe", "plate": PLATE, "lenght": "40 ft"},
            {"id": "lathe", "plate": PLATE, "needs": ["saw", "press"]},
            {"id": "saw", "plate": PLATE, "fed_from": "pres"},
        ],
    }


def test_everything_is_said_at_once() -> None:
    assert _codes(_muddle()) == {
        "supply.frequency": "unit.missing",
        "supply.lowest_voltage": "supply.voltage-order",
        "machines[0].lenght": "field.unknown",
        "machines[1].id": "id.duplicate",
        "machines[1].needs[1]": "id.unknown",
        "machines[2].fed_from": "id.unknown",
        "together[0][1]": "id.unknown",
    }


def test_an_unknown_id_is_not_told_where_an_id_could_not_be_read() -> None:
    data = _muddle()
    data["machines"][2].pop("id")
    found = _codes(data)
    assert found["machines[2].id"] == "field.missing"
    assert "id.unknown" not in found.values()
    assert found["machines[1].id"] == "id.duplicate"


@pytest.mark.parametrize("low", ["250 V", "251", 250, None])
def test_a_voltage_that_could_not_be_read_is_held_against_nothing(low: object) -> None:
    data = _muddle()
    data["supply"]["lowest_voltage"] = low
    found = set(_codes(data).values())
    assert ("supply.voltage-order" in found) == (low == "250 V")


@pytest.mark.parametrize("machines", [None, "lathe", [], [5], [{"id": 5}], [{"id": ["x"]}]])
def test_a_shape_that_is_no_shop_breaks_nothing(machines: object) -> None:
    assert _codes({"supply": {"voltage": 1}, "machines": machines, "together": [5, ["x", {}]]})
