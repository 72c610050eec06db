"""Start of a machine on balanced lines: real three-phase, or an electronic converter.

Each speed is taken as a steady state, as in ``starting``; the march over time is that of
``run_up``.
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from ampwright.kernels.induction import (
    Branch,
    InductionCircuit,
    air_gap_power,
    braking_torque,
    branch,
    leakage_factor,
    settled_leakage,
    synchronous_speed,
)
from ampwright.kernels.network import load_torque
from ampwright.kernels.run_up import Course, checked_stages, course
from ampwright.kernels.starter import DIRECT, Shaft, Stage, connected
from ampwright.kernels.starting import SLIPS, Snapshot, breakaway_torque

BAND = 0.10  # of a starting torque on balanced lines, for slots and skew: common practice
SETTLING = 30
SETTLED = 1e-12  # change of the voltage, relative, at which the iteration stops


class Lines(NamedTuple):
    """Three balanced lines: open-circuit voltage between two of them [V], impedance of each."""

    voltage_v: float
    impedance_ohm: complex = 0j


class Instant(NamedTuple):
    """One speed of a start on balanced lines.

    Attributes:
        at: Torques, currents and voltages, in the shape of any start.
        input_w: Active power at the machine's terminals.
        input_va: Apparent power there.
    """

    at: Snapshot
    input_w: float
    input_va: float


class BalancedStart(NamedTuple):
    """A start, with its torque as a band.

    Attributes:
        starts: Whether it comes up at the lower edge of the band.
        torque_nm: Electromagnetic torque at standstill.
        torque_low_nm: Lower edge of its band.
        breakaway_nm: Torque that it takes to begin turning.
        low: Course at the lower edge; decisions rest on it.
        nominal: Course at the torque of the model.
        lowest_line_v: Between the lines, on the way.
        largest_line_a: In each line.
        largest_w: Active power at the terminals.
        largest_va: Apparent power there.
    """

    starts: bool
    torque_nm: float
    torque_low_nm: float
    breakaway_nm: float
    low: Course
    nominal: Course
    lowest_line_v: float
    largest_line_a: float
    largest_w: float
    largest_va: float


def instant(lines: Lines, starter: Shaft, stage: Stage, slip: float) -> Instant:
    """Return the machine on balanced lines at one slip.

    Args:
        lines: The lines.
        starter: The machine with what it drives.
        stage: How it is connected; a current limit lowers the voltage that the machine gets.
        slip: Slip, 1 at standstill.

    Returns:
        Torques, currents and powers.

    Raises:
        ZeroDivisionError: A resistance or the magnetising reactance is zero.

    Accuracy:
        The circuit's own; leakage settled to 1e-12. Behind a current limit the lines keep their
        voltage and the machine gets less.

    Source:
        The circuit of ``induction`` on one phase of balanced lines.
    """
    seen = connected(starter.rotor.circuit, stage, stage.voltage_ratio)
    return _instant(lines, starter, stage, seen, slip)


def _instant(
    lines: Lines,
    starter: Shaft,
    stage: Stage,
    seen: tuple[InductionCircuit, float],
    slip: float,
) -> Instant:
    """Return one speed of a machine that is *seen* through its starter."""
    circuit, factor = seen
    one, volts = _unlimited(lines, circuit, slip)
    line_v = volts * math.sqrt(3.0)
    amperes = abs(one.y) * volts
    if amperes > stage.current_limit_a:
        amperes = stage.current_limit_a
        one = branch(circuit, slip, leakage_factor(circuit, amperes))
        volts = amperes / abs(one.y)
        line_v = lines.voltage_v
    omega_s = synchronous_speed(circuit)
    gap_w = air_gap_power(one, volts)
    at = Snapshot(
        slip=slip,
        torque_nm=gap_w / omega_s * factor,
        braking_nm=braking_torque(circuit, slip, amperes),
        load_nm=load_torque(starter.rotor.load, starter.rotor.circuit, slip),
        rotor_loss_w=slip * gap_w * factor,
        line_current_a=(amperes, amperes, amperes),
        source_current_a=(amperes, amperes),
        line_v=(line_v, line_v, line_v),
        made_leg_v=line_v / math.sqrt(3.0),
        running_slips=(),
        running_current_a=(),
    )
    return Instant(at, 3.0 * one.y.real * volts**2, 3.0 * amperes * volts)


@lru_cache(maxsize=1024)
def _unlimited(lines: Lines, circuit: InductionCircuit, slip: float) -> tuple[Branch, float]:
    """Return a machine and its phase voltage [V] without a limit of current.

    The same start is tried behind one limit after another.
    """
    phase_v = lines.voltage_v / math.sqrt(3.0)
    volts = phase_v
    for _ in range(SETTLING):
        one = branch(circuit, slip, settled_leakage(circuit, volts, 0.0, slip))
        fresh = phase_v / abs(1.0 + lines.impedance_ohm * one.y)
        done = abs(fresh / volts - 1.0) < SETTLED
        volts = fresh
        if done:
            break
    return one, volts


def balanced_start(
    lines: Lines,
    starter: Shaft,
    *,
    stages: Sequence[Stage] = (DIRECT,),
    torque_band: float = BAND,
) -> BalancedStart:
    """Return the start of a machine on balanced lines.

    Args:
        lines: The lines.
        starter: The machine that starts, from standstill.
        stages: How it is connected, one after the other.
        torque_band: Half-width of the band of starting torque, as a share of it, 0 to below 1.

    Returns:
        Times at the lower edge of the band and at the torque of the model, and extremes. A
        machine that does not start is a result.

    Raises:
        ValueError: The band is not 0 to below 1, a stage but the last does not end below
            synchronous speed, or the inertia is not above zero.

    Accuracy:
        Times within 5 % of a fine integration of the same equations. Space harmonics are in the
        band; the spread of machines of one plate is not, for which the circuit at the lower edge
        of its own band is given.

    Source:
        Equation of motion with the steady torque of each speed.
    """
    if not 0.0 <= torque_band < 1.0:
        raise ValueError(f"wanted a band of 0 to below 1, got {torque_band}")
    checked_stages(stages)
    if not starter.inertia_kg_m2 > 0.0:
        raise ValueError(f"wanted an inertia above zero, got {starter.inertia_kg_m2}")
    curves: list[list[Instant]] = []
    for stage in stages:
        end = 1.0 - stage.until_speed
        slips = [*(slip for slip in SLIPS if slip > end + 1e-9), end]
        seen = connected(starter.rotor.circuit, stage, stage.voltage_ratio)
        curves.append([_instant(lines, starter, stage, seen, slip) for slip in slips])
    points = [[one.at for one in several] for several in curves]
    every = [one for several in curves for one in several]
    squares = [one.at.line_current_a[0] ** 2 for one in every]
    breakaway = breakaway_torque(starter)
    low, nominal = (
        course(points, stages, starter, squares_a2=squares, breakaway_nm=breakaway, edge=edge)
        for edge in (-torque_band, 0.0)
    )
    torque = every[0].at.torque_nm
    return BalancedStart(
        starts=low.runs,
        torque_nm=torque,
        torque_low_nm=torque * (1.0 - torque_band),
        breakaway_nm=breakaway,
        low=low,
        nominal=nominal,
        lowest_line_v=min(one.at.line_v[0] for one in every),
        largest_line_a=max(one.at.line_current_a[0] for one in every),
        largest_w=max(one.input_w for one in every),
        largest_va=max(one.input_va for one in every),
    )
