"""Induction machines of a standard textbook.

A. E. Fitzgerald, C. Kingsley, S. D. Umans: Electric Machinery, 6th edition, McGraw-Hill, 2003,
examples 6.2, 6.3 and 9.2. Status: figures from memory, confidence high; the book was not at hand.
The tolerances are those of printing with three figures; where the book rounds on its way, wider
ones are named beside the check.
"""

import cmath
import math
from collections.abc import Callable

from ampwright.kernels.induction import (
    ABSENT_CAGE,
    InductionCircuit,
    branch,
    sequence_state,
    synchronous_speed,
)
from ampwright.kernels.single_phase_motor import MainWinding, main_winding_state
from ampwright.kernels.torque_curve import breakdown

SLIP = 0.02
PHASE_V = 220.0 / math.sqrt(3.0)
# 220 V, 60 Hz, six poles, wye; 403 W of friction, windage and core loss, independent of load:
# our friction torque goes with speed, so the loss at synchronous speed is set to give 403 W
MOTOR = InductionCircuit(
    r1_ohm=0.294,
    x1_ohm=0.503,
    xm_ohm=13.25,
    ri_ohm=0.144,
    xi_ohm=0.209,
    ro_ohm=ABSENT_CAGE,
    xo_ohm=0.1,
    rc_ohm=1e12,
    friction_w=403.0 / (1.0 - SLIP) ** 2,
    stray_w=0.0,
    rated_current_a=18.8,
    pole_pairs=3,
    frequency_hz=60.0,
    saturation=1.0,
)
Check = Callable[..., None]


def test_example_6_2_running_at_two_percent_slip(printed: Check) -> None:
    state = sequence_state(MOTOR, PHASE_V, 0.0, SLIP)
    speed_rpm = synchronous_speed(MOTOR) * (1.0 - SLIP) * 30.0 / math.pi
    printed("speed", 1176.0, speed_rpm, "r/min", within=0.5)
    printed("stator current", 18.8, abs(state.current1_a), "A", within=0.05)
    power_factor = math.cos(cmath.phase(state.current1_a))
    printed("power factor", 0.844, power_factor, "", within=0.002)
    gap_w = state.air_gap_torque_nm * synchronous_speed(MOTOR)
    printed("air-gap power", 5740.0, gap_w, "W", within=5.0)
    printed("shaft power", 5220.0, state.shaft_w, "W", within=5.0)
    printed("shaft torque", 42.4, state.shaft_torque_nm, "N m", within=0.05)
    # the book's input is that of its rounded current: 6060 W against 6050 W
    printed("efficiency", 0.861, state.shaft_w / state.input_w, "", within=0.003)


def test_example_6_3_torque_curve(printed: Check) -> None:
    for slip, current_a, torque_nm in ((0.03, 23.9, 65.5), (1.0, 150.0, 77.5)):
        one = branch(MOTOR, slip)
        load_a = abs(one.e * PHASE_V * one.yr)
        printed(f"load current at slip {slip}", current_a, load_a, "A", within=current_a / 400)
        state = sequence_state(MOTOR, PHASE_V, 0.0, slip)
        printed(f"torque at slip {slip}", torque_nm, state.air_gap_torque_nm, "N m", within=0.3)
    frictionless = MOTOR._replace(friction_w=0.0)
    peak = breakdown(frictionless, 220.0)
    printed("slip of largest torque", 0.192, peak.slip, "", within=0.0015)
    printed("largest torque", 175.0, peak.torque_nm, "N m", within=0.6)


def test_example_9_2_quarter_horsepower_single_phase_motor(printed: Check) -> None:
    """110 V, four poles; 24 W core loss and 13 W friction taken from the shaft, as in the book."""
    winding = MainWinding(
        r1_ohm=2.02,
        x1_ohm=2.79,
        xm_ohm=66.8,
        r2_ohm=4.12,
        x2_ohm=2.12,
        rc_ohm=1e12,
        friction_w=37.0 / 0.95**2,
        pole_pairs=2,
        frequency_hz=60.0,
    )
    state = main_winding_state(winding, 110.0, 0.05)
    printed("current", 3.59, abs(state.current_a), "A", within=0.02)
    printed("power factor", 0.62, math.cos(cmath.phase(state.current_a)), "", within=0.005)
    printed("shaft power", 147.0, state.shaft_w, "W", within=1.0)
    printed("shaft torque", 0.821, state.shaft_torque_nm, "N m", within=0.004)
    printed("efficiency", 0.602, state.shaft_w / state.input_w, "", within=0.004)
