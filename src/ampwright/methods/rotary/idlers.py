"""Idler motors: usual ratings, and the typical circuit of each."""

from functools import cache
from pathlib import Path
from typing import NamedTuple

from ampwright.kernels.identification import Identified, identify
from ampwright.kernels.variants import scaled
from ampwright.plugin import read_table

RATINGS = read_table(Path(__file__).with_name("idlers.csv"))
WATTS = {"hp": 745.69987158227022, "kW": 1000.0}
POLE_PAIRS = 2


class Idler(NamedTuple):
    """One idler motor, or several alike side by side, which act as one of their sum.

    Attributes:
        name: Rating of one as the trade states it, the key of its row.
        power_w: Rated power, of all together.
        voltage_v: Voltage of its winding as connected.
        frequency_hz: Frequency of the supply.
        abreast: How many stand side by side.
    """

    name: str
    power_w: float
    voltage_v: float
    frequency_hz: float
    abreast: int = 1

    @property
    def found(self) -> Identified:
        """Its typical circuit with a band, identified once it is asked for."""
        if self.abreast == 1:
            return typical(self.power_w, self.voltage_v, self.frequency_hz)
        return side_by_side(self.of(1), self.abreast)

    def of(self, count: int) -> "Idler":
        """Return *count* of the same motor."""
        if count == self.abreast:
            return self
        return self._replace(power_w=count * (self.power_w / self.abreast), abreast=count)

    def names(self, converter: str) -> tuple[str, ...]:
        """Return the id of each motor: that of its converter, with a number where they are more."""
        if self.abreast == 1:
            return (converter,)
        return tuple(f"{converter}.{n}" for n in range(1, self.abreast + 1))


@cache
def side_by_side(one: Idler, count: int) -> Identified:
    """Return the circuit of *count* equal idlers on the same three legs, taken as one machine."""
    found = one.found
    return found._replace(
        circuit=scaled(found.circuit, 1.0 / count, count),
        low=scaled(found.low, 1.0 / count, count),
        high=scaled(found.high, 1.0 / count, count),
    )


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
