"""What all stated records have in common."""

from typing import Any

import attrs
import pytest

from ampwright.errors import InputError, LimitError
from ampwright.records import equipment, load, machine, motor, shop, site, supply
from ampwright.records.machine import Machine
from ampwright.records.statement import Extra, Statement, own_data, several

MODULES = (equipment, load, machine, motor, shop, site, supply)
RECORDS = sorted(
    {
        found
        for module in MODULES
        for found in vars(module).values()
        if isinstance(found, type) and issubclass(found, Statement) and found is not Statement
    },
    key=lambda cls: cls.__name__,
)
# Ends of names of floats, and the floats that have none: money has its currency as unit, ratios
# and fractions have none, and the rest bear theirs in their name.
ENDINGS = (
    "_a", "_v", "_w", "_va", "_ohm", "_m", "_m2", "_mm2", "_hz", "_s", "_h", "_c", "_k", "_f",
    "_nm", "_rpm", "_kgm2", "_db", "_k_m_per_w", "_ratio", "_factor",
)  # fmt: skip
WITHOUT = {
    "efficiency", "duty_cycle", "average_load", "voltage_tolerance", "unbalance_limit", "value",
    "price", "yearly_charge", "standing_charge", "demand_charge", "energy_price", "months",
    "years_of_use",
    "starts_per_hour", "existing_load", "third_harmonic",
}  # fmt: skip


@pytest.mark.parametrize("cls", RECORDS)
def test_every_record_is_frozen_slotted_and_keyword_only(cls: type[Statement]) -> None:
    assert "__slots__" in vars(cls)
    assert "__dict__" not in dir(cls)
    assert all(field.kw_only for field in attrs.fields(cls) if field.init)
    empty: Any = cls.__new__(cls)
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        empty.anything = 5


@pytest.mark.parametrize("cls", RECORDS)
def test_every_float_ends_in_its_unit_and_is_stated_without(cls: type[Statement]) -> None:
    for field in attrs.fields(cls):
        if field.init and "float" in str(field.type):
            ending = field.name.endswith(ENDINGS)
            assert ending or field.name in WITHOUT, field.name
            assert (
                field.name == field.alias
                or field.name.startswith(f"{field.alias}_")
                or field.alias == "apparent_power"
            ), field.name


@pytest.mark.parametrize("cls", RECORDS)
def test_every_field_is_described(cls: type[Statement]) -> None:
    text = cls.__doc__ or ""
    assert "Attributes:" in text
    inherited = {
        field.name for base in cls.__mro__[1:] if attrs.has(base) for field in attrs.fields(base)
    }
    for field in attrs.fields(cls):
        assert field.name in inherited or f"    {field.name}:" in text, field.name


@pytest.mark.parametrize("values", ["text", b"bytes", 5, None, {"a": 1}])
def test_a_list_is_no_text_and_no_table(values: Any) -> None:  # noqa: ANN401 - anything wrong
    with pytest.raises(InputError) as caught:
        several(values)
    assert caught.value.code == "type.list"


def test_a_generator_is_taken_once() -> None:
    made = Machine(id="a", plate="5 HP", needs=(one for one in ("b", "c")))
    assert made.needs == ("b", "c")
    with pytest.raises(LimitError):
        several(range(501))


def test_an_object_that_raises_when_it_is_looked_at_is_refused() -> None:
    class Evil:
        def __getattr__(self, _name: str) -> None:
            raise RuntimeError

        def __eq__(self, _other: object) -> bool:
            raise ZeroDivisionError

        __hash__ = None  # type: ignore[assignment]

    evil: Any = Evil()
    for field in ("length", "value", "quantity", "required", "start", "name", "extra", "motors"):
        with pytest.raises(InputError) as caught:
            Machine(**{"id": "a", "plate": "5 HP", field: evil})
        assert caught.value.path == field


def test_own_data_is_a_mapping_like_the_callers() -> None:
    data: Any = own_data({"a": {"b": [1, 2]}, "c": None})
    assert data == {"a": {"b": (1, 2)}, "c": None}
    assert (list(data), len(data), data["c"]) == (["a", "c"], 2, None)
    assert repr(data).startswith("Extra(")
    assert Extra({}) == Extra({})


def test_a_record_is_shown_as_it_was_stated() -> None:
    made = Machine(id="a", plate="5 HP", length="40 ft", quantity=1)
    assert repr(made) == "Machine(id='a', plate='5 HP', length='40 ft')"
