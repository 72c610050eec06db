"""Locked rotor, breakdown and running slip on balanced voltages."""

import math

import numpy as np
import pytest

from ampwright.kernels.induction import InductionCircuit, settled_leakage, synchronous_speed
from ampwright.kernels.torque_curve import (
    balanced_state,
    breakdown,
    locked_rotor,
    running_slip,
    shaft_torque,
)

DOUBLE = InductionCircuit(
    0.5, 1.2, 22.0, 0.45, 1.1, 1.4, 0.6, 500.0, 45.0, 40.0, 13.0, 2, 60.0, 0.8
)  # fmt: skip
SINGLE = DOUBLE._replace(ro_ohm=1e10, saturation=1.0)
STEEP = DOUBLE._replace(ri_ohm=3.0, ro_ohm=9.0)  # torque rises all the way to standstill
PHASE_V = 230.0 / math.sqrt(3.0)


def torque(circuit: InductionCircuit, slip: float) -> float:
    return shaft_torque(circuit, PHASE_V, slip, settled_leakage(circuit, PHASE_V, 0.0, slip))


@pytest.mark.parametrize("circuit", [DOUBLE, SINGLE])
def test_breakdown_is_the_highest_point_of_the_curve(circuit: InductionCircuit) -> None:
    slips = np.geomspace(0.003, 1.0, 20001)
    torques = [torque(circuit, float(slip)) for slip in slips]
    top = int(np.argmax(torques))
    peak = breakdown(circuit, 230.0)
    assert peak.torque_nm == pytest.approx(torques[top], rel=1e-6)
    assert peak.slip == pytest.approx(slips[top], rel=2e-3)
    assert peak.leakage == pytest.approx(
        settled_leakage(circuit, PHASE_V, 0.0, peak.slip), abs=1e-12
    )


def test_a_curve_that_rises_to_standstill_peaks_there() -> None:
    peak = breakdown(STEEP, 230.0)
    assert peak.slip == 1.0
    assert peak.torque_nm == pytest.approx(locked_rotor(STEEP, 230.0).torque_nm, rel=1e-12)


def test_locked_rotor_current_is_voltage_over_impedance() -> None:
    """Single cage, no saturation: the textbook's impedance at standstill."""
    rotor = complex(0.45, 1.1)
    impedance = complex(0.5, 1.2) + 22j * rotor / (22j + rotor)
    current = PHASE_V / impedance + PHASE_V / 500.0
    locked = locked_rotor(SINGLE, 230.0)
    assert locked.current_a == pytest.approx(abs(current), rel=1e-9)
    assert locked.power_factor == pytest.approx(current.real / abs(current), rel=1e-9)
    assert locked.leakage == 1.0
    rotor_a = abs(PHASE_V / impedance * 22j / (22j + rotor))
    speed = 2.0 * math.pi * 60.0 / 2.0
    assert locked.torque_nm == pytest.approx(3.0 * rotor_a**2 * 0.45 / speed, rel=1e-8)


def test_saturation_raises_locked_rotor_current_and_breakdown() -> None:
    straight = DOUBLE._replace(saturation=1.0)
    assert locked_rotor(DOUBLE, 230.0).current_a > 1.1 * locked_rotor(straight, 230.0).current_a
    assert breakdown(DOUBLE, 230.0).torque_nm > breakdown(straight, 230.0).torque_nm


def test_running_slip_carries_the_load() -> None:
    for load_nm in (0.0, 5.0, 20.0, 45.0):
        slip = running_slip(DOUBLE, 230.0, load_nm)
        assert slip is not None
        assert 0.0 < slip < breakdown(DOUBLE, 230.0).slip
        assert balanced_state(DOUBLE, 230.0, slip).shaft_torque_nm == pytest.approx(
            load_nm, abs=1e-9
        )


def test_no_slip_carries_more_than_the_breakdown_torque() -> None:
    most_nm = breakdown(DOUBLE, 230.0).torque_nm
    assert running_slip(DOUBLE, 230.0, 0.999 * most_nm) is not None
    assert running_slip(DOUBLE, 230.0, 1.001 * most_nm) is None


def test_less_voltage_runs_at_more_slip() -> None:
    slips = [running_slip(DOUBLE, line_v, 20.0) or 1.0 for line_v in (253.0, 230.0, 207.0, 180.0)]
    assert slips == sorted(slips)


def test_synchronous_speed_of_four_poles_at_sixty_hertz() -> None:
    assert synchronous_speed(DOUBLE) * 30.0 / math.pi == pytest.approx(1800.0)
