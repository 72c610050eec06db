"""What goes into a machine comes out at the shaft or is lost, whatever the machine and its slip."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ampwright.kernels.induction import (
    InductionCircuit,
    SequenceState,
    braking_torque,
    branch,
    delta_currents,
    line_currents,
    sequence_state,
    synchronous_speed,
)

MACHINES = st.tuples(
    st.floats(0.001, 0.3),  # r1
    st.floats(0.01, 0.4),  # x1
    st.floats(0.5, 8.0),  # xm
    st.floats(0.001, 0.5),  # ri
    st.floats(0.01, 0.6),  # xi
    st.sampled_from((0.02, 0.1, 1.0, 1e9)),  # ro
    st.floats(0.005, 0.3),  # xo
    st.floats(5.0, 1000.0),  # rc
    st.floats(0.0, 0.1),  # friction
    st.floats(0.0, 0.1),  # stray
    st.integers(1, 8),  # pole pairs
)
SLIPS = st.floats(-1.0, 3.0)  # driven above synchronous speed, running, braking, backwards
PHASES = st.floats(-math.pi, math.pi)


def circuit(drawn: tuple[float, ...]) -> InductionCircuit:
    """Return a machine of 230 V and 10 A from values per unit."""
    impedances = (23.0 * value for value in drawn[:8])
    friction_w, stray_w = (6900.0 * value for value in drawn[8:10])
    rest = (friction_w, stray_w, 10.0, int(drawn[10]), 60.0, 0.8)
    return InductionCircuit(*impedances, *rest)


def unaccounted(state: SequenceState) -> float:
    """Return the power that is missing, over the largest power of the balance."""
    out = (
        state.shaft_w,
        state.stator_loss_w,
        state.rotor_loss_w,
        state.core_loss_w,
        state.friction_loss_w,
        state.stray_loss_w,
    )
    return abs(state.input_w - sum(out)) / max(map(abs, (state.input_w, *out)))


@pytest.mark.slow
@settings(max_examples=10_000, deadline=None)
@given(MACHINES, SLIPS, st.floats(0.0, 1.0), PHASES, st.floats(0.6, 1.0))
def test_power_in_is_shaft_and_losses(
    drawn: tuple[float, ...], slip: float, unbalance: float, phase: float, leakage: float
) -> None:
    machine = circuit(drawn)
    v2 = 230.0 * unbalance * complex(math.cos(phase), math.sin(phase))
    state = sequence_state(machine, 230.0, v2, slip, leakage, 1.0)
    assert unaccounted(state) < 1e-9
    losses = state[7:12]
    assert min(losses) >= 0.0
    terminal_w = 3.0 * (230.0 * state.current1_a.conjugate() + v2 * state.current2_a.conjugate())
    assert state.input_w == pytest.approx(terminal_w.real, rel=1e-9, abs=1e-9 * abs(terminal_w))
    assert abs(sum(line_currents(state.current1_a, state.current2_a))) < 1e-9 * abs(terminal_w)


@given(MACHINES, SLIPS)
def test_negative_sequence_alone_is_the_machine_backwards(
    drawn: tuple[float, ...], slip: float
) -> None:
    """Reversing the sequence and the direction of rotation changes nothing but signs of torque."""
    machine = circuit(drawn)
    forward = sequence_state(machine, 230.0, 0.0, slip)
    backward = sequence_state(machine, 0.0, 230.0, 2.0 - slip)
    assert backward.input_w == pytest.approx(forward.input_w, rel=1e-9)
    assert backward.air_gap_torque_nm == pytest.approx(-forward.air_gap_torque_nm, rel=1e-9)
    assert backward.shaft_w == pytest.approx(forward.shaft_w, rel=1e-9, abs=1e-6)


@given(MACHINES)
def test_at_synchronous_speed_the_rotor_carries_nothing(drawn: tuple[float, ...]) -> None:
    machine = circuit(drawn)
    state = sequence_state(machine, 230.0, 0.0, 0.0)
    assert branch(machine, 0.0).yr == 0.0
    assert state.rotor_loss_w == 0.0
    assert state.shaft_w == pytest.approx(
        -braking_torque(machine, 0.0, abs(state.current1_a)) * synchronous_speed(machine), rel=1e-9
    )


@given(MACHINES, st.floats(0.001, 1.0), st.floats(0.5, 2.0))
def test_torque_goes_with_the_square_of_the_voltage(
    drawn: tuple[float, ...], slip: float, ratio: float
) -> None:
    machine = circuit(drawn)
    one, two = (sequence_state(machine, v, 0.0, slip) for v in (230.0, 230.0 * ratio))
    assert two.air_gap_torque_nm == pytest.approx(one.air_gap_torque_nm * ratio**2, rel=1e-9)
    assert abs(two.current1_a) == pytest.approx(abs(one.current1_a) * ratio, rel=1e-9)


@given(PHASES, st.floats(0.0, 20.0), PHASES, st.floats(0.0, 20.0))
def test_lines_of_a_delta_are_differences_of_its_windings(
    phase1: float, size1: float, phase2: float, size2: float
) -> None:
    i1 = size1 * complex(math.cos(phase1), math.sin(phase1))
    i2 = size2 * complex(math.cos(phase2), math.sin(phase2))
    ab, bc, ca = delta_currents(i1, i2)
    lines = line_currents(i1, i2)
    for line, windings in zip(lines, (ab - ca, bc - ab, ca - bc), strict=True):
        assert line == pytest.approx(windings, abs=1e-12)
    assert abs(ab + bc + ca) < 1e-12
