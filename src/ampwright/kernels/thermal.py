"""What heat allows in steady running: unbalance, altitude, ambient, low speed.

Fractions of rated output, torque or current unless a name says otherwise.
"""

import math
from bisect import bisect_left
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from ampwright.kernels.figures import rows
from ampwright.kernels.induction import InductionCircuit, branch

CURVE_END = 0.05  # NEMA MG 1, 14.36: no operation is recommended beyond five per cent
ALTITUDE_RANGE_M = (0.0, 4000.0)
AMBIENT_RANGE_C = (-20.0, 60.0)


class UsableOutput(NamedTuple):
    """How much of its plate a motor may give under unbalance, each as a fraction of rated output.

    Attributes:
        fraction: The smallest of what applies.
        by_curve: By the standard's curve; None beyond its end, where it gives no permission.
        by_largest_leg: Until the largest line current reaches the rated current.
        by_heating: Until both sequences together heat like the rated current.
        governing: ``"curve"``, ``"largest-leg"``, ``"heating"`` or ``"plate"``.
        beyond_curve: The unbalance is outside the standard's curve.
    """

    fraction: float
    by_curve: float | None
    by_largest_leg: float
    by_heating: float
    governing: str
    beyond_curve: bool


@cache
def points(table: str, x: str, y: str) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return two columns of a table as numbers."""
    read = [(float(row[x]), float(row[y])) for row in rows(table)]
    return tuple(one for one, _ in read), tuple(other for _, other in read)


def between(xs: Sequence[float], ys: Sequence[float], x: float) -> float:
    """Return the value at *x* on straight lines through ascending points, within their range."""
    place = min(max(bisect_left(xs, x), 1), len(xs) - 1)
    part = (x - xs[place - 1]) / (xs[place] - xs[place - 1])
    return ys[place - 1] + part * (ys[place] - ys[place - 1])


def unbalance_derating(unbalance: float, curve: str) -> float:
    """Return the factor on rated output that a standard's curve gives.

    Args:
        unbalance: Fraction, 0 to 0.05: for ``"nema"`` the largest deviation from the mean line
            voltage, for ``"iec"`` negative over positive sequence.
        curve: ``"nema"`` or ``"iec"``.

    Returns:
        Factor, 1 down to 0.75.

    Raises:
        ValueError: The unbalance is outside 0 to 0.05, where the curve ends, or there is no such
            curve.

    Accuracy:
        0.02, the reading of a figure.

    Source:
        ``unbalance_derating.csv``.
    """
    if curve not in {"nema", "iec"}:
        raise ValueError(f"curve nema or iec wanted, got {curve!r}")
    if not 0.0 <= unbalance <= CURVE_END:
        raise ValueError(f"unbalance 0 to {CURVE_END} wanted, got {unbalance}")
    return between(*points("unbalance_derating", "unbalance", curve), unbalance)


def heating_weight(locked_rotor_ratio: float, *, conservative: bool = False) -> float:
    """Return how much more negative-sequence current heats than positive-sequence current.

    Args:
        locked_rotor_ratio: Locked-rotor over rated current, 3 to 12.
        conservative: Take the greater of both usual constants.

    Returns:
        Weight k of I_heating^2 = I1^2 + k I2^2.

    Raises:
        ValueError: The ratio is outside 3 to 12.

    Accuracy:
        A half: the rotor's resistance at twice line frequency differs that much between designs.

    Source:
        Usual setting of motor protection, k = 175 / (I_LR / I_N)^2, conservative 230 (from
        memory, high). With I_LR = 6 I_N, 5 % unbalance leaves 0.75 of rated current.
    """
    if not 3.0 <= locked_rotor_ratio <= 12.0:
        raise ValueError(f"locked-rotor over rated current of 3 to 12 wanted: {locked_rotor_ratio}")
    return (230.0 if conservative else 175.0) / locked_rotor_ratio**2


def circuit_heating_weight(circuit: InductionCircuit, slip: float) -> float:
    """Return how much more negative-sequence current heats both windings, from the circuit.

    Args:
        circuit: The machine.
        slip: Slip in running, above 0 and below 0.3.

    Returns:
        Weight k of I_heating^2 = I1^2 + k I2^2: stator and rotor resistance at slip 2 - s over
        those at slip s.

    Raises:
        ValueError: The slip is outside its range.

    Accuracy:
        Counts the mean of all windings and bars; hot spots are the business of the largest leg.
        Usual motors give 1.1 to 2.5, more the deeper their bars; a single cage gives 1.

    Source:
        Equivalent circuit of ``induction``; magnetising current left out.
    """
    if not 0.0 < slip < 0.3:
        raise ValueError(f"slip above 0 and below 0.3 wanted, got {slip}")
    forward = slip * branch(circuit, slip).zr.real
    backward = (2.0 - slip) * branch(circuit, 2.0 - slip).zr.real
    return (circuit.r1_ohm + backward) / (circuit.r1_ohm + forward)


def output_formula(current: float, no_load: float) -> float:
    """Return the output at a positive-sequence current, both over rated, squared: see below.

    The current's load part and magnetising part are taken to stand at right angles:
    I1^2 = I0^2 + p^2 (1 - I0^2).
    """
    return (current * current - no_load * no_load) / (1.0 - no_load * no_load)


def usable_output(
    *,
    unbalance: float,
    curve: str,
    negative_current: float,
    alignment: float,
    no_load_current: float,
    weight: float,
    leg_limit: float,
) -> UsableOutput:
    """Return the usable output of a motor under unbalance, also beyond the standard's curve.

    The negative-sequence current hardly depends on the load, so it is taken from any solved state
    near the load in question; the positive-sequence current is then lowered until the limit holds.

    Args:
        unbalance: Of the terminal voltages, as ``unbalance_derating`` counts it for ``curve``.
        curve: ``"nema"`` or ``"iec"``.
        negative_current: Negative-sequence current over rated current.
        alignment: (Largest line current minus positive-sequence current) over negative-sequence
            current in that state, 0.5 to 1; 1 if not known. Where a winding of a delta is worse
            off than the lines, its current over its own rated current stands for the line's.
        no_load_current: No-load current over rated current, below 1.
        weight: From ``circuit_heating_weight`` or ``heating_weight``.
        leg_limit: Largest line current allowed, over rated current: 1, or what the overload
            relay as set holds for ever, at most 1.25.

    Returns:
        Fractions of rated output; 0 where the unbalance alone uses up the motor.

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        Against circuits of 2 to 50 hp: by the largest leg 0.04 of rated output down to half load,
        by heating 0.005 with ``circuit_heating_weight``; the alignment turns a little with load.
        Up to its end the curve stands in for the heating.

    Source:
        NEMA MG 1, 14.36, and IEC 60034-26 up to 5 %; beyond it the two limits that remain, the
        largest leg and the heating, common practice, no source.
    """
    if not (0.0 <= unbalance <= 1.0 and 0.0 <= negative_current < math.inf and weight >= 0.0):
        raise ValueError("unbalance 0 to 1, current and weight zero or above wanted")
    if not (0.5 - 1e-9 <= alignment <= 1.0 + 1e-9 and 0.0 <= no_load_current < 1.0):
        raise ValueError("alignment 0.5 to 1 and no-load current 0 to 1 wanted")
    if not 0.9 <= leg_limit <= 1.25:
        raise ValueError(f"leg limit 0.9 to 1.25 wanted, got {leg_limit}")
    leg = max(leg_limit - alignment * negative_current, 0.0)
    heat = math.sqrt(max(1.0 - weight * negative_current * negative_current, 0.0))
    by_leg = min(math.sqrt(max(output_formula(leg, no_load_current), 0.0)), 1.0)
    by_heat = math.sqrt(max(output_formula(heat, no_load_current), 0.0))
    beyond = unbalance > CURVE_END
    by_curve = None if beyond else unbalance_derating(unbalance, curve)
    end = unbalance_derating(CURVE_END, curve)
    limits = {"plate": 1.0, "largest-leg": by_leg}
    if by_curve is None:
        limits |= {"heating": by_heat, "curve": end}
    else:
        limits["curve"] = by_curve
    governing = min(limits, key=limits.__getitem__)
    return UsableOutput(limits[governing], by_curve, by_leg, by_heat, governing, beyond)


def mean_rise_ratio(unbalance: float) -> float:
    """Return the temperature rise of the windings over their balanced rise, on their mean.

    Args:
        unbalance: Fraction, 0 to 0.05.

    Returns:
        1 plus twice the square of the unbalance in per cent, as a percentage.

    Raises:
        ValueError: The unbalance is outside 0 to 0.05.

    Accuracy:
        A mean over the windings: the worst one rises up to twice as much more, for it has a part
        that is proportional to the unbalance.

    Source:
        Rule of the trade as reproduced on public pages; check against a standard.
    """
    if not 0.0 <= unbalance <= CURVE_END:
        raise ValueError(f"unbalance 0 to {CURVE_END} wanted, got {unbalance}")
    return 1.0 + 2.0 * (100.0 * unbalance) ** 2 / 100.0


def drive_altitude_factor(altitude_m: float) -> float:
    """Return the factor on the current of an electronic drive for thin air.

    Args:
        altitude_m: Above sea level [m], 0 to 4000.

    Returns:
        Factor: 1 up to 1000 m, then 1 % less each 100 m.

    Raises:
        ValueError: The altitude is outside 0 to 4000 m.

    Accuracy:
        The drive's own data go first.

    Source:
        Common practice, no source.
    """
    low, high = ALTITUDE_RANGE_M
    if not low <= altitude_m <= high:
        raise ValueError(f"altitude {low} to {high} m wanted, got {altitude_m}")
    return 1.0 - max(altitude_m - 1000.0, 0.0) / 10000.0


def motor_site_factor(*, ambient_c: float, altitude_m: float, limit_c: float) -> float:
    """Return the factor on a motor's output for a hot place or thin air.

    The winding's rise goes with the square of the output; thin air raises it by 1 % each 100 m
    above 1000 m. A cool place makes up for height but gives nothing beyond the plate.

    Args:
        ambient_c: Cooling air [C], -20 to 60.
        altitude_m: Above sea level [m], 0 to 4000.
        limit_c: Winding temperature of the insulation class at rated output in 40 C [C]: 120 for
            class B, 145 for class F, or what the plate's rise gives.

    Returns:
        Factor, at most 1.

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        All losses are taken to go with the square of the output: on the unsafe side by up to 0.03
        at 60 C, since iron and friction losses do not fall with it.

    Source:
        IEC 60034-1, clause on ambient and altitude (from memory, medium); square root from the
        loss balance.
    """
    low_c, high_c = AMBIENT_RANGE_C
    if not (low_c <= ambient_c <= high_c and ambient_c < limit_c and limit_c > 40.0):
        raise ValueError(f"ambient {low_c} to {high_c} C, and below the winding's, wanted")
    rise = (limit_c - ambient_c) / (limit_c - 40.0) * drive_altitude_factor(altitude_m)
    return min(1.0, math.sqrt(rise))


def drive_ambient_factor(ambient_c: float, *, loss_per_k: float) -> float:
    """Return the factor on the current of an electronic drive above 40 C.

    Args:
        ambient_c: Cooling air [C], -20 to 60.
        loss_per_k: Fraction lost for each kelvin above 40 C, from the drive's data: 0.01 to 0.025.

    Returns:
        Factor, at most 1.

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        The drive's own data; many end at 50 C.

    Source:
        Common practice, no source.
    """
    low_c, high_c = AMBIENT_RANGE_C
    if not (low_c <= ambient_c <= high_c and 0.01 <= loss_per_k <= 0.025):
        raise ValueError(f"ambient {low_c} to {high_c} C and 0.01 to 0.025 per kelvin wanted")
    return 1.0 - loss_per_k * max(ambient_c - 40.0, 0.0)


def self_ventilated_torque(speed: float) -> float:
    """Return the continuous torque of a motor that cools itself, at reduced speed.

    Args:
        speed: Over rated speed, 0.1 to 1.

    Returns:
        Torque over rated torque.

    Raises:
        ValueError: The speed is outside 0.1 to 1.

    Accuracy:
        0.1; makers differ.

    Source:
        ``self_ventilated.csv``: common practice, no source.
    """
    if not 0.1 <= speed <= 1.0:
        raise ValueError(f"speed 0.1 to 1 of rated wanted, got {speed}")
    return between(*points("self_ventilated", "speed", "torque"), speed)
