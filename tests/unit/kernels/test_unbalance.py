"""Unbalance: edges, inverse operations, refusals."""

import cmath
import math
import random

import pytest

from ampwright.kernels.unbalance import (
    TURN,
    SequenceComponents,
    deviation_unbalance,
    line_phasors,
    negative_sequence_unbalance,
    phase_values,
    phasor_unbalance,
    sequence_components,
)


def phasors(v2: float, angle: float) -> tuple[complex, complex, complex]:
    return phase_values(SequenceComponents(0.0, 1.0, cmath.rect(v2, angle)))


def test_balanced_is_exactly_zero() -> None:
    assert deviation_unbalance(231.0, 231.0, 231.0) == 0.0
    assert negative_sequence_unbalance(231.0, 231.0, 231.0) == 0.0


@pytest.mark.parametrize("v2", [1e-9, 1e-4, 0.02, 0.3, 0.95])
def test_magnitudes_alone_give_the_ratio_of_the_phasors(v2: float) -> None:
    for angle in (0.0, 0.7, 2.1, 4.0):
        a, b, c = phasors(v2, angle)
        lines = abs(a - b), abs(b - c), abs(c - a)
        found = negative_sequence_unbalance(*lines)
        assert found == pytest.approx(v2, rel=1e-6, abs=3e-16)
        assert phasor_unbalance(a, b, c) == pytest.approx(v2, rel=1e-12, abs=1e-15)
        assert phasor_unbalance(a - b, b - c, c - a) == pytest.approx(v2, rel=1e-12, abs=1e-15)


def test_a_flat_triangle_has_equal_sequences() -> None:
    assert negative_sequence_unbalance(230.0, 115.0, 115.0) == pytest.approx(1.0, abs=1e-7)


def test_components_and_phases_are_inverse() -> None:
    chance = random.Random(3)  # noqa: S311 - a sample, no secret
    for _ in range(200):
        abc = [cmath.rect(chance.uniform(0, 9), chance.uniform(0, 6.3)) for _ in range(3)]
        back = phase_values(sequence_components(*abc))
        assert all(abs(x - y) < 1e-14 for x, y in zip(abc, back, strict=True))


def test_positive_sequence_turns_a_b_c() -> None:
    parts = sequence_components(1.0, TURN**2, TURN)
    assert abs(parts.positive - 1.0) < 1e-15
    assert abs(parts.negative) < 1e-15


def test_a_phasor_common_to_all_changes_nothing() -> None:
    a, b, c = phasors(0.03, 1.0)
    shift = 0.4 - 0.2j
    assert phasor_unbalance(a + shift, b + shift, c + shift) == pytest.approx(0.03, abs=1e-15)


@pytest.mark.parametrize("factor", [1e-6, 0.1, 1e6])
def test_scale_and_order_do_not_matter(factor: float) -> None:
    lines = (228.0, 233.0, 241.0)
    turned = tuple(factor * one for one in (lines[1], lines[2], lines[0]))
    for ratio in (deviation_unbalance, negative_sequence_unbalance):
        assert ratio(*turned) == pytest.approx(ratio(*lines), rel=1e-12)


def test_line_phasors_close_and_turn_forward() -> None:
    ab, bc, ca = line_phasors(228.0, 233.0, 241.0)
    assert abs(ab + bc + ca) < 1e-12
    assert (abs(ab), abs(bc), abs(ca)) == pytest.approx((228.0, 233.0, 241.0), rel=1e-14)
    parts = sequence_components(ab, bc, ca)
    assert abs(parts.positive) > abs(parts.negative)
    expected = negative_sequence_unbalance(228.0, 233.0, 241.0)
    assert phasor_unbalance(ab, bc, ca) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("bad", [(-1.0, 230.0, 230.0), (math.nan, 1.0, 1.0), (0.0, 0.0, 0.0)])
def test_deviation_refuses(bad: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="magnitudes"):
        deviation_unbalance(*bad)


@pytest.mark.parametrize("bad", [(0.0, 1.0, 1.0), (1.0, 1.0, 2.5), (math.nan, 1.0, 1.0)])
def test_no_triangle_is_refused(bad: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="line voltages"):
        negative_sequence_unbalance(*bad)
    with pytest.raises(ValueError, match="line voltages"):
        line_phasors(*bad)


def test_no_positive_sequence_is_refused() -> None:
    with pytest.raises(ValueError, match="positive"):
        phasor_unbalance(0.0, 0.0, 0.0)
