"""Induction machine: double-cage circuit with leakage saturation, powers and torques.

Rms phasors, star-equivalent values per phase, voltages phase to star point, currents positive
into the machine. The sequence A-B-C is positive; the rotor turns with it where the slip is below
one. A delta-connected winding is described by its star equivalent (one third of its impedances);
``delta_currents`` gives the currents inside the delta.

The formulas are written with operators alone, so each takes Python numbers or numpy columns.
"""

import cmath
import math
from typing import NamedTuple

#: Makes a named tuple of a tuple, in half the time of a call by fields; for inner loops.
plain = tuple.__new__
TURN = cmath.rect(1.0, 2.0 * math.pi / 3.0)  # the operator a: one third of a turn ahead
ABSENT_CAGE = 1e9  # resistance of an outer cage that is not there, over the base impedance
CORNER = 1.0 / 16.0  # a quarter of the rated current, over the four from two to six times
SETTLED = 1e-13  # change of the leakage factor at which an iteration stops
SETTLING_STEPS = 12  # twice what a saturation of 0.6 needs


class InductionCircuit(NamedTuple):
    """Equivalent circuit of one induction machine; every field a float or a column.

    Attributes:
        r1_ohm: Stator resistance, hot.
        x1_ohm: Stator leakage reactance at ``frequency_hz``, unsaturated.
        xm_ohm: Magnetising reactance.
        ri_ohm: Resistance of the inner (running) cage, referred to the stator.
        xi_ohm: Leakage reactance of the inner cage, unsaturated.
        ro_ohm: Resistance of the outer (starting) cage; a single cage has a very large one
            (``ABSENT_CAGE`` times the base impedance), never infinity.
        xo_ohm: Leakage reactance of the outer cage, unsaturated.
        rc_ohm: Core loss as a resistance at the terminals.
        friction_w: Friction and windage at synchronous speed; the torque is proportional to speed.
        stray_w: Stray load loss at rated current and synchronous speed; the torque is
            proportional to speed and to the square of the current.
        rated_current_a: Line current on the plate.
        pole_pairs: Pairs of poles.
        frequency_hz: Frequency for which the reactances hold.
        saturation: Multiplier of the leakage reactances at and above six times rated current;
            1.0 is a machine whose leakage does not saturate.
        series_ohm: Reactance ahead of the stator, of a transformer, which does not saturate.
    """

    r1_ohm: float
    x1_ohm: float
    xm_ohm: float
    ri_ohm: float
    xi_ohm: float
    ro_ohm: float
    xo_ohm: float
    rc_ohm: float
    friction_w: float
    stray_w: float
    rated_current_a: float
    pole_pairs: int
    frequency_hz: float
    saturation: float
    series_ohm: float = 0.0


class Branch(NamedTuple):
    """What one sequence sees of the machine at one slip.

    Attributes:
        y: Terminal admittance, core loss included [S].
        e: Air-gap voltage over terminal voltage.
        yr: Rotor admittance, both cages [S]; zero at zero slip.
    """

    y: complex
    e: complex
    yr: complex

    @property
    def zr(self) -> complex:
        """Rotor impedance [ohm]; not to be asked for at zero slip, where it is infinite."""
        return 1.0 / self.yr


class SequenceState(NamedTuple):
    """Currents, torques and powers of a machine at given sequence voltages and slip.

    Attributes:
        current1_a: Positive-sequence line current.
        current2_a: Negative-sequence line current.
        air_gap_torque_nm: Mean electromagnetic torque.
        braking_torque_nm: Torque that friction, windage and stray loss take from it.
        shaft_torque_nm: Their difference.
        ripple_torque_nm: Amplitude of the torque at twice the line frequency, at constant speed.
        input_w: Electrical power into the terminals.
        stator_loss_w: In the stator winding.
        rotor_loss_w: In both cages, from both sequences.
        core_loss_w: In the iron.
        friction_loss_w: Friction torque times speed.
        stray_loss_w: Stray torque times speed.
        shaft_w: Shaft torque times speed; negative when the machine is driven.
    """

    current1_a: complex
    current2_a: complex
    air_gap_torque_nm: float
    braking_torque_nm: float
    shaft_torque_nm: float
    ripple_torque_nm: float
    input_w: float
    stator_loss_w: float
    rotor_loss_w: float
    core_loss_w: float
    friction_loss_w: float
    stray_loss_w: float
    shaft_w: float


def synchronous_speed(circuit: InductionCircuit) -> float:
    """Return the synchronous speed [rad/s]."""
    return 2.0 * math.pi * circuit.frequency_hz / circuit.pole_pairs


