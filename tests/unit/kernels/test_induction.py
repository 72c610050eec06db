"""The circuit of an induction machine."""

import cmath
import math

import numpy as np
import pytest

from ampwright.kernels.induction import (
    ABSENT_CAGE,
    TURN,
    InductionCircuit,
    braking_torque,
    branch,
    delta_currents,
    leakage_factor,
    line_currents,
    sequence_state,
    settled_leakage,
    synchronous_speed,
)

MACHINE = InductionCircuit(
    r1_ohm=0.5,
    x1_ohm=1.2,
    xm_ohm=22.0,
    ri_ohm=0.45,
    xi_ohm=1.1,
    ro_ohm=1.4,
    xo_ohm=0.6,
    rc_ohm=500.0,
    friction_w=45.0,
    stray_w=40.0,
    rated_current_a=13.0,
    pole_pairs=2,
    frequency_hz=60.0,
    saturation=0.8,
)


def test_branch_is_the_circuit_drawn_on_paper() -> None:
    """Impedances in series and parallel, written the long way."""
    slip = 0.04
    inner, outer = complex(0.45 / slip, 1.1 * 0.9), complex(1.4 / slip, 0.6 * 0.9)
    rotor = inner * outer / (inner + outer)
    gap = 22.0j * rotor / (22.0j + rotor)
    stator = complex(0.5, 1.2 * 0.9)
    one = branch(MACHINE, slip, 0.9)
    assert one.y == pytest.approx(1.0 / (stator + gap) + 1.0 / 500.0, rel=1e-12)
    assert one.e == pytest.approx(gap / (stator + gap), rel=1e-12)
    assert one.zr == pytest.approx(rotor, rel=1e-12)


def test_branch_at_synchronous_speed_has_no_rotor() -> None:
    one = branch(MACHINE, 0.0)
    assert one.yr == 0.0
    assert one.y == pytest.approx(1.0 / complex(0.5, 23.2) + 1.0 / 500.0, rel=1e-12)


def test_a_single_cage_is_a_second_cage_of_very_large_resistance() -> None:
    single = MACHINE._replace(ro_ohm=ABSENT_CAGE * 10.0)
    for slip in (0.01, 0.1, 1.0, 1.99):
        assert branch(single, slip).zr == pytest.approx(complex(0.45 / slip, 1.1), rel=1e-9)


@pytest.mark.parametrize(
    ("over_rated", "factor"),
    [
        (0.0, 1.0),
        (1.0, 1.0),
        (1.75, 1.0),
        (3.0, 0.95),
        (4.0, 0.9),
        (5.0, 0.85),
        (6.25, 0.8),
        (9, 0.8),
    ],
)
def test_leakage_falls_in_a_line_from_two_to_six_times_rated(
    over_rated: float, factor: float
) -> None:
    assert leakage_factor(MACHINE, 13.0 * over_rated) == pytest.approx(factor, abs=1e-12)


def test_leakage_has_no_kink() -> None:
    currents = np.linspace(0.0, 100.0, 20001)
    factors = np.array([leakage_factor(MACHINE, float(current)) for current in currents])
    slopes = np.diff(factors) / np.diff(currents)
    assert slopes.max() < 1e-12
    assert np.abs(np.diff(slopes)).max() < 1e-2 * np.abs(slopes).max()


def test_leakage_without_saturation_is_one() -> None:
    assert leakage_factor(MACHINE._replace(saturation=1.0), 200.0) == 1.0


def test_settled_leakage_agrees_with_its_current() -> None:
    for slip, v2 in ((0.02, 0.0), (0.3, 30.0), (1.0, 0.0), (1.0, 100.0)):
        factor = settled_leakage(MACHINE, 132.8, v2, slip)
        state = sequence_state(MACHINE, 132.8, v2, slip, factor, factor)
        rms_a = math.hypot(abs(state.current1_a), abs(state.current2_a))
        assert leakage_factor(MACHINE, rms_a) == pytest.approx(factor, abs=1e-10)


