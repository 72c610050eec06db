"""What a pair of capacitors does to a linear network, as polynomials in its two admittances.

With x the admittance of the capacitor from the made leg to B and y that of the one to A, every
voltage is the quotient of two polynomials of first degree in x and in y, of which all voltages
share the lower. Their coefficients are worked out once for a state, so that hundreds of pairs can
be tried in it. Everything is written with operators alone, for numbers and columns.
"""

import cmath
import math
from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.induction import TURN, plain
from ampwright.kernels.legs import BACK, Legs, Source, machine_matrix

COARSE = 2.0**22  # adding and taking it away leaves a number in whole multiples of 2**-30
#: A delta's winding sees the negative sequence a sixth of a turn behind the positive one, beside a
#: line, and both by the same factor.
IN_DELTA = cmath.rect(1.0, -math.pi / 3.0)

#: Coefficients of 1, x, y and x y.
Polynomial = tuple[complex, complex, complex, complex]
#: Coefficients of 1 and y, for one x.
Line = tuple[complex, complex]


class Numerators(NamedTuple):
    """Voltages to earth of the three legs times the common determinant, and the determinant."""

    a: Polynomial
    b: Polynomial
    c: Polynomial
    determinant: Polynomial


class Reply(NamedTuple):
    """One state of a duty for every pair: what a choice looks at.

    Attributes:
        determinant: At the supply's nominal voltage.
        one: Positive-sequence voltage times it.
        two: Negative-sequence voltage times it.
        above: The determinant at the supply's highest voltage.
        ab: Line voltage A-B there, times it.
        bc: Line voltage B-C.
        ca: Line voltage C-A.
        winding1: Winding current of the idler for one volt of positive sequence, over its rated
            current [1/V].
        winding2: The same of the negative sequence, turned to the same winding.
    """

    determinant: Polynomial
    one: Polynomial
    two: Polynomial
    above: Polynomial
    ab: Polynomial
    bc: Polynomial
    ca: Polynomial
    winding1: complex
    winding2: complex


class Row(NamedTuple):
    """A reply for one capacitor to B; its fields are those of `Reply`."""

    determinant: Line
    one: Line
    two: Line
    above: Line
    ab: Line
    bc: Line
    ca: Line
    winding1: complex
    winding2: complex


def numerators(source: Source, legs: Legs, y1: complex, y2: complex) -> Numerators:
    """Return the voltages that a source makes, for every pair of capacitors to the made leg.

    Args:
        source: The single-phase supply; its impedances may be zero.
        legs: All linear branches but the pair, loads of constant power included.
        y1: Sum of the machines' positive-sequence admittances [S].
        y2: Sum of their negative-sequence admittances [S].

    Returns:
        Polynomials in the admittances of the pair [S].

    Raises:
        Nothing.

    Accuracy:
        Rounding only; against ``legs.solve_voltages`` 1e-12 of the largest voltage.

    Source:
        Cramer's rule on the nodal equations; a branch enters its matrix by a term of rank one, so
        no determinant holds a square of its admittance.
    """
    own, ahead, behind = machine_matrix(y1, y2)
    y_ab, y_bc, y_ca, y_a, y_b, y_c = legs
    e_a, e_b, z_a, z_b = source
    aa, ab, ac = 1.0 + z_a * (own + y_ab + y_ca + y_a), z_a * (ahead - y_ab), z_a * (behind - y_ca)
    ba, bb, bc = z_b * (behind - y_ab), 1.0 + z_b * (own + y_ab + y_bc + y_b), z_b * (ahead - y_bc)
    ca, cb, cc = ahead - y_ca, behind - y_bc, own + y_bc + y_ca + y_c
    # two-rowed minors of the matrix, each with the coefficients of 1, x, y and x y
    a1 = bb * cc - bc * cb, bb + bc + z_b * (cc + cb), bb, z_b
    b1 = ab * cc - ac * cb, ab + ac, ab + z_a * cb, -z_a
    c1 = ab * bc - ac * bb, -z_b * (ab + ac), z_a * bb, z_a * z_b
    a2 = ba * cc - bc * ca, ba + z_b * ca, ba + bc, -z_b
    b2 = aa * cc - ac * ca, aa, aa + ac + z_a * (cc + ca), z_a
    a3 = ba * cb - bb * ca, -ba - z_b * ca, bb, z_b
    b3 = aa * cb - ab * ca, -aa, ab + z_a * cb, -z_a
    return Numerators(
        a=_mixed(e_a, a1, -e_b, b1),
        b=_mixed(e_b, b2, -e_a, a2),
        c=_mixed(e_a, a3, -e_b, b3),
        determinant=(
            aa * a1[0] - ba * b1[0] + ca * c1[0],
            aa * a1[1] - ba * b1[1] + ca * c1[1],
            aa * a1[2] + z_a * a1[0] - ba * b1[2] + ca * c1[2] - c1[0],
            aa * a1[3] + z_a * a1[1] - ba * b1[3] + ca * c1[3] - c1[1],
        ),
    )


