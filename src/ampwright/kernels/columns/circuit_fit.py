"""Many fits at once: the columnar driver of ``kernels.circuit_fit``."""

from typing import Any, NamedTuple

import numpy as np

from ampwright.kernels import circuit_fit
from ampwright.kernels.circuit_fit import (
    BOUNDS,
    DIFFERENCE,
    ENOUGH,
    FINISHED,
    FIRST_DAMPING,
    FIRST_ROUNDS,
    LOWERED,
    MOST_DAMPING,
    NEAR_PEAK,
    RAISED,
    ROUNDS,
    TRIFLE,
    Aims,
    Peak,
    Unit,
    first_peak,
    fitting_circuit,
    misfits,
    slopes_near,
    start_values,
)
from ampwright.kernels.columns.lanes import lane, put, take, widen
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.least_squares import (
    Curvature,
    damped_step,
    difference,
    displacement,
    dot,
    downhill,
    freedom,
    gauss_newton,
    moved,
    secant,
)

LOG: Any = np.log  # the formulas are typed for numbers
EXP: Any = np.exp


class Search(NamedTuple):
    """Where the fits stand: every leaf a column."""

    x: Any
    misfit: Any
    cost: Any
    damping: Any
    peak: Peak
    slopes: Any
    curvature: Curvature
    gradient: Any


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
        _, peak = misfits(unit, aims, x, peak, LOG)
    misfit, _ = misfits(unit, aims, x, peak, LOG)
    slopes = slopes_near(unit, aims, x, peak, misfit, LOG)
    cost = dot(misfit, misfit)
    damping = np.full_like(cost, FIRST_DAMPING)
    curvature, gradient = gauss_newton(slopes), downhill(slopes, misfit)
    return Search(x, misfit, cost, damping, peak, slopes, curvature, gradient)


def next_search(unit: Unit, aims: Aims, now: Search) -> tuple[Search, Any]:
    """Return the searches after one more round, and which of them have ended."""
    free = freedom(now.x, now.gradient, BOUNDS)
    step = damped_step(now.curvature, now.gradient, free, now.damping)
    trial = moved(now.x, step, BOUNDS, EXP)
    found, place = misfits(unit, aims, trial, now.peak, LOG)
    lower = dot(found, found)
    longest = np.abs(step).max(axis=0)
    done = longest < FINISHED
    worse: Any = ~done & (lower > now.cost * (1.0 + TRIFLE))
    damping = np.where(worse, RAISED * now.damping + FIRST_DAMPING, now.damping * LOWERED)
    followed = ~worse & ~done & (np.abs(place.slip / now.peak.slip - 1.0) > NEAR_PEAK)
    ended = done | (worse & (damping > MOST_DAMPING))
    x, peak = where(worse, now.x, trial), where(followed, place, now.peak)
    misfit, cost = where(worse, now.misfit, found), np.where(worse, now.cost, lower)
    if followed.any():
        again, _ = misfits(unit, aims, x, peak, LOG)
        misfit = where(followed, again, misfit)
        cost = np.where(followed, dot(misfit, misfit), cost)
    kept = worse | (~followed & (longest <= DIFFERENCE))
    slopes = now.slopes
    if not kept.all():
        slopes = where(kept, slopes, slopes_near(unit, aims, x, peak, misfit, LOG))
    gradient = where(worse, now.gradient, downhill(slopes, misfit))
    bent = difference(gradient, now.gradient)
    learnt = secant(now.curvature, displacement(now.x, x, LOG), bent)
    gained = lower < ENOUGH * now.cost
    curvature = where(gained, gauss_newton(slopes), learnt)
    curvature = where(worse, now.curvature, curvature)
    return Search(x, misfit, cost, damping, peak, slopes, curvature, gradient), ended


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
        As the scalar driver; the two agree to 1e-9 where the aims do not contradict each other,
        else to 1e-5. Lanes that take every round are handed to the scalar driver one by one, for
        on their way rounding can decide.

    Source:
        As the scalar driver.
    """
    search = first_search(unit, aims)
    lanes = len(np.asarray(search.cost))
    result: Any = widen(search.x, lanes)
    waiting = np.arange(lanes)
    own, wanted = unit, aims
    for _ in range(ROUNDS):
        search, ended = next_search(own, wanted, search)
        put(result, waiting, search.x)
        if ended.any():
            going = np.flatnonzero(~ended)
            own, wanted, search = take((own, wanted, search), going)
            waiting = waiting[going]
        if not waiting.size:
            return fitting_circuit(unit, *result)
    for one in waiting.tolist():
        put(result, one, circuit_fit.fitted_unknowns(*lane((unit, aims), one)))
    return fitting_circuit(unit, *result)
