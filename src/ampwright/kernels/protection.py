"""Overload relays, breakers and fuses: time-current curves as bands, and what a start does to them.

A standard fixes a few points between which a device may lie. A band holds the earliest and the
latest device that it allows. Relays and thermal breakers are taken as one heated body,
``t = tau ln((k^2 - theta) / (k^2 - p^2))``: k the current over the rating, p the pickup, theta the
square of the load before. Fuses are taken as points joined by straight lines on logarithmic axes.
"""

import math
from bisect import bisect_right
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from ampwright.kernels.figures import rows

INSTANT_S = 0.1  # an instantaneous part acts within this time
HOT_FUSE = 0.2  # a fuse that carried its rating melts a fifth sooner: common practice, no source
SETTLING_STEPS = 30
ROUND_DOWN = 1.0 - 1e-12  # so that the printed multiples themselves fall on their side
LEAST_GAP = 1e-12  # between pickup and the current that has to trip: what floats can hold


class ThermalCurve(NamedTuple):
    """One heated body.

    Attributes:
        pickup: Multiple of the rating at and below which it never trips.
        tau_s: Time constant.
    """

    pickup: float
    tau_s: float


class PointCurve(NamedTuple):
    """Points joined by straight lines on logarithmic axes.

    Attributes:
        multiples: Of the rating, ascending; below the first it never melts, beyond the last the
            time falls with the square of the current.
        times_s: Time at each of them, descending.
        hot: Share of the time that is lost after carrying the rating.
    """

    multiples: tuple[float, ...]
    times_s: tuple[float, ...]
    hot: float


class Band(NamedTuple):
    """What a standard allows of one device; every current a multiple of its rating or setting.

    Attributes:
        name: Class or curve.
        early: The quickest device.
        late: The slowest device.
        instant_low: The instantaneous part never acts below this; infinite where there is none.
        instant_high: It always acts from here on.
    """

    name: str
    early: ThermalCurve | PointCurve
    late: ThermalCurve | PointCurve
    instant_low: float
    instant_high: float


class Passage(NamedTuple):
    """What a current profile does to a device.

    Attributes:
        earliest_s: When the quickest device trips; infinite if never.
        latest_s: When the slowest device has tripped; infinite if never.
        used: Share of its tripping level that the quickest device reached within the profile.
        instant: The earliest trip is one of the instantaneous part.
    """

    earliest_s: float
    latest_s: float
    used: float
    instant: bool


def gate_tau_s(pickup: float, gate: float, gate_s: float) -> float:
    """Return the time constant of a body that trips at *gate* after *gate_s* from cold."""
    return gate_s / math.log(gate * gate / (gate * gate - pickup * pickup))


def late_curve(row: dict[str, str], theta: float) -> ThermalCurve:
    """Return the slowest body that meets every limit of a row, its ``trip`` from state *theta*.

    Its pickup lies just below ``trip``: a body with its pickup there would take for ever.
    """
    square, gate = float(row["trip"]) ** 2, float(row["gate"])
    warm, warm_s = float(row.get("warm_gate") or 0.0), float(row.get("warm_within_s") or 0.0)
    pickup = float(row["trip"])
    for _ in range(SETTLING_STEPS):
        tau_s = gate_tau_s(pickup, gate, float(row["gate_within_s"]))
        if warm:
            warm_body = math.log((warm * warm - 1.0) / (warm * warm - pickup * pickup))
            tau_s = min(tau_s, warm_s / warm_body)
        pickup = math.sqrt(square - (square - theta) * math.exp(-float(row["within_s"]) / tau_s))
    return ThermalCurve(min(pickup, float(row["trip"]) * (1.0 - LEAST_GAP)), tau_s)


def point_curve(points: Sequence[tuple[float, float]], hot: float) -> PointCurve:
    """Return the curve through points of multiple and time."""
    return PointCurve(tuple(one for one, _ in points), tuple(time for _, time in points), hot)


