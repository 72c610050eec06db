"""An induction machine and a network on three legs, written a second time for the check.

The circuit per phase, as its steps state it: stator resistance and leakage, magnetising reactance,
two cages in parallel, core loss at the terminals; friction and stray loss fall with speed. Leakage
saturates with the current: at twice the rated current not yet, at six times by the stated factor.
"""

import cmath
import math
from typing import NamedTuple

THIRD = cmath.exp(2j * math.pi / 3)
BEND_FROM, BEND_TO, ROUNDED = 2.0, 6.0, 0.25

Row = list[complex]


class Machine(NamedTuple):
    """The circuit of one machine; the fields are named as the steps that state them."""

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
    pole_pairs: float
    frequency_hz: float
    saturation: float
    #: Reactance of a transformer ahead of it, which does not saturate.
    series_ohm: float = 0.0

    @property
    def synchronous(self) -> float:
        """Synchronous speed [rad/s]."""
        return 2 * math.pi * self.frequency_hz / self.pole_pairs

    def behind(self, ratio: float, series_ohm: float) -> "Machine":
        """Return the machine as its network sees it through a transformer.

        Args:
            ratio: Voltage at the network over voltage at the machine.
            series_ohm: Reactance of the transformer, on the side of the network.
        """
        names = ("r1_ohm", "x1_ohm", "xm_ohm", "ri_ohm", "xi_ohm", "ro_ohm", "xo_ohm", "rc_ohm")
        parts = {name: getattr(self, name) * ratio**2 for name in names}
        parts["series_ohm"] = self.series_ohm * ratio**2 + series_ohm
        return self._replace(**parts, rated_current_a=self.rated_current_a / ratio)

    def at(self, frequency_hz: float) -> "Machine":
        """Return the machine at another frequency [Hz].

        Reactances follow it, powers of friction and stray torque its square, the core resistance
        its root.
        """
        ratio = frequency_hz / self.frequency_hz
        powers = dict.fromkeys(("x1_ohm", "xm_ohm", "xi_ohm", "xo_ohm", "frequency_hz"), 1.0)
        powers["series_ohm"] = 1.0
        powers |= {"rc_ohm": 0.5, "friction_w": 2.0, "stray_w": 2.0}
        parts = {name: getattr(self, name) * ratio**power for name, power in powers.items()}
        return self._replace(**parts)

    def leakage(self, amperes: float) -> float:
        """Return what is left of the leakage reactances at a current [A], both corners rounded."""
        times = amperes / self.rated_current_a
        return 1 - (1 - self.saturation) * _ramp(times) / (BEND_TO - BEND_FROM)

    def sides(self, slip: float, leakage: float) -> tuple[complex, complex, complex]:
        """Return terminal admittance, air-gap voltage over terminal voltage, rotor admittance."""
        rotor = 0j
        for resistance, reactance in ((self.ri_ohm, self.xi_ohm), (self.ro_ohm, self.xo_ohm)):
            rotor += 1 / (resistance / slip + 1j * leakage * reactance) if slip else 0
        gap = rotor + 1 / (1j * self.xm_ohm)
        stator = self.r1_ohm + 1j * (leakage * self.x1_ohm + self.series_ohm)
        total = gap / (1 + stator * gap)
        return total + 1 / self.rc_ohm, 1 / (1 + stator * gap), rotor


def _ramp(times: float) -> float:
    """Return how far *times* lies beyond the first corner, no further than to the second."""
    return _hinge(times - BEND_FROM) - _hinge(times - BEND_TO)


def _hinge(x: float) -> float:
    """Return *x* above nought and nought below, rounded by a parabola about nought."""
    if x <= -ROUNDED:
        return 0.0
    if x >= ROUNDED:
        return x
    return (x + ROUNDED) ** 2 / (4 * ROUNDED)


def solved(matrix: list[Row], right: Row) -> Row:
    """Return the solution of three linear equations, by elimination with row exchange."""
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    size = len(rows)
    for column in range(size):
        best = max(range(column, size), key=lambda at: abs(rows[at][column]))
        rows[column], rows[best] = rows[best], rows[column]
        pivot = rows[column][column]
        for at in range(column + 1, size):
            share = rows[at][column] / pivot
            if share:
                rows[at] = [a - share * b for a, b in zip(rows[at], rows[column], strict=True)]
    found: Row = [0j] * size
    for at in range(size - 1, -1, -1):
        rest = sum(rows[at][k] * found[k] for k in range(at + 1, size))
        found[at] = (rows[at][size] - rest) / rows[at][at]
    return found


def sequences(volts: Row) -> tuple[complex, complex]:
    """Return positive and negative sequence of three phasors."""
    a, b, c = volts
    return (a + THIRD * b + THIRD**2 * c) / 3, (a + THIRD**2 * b + THIRD * c) / 3


def phases(positive: complex, negative: complex) -> Row:
    """Return the three phasors that two sequences make."""
    return [positive * THIRD**-k + negative * THIRD**k for k in range(3)]


def stamp(matrix: list[Row], positive: complex, negative: complex) -> None:
    """Add machines of these sequence admittances to a nodal *matrix*."""
    for i in range(3):
        for k in range(3):
            matrix[i][k] += (positive * THIRD ** (k - i) + negative * THIRD ** (i - k)) / 3


def bridge(matrix: list[Row], one: int, other: int, admittance: complex) -> None:
    """Add an *admittance* between two nodes."""
    matrix[one][one] += admittance
    matrix[other][other] += admittance
    matrix[one][other] -= admittance
    matrix[other][one] -= admittance
