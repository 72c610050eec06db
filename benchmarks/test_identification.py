"""Identification: plain numbers against a general least-squares solver, columns against a loop.

Run with ``pytest benchmarks -s``. Both sides are timed in turn in one process, round by round; a
ratio is the median of the rounds' ratios. The general solver is given the same machine, the same
formulas and the same data, in the textbook way: six unknowns in logarithms within bounds, four
starts, because no closed form takes the rated point out of the problem.
"""

import gc
import math
import statistics
import time
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from ampwright.kernels.columns import identification as columns
from ampwright.kernels.identification import identify
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.torque_curve import balanced_state, breakdown, locked_rotor

optimize = pytest.importorskip("scipy.optimize")

ROUNDS = 9
GOAL_SOLVER, GOAL_COLUMNS = 0.02, 0.06
PLATE: dict[str, Any] = {
    "power_w": 3728.5, "voltage_v": 230.0, "frequency_hz": 60.0, "speed_rpm": 1745.0,
    "current_a": 13.2, "efficiency": 0.875, "locked_rotor_current_a": 84.0,
    "locked_rotor_torque_ratio": 2.13, "breakdown_torque_ratio": 2.97,
}  # fmt: skip
SLIP = 1.0 - 1745.0 / 1800.0
# R1, X1, Xm, Ri, Xi, Ro over the base impedance: start and bounds
USUAL = np.log((0.03, 0.07, 2.0, 0.95 * SLIP, 0.12, 0.11))
LOW = np.log((0.005, 0.01, 0.7, 0.5 * SLIP, 0.01, 0.02))
HIGH = np.log((0.12, 0.3, 6.0, 2.5 * SLIP, 0.6, 1.0))


def seconds(work: Callable[[], object], times: int) -> float:
    """Return the mean time of *work* over *times* calls."""
    start = time.perf_counter()
    for _ in range(times):
        work()
    return (time.perf_counter() - start) / times


def compared(
    one: Callable[[], object], other: Callable[[], object], times: tuple[int, int]
) -> tuple[float, float, float]:
    """Return median seconds of both, and the median of their ratios."""
    one(), other()
    pairs = []
    for _ in range(ROUNDS):
        gc.collect()
        gc.disable()
        pairs.append((seconds(one, times[0]), seconds(other, times[1])))
        gc.enable()
    return (
        statistics.median(a for a, _ in pairs),
        statistics.median(b for _, b in pairs),
        statistics.median(a / b for a, b in pairs),
    )


def circuit_of(unknowns: np.ndarray[Any, Any]) -> InductionCircuit:
    """Return the circuit in ohms of six logarithms."""
    base = 230.0 / math.sqrt(3.0) / 13.2
    r1, x1, xm, ri, xi, ro = (base * math.exp(value) for value in unknowns.tolist())
    loss_w = 3728.5 * (1.0 / 0.875 - 1.0)
    return InductionCircuit(
        r1, x1, xm, ri, xi, ro, 0.5 * x1, 230.0**2 / (0.2 * loss_w), 0.012 * 3728.5,
        0.012 * 3728.5, 13.2, 2, 60.0, 0.8,
    )  # fmt: skip


def residuals(unknowns: np.ndarray[Any, Any]) -> list[float]:
    """Return the weighted misfits of the same data as ``PLATE`` states."""
    circuit = circuit_of(unknowns)
    state = balanced_state(circuit, 230.0, SLIP)
    locked, peak = locked_rotor(circuit, 230.0), breakdown(circuit, 230.0)
    rated_nm = 3728.5 / (2.0 * math.pi * 1745.0 / 60.0)
    cosine = state.input_w / (math.sqrt(3.0) * 230.0 * abs(state.current1_a))
    return [
        20.0 * math.log(max(state.shaft_w, 1.0) / 3728.5),
        20.0 * math.log(abs(state.current1_a) / 13.2),
        20.0 * (cosine - 3728.5 / (math.sqrt(3.0) * 230.0 * 13.2 * 0.875)),
        15.0 * math.log(max(state.shaft_w, 1.0) / state.input_w / 0.875),
        10.0 * math.log(locked.current_a / 84.0),
        5.0 * math.log(locked.torque_nm / (2.13 * rated_nm)),
        5.0 * math.log(peak.torque_nm / (2.97 * rated_nm)),
        *(0.05 * (unknowns - USUAL)),
    ]


def general_solver() -> Any:  # noqa: ANN401 - scipy says nothing of its types
    """Return the best of four starts."""
    random = np.random.default_rng(4)
    starts = [USUAL, *(USUAL + random.uniform(-0.3, 0.3, 6) for _ in range(3))]
    found = [
        optimize.least_squares(
            residuals, np.clip(start, LOW + 0.01, HIGH - 0.01), bounds=(LOW, HIGH)
        )
        for start in starts
    ]
    return min(found, key=lambda one: one.cost)


def test_against_a_general_solver() -> None:
    ours, theirs = identify(**PLATE).circuit, circuit_of(general_solver().x)
    for circuit in (ours, theirs):  # both have solved the same problem
        assert locked_rotor(circuit, 230.0).current_a == pytest.approx(84.0, rel=0.02)
        assert balanced_state(circuit, 230.0, SLIP).shaft_w == pytest.approx(3728.5, rel=0.01)
    own, general, ratio = compared(lambda: identify(**PLATE), general_solver, (20, 1))
    print(f"\none plate: {own * 1e3:.2f} ms, general solver {general * 1e3:.0f} ms, {ratio:.4f}")
    assert ratio < GOAL_SOLVER


def test_against_one_start_of_the_general_solver() -> None:
    def one_start() -> object:
        return optimize.least_squares(residuals, USUAL, bounds=(LOW, HIGH))

    own, general, ratio = compared(lambda: identify(**PLATE), one_start, (20, 3))
    print(f"\none plate: {own * 1e3:.2f} ms, one start {general * 1e3:.0f} ms, {ratio:.4f}")
    assert ratio < GOAL_SOLVER


def test_thousands_of_plates_against_a_loop() -> None:
    lanes, alone = 8192, 60
    random = np.random.default_rng(1)
    power_w = 200.0 * 200.0 ** random.random(lanes)
    current_a = power_w / (math.sqrt(3.0) * 400.0 * random.uniform(0.6, 0.75, lanes))
    given = {"power_w": power_w, "current_a": current_a}
    fixed: dict[str, Any] = {"voltage_v": 400.0, "frequency_hz": 50.0}

    def loop() -> None:
        for i in range(alone):
            one: dict[str, Any] = {name: float(column[i]) for name, column in given.items()}
            identify(**one, **fixed)

    batch, single, ratio = compared(lambda: columns.identify(**given, **fixed), loop, (1, 1))
    per_lane, per_plate = batch / lanes, single / alone
    ratio *= alone / lanes
    print(
        f"\na plate: {per_lane * 1e6:.0f} us in columns, {per_plate * 1e6:.0f} us alone, "
        f"{ratio:.4f}"
    )
    assert ratio < GOAL_COLUMNS
