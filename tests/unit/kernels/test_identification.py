"""From plates of all kinds to circuits."""

import math
from typing import Any

import pytest

from ampwright.kernels.identification import Identified, identify, performance
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.rated_point import DIAGNOSTICS, RatedPoint, typical_table
from ampwright.kernels.torque_curve import (
    balanced_state,
    breakdown,
    locked_rotor,
    running_slip,
)
from ampwright.kernels.variants import relinked

FIVE: dict[str, Any] = {
    "power_w": 3728.5, "voltage_v": 230.0, "frequency_hz": 60.0, "speed_rpm": 1745.0,
}  # fmt: skip
# limits of NEMA MG 1 for 5 hp, four poles, design B (from memory)
LIMITS: dict[str, Any] = {
    "locked_rotor_limit_a": 92.0,
    "locked_rotor_torque_minimum_ratio": 1.85,
    "breakdown_torque_minimum_ratio": 2.25,
}
CATALOGUE: dict[str, Any] = {
    "current_a": 13.2,
    "efficiency": 0.875,
    "power_factor": 0.811,
    "locked_rotor_current_a": 84.0,
    "locked_rotor_torque_ratio": 2.13,
    "breakdown_torque_ratio": 2.97,
}


def codes(found: Identified) -> list[str]:
    return [doubt.code for doubt in found.diagnostics]


@pytest.mark.parametrize(
    "stated",
    [{}, {"current_a": 13.2}, {"current_a": 13.2, "efficiency": 0.875}, LIMITS, CATALOGUE],
)
def test_every_rung_meets_its_rated_point(stated: dict[str, Any]) -> None:
    found = identify(**FIVE, **stated)
    state = balanced_state(found.circuit, 230.0, 1.0 - 1745.0 / 1800.0)
    assert state.shaft_w == pytest.approx(3728.5, rel=1e-9)
    assert abs(state.current1_a) == pytest.approx(found.point.current_a, rel=1e-9)
    assert state.input_w == pytest.approx(3728.5 / found.point.efficiency, rel=1e-9)
    assert found.diagnostics == ()
    if "current_a" in stated:
        assert found.point.current_a == pytest.approx(13.2, rel=1e-12)


def test_catalogue_data_are_met_to_a_few_percent() -> None:
    found = identify(**FIVE, **CATALOGUE)
    locked, peak = locked_rotor(found.circuit, 230.0), breakdown(found.circuit, 230.0)
    rated_nm = 3728.5 / (2.0 * math.pi * 1745.0 / 60.0)
    assert locked.current_a == pytest.approx(84.0, rel=0.01)
    assert locked.torque_nm == pytest.approx(2.13 * rated_nm, rel=0.02)
    assert peak.torque_nm == pytest.approx(2.97 * rated_nm, rel=0.03)
    assert found.residual == max(map(abs, found.misses.values()))
    assert set(found.assumed) == {"no_load_current_a"}


def test_limits_are_kept_and_not_taken_for_test_data() -> None:
    """An independent fit of the same data, in six unknowns, found 84 A, 2.13, 2.97 and 6.6 A."""
    found = identify(**FIVE, current_a=13.2, **LIMITS)
    assert found.assumed["locked_rotor_current_a"] == pytest.approx(84.0, rel=0.03)
    assert found.assumed["locked_rotor_torque_ratio"] == pytest.approx(2.13, rel=0.06)
    assert found.assumed["breakdown_torque_ratio"] == pytest.approx(2.97, rel=0.03)
    assert found.assumed["no_load_current_a"] == pytest.approx(6.6, rel=0.03)
    assert found.assumed["locked_rotor_current_a"] < 92.0
    assert found.assumed["locked_rotor_torque_ratio"] > 1.85


def test_a_limit_that_bites_is_kept() -> None:
    tight = identify(**FIVE, current_a=13.2, locked_rotor_limit_a=60.0)
    assert tight.assumed["locked_rotor_current_a"] < 60.0 * 1.03
    high = identify(**FIVE, current_a=13.2, locked_rotor_torque_minimum_ratio=2.6)
    assert high.assumed["locked_rotor_torque_ratio"] > 2.6 * 0.97


