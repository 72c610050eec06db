"""How a starter shows its machine to the lines."""

import math

import pytest

from ampwright.kernels.induction import InductionCircuit, branch
from ampwright.kernels.network import Legs
from ampwright.kernels.starter import (
    DIRECT,
    Stage,
    capacitor_start,
    connected,
    limited_ratio,
    rotor_resistance,
    soft,
    star_delta,
)

FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)


def test_direct_is_the_machine_itself() -> None:
    assert connected(FIVE, DIRECT, 1.0) == (FIVE, 1.0)


def test_in_star_line_current_and_torque_are_a_third() -> None:
    star = star_delta(0.8, 5.0)[0]
    seen, factor = connected(FIVE, star, star.voltage_ratio)
    assert abs(branch(seen, 0.4).y / branch(FIVE, 0.4).y) == pytest.approx(1.0 / 3.0)
    assert factor == pytest.approx(1.0)  # the torque of the circuit seen is a third already
    assert seen.rated_current_a == pytest.approx(13.0 / math.sqrt(3.0))


def test_phase_control_lowers_current_with_the_voltage_and_torque_with_its_square() -> None:
    seen, factor = connected(FIVE, soft(40.0)[0], 0.5)
    assert abs(branch(seen, 1.0).y / branch(FIVE, 1.0).y) == pytest.approx(0.5)
    assert factor == pytest.approx(0.5)  # times the half that the circuit seen has already


def test_resistance_goes_into_both_cages() -> None:
    seen, _ = connected(FIVE, Stage(rotor_ohm=1.5), 1.0)
    assert (seen.ri_ohm, seen.ro_ohm) == (1.92, 4.0)


def test_stages_follow_each_other() -> None:
    assert [s.rotor_ohm for s in rotor_resistance([2.0, 0.5], [0.4, 0.8])] == [2.0, 0.5, 0.0]
    start, run = capacitor_start(Legs(y_ca=0.1j), 0.75)
    assert start.until_speed == 0.75
    assert run == DIRECT
    assert [s.limited for s in (DIRECT, *soft(9.0), start)] == [False, True, False]
    with pytest.raises(ValueError, match="a speed for each"):
        rotor_resistance([1.0], [])


@pytest.mark.parametrize(
    ("lines", "ratio"),
    [((50.0, 90.0, 60.0), 0.4), ((20.0, 10.0, 20.0), 1.0), ((1.0, 1.0, 72.0), 0.5)],
)
def test_the_largest_line_decides_the_limit(
    lines: tuple[float, float, float], ratio: float
) -> None:
    assert limited_ratio(soft(60.0)[0], 0.6, lines) == pytest.approx(ratio)
