"""Many networks at once: the columnar driver of ``kernels.network``.

Sources, branches, circuits and loads are the same named tuples, with columns as fields; a field
that all lanes share may stay a number.
"""

from collections.abc import Sequence
from typing import cast

import numpy as np
from numpy.typing import NDArray

from ampwright.kernels import network
from ampwright.kernels.columns.lanes import count, join, lane, put, take, widen
from ampwright.kernels.legs import ConstantPower, Legs, Source
from ampwright.kernels.network import (
    CRAWL_SLIP,
    STEP_LEAST,
    STEP_SHARE,
    STEPS,
    TOLERANCE,
)
from ampwright.kernels.network_state import State, state_of
from ampwright.kernels.operating_point import (
    Frozen,
    Rotor,
    evaluate,
    first_slip,
    load_slope,
    load_torque,
    renewed,
    seen,
    torque_scale,
)
from ampwright.kernels.torque_slopes import eliminate, lead_of_lower_slips, torque_slopes

BLOCK = 4096  # lanes worked on together: their columns stay in a core's own cache
FIRST_STEPS = 7  # most lanes are done by then; the rest are gathered and go on alone

Column = NDArray[np.float64]
Given = tuple[Source, Legs, tuple[Rotor, ...], tuple[ConstantPower, ...]]


def solve(
    source: Source,
    legs: Legs,
    rotors: Sequence[Rotor],
    *,
    slips: Sequence[float | None] = (),
    constant_power: tuple[ConstantPower, ...] = (),
    guess: Sequence[float] = (),
) -> State:
    """Return the steady states of many networks with the same number of machines.

    Args:
        source: The single-phase supplies.
        legs: Capacitors, resistors and other linear branches.
        rotors: The machines, at least one.
        slips: Empty, or for each rotor the slips at which it is held, or None to let it turn.
        constant_power: Loads that hold their power; their places are shared by all lanes.
        guess: Slips to start from.

    Returns:
        One state whose every leaf is a column.

    Raises:
        ValueError: There is no rotor or no column, the columns differ in length, or a load stands
            at a place that does not exist.

    Accuracy:
        As the scalar driver; the two agree to 1e-9 over random networks. Lanes that stall are
        handed to the scalar driver one by one.

    Source:
        As ``kernels.network.solve``.
    """
    if not rotors:
        raise ValueError("wanted at least one rotor")
    network.check(legs, rotors, slips, constant_power)
    given = (source, legs, tuple(rotors), constant_power)
    start = (tuple(slips), tuple(guess))
    lanes = count(given, start)
    return join(
        [
            _block(take(given, part), *take(start, part), min(BLOCK, lanes - first))
            for first in range(0, lanes, BLOCK)
            for part in (slice(first, first + BLOCK),)
        ]
    )


def _block(
    given: Given,
    held_slips: tuple[float | None, ...],
    guess: tuple[float, ...],
    lanes: int,
) -> State:
    source, legs, rotors, loads = given
    fixed = held_slips or (None,) * len(rotors)
    first = guess or tuple(first_slip(source, rotor) for rotor in rotors)
    slips = widen(tuple(f if s is None else s for f, s in zip(first, fixed, strict=True)), lanes)
    held = widen(network.first_held(rotors, loads), lanes)
    residual, lost = np.full(lanes, np.inf), np.zeros(lanes, dtype=np.bool_)
    free = [i for i, slip in enumerate(fixed) if slip is None]
    with np.errstate(all="ignore"):  # lanes that go astray are found and solved one by one
        waiting = np.arange(lanes)
        for steps in (FIRST_STEPS, STEPS):
            found = _newton(take(given, waiting), take(slips, waiting), free,
                            take(held, waiting), steps)  # fmt: skip
            put(slips, waiting, found[0])
            put(held, waiting, found[1])
            residual[waiting], lost[waiting] = found[2], ~found[3]
            waiting = np.flatnonzero(lost)
            if not waiting.size:
                break
        state = state_of(source, legs, rotors, loads, slips, held, (False,) * len(rotors), 0.0)
    state = widen(state, lanes)
    put(state.residual, np.arange(lanes), residual)
    for i in waiting.tolist():
        alone = lane((given, held_slips, guess), i)
        (one_source, one_legs, one_rotors, one_loads), one_slips, one_guess = alone
        put(state, i, network.solve(one_source, one_legs, one_rotors, slips=one_slips,
                                    constant_power=one_loads, guess=one_guess))  # fmt: skip
    return state


def _newton(
    given: Given, start: tuple[float, ...], free: Sequence[int], held: Frozen, steps: int
) -> tuple[tuple[float, ...], Frozen, Column, NDArray[np.bool_]]:
    """Take the scalar driver's steps on every lane; return which of them arrived."""
    source, legs, rotors, loads = given
    slips = list(start)
    scales = [torque_scale(source, rotor.circuit) for rotor in rotors]
    before: tuple[list[float], list[float]] | None = None
    for step in range(steps + 1):
        branches, circuits = seen(rotors, legs, loads, held)
        point = evaluate(source, branches, circuits, slips, held.leakage)
        short = [
            point.machines[i].shaft_nm - load_torque(rotors[i].load, circuits[i], slips[i])
            for i in free
        ]
        shape = np.shape(slips[0])
        residual = np.zeros(shape)
        for r, i in zip(short, free, strict=True):
            residual = np.maximum(residual, abs(r) / scales[i])
        now, then = network.flat(held), network.flat(renewed(rotors, loads, point))
        drift = np.zeros(shape)
        for n, t in zip(now, then, strict=True):
            drift = np.maximum(drift, abs(t / n - 1.0))
        slopes = torque_slopes(source, circuits, slips, held.leakage, point) if free else []
        arrived = (residual < TOLERANCE) & (drift < TOLERANCE)
        for i in free:
            arrived &= np.asarray(slopes[i][i]) > 0.0
            if np.any(arrived & (slips[i] > CRAWL_SLIP)):
                lead = lead_of_lower_slips(circuits[i], point.at, slips[i], held.leakage[i])
                arrived &= (slips[i] <= CRAWL_SLIP) | (lead <= 1e-6)
        if step == steps or arrived.all():
            break
        rows = [[slopes[i][j] for j in free] for i in free]
        for row, i in enumerate(free):
            rows[row][row] = rows[row][row] - load_slope(rotors[i].load, circuits[i], slips[i])
        for i, move in zip(free, eliminate(rows, [-r for r in short]), strict=True):
            most = np.maximum(STEP_SHARE * abs(slips[i]), STEP_LEAST)
            slips[i] = slips[i] + np.clip(move, -most, most)
        if drift.any():
            held = _towards(held, now, then, before)
            before = (now, then)
    return tuple(slips), held, residual, arrived


def _towards(
    held: Frozen,
    now: list[float],
    then: list[float],
    before: tuple[list[float], list[float]] | None,
) -> Frozen:
    moved: list[float] = []
    for k, (n, t) in enumerate(zip(now, then, strict=True)):
        ahead = np.asarray(t - n)
        if before is not None:
            slope = np.clip((t - before[1][k]) / (n - before[0][k]), -2.0, 0.7)
            ahead = ahead / (1.0 - np.where(np.isnan(slope), 0.0, slope))
        moved.append(cast("float", n + ahead))
    return network.packed(held, moved)
