"""What a machine does on balanced voltages: locked rotor, breakdown, running slip.

The formulas and drivers here take one machine in plain floats; ``columns/induction`` holds the
same for columns.
"""

import math
from typing import NamedTuple

from ampwright.kernels.induction import (
    SETTLED,
    InductionCircuit,
    SequenceState,
    air_gap_power,
    braking_torque,
    branch,
    sequence_state,
    settled_leakage,
    synchronous_speed,
)

SLIP_STEPS = 60  # false position needs fewer than 20 on every machine tried
PEAK_GRID = (*(0.02 * 50.0 ** (n / 8.0) for n in range(8)), 1.0)  # slips, the first peak between
PEAK_WIDTHS = (1.3, 1.15, 1.03)  # ratios of neighbouring slips, for the parabolas of the peak


class LockedRotor(NamedTuple):
    """The machine at standstill on balanced voltages.

    Attributes:
        current_a: Line current.
        torque_nm: Torque; friction and stray loss take nothing from it at standstill.
        power_factor: Of the current.
        leakage: Leakage factor at that current.
    """

    current_a: float
    torque_nm: float
    power_factor: float
    leakage: float


class Breakdown(NamedTuple):
    """The first peak of the shaft torque, counted from synchronous speed.

    Attributes:
        torque_nm: Shaft torque at the peak.
        slip: Slip of the peak; 1 when the torque rises all the way to standstill.
        leakage: Leakage factor there.
    """

    torque_nm: float
    slip: float
    leakage: float


def shaft_torque(
    circuit: InductionCircuit, phase_v: float, slip: float, leakage: float = 1.0
) -> float:
    """Return the shaft torque [N m] on balanced voltages, phase to star point [V]."""
    one = branch(circuit, slip, leakage)
    braking_nm = braking_torque(circuit, slip, abs(one.y) * phase_v)
    return air_gap_power(one, phase_v) / synchronous_speed(circuit) - braking_nm


def parabola_peak(below: float, here: float, above: float) -> float:
    """Return where three equally spaced values peak, in steps from the middle one.

    Where they show no peak, the answer lies far out on the side of the larger neighbour.
    """
    bend, least = 2.0 * here - below - above, 1e-5 * here
    bend = least + (bend - least + abs(bend - least)) / 2.0
    return (above - below) / (2.0 * bend)


def balanced_state(circuit: InductionCircuit, line_v: float, slip: float) -> SequenceState:
    """Return the state on balanced line voltages [V] at a slip, leakage settled."""
    phase_v = line_v / math.sqrt(3.0)
    leakage = settled_leakage(circuit, phase_v, 0.0, slip)
    return sequence_state(circuit, phase_v, 0.0, slip, leakage, leakage)


def locked_rotor(circuit: InductionCircuit, line_v: float) -> LockedRotor:
    """Return current and torque at standstill on balanced line voltages.

    Args:
        circuit: The machine.
        line_v: Line-to-line voltage [V].

    Returns:
        Current, torque, power factor and leakage factor.

    Raises:
        ZeroDivisionError: A resistance or the magnetising reactance is zero.

    Accuracy:
        Rounding only, within the circuit. A real machine identified from its plate alone starts
        with a torque that differs from this by a third either way.

    Source:
        The circuit of ``branch`` at slip one.
    """
    phase_v = line_v / math.sqrt(3.0)
    leakage = settled_leakage(circuit, phase_v, 0.0, 1.0)
    one = branch(circuit, 1.0, leakage)
    torque_nm = air_gap_power(one, phase_v) / synchronous_speed(circuit)
    return LockedRotor(abs(one.y) * phase_v, torque_nm, one.y.real / abs(one.y), leakage)


def breakdown(circuit: InductionCircuit, line_v: float) -> Breakdown:
    """Return the first peak of the shaft torque, counted from synchronous speed.

    Args:
        circuit: The machine.
        line_v: Line-to-line voltage [V], balanced.

    Returns:
        Torque, slip and leakage factor of the peak.

    Raises:
        ZeroDivisionError: A resistance or the magnetising reactance is zero.

    Accuracy:
        Torque 1e-6 relative, slip 2e-3 relative, within the circuit. A shallow dip between
        breakdown and standstill may be passed over; the peak is then that of standstill, higher by
        a few percent.

    Source:
        Search over a geometric row of slips, then parabolas through three points.
    """
    phase_v = line_v / math.sqrt(3.0)

    def torque(slip: float) -> float:
        leakage = settled_leakage(circuit, phase_v, 0.0, slip)
        return shaft_torque(circuit, phase_v, slip, leakage)

    slip, best_nm = PEAK_GRID[0], torque(PEAK_GRID[0])
    for candidate in PEAK_GRID[1:]:
        torque_nm = torque(candidate)
        if torque_nm < best_nm:
            break
        slip, best_nm = candidate, torque_nm
    for width in PEAK_WIDTHS:
        shift = parabola_peak(torque(slip / width), torque(slip), torque(slip * width))
        slip = min(slip * width ** min(max(shift, -2.0), 2.0), 1.0)
    leakage = settled_leakage(circuit, phase_v, 0.0, slip)
    return Breakdown(shaft_torque(circuit, phase_v, slip, leakage), slip, leakage)


def running_slip(circuit: InductionCircuit, line_v: float, torque_nm: float) -> float | None:
    """Return the slip at which the shaft gives a torque, on balanced line voltages.

    Args:
        circuit: The machine.
        line_v: Line-to-line voltage [V].
        torque_nm: Load torque, positive or zero.

    Returns:
        The stable slip between synchronous speed and breakdown; None when the load exceeds the
        breakdown torque.

    Raises:
        ZeroDivisionError: A resistance or the magnetising reactance is zero.

    Accuracy:
        1e-12 absolute.

    Source:
        False position with halved ends (Illinois) on the shaft torque.
    """
    phase_v = line_v / math.sqrt(3.0)

    def excess(slip: float) -> float:
        leakage = settled_leakage(circuit, phase_v, 0.0, slip)
        return shaft_torque(circuit, phase_v, slip, leakage) - torque_nm

    peak = breakdown(circuit, line_v)
    low, below, high, above = 0.0, excess(0.0), peak.slip, peak.torque_nm - torque_nm
    if above < 0.0:
        return None
    slip, side = high, 0
    for _ in range(SLIP_STEPS):
        slip = (low * above - high * below) / (above - below)
        found = excess(slip)
        if abs(found) <= SETTLED * peak.torque_nm:
            break
        if found < 0.0:
            low, below, above = slip, found, above / 2.0 if side < 0 else above
            side = -1
        else:
            high, above, below = slip, found, below / 2.0 if side > 0 else below
            side = 1
    return slip
