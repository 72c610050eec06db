"""The first peak of a switched current against the exact wave."""

import math

import pytest

from ampwright.kernels.inrush import asymmetry_factor, code_letter_current_a


def first_peak(power_factor: float) -> float:
    """Return the largest current of an R-L circuit switched at the worst angle, over its peak."""
    phi = math.acos(power_factor)
    decay = power_factor / math.sqrt(1.0 - power_factor**2)
    worst = 0.0
    for start in range(0, 180, 2):
        psi = math.radians(start)
        for step in range(400):
            angle = step * math.tau / 400
            steady = math.sin(angle + psi - phi)
            worst = max(worst, abs(steady - math.sin(psi - phi) * math.exp(-decay * angle)))
    return worst


@pytest.mark.parametrize("power_factor", [0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.7, 0.9])
def test_asymmetry_against_the_exact_wave(power_factor: float) -> None:
    assert asymmetry_factor(power_factor) == pytest.approx(first_peak(power_factor), rel=0.02)


def test_asymmetry_ends() -> None:
    assert asymmetry_factor(0.0) == 2.0
    assert asymmetry_factor(1.0) == 1.02
    with pytest.raises(ValueError, match="power factor"):
        asymmetry_factor(1.01)


def test_single_phase_takes_root_three_more() -> None:
    three = code_letter_current_a(5, 7.1, 230, phases=3)
    assert code_letter_current_a(5, 7.1, 230, phases=1) == pytest.approx(three * math.sqrt(3))
    with pytest.raises(ValueError, match="phases"):
        code_letter_current_a(5, 7.1, 230, phases=2)