def test_torque_and_its_ripple_are_those_of_flux_and_current_in_time() -> None:
    """Torque from instantaneous space vectors, over one period of the supply."""
    v1, v2, slip = 130.0 * cmath.exp(0.3j), 21.0 * cmath.exp(-1.1j), 0.035
    state = sequence_state(MACHINE, v1, v2, slip)
    omega = 2.0 * math.pi * 60.0
    one, two = branch(MACHINE, slip), branch(MACHINE, 2.0 - slip)
    root2 = math.sqrt(2.0)
    flux1, flux2 = (root2 * b.e * v / (1j * omega) for b, v in ((one, v1), (two, v2)))
    load1, load2 = state.current1_a - v1 / 500.0, state.current2_a - v2 / 500.0
    torques = []
    for n in range(400):
        turn = cmath.exp(2j * math.pi * n / 400)
        flux = flux1 * turn + (flux2 * turn).conjugate()
        current = root2 * (load1 * turn + (load2 * turn).conjugate())
        torques.append(1.5 * 2 * (flux.conjugate() * current).imag)
    assert sum(torques) / 400 == pytest.approx(state.air_gap_torque_nm, rel=1e-9)
    assert (max(torques) - min(torques)) / 2.0 == pytest.approx(state.ripple_torque_nm, rel=1e-4)


def test_braking_turns_round_with_the_rotor_and_vanishes_at_standstill() -> None:
    assert braking_torque(MACHINE, 1.0, 80.0) == 0.0
    assert braking_torque(MACHINE, 1.5, 20.0) == pytest.approx(
        -braking_torque(MACHINE, 0.5, 20.0), rel=1e-12
    )
    rated = braking_torque(MACHINE, 0.0, 13.0)
    assert rated * synchronous_speed(MACHINE) == pytest.approx(45.0 + 40.0, rel=1e-12)


def test_line_currents_of_one_sequence() -> None:
    a, b, c = line_currents(10.0, 0.0)
    assert (a, b, c) == pytest.approx((10.0, 10.0 / TURN, 10.0 * TURN))
    a, b, c = line_currents(0.0, 10.0)
    assert (a, b, c) == pytest.approx((10.0, 10.0 * TURN, 10.0 / TURN))


def test_the_worst_winding_of_a_delta_is_not_the_worst_line() -> None:
    i1, i2 = 10.0 + 0.0j, 3.0 * cmath.exp(1j * math.pi / 3.0)
    worst_line = max(map(abs, line_currents(i1, i2)))
    worst_winding = max(map(abs, delta_currents(i1, i2)))
    assert worst_winding == pytest.approx(13.0 / math.sqrt(3.0))
    assert worst_line == pytest.approx(math.hypot(10.0 + 1.5, 1.5 * math.sqrt(3.0)))
    assert sum(abs(i) ** 2 for i in delta_currents(i1, i2)) == pytest.approx(109.0)


def test_balanced_delta_currents_are_the_lines_over_root_three() -> None:
    for current in delta_currents(10.0, 0.0):
        assert abs(current) == pytest.approx(10.0 / math.sqrt(3.0))


def test_a_reactance_ahead_does_not_saturate() -> None:
    """With leakage at 0.8 only the machine's own falls: the impedance at a locked rotor by hand."""
    ahead = MACHINE._replace(series_ohm=0.3, xm_ohm=1e12, rc_ohm=1e12, ro_ohm=1e12)
    wanted = (
        MACHINE.r1_ohm + MACHINE.ri_ohm
        + 1j * (0.3 + 0.8 * (MACHINE.x1_ohm + MACHINE.xi_ohm))
    )  # fmt: skip
    assert 1 / branch(ahead, 1.0, 0.8).y == pytest.approx(wanted, rel=1e-9)


def test_a_reactance_ahead_stands_for_one_between_lines_and_motor() -> None:
    """The currents of the machine alone at the voltage that the reactance leaves it."""
    ahead = MACHINE._replace(series_ohm=0.3, rc_ohm=1e12)
    alone = MACHINE._replace(rc_ohm=1e12)
    for slip, leakage in ((1.0, 0.8), (0.03, 1.0)):
        seen, own = branch(ahead, slip, leakage).y, branch(alone, slip, leakage).y
        assert 1 / seen == pytest.approx(1 / own + 0.3j, rel=1e-9)