def test_a_machine_is_found_again_from_its_own_data() -> None:
    """Circuit to catalogue data and back: the same torque and current at every speed."""
    true = InductionCircuit(
        0.42, 1.15, 19.0, 0.42, 1.05, 1.25, 0.575, 520.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8
    )  # fmt: skip
    slip = 0.028
    state = balanced_state(true, 230.0, slip)
    point = RatedPoint(
        state.shaft_w, 230.0, 60.0, 2, slip, abs(state.current1_a), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    )
    data = performance(true, point)
    found = identify(
        power_w=data["power_w"],
        voltage_v=230.0,
        frequency_hz=60.0,
        speed_rpm=1800.0 * (1.0 - slip),
        current_a=data["current_a"],
        efficiency=data["efficiency"],
        locked_rotor_current_a=data["locked_rotor_current_a"],
        locked_rotor_torque_ratio=data["locked_rotor_torque_ratio"],
        breakdown_torque_ratio=data["breakdown_torque_ratio"],
        no_load_current_a=data["no_load_current_a"],
    )
    assert found.diagnostics == ()
    for other in (0.001, 0.01, 0.028, 0.1, 0.3, 0.6, 1.0):
        one, two = (balanced_state(c, 230.0, other) for c in (true, found.circuit))
        assert abs(two.current1_a) == pytest.approx(abs(one.current1_a), rel=0.02)
        assert two.air_gap_torque_nm == pytest.approx(one.air_gap_torque_nm, rel=0.05)
    # the negative sequence, which no plate states
    one, two = (balanced_state(c, 230.0, 1.97) for c in (true, found.circuit))
    assert abs(two.current1_a) == pytest.approx(abs(one.current1_a), rel=0.02)


def test_every_usual_motor_comes_out_as_itself() -> None:
    """The table of usual values does not contradict itself: all of it fits one circuit."""
    for pairs, (logs, motors) in typical_table().items():
        for place, motor in zip(logs, motors, strict=True):
            power_w = math.exp(place)
            found = identify(power_w=power_w, voltage_v=400.0, frequency_hz=50.0, poles=2 * pairs)
            assert found.diagnostics == (), (pairs, power_w)
            ratio = found.assumed["locked_rotor_current_a"] / found.point.current_a
            assert ratio == pytest.approx(motor.locked_rotor_current_ratio, rel=0.1)
            for name in ("locked_rotor_torque_ratio", "breakdown_torque_ratio"):
                assert found.assumed[name] == pytest.approx(getattr(motor, name), rel=0.1)


def test_stating_what_would_be_supposed_changes_nothing() -> None:
    first = identify(power_w=2200.0, voltage_v=400.0, frequency_hz=50.0)
    names = ("speed_rpm", "current_a", "power_factor", "efficiency")
    rated: dict[str, Any] = {name: first.assumed[name] for name in names}
    again = identify(
        power_w=2200.0,
        voltage_v=400.0,
        frequency_hz=50.0,
        poles=4,
        **rated,
    )
    assert again.circuit == pytest.approx(first.circuit, rel=1e-6)


def test_volts_of_another_link_give_the_relinked_circuit() -> None:
    low = identify(**FIVE, **CATALOGUE)
    doubled = {**FIVE, "voltage_v": 460.0}
    halved = {**CATALOGUE, "current_a": 6.6, "locked_rotor_current_a": 42.0}
    high = identify(**doubled, **halved)
    assert high.circuit == pytest.approx(relinked(low.circuit, 2.0), rel=1e-6)


