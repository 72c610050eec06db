"""The quantities that records hold: what each measures, its unit, and what is plausible.

Each function is the converter of a kind of field. The bands only catch slips of unit, case or
decimal sign; they are common practice, no source.
"""

import re
from functools import lru_cache
from typing import cast

from ampwright import bounds
from ampwright.errors import InputError, RangeError, UnitError
from ampwright.notation import foreign, ranged, stated
from ampwright.quantity import Held, Kind, Measured, Span, decimal_comma

_POWER = Kind("active power", "W", (1.0, 1e7), "power", "5 hp", "5.5 kW")
_APPARENT = Kind("apparent power", "VA", (1.0, 1e9), "apparent_power", "25 kVA")
_RATING = Kind("apparent power", "VA", (1.0, 1e6), "rating", "4500 VA", "4.5 kW")
_DRAWN = Kind("active power", "W", (1.0, 1e6), "rating", "4.5 kW")
_VOLTAGE = Kind("voltage", "V", (1.0, 5e4), "voltage", "240 V")
_DROP = Kind("voltage", "V", (0.0, 1e3), "voltage_drop", "6 V")
_CURRENT = Kind("current", "A", (1e-3, 1e5), "current", "15 A")
_ANY_CURRENT = Kind("current", "A", (0.0, 1e5), "current", "15 A")
_FAULT = Kind("current", "A", (1.0, 1e6), "fault_current", "10 kA")
_FREQUENCY = Kind("frequency", "Hz", (10.0, 1000.0), "frequency", "60 Hz")
_SPEED = Kind("speed", "rpm", (1.0, 1e5), "speed", "1740 rpm")
_LENGTH = Kind("length", "m", (0.0, 2e4), "length", "12 m", "40 ft")
_FLOOR = Kind("floor area", "m2", (1.0, 1e5), "floor_area", "1500 ft2", "140 m2")
_ALTITUDE = Kind("length", "m", (-500.0, 6000.0), "altitude", "300 m", "1000 ft")
_AMBIENT = Kind("temperature", "degC", (-60.0, 90.0), "temperature", "30 degC", "86 degF")
_HOT = Kind("temperature", "degC", (30.0, 300.0), "temperature", "75 degC")
_RISE = Kind("temperature difference", "K", (1.0, 300.0), "temperature_rise", "80 K")
_INERTIA = Kind("moment of inertia", "kg.m2", (1e-7, 1e6), "inertia", "0.02 kg.m2", "0.5 lb.ft2")
_TORQUE = Kind("torque", "N.m", (1e-3, 1e7), "torque", "60 N.m", "45 lbf.ft")
_TIME = Kind("time", "s", (1e-3, 1e8), "time", "30 s", "10 min")
_HOURS = Kind("time", "h", (0.0, 8784.0), "hours", "1200 h")
_DAILY = Kind("time", "h", (0.0, 24.0), "hours", "3 h")
_RESISTANCE = Kind("resistance", "ohm", (1e-6, 1e6), "resistance", "0.05 ohm")
_INSULATION = Kind("resistance", "ohm", (0.0, 1e14), "resistance", "50 Mohm")
_CAPACITANCE = Kind("capacitance", "F", (1e-10, 1.0), "capacitance", "40 uF")
_SOIL = Kind("thermal resistivity", "K.m/W", (0.1, 10.0), "soil_resistivity", "0.9 K.m/W")
_NOISE = Kind("sound level", "dB", (0.0, 200.0), "noise", "55 dB")
_PLAIN = Kind("fraction", "1", (-1e9, 1e9), "fraction", "88 %")


def watts(value: str | Measured | None) -> Held | None:
    """Accept active power [W]."""
    return stated(value, _POWER)


def volt_amperes(value: str | Measured | None) -> Held | None:
    """Accept apparent power [VA]."""
    return stated(value, _APPARENT)


def volts(value: str | Measured | None) -> Held | None:
    """Accept a voltage [V]."""
    return stated(value, _VOLTAGE)


def dropped_volts(value: str | Measured | None) -> Held | None:
    """Accept a voltage drop, nought included [V]."""
    return stated(value, _DROP)


def amperes(value: str | Measured | None) -> Held | None:
    """Accept a current above nought [A]."""
    return stated(value, _CURRENT)


def fault_amperes(value: str | Measured | None) -> Held | None:
    """Accept a short-circuit current [A]."""
    return stated(value, _FAULT)


def ampere_range(value: str | tuple[Measured, Measured] | None) -> Span | None:
    """Accept a range of currents, as ``"7-10 A"`` or two quantities [A]."""
    return ranged(value, _CURRENT)


def hertz(value: str | Measured | None) -> Held | None:
    """Accept a frequency [Hz]."""
    return stated(value, _FREQUENCY)


