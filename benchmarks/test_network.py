"""Networks: plain numbers against columns of length one, and columns against a loop.

Run with ``pytest benchmarks -s``. Both sides are timed in turn in one process, round by round; a
ratio is the median of the rounds' ratios.
"""

import gc
import statistics
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from ampwright.kernels import network
from ampwright.kernels.columns import network as columns
from ampwright.kernels.columns.lanes import lane, widen
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.legs import capacitors, split_phase
from ampwright.kernels.operating_point import LoadLaw, Rotor, evaluate

ROUNDS = 9
TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 0.8)
FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)
SOURCE = split_phase(240.0, 0.06 + 0.05j)
LEGS = capacitors(0.0, 5e-5, 1.94e-4, 60.0)
ROTORS = (Rotor(TEN), Rotor(FIVE, LoadLaw(constant_nm=18.0)), Rotor(FIVE, LoadLaw(square_nm=8.0)))


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


def test_one_evaluation_against_columns_of_length_one() -> None:
    circuits, slips, ones = [r.circuit for r in ROTORS], [0.001, 0.03, 0.02], [1.0, 1.0, 1.0]
    wide: Any = widen((SOURCE, LEGS, tuple(circuits), tuple(slips), tuple(ones)), 1)
    plain, numpy, ratio = compared(
        lambda: evaluate(SOURCE, LEGS, circuits, slips, ones), lambda: evaluate(*wide), (500, 50)
    )
    print(f"\none evaluation: {plain * 1e6:.1f} us, length one {numpy * 1e6:.0f} us, {ratio:.3f}")
    assert ratio < 0.2


def test_one_solve_against_columns_of_length_one() -> None:
    source, legs = widen((SOURCE, LEGS), 1)
    plain, numpy, ratio = compared(
        lambda: network.solve(SOURCE, LEGS, ROTORS),
        lambda: columns.solve(source, legs, ROTORS),
        (50, 5),
    )
    print(f"\none solve: {plain * 1e6:.0f} us, length one {numpy * 1e6:.0f} us, {ratio:.3f}")
    assert ratio < 0.2


def test_a_hundred_thousand_against_a_loop() -> None:
    lanes, alone = 100_000, 300
    random = np.random.default_rng(1)

    def spread(low: float, high: float) -> Any:  # noqa: ANN401 - a column as a number
        return random.uniform(low, high, lanes)

    given = (
        split_phase(spread(225.0, 255.0), spread(0.02, 0.2) + 1j * spread(0.02, 0.2)),
        capacitors(0.0, spread(0.0, 1.5e-4), spread(0.0, 2.5e-4), 60.0),
        (
            Rotor(TEN._replace(xm_ohm=spread(11.0, 15.0), x1_ohm=spread(0.4, 0.5))),
            Rotor(
                FIVE._replace(xm_ohm=spread(18.0, 24.0)),
                LoadLaw(constant_nm=spread(0.0, 20.0), square_nm=spread(0.0, 3.0)),
            ),
        ),
    )
    some = [lane(given, k) for k in range(alone)]

    def loop() -> None:
        for one in some:
            network.solve(*one)

    together, one_by_one, ratio = compared(lambda: columns.solve(*given), loop, (1, 1))
    ratio *= alone / lanes
    each, single = together / lanes * 1e6, one_by_one / alone * 1e6
    print(f"\nper network: columns {each:.2f} us, loop {single:.0f} us, {ratio:.4f}")
    assert ratio <= 0.06
