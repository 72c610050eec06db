"""The linear part of a network on three legs: source, branches between legs, machine matrices.

Legs A and B come from the single-phase supply, leg C is made: no outside current enters it.
Voltages are to the supply's earthed point, rms phasors; machine currents flow into the machine.
Everything here is written with operators alone and takes Python numbers or numpy columns.
"""

import math
from typing import NamedTuple

from ampwright.kernels.induction import TURN, plain

BACK = TURN.conjugate()  # a squared: one third of a turn behind
PLACES = ("ab", "bc", "ca", "a", "b", "c")  # the order of the fields of ``Legs``
DEEP_SAG = 0.7  # below this share of its rated voltage a load no longer holds its power


class Source(NamedTuple):
    """Open-circuit voltages to earth of legs A and B [V], each behind its impedance [ohm]."""

    e_a_v: complex
    e_b_v: complex
    z_a_ohm: complex
    z_b_ohm: complex


class Legs(NamedTuple):
    """Linear admittances between the legs and from each leg to earth [S]."""

    y_ab: complex = 0.0
    y_bc: complex = 0.0
    y_ca: complex = 0.0
    y_a: complex = 0.0
    y_b: complex = 0.0
    y_c: complex = 0.0


class ConstantPower(NamedTuple):
    """A load that holds its power.

    Attributes:
        place: Where it is connected, one of ``PLACES``; a single letter is leg to earth.
        power_va: Complex power; a positive imaginary part lags.
        voltage_v: Rated voltage; below 0.7 of it the load becomes a constant impedance.
    """

    place: str
    power_va: complex
    voltage_v: float


class Reduced(NamedTuple):
    """The network seen from legs A and B once the made leg is eliminated.

    The voltage of leg C is ``to_a`` times that of A plus ``to_b`` times that of B; a current put
    into leg C appears on A and B as minus ``from_a`` and ``from_b`` times itself.
    """

    to_a: complex
    to_b: complex
    from_a: complex
    from_b: complex
    y_c: complex
    w_aa: complex
    w_ab: complex
    w_ba: complex
    w_bb: complex
    d_a: complex
    d_b: complex
    determinant: complex


class Voltages(NamedTuple):
    """Voltages of the legs to earth and their sequence components [V]."""

    a: complex
    b: complex
    c: complex
    zero: complex
    one: complex
    two: complex


def split_phase(voltage_v: complex, loop_ohm: complex) -> Source:
    """Return a supply with an earthed mid-point; *loop_ohm* counts both line conductors."""
    return Source(voltage_v / 2.0, -voltage_v / 2.0, loop_ohm / 2.0, loop_ohm / 2.0)


def line_neutral(voltage_v: complex, line_ohm: complex, neutral_ohm: complex) -> Source:
    """Return a supply of one line and an earthed neutral, which becomes leg B."""
    return Source(voltage_v, 0.0 * voltage_v, line_ohm, neutral_ohm)


def line_line(voltage_v: float, to_earth_v: float, loop_ohm: complex) -> Source:
    """Return two lines of a star-connected supply.

    Args:
        voltage_v: Voltage between the two lines [V].
        to_earth_v: Voltage of each line to earth [V], at least half of *voltage_v*.
        loop_ohm: Impedance of both lines together.

    Returns:
        The source; the mid-point between the lines leads them by 90 degrees.

    Raises:
        ValueError: The lines cannot be that far apart.

    Accuracy:
        Rounding only.

    Source:
        Geometry of an isosceles triangle.
    """
    square = to_earth_v**2 - voltage_v**2 / 4.0
    if square < 0.0:
        raise ValueError(f"to_earth_v must be at least half of {voltage_v}, got {to_earth_v}")
    height = 1j * math.sqrt(square)
    half = voltage_v / 2.0
    return Source(half + height, -half + height, loop_ohm / 2.0, loop_ohm / 2.0)


def capacitors(ab_f: float, bc_f: float, ca_f: float, frequency_hz: float) -> Legs:
    """Return capacitors [F] between the legs as admittances."""
    turning = 2j * math.pi * frequency_hz
    return Legs(turning * ab_f, turning * bc_f, turning * ca_f)


def plus(one: Legs, other: Legs) -> Legs:
    """Return two sets of branches in parallel."""
    return Legs(*(a + b for a, b in zip(one, other, strict=True)))


def three_phase_power(power_va: complex, voltage_v: float) -> tuple[ConstantPower, ...]:
    """Return a three-phase load of constant power as three equal loads between the legs."""
    return tuple(ConstantPower(place, power_va / 3.0, voltage_v) for place in PLACES[:3])


def with_power(
    legs: Legs, loads: tuple[ConstantPower, ...], inverse_squares: tuple[float, ...]
) -> Legs:
    """Return *legs* with each load as the admittance that draws its power at one voltage.

    Args:
        legs: The linear branches.
        loads: Loads of constant power.
        inverse_squares: For each of them one over the square of its voltage [1/V2].

    Returns:
        All branches together.

    Raises:
        ValueError: A load stands at a place that does not exist.

    Accuracy:
        Rounding only.

    Source:
        Definition of complex power.
    """
    if not loads:
        return legs
    total = list(legs)
    for load, inverse in zip(loads, inverse_squares, strict=True):
        k = PLACES.index(load.place)
        total[k] = (
            total[k] + load.power_va.conjugate() * inverse
        )  # not in place: it is the caller's
    return Legs(*total)


