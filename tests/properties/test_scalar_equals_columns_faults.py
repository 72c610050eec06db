"""Faults and calibrations: the scalar and the columnar driver agree."""

from typing import Any

import numpy as np
import pytest

from ampwright.kernels import calibration, faults
from ampwright.kernels.calibration import Doubt, Readings, corrected
from ampwright.kernels.columns import calibration as column_calibration
from ampwright.kernels.columns import faults as column_faults
from ampwright.kernels.columns.lanes import lane
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.legs import PLACES, Source, capacitors, split_phase
from ampwright.kernels.network import solve
from ampwright.kernels.operating_point import LoadLaw, Rotor

LANES = 40
TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 0.8)
FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)


def spread(low: float, high: float, seed: int) -> Any:  # noqa: ANN401 - a column as a number
    return np.random.default_rng(seed).uniform(low, high, LANES)


def supply() -> Source:
    return split_phase(spread(220.0, 250.0, 1), spread(0.02, 0.3, 2) + 1j * spread(0.02, 0.3, 3))


@pytest.mark.parametrize("place", PLACES)
def test_faults(place: str) -> None:
    source, path = supply(), spread(0.0, 1.0, 4)
    path[:5] = 0.0
    legs = capacitors(0.0, spread(0.0, 1e-4, 5), spread(0.0, 2e-4, 6), 60.0)
    rotors = (
        Rotor(corrected(TEN, spread(0.8, 1.2, 7), spread(0.8, 1.2, 8))),
        Rotor(FIVE, LoadLaw(square_nm=spread(0.0, 20.0, 9))),
    )
    together = column_faults.fault_current(source, legs, rotors, place, path)
    for k in range(LANES):
        one_source, one_legs, one_rotors, one_path = lane((source, legs, rotors, path), k)
        alone = faults.fault_current(one_source, one_legs, one_rotors, place, one_path)
        found = lane(together, k)
        assert found.at_speed_a == pytest.approx(alone.at_speed_a, rel=1e-9)
        assert found.settled_a == pytest.approx(alone.settled_a, rel=1e-9)
        assert found.smallest_a == pytest.approx(alone.smallest_a, rel=1e-9)
        assert found.open_v == pytest.approx(alone.open_v, rel=1e-9)
        assert found.source_ohm == pytest.approx(alone.source_ohm, rel=1e-9)
        assert found.stalled == alone.stalled


@pytest.mark.parametrize("amps", [True, False])
def test_calibrations(amps: bool) -> None:  # noqa: FBT001 - from the table
    source = supply()
    legs = capacitors(0.0, spread(0.0, 1e-4, 5), spread(0.0, 2e-4, 6), 60.0)
    told = []
    factors = list(zip(spread(0.5, 1.8, 10), spread(0.5, 1.8, 11), strict=True))
    for k, (magnetising, leakage) in enumerate(factors):
        one_source, one_legs = lane((source, legs), k)
        real = solve(one_source, one_legs, (Rotor(corrected(TEN, magnetising, leakage)),))
        told.append((*real.line_v, abs(real.source_a[0])))
    columns: Any = np.array(told).T
    readings = Readings(columns[0], columns[1], columns[2], columns[3] if amps else None)
    doubt = Doubt(0.5, 0.3, 0.2, 0.15)
    fitted, accepted = column_calibration.calibrate(source, legs, Rotor(TEN), readings, doubt)
    assert 0 < accepted.sum() < LANES
    for k in range(LANES):
        one_source, one_legs, one_readings = lane((source, legs, readings), k)
        alone = calibration.calibrate(one_source, one_legs, Rotor(TEN), one_readings, doubt)
        found = lane(fitted, k)
        assert accepted[k] == alone.accepted
        assert found.factors[0] == pytest.approx(alone.magnetising, rel=1e-9)
        assert found.factors[1] == pytest.approx(alone.leakage, rel=1e-9)
        assert found.magnetising_sd == pytest.approx(alone.magnetising_sd, rel=1e-9)
        assert found.misfit == pytest.approx(alone.misfit, rel=1e-9, abs=1e-9)


def test_columns_of_readings_are_above_zero() -> None:
    readings = Readings(spread(230.0, 240.0, 1), spread(-1.0, 1.0, 2), spread(1.0, 2.0, 3), None)
    with pytest.raises(ValueError, match="above zero"):
        column_calibration.calibrate(
            supply(), capacitors(0, 0, 0, 60.0), Rotor(TEN), readings, Doubt(0.5, 0.3, 0.2, 0.15)
        )
