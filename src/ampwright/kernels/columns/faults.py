"""Fault currents of many networks at once: the columnar driver of ``kernels.faults``."""

from collections.abc import Sequence

from ampwright.kernels.columns.network import solve
from ampwright.kernels.faults import FaultCurrent, fault_by
from ampwright.kernels.legs import ConstantPower, Legs, Source
from ampwright.kernels.operating_point import Rotor


def fault_current(
    source: Source,
    legs: Legs,
    rotors: Sequence[Rotor],
    place: str,
    path_ohm: complex,
    *,
    constant_power: tuple[ConstantPower, ...] = (),
) -> FaultCurrent:
    """Return the currents of a fault at *place*, every field but that a column.

    Args:
        source: The single-phase supplies.
        legs: Capacitors and other branches.
        rotors: The idlers first, then load motors.
        place: One of ``PLACES``, shared by all lanes.
        path_ohm: Impedance of the faulted circuit, a number or a column.
        constant_power: Loads that stay connected.

    Returns:
        As ``kernels.faults.fault_current``.

    Raises:
        ValueError: The place does not exist, there is no machine or no column.

    Accuracy:
        As the scalar driver, with which it agrees to 1e-9.

    Source:
        As ``kernels.faults``.
    """
    return fault_by(solve, source, legs, rotors, place, path_ohm, constant_power)
