"""How the torques of a network answer to its slips.

``torque_slopes`` and ``lead_of_lower_slips`` are written with operators alone and take Python
numbers or numpy columns; ``settled_response`` takes numbers.
"""

from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.induction import (
    TURN,
    InductionCircuit,
    branch,
    leakage_factor,
    synchronous_speed,
)
from ampwright.kernels.legs import BACK, Legs, Source, Voltages, response
from ampwright.kernels.operating_point import Point, evaluate

GRID = 24  # slips at which a torque peak is looked for
LEAKAGE_ROUNDS = 4
NUDGE = 1e-6  # of a slip or a leakage factor, for a derivative


def torque_slopes(
    source: Source,
    circuits: Sequence[InductionCircuit],
    slips: Sequence[float],
    leakage: Sequence[float],
    point: Point,
) -> list[list[float]]:
    """Return the derivative of each shaft torque with respect to each slip [N m].

    Row i, column j: how rotor i's torque answers to rotor j's slip, through the shared voltages
    too, with leakage, flux and constant-power loads held.
    """
    net, at = point.net, point.at
    up = response(source, net, 1.0, BACK, TURN)
    down = response(source, net, 1.0, TURN, BACK)
    against1, against2 = -up.one, -up.two
    changed, moved = [], []
    for c, s, k, m in zip(circuits, slips, leakage, point.machines, strict=True):
        slope1, slope2 = _rotor_slope(c, s, k), _rotor_slope(c, 2.0 - s, k)
        g1, g2 = m.one.e**2 * slope1, -(m.two.e**2) * slope2
        changed.append((slope1.real, slope2.real, g1, g2))
        moved.append((against1 * g1 * at.one - down.one * g2 * at.two,
                      against2 * g1 * at.one - down.two * g2 * at.two))  # fmt: skip
    rows = []
    for i, (c, s, k, m) in enumerate(zip(circuits, slips, leakage, point.machines, strict=True)):
        omega_s = synchronous_speed(c)
        stray_nm = c.stray_w / (c.rated_current_a**2 * omega_s)
        (one_y, one_e, one_yr), (two_y, two_e, two_yr) = m.one, m.two
        e1, e2 = one_e * at.one, two_e * at.two
        f1 = 6.0 * one_yr.real / omega_s * e1.conjugate()
        f2 = 6.0 * two_yr.real / omega_s * e2.conjugate()
        braking = 2.0 * stray_nm * (1.0 - s)
        b1, b2 = braking * m.i1.conjugate(), braking * m.i2.conjugate()
        # what a volt of each sequence does, and what the machine's own slip does beside
        by1, by2 = f1 * one_e - b1 * one_y, f2 * two_e + b2 * two_y
        row = [(by1 * d1 - by2 * d2).real for d1, d2 in moved]
        z1 = c.r1_ohm + 1j * (k * c.x1_ohm + c.series_ohm)
        slope1, slope2, g1, g2 = changed[i]
        own = (
            3.0 * abs(e1) ** 2 * slope1 + 3.0 * abs(e2) ** 2 * slope2 + c.friction_w
        ) / omega_s + stray_nm * m.square_a2
        row[i] = row[i] + own + (
            (f2 * z1 - b2) * g2 * at.two - (f1 * z1 + b1) * g1 * at.one
        ).real  # fmt: skip
        rows.append(row)
    return rows


def _rotor_slope(circuit: InductionCircuit, slip: float, leakage: float) -> complex:
    """Return the derivative of the rotor admittance with respect to slip [S]."""
    shifted = 1j * leakage * slip
    return (
        circuit.ri_ohm / (circuit.ri_ohm + shifted * circuit.xi_ohm) ** 2
        + circuit.ro_ohm / (circuit.ro_ohm + shifted * circuit.xo_ohm) ** 2
    )


class Response(NamedTuple):
    """How torques and leakage factors answer to slips, the factors following the currents.

    Attributes:
        slopes: Derivative of each torque with respect to each slip [N m].
        shift_nm: What each torque gains when the factors move to what the currents ask.
        ahead: How far each factor moves then.
        follow: Derivative of each factor with respect to each slip.
    """

    slopes: list[list[float]]
    shift_nm: list[float]
    ahead: list[float]
    follow: list[list[float]]


