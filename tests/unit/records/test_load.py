"""A load that is no motor."""

from typing import Any

import pytest

from ampwright.errors import InputError, UnitError
from ampwright.exchange import read
from ampwright.records.load import Load


@pytest.mark.parametrize(
    "size", [{"power": "6 kW"}, {"apparent_power": "9 kVA"}, {"current": "15 A"}]
)
def test_one_size_is_enough(size: dict[str, str]) -> None:
    load = read(Load, {"kind": "resistive", **size})
    found = (load.power_w, load.apparent_power_va, load.current_a)
    assert [one for one in found if one is not None] in ([6000.0], [9000.0], [15.0])


def test_a_welder_may_state_its_largest_current_alone() -> None:
    assert Load(kind="welder", largest_current="32 A").largest_current_a == 32.0


def test_without_a_size_it_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        Load(kind="lamp", voltage="230 V")
    assert caught.value.code == "field.missing"
    assert "power, apparent_power or current" in str(caught.value)


@pytest.mark.parametrize(
    ("fields", "code"),
    [
        ({"kind": "heater"}, "enum.kind"),
        ({"power": "6 kVA"}, "unit.kind"),
        ({"apparent_power": "6 kW"}, "unit.kind"),
        ({"relinkable": "yes"}, "type.boolean"),
        ({"duty_cycle": 40}, "range.fraction"),
    ],
)
def test_what_is_refused(fields: dict[str, Any], code: str) -> None:
    with pytest.raises(InputError) as caught:
        Load(**{"kind": "resistive", "power": "6 kW", **fields})
    assert caught.value.code == code


def test_unknown_differs_from_no() -> None:
    assert Load(kind="resistive", power="6 kW").relinkable is None
    assert Load(kind="resistive", power="6 kW", relinkable=False).relinkable is False
    with pytest.raises(UnitError):
        Load(kind="resistive", power=6000)  # type: ignore[arg-type]