def test_two_speeds_are_two_motors() -> None:
    """A pole-changing motor, 1.5 / 0.75 kW at 2850 / 1410 r/min: one circuit for each speed."""
    fast = identify(power_w=1500.0, voltage_v=400.0, frequency_hz=50.0, speed_rpm=2850.0)
    slow = identify(power_w=750.0, voltage_v=400.0, frequency_hz=50.0, speed_rpm=1410.0)
    assert (fast.circuit.pole_pairs, slow.circuit.pole_pairs) == (1, 2)
    for found, power_w, speed in ((fast, 1500.0, 2850.0), (slow, 750.0, 1410.0)):
        torque_nm = power_w / (speed * math.pi / 30.0)
        slip = running_slip(found.circuit, 400.0, torque_nm)
        assert slip == pytest.approx(found.point.slip, abs=1e-9)


def test_fifty_and_sixty_hertz_of_one_slip_are_one_machine_per_unit() -> None:
    fifty = identify(power_w=2200.0, voltage_v=400.0, frequency_hz=50.0, speed_rpm=1425.0)
    sixty = identify(power_w=2200.0, voltage_v=400.0, frequency_hz=60.0, speed_rpm=1710.0)
    assert sixty.circuit[:12] == pytest.approx(fifty.circuit[:12], rel=1e-9)
    assert sixty.circuit.frequency_hz == 60.0


def test_measured_no_load_current_narrows_the_magnetising_band() -> None:
    plain, measured = identify(**FIVE), identify(**FIVE, no_load_current_a=6.0)
    assert measured.misses["no_load_current_a"] == pytest.approx(0.0, abs=0.1)
    for found, spread in ((plain, 0.20), (measured, 0.05)):
        assert found.low.xm_ohm == pytest.approx(found.circuit.xm_ohm * (1.0 - spread))
        assert found.high.xm_ohm == pytest.approx(found.circuit.xm_ohm * (1.0 + spread))


def test_tested_start_narrows_leakage_and_start_torque() -> None:
    plain, tested = identify(**FIVE), identify(**FIVE, **CATALOGUE)
    assert plain.start_torque_spread >= 0.35
    assert tested.start_torque_spread < plain.start_torque_spread
    assert tested.low.x1_ohm / tested.circuit.x1_ohm < plain.low.x1_ohm / plain.circuit.x1_ohm


@pytest.mark.parametrize(
    ("stated", "code"),
    [
        ({"current_a": 4.0}, "current-power"),
        ({"locked_rotor_current_a": 25.0, "breakdown_torque_ratio": 4.0}, "locked-rotor-current"),
        ({"locked_rotor_current_a": 84.0, "breakdown_torque_ratio": 1.2}, "breakdown-torque"),
        ({"locked_rotor_current_a": 60.0, "locked_rotor_torque_ratio": 6.0}, "locked-rotor-torque"),
        ({"current_a": 13.2, "efficiency": 0.875, "no_load_current_a": 1.5}, "no-load-current"),
        ({"breakdown_torque_ratio": 1.3, "locked_rotor_current_a": 40.0}, "breakdown-low"),
    ],
)
def test_what_does_not_fit_is_a_doubt(stated: dict[str, Any], code: str) -> None:
    found = identify(**FIVE, **stated)
    assert code in codes(found)
    assert set(codes(found)) <= set(DIAGNOSTICS)


def test_torque_rises_steadily_up_to_breakdown() -> None:
    for stated in ({}, CATALOGUE, LIMITS):
        circuit = identify(**FIVE, **stated).circuit
        top = breakdown(circuit, 230.0).slip
        torques = [
            balanced_state(circuit, 230.0, top * n / 20.0).shaft_torque_nm for n in range(20)
        ]
        assert torques == sorted(torques)


@pytest.mark.parametrize("name", ["locked_rotor_current_a", "breakdown_torque_ratio"])
def test_a_stated_value_of_zero_is_an_error(name: str) -> None:
    with pytest.raises(ValueError, match=name):
        identify(**{**FIVE, name: 0.0})


def test_no_numpy_is_needed() -> None:
    """The scalar driver gives plain Python numbers."""
    found = identify(**FIVE)
    assert all(type(value) in (float, int) for value in found.circuit)