def replied(
    at: tuple[Numerators, Numerators], idler: tuple[complex, complex], *, delta: bool
) -> Reply:
    """Return what a choice looks at.

    Args:
        at: The state at the supply's nominal voltage and at its highest.
        idler: Sequence admittances of the idler over its rated winding current [1/V].
        delta: Whether its winding is a delta.

    Returns:
        The state for every pair.

    Raises:
        Nothing.

    Accuracy:
        Rounding only.

    Source:
        Fortescue's transformation; it enters a delta's windings turned by a twelfth either way.
    """
    low, high = at
    return Reply(
        low.determinant,
        _summed(1.0 / 3.0, low.a, TURN / 3.0, low.b, BACK / 3.0, low.c),
        _summed(1.0 / 3.0, low.a, BACK / 3.0, low.b, TURN / 3.0, low.c),
        high.determinant,
        _mixed(1.0, high.a, -1.0, high.b),
        _mixed(1.0, high.b, -1.0, high.c),
        _mixed(1.0, high.c, -1.0, high.a),
        idler[0],
        idler[1] * (IN_DELTA if delta else 1.0),
    )


def row(reply: Reply, x: complex) -> Row:
    """Return a reply for one admittance *x* of the capacitor to B [S]."""
    lines = [(one + of_x * x, of_y + of_xy * x) for one, of_x, of_y, of_xy in reply[:7]]
    return plain(Row, (*lines, reply.winding1, reply.winding2))


def judged(
    rows: Sequence[Row],
    weights: Sequence[float],
    y: complex,
    limits: tuple[float, float, float, float],
) -> tuple[float, float, float]:
    """Return excess over limits, unbalance beyond the aim, weighted squared unbalance.

    Args:
        rows: One for each state, for one capacitor to B.
        weights: One for each state.
        y: Admittance of the capacitor to A [S].
        limits: Highest line voltage, rated voltage of the cans, largest winding current over the
            rated one, unbalance aimed at.

    Returns:
        Three figures, to be made small in this order.

    Raises:
        ZeroDivisionError: A limit is zero, or the network resonates without any resistance.

    Accuracy:
        That of the states: slips, leakage and flux are held.

    Source:
        Definition.
    """
    most_v, can_v, most_a, aim = limits
    excess: float = 0.0
    beyond: float = 0.0
    total: float = 0.0
    for at, weight in zip(rows, weights, strict=True):
        (
            (det0, det1), (one0, one1), (two0, two1), (above0, above1), (ab0, ab1), (bc0, bc1),
            (ca0, ca1), winding1, winding2,
        ) = at  # fmt: skip
        one, two = one0 + one1 * y, two0 + two1 * y
        vuf = abs(two) / abs(one)
        ahead, behind = winding1 * one, winding2 * two
        first, second = abs(ahead + behind), abs(ahead + BACK * behind)
        third = abs(ahead + TURN * behind)
        # the larger of two is half of their sum and distance: with operators alone
        larger = (first + second + abs(first - second)) / 2.0
        winding = (larger + third + abs(larger - third)) / (2.0 * abs(det0 + det1 * y))
        above = 2.0 * abs(above0 + above1 * y)
        bc, ca = abs(bc0 + bc1 * y), abs(ca0 + ca1 * y)
        made = (bc + ca + abs(bc - ca)) / above
        ab = 2.0 * abs(ab0 + ab1 * y) / above
        over_v = (made + ab + abs(made - ab)) / (2.0 * most_v) - 1.0
        over_can = made / can_v - 1.0
        over_a = winding / most_a - 1.0
        excess = excess + (
            over_v + abs(over_v) + over_can + abs(over_can) + over_a + abs(over_a)
        ) / 2.0  # fmt: skip
        short = vuf - aim
        beyond = beyond + (short + abs(short)) / 2.0
        total = total + weight * vuf * vuf
    # the supply's own voltage adds the same to all pairs: rounding is not to choose among them
    return (excess + COARSE) - COARSE, beyond, total


def _mixed(k: complex, one: Polynomial, m: complex, other: Polynomial) -> Polynomial:
    a, b, c, d = one
    e, f, g, h = other
    return k * a + m * e, k * b + m * f, k * c + m * g, k * d + m * h


def _summed(
    k: complex, one: Polynomial, m: complex, other: Polynomial, n: complex, third: Polynomial
) -> Polynomial:
    return _mixed(1.0, _mixed(k, one, m, other), n, third)
