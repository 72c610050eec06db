"""Many starts at once: the columnar drivers of ``kernels.starting``.

The march over speeds is written with operators alone, so the scalar functions serve columns as
they are; here their leaves are made columns of one length.
"""

from collections.abc import Sequence

import numpy as np

from ampwright.kernels import starting
from ampwright.kernels.columns.lanes import count, widen
from ampwright.kernels.network import ConstantPower, Legs, Source
from ampwright.kernels.starter import DIRECT, Shaft, Stage
from ampwright.kernels.starting import LEAST_BAND, LockedRotor, Snapshot


def locked_rotor(
    source: Source,
    legs: Legs,
    running: Sequence[Shaft],
    starter: Shaft,
    *,
    stage: Stage = DIRECT,
    constant_power: tuple[ConstantPower, ...] = (),
    torque_band: float = LEAST_BAND,
) -> LockedRotor:
    """Return the states at the instant of many starts, torque as a band.

    Args:
        source: The single-phase supplies.
        legs: Capacitors and other permanent branches.
        running: The machines that already turn, as many in every lane.
        starter: The machines that start.
        stage: How they are connected; its limit, if any, is finite in every lane.
        constant_power: Loads that hold their power.
        torque_band: As for one machine, shared by all lanes.

    Returns:
        The scalar driver's record; every leaf is a column.

    Raises:
        ValueError: The band is too narrow, or no field is a column of the common length.

    Accuracy:
        As the scalar driver, to 1e-12.

    Source:
        As ``kernels.starting.locked_rotor``.
    """
    lanes = count(source, legs, tuple(running), starter, stage, constant_power)
    with np.errstate(all="ignore"):
        found = starting.locked_rotor(
            source,
            legs,
            running,
            starter,
            stage=stage,
            constant_power=constant_power,
            torque_band=torque_band,
        )
    return widen(found, lanes)


def curve(
    source: Source,
    legs: Legs,
    running: Sequence[Shaft],
    starter: Shaft,
    *,
    stage: Stage = DIRECT,
    constant_power: tuple[ConstantPower, ...] = (),
) -> tuple[Snapshot, ...]:
    """Return many networks at every speed of one stage; as the scalar driver, with columns.

    Args:
        source: The single-phase supplies.
        legs: Permanent branches.
        running: The machines that already turn.
        starter: The machines that start.
        stage: How they are connected; the speed at which it ends is shared by all lanes.
        constant_power: Loads that hold their power.

    Returns:
        One snapshot a speed; every leaf is a column.

    Raises:
        ValueError: No field is a column of the common length.

    Accuracy:
        As the scalar driver, to 1e-11.

    Source:
        As ``kernels.starting.curve``.
    """
    lanes = count(source, legs, tuple(running), starter, stage, constant_power)
    with np.errstate(all="ignore"):
        found = starting.curve(
            source, legs, running, starter, stage=stage, constant_power=constant_power
        )
    return widen(found, lanes)
