"""Power in equals power out, and the made leg's currents sum to zero, over random networks."""

from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.properties.random_networks import draw

from ampwright.kernels.network import at_slips, solve
from ampwright.kernels.network_state import State

SEEDS = st.integers(min_value=0, max_value=2**40)
MANY = settings(
    max_examples=10_000, deadline=None, suppress_health_check=[HealthCheck.too_slow], database=None
)
FEWER = settings(MANY, max_examples=1000)


def assert_balanced(state: State) -> None:
    """Nothing is lost between the source and shafts, heat and loads."""
    for rotor in state.rotors:
        m = rotor.machine
        heat_w = m.stator_loss_w + m.rotor_loss_w + m.core_loss_w
        moved_w = m.friction_loss_w + m.stray_loss_w
        throughput_w = abs(m.input_w) + abs(m.shaft_w) + heat_w
        assert abs(m.input_w - m.shaft_w - heat_w - moved_w) <= 1e-9 * throughput_w
        assert min(m.stator_loss_w, m.rotor_loss_w, m.core_loss_w) >= 0.0
        assert min(m.friction_loss_w, m.stray_loss_w) >= 0.0
    spent_w = state.shaft_w + state.loss_w + state.linear_w + state.constant_va.real
    throughput_w = abs(state.input_va) + sum(abs(r.machine.shaft_w) for r in state.rotors)
    assert abs(state.input_va.real - spent_w) <= 1e-9 * throughput_w
    largest_a = max(max(r.line_a) for r in state.rotors)
    assert abs(state.made_leg_sum_a) <= 1e-9 * (largest_a + abs(state.source_a[0]))


@MANY
@given(SEEDS)
@pytest.mark.slow
def test_at_any_slips(seed: int) -> None:
    """Motoring, braking and generating."""
    drawn = draw(seed)
    random = Random(seed + 1)  # noqa: S311 - no secret
    slips = [random.uniform(-0.5, 2.5) for _ in drawn.rotors]
    if random.random() < 0.1:
        slips[0] = 0.0
    state = at_slips(drawn.source, drawn.legs, drawn.rotors, slips, constant_power=drawn.loads)
    assert_balanced(state)
    for rotor in state.rotors:
        reach = max(rotor.line_a)
        assert rotor.winding_star_a == pytest.approx(reach, rel=1e-12)
        # a line is the difference of two windings, a winding a third of the difference of two lines
        assert reach / 2.0 * (1 - 1e-9) <= rotor.winding_delta_a <= reach * 2.0 / 3.0 * (1 + 1e-9)


@FEWER
@given(SEEDS)
@pytest.mark.slow
def test_where_the_rotors_come_to_rest(seed: int) -> None:
    drawn = draw(seed)
    state = solve(drawn.source, drawn.legs, drawn.rotors, constant_power=drawn.loads)
    assert_balanced(state)
    assert state.residual < 1e-12
    for rotor, stalled in zip(state.rotors, state.stalled, strict=True):
        m = rotor.machine
        if rotor.slip == 1.0:
            assert stalled
            assert m.shaft_torque_nm < rotor.load_nm
        else:
            most = abs(m.shaft_torque_nm) + abs(rotor.load_nm) + abs(m.air_gap_torque_nm)
            assert abs(m.shaft_torque_nm - rotor.load_nm) <= 1e-9 * most
