"""Time-current bands over columns: trip times, and many profiles through one band or through many.

A band's thermal curves may hold columns, one entry a row; its point curves are shared by all rows.
A row that the scalar kernel refuses is not-a-number.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ampwright.kernels.columns.valid import Column, finite, kept, together
from ampwright.kernels.protection import INSTANT_S, Band, Passage, PointCurve, ThermalCurve


def stacked(bands: list[Band]) -> Band:
    """Return bands of heated bodies as one band of columns, a row for each.

    Raises:
        ValueError: One of them is a fuse's.
    """

    def edge(curves: list[ThermalCurve | PointCurve]) -> ThermalCurve:
        bodies = [curve for curve in curves if isinstance(curve, ThermalCurve)]
        if len(bodies) != len(curves):
            raise ValueError("bands of heated bodies wanted, got a fuse's")
        return ThermalCurve(*together(*np.transpose(bodies)))

    low, high = together([one.instant_low for one in bands], [one.instant_high for one in bands])
    return Band(
        name=", ".join(sorted({one.name for one in bands})),
        early=edge([one.early for one in bands]),
        late=edge([one.late for one in bands]),
        instant_low=low,
        instant_high=high,
    )


def trip_time_s(
    curve: ThermalCurve | PointCurve, multiple: ArrayLike, preload: ArrayLike
) -> Column:
    """Return ``protection.trip_time_s`` of each row."""
    load, before = together(multiple, preload)
    valid = (load >= 0.0) & (before >= 0.0)
    with np.errstate(all="ignore"):
        if isinstance(curve, ThermalCurve):
            level = np.square(curve.pickup)
            theta = np.minimum(before * before, level)
            time = curve.tau_s * np.log((load * load - theta) / (load * load - level))
            return kept(np.where(load * load <= level, np.inf, time), valid)
        marks, times = np.log(curve.multiples), np.log(curve.times_s)
        share = 1.0 - curve.hot * np.minimum(before, 1.0) ** 2
        along = np.interp(np.log(load), marks, times)
        beyond = times[-1] + 2.0 * (marks[-1] - np.log(load))
        time = share * np.exp(np.where(load >= curve.multiples[-1], beyond, along))
        return kept(np.where(load < curve.multiples[0], np.inf, time), valid)


def _curve_passage(
    curve: ThermalCurve | PointCurve,
    spans: NDArray[np.float64],
    loads: NDArray[np.float64],
    preload: NDArray[np.float64],
    then: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    if isinstance(curve, ThermalCurve):
        level = np.square(np.asarray(curve.pickup))
        state = preload * preload / level
    else:
        level, state = np.ones(()), np.zeros_like(preload)
    first, tripped = state, np.where(state >= 1.0, 0.0, np.inf)
    used, clock = state, np.zeros_like(preload)
    for span, load in zip(spans, loads, strict=True):
        if isinstance(curve, ThermalCurve):
            final = load * load / level
            after = final + (state - final) * np.exp(-span / curve.tau_s)
            inside = curve.tau_s * np.log((final - state) / (final - 1.0))
        else:
            after = state + span / trip_time_s(curve, load, preload)
            inside = (1.0 - state) / (after - state) * span
        tripped = np.where((after >= 1.0) & (tripped == np.inf), clock + inside, tripped)
        state, clock, used = after, clock + span, np.maximum(used, after)
    if isinstance(curve, ThermalCurve):
        left = trip_time_s(curve, then, np.sqrt(state * level))
    else:
        left = (1.0 - state) * trip_time_s(curve, then, preload)
    later = np.where(then > 0.0, clock + left, np.inf)
    used = np.where(first >= 1.0, first, used)
    return np.where(tripped == np.inf, later, tripped), used


def passage(
    band: Band,
    rating_a: ArrayLike,
    times_s: ArrayLike,
    currents_a: ArrayLike,
    *,
    preload_a: ArrayLike,
    asymmetry: ArrayLike,
    then_a: ArrayLike,
) -> Passage:
    """Return ``protection.passage`` of each row, a column in each field.

    Args:
        band: One for all rows, or ``stacked`` ones.
        rating_a: Rating of each row [A].
        times_s: Times, shape (points, rows) or (points, 1) [s].
        currents_a: Currents, the same shape [A].
        preload_a: Load before, of each row [A].
        asymmetry: Of each row.
        then_a: Load after, of each row [A].
    """
    times, currents, rating, ahead, factor, then = together(
        times_s, currents_a, rating_a, preload_a, asymmetry, then_a
    )
    rating, ahead, factor, then = rating[0], ahead[0], factor[0], then[0]
    spans, before, after = np.diff(times, axis=0), currents[:-1], currents[1:]
    valid = (
        np.all(spans >= 0.0, axis=0)
        & np.all(currents >= 0.0, axis=0)
        & finite(ahead, then)
        & (rating > 0.0)
        & (factor >= 1.0)
        & (factor <= 2.0)
    )
    with np.errstate(all="ignore"):
        loads = np.sqrt((before * before + before * after + after * after) / 3.0) / rating
        jumps = np.vstack([np.ones_like(rating)[np.newaxis], (spans == 0.0) & (after > before)])
        clock = times - times[0]
        felt = currents / rating * np.where(jumps > 0.0, factor, 1.0)
        instant = np.where(felt > band.instant_low, clock, np.inf).min(axis=0)
        certain = np.where(currents / rating >= band.instant_high, clock + INSTANT_S, np.inf)
        early, used = _curve_passage(band.early, spans, loads, ahead / rating, then / rating)
        late, _ = _curve_passage(band.late, spans, loads, ahead / rating, then / rating)
    first, last, share = together(
        kept(np.minimum(early, instant), valid),
        kept(np.minimum(late, certain.min(axis=0)), valid),
        kept(used, valid),
    )
    return Passage(first, last, share, valid & np.isfinite(instant) & (instant <= early))
