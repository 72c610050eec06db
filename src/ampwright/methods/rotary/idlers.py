"""Idler motors: usual ratings, and the typical circuit of each."""

from functools import cache
from pathlib import Path
from typing import NamedTuple

from ampwright.kernels.identification import Identified, identify
from ampwright.plugin import read_table

RATINGS = read_table(Path(__file__).with_name("idlers.csv"))
WATTS = {"hp": 745.69987158227022, "kW": 1000.0}
POLE_PAIRS = 2


class Idler(NamedTuple):
    """One idler motor.

    Attributes:
        name: Rating as the trade states it, the key of its row.
        power_w: Rated power.
        found: Its typical circuit with a band.
    """

    name: str
    power_w: float
    found: Identified


@cache
def idlers(voltage_v: float, frequency_hz: float) -> tuple[Idler, ...]:
    """Return the usual idlers at a voltage and frequency, smallest first."""
    rows = [row for row in RATINGS.rows if float(row["frequency_hz"]) == round(frequency_hz)]
    made = []
    for row in rows:
        power = float(row["rating"]) * WATTS[row["unit"]]
        found = typical(power, voltage_v, frequency_hz)
        made.append(Idler(row["id"], power, found))
    return tuple(made)


@cache
def typical(power_w: float, voltage_v: float, frequency_hz: float) -> Identified:
    """Return the circuit of a typical four-pole motor of that rating."""
    return identify(
        power_w=power_w, voltage_v=voltage_v, frequency_hz=frequency_hz, poles=2 * POLE_PAIRS
    )