def machine_matrix(y1: complex, y2: complex) -> tuple[complex, complex, complex]:
    """Return the nodal matrix of three-wire machines from their summed sequence admittances.

    Args:
        y1: Positive-sequence admittance [S].
        y2: Negative-sequence admittance [S].

    Returns:
        Diagonal entry, forward entry (AB, BC, CA) and backward entry (BA, CB, AC) [S]; the matrix
        is not symmetric, and each row sums to zero because no zero-sequence current can flow.

    Raises:
        Nothing.

    Accuracy:
        Rounding only.

    Source:
        Fortescue's transformation of diag(0, y1, y2).
    """
    return (y1 + y2) / 3.0, (TURN * y1 + BACK * y2) / 3.0, (BACK * y1 + TURN * y2) / 3.0


def reduce(source: Source, legs: Legs, y1: complex, y2: complex) -> Reduced:
    """Return the network with the made leg eliminated; machines as for ``machine_matrix``.

    Raises:
        ZeroDivisionError: Nothing is connected to the made leg, or the network resonates without
            any resistance.
    """
    own, forward, backward = machine_matrix(y1, y2)
    y_ab, y_bc, y_ca, y_a, y_b, y_c = legs
    y_cc = own + y_bc + y_ca + y_c
    to_a, to_b = (y_ca - forward) / y_cc, (y_bc - backward) / y_cc
    y_ac, y_bc_entry = backward - y_ca, forward - y_bc
    w_aa = own + y_ab + y_ca + y_a + y_ac * to_a
    w_ab = forward - y_ab + y_ac * to_b
    w_ba = backward - y_ab + y_bc_entry * to_a
    w_bb = own + y_ab + y_bc + y_b + y_bc_entry * to_b
    z_a, z_b = source.z_a_ohm, source.z_b_ohm
    d_a, d_b = 1.0 + z_a * w_aa, 1.0 + z_b * w_bb
    determinant = d_a * d_b - z_a * z_b * w_ab * w_ba
    return plain(Reduced, (
        to_a, to_b, y_ac / y_cc, y_bc_entry / y_cc, y_cc, w_aa, w_ab, w_ba, w_bb,
        d_a, d_b, determinant,
    ))  # fmt: skip


def voltages(source: Source, net: Reduced) -> Voltages:
    """Return the voltages that the source makes on all legs."""
    e_a, e_b = source.e_a_v, source.e_b_v
    v_a = (net.d_b * e_a - source.z_a_ohm * net.w_ab * e_b) / net.determinant
    v_b = (net.d_a * e_b - source.z_b_ohm * net.w_ba * e_a) / net.determinant
    return _in_sequences(v_a, v_b, net.to_a * v_a + net.to_b * v_b)


def response(
    source: Source, net: Reduced, into_a: complex, into_b: complex, into_c: complex
) -> Voltages:
    """Return the voltages [V] that currents put into the legs [A] make with the source dead."""
    r_a = source.z_a_ohm * (into_a - net.from_a * into_c)
    r_b = source.z_b_ohm * (into_b - net.from_b * into_c)
    v_a = (net.d_b * r_a - source.z_a_ohm * net.w_ab * r_b) / net.determinant
    v_b = (net.d_a * r_b - source.z_b_ohm * net.w_ba * r_a) / net.determinant
    return _in_sequences(v_a, v_b, net.to_a * v_a + net.to_b * v_b + into_c / net.y_c)


def solve_voltages(source: Source, legs: Legs, y1: complex, y2: complex) -> Voltages:
    """Return the voltages of the legs for machines of given summed sequence admittances.

    Args:
        source: The single-phase supply; its impedances may be zero.
        legs: All linear branches, loads of constant power included (``with_power``).
        y1: Sum of the machines' positive-sequence admittances [S].
        y2: Sum of their negative-sequence admittances [S].

    Returns:
        Voltages to earth and their sequence components.

    Raises:
        ZeroDivisionError: Nothing is connected to the made leg.

    Accuracy:
        Against a general circuit simulator 1e-13 relative, five networks; the sum of all
        currents into the made leg is below 1e-12 of the largest of them.

    Source:
        Nodal analysis.
    """
    return voltages(source, reduce(source, legs, y1, y2))


def source_currents(net: Reduced, at: Voltages) -> tuple[complex, complex]:
    """Return the currents that the source sends into legs A and B [A]."""
    return net.w_aa * at.a + net.w_ab * at.b, net.w_ba * at.a + net.w_bb * at.b


def place_voltages(at: Voltages) -> tuple[complex, ...]:
    """Return the voltages across ``PLACES``, in their order [V]."""
    return at.a - at.b, at.b - at.c, at.c - at.a, at.a, at.b, at.c


def _in_sequences(v_a: complex, v_b: complex, v_c: complex) -> Voltages:
    zero = (v_a + v_b + v_c) / 3.0
    one = (v_a + TURN * v_b + BACK * v_c) / 3.0
    two = (v_a + BACK * v_b + TURN * v_c) / 3.0
    return plain(Voltages, (v_a, v_b, v_c, zero, one, two))