def metres(value: str | Measured | None) -> Held | None:
    """Accept a length, nought included [m]."""
    return stated(value, _LENGTH)


def square_metres(value: str | Measured | None) -> Held | None:
    """Accept a floor area [m2]."""
    return stated(value, _FLOOR)


def altitude(value: str | Measured | None) -> Held | None:
    """Accept a height above sea level [m]."""
    return stated(value, _ALTITUDE)


def ambient(value: str | Measured | None) -> Held | None:
    """Accept a temperature of the surroundings [degC]."""
    return stated(value, _AMBIENT)


def rated_temperature(value: str | Measured | None) -> Held | None:
    """Accept a temperature that insulation or a terminal is made for [degC]."""
    return stated(value, _HOT)


def kelvins(value: str | Measured | None) -> Held | None:
    """Accept a temperature rise [K]."""
    return stated(value, _RISE)


def inertia(value: str | Measured | None) -> Held | None:
    """Accept a moment of inertia, mr2 and not WR2/g [kg m2]."""
    return stated(value, _INERTIA)


def newton_metres(value: str | Measured | None) -> Held | None:
    """Accept a torque [N m]."""
    return stated(value, _TORQUE)


def seconds(value: str | Measured | None) -> Held | None:
    """Accept a time [s]."""
    return stated(value, _TIME)


def hours(value: str | Measured | None) -> Held | None:
    """Accept hours of a year [h]."""
    return stated(value, _HOURS)


def hours_a_day(value: str | Measured | None) -> Held | None:
    """Accept hours of a day [h]."""
    return stated(value, _DAILY)


def ohms(value: str | Measured | None) -> Held | None:
    """Accept an impedance or resistance [ohm]."""
    return stated(value, _RESISTANCE)


def insulation_ohms(value: str | Measured | None) -> Held | None:
    """Accept an insulation resistance, nought included [ohm]."""
    return stated(value, _INSULATION)


def farads(value: str | Measured | None) -> Held | None:
    """Accept a capacitance [F]."""
    return stated(value, _CAPACITANCE)


def soil_resistivity(value: str | Measured | None) -> Held | None:
    """Accept a thermal resistivity [K m/W]."""
    return stated(value, _SOIL)


def decibels(value: str | Measured | None) -> Held | None:
    """Accept a sound level [dB]."""
    return stated(value, _NOISE)


def plate_watts(value: str | Measured | None) -> Held | None:
    """Accept active power in nameplate notation [W]."""
    return stated(value, _POWER, plate=True)


def plate_volts(value: str | Measured | None) -> Held | None:
    """Accept voltages in nameplate notation [V]."""
    return stated(value, _VOLTAGE, plate=True)


def plate_amperes(value: str | Measured | None) -> Held | None:
    """Accept currents in nameplate notation [A]."""
    return stated(value, _CURRENT, plate=True)


def plate_hertz(value: str | Measured | None) -> Held | None:
    """Accept frequencies in nameplate notation [Hz]."""
    return stated(value, _FREQUENCY, plate=True)


def plate_speed(value: str | Measured | None) -> Held | None:
    """Accept speeds in nameplate notation [rpm]."""
    return stated(value, _SPEED, plate=True)


def amperes_or_volt_amperes(value: str | Measured | None) -> Held | None:
    """Accept a load as current, nought included, or as apparent power; its unit tells which."""
    if isinstance(value, Held):
        return stated(value, _APPARENT if value.unit == "VA" else _ANY_CURRENT)
    try:
        return stated(value, _ANY_CURRENT)
    except UnitError as error:
        if error.code not in ("unit.dimension", "unit.kind"):
            raise
    return stated(value, _APPARENT)


def watts_or_volt_amperes(value: str | Measured | None) -> Held | None:
    """Accept the rating of an appliance, in watts or volt-amperes, as volt-amperes [VA].

    Article 220 of NFPA 70 counts the two alike. A shaft power is none.
    """
    try:
        return stated(value, _RATING)
    except UnitError as error:
        if error.code not in ("unit.dimension", "unit.kind"):
            raise
    said = value if isinstance(value, str) else str(getattr(value, "units", ""))
    if re.search(r"(?:hp|HP|PS|cv|CV|ch|hk|pk|horsepower)$", said.strip()):
        remedy = "of a motor state current and voltage"
        raise UnitError(value, _RATING.wanted(), code="unit.kind", remedy=remedy)
    found = stated(value, _DRAWN)
    return None if found is None else Held(float(found), "VA", found.given)


#: No power factor and no efficiency is smaller, in percent: common practice, no source.
LEAST_PERCENTAGE = 10.0