@cache
def overload_band(trip_class: str) -> Band:
    """Return the band of an overload relay; the rating is its setting.

    Args:
        trip_class: ``"5"``, ``"10A"``, ``"10"``, ``"20"``, ``"30"``, ``"40"`` of IEC 60947-4-1, or
            ``"nema-10"``, ``"nema-20"``, ``"nema-30"``.

    Returns:
        The band, without an instantaneous part.

    Raises:
        ValueError: There is no such class.

    Accuracy:
        Meets every limit of the table exactly; between them a real relay of two bodies may leave
        the band by a fifth in time.

    Source:
        ``overload_classes.csv``.
    """
    for row in rows("overload_classes"):
        if row["class"] == trip_class:
            break
    else:
        known = ", ".join(row["class"] for row in rows("overload_classes"))
        raise ValueError(f"a trip class out of {known} wanted, got {trip_class!r}")
    hold, gate = float(row["hold"]), float(row["gate"])
    theta = 0.0 if trip_class.startswith("nema") else hold * hold
    return Band(
        name=trip_class,
        early=ThermalCurve(hold, gate_tau_s(hold, gate, float(row["gate_over_s"]))),
        late=late_curve(row, theta),
        instant_low=math.inf,
        instant_high=math.inf,
    )


@cache
def breaker_band(curve: str, rating_a: float) -> Band:
    """Return the band of a thermal-magnetic breaker.

    Args:
        curve: ``"B"``, ``"C"``, ``"D"`` of IEC 60898-1, or ``"ul-489"``.
        rating_a: Rated current [A].

    Returns:
        The band.

    Raises:
        ValueError: There is no such curve, or none for this rating.

    Accuracy:
        Meets the limits of the table exactly, at 30 C ambient (IEC) or 40 C (UL); between them
        the shape is that of one heated body.

    Source:
        ``breaker_curves.csv``.
    """
    for row in rows("breaker_curves"):
        if row["curve"] == curve and float(row["over_a"]) < rating_a <= float(row["upto_a"]):
            break
    else:
        raise ValueError(f"no breaker curve {curve!r} for {rating_a} A")
    hold, gate = float(row["hold"]), float(row["gate"])
    return Band(
        name=curve,
        early=ThermalCurve(hold, gate_tau_s(hold, gate, float(row["gate_over_s"]))),
        late=late_curve(row, theta=0.0),
        instant_low=float(row["instant_low"]),
        instant_high=float(row["instant_high"]),
    )


@cache
def fuse_band(kind: str, rating_a: float) -> Band:
    """Return the band of a fuse.

    Args:
        kind: ``"gG"`` or ``"aM"`` of IEC 60269, or ``"time-delay"`` of UL 248.
        rating_a: Rated current [A]; of gG one that the table lists.

    Returns:
        The band, without an instantaneous part.

    Raises:
        ValueError: There is no such kind, or none of this rating.

    Accuracy:
        Meets the gates exactly; between them a real fuse lies inside, for its curve is bent
        towards the origin.

    Source:
        ``fuse_gg.csv``, ``fuse_multiples.csv``.
    """
    early: list[tuple[float, float]] = []
    late: list[tuple[float, float]] = []
    for row in rows("fuse_gg") if kind == "gG" else ():
        if float(row["rating_a"]) == rating_a:
            early = [
                (float(row["hold_a"]) / rating_a, float(row["conventional_s"])),
                (float(row["low_10s_a"]) / rating_a, 10.0),
                (float(row["low_01s_a"]) / rating_a, 0.1),
            ]
            late = [
                (float(row["fuse_a"]) / rating_a, float(row["conventional_s"])),
                (float(row["high_5s_a"]) / rating_a, 5.0),
                (float(row["high_01s_a"]) / rating_a, 0.1),
            ]
    for row in rows("fuse_multiples"):
        if row["kind"] == kind and float(row["over_a"]) < rating_a <= float(row["upto_a"]):
            edge = early if row["edge"] == "early" else late
            edge.append((float(row["multiple"]), float(row["time_s"])))
    if not early:
        raise ValueError(f"no fuse {kind!r} of {rating_a} A")
    return Band(
        name=kind,
        early=point_curve(early, HOT_FUSE),
        late=point_curve(late, 0.0),
        instant_low=math.inf,
        instant_high=math.inf,
    )


