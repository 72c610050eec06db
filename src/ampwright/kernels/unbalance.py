"""Unbalance of three-phase voltages and currents: line magnitudes, symmetrical components.

The sequence A-B-C is positive (B lags A by a third of a turn). Ratios are fractions, not per cent.
Functions whose name ends in ``_formula`` are written with operators alone and check nothing: they
take Python numbers or numpy columns.
"""

import cmath
import math
from typing import NamedTuple

TURN = cmath.rect(1.0, 2.0 * math.pi / 3.0)  # the operator a: one third of a turn ahead


class SequenceComponents(NamedTuple):
    """Zero, positive and negative sequence of three phasors, in the unit of the phasors."""

    zero: complex
    positive: complex
    negative: complex


def sequence_components(a: complex, b: complex, c: complex) -> SequenceComponents:
    """Return the symmetrical components of three phasors.

    Args:
        a: Phasor of phase A, complex number or column; any unit.
        b: Phasor of phase B.
        c: Phasor of phase C.

    Returns:
        Components of phase A, in the same unit.

    Raises:
        Nothing on purpose.

    Accuracy:
        Rounding only.

    Source:
        C. L. Fortescue, Method of symmetrical co-ordinates applied to the solution of polyphase
        networks, Transactions of the AIEE 37 (1918), pages 1027 to 1140 (from memory).
    """
    back = TURN.conjugate()
    return SequenceComponents(
        (a + b + c) / 3.0,
        (a + TURN * b + back * c) / 3.0,
        (a + back * b + TURN * c) / 3.0,
    )


def phase_values(parts: SequenceComponents) -> tuple[complex, complex, complex]:
    """Return the phasors of phases A, B and C that have these symmetrical components."""
    back = TURN.conjugate()
    return (
        parts.zero + parts.positive + parts.negative,
        parts.zero + back * parts.positive + TURN * parts.negative,
        parts.zero + TURN * parts.positive + back * parts.negative,
    )


def spread_formula(v_ab: float, v_bc: float, v_ca: float) -> float:
    """Return d of ``negative_sequence_formula``: 0 for equal sides, above 1 for no triangle."""
    x, y, z = v_ab * v_ab, v_bc * v_bc, v_ca * v_ca
    total = x + y + z
    return 2.0 * ((x - y) ** 2 + (y - z) ** 2 + (z - x) ** 2) / (total * total)


def negative_sequence_formula(spread: float) -> float:
    """Return negative over positive sequence from ``spread_formula``.

    With beta = (sum of v^4) / (sum of v^2)^2 the printed form is the root of
    (1 - sqrt(3 - 6 beta)) / (1 + sqrt(3 - 6 beta)). There 1 - sqrt(...) loses half of all digits
    near balance; with d = 6 beta - 2, written as a sum of squares, nothing is lost.
    """
    ratio: float = spread**0.5 / (1.0 + (1.0 - spread) ** 0.5)
    return ratio


def deviation_unbalance(v_ab: float, v_bc: float, v_ca: float) -> float:
    """Return the largest deviation from the mean of three magnitudes, over that mean.

    Args:
        v_ab: Magnitude, line to line [V] (or line current [A]), zero or above.
        v_bc: The second.
        v_ca: The third.

    Returns:
        Unbalance as a fraction.

    Raises:
        ValueError: A magnitude is negative or not finite, or all are zero.

    Accuracy:
        Rounding only (1e-15 absolute).

    Source:
        NEMA MG 1, 14.36 (number of the clause from memory); the definition as reproduced on a
        public web page; check against the standard.
    """
    values = (v_ab, v_bc, v_ca)
    mean = sum(values) / 3.0
    if not (min(values) >= 0.0 and 0.0 < mean < math.inf):
        raise ValueError(f"three magnitudes, not negative and not all zero, wanted: {values}")
    return max(abs(value - mean) for value in values) / mean


def negative_sequence_unbalance(v_ab: float, v_bc: float, v_ca: float) -> float:
    """Return negative over positive sequence of three line-to-line voltages, angles unknown.

    The three magnitudes close a triangle, which fixes the angles; which way round the triangle
    lies does not matter as long as the positive sequence is the larger one.

    Args:
        v_ab: Magnitude, line to line [V], above zero.
        v_bc: The second.
        v_ca: The third.

    Returns:
        Ratio as a fraction, 0 to 1.

    Raises:
        ValueError: The magnitudes close no triangle, or one is not above zero.

    Accuracy:
        1e-14 absolute, against the phasors of the same triangle.

    Source:
        IEC 61000-4-30 and IEC 60034-26, ratio from line voltages (from memory, high).
    """
    values = (v_ab, v_bc, v_ca)
    if not (min(values) > 0.0 and max(values) < math.inf):
        raise ValueError(f"three line voltages above zero wanted, got {values}")
    spread = spread_formula(*values)
    if spread > 1.0:
        raise ValueError(f"line voltages that close a triangle wanted, got {values}")
    return negative_sequence_formula(spread)


def phasor_unbalance(a: complex, b: complex, c: complex) -> float:
    """Return negative over positive sequence of three phasors, to earth or line to line.

    Args:
        a: Phasor of phase A (or from A to B).
        b: Phasor of phase B (or from B to C).
        c: Phasor of phase C (or from C to A).

    Returns:
        Ratio as a fraction; above 1 where the phasors turn the other way.

    Raises:
        ValueError: There is no positive sequence.

    Accuracy:
        Rounding only. A phasor added to all three changes nothing.

    Source:
        Definition in IEC 60034-26 and IEEE 1159 (from memory, high).
    """
    parts = sequence_components(a, b, c)
    if not abs(parts.positive) > 0.0:
        raise ValueError("phasors with a positive sequence wanted")
    return abs(parts.negative) / abs(parts.positive)


def line_phasors(v_ab: float, v_bc: float, v_ca: float) -> tuple[complex, complex, complex]:
    """Return phasors of three line-to-line magnitudes, A to B lying along the real axis.

    Args:
        v_ab: Magnitude, line to line [V], above zero.
        v_bc: The second.
        v_ca: The third.

    Returns:
        Phasors from A to B, B to C and C to A; their sum is zero; positive sequence.

    Raises:
        ValueError: The magnitudes close no triangle, or one is not above zero.

    Accuracy:
        1e-14 relative, but only 1e-8 for a triangle that is nearly a line.

    Source:
        Law of cosines.
    """
    values = (v_ab, v_bc, v_ca)
    if not (min(values) > 0.0 and 2.0 * max(values) <= sum(values) < math.inf):
        raise ValueError(f"line voltages that close a triangle wanted, got {values}")
    along = (v_ca * v_ca - v_ab * v_ab - v_bc * v_bc) / (2.0 * v_ab)
    across = math.sqrt(max(v_bc * v_bc - along * along, 0.0))
    second = complex(along, -across)
    return complex(v_ab), second, -v_ab - second
