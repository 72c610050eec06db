"""The scalar and the columnar drivers of one machine agree over random machines."""

import math
import random

import numpy as np
import pytest

from ampwright.kernels import torque_curve
from ampwright.kernels.columns import induction as columns
from ampwright.kernels.induction import InductionCircuit, branch, sequence_state, settled_leakage

LANES = 300


def machine(chance: random.Random) -> InductionCircuit:
    """Return a random machine, usual or odd, with its base impedance between 0.5 and 50 ohm."""
    base_ohm = 10.0 ** chance.uniform(-0.3, 1.7)
    return InductionCircuit(
        r1_ohm=base_ohm * chance.uniform(0.005, 0.15),
        x1_ohm=base_ohm * chance.uniform(0.03, 0.3),
        xm_ohm=base_ohm * chance.uniform(0.7, 5.0),
        ri_ohm=base_ohm * chance.uniform(0.01, 0.2),
        xi_ohm=base_ohm * chance.uniform(0.03, 0.3),
        ro_ohm=base_ohm * chance.choice((chance.uniform(0.05, 0.5), 1e9)),
        xo_ohm=base_ohm * chance.uniform(0.02, 0.15),
        rc_ohm=base_ohm * chance.uniform(10.0, 100.0),
        friction_w=chance.uniform(0.0, 0.03) * 3.0 * 230.0**2 / base_ohm,
        stray_w=chance.uniform(0.0, 0.02) * 3.0 * 230.0**2 / base_ohm,
        rated_current_a=230.0 / base_ohm,
        pole_pairs=chance.choice((1, 2, 3, 4)),
        frequency_hz=chance.choice((50.0, 60.0)),
        saturation=chance.choice((1.0, 0.8, 0.7)),
    )


MACHINES = [machine(random.Random(seed)) for seed in range(LANES)]  # noqa: S311 - repeatable, no secret
COLUMNS = InductionCircuit._make(np.array(field) for field in zip(*MACHINES, strict=True))
LINE_V = 230.0 * math.sqrt(3.0)


def test_branch_and_state() -> None:
    slips = np.linspace(-0.5, 2.5, LANES)
    one = branch(COLUMNS, slips, 0.9)  # type: ignore[arg-type] # columns where it says float
    state = sequence_state(COLUMNS, 230.0, 20.0 + 5.0j, slips, 0.9, 0.95)  # type: ignore[arg-type] # likewise
    for i, circuit in enumerate(MACHINES):
        slip = float(slips[i])
        assert np.asarray(one.y)[i] == pytest.approx(branch(circuit, slip, 0.9).y, rel=1e-12)
        alone = sequence_state(circuit, 230.0, 20.0 + 5.0j, slip, 0.9, 0.95)
        largest = max(map(abs, alone))
        for column, value in zip(state, alone, strict=True):
            assert np.asarray(column)[i] == pytest.approx(value, rel=1e-9, abs=1e-12 * largest)


def test_settled_leakage() -> None:
    slips, v2 = np.linspace(0.0, 1.0, LANES), np.linspace(0.0, 60.0, LANES)
    found = columns.settled_leakage(COLUMNS, 230.0, v2, slips)
    expected = [
        settled_leakage(circuit, 230.0, float(v2[i]), float(slips[i]))
        for i, circuit in enumerate(MACHINES)
    ]
    np.testing.assert_allclose(found, expected, rtol=1e-9)


def test_locked_rotor_and_breakdown() -> None:
    locked, peak = columns.locked_rotor(COLUMNS, LINE_V), columns.breakdown(COLUMNS, LINE_V)
    np.testing.assert_allclose(
        np.transpose(locked), [torque_curve.locked_rotor(m, LINE_V) for m in MACHINES], rtol=1e-9
    )
    np.testing.assert_allclose(
        np.transpose(peak), [torque_curve.breakdown(m, LINE_V) for m in MACHINES], rtol=1e-9
    )


def test_running_slip_and_what_cannot_run() -> None:
    chance = np.random.default_rng(3)
    load_nm = np.array(columns.breakdown(COLUMNS, LINE_V).torque_nm) * chance.uniform(0, 1.1, LANES)
    found = columns.running_slip(COLUMNS, LINE_V, load_nm)
    expected = [
        torque_curve.running_slip(circuit, LINE_V, float(load_nm[i]))
        for i, circuit in enumerate(MACHINES)
    ]
    assert 0 < sum(slip is None for slip in expected) < LANES
    np.testing.assert_allclose(found, np.array(expected, dtype=np.float64), rtol=1e-9, atol=1e-12)


def test_balanced_state() -> None:
    slips = np.linspace(0.001, 1.0, LANES)
    found = columns.balanced_state(COLUMNS, LINE_V, slips)
    for i, circuit in enumerate(MACHINES):
        alone = torque_curve.balanced_state(circuit, LINE_V, float(slips[i]))
        largest = max(map(abs, alone))
        for column, value in zip(found, alone, strict=True):
            held = np.broadcast_to(np.asarray(column), (LANES,))[i]
            assert held == pytest.approx(value, rel=1e-9, abs=1e-11 * largest)
