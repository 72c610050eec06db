"""Reading a field's text: one number and one unit, or nameplate notation."""

import math
from typing import Any

import pint
import pytest

from ampwright.errors import AmpwrightError, InputError, LimitError, RangeError, UnitError
from ampwright.notation import foreign, ranged, read, read_alternatives, stated, writes_comma
from ampwright.quantity import Held, Kind, Span, decimal_comma

POWER = Kind("active power", "W", (1.0, 1e7), "power", "5 hp", "5.5 kW")
CURRENT = Kind("current", "A", (1e-3, 1e5), "current", "15 A")
VOLTAGE = Kind("voltage", "V", (1.0, 5e4), "voltage", "240 V")
LENGTH = Kind("length", "m", (0.0, 2e4), "length", "12 m", "40 ft")
AMBIENT = Kind("temperature", "degC", (-60.0, 90.0), "temperature", "30 degC")
RISE = Kind("temperature difference", "K", (1.0, 300.0), "temperature_rise", "80 K")
INERTIA = Kind("moment of inertia", "kg.m2", (1e-7, 1e6), "inertia", "0.02 kg.m2", "0.5 lb.ft2")
TORQUE = Kind("torque", "N.m", (1e-3, 1e7), "torque", "60 N.m", "45 lbf.ft")
CAPACITANCE = Kind("capacitance", "F", (1e-10, 1.0), "capacitance", "40 uF")
RESISTANCE = Kind("resistance", "ohm", (1e-6, 1e14), "resistance", "0.05 ohm")
HOURS = Kind("time", "h", (0.0, 8784.0), "hours", "1200 h")
HP = 550 * 0.3048 * 0.45359237 * 9.80665  # foot, pound and standard gravity, by definition


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("7.5 hp", POWER, 7.5 * HP),
        ("5hp", POWER, 5 * HP),
        ("7 1/2 hp", POWER, 7.5 * HP),
        ("7-1/2 HP", POWER, 7.5 * HP),
        ("1/2 hp", POWER, 0.5 * HP),
        (".5 hp", POWER, 0.5 * HP),
        ("5.5 kW", POWER, 5500.0),
        ("0.57 kW", POWER, 570.0),
        ("1e3 W", POWER, 1000.0),
        ("5 PS", POWER, 5 * 735.49875),
        (" 5 kW ", POWER, 5000.0),
        ("5\u00a0kW", POWER, 5000.0),
        ("30 mA", CURRENT, 0.03),
        ("12 m", LENGTH, 12.0),
        ("40 ft", LENGTH, 12.192),
        ("5 1/2 in", LENGTH, 0.1397),
        ("0 m", LENGTH, 0.0),
        ("30 degC", AMBIENT, 30.0),
        ("30 °C", AMBIENT, 30.0),
        ("104 degF", AMBIENT, 40.0),
        ("300 K", AMBIENT, 300 - 273.15),
        ("-20 degC", AMBIENT, -20.0),
        ("80 K", RISE, 80.0),
        ("90 delta_degF", RISE, 50.0),
        ("0.5 lb.ft2", INERTIA, 0.5 * 0.45359237 * 0.3048**2),
        ("0.5 lb-ft2", INERTIA, 0.5 * 0.45359237 * 0.3048**2),
        ("0.5 lb ft²", INERTIA, 0.5 * 0.45359237 * 0.3048**2),
        ("0.02 kg·m²", INERTIA, 0.02),
        ("45 lb-ft", TORQUE, 45 * 0.45359237 * 9.80665 * 0.3048),
        ("45 lbf.ft", TORQUE, 45 * 0.45359237 * 9.80665 * 0.3048),
        ("60 N m", TORQUE, 60.0),
        ("5 \u00b5F", CAPACITANCE, 5e-6),
        ("5 \u03bcF", CAPACITANCE, 5e-6),
        ("5 uF", CAPACITANCE, 5e-6),
        ("50 M\u03a9", RESISTANCE, 5e7),
        ("50 M\u2126", RESISTANCE, 5e7),
        ("1200 h", HOURS, 1200.0),
        ("90 min", HOURS, 1.5),
    ],
)
def test_one_number_and_one_unit(text: str, kind: Kind, value: float) -> None:
    assert read(text, kind) == pytest.approx(value, rel=1e-15)


def test_powers_of_ten_are_exact() -> None:
    for text, value in [("0.57 kW", 570.0), ("4.35 kW", 4350.0), ("1.001 kW", 1001.0)]:
        assert read(text, POWER) == value
    assert read("104 degF", AMBIENT) == 40.0


