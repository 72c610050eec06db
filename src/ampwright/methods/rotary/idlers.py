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
        voltage_v: Voltage of its winding as connected.
        frequency_hz: Frequency of the supply.
    """

    name: str
    power_w: float
    voltage_v: float
    frequency_hz: float

    @property
    def found(self) -> Identified:
        """Its typical circuit with a band, identified once it is asked for."""
        return typical(self.power_w, self.voltage_v, self.frequency_hz)


@cache
def idlers(voltage_v: float, frequency_hz: float) -> tuple[Idler, ...]:
    """Return the usual idlers at a voltage and frequency, smallest first."""
    rows = [row for row in RATINGS.rows if float(row["frequency_hz"]) == round(frequency_hz)]
    return tuple(
        Idler(row["id"], float(row["rating"]) * WATTS[row["unit"]], voltage_v, frequency_hz)
        for row in rows
    )


@cache
def typical(power_w: float, voltage_v: float, frequency_hz: float) -> Identified:
    """Return the circuit of a typical four-pole motor of that rating."""
    return identify(
        power_w=power_w, voltage_v=voltage_v, frequency_hz=frequency_hz, poles=2 * POLE_PAIRS
    )
