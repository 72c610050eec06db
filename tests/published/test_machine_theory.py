"""Laws of the induction machine that are older than any book at hand.

Kloss's formula, Heyland's circle and the cages of a double-cage rotor, as every textbook on
induction machines has them (from memory; the double-cage figures as in B. L. Theraja and A. K.
Theraja, A Textbook of Electrical Technology, volume 2, number of the example not remembered). The
second pair of cages stands in a public collection of textbook solutions (FOSSEE Scilab textbook
companion 3745, example 1.54, page 398 of the book; seen).
"""

import math
from collections.abc import Callable

import pytest

from ampwright.kernels.induction import ABSENT_CAGE, InductionCircuit, branch
from ampwright.kernels.torque_curve import breakdown, shaft_torque

Check = Callable[..., None]
MACHINE = InductionCircuit(
    r1_ohm=0.0,
    x1_ohm=1.0,
    xm_ohm=30.0,
    ri_ohm=0.4,
    xi_ohm=1.0,
    ro_ohm=ABSENT_CAGE,
    xo_ohm=0.5,
    rc_ohm=1e12,
    friction_w=0.0,
    stray_w=0.0,
    rated_current_a=20.0,
    pole_pairs=2,
    frequency_hz=50.0,
    saturation=1.0,
)


@pytest.mark.parametrize("slip", [0.01, 0.05, 0.2, 0.5, 1.0, 1.5])
def test_kloss(slip: float, printed: Check) -> None:
    """Without stator resistance, torque over breakdown torque is 2 / (s / s_b + s_b / s)."""
    x_behind = 1.0 * 30.0 / 31.0 + 1.0  # stator leakage parallel to magnetising, plus rotor
    peak_slip = 0.4 / x_behind
    peak = breakdown(MACHINE, 400.0)
    printed("slip of breakdown", peak_slip, peak.slip, "", within=1e-3 * peak_slip)
    ours = shaft_torque(MACHINE, 400.0 / math.sqrt(3.0), slip) / peak.torque_nm
    kloss = 2.0 / (slip / peak_slip + peak_slip / slip)
    printed(f"torque at slip {slip}", kloss, ours, "", within=1e-5)


def test_heyland_circle() -> None:
    """With any stator resistance, the current of a single cage runs on a circle over the slip."""
    machine = MACHINE._replace(r1_ohm=0.7)
    a, b, c = (branch(machine, slip).y for slip in (0.0, 0.3, -0.6))
    w = (c - a) / (b - a)  # the circle through three points, seen from the first two
    centre = a + (b - a) * (abs(w) ** 2 - w) / (w.conjugate() - w)
    for slip in (-5.0, -1.0, -0.05, 0.02, 0.1, 1.0, 2.0, 50.0):
        distance = abs(branch(machine, slip).y - centre)
        assert distance == pytest.approx(abs(a - centre), rel=1e-7)


@pytest.mark.parametrize(
    ("inner_ohm", "outer_ohm", "slip", "ratio", "within"),
    [
        (0.4 + 2.0j, 2.0 + 0.4j, 1.0, 5.0, 1e-6),
        (0.4 + 2.0j, 2.0 + 0.4j, 0.05, 0.21, 0.005),
        (0.5 + 4.0j, 2.0 + 2.0j, 1.0, 8.0, 0.5),
        (0.5 + 4.0j, 2.0 + 2.0j, 0.05, 0.3, 0.05),
    ],
)
def test_torques_of_two_cages(
    inner_ohm: complex,
    outer_ohm: complex,
    slip: float,
    ratio: float,
    within: float,
    printed: Check,
) -> None:
    """Torque of the outer over that of the inner cage, from their impedances at standstill."""
    both = MACHINE._replace(
        ri_ohm=inner_ohm.real, xi_ohm=inner_ohm.imag, ro_ohm=outer_ohm.real, xo_ohm=outer_ohm.imag
    )
    inner = branch(both._replace(ro_ohm=1e12), slip).yr
    outer = branch(both._replace(ri_ohm=1e12), slip).yr
    assert branch(both, slip).yr == pytest.approx(inner + outer, rel=1e-9)
    printed(f"outer over inner, slip {slip}", ratio, outer.real / inner.real, "", within=within)