@pytest.mark.parametrize(
    ("text", "kind", "error", "code"),
    [
        ("7,5 kW", POWER, UnitError, "quantity.syntax"),
        ("1,500 W", POWER, UnitError, "quantity.syntax"),
        ("230/400 V", VOLTAGE, UnitError, "quantity.syntax"),
        ("5 5 kW", POWER, UnitError, "quantity.syntax"),
        ("5 hp 3 kW", POWER, UnitError, "quantity.syntax"),
        ("", POWER, UnitError, "quantity.empty"),
        ("   ", POWER, UnitError, "quantity.empty"),
        ("5", POWER, UnitError, "unit.missing"),
        ("kW", POWER, UnitError, "quantity.syntax"),
        ("5 kVA", POWER, UnitError, "unit.kind"),
        ("5 kvar", POWER, UnitError, "unit.kind"),
        ("15 V", CURRENT, UnitError, "unit.dimension"),
        ("40 C", AMBIENT, UnitError, "unit.dimension"),
        ("80 degC", RISE, UnitError, "unit.kind"),
        ("40 delta_degC", AMBIENT, UnitError, "unit.kind"),
        ("0.5 kg.m2", TORQUE, UnitError, "unit.kind"),
        ("5 k W", POWER, UnitError, "unit.unknown"),
        ("5 horses", POWER, UnitError, "unit.unknown"),
        ("5 mW", POWER, RangeError, "range.power"),
        ("0 hp", POWER, RangeError, "range.power"),
        ("-5 hp", POWER, RangeError, "range.power"),
        ("5e-324 W", POWER, RangeError, "range.power"),
        ("-0 m", LENGTH, RangeError, "range.length"),
        ("1e9 m", LENGTH, RangeError, "range.length"),
        ("1e400 A", CURRENT, RangeError, "range.nonfinite"),
        ("inf A", CURRENT, RangeError, "range.nonfinite"),
        ("nan A", CURRENT, RangeError, "range.nonfinite"),
        ("100'", LENGTH, UnitError, "quantity.syntax"),
        ('10"', LENGTH, UnitError, "quantity.syntax"),
        ("9**9**9 W", POWER, UnitError, "quantity.syntax"),
        ("1_000 W", POWER, UnitError, "quantity.syntax"),
        ("\u0663 kW", POWER, UnitError, "quantity.syntax"),
        ("0x10 W", POWER, UnitError, "quantity.syntax"),
        ("3/4 V", VOLTAGE, UnitError, "quantity.syntax"),
        ("5 kW\n", POWER, UnitError, "quantity.syntax"),
        ("1" * 61 + " W", POWER, UnitError, "quantity.syntax"),
        ("(" * 5000, POWER, LimitError, "limit.text_length"),
    ],
)
def test_anything_else_is_refused(
    text: str, kind: Kind, error: type[AmpwrightError], code: str
) -> None:
    for reader in (read, read_alternatives):
        if reader is read_alternatives and "/" in text and kind is VOLTAGE:
            continue
        with pytest.raises(error) as caught:
            reader(text, kind)
        assert type(caught.value) is error
        assert caught.value.code == code


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("7,5 kW", POWER, '"7.5 kW"'),
        ("100'", LENGTH, '"100 ft"'),
        ("5", POWER, '"5 hp" or "5 kW"'),
        ("40 C", AMBIENT, "degC"),
        ("\u0663 kW", POWER, "digits 0 to 9"),
        ("5 kVA", POWER, "kVA measures apparent power"),
        ("0 hp", POWER, "greater than 0"),
    ],
)
def test_the_remedy_is_said(text: str, kind: Kind, said: str) -> None:
    with pytest.raises(InputError) as caught:
        read(text, kind)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("7,5 kW", 7500.0),
        ("7.5 kW", 7500.0),
        ("1.000,5 W", 1000.5),
        ("12.345,5 W", 12345.5),
        ("7500 W", 7500.0),
    ],
)
def test_a_comma_is_a_decimal_sign_where_that_was_said(text: str, value: float) -> None:
    assert read(text, POWER, comma=True) == value


@pytest.mark.parametrize("text", ["1.500 W", "1,500,000 W", "1,5.5 W", "1.00,5 W"])
def test_what_could_be_read_two_ways_is_refused(text: str) -> None:
    with pytest.raises(UnitError) as caught:
        read(text, POWER, comma=True)
    assert caught.value.code == "quantity.syntax"


@pytest.mark.parametrize(
    ("text", "kind", "found"),
    [
        ("230/460 V", VOLTAGE, ((230.0, None), (460.0, None))),
        ("208-230/460 V", VOLTAGE, ((230.0, 208.0), (460.0, None))),
        ("200/200/220 V", VOLTAGE, ((200.0, None), (200.0, None), (220.0, None))),
        ("15.2-14/7 A", CURRENT, ((14.0, 15.2), (7.0, None))),
        ("220-240 V", VOLTAGE, ((240.0, 220.0),)),
        ("240 V", VOLTAGE, ((240.0, None),)),
        ("0.75/1.5 kW", POWER, ((750.0, None), (1500.0, None))),
        ("1/2 hp", POWER, ((0.5 * HP, None),)),
        ("3/4 hp", POWER, ((0.75 * HP, None),)),
        ("2/3 hp", POWER, ((2 / 3 * HP, None),)),
        ("7-1/2 hp", POWER, ((7.5 * HP, None),)),
        ("7 1/2 / 10 hp", POWER, ((7.5 * HP, None), (10 * HP, None))),
        ("1/2 / 1 hp", POWER, ((0.5 * HP, None), (HP, None))),
        ("3/2 kW", POWER, ((3000.0, None), (2000.0, None))),
        ("1/5 kW", POWER, ((1000.0, None), (5000.0, None))),
        ("5e3 W", POWER, ((5000.0, None),)),
    ],
)
def test_nameplate_notation(
    text: str, kind: Kind, found: tuple[tuple[float, float | None], ...]
) -> None:
    values = read_alternatives(text, kind)
    assert len(values) == len(found)
    for (value, begin), (wanted, wanted_begin) in zip(values, found, strict=True):
        assert value == pytest.approx(wanted, rel=1e-15)
        assert (begin is None) == (wanted_begin is None)
        assert begin is None or begin == wanted_begin