def trip_time_s(curve: ThermalCurve | PointCurve, multiple: float, preload: float) -> float:
    """Return the time after which a curve trips at a steady current.

    Args:
        curve: From a band.
        multiple: Current over rating.
        preload: Load over rating that it carried long before.

    Returns:
        Time [s]; infinite when it never trips, zero when the load before had tripped it.

    Raises:
        ValueError: A multiple is negative or not a number.

    Accuracy:
        Rounding only, of the curve.

    Source:
        IEC 60255-149, thermal model, for the heated body.
    """
    if not (multiple >= 0.0 and preload >= 0.0):
        raise ValueError(f"multiples of the rating, zero or above, wanted: {multiple}, {preload}")
    if isinstance(curve, ThermalCurve):
        square, level = multiple * multiple, curve.pickup * curve.pickup
        if square <= level:
            return math.inf
        theta = min(preload * preload, level)
        return curve.tau_s * math.log((square - theta) / (square - level))
    multiples, times_s = curve.multiples, curve.times_s
    if multiple < multiples[0]:
        return math.inf
    share = 1.0 - curve.hot * min(preload, 1.0) ** 2
    place = bisect_right(multiples, multiple)
    if place == len(multiples):
        return share * times_s[-1] * (multiples[-1] / multiple) ** 2
    low, high = multiples[place - 1], multiples[place]
    part = math.log(multiple / low) / math.log(high / low)
    return share * math.exp(
        (1.0 - part) * math.log(times_s[place - 1]) + part * math.log(times_s[place])
    )


def curve_passage(
    curve: ThermalCurve | PointCurve,
    profile: Sequence[tuple[float, float]],
    preload: float,
    then: float,
) -> tuple[float, float]:
    """Return when a curve trips on a profile, and the share of its level reached within it.

    Args:
        curve: From a band.
        profile: Duration [s] and current over rating of each stretch.
        preload: Load over rating before.
        then: Steady load over rating after the profile; zero ends the question there.

    Returns:
        Time of the trip from the beginning [s], infinite if never; the largest share.
    """
    level = curve.pickup**2 if isinstance(curve, ThermalCurve) else 1.0
    state = preload * preload / level if isinstance(curve, ThermalCurve) else 0.0
    if state >= 1.0:  # the load before has tripped it
        return 0.0, state
    used, clock_s, tripped_s = state, 0.0, math.inf
    for span_s, multiple in profile:
        if isinstance(curve, ThermalCurve):
            final = multiple * multiple / level
            after = final + (state - final) * math.exp(-span_s / curve.tau_s)
            if after >= 1.0 and tripped_s == math.inf:
                tripped_s = clock_s + curve.tau_s * math.log((final - state) / (final - 1.0))
        else:
            after = state + span_s / trip_time_s(curve, multiple, preload)
            if after >= 1.0 and tripped_s == math.inf:
                tripped_s = clock_s + (1.0 - state) / (after - state) * span_s
        state, clock_s, used = after, clock_s + span_s, max(used, after)
    if tripped_s == math.inf and then > 0.0:
        if isinstance(curve, ThermalCurve):
            left_s = trip_time_s(curve, then, math.sqrt(state * level))
        else:
            left_s = (1.0 - state) * trip_time_s(curve, then, preload)
        tripped_s = clock_s + left_s
    return tripped_s, used


