"""The converters of fields: every one takes what it is for, ``None``, and what it gave before."""

from collections.abc import Callable
from typing import Any

import pytest

from ampwright.errors import InputError, RangeError
from ampwright.records import quantities as take


@pytest.mark.parametrize(
    ("converter", "text", "value"),
    [
        (take.watts, "5.5 kW", 5500.0),
        (take.volt_amperes, "25 kVA", 25000.0),
        (take.volts, "0.4 kV", 400.0),
        (take.dropped_volts, "0 V", 0.0),
        (take.amperes, "30 mA", 0.03),
        (take.fault_amperes, "10 kA", 10000.0),
        (take.hertz, "16.7 Hz", 16.7),
        (take.metres, "0 m", 0.0),
        (take.altitude, "-100 ft", -30.48),
        (take.ambient, "-20 degC", -20.0),
        (take.rated_temperature, "75 degC", 75.0),
        (take.kelvins, "80 K", 80.0),
        (take.inertia, "0.02 kg.m2", 0.02),
        (take.newton_metres, "60 N.m", 60.0),
        (take.seconds, "10 min", 600.0),
        (take.hours, "1200 h", 1200.0),
        (take.hours_a_day, "90 min", 1.5),
        (take.ohms, "50 mohm", 0.05),
        (take.insulation_ohms, "0 ohm", 0.0),
        (take.farads, "40 uF", 4e-5),
        (take.soil_resistivity, "0.9 K.m/W", 0.9),
        (take.decibels, "55 dB", 55.0),
        (take.plate_watts, "0.75/1.5 kW", 750.0),
        (take.plate_volts, "208-230/460 V", 230.0),
        (take.plate_amperes, "14/7 A", 14.0),
        (take.plate_hertz, "50/60 Hz", 50.0),
        (take.plate_speed, "700/1410 rpm", 700.0),
        (take.amperes_or_volt_amperes, "0 A", 0.0),
        (take.amperes_or_volt_amperes, "3 kVA", 3000.0),
        (take.fraction, "88 %", 0.88),
        (take.fraction, 1, 1.0),
        (take.share, 0, 0.0),
        (take.service_factor, 1.15, 1.15),
        (take.ratio, "220 %", 2.2),
        (take.rate, 0, 0.0),
        (take.months, 7, 7.0),
        (take.money, "18400 USD", 18400.0),
        (take.money, "0 USD", 0.0),
        (take.energy_price, "0.17 USD/kWh", 0.17),
        (take.demand_price, "9.50 USD/kW", 9.5),
    ],
)
def test_converters(converter: Callable[[Any], Any], text: object, value: float) -> None:
    found = converter(text)
    assert found == pytest.approx(value, rel=1e-12)
    assert converter(found) == found
    assert converter(None) is None
    assert isinstance(found, float)
    if isinstance(text, str):
        assert getattr(found, "given", None) == text


@pytest.mark.parametrize(
    ("converter", "value", "code"),
    [
        (take.watts, "10001 kW", "range.power"),
        (take.amperes, "0 A", "range.current"),
        (take.fraction, 0, "range.fraction"),
        (take.fraction, "0 %", "range.fraction"),
        (take.share, -0.1, "range.fraction"),
        (take.service_factor, 2.5, "range.service_factor"),
        (take.ratio, 25, "range.ratio"),
        (take.rate, -1, "range.rate"),
        (take.months, 601, "range.months"),
        (take.fraction, float("inf"), "range.nonfinite"),
        (take.rate, float("nan"), "range.nonfinite"),
        (take.money, "9" * 15 + " USD", "range.money"),
    ],
)
def test_bands(converter: Callable[[Any], Any], value: object, code: str) -> None:
    with pytest.raises(RangeError) as caught:
        converter(value)
    assert caught.value.code == code


@pytest.mark.parametrize(
    "text",
    ["18,400 USD", "18 400 USD", "$18400", "18400", "18400 usd", "18400 US", "-5 USD", "5 USD/kWh",
     "1e5 USD", "5 EURO"],
)  # fmt: skip
def test_money_is_an_amount_and_a_currency(text: str) -> None:
    with pytest.raises(InputError):
        take.money(text)


def test_prices_are_not_mixed_with_money() -> None:
    for wrong in ("0.17 USD", "0.17 USD/kW", "0.17/kWh"):
        with pytest.raises(InputError):
            take.energy_price(wrong)
    with pytest.raises(InputError):
        take.money(take.energy_price("0.17 USD/kWh"))  # type: ignore[arg-type]
    with pytest.raises(InputError):
        take.energy_price(0.17)  # type: ignore[arg-type]


@pytest.mark.parametrize("value", [True, "high", None, "0.88 %%", [0.88], 1j])
def test_fractions_are_numbers(value: Any) -> None:  # noqa: ANN401 - anything wrong
    if value is None:
        assert take.fraction(value) is None
        return
    with pytest.raises(InputError):
        take.fraction(value)


def test_a_held_quantity_is_no_fraction() -> None:
    with pytest.raises(InputError):
        take.fraction(take.amperes("0.5 A"))
