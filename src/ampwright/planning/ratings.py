"""Which rating of a plate suits the supply."""

from typing import NamedTuple

from ampwright.records.motor import Motor, Rating

TOLERANCE = 0.10  # of rated voltage: IEC 60034-1 and NEMA MG 1 for short times, from memory


class Fit(NamedTuple):
    """The rating that was picked.

    Attributes:
        number: Its place among the motor's ratings.
        rating: The rating.
        voltage_v: The rated voltage to reckon with; in a range, the figure nearest the supply.
        fits: It suits the supply in voltage.
        frequency_fits: It suits the supply in frequency.
    """

    number: int
    rating: Rating
    voltage_v: float | None
    fits: bool
    frequency_fits: bool


def nearest(rating: Rating, supply_v: float) -> float | None:
    """Return the rated voltage of *rating* nearest *supply_v*."""
    if rating.voltage_v is None:
        return None
    ends = (rating.voltage_v, rating.voltage_from_v or rating.voltage_v)
    return min(max(supply_v, min(ends)), max(ends))


def suited(motor: Motor, supply_v: float, supply_hz: float) -> Fit:
    """Return the rating of *motor* that suits the supply best; the first where none does.

    A rating suits where the supply is within a tenth of its voltage. A plate without a voltage is
    taken at its word: it suits. Among those that suit, one of the supply's frequency comes first.
    """
    found = []
    for number, rating in enumerate(motor.ratings):
        voltage = nearest(rating, supply_v)
        off = abs(supply_v / voltage - 1.0) if voltage else 0.0
        same = rating.frequency_hz is None or abs(rating.frequency_hz - supply_hz) < 1.0
        found.append((off > TOLERANCE + 1e-9, not same, round(off, 9), number, voltage))
    strange, other, _, number, voltage = min(found)
    if strange:
        number, voltage = 0, nearest(motor.ratings[0], supply_v)
        other = not (
            motor.ratings[0].frequency_hz is None
            or abs(motor.ratings[0].frequency_hz - supply_hz) < 1.0
        )
    return Fit(number, motor.ratings[number], voltage, not strange, not other)