@pytest.mark.parametrize(
    "text", ["10/7-1/2 hp", "10/7 1/2 hp", "5//7 hp", "5/ hp", "/5 hp", "1-2-3 hp", "5/0 hp"]
)
def test_notation_that_could_be_read_two_ways_or_not_at_all_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_alternatives(text, POWER)


@pytest.mark.parametrize(
    ("locale", "comma"),
    [
        ("de-DE", True),
        ("de", True),
        ("de_DE.UTF-8", True),
        ("fr", True),
        ("en-US", False),
        ("en-GB", False),
        ("en-ZA", True),
        ("de-CH", False),
        ("es-MX", False),
        ("es-ES", True),
        ("pt-BR", True),
        ("ja-JP", False),
    ],
)
def test_locales_and_their_decimal_sign(locale: str, comma: bool) -> None:  # noqa: FBT001 - expected value
    assert writes_comma(locale) is comma


@pytest.mark.parametrize("locale", ["", "german", "xx", "DE", "de-de", "e", " de "])
def test_an_unknown_locale_is_refused(locale: str) -> None:
    with pytest.raises(InputError) as caught:
        writes_comma(locale)
    assert caught.value.code == "enum.locale"


def test_what_was_given_is_kept() -> None:
    held = stated("7 1/2 hp", POWER)
    assert held is not None
    assert (held.given, held.unit) == ("7 1/2 hp", "W")
    assert stated(held, POWER) is held
    assert stated(None, POWER) is None


def test_a_held_value_of_another_unit_is_refused() -> None:
    with pytest.raises(UnitError) as caught:
        stated(Held(5.0, "A", "5 A"), POWER)
    assert caught.value.code == "unit.kind"


def test_a_held_value_is_checked_against_the_band_of_its_new_field() -> None:
    with pytest.raises(RangeError):
        stated(Held(5e6, "W", "5 MW"), Kind("active power", "W", (1.0, 1e6), "power", "5 hp"))


def test_alternatives_do_not_enter_a_field_of_one_value() -> None:
    plate = stated("230/460 V", VOLTAGE, plate=True)
    assert plate is not None
    single = stated(plate, VOLTAGE)
    assert single is not None
    assert (single, single.alternatives, single.given) == (230.0, (), "230.0 V")


@pytest.mark.parametrize(
    ("number", "unit", "text"),
    [(7.5, "hp", "7.5 hp"), (40.0, "foot", "40.0 ft"), (0.1, "kilowatt", "0.1 kW")],
)
def test_a_quantity_and_its_text_are_the_same_to_the_last_bit(
    number: float, unit: str, text: str
) -> None:
    kind = LENGTH if unit == "foot" else POWER
    held = foreign(pint.UnitRegistry().Quantity(number, unit), kind)
    assert held == read(text, kind)
    assert held.given.split(" ")[1] == text.split(" ")[1]


def test_a_quantity_in_words_that_we_do_not_read_is_given_in_ours() -> None:
    held = foreign(pint.UnitRegistry().Quantity(2.0, "furlong"), LENGTH)
    assert held.given == f"{float(held)!r} m"
    assert read(held.given, LENGTH) == held


def test_a_quantity_stated_among_decimal_commas_is_given_with_one() -> None:
    token = decimal_comma.set(True)
    try:
        held = foreign(pint.UnitRegistry().Quantity(7.5, "kW"), POWER)
        assert held.given == "7,5 kW"
        assert stated(held.given, POWER) == held
    finally:
        decimal_comma.reset(token)


def test_ranges() -> None:
    ureg: Any = pint.UnitRegistry()
    assert ranged("7-10 A", CURRENT) == (7.0, 10.0)
    pair = ranged((ureg.Quantity(7, "A"), ureg.Quantity(10, "A")), CURRENT)
    assert isinstance(pair, Span)
    assert ranged(pair.given, CURRENT) == pair
    assert ranged(pair, CURRENT) is pair
    for wrong in ("7 A", "10-7 A", "7-7 A", "7-10/12 A", 5, (1, 2), ["7 A", "10 A"]):
        with pytest.raises(InputError):
            ranged(wrong, CURRENT)


def test_hostile_text_is_refused_quickly() -> None:
    for text in ("9" * 64, "1/" * 32, "1-" * 32, "A" * 64, " " * 64, "1 " * 32, "." * 64):
        with pytest.raises(InputError):
            read_alternatives(text, POWER)
    assert math.isfinite(read("9" * 7 + " W", POWER))
