"""Run-up of a machine: times, heats and extremes from its torque over speed.

Between two speeds of the curve the accelerating torque is taken as a straight line, for which the
time is a logarithm in closed form; so a coarse curve gives a close time, even where the torque
hardly exceeds the load.
"""

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from ampwright.kernels.induction import synchronous_speed
from ampwright.kernels.network import ConstantPower, Legs, Source
from ampwright.kernels.starter import DIRECT, Shaft, Stage
from ampwright.kernels.starting import (
    LEAST_BAND,
    Snapshot,
    breakaway_torque,
    checked_band,
    curve,
)

ALIKE = 1e-3  # ratio of two torques, less one, below which the logarithm is a power series
ARRIVED, OF_SETTLED = 0.95, 0.98  # shares of synchronous and of settled speed that count as up
SLOWEST_RUNNING = 0.25  # slip above which a machine has not come up, whatever its torque curve


class Course(NamedTuple):
    """The run-up with the electromagnetic torque at one edge of its band.

    Attributes:
        runs: Whether it comes up to a running speed.
        time_s: Until 0.95 of synchronous or 0.98 of the settled speed, whichever comes first;
            infinite where it does not come up.
        settled_slip: Where torque meets load: the running slip, or where it hangs.
        times_s: Instant of each snapshot of the profile; not a number at speeds that a stage does
            not pass through, infinite at speeds that are never reached.
        rms_current_a: Of the largest line, over the run-up.
        heat_a2s: Its square times the time, infinite where it does not come up.
        rotor_heat_j: Heat in the rotor until it is up, infinite where it does not come up.
    """

    runs: bool
    time_s: float
    settled_slip: float
    times_s: tuple[float, ...]
    rms_current_a: float
    heat_a2s: float
    rotor_heat_j: float


class RunUp(NamedTuple):
    """A start, with its torque as a band.

    Attributes:
        starts: Whether it comes up at the lower edge of the band.
        start_torque_nm: Electromagnetic torque at standstill.
        start_torque_low_nm: Lower edge of its band.
        start_torque_high_nm: Upper edge.
        breakaway_nm: Torque that it takes to begin turning.
        low: Course at the lower edge; decisions rest on it.
        nominal: Course at the torque of the model.
        high: Course at the upper edge: shortest time.
        lowest_line_v: Of each pair of legs (A-B, B-C, C-A), on the way.
        lowest_made_leg_v: Of leg C to earth.
        largest_line_a: Of the machine that starts.
        largest_source_a: Of the supply.
        largest_running_a: Of each machine that already turned.
        largest_running_slips: Of the same.
        profile: The network at each speed, stage by stage.
    """

    starts: bool
    start_torque_nm: float
    start_torque_low_nm: float
    start_torque_high_nm: float
    breakaway_nm: float
    low: Course
    nominal: Course
    high: Course
    lowest_line_v: tuple[float, float, float]
    lowest_made_leg_v: float
    largest_line_a: float
    largest_source_a: float
    largest_running_a: tuple[float, ...]
    largest_running_slips: tuple[float, ...]
    profile: tuple[Snapshot, ...]


