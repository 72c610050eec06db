"""What the columnar driver refuses, and what it leaves alone."""

from typing import Any

import numpy as np
import pytest

from ampwright.kernels.columns.network import BLOCK, solve
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.legs import ConstantPower, Legs, capacitors, split_phase
from ampwright.kernels.operating_point import LoadLaw, Rotor

TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 0.8)


def volts(lanes: int) -> Any:  # noqa: ANN401 - a column where kernels state a number
    return np.linspace(230.0, 250.0, lanes)


def test_more_lanes_than_a_block_give_each_lane_its_own_state() -> None:
    lanes = BLOCK + 10
    state = solve(split_phase(volts(lanes), 0.06 + 0.05j), Legs(), (Rotor(TEN),))
    line_v: Any = state.line_v[0]
    assert line_v.shape == (lanes,)
    assert np.all(np.diff(line_v) > 0.0)
    assert np.max(state.residual) < 1e-12


def test_the_callers_columns_are_not_written_to() -> None:
    e: Any = volts(5)
    farad: Any = np.full(5, 1e-4)
    torque: Any = np.array([0.0, 10.0, 20.0, 30.0, 400.0])
    guess: Any = np.full(5, 0.01)
    kept = [x.copy() for x in (e, farad, torque, guess)]
    state = solve(
        split_phase(e, 0.06 + 0.05j),
        capacitors(0.0, farad, farad, 60.0),
        (Rotor(TEN), Rotor(TEN, LoadLaw(constant_nm=torque))),
        constant_power=(ConstantPower("bc", 500.0 + 0.0 * e, 240.0),),
        guess=(0.001, guess),
    )
    for x, copy in zip((e, farad, torque, guess), kept, strict=True):
        assert np.array_equal(x, copy)
    assert list(np.asarray(state.stalled[1])) == [False, False, False, False, True]


def test_columns_that_cannot_be() -> None:
    source = split_phase(volts(3), 0.06 + 0.05j)
    with pytest.raises(ValueError, match="at least one rotor"):
        solve(source, Legs(y_c=1.0), ())
    with pytest.raises(ValueError, match="lengths"):
        solve(source, Legs(y_ab=volts(4)), (Rotor(TEN),))
    with pytest.raises(ValueError, match="one slip for each of 1"):
        solve(source, Legs(), (Rotor(TEN),), slips=(0.1, 0.1))
