"""Laws of starting that every textbook on induction machines has (from memory).

Star-delta: a third of line current and torque. Two lines instead of three at standstill: the root
of three quarters of the current, no torque. Heat in the rotor of an unloaded start: the kinetic
energy that is gained. Run-up with Kloss's torque curve: closed formula for the time, shortest for a
breakdown slip of 0.407 when slip 0.05 counts as up. Peak of the first half period: 1.8 to 2.8 times
the steady rms current (seen in the scope of IEC 60034-12, editions 2016 and 2024).
"""

import math
from collections.abc import Callable

import pytest

from ampwright.kernels.balance import balancing_pair
from ampwright.kernels.identification import identify
from ampwright.kernels.induction import ABSENT_CAGE, InductionCircuit, branch, synchronous_speed
from ampwright.kernels.network import Legs, Rotor, capacitors, split_phase
from ampwright.kernels.run_up import course, run_up
from ampwright.kernels.starter import DIRECT, Shaft, star_delta
from ampwright.kernels.starting import Snapshot, locked_rotor
from ampwright.kernels.torque_curve import locked_rotor as locked_on_three
from ampwright.kernels.transient import transient

Check = Callable[..., None]
MOTOR = InductionCircuit(
    r1_ohm=0.5,
    x1_ohm=0.8,
    xm_ohm=21.0,
    ri_ohm=0.5,
    xi_ohm=1.1,
    ro_ohm=ABSENT_CAGE * 10.0,
    xo_ohm=0.5,
    rc_ohm=1e12,
    friction_w=0.0,
    stray_w=0.0,
    rated_current_a=13.0,
    pole_pairs=2,
    frequency_hz=60.0,
    saturation=1.0,
)
OMEGA = synchronous_speed(MOTOR)
STIFF = split_phase(240.0, 0j)
# an idler of a hundred thousand times the motor, with its balancing capacitors, holds the made leg
# as a three-phase supply would
GRID = Shaft(
    Rotor(
        MOTOR._replace(
            **{n: getattr(MOTOR, n) * 1e-5 for n in MOTOR._fields if n.endswith("_ohm")},
            rated_current_a=1.3e6,
        )
    ),
    1e4,
    1e-4,
)

PAIR = balancing_pair(branch(GRID.rotor.circuit, 1e-5).y, 60.0)
HELD = capacitors(0.0, PAIR.bc_f, PAIR.ca_f, 60.0)


def test_star_delta(printed: Check) -> None:
    motor = Shaft(Rotor(MOTOR), 0.06)
    star = locked_rotor(STIFF, HELD, (GRID,), motor, stage=star_delta(0.8, 9.0)[0]).at
    delta = locked_rotor(STIFF, HELD, (GRID,), motor).at
    torque = star.torque_nm / delta.torque_nm
    printed("torque, star over delta", 1.0 / 3.0, torque, "", within=1e-3)
    for leg, one, other in zip("ABC", star.line_current_a, delta.line_current_a, strict=True):
        printed(f"line current {leg}, star over delta", 1.0 / 3.0, one / other, "", within=1e-3)


def test_standing_on_two_lines(printed: Check) -> None:
    at = locked_rotor(STIFF, Legs(), (), Shaft(Rotor(MOTOR), 0.06)).at
    three = locked_on_three(MOTOR, 240.0).current_a
    printed(
        "locked current, two lines over three", math.sqrt(0.75), at.line_current_a[0] / three, "",
        within=1e-6,
    )  # fmt: skip
    printed("torque on two lines", 0.0, at.torque_nm, "N m", within=1e-9)


def test_heat_of_an_unloaded_start(printed: Check) -> None:
    inertia = 0.06
    start = run_up(STIFF, HELD, (GRID,), Shaft(Rotor(MOTOR), inertia))
    energy = 0.5 * inertia * OMEGA**2 * (1.0 - 0.05**2)
    ours = start.nominal.rotor_heat_j / energy
    printed("rotor heat over kinetic energy", 1.0, ours, "", within=0.01)


def kloss(breakdown_slip: float, inertia: float) -> float:
    """Return the time to slip 0.05 by the library, breakdown torque 100 N m, no load."""
    slips = [*(1.0 - 0.0025 * k for k in range(400)), 0.0]
    none = (0.0, 0.0, 0.0)
    points = [
        Snapshot(
            slip=slip,
            torque_nm=200.0 * slip * breakdown_slip / (slip**2 + breakdown_slip**2),
            braking_nm=0.0,
            load_nm=0.0,
            rotor_loss_w=0.0,
            line_current_a=none,
            source_current_a=(0.0, 0.0),
            line_v=none,
            made_leg_v=0.0,
            running_slips=(),
            running_current_a=(),
        )
        for slip in slips
    ]
    found = course(
        [points], (DIRECT,), Shaft(Rotor(MOTOR), inertia), squares_a2=[0.0] * len(points),
        breakaway_nm=0.0, edge=0.0,
    )  # fmt: skip
    return found.times_s[380]


@pytest.mark.parametrize("breakdown_slip", [0.1, 0.2, 0.407, 0.8])
def test_run_up_on_klosss_curve(breakdown_slip: float, printed: Check) -> None:
    """T = J w / (2 M) ((1 - s2) / (2 s_b) + s_b ln(1 / s)) with M the breakdown torque."""
    s = 0.05
    bracket = (1.0 - s * s) / (2.0 * breakdown_slip) + breakdown_slip * math.log(1.0 / s)
    wanted = 0.3 * OMEGA / 200.0 * bracket
    ours = kloss(breakdown_slip, 0.3)
    printed(f"run-up, breakdown at {breakdown_slip}", wanted, ours, "s", within=1e-3 * wanted)


def test_the_shortest_run_up(printed: Check) -> None:
    low, high = 0.2, 0.7
    for _ in range(40):
        left, right = low + (high - low) / 3.0, high - (high - low) / 3.0
        low, high = (left, high) if kloss(left, 0.3) > kloss(right, 0.3) else (low, right)
    printed("breakdown slip of the shortest run-up", 0.407, low, "", within=0.002)


@pytest.mark.parametrize(("power_w", "speed_rpm"), [(7500.0, 1450.0), (30000.0, 1475.0)])
def test_peak_of_the_first_half_period(power_w: float, speed_rpm: float) -> None:
    """At the worst instant of switching, on two lines, of motors known by their plate.

    Small motors have more resistance and stay below: 1.64 for 1.5 kW.
    """
    found = identify(power_w=power_w, voltage_v=230.0, frequency_hz=50.0, speed_rpm=speed_rpm)
    locked = Shaft(Rotor(found.circuit), 1e6)
    source = split_phase(230.0, 0.001 + 0.001j)
    ratios = []
    for k in range(8):
        start = transient(
            source, (0.0, 0.0, 0.0), (), locked, duration_s=0.4,
            switching_rad=k * math.pi / 8.0, saturating=False,
        )  # fmt: skip
        ratios.append(start.peak_line_a / start.periods[-1].line_current_a[0])
    assert 1.8 <= max(ratios) <= 2.8
    assert min(ratios) >= math.sqrt(2.0) - 0.02
