"""Relinking of a motor whose plate states one voltage but whose leads allow another."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.case import Linking
from ampwright.planning.rated import PlateReading, RatedFigures
from ampwright.planning.ratings import TOLERANCE
from ampwright.records.machine import Machine
from ampwright.step import Figure
from ampwright.tables import Source, read_table

RELINKS = read_table(Path(__file__).with_name("relinks.csv"))
TURNS = Source(document="the same turns at the same voltage in either link", known="derived")


def other_links(reading: PlateReading, point: RatedFigures, machine: Machine) -> Iterator[Linking]:
    """Yield what else the leads allow, each figure with its step.

    Nothing where the plate states several voltages itself, and nothing for a motor of several
    speeds.
    """
    motor = reading.motor
    stated = {one.voltage_v for one in motor.ratings if one.voltage_v}
    if len(stated) != 1 or motor.leads is None or "two-speed" in machine.traits:
        return
    link = next((one.connection for one in motor.ratings if one.connection), None)
    for row in RELINKS.rows:
        if (row["leads"], row["connection"]) == (str(motor.leads), link):
            part = reading.sheet.under(f"relinked/{row['link']}")
            volts = part.formula("voltage", "U", "V", row["voltage"], U=point.voltage, source=TURNS)
            amperes = part.formula("current", "I", "A", row["current"], I=point.current,
                                   source=TURNS)  # fmt: skip
            yield Linking(voltage=volts, current=amperes)


def relinked_point(
    point: RatedFigures, links: tuple[Linking, ...], supply: Figure
) -> RatedFigures | None:
    """Return the rated point in the link that suits *supply*; ``None`` where none does."""
    for one in links:
        near = abs(supply.value / one.voltage.value - 1.0) <= TOLERANCE + 1e-9
        if near and one.current is not None:
            return point._replace(voltage=one.voltage, current=one.current)
    return None