def passage(
    band: Band,
    rating_a: float,
    times_s: Sequence[float],
    currents_a: Sequence[float],
    *,
    preload_a: float,
    asymmetry: float,
    then_a: float,
) -> Passage:
    """Return what a current profile, such as a run-up, does to a device.

    Args:
        band: The device.
        rating_a: Its rating, of a relay its setting [A].
        times_s: Times of the profile, ascending from its beginning [s]; the same time twice is a
            switching.
        currents_a: Current at each time, of unequal lines the largest [A].
        preload_a: Load carried long before [A].
        asymmetry: Factor on the first half wave after the beginning and after a switching upward,
            from ``inrush.asymmetry_factor``; only the instantaneous part sees it.
        then_a: Steady current after the profile [A]; zero ends the question there.

    Returns:
        When the device trips at the earliest and at the latest, counted from the first time.

    Raises:
        ValueError: The profile is shorter than two points or runs backwards, a current is
            negative, the rating not above zero or the asymmetry outside 1 to 2.

    Accuracy:
        Exact for steps of current; a stretch between two points counts with the mean square of
        its straight line, an error below 1 % for twenty points or more in a run-up.

    Source:
        IEC 60255-149 for the heated body; for fuses the shares of melting time are summed, common
        practice, no source.
    """
    count = len(times_s)
    if count < 2 or count != len(currents_a):
        raise ValueError("two points or more wanted, as many currents as times")
    if not (min(currents_a) >= 0.0 and preload_a >= 0.0 and then_a >= 0.0 and rating_a > 0.0):
        raise ValueError("currents zero or above and a rating above zero wanted")
    if not 1.0 <= asymmetry <= 2.0:
        raise ValueError(f"asymmetry of 1 to 2 wanted, got {asymmetry}")
    profile: list[tuple[float, float]] = []
    instant_s = certain_s = math.inf
    for place in range(count):
        current = currents_a[place]
        jump = place == 0
        if place:
            before, span_s = currents_a[place - 1], times_s[place] - times_s[place - 1]
            if not span_s >= 0.0:
                raise ValueError("times that do not run backwards wanted")
            jump = span_s == 0.0 and current > before
            square = (before * before + before * current + current * current) / 3.0
            profile.append((span_s, math.sqrt(square) / rating_a))
        clock_s = times_s[place] - times_s[0]
        if current / rating_a * (asymmetry if jump else 1.0) > band.instant_low:
            instant_s = min(instant_s, clock_s)
        if current / rating_a >= band.instant_high:
            certain_s = min(certain_s, clock_s + INSTANT_S)
    ahead, then = preload_a / rating_a, then_a / rating_a
    early_s, used = curve_passage(band.early, profile, ahead, then)
    late_s, _ = curve_passage(band.late, profile, ahead, then)
    at_once = instant_s < math.inf and instant_s <= early_s
    return Passage(min(early_s, instant_s), min(late_s, certain_s), used, at_once)


def phase_loss_answer(
    current_a: float, current_b: float, current_c: float, *, setting_a: float, sensitive: bool
) -> str:
    """Return whether a three-pole relay holds unequal currents.

    Args:
        current_a: Line current of pole A [A].
        current_b: Of pole B [A].
        current_c: Of pole C [A].
        setting_a: The relay's setting [A].
        sensitive: The relay watches for a lost phase.

    Returns:
        ``"holds"``, ``"may-trip"`` or ``"trips"`` (within two hours).

    Raises:
        ValueError: A current is negative or the setting not above zero.

    Accuracy:
        The standard fixes two states and leaves all between them open: those are "may-trip".

    Source:
        IEC 60947-4-1, loss of phase: sensitive relays hold at 1.0/1.0/0.9 and trip at
        1.15/1.15/0, others hold at 1.0/1.0/1.0 and trip at 1.32/1.32/0 (from memory, medium).
    """
    low, middle, high = sorted((current_a, current_b, current_c))
    if not (low >= 0.0 and setting_a > 0.0):
        raise ValueError("currents zero or above and a setting above zero wanted")
    certain = 1.15 if sensitive else 1.32
    if middle >= certain * setting_a * ROUND_DOWN or low >= 1.2 * setting_a * ROUND_DOWN:
        return "trips"
    if high * ROUND_DOWN <= setting_a and (not sensitive or low >= 0.9 * high * ROUND_DOWN):
        return "holds"
    return "may-trip"
