"""Many machines at once: the columnar drivers of ``kernels.induction`` and its torque curve.

Circuits are the same named tuple with columns as fields; a field that all lanes share may stay a
number. The formulas (``branch``, ``sequence_state``, ``leakage_factor`` and the others) take
columns as they are and have no twin here.
"""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from ampwright.kernels.columns.valid import Column, together
from ampwright.kernels.induction import (
    SETTLED,
    SETTLING_STEPS,
    InductionCircuit,
    SequenceState,
    air_gap_power,
    branch,
    leakage_factor,
    sequence_state,
    synchronous_speed,
)
from ampwright.kernels.torque_curve import (
    PEAK_GRID,
    PEAK_WIDTHS,
    SLIP_STEPS,
    Breakdown,
    LockedRotor,
    parabola_peak,
    shaft_torque,
)


def settled_leakage(
    circuit: InductionCircuit, v1: ArrayLike, v2: ArrayLike, slip: ArrayLike
) -> Column:
    """Return ``induction.settled_leakage`` of each lane.

    Args:
        circuit: The machines.
        v1: Positive-sequence voltages, phase to star point [V].
        v2: Negative-sequence voltages [V].
        slip: Slips of the positive sequence.

    Returns:
        One factor a lane, for both sequences.

    Raises:
        ValueError: The columns differ in length.

    Accuracy:
        As the scalar driver; the two agree to 1e-12.

    Source:
        As the scalar driver.
    """
    size1, size2, at = together(np.abs(v1), np.abs(v2), slip)
    factor: Any = np.ones_like(size1)

    def answer(leakage: Any) -> Any:  # noqa: ANN401 - columns where the formulas say float
        one = np.abs(branch(circuit, at, leakage).y) * size1
        if size2.any():
            one = np.hypot(one, np.abs(branch(circuit, 2.0 - at, leakage).y) * size2)
        return leakage_factor(circuit, one)

    done = np.zeros(np.shape(factor), dtype=np.bool_)
    for _ in range(SETTLING_STEPS):
        first = answer(factor)
        done = done | (np.abs(first - factor) < SETTLED)
        second = answer(first)
        bend = second - 2.0 * first + factor
        flat = np.abs(bend) < SETTLED
        step = (first - factor) ** 2 / np.where(flat, 1.0, bend)
        factor = np.where(done, factor, np.where(flat, second, factor - step))
        done = done | flat
        if done.all():
            break
    return np.asarray(factor)


def balanced_state(circuit: InductionCircuit, line_v: ArrayLike, slip: ArrayLike) -> SequenceState:
    """Return ``torque_curve.balanced_state`` of each lane."""
    phase_v, at = together(np.asarray(line_v) / np.sqrt(3.0), slip)
    leakage: Any = settled_leakage(circuit, phase_v, 0.0, at)
    return sequence_state(circuit, phase_v, 0.0, at, leakage, leakage)


def locked_rotor(circuit: InductionCircuit, line_v: ArrayLike) -> LockedRotor:
    """Return ``torque_curve.locked_rotor`` of each lane."""
    (phase_v,) = together(np.asarray(line_v) / np.sqrt(3.0))
    leakage: Any = settled_leakage(circuit, phase_v, 0.0, 1.0)
    one = branch(circuit, 1.0, leakage)
    torque_nm = air_gap_power(one, phase_v) / synchronous_speed(circuit)
    return LockedRotor(abs(one.y) * phase_v, torque_nm, one.y.real / abs(one.y), leakage)


def settled_torque(circuit: InductionCircuit, phase_v: ArrayLike, slip: ArrayLike) -> Column:
    """Return the shaft torque [N m] of each lane on balanced voltages, leakage settled."""
    volts, at = together(phase_v, slip)
    leakage: Any = settled_leakage(circuit, volts, 0.0, at)
    return np.asarray(shaft_torque(circuit, volts, at, leakage))


def breakdown(circuit: InductionCircuit, line_v: ArrayLike) -> Breakdown:
    """Return ``torque_curve.breakdown`` of each lane."""
    (phase_v,) = together(np.asarray(line_v) / np.sqrt(3.0))
    best = settled_torque(circuit, phase_v, PEAK_GRID[0])
    slip = np.full_like(best, PEAK_GRID[0])
    rising = np.ones(best.shape, dtype=np.bool_)
    for candidate in PEAK_GRID[1:]:
        torque = settled_torque(circuit, phase_v, candidate)
        rising = rising & ~(torque < best)
        slip, best = np.where(rising, candidate, slip), np.where(rising, torque, best)
        if not rising.any():
            break
    for width in PEAK_WIDTHS:
        three = (settled_torque(circuit, phase_v, slip * width**n) for n in (-1, 0, 1))
        shift = np.clip(parabola_peak(*together(*three)), -2.0, 2.0)
        slip = np.minimum(slip * width**shift, 1.0)
    leakage: Any = settled_leakage(circuit, phase_v, 0.0, slip)
    at: Any = slip
    return Breakdown(shaft_torque(circuit, phase_v, at, leakage), at, leakage)


def running_slip(circuit: InductionCircuit, line_v: ArrayLike, torque_nm: ArrayLike) -> Column:
    """Return ``torque_curve.running_slip`` of each lane, not-a-number where that is None."""
    phase_v, load = together(np.asarray(line_v) / np.sqrt(3.0), torque_nm)
    peak = breakdown(circuit, line_v)
    high, above = together(peak.slip, peak.torque_nm - load)
    able = above >= 0.0
    low, below = np.zeros_like(load), settled_torque(circuit, phase_v, 0.0) - load
    slip, side, done = high, np.zeros_like(load), ~able
    for _ in range(SLIP_STEPS):
        with np.errstate(all="ignore"):  # lanes that are done keep their slip
            slip = np.where(done, slip, (low * above - high * below) / (above - below))
        found = settled_torque(circuit, phase_v, slip) - load
        done = done | (np.abs(found) <= SETTLED * peak.torque_nm)
        if done.all():
            break
        short = found < 0.0
        held_above = np.where(side < 0.0, above / 2.0, above)
        held_below = np.where(side > 0.0, below / 2.0, below)
        low, high = np.where(short, slip, low), np.where(short, high, slip)
        below, above = np.where(short, found, held_below), np.where(short, held_above, found)
        side = np.where(short, -1.0, 1.0)
    return np.where(able, slip, np.nan)