class CurrentProfile(NamedTuple):
    """Instants [s] and rms currents [A] of a start, and the current that stays afterwards."""

    times_s: tuple[float, ...]
    currents_a: tuple[float, ...]
    then_a: float


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
    """Return the run-up of a machine beside those that already turn.

    Args:
        source: The single-phase supply.
        legs: Permanent branches between the legs.
        running: The idler and all loads that already turn; empty when the idler itself starts.
        starter: The machine that starts, from standstill.
        stages: How it is connected, one after the other; from ``starting.star_delta`` and such.
        constant_power: Loads that hold their power.
        torque_band: Half-width of the band of starting torque, at least 0.35.

    Returns:
        Times and heats at both edges of the band and between, extremes, and the profile. A
        machine that does not start, hangs, or settles too slowly is a result.

    Raises:
        ValueError: The band is narrower than 0.35, a stage but the last does not end below
            synchronous speed, or the inertia is not above zero.

    Accuracy:
        Times within 1 % of a fine integration of the same equations, and within 5 % of a
        time-domain model where they exceed five supply periods; the first half period peaks at
        1.8 to 2.8 times the steady rms current. The band fades from full width at and above the
        slip of greatest torque to nothing at synchronous speed, where the plate holds.

    Source:
        Equation of motion, with the quasi-steady torque of ``starting.curve``.
    """
    checked_band(torque_band)
    checked_stages(stages)
    if not starter.inertia_kg_m2 > 0.0:
        raise ValueError(f"wanted an inertia above zero, got {starter.inertia_kg_m2}")
    curves = [
        curve(source, legs, running, starter, stage=stage, constant_power=constant_power)
        for stage in stages
    ]
    breakaway = breakaway_torque(starter)
    profile = tuple(at for one in curves for at in one)
    squares = [max(at.line_current_a) ** 2 for at in profile]
    low, nominal, high = (
        course(curves, stages, starter, squares_a2=squares, breakaway_nm=breakaway, edge=edge)
        for edge in (-torque_band, 0.0, torque_band)
    )
    torque = curves[0][0].torque_nm
    seen = [at for at, t in zip(profile, nominal.times_s, strict=True) if t < math.inf]
    low_ab, low_bc, low_ca = map(min, zip(*(at.line_v for at in seen), strict=True))
    others = zip(*(at.running_current_a for at in seen), strict=True)
    return RunUp(
        starts=low.runs,
        start_torque_nm=torque,
        start_torque_low_nm=torque * (1.0 - torque_band),
        start_torque_high_nm=torque * (1.0 + torque_band),
        breakaway_nm=breakaway,
        low=low,
        nominal=nominal,
        high=high,
        lowest_line_v=(low_ab, low_bc, low_ca),
        lowest_made_leg_v=min(at.made_leg_v for at in seen),
        largest_line_a=max(max(at.line_current_a) for at in seen),
        largest_source_a=max(max(at.source_current_a) for at in seen),
        largest_running_a=tuple(max(map(max, one)) for one in others),
        largest_running_slips=tuple(map(max, zip(*(at.running_slips for at in seen), strict=True))),
        profile=profile,
    )


def checked_stages(stages: Sequence[Stage]) -> None:
    """Refuse stages that do not lead to full speed."""
    ends = [stage.until_speed for stage in stages]
    if not ends or ends[-1] != 1.0 or not all(0.0 < end < 1.0 for end in ends[:-1]):
        raise ValueError(f"wanted stages that end below 1, and a last one at 1, got {ends}")


def course(
    curves: Sequence[Sequence[Snapshot]],
    stages: Sequence[Stage],
    starter: Shaft,
    *,
    squares_a2: Sequence[float],
    breakaway_nm: float,
    edge: float,
) -> Course:
    """Return the run-up along the curves of its stages with the torque moved by *edge*."""
    momentum = starter.inertia_kg_m2 * synchronous_speed(starter.rotor.circuit)
    slip, clock = 1.0, 0.0
    times: list[float] = []
    for points, stage in zip(curves, stages, strict=True):
        left, peak = accelerating(points, edge)
        if slip == 1.0 and left[0] + points[0].load_nm <= breakaway_nm:
            left[0] = min(left[0], 0.0)
        begin, entry = clock, slip
        last = points is curves[-1]
        longest = math.inf if last else stage.longest_s
        passed, slip, clock = _passage(
            points, left, entry, clock=begin, longest_s=longest, momentum=momentum
        )
        times += passed
    runs = slip <= min(peak, SLOWEST_RUNNING) and begin < math.inf
    target = max(1.0 - ARRIVED, 1.0 - OF_SETTLED * (1.0 - slip))
    if not runs:
        return Course(runs, math.inf, slip, tuple(times), 0.0, math.inf, math.inf)
    time = begin
    if target < entry:  # else it came up in an earlier stage
        k = next(k for k, at in enumerate(points) if at.slip <= target)
        upper = min(points[k - 1].slip, entry)
        ends = _between(points, left, k, upper), _between(points, left, k, target)
        time = times[k - 1 - len(points)] + momentum * (upper - target) * mean_inverse(*ends)
    losses = [at.rotor_loss_w for one in curves for at in one]
    heat, rotor = gathered(squares_a2, times, time), gathered(losses, times, time)
    return Course(runs, time, slip, tuple(times), math.sqrt(heat / time), heat, rotor)


def accelerating(points: Sequence[Snapshot], edge: float) -> tuple[list[float], float]:
    """Return the torque left for acceleration at each speed, and the slip of greatest torque."""
    peak = max(points, key=lambda at: at.torque_nm).slip
    return [
        at.torque_nm * (1.0 + edge * min(1.0, at.slip / peak)) - at.braking_nm - at.load_nm
        for at in points
    ], peak