def leakage_factor(circuit: InductionCircuit, current_a: float) -> float:
    """Return the multiplier of the leakage reactances at an rms line current.

    Args:
        circuit: The machine.
        current_a: Line current [A]; of unequal lines the root of their mean square.

    Returns:
        1 up to twice the rated current, falling linearly to ``circuit.saturation`` at six times;
        both corners are rounded by a parabola over a quarter of the rated current on either side,
        so that solvers meet no kink.

    Raises:
        ZeroDivisionError: The rated current is zero.

    Accuracy:
        Exact to rounding; the straight line stands for a smooth curve and the size of the fall,
        0.7 to 0.85 for usual machines, is known to about a fifth.

    Source:
        Common practice, no source: locked-rotor leakage is 15 to 30 % below its running value.
    """
    reach = (current_a / circuit.rated_current_a - 2.0) / 4.0
    first, last = abs(reach), abs(reach - 1.0)
    near_first, near_last = CORNER - first, CORNER - last
    near_first, near_last = near_first + abs(near_first), near_last + abs(near_last)
    bend = (near_first * near_first - near_last * near_last) / (8.0 * CORNER)
    return 1.0 - (1.0 - circuit.saturation) * (first - last + 1.0 + bend) / 2.0


def branch(circuit: InductionCircuit, slip: float, leakage: float = 1.0) -> Branch:
    """Return what the positive sequence sees at *slip*; for the negative one, give ``2 - slip``.

    Args:
        circuit: The machine.
        slip: Slip against the sequence asked about; any real number, zero included.
        leakage: Multiplier of the leakage reactances, from ``leakage_factor``.

    Returns:
        Terminal admittance, air-gap voltage ratio and rotor admittance.

    Raises:
        ZeroDivisionError: A resistance or the magnetising reactance is zero.

    Accuracy:
        Rounding only (1e-14 relative). The circuit itself leaves out slot and space harmonics,
        inter-bar currents and main-flux saturation.

    Source:
        Double-cage equivalent circuit as in the textbooks (Fitzgerald, Kingsley, Umans, Electric
        Machinery, chapter on polyphase induction machines; from memory), core loss moved to the
        terminals.
    """
    shift = leakage * slip  # products of real numbers first: complex ones cost more
    yr = slip / (circuit.ri_ohm + 1j * (shift * circuit.xi_ohm)) + slip / (
        circuit.ro_ohm + 1j * (shift * circuit.xo_ohm)
    )
    inner = yr - 1j / circuit.xm_ohm
    x1_ohm = leakage * circuit.x1_ohm + circuit.series_ohm
    e = 1.0 / (1.0 + (circuit.r1_ohm + 1j * x1_ohm) * inner)
    return plain(Branch, (inner * e + 1.0 / circuit.rc_ohm, e, yr))


def air_gap_power(one: Branch, voltage_v: complex) -> float:
    """Return the three-phase power across the air gap [W] of one sequence."""
    return 3.0 * abs(one.e * voltage_v) ** 2 * one.yr.real


def braking_torque(circuit: InductionCircuit, slip: float, current_a: float) -> float:
    """Return the torque [N m] of friction, windage and stray loss.

    It is odd in speed and zero at standstill, so that torque times speed is always a loss. A
    torque that did not fall with speed would take half the rated torque from a locked rotor.

    Args:
        circuit: The machine.
        slip: Slip of the positive sequence.
        current_a: Line current [A]; of unequal lines the root of their mean square.
    """
    loss_w = circuit.friction_w + circuit.stray_w * (current_a / circuit.rated_current_a) ** 2
    return loss_w * (1.0 - slip) / synchronous_speed(circuit)


def sequence_state(
    circuit: InductionCircuit,
    v1: complex,
    v2: complex,
    slip: float,
    leakage1: float = 1.0,
    leakage2: float = 1.0,
) -> SequenceState:
    """Return the whole state at given sequence voltages, slip and leakage factors.

    Args:
        circuit: The machine.
        v1: Positive-sequence voltage, phase to star point [V].
        v2: Negative-sequence voltage [V].
        slip: Slip of the positive sequence.
        leakage1: Leakage factor for the positive sequence.
        leakage2: Leakage factor for the negative sequence; running, both come from the same
            rms current, and never from the locked rotor's.

    Returns:
        Currents, torques and powers.

    Raises:
        ZeroDivisionError: A resistance or the magnetising reactance is zero.

    Accuracy:
        Input equals shaft power plus losses to 1e-12 of the largest term. For this the rotor loss
        is slip times air-gap power in each sequence with its sign (the negative sequence has
        slip 2 - s), and friction and stray loss are torque times speed.

    Source:
        Symmetrical components applied to the circuit of ``branch``; torque ripple from the cross
        product of air-gap flux and stator current of opposite sequences.
    """
    one, two = branch(circuit, slip, leakage1), branch(circuit, 2.0 - slip, leakage2)
    return state_behind(circuit, one, two, v1, v2, slip)


