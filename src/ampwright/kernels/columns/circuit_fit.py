"""Many fits at once: the columnar driver of ``kernels.circuit_fit``."""

from typing import Any, NamedTuple, cast

import numpy as np

from ampwright.kernels.circuit_fit import (
    BOUNDS,
    FINISHED,
    FIRST_DAMPING,
    FIRST_ROUNDS,
    FOLLOWED,
    MOST_DAMPING,
    RENEWED,
    ROUNDS,
    TRIFLE,
    Aims,
    Peak,
    Unit,
    damped_step,
    dot,
    first_peak,
    fitting_circuit,
    misfits,
    moved,
    nudged,
    slope,
    start_values,
    within,
)
from ampwright.kernels.columns.lanes import put, take, widen
from ampwright.kernels.induction import InductionCircuit


class Search(NamedTuple):
    """Where the fits stand: every leaf a column."""

    x: Any
    misfit: Any
    slopes: Any
    cost: Any
    damping: Any
    peak: Peak


def where(mask: Any, one: Any, other: Any) -> Any:  # noqa: ANN401 - columns and tuples of them
    """Return the tree *one* where the mask is set, else *other*."""
    if isinstance(one, tuple):
        leaves = [where(mask, a, b) for a, b in zip(one, other, strict=True)]
        return getattr(type(one), "_make", tuple)(leaves)
    return np.where(mask, one, other)


def first_search(unit: Unit, aims: Aims) -> Search:
    """Return where the fits begin."""
    x = start_values(unit, aims)
    peak = first_peak(unit, x)
    for _ in range(FIRST_ROUNDS):
        _, peak = misfits(unit, aims, x, peak, cast("Any", np.log))
    misfit, _ = misfits(unit, aims, x, peak, cast("Any", np.log))
    cost = dot(misfit, misfit)
    return Search(x, misfit, (misfit,) * len(x), cost, np.full_like(cost, FIRST_DAMPING), peak)


def next_search(unit: Unit, aims: Aims, now: Search, turn: int) -> tuple[Search, Any]:
    """Return the searches after one more round, and which of them have ended."""
    log: Any = np.log
    if turn <= FOLLOWED or turn % RENEWED == 0:
        near = (misfits(unit, aims, one, now.peak, log)[0] for one in nudged(now.x))
        now = now._replace(slopes=tuple(slope(one, now.misfit) for one in near))
    free = tuple(
        within(one, dot(column, now.misfit), *bounds)
        for one, column, bounds in zip(now.x, now.slopes, BOUNDS, strict=True)
    )
    step = damped_step(now.slopes, now.misfit, free, now.damping)
    trial = moved(now.x, step, cast("Any", np.exp))
    found, place = misfits(unit, aims, trial, now.peak, log)
    lower = dot(found, found)
    worse: Any = lower > now.cost * (1.0 + TRIFLE)
    changes = (np.abs(new / old - 1.0) for new, old in zip(trial, now.x, strict=True))
    change = np.maximum.reduce(list(changes))
    damping = np.where(worse, 10.0 * now.damping + FIRST_DAMPING, now.damping * 0.1)
    x = where(worse, now.x, trial)
    ended = worse & (damping > MOST_DAMPING)
    if turn < FOLLOWED:
        peak = where(worse, now.peak, place)
        misfit, _ = misfits(unit, aims, x, peak, log)
        return Search(x, misfit, now.slopes, dot(misfit, misfit), damping, peak), ended
    misfit, cost = where(worse, now.misfit, found), np.where(worse, now.cost, lower)
    ended = ended | (~worse & (change < FINISHED))
    return Search(x, misfit, now.slopes, cost, damping, now.peak), ended


def fit(unit: Unit, aims: Aims) -> InductionCircuit:
    """Return ``circuit_fit.fit`` of each lane.

    Args:
        unit: The rated points per unit.
        aims: What else the circuits should do.

    Returns:
        The circuits.

    Raises:
        ValueError: The columns differ in length.

    Accuracy:
        As the scalar driver; the two agree to 1e-9 where the aims do not contradict each other.
        Contradicting aims can lead over a kink on which rounding decides.

    Source:
        As the scalar driver.
    """
    search = first_search(unit, aims)
    lanes = len(np.asarray(search.cost))
    result: Any = widen(search.x, lanes)
    waiting = np.arange(lanes)
    own, wanted = unit, aims
    for turn in range(ROUNDS):
        search, ended = next_search(own, wanted, search, turn)
        put(result, waiting, search.x)
        if ended.any():
            going = np.flatnonzero(~ended)
            own, wanted, search = take((own, wanted, search), going)
            waiting = waiting[going]
        if not waiting.size:
            break
    return fitting_circuit(unit, *result)
