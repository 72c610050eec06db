"""The single-phase supply."""

import math
from typing import Any, Literal

import attrs
import pytest

from ampwright.errors import InputError
from ampwright.exchange import read, write
from ampwright.records.supply import (
    Feeder,
    MeasuredDrop,
    Panel,
    Standby,
    Supply,
    ThreePhase,
    Upgrade,
)

SPLIT: dict[str, Any] = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz"}


@pytest.mark.parametrize(
    ("arrangement", "voltage", "earth"),
    [
        ("split-phase", "240 V", 120.0),
        ("line-neutral", "230 V", 230.0),
        ("line-line", "208 V", 208 / math.sqrt(3)),
    ],
)
def test_volts_to_earth_follow_from_the_arrangement(
    arrangement: Literal["split-phase", "line-neutral", "line-line"], voltage: str, earth: float
) -> None:
    supply = Supply(arrangement=arrangement, voltage=voltage, frequency="60 Hz")
    assert supply.voltage_to_earth_v is None
    assert supply.earth_voltage_v == pytest.approx(earth)
    stated = attrs.evolve(supply, voltage_to_earth="100 V")
    assert stated.earth_voltage_v == 100.0


def test_nothing_fixes_volts_to_earth_of_an_isolated_system() -> None:
    assert Supply(**SPLIT, earthing="it").earth_voltage_v is None


@pytest.mark.parametrize(
    ("load", "current"), [("14 A", 14.0), ("3.6 kVA", 15.0), ("0 A", 0.0), (None, None)]
)
def test_existing_load_as_current_or_apparent_power(
    load: str | None, current: float | None
) -> None:
    supply = Supply(**SPLIT, existing_load=load)
    assert supply.existing_load_a == current
    assert attrs.evolve(supply).existing_load_a == current
    shown = {} if load is None else {"existing_load": load}
    assert write(supply) == {**SPLIT, **shown}


@pytest.mark.parametrize("load", ["3 kW", "14 V", 14])
def test_existing_load_is_nothing_else(load: Any) -> None:  # noqa: ANN401 - any wrong value
    with pytest.raises(InputError):
        Supply(**SPLIT, existing_load=load)


def test_the_place_alone_stands_for_three_phase() -> None:
    supply = Supply(**SPLIT, three_phase="in-street", standby="generator")
    assert supply.three_phase == ThreePhase(where="in-street")
    assert supply.standby == Standby(kind="generator")
    assert write(supply) == {**SPLIT, "three_phase": "in-street", "standby": "generator"}
    long = {**SPLIT, "three_phase": {"where": "in-street"}}
    assert write(read(Supply, long)) == long
    assert read(Supply, long) == attrs.evolve(supply, standby=None)


def test_a_word_that_is_no_place_names_the_field_and_the_nearest() -> None:
    with pytest.raises(InputError) as caught:
        Supply(**SPLIT, three_phase="in-stret")  # type: ignore[arg-type]
    assert (caught.value.path, caught.value.code) == ("three_phase", "enum.where")
    assert 'did you mean "in-street"?' in str(caught.value)
    with pytest.raises(InputError) as caught:
        Supply(**SPLIT, standby="diesel")  # type: ignore[arg-type]
    assert caught.value.path == "standby"


def test_everything_about_the_supply_can_be_stated() -> None:
    data = {
        **SPLIT,
        "source": "inverter",
        "surge": "24 kVA",
        "rating": "100 A",
        "contract": "24 kVA",
        "fault_current": "10 kA",
        "transformer": "25 kVA",
        "transformer_sole_use": False,
        "impedance": "0.05 ohm",
        "measured_drop": {"voltage": "6 V", "current": "40 A"},
        "lowest_voltage": "228 V",
        "highest_voltage": "252 V",
        "earthing": "tn-c-s",
        "feeder": {"size": "3 AWG", "material": "copper", "length": "45 m"},
        "three_phase": {"where": "extension", "price": "18400 USD", "months": 7},
        "starting_limited": True,
        "starting_limit": "60 A",
        "largest_motor": "5 hp",
        "residual_current": "30 mA",
        "residual_type": "a",
        "panel": {
            "bus": "125 A",
            "free_poles": 6,
            "slash_rating": "120/240 V",
            "terminals": "75 degC",
        },
        "upgrade": {"what": "feeder", "rating": "200 A", "price": "2600 USD"},
        "standby": {"kind": "generator", "connection": "lead-with-two-plugs"},
    }
    supply = read(Supply, data)
    assert write(supply) == data
    assert supply.measured_drop == MeasuredDrop(voltage="6 V", current="40 A")
    assert supply.residual_current_a == 0.03
    assert supply.feeder == Feeder(size="3 AWG", material="copper", length="45 m")
    assert supply.panel is not None
    assert supply.panel.terminals_c == 75.0
    assert supply.upgrade == Upgrade(what="feeder", rating="200 A", price="2600 USD")


@pytest.mark.parametrize(
    ("change", "path", "code"),
    [
        ({"arrangement": "three-phase"}, "arrangement", "enum.arrangement"),
        ({"voltage": "230/400 V"}, "voltage", "quantity.syntax"),
        ({"voltage": None}, "voltage", "field.missing"),
        ({"frequency": "3600 rpm"}, "frequency", "unit.kind"),
        ({"rating": "0 A"}, "rating", "range.current"),
        ({"residual_type": "AC"}, "residual_type", "enum.residual_type"),
        ({"lowest_voltage": "250 V", "highest_voltage": "230 V"}, "lowest_voltage",
         "supply.voltage-order"),
        ({"feeder": {"size": "#6"}}, "feeder.size", "conductor.size"),
        ({"feeder": {"material": "aluminium"}}, "feeder.material", "enum.material"),
        ({"panel": {"slash_rating": "240/120 V"}}, "panel.slash_rating", "quantity.syntax"),
        ({"panel": "125 A"}, "panel", "type.record"),
        ({"three_phase": {"where": "in-street", "price": 9200}}, "three_phase.price",
         "unit.missing"),
        ({"three_phase": {"where": "in-street", "price": "9,200 GBP"}}, "three_phase.price",
         "quantity.syntax"),
        ({"three_phase": {"price": "9200 GBP"}}, "three_phase.where", "field.missing"),
    ],
)  # fmt: skip
def test_what_is_refused(change: dict[str, Any], path: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        read(Supply, {**SPLIT, **change})
    assert (caught.value.path, caught.value.code) == (path, code)


def test_an_empty_panel_is_a_panel() -> None:
    assert Supply(**SPLIT, panel=Panel()).panel == Panel()