def _number(value: object, low: float, high: float, code: str, wanted: str) -> float | None:
    """Return a plain number or a percentage in its band."""
    if value is None:
        return None
    if isinstance(value, str):
        text = re.fullmatch(r"([0-9]{1,9}(?:[.,][0-9]{1,15})?) ?%", value)
        if text is None or ("," in value and not decimal_comma.get()):
            remedy = 'a number stands alone, as 0.88, or as a percentage, "88 %"'
            raise UnitError(value, wanted, code="quantity.syntax", remedy=remedy)
        number: float = Held(float(f"{text[1].replace(',', '.')}e-2"), "1", value)
    elif isinstance(value, Held):
        if value.unit not in ("1", "%"):
            raise UnitError(value.given, wanted, code="unit.dimension")
        number = value
    elif hasattr(value, "m_as"):
        number = foreign(cast("Measured", value), _PLAIN)
    else:
        number = bounds.plain_number(value)
    if number != number or number in (float("inf"), float("-inf")):  # noqa: PLR0124 - not a number
        raise RangeError(value, f"{wanted}, finite", code="range.nonfinite")
    if not low <= number <= high:
        # of a factor as 1.2 a percentage of its figures would be nonsense
        least = LEAST_PERCENTAGE if low > 0 else 1.0
        meant = f"{number / 100:g}" if least < number <= 100 and high <= 1 else ""
        remedy = f'{meant} or "{number:g} %" if a percentage is meant' if meant else ""
        raise RangeError(value, wanted, code=code, remedy=remedy)
    return number


def fraction(value: float | str | Measured | None) -> float | None:
    """Accept a fraction above 0 and up to 1, as 0.88 or ``"88 %"``."""
    return _number(value, 5e-324, 1.0, "range.fraction", "a fraction above 0 and up to 1")


def share(value: float | str | Measured | None) -> float | None:
    """Accept a fraction from 0 to 1, as 0.05 or ``"5 %"``."""
    return _number(value, 0.0, 1.0, "range.fraction", "a fraction from 0 to 1")


def service_factor(value: float | str | Measured | None) -> float | None:
    """Accept a service factor."""
    return _number(value, 1.0, 2.0, "range.service_factor", "a service factor from 1 to 2")


def ratio(value: float | str | Measured | None) -> float | None:
    """Accept a ratio to the rated value, as 2.2 or ``"220 %"``."""
    return _number(value, 0.05, 20.0, "range.ratio", "a ratio to the rated value, 0.05 to 20")


def rate(value: float | None) -> float | None:
    """Accept how often something happens, nought included."""
    return _number(value, 0.0, 36000.0, "range.rate", "a number from 0 to 36000")


def months(value: float | None) -> float | None:
    """Accept a number of months, nought included."""
    return _number(value, 0.0, 600.0, "range.months", "a number of months from 0 to 600")


def years(value: float | None) -> float | None:
    """Accept a number of years of use."""
    return _number(value, 0.1, 100.0, "range.years", "a number of years from 0.1 to 100")


_MONEY = r"([0-9]{1,15}(?:\.[0-9]{1,9})?) ?([A-Z]{3})((?:/[A-Za-z]{1,5})?)"


@lru_cache(maxsize=512)
def _price(text: str, per: str, *, comma: bool) -> tuple[float, str]:
    plain = text.replace(",", ".") if comma else text
    found = re.fullmatch(_MONEY, plain) if len(text) <= 64 else None
    example = f"0.17 USD/{per}" if per else "18400 USD"
    if found is None or found[3] != (f"/{per}" if per else ""):
        wanted = f'an amount and its currency, as "{example}"'
        raise UnitError(text, wanted, code="quantity.syntax", remedy="no thousands separator")
    number = float(found[1])
    if number > 1e12:
        raise RangeError(text, "an amount up to 1e12", code="range.money")
    return number, f"{found[2]}{found[3]}"


def _amount(value: object, per: str = "") -> Held | None:
    example = f"0.17 USD/{per}" if per else "18400 USD"
    wanted = f'an amount and its currency, as "{example}"'
    if value is None:
        return None
    if isinstance(value, Held):
        if value.unit[3:] != (f"/{per}" if per else "") or not value.unit[:3].isupper():
            raise UnitError(value.given, wanted, code="unit.kind")
        return value
    if not isinstance(value, str):
        if isinstance(value, int | float) and not isinstance(value, bool):
            raise UnitError(value, wanted, code="unit.missing")
        raise InputError(value, wanted, code="type.quantity")
    number, unit = _price(value, per, comma=decimal_comma.get())
    return Held(number, unit, value)


def money(value: str | None) -> Held | None:
    """Accept an amount of money with its currency; the unit of the float is the currency."""
    return _amount(value)


def energy_price(value: str | None) -> Held | None:
    """Accept a price of energy, as ``"0.17 USD/kWh"`` [currency/kWh]."""
    return _amount(value, "kWh")


def demand_price(value: str | None) -> Held | None:
    """Accept a price of demand, as ``"9.50 USD/kW"`` [currency/kW]."""
    return _amount(value, "kW")
