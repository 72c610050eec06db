"""Many run-ups at once: the columnar driver of ``kernels.run_up``."""

from collections.abc import Sequence
from typing import NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from ampwright.kernels.columns.lanes import count, join, take, widen
from ampwright.kernels.columns.starting import curve
from ampwright.kernels.induction import synchronous_speed
from ampwright.kernels.network import ConstantPower, Legs, Source
from ampwright.kernels.run_up import (
    ALIKE,
    ARRIVED,
    OF_SETTLED,
    SLOWEST_RUNNING,
    Course,
    RunUp,
    checked_stages,
)
from ampwright.kernels.starter import DIRECT, Shaft, Stage
from ampwright.kernels.starting import LEAST_BAND, Snapshot, breakaway_torque, checked_band

BLOCK = 4096  # lanes worked on together

Column = NDArray[np.float64]


def leaf(column: Column) -> float:
    """Return a column as a leaf of a record, whose fields are declared as numbers."""
    return cast("float", column)


def run_up(
    source: Source,
    legs: Legs,
    running: Sequence[Shaft],
    starter: Shaft,
    *,
    stages: Sequence[Stage] = (DIRECT,),
    constant_power: tuple[ConstantPower, ...] = (),
    torque_band: float = LEAST_BAND,
) -> RunUp:
    """Return many run-ups; every leaf of the record is a column.

    Args:
        source: The single-phase supplies.
        legs: Permanent branches between the legs.
        running: The machines that already turn, as many in every lane.
        starter: The machines that start.
        stages: As for one machine; the speeds at which they end are shared by all lanes.
        constant_power: Loads that hold their power.
        torque_band: As for one machine, shared by all lanes.

    Returns:
        The scalar driver's record.

    Raises:
        ValueError: The band is too narrow, the stages do not lead to full speed, an inertia is
            not above zero, or no field is a column of the common length.

    Accuracy:
        As the scalar driver; the two agree to 1e-9 over random starts.

    Source:
        As ``kernels.run_up.run_up``.
    """
    checked_band(torque_band)
    checked_stages(stages)
    if not np.all(np.asarray(starter.inertia_kg_m2) > 0.0):
        raise ValueError("wanted inertias above zero")
    given = (source, legs, tuple(running), starter, tuple(stages), constant_power)
    lanes = count(given)
    blocks = [
        _block(take(given, slice(first, first + BLOCK)), min(BLOCK, lanes - first), torque_band)
        for first in range(0, lanes, BLOCK)
    ]
    return join(blocks)


Given = tuple[Source, Legs, tuple[Shaft, ...], Shaft, tuple[Stage, ...], tuple[ConstantPower, ...]]


def _block(given: Given, lanes: int, torque_band: float) -> RunUp:
    source, legs, running, starter, stages, loads = given
    curves = [
        curve(source, legs, running, starter, stage=stage, constant_power=loads) for stage in stages
    ]
    profile = tuple(at for one in curves for at in one)
    squares = np.array([np.maximum.reduce(at.line_current_a) ** 2 for at in profile])
    losses = np.array([at.rotor_loss_w for at in profile])
    breakaway = breakaway_torque(starter)
    traces = [
        _trace(curves, stages, starter, breakaway, edge, lanes)
        for edge in (-torque_band, 0.0, torque_band)
    ]
    low, nominal, high = (_course(one, squares, losses) for one in traces)
    seen = traces[1].times_s < np.inf
    torque = profile[0].torque_nm

    def least(rows: Sequence[float]) -> float:
        return leaf(np.where(seen, np.array(rows), np.inf).min(axis=0))

    def most(rows: Sequence[float]) -> float:
        return leaf(np.where(seen, np.array(rows), -np.inf).max(axis=0))

    def largest(currents: Sequence[tuple[float, ...]]) -> float:
        return most([np.maximum.reduce(one) for one in currents])

    others = range(len(running))
    found = RunUp(
        starts=low.runs,
        start_torque_nm=torque,
        start_torque_low_nm=torque * (1.0 - torque_band),
        start_torque_high_nm=torque * (1.0 + torque_band),
        breakaway_nm=breakaway,
        low=low,
        nominal=nominal,
        high=high,
        lowest_line_v=(
            least([at.line_v[0] for at in profile]),
            least([at.line_v[1] for at in profile]),
            least([at.line_v[2] for at in profile]),
        ),
        lowest_made_leg_v=least([at.made_leg_v for at in profile]),
        largest_line_a=largest([at.line_current_a for at in profile]),
        largest_source_a=largest([at.source_current_a for at in profile]),
        largest_running_a=tuple(
            largest([at.running_current_a[i] for at in profile]) for i in others
        ),
        largest_running_slips=tuple(most([at.running_slips[i] for at in profile]) for i in others),
        profile=profile,
    )
    return widen(found, lanes)


class _Trace(NamedTuple):
    """The instants of all speeds, and how each lane came up."""

    runs: NDArray[np.bool_]
    time_s: Column
    slip: Column
    times_s: Column


