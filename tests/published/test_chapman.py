"""Induction machines of a standard textbook.

S. J. Chapman: Electric Machinery Fundamentals, 4th edition, McGraw-Hill, 2005, examples 7-1, 7-3
and 7-5. Status: statement and parameters of 7-5, which are those of 7-3, seen in a public
collection of solved examples; results from memory, confidence high. The book finds the largest and
the starting torque with a Thevenin source and impedances rounded on the way; hence 1 to 3 %.
"""

import cmath
import math
from collections.abc import Callable

from ampwright.kernels.induction import (
    ABSENT_CAGE,
    InductionCircuit,
    sequence_state,
    synchronous_speed,
)
from ampwright.kernels.torque_curve import breakdown, locked_rotor

SLIP = 0.022
# 460 V, 25 hp, 60 Hz, four poles, wye; 1100 W of rotational losses, core loss among them
MOTOR = InductionCircuit(
    r1_ohm=0.641,
    x1_ohm=1.106,
    xm_ohm=26.3,
    ri_ohm=0.332,
    xi_ohm=0.464,
    ro_ohm=ABSENT_CAGE,
    xo_ohm=0.1,
    rc_ohm=1e12,
    friction_w=1100.0 / (1.0 - SLIP) ** 2,
    stray_w=0.0,
    rated_current_a=18.9,
    pole_pairs=2,
    frequency_hz=60.0,
    saturation=1.0,
)
FRICTIONLESS = MOTOR._replace(friction_w=0.0)
Check = Callable[..., None]


def test_example_7_1_speed_and_torque_of_ten_horsepower(printed: Check) -> None:
    """10 hp, 208 V, four poles, 5 % slip: 1800 and 1710 r/min, 41.7 N m."""
    synchronous = synchronous_speed(MOTOR)
    printed("synchronous speed", 1800.0, synchronous * 30.0 / math.pi, "r/min", within=0.01)
    printed("rotor speed", 1710.0, synchronous * 0.95 * 30.0 / math.pi, "r/min", within=0.01)
    printed("shaft torque", 41.7, 10.0 * 746.0 / (synchronous * 0.95), "N m", within=0.05)


def test_example_7_3_running(printed: Check) -> None:
    state = sequence_state(MOTOR, 460.0 / math.sqrt(3.0), 0.0, SLIP)
    printed("stator current", 18.88, abs(state.current1_a), "A", within=0.02)
    angle = math.degrees(cmath.phase(state.current1_a))
    printed("angle of the current", -33.6, angle, "degree", within=0.1)
    printed("input", 12530.0, state.input_w, "W", within=15.0)
    printed("stator copper loss", 685.0, state.stator_loss_w, "W", within=2.0)
    gap_w = state.air_gap_torque_nm * synchronous_speed(MOTOR)
    printed("air-gap power", 11845.0, gap_w, "W", within=15.0)
    printed("converted power", 11585.0, gap_w * (1.0 - SLIP), "W", within=15.0)
    printed("shaft power", 10485.0, state.shaft_w, "W", within=15.0)
    printed("induced torque", 62.8, state.air_gap_torque_nm, "N m", within=0.05)
    printed("load torque", 56.9, state.shaft_torque_nm, "N m", within=0.1)
    printed("efficiency", 0.837, state.shaft_w / state.input_w, "", within=0.001)


def test_example_7_5_largest_and_starting_torque(printed: Check) -> None:
    peak = breakdown(FRICTIONLESS, 460.0)
    printed("slip of largest torque", 0.198, peak.slip, "", within=0.005)
    printed("largest torque", 229.0, peak.torque_nm, "N m", within=3.0)
    start = locked_rotor(FRICTIONLESS, 460.0)
    printed("starting torque", 104.0, start.torque_nm, "N m", within=3.0)


def test_example_7_5_rotor_resistance_doubled(printed: Check) -> None:
    doubled = FRICTIONLESS._replace(ri_ohm=0.664)
    peak = breakdown(doubled, 460.0)
    printed("slip of largest torque", 0.396, peak.slip, "", within=0.01)
    printed("largest torque", 229.0, peak.torque_nm, "N m", within=3.0)
    printed("starting torque", 170.0, locked_rotor(doubled, 460.0).torque_nm, "N m", within=5.0)
