"""Calibration of an idler by the leg voltages it makes."""

import pytest

from ampwright.kernels.calibration import Doubt, Readings, calibrate, corrected
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.legs import Legs, capacitors, split_phase
from ampwright.kernels.network import solve
from ampwright.kernels.operating_point import Rotor, main_flux

TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 0.8)
PLATE = split_phase(240.0, 0.06 + 0.05j)
REAL = split_phase(233.0, 0.06 + 0.05j)
LEGS = capacitors(0.0, 5e-5, 1.2e-4, 60.0)
SHARP = Doubt(0.01, 0.01, 10.0, 10.0)
USUAL = Doubt(0.5, 0.3, 0.2, 0.15)


def readings(circuit: InductionCircuit, legs: Legs, *, amps: bool) -> Readings:
    """Return what instruments would show at a machine that follows the equations."""
    state = solve(REAL, legs, (Rotor(circuit),))
    return Readings(*state.line_v, abs(state.source_a[0]) if amps else None)


@pytest.mark.parametrize("legs", [Legs(), LEGS])
@pytest.mark.parametrize("amps", [True, False])
@pytest.mark.parametrize(("magnetising", "leakage"), [(1.25, 0.85), (0.75, 1.2), (1.0, 1.0)])
def test_sharp_readings_give_the_machine_back(
    legs: Legs,
    amps: bool,  # noqa: FBT001 - from the table
    magnetising: float,
    leakage: float,
) -> None:
    real = corrected(TEN, magnetising, leakage)
    found = calibrate(PLATE, legs, Rotor(TEN), readings(real, legs, amps=amps), SHARP)
    assert found.accepted
    assert found.magnetising == pytest.approx(magnetising, rel=1e-5)
    assert found.leakage == pytest.approx(leakage, rel=1e-5)
    assert found.supply * 240.0 == pytest.approx(233.0, rel=1e-6)
    assert found.circuit.xm_ohm == pytest.approx(13.0 * magnetising, rel=1e-5)
    assert found.circuit.xi_ohm == pytest.approx(0.6 * leakage, rel=1e-5)


def test_usual_instruments_pull_the_model_towards_the_machine() -> None:
    real = corrected(TEN, 1.3, 0.9)
    told = readings(real, LEGS, amps=True)
    found = calibrate(PLATE, LEGS, Rotor(TEN), told, USUAL)
    assert found.accepted
    assert abs(found.magnetising / 1.3 - 1.0) < 2.0 * found.magnetising_sd < 0.1
    assert found.state.line_v == pytest.approx(told[:3], abs=0.5)
    blind = calibrate(PLATE, LEGS, Rotor(TEN), told._replace(supply_a=None), USUAL)
    assert blind.magnetising_sd > found.magnetising_sd  # the current adds knowledge


def test_the_saturated_iron_stays_as_it_was() -> None:
    iron = main_flux(132.0, 1.3, 1.75)
    state = solve(REAL, LEGS, (Rotor(corrected(TEN, 1.2, 1.0), main_flux=iron),))
    told = Readings(*state.line_v, abs(state.source_a[0]))
    found = calibrate(PLATE, LEGS, Rotor(TEN, main_flux=iron), told, SHARP)
    assert found.magnetising == pytest.approx(1.2, rel=1e-4)


def test_a_machine_outside_the_plausible_is_refused() -> None:
    real = corrected(TEN, 2.0, 1.0)
    found = calibrate(PLATE, LEGS, Rotor(TEN), readings(real, LEGS, amps=True), SHARP)
    assert not found.accepted
    assert "magnetising" in found.reasons
    assert found.circuit == TEN
    real = corrected(TEN, 1.0, 0.5)
    found = calibrate(PLATE, LEGS, Rotor(TEN), readings(real, LEGS, amps=True), SHARP)
    assert "leakage" in found.reasons


@pytest.mark.parametrize(
    "told",
    [
        Readings(240.0, 240.0, 100.0, None),  # a leg with a bad joint
        Readings(240.0, 300.0, 180.0, None),
        Readings(240.0, 215.0, 225.0, 90.0),  # a current that this machine cannot draw
    ],
)
def test_readings_of_no_such_machine_are_refused(told: Readings) -> None:
    found = calibrate(PLATE, Legs(), Rotor(TEN), told, USUAL)
    assert not found.accepted
    assert found.reasons
    assert found.circuit == TEN


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan")])
def test_readings_are_above_zero(value: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        calibrate(PLATE, LEGS, Rotor(TEN), Readings(240.0, value, 240.0, None), USUAL)
