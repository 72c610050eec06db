"""Equipment that is there or owned."""

from typing import Any

import pytest

from ampwright.errors import InputError
from ampwright.exchange import write
from ampwright.records.equipment import OwnedCapacitors, OwnedDrive, OwnedMotor, OwnedOutlet
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop

PIECES: list[dict[str, Any]] = [
    {"kind": "converter", "id": "c", "method": "rotary", "rating": "10 hp", "idler_power": "10 hp",
     "input_current": "48 A", "output_voltage": "240 V", "fate": "keep", "serves": ["saw"]},
    {"kind": "motor", "id": "m", "motor": {"power": "7.5 hp", "voltage": "230/460 V"}},
    {"kind": "drive", "id": "d", "power": "4 kW", "input_phases": 3, "shared": True},
    {"kind": "conductor", "id": "w", "size": "6 AWG", "material": "copper", "conductors": 3,
     "length": "30 m", "count": 2},
    {"kind": "device", "id": "b", "device": "overload", "poles": 3, "range": "7-10 A"},
    {"kind": "outlet", "id": "o", "poles": 4, "current": "30 A", "on_converter": True,
     "switched": False, "fate": "must-go"},
    {"kind": "capacitors", "id": "k", "capacitance": "40 uF", "rating": "370 V",
     "purpose": "run", "discharge_resistors": False, "count": 6},
]  # fmt: skip


def shop_with(pieces: list[dict[str, Any]]) -> dict[str, Any]:
    """Return a small shop that has *pieces*."""
    return {
        "supply": {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz"},
        "machines": [{"id": "saw", "plate": "5 HP"}],
        "equipment": pieces,
    }


def test_every_kind_comes_and_goes_in_its_own_class() -> None:
    shop = Shop.from_dict(shop_with(PIECES))
    assert shop.to_dict() == shop_with(PIECES)
    names = [type(one).__name__ for one in shop.equipment]
    assert names == [
        "OwnedConverter", "OwnedMotor", "OwnedDrive", "OwnedConductor", "OwnedDevice",
        "OwnedOutlet", "OwnedCapacitors",
    ]  # fmt: skip
    converter: Any = shop.equipment[0]
    assert converter.idler_power_w == pytest.approx(7456.9987)
    device: Any = shop.equipment[4]
    assert device.range_a == (7.0, 10.0)


def test_the_kind_is_written_for_what_was_built_by_hand() -> None:
    pieces = (
        OwnedOutlet(id="o", switched=False),
        OwnedCapacitors(id="k", discharge_resistors=False),
        OwnedMotor(id="m", motor=Motor(power="5 hp")),
        OwnedDrive(id="d", shared=True),
    )
    data = [write(one) for one in pieces]
    assert [one["kind"] for one in data] == ["outlet", "capacitors", "motor", "drive"]
    assert Shop.from_dict(shop_with(data)).equipment == pieces


@pytest.mark.parametrize(
    ("piece", "path", "code"),
    [
        ({"id": "x"}, "equipment[0].kind", "enum.kind"),
        ({"kind": "driver", "id": "x"}, "equipment[0].kind", "enum.kind"),
        ({"kind": "drive"}, "equipment[0].id", "field.missing"),
        ({"kind": "drive", "id": "x", "poles": 3}, "equipment[0].poles", "field.unknown"),
        ({"kind": "drive", "id": "x", "fate": "sell"}, "equipment[0].fate", "enum.fate"),
        ({"kind": "drive", "id": "x", "serves": ["mill"]}, "equipment[0].serves[0]", "id.unknown"),
        ("a drive", "equipment[0]", "type.record"),
    ],
)
def test_what_is_refused(piece: Any, path: str, code: str) -> None:  # noqa: ANN401 - anything wrong
    with pytest.raises(InputError) as caught:
        Shop.from_dict(shop_with([piece]))
    assert (caught.value.path, caught.value.code) == (path, code)


def test_an_id_is_used_once() -> None:
    pieces = [{"kind": "drive", "id": "d"}, {"kind": "outlet", "id": "d"}]
    with pytest.raises(InputError) as caught:
        Shop.from_dict(shop_with(pieces))
    assert (caught.value.path, caught.value.code) == ("equipment[1].id", "id.duplicate")