def _trace(
    curves: Sequence[Sequence[Snapshot]],
    stages: Sequence[Stage],
    starter: Shaft,
    breakaway_nm: float,
    edge: float,
    lanes: int,
) -> _Trace:
    momentum = starter.inertia_kg_m2 * synchronous_speed(starter.rotor.circuit)
    slip, clock = np.ones(lanes), np.zeros(lanes)
    times = []
    for points, stage in zip(curves, stages, strict=True):
        slips, left, peak = _accelerating(points, edge)
        held = (slip == 1.0) & (left[0] + points[0].load_nm <= breakaway_nm)
        left[0] = np.where(held, np.minimum(left[0], 0.0), left[0])
        begin, entry = clock, slip
        last = points is curves[-1]
        end = begin + (np.inf if last else stage.longest_s)
        passed, slip, clock = _passage(slips, left, entry, begin, end, momentum)
        times.append(passed)
    with np.errstate(all="ignore"):
        runs = (slip <= np.minimum(peak, SLOWEST_RUNNING)) & (begin < np.inf)
        target = np.maximum(1.0 - ARRIVED, 1.0 - OF_SETTLED * (1.0 - slip))
        lane = np.arange(lanes)
        k = (slips[:, None] <= target).argmax(axis=0)
        upper = np.minimum(slips[k - 1], entry)
        pieces = left[k - 1, lane], left[k, lane], slips[k - 1], slips[k]
        ends = _between(*pieces, upper), _between(*pieces, target)
        own = passed[k - 1, lane] + momentum * (upper - target) * _mean_inverse(*ends)
        time = np.where(runs, np.where(target < entry, own, begin), np.inf)
    return _Trace(runs, time, slip, np.concatenate(times))


def _course(trace: _Trace, squares_a2: Column, losses_w: Column) -> Course:
    with np.errstate(all="ignore"):
        heat = _gathered(squares_a2, trace.times_s, trace.time_s)
        rotor = _gathered(losses_w, trace.times_s, trace.time_s)
        rms = np.where(trace.runs, np.sqrt(heat / trace.time_s), 0.0)
    return Course(
        runs=cast("bool", trace.runs),
        time_s=leaf(trace.time_s),
        settled_slip=leaf(trace.slip),
        times_s=tuple(trace.times_s),
        rms_current_a=leaf(rms),
        heat_a2s=leaf(np.where(trace.runs, heat, np.inf)),
        rotor_heat_j=leaf(np.where(trace.runs, rotor, np.inf)),
    )


def _accelerating(points: Sequence[Snapshot], edge: float) -> tuple[Column, Column, Column]:
    """Return slips, the torque left at each of them, and the slip of greatest torque."""
    slips = np.array([np.asarray(at.slip).flat[0] for at in points])
    torque = np.array([at.torque_nm for at in points])
    peak = slips[torque.argmax(axis=0)]
    scale = 1.0 + edge * np.minimum(1.0, slips[:, None] / peak)
    taken = np.array([at.braking_nm for at in points]), np.array([at.load_nm for at in points])
    return slips, torque * scale - taken[0] - taken[1], peak


def _mean_inverse(first_nm: Column, last_nm: Column) -> Column:
    ratio = (last_nm - first_nm) / (last_nm + first_nm)
    series = 2.0 / (first_nm + last_nm) * (1.0 + ratio * ratio / 3.0)
    exact = np.log(last_nm / first_nm) / (last_nm - first_nm)
    return np.where(np.abs(ratio) < ALIKE, series, exact)


def _between(above: Column, below: Column, upper: Column, lower: Column, slip: Column) -> Column:
    line = above + (below - above) * (upper - slip) / (upper - lower)
    return np.where(slip == upper, above, line)


def _passage(
    slips: Column, left: Column, entry: Column, begin: Column, end: Column, momentum: float
) -> tuple[Column, Column, Column]:
    """Return the instants of all speeds, and slip and time at which the stage is left."""
    times = np.full(left.shape, np.nan)
    slip, clock = entry.copy(), begin.copy()
    free = np.ones(len(entry), dtype=np.bool_)
    with np.errstate(all="ignore"):
        for k in range(1, len(slips)):
            upper, lower = slips[k - 1], slips[k]
            active = free & (lower < slip)
            times[k - 1] = np.where(active & np.isnan(times[k - 1]), begin, times[k - 1])
            first = _between(left[k - 1], left[k], upper, lower, slip)
            stuck = active & ((first <= 0.0) | (left[k] <= 0.0))
            span = momentum * (slip - lower) * _mean_inverse(first, left[k])
            late = active & ~stuck & (clock + span > end)
            fall = np.where(stuck, first / (first - left[k]), (end - clock) / span)
            moved = late | (stuck & (first > 0.0))
            rest = np.where(moved, slip - (slip - lower) * fall, slip)
            stopped = stuck | late
            slip = np.where(active & ~stopped, lower, rest)
            clock = np.where(stopped, end, np.where(active, clock + span, clock))
            times[k] = np.where(active, clock, times[k])
            times[k] = np.where(~free & np.isposinf(clock), np.inf, times[k])
            free &= ~stopped
    return times, slip, clock


def _gathered(rates: Column, times_s: Column, until_s: Column) -> Column:
    """Return the integrals over time of rates known at some instants, up to *until_s*."""
    total, before = np.zeros(len(until_s)), np.zeros(len(until_s))
    last = np.full(len(until_s), np.nan)
    done = np.zeros(len(until_s), dtype=np.bool_)
    for rate, time in zip(rates, times_s, strict=True):
        ends = ~done & (time > until_s)
        passes = ~done & ~ends & (time >= 0.0)
        area = (np.where(ends, until_s, time) - last) * (before + rate) / 2.0
        total = np.where(ends | (passes & (last >= 0.0)), total + area, total)
        before, last = np.where(passes, rate, before), np.where(passes, time, last)
        done |= ends
    return total
