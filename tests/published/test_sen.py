"""A wound-rotor induction machine of a standard textbook.

P. C. Sen: Principles of Electric Machines and Power Electronics, 2nd edition, Wiley, 1997, chapter
5, the example of a 460 V, 60 Hz, four-pole machine at 1740 r/min. Status: figures from memory,
confidence medium; the number of the example is not remembered. The book replaces the stator by a
Thevenin source rounded to 1 %; hence tolerances of 1 %.
"""

import math
from collections.abc import Callable

from ampwright.kernels.induction import ABSENT_CAGE, InductionCircuit, sequence_state
from ampwright.kernels.torque_curve import breakdown, locked_rotor

SLIP = 60.0 / 1800.0
MOTOR = InductionCircuit(
    r1_ohm=0.25,
    x1_ohm=0.5,
    xm_ohm=30.0,
    ri_ohm=0.2,
    xi_ohm=0.5,
    ro_ohm=ABSENT_CAGE,
    xo_ohm=0.1,
    rc_ohm=1e12,
    friction_w=1700.0 / (1.0 - SLIP) ** 2,
    stray_w=0.0,
    rated_current_a=42.8,
    pole_pairs=2,
    frequency_hz=60.0,
    saturation=1.0,
)
FRICTIONLESS = MOTOR._replace(friction_w=0.0)
Check = Callable[..., None]


def test_starting(printed: Check) -> None:
    start = locked_rotor(FRICTIONLESS, 460.0)
    printed("starting current", 245.9, start.current_a, "A", within=2.5)
    printed("starting torque", 185.2, start.torque_nm, "N m", within=1.9)


def test_full_load(printed: Check) -> None:
    state = sequence_state(MOTOR, 460.0 / math.sqrt(3.0), 0.0, SLIP)
    printed("current", 42.75, abs(state.current1_a), "A", within=0.1)
    printed("torque", 163.11, state.air_gap_torque_nm, "N m", within=0.1)
    printed("efficiency", 0.875, state.shaft_w / state.input_w, "", within=0.004)


def test_largest_torque(printed: Check) -> None:
    peak = breakdown(FRICTIONLESS, 460.0)
    printed("slip of largest torque", 0.1963, peak.slip, "", within=0.002)
    printed("largest torque", 431.7, peak.torque_nm, "N m", within=4.3)


def test_rotor_resistance_that_starts_with_the_largest_torque(printed: Check) -> None:
    """0.8186 ohm added to the rotor: the largest torque at standstill."""
    added = FRICTIONLESS._replace(ri_ohm=0.2 + 0.8186)
    printed("starting torque", 431.7, locked_rotor(added, 460.0).torque_nm, "N m", within=4.3)
    for more in (0.95, 1.05):
        other = FRICTIONLESS._replace(ri_ohm=more * (0.2 + 0.8186))
        assert locked_rotor(other, 460.0).torque_nm < locked_rotor(added, 460.0).torque_nm