def state_behind(
    circuit: InductionCircuit, one: Branch, two: Branch, v1: complex, v2: complex, slip: float
) -> SequenceState:
    """Return what ``sequence_state`` does where both branches are known."""
    i1, i2 = one.y * v1, two.y * v2
    core1, core2 = v1 / circuit.rc_ohm, v2 / circuit.rc_ohm
    e1, e2 = one.e * v1, two.e * v2
    p1, p2 = 3.0 * abs(e1) ** 2 * one.yr.real, 3.0 * abs(e2) ** 2 * two.yr.real
    omega_s = synchronous_speed(circuit)
    speed = omega_s * (1.0 - slip)
    square_a2 = abs(i1) ** 2 + abs(i2) ** 2
    friction_nm = circuit.friction_w * (1.0 - slip) / omega_s
    stray_nm = circuit.stray_w * square_a2 / circuit.rated_current_a**2 * (1.0 - slip) / omega_s
    gap_nm = (p1 - p2) / omega_s
    return SequenceState(
        current1_a=i1,
        current2_a=i2,
        air_gap_torque_nm=gap_nm,
        braking_torque_nm=friction_nm + stray_nm,
        shaft_torque_nm=gap_nm - friction_nm - stray_nm,
        ripple_torque_nm=3.0 * abs(e2 * (i1 - core1) - e1 * (i2 - core2)) / omega_s,
        input_w=3.0 * (one.y.real * abs(v1) ** 2 + two.y.real * abs(v2) ** 2),
        stator_loss_w=3.0 * circuit.r1_ohm * (abs(i1 - core1) ** 2 + abs(i2 - core2) ** 2),
        rotor_loss_w=slip * p1 + (2.0 - slip) * p2,
        core_loss_w=3.0 * (abs(v1) ** 2 + abs(v2) ** 2) / circuit.rc_ohm,
        friction_loss_w=friction_nm * speed,
        stray_loss_w=stray_nm * speed,
        shaft_w=(gap_nm - friction_nm - stray_nm) * speed,
    )


def line_currents(current1_a: complex, current2_a: complex) -> tuple[complex, complex, complex]:
    """Return the currents of lines A, B and C [A] from their sequence components."""
    back = TURN.conjugate()
    return (
        current1_a + current2_a,
        back * current1_a + TURN * current2_a,
        TURN * current1_a + back * current2_a,
    )


def delta_currents(current1_a: complex, current2_a: complex) -> tuple[complex, complex, complex]:
    """Return the currents of windings A-B, B-C and C-A [A] of a delta from line components.

    The two sequences turn in opposite directions on their way from line to winding, so the worst
    winding is not the worst line over the square root of three.
    """
    ahead = cmath.rect(1.0 / math.sqrt(3.0), math.pi / 6.0)
    return line_currents(ahead * current1_a, ahead.conjugate() * current2_a)


def settled_leakage(circuit: InductionCircuit, v1: complex, v2: complex, slip: float) -> float:
    """Return the leakage factor that agrees with the current it lets through.

    Args:
        circuit: The machine.
        v1: Positive-sequence voltage, phase to star point [V].
        v2: Negative-sequence voltage [V].
        slip: Slip of the positive sequence.

    Returns:
        One factor for both sequences: ``leakage_factor`` of the root mean square line current.

    Raises:
        ZeroDivisionError: A resistance or the magnetising reactance is zero.

    Accuracy:
        1e-11 absolute where the saturation is 0.6 or more.

    Source:
        Fixed point of ``leakage_factor`` and ``branch``, by Steffensen's steps.
    """
    size1, size2 = abs(v1), abs(v2)

    def answer(factor: float) -> float:
        current_a = abs(branch(circuit, slip, factor).y) * size1
        if size2:
            current_a = math.hypot(current_a, abs(branch(circuit, 2 - slip, factor).y) * size2)
        return leakage_factor(circuit, current_a)

    factor = 1.0
    for _ in range(SETTLING_STEPS):
        first = answer(factor)
        if abs(first - factor) < SETTLED:
            break
        second = answer(first)
        bend = second - 2.0 * first + factor
        if abs(bend) < SETTLED:
            return second
        factor -= (first - factor) ** 2 / bend
    return factor