def settled_response(
    source: Source,
    legs: Legs,
    circuits: Sequence[InductionCircuit],
    slips: Sequence[float],
    leakage: Sequence[float],
    point: Point,
    asked: Sequence[float] = (),
) -> Response:
    """Return how the network answers to its slips when the leakage follows the currents.

    Near pull-out the currents saturate the leakage, which lifts the torque beyond the peak that a
    held leakage shows; whether a state is stable is a matter of these slopes. *asked* are the
    leakage factors that the currents ask for, where they are known.
    """
    slopes = torque_slopes(source, circuits, slips, leakage, point)
    asked = asked or _asked(circuits, point)
    size = range(len(circuits))
    ahead = [a - k for a, k in zip(asked, leakage, strict=True)]
    follow = [[0.0] * len(circuits) for _ in size]
    falling = [k for k, factor in enumerate(leakage) if factor < 1.0]
    if not falling:
        return Response(slopes, [0.0] * len(circuits), ahead, follow)

    def nudged(slip_of: int | None, factor_of: int | None) -> tuple[list[float], list[float]]:
        """Return how torques and asked leakage factors move for a nudge."""
        near = evaluate(
            source,
            legs,
            circuits,
            [s + NUDGE * (k == slip_of) for k, s in enumerate(slips)],
            [f + NUDGE * (k == factor_of) for k, f in enumerate(leakage)],
        )
        torques = [
            (a.shaft_nm - b.shaft_nm) / NUDGE
            for a, b in zip(near.machines, point.machines, strict=True)
        ]
        factors = [(a - b) / NUDGE for a, b in zip(_asked(circuits, near), asked, strict=True)]
        return torques, factors

    by_factor = [nudged(None, k) for k in falling]
    matrix = [[float(k == m) - by_factor[n][1][k] for n, m in enumerate(falling)] for k in falling]
    by_slip = [nudged(j, None)[1] for j in size]
    *follows, aheads = eliminate_each(
        matrix, [[one[k] for k in falling] for one in (*by_slip, ahead)]
    )
    for n, k in enumerate(falling):
        ahead[k] = aheads[n]
        follow[k] = [changes[n] for changes in follows]
    gains = dict(zip(falling, (torques for torques, _ in by_factor), strict=True))
    for i in size:
        for j in size:
            slopes[i][j] += sum(gains[k][i] * follow[k][j] for k in falling)
    shift_nm = [sum(gains[k][i] * ahead[k] for k in falling) for i in size]
    return Response(slopes, shift_nm, ahead, follow)


def eliminate(rows: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """Return the solution of a small real system; no pivoting, the diagonal is to be strong.

    Raises:
        ZeroDivisionError: A pivot is exactly zero (a column has infinities instead).
    """
    return eliminate_each(rows, (right,))[0]


def eliminate_each(
    rows: Sequence[Sequence[float]], rights: Sequence[Sequence[float]]
) -> list[list[float]]:
    """Return the solution for each of *rights*, as `eliminate` gives it for one."""
    a, several = [list(row) for row in rows], [list(right) for right in rights]
    size = len(a)
    for i in range(size):
        for k in range(i + 1, size):
            part = a[k][i] / a[i][i]
            for j in range(i + 1, size):
                a[k][j] = a[k][j] - part * a[i][j]
            for b in several:
                b[k] = b[k] - part * b[i]
    for b in several:
        for i in reversed(range(size)):
            for j in range(i + 1, size):
                b[i] = b[i] - a[i][j] * b[j]
            b[i] = b[i] / a[i][i]
    return several


def _asked(circuits: Sequence[InductionCircuit], point: Point) -> list[float]:
    return [
        leakage_factor(c, m.square_a2**0.5) for c, m in zip(circuits, point.machines, strict=True)
    ]


def lead_of_lower_slips(
    circuit: InductionCircuit, at: Voltages, slip: float, leakage: float
) -> float:
    """Return by how much the torque at some lower slip exceeds that at *slip*, over their sum.

    Above zero the machine is past its torque peak: with these voltages it could carry its load at
    a higher speed, but does not get there. *leakage* is that at *slip*; at lower slips it follows
    the current.
    """
    own = _gap_power(circuit, at, slip, leakage)
    lead = 0.0 * own
    for k in range(1, GRID):
        lower = slip * k / GRID
        held = leakage
        for _ in range(LEAKAGE_ROUNDS):
            held = _leakage_at(circuit, at, lower, held)
        other = _gap_power(circuit, at, lower, held)
        ahead = (other - own) / (abs(other) + abs(own) + 1e-300)  # no volts, no torque
        lead = (lead + ahead + abs(lead - ahead)) / 2.0
    return lead


def _gap_power(circuit: InductionCircuit, at: Voltages, slip: float, leakage: float) -> float:
    one, two = branch(circuit, slip, leakage), branch(circuit, 2.0 - slip, leakage)
    return 3.0 * (abs(one.e * at.one) ** 2 * one.yr.real - abs(two.e * at.two) ** 2 * two.yr.real)


def _leakage_at(circuit: InductionCircuit, at: Voltages, slip: float, leakage: float) -> float:
    one, two = branch(circuit, slip, leakage), branch(circuit, 2.0 - slip, leakage)
    square_a2 = abs(one.y * at.one) ** 2 + abs(two.y * at.two) ** 2
    return leakage_factor(circuit, square_a2**0.5)