def mean_inverse(first_nm: float, last_nm: float) -> float:
    """Return the mean of one over a torque that goes in a straight line, both ends above zero.

    Args:
        first_nm: Torque at one end.
        last_nm: Torque at the other.

    Returns:
        ln(last / first) / (last - first) [1/(N m)].

    Raises:
        ZeroDivisionError: A torque is zero.

    Accuracy:
        1e-12 relative.

    Source:
        Integral of one over a straight line; near equality the series in the ratio of difference
        to sum.
    """
    ratio = (last_nm - first_nm) / (last_nm + first_nm)
    if abs(ratio) < ALIKE:
        return 2.0 / (first_nm + last_nm) * (1.0 + ratio * ratio / 3.0)
    return math.log(last_nm / first_nm) / (last_nm - first_nm)


def _between(points: Sequence[Snapshot], left: Sequence[float], k: int, slip: float) -> float:
    """Return the accelerating torque at a slip between points k - 1 and k."""
    upper, lower = points[k - 1].slip, points[k].slip
    if slip == upper:
        return left[k - 1]
    return left[k - 1] + (left[k] - left[k - 1]) * (upper - slip) / (upper - lower)


def _passage(
    points: Sequence[Snapshot],
    left: Sequence[float],
    slip: float,
    *,
    clock: float,
    longest_s: float,
    momentum: float,
) -> tuple[list[float], float, float]:
    """Return the instant of each speed of one stage, and slip and time at which it is left."""
    end = clock + longest_s
    times = [math.nan] * len(points)
    entry = next((k for k, at in enumerate(points) if at.slip < slip), 0)
    if not entry:  # this stage ends at a speed that is passed already
        return times, slip, clock
    times[entry - 1] = clock
    for k in range(entry, len(points)):
        lower = points[k].slip
        first = _between(points, left, k, slip)
        if first <= 0.0 or left[k] <= 0.0:
            if first > 0.0:
                slip -= (slip - lower) * first / (first - left[k])
            times[k] = end
            if end == math.inf:
                times[k:] = [end] * (len(points) - k)
            return times, slip, end
        span = momentum * (slip - lower) * mean_inverse(first, left[k])
        if clock + span > end:
            slip -= (slip - lower) * (end - clock) / span
            times[k] = end
            return times, slip, end
        slip, clock = lower, clock + span
        times[k] = clock
    return times, slip, clock


def gathered(rates: Sequence[float], times_s: Sequence[float], until_s: float) -> float:
    """Return the integral over time of a rate known at some instants, up to *until_s*."""
    total, before, last = 0.0, 0.0, math.nan
    for rate, time in zip(rates, times_s, strict=True):
        if time > until_s:
            return total + (until_s - last) * (before + rate) / 2.0
        if time >= 0.0:
            if last >= 0.0:
                total += (time - last) * (before + rate) / 2.0
            before, last = rate, time
    return total


def current_profile(
    start: RunUp, along: Course, of: Callable[[Snapshot], Sequence[float]]
) -> CurrentProfile:
    """Return the largest of some currents along a course, as protection curves ask for it.

    Args:
        start: The run-up.
        along: One of its courses; the one at the lower edge lasts longest.
        of: Picks the currents from a snapshot, such as ``lambda at: at.line_current_a``.

    Returns:
        Instants and currents of the speeds passed, and the current at the speed where the machine
        settles or hangs.

    Raises:
        ValueError: The currents picked are none.

    Accuracy:
        Currents between two speeds of the curve go in a straight line over slip.

    Source:
        The snapshots of the run-up.
    """
    passed = [
        (time, max(of(at)))
        for time, at in zip(along.times_s, start.profile, strict=True)
        if time < math.inf
    ]
    slip = along.settled_slip
    below = next(
        (k for k in range(len(start.profile) - 1, 0, -1) if start.profile[k - 1].slip > slip), 0
    )
    one, two = start.profile[max(below - 1, 0)], start.profile[below]
    share = (one.slip - slip) / (one.slip - two.slip) if below else 0.0
    then = max(of(one)) + (max(of(two)) - max(of(one))) * share
    times = (*(time for time, _ in passed), passed[-1][0])
    return CurrentProfile(times, (*(current for _, current in passed), then), then)
