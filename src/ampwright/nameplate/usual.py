"""What numbers are usual on plates: nominal voltages, standard ratings, speeds.

Used to choose between readings and to confirm them, never to refuse one.
"""

import math
from typing import Final

from ampwright.nameplate.numerals import Choice
from ampwright.nameplate.vocabulary import BANDS

# Nominal voltages of low-voltage systems and of the motors made for them: common practice.
NOMINAL_V: Final = (
    *(110.0, 115.0, 120.0, 127.0, 190.0, 200.0, 208.0, 220.0, 230.0, 240.0, 250.0, 254.0),
    *(265.0, 277.0, 346.0, 347.0, 380.0, 400.0, 415.0, 420.0, 440.0, 460.0, 480.0, 500.0),
    *(525.0, 550.0, 575.0, 600.0, 660.0, 690.0),
)
# horsepower ratings that motors are sold in, sixteenths to hundreds: common practice
_STANDARD_HP: Final = frozenset(
    (
        *(0.0625, 0.125, 0.1875, 0.25, 0.3, 0.333, 0.375, 0.5, 0.625, 0.75, 1.0, 1.5, 2.0, 2.5),
        *(3.0, 4.0, 5.0, 5.5, 6.0, 7.5, 10.0, 12.5, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0),
        *(75.0, 100.0, 125.0, 150.0, 200.0, 250.0, 300.0),
    )
)
_KNOWN: Final = {
    "frequency": frozenset((25.0, 40.0, 42.0, 50.0, 60.0, 100.0, 120.0, 400.0)),
    "phases": frozenset((1.0, 3.0)),
    "poles": frozenset(map(float, range(2, 17, 2))),
    "leads": frozenset((3.0, 4.0, 6.0, 9.0, 12.0)),
}
_MOST_AMPERES: Final = 600.0
_MOST_KILOWATTS: Final = 200.0
_SLOWEST_RPM: Final = 340.0  # sixteen poles at 50 Hz, loaded
# a loaded induction motor runs this far below a synchronous speed, small ones furthest
_LARGEST_SLIP: Final = 0.15
_SMALLEST_SLIP: Final = 0.001


def is_nominal(read: tuple[Choice, ...]) -> bool:
    """Are all these numbers nominal voltages."""
    return all(end in NOMINAL_V for one in read for end in (one.first, one.last))


def slip(speed_rpm: float, frequency_hz: float) -> float | None:
    """Return the slip of an induction motor at *speed_rpm*; ``None`` if no pole number fits."""
    if not BANDS["speed"][0] <= speed_rpm <= 60 * frequency_hz:
        return None
    pairs = math.floor(60 * frequency_hz / speed_rpm)
    found = 1 - speed_rpm * pairs / (60 * frequency_hz)
    return found if _SMALLEST_SLIP <= found <= _LARGEST_SLIP else None


def is_speed(read: tuple[Choice, ...], frequencies: tuple[float, ...] = (50.0, 60.0)) -> bool:
    """Are all these numbers speeds of loaded induction motors of up to sixteen poles."""
    return all(
        one.first == one.last
        and one.first >= _SLOWEST_RPM
        and any(slip(one.first, hertz) is not None for hertz in frequencies)
        for one in read
    )


def is_usual(field: str, unit: str, read: tuple[Choice, ...]) -> bool | None:
    """Are these numbers usual for *field*, unusual, or neither (``None``)."""
    ends = [end for one in read for end in (one.first, one.last)]
    nominal = is_nominal(read)
    if field == "voltage":
        return True if nominal else None if min(ends) >= min(NOMINAL_V) else False
    if field == "power":
        return _is_usual_power(unit, ends, nominal=nominal)
    if field == "current":
        return None if nominal or max(ends) > _MOST_AMPERES else True
    if field == "speed":
        return is_speed(read) or None
    return field not in _KNOWN or set(ends) <= _KNOWN[field] or None


def _is_usual_power(unit: str, ends: list[float], *, nominal: bool) -> bool | None:
    if unit == "W":
        return None if nominal else True
    standard = {round(end, 4) for end in ends} <= _STANDARD_HP
    if unit != "kW" and standard:
        return True
    if nominal:
        return False
    return True if unit == "kW" and max(ends) <= _MOST_KILOWATTS else None
