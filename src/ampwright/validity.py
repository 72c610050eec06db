"""For which jobs a method or a model is meant, as data."""

from collections.abc import Iterator
from typing import NamedTuple

import attrs

from ampwright.record import Record
from ampwright.tables import Source

Range = tuple[float, float]


class Outside(NamedTuple):
    """One figure of a job that lies outside: its name, unit and value, and the range."""

    name: str
    unit: str
    value: float
    low: float
    high: float


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Validity(Record):
    """The jobs that a method is meant for; it is not asked about others.

    Attributes:
        power_w: Rated power of each motor, from and to [W]; ``None``: any.
        voltage_v: Voltage of the supply, from and to [V]; ``None``: any.
        frequency_hz: Frequency of the supply, from and to [Hz]; ``None``: any.
        source: Where the range comes from.
    """

    power_w: Range | None = None
    voltage_v: Range | None = None
    frequency_hz: Range | None = None
    source: Source

    def outside(self, name: str, unit: str, value: float) -> Iterator[Outside]:
        """Yield what is said of a *value* that lies outside the range called *name*."""
        stated: Range | None = getattr(self, name)
        if stated is not None and not stated[0] <= value <= stated[1]:
            yield Outside(name, unit, value, *stated)

    def sound(self) -> bool:
        """Tell whether every range is one, and a source is named."""
        ranges = (self.power_w, self.voltage_v, self.frequency_hz)
        stated = [one for one in ranges if one is not None]
        return bool(self.source.document and stated) and all(
            len(one) == 2 and one[0] <= one[1] for one in stated
        )
