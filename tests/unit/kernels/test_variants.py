"""The same machine linked otherwise, at another frequency, at the edges of its band."""

import math

import pytest

from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.torque_curve import balanced_state, breakdown, locked_rotor
from ampwright.kernels.variants import at_frequency, band, relinked, scaled

MACHINE = InductionCircuit(
    0.5, 1.2, 22.0, 0.45, 1.1, 1.4, 0.6, 500.0, 45.0, 40.0, 13.0, 2, 60.0, 0.8
)  # fmt: skip


@pytest.mark.parametrize("ratio", [2.0, 0.5, math.sqrt(3.0)])
def test_relinked_for_another_voltage_is_the_same_machine(ratio: float) -> None:
    other = relinked(MACHINE, ratio)
    assert other.rated_current_a == pytest.approx(13.0 / ratio)
    for slip in (0.02, 0.3, 1.0):
        one, two = balanced_state(MACHINE, 230.0, slip), balanced_state(other, 230.0 * ratio, slip)
        assert two.shaft_w == pytest.approx(one.shaft_w, rel=1e-12)
        assert two.input_w == pytest.approx(one.input_w, rel=1e-12)
        assert abs(two.current1_a) == pytest.approx(abs(one.current1_a) / ratio, rel=1e-12)


def test_star_takes_a_third_of_the_current_and_torque_of_delta() -> None:
    """Star-delta start; without saturation, which would make it less than a third."""
    delta = MACHINE._replace(saturation=1.0)
    star = relinked(delta, math.sqrt(3.0))
    one, two = locked_rotor(delta, 400.0), locked_rotor(star, 400.0)
    assert two.current_a == pytest.approx(one.current_a / 3.0, rel=1e-12)
    assert two.torque_nm == pytest.approx(one.torque_nm / 3.0, rel=1e-12)


def test_volts_per_hertz_keep_the_breakdown_torque() -> None:
    """In a machine without stator resistance, core and stray loss, exactly."""
    ideal = MACHINE._replace(r1_ohm=0.0, rc_ohm=1e12, friction_w=0.0, stray_w=0.0, saturation=1.0)
    slower = at_frequency(ideal, 50.0)
    one, two = breakdown(ideal, 230.0), breakdown(slower, 230.0 * 50.0 / 60.0)
    assert two.torque_nm == pytest.approx(one.torque_nm, rel=1e-6)


def test_frequency_scales_reactances_and_keeps_resistances() -> None:
    other = at_frequency(MACHINE, 50.0)
    for name in ("x1_ohm", "xm_ohm", "xi_ohm", "xo_ohm"):
        assert getattr(other, name) == pytest.approx(getattr(MACHINE, name) * 50.0 / 60.0)
    for name in ("r1_ohm", "ri_ohm", "ro_ohm", "pole_pairs", "saturation", "rated_current_a"):
        assert getattr(other, name) == getattr(MACHINE, name)
    assert other.frequency_hz == 50.0
    assert other.friction_w < MACHINE.friction_w
    assert other.rc_ohm < MACHINE.rc_ohm  # at the same volts, more flux and more loss
    back = at_frequency(other, 60.0)
    assert back == pytest.approx(MACHINE)


def test_band_has_a_weak_and_a_strong_edge() -> None:
    low, high = band(MACHINE, 0.2, 0.15)
    assert low.xm_ohm == pytest.approx(22.0 * 0.8)
    assert high.x1_ohm == pytest.approx(1.2 * 0.85)
    peaks = [breakdown(c, 230.0).torque_nm for c in (low, MACHINE, high)]
    starts = [locked_rotor(c, 230.0) for c in (low, MACHINE, high)]
    assert peaks == sorted(peaks)
    assert starts == sorted(starts, key=lambda start: start.current_a)
    assert starts == sorted(starts, key=lambda start: start.torque_nm)
    idle = [abs(balanced_state(c, 230.0, 1e-4).current1_a) for c in (low, MACHINE, high)]
    assert idle == sorted(idle, reverse=True)


def test_scaled_by_base_values_and_back() -> None:
    assert scaled(scaled(MACHINE, 4.0, 9.0), 0.25, 1.0 / 9.0) == pytest.approx(MACHINE)
    assert scaled(MACHINE, 4.0, 9.0).rated_current_a == pytest.approx(13.0 * 1.5)
