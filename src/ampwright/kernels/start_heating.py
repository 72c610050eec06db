"""What heat allows in starting: load inertia, starts an hour, a stalled rotor."""

import math
from bisect import bisect_left
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from ampwright.kernels.figures import rows

HP_W = 550.0 * 0.3048 * 0.45359237 * 9.80665
LB_FT2_KG_M2 = 0.45359237 * 0.3048**2
STARTS_RANGE_HP = (1.0, 250.0)


class StartLimit(NamedTuple):
    """How often a motor may be started.

    Attributes:
        per_hour: Starts an hour.
        rest_s: Least time between two starts.
        governing: ``"motor"`` or ``"inertia"``.
        inertia_share: Load inertia over the most that the standard asks a motor to accelerate;
            above 1 the standard promises nothing and ``per_hour`` is below one.
    """

    per_hour: float
    rest_s: float
    governing: str
    inertia_share: float


def inertia_limit_formula(power_hp: float, thousands: float, first: float) -> float:
    """Return the limit of load inertia [kg m2] from power [hp] and thousands of rpm."""
    wk2: float = first * power_hp**0.95 / thousands**2.4 - 0.0685 * power_hp**1.5 / thousands**1.8
    return wk2 * LB_FT2_KG_M2


def load_inertia_limit_kg_m2(power_w: float, synchronous_rpm: float) -> float:
    """Return the load inertia that a motor has to accelerate without harm.

    Args:
        power_w: Rated power [W], 1 to 250 hp.
        synchronous_rpm: Synchronous speed [1/min], 500 to 3600.

    Returns:
        Inertia of the load at the motor's shaft [kg m2], for two starts from cold or one from hot.

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        2 % against the printed table, whose entries are rounded to two or three digits.

    Source:
        NEMA MG 1, 12.54 (12.55 in later editions): Wk2 = A hp^0.95 / (rpm/1000)^2.4
        - 0.0685 hp^1.5 / (rpm/1000)^1.8, A = 24 up to 1800 and 27 for 3600 rpm (from memory,
        high; agrees with column B of the table in ``start_limits.csv``).
    """
    power_hp, thousands = power_w / HP_W, synchronous_rpm / 1000.0
    low, high = STARTS_RANGE_HP
    if not (low * 0.999 <= power_hp <= high * 1.001 and 0.5 <= thousands <= 3.6):
        raise ValueError(f"{low} to {high} hp and 500 to 3600 rpm wanted")
    first = 27.0 if thousands > 1.8 else 24.0
    return inertia_limit_formula(power_hp, thousands, first)


@cache
def start_table(poles: int) -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    """Return ratings [hp], starts an hour and rests [s] of one number of poles."""
    chosen = [row for row in rows("start_limits") if int(row["poles"]) == poles]
    return (
        tuple(float(row["power_hp"]) for row in chosen),
        tuple(float(row["starts"]) for row in chosen),
        tuple(float(row["rest_s"]) for row in chosen),
    )


def start_limit(
    power_w: float, poles: int, *, load_inertia_kg_m2: float, heat_ratio: float
) -> StartLimit:
    """Return how many starts an hour a motor bears.

    Args:
        power_w: Rated power [W], 1 to 250 hp; between two ratings of the table the larger one's
            figures are used, for they are the stricter.
        poles: 2, 4 or 6.
        load_inertia_kg_m2: Inertia of the load at the motor's shaft [kg m2].
        heat_ratio: Heat of one start here over that of the table's start, which is at full,
            balanced voltage against a torque rising with the square of speed; 1 for that start,
            more for weak or unbalanced voltage and for loaded starts.

    Returns:
        Starts an hour, rest between them, and what governs.

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        The table's; designs A and B at 60 Hz. At 50 Hz the energy of a start is 0.7 times as
        much, so it is on the safe side.

    Source:
        NEMA MG 10, table 2-3 (``start_limits.csv``); division by the heat ratio is ours.
    """
    power_hp = power_w / HP_W
    low, high = STARTS_RANGE_HP
    if poles not in {2, 4, 6} or not low * 0.999 <= power_hp <= high * 1.001:
        raise ValueError(f"{low} to {high} hp and 2, 4 or 6 poles wanted: {power_hp:g}, {poles}")
    if not (load_inertia_kg_m2 >= 0.0 and 1.0 <= heat_ratio < math.inf):
        raise ValueError("inertia zero or above and heat ratio 1 or above wanted")
    ratings, starts, rests = start_table(poles)
    place = min(bisect_left(ratings, power_hp * 0.999), len(ratings) - 1)
    limit = load_inertia_limit_kg_m2(power_w, 7200.0 / poles)
    share = load_inertia_kg_m2 / limit
    by_motor = starts[place]
    by_inertia = 1.0 / share if share > 0.0 else math.inf
    return StartLimit(
        min(by_motor, by_inertia) / heat_ratio,
        rests[place] * heat_ratio,
        "motor" if by_motor <= by_inertia else "inertia",
        share,
    )


def stall_share(
    times_s: Sequence[float],
    currents_a: Sequence[float],
    *,
    locked_rotor_a: float,
    stall_limit_s: float,
) -> float:
    """Return the share of its stall limit that a run-up takes from a motor.

    Args:
        times_s: Times of the profile, ascending [s].
        currents_a: Current at each, of unequal lines the largest [A].
        locked_rotor_a: Locked-rotor current at rated voltage [A].
        stall_limit_s: How long the rotor bears it; NEMA MG 1, 12.49: 12 s hot (from memory,
            medium) for motors up to 500 hp.

    Returns:
        Share; from 1 on the motor is damaged.

    Raises:
        ValueError: An argument is outside its range, or the profile is shorter than two points.

    Accuracy:
        No heat leaves the winding: on the safe side. Unequal currents count by the largest.

    Source:
        Heat goes with the square of the current.
    """
    if len(times_s) < 2 or len(times_s) != len(currents_a):
        raise ValueError("two points or more wanted, as many currents as times")
    if not (locked_rotor_a > 0.0 and stall_limit_s > 0.0 and min(currents_a) >= 0.0):
        raise ValueError("currents and limit above zero wanted")
    total = 0.0
    for place in range(1, len(times_s)):
        span_s = times_s[place] - times_s[place - 1]
        if not span_s >= 0.0:
            raise ValueError("times that do not run backwards wanted")
        before, after = currents_a[place - 1], currents_a[place]
        total += span_s * (before * before + before * after + after * after) / 3.0
    return total / (locked_rotor_a * locked_rotor_a * stall_limit_s)
