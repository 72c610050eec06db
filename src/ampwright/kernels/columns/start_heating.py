"""What heat allows in starting, over columns; a refused row is not-a-number."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ampwright.kernels.columns.valid import Column, finite, kept, together
from ampwright.kernels.start_heating import (
    HP_W,
    STARTS_RANGE_HP,
    inertia_limit_formula,
    start_table,
)

LOW_HP, HIGH_HP = STARTS_RANGE_HP


class StartLimits(NamedTuple):
    """``start_heating.StartLimit`` of many motors.

    Attributes:
        per_hour: Starts an hour.
        rest_s: Least time between two starts.
        by_inertia: Flag: the load's inertia governs, not the motor.
        inertia_share: Load inertia over the standard's limit.
    """

    per_hour: Column
    rest_s: Column
    by_inertia: NDArray[np.bool_]
    inertia_share: Column


def load_inertia_limit_kg_m2(power_w: ArrayLike, synchronous_rpm: ArrayLike) -> Column:
    """Return ``start_heating.load_inertia_limit_kg_m2`` of each row."""
    power, rpm = together(power_w, synchronous_rpm)
    power_hp, thousands = power / HP_W, rpm / 1000.0
    valid = (power_hp >= LOW_HP * 0.999) & (power_hp <= HIGH_HP * 1.001)
    first = np.where(thousands > 1.8, 27.0, 24.0)
    with np.errstate(all="ignore"):
        (limit,) = together(inertia_limit_formula(power_hp, thousands, first))  # type: ignore[arg-type] # columns
    return kept(limit, valid & (thousands >= 0.5) & (thousands <= 3.6))


def start_limit(
    power_w: ArrayLike, poles: ArrayLike, *, load_inertia_kg_m2: ArrayLike, heat_ratio: ArrayLike
) -> StartLimits:
    """Return ``start_heating.start_limit`` of each row."""
    power, count, inertia, heat = together(power_w, poles, load_inertia_kg_m2, heat_ratio)
    power_hp = power / HP_W
    starts, rests = np.full_like(power, np.nan), np.full_like(power, np.nan)
    for pole in (2, 4, 6):
        ratings, table_starts, table_rests = (np.asarray(one) for one in start_table(pole))
        place = np.minimum(np.searchsorted(ratings, power_hp * 0.999), len(ratings) - 1)
        starts = np.where(count == pole, table_starts[place], starts)
        rests = np.where(count == pole, table_rests[place], rests)
    with np.errstate(all="ignore"):
        share = inertia / load_inertia_limit_kg_m2(power, 7200.0 / count)
        by_inertia = np.where(share > 0.0, 1.0 / share, np.inf)
        valid = np.isfinite(share) & np.isfinite(starts) & finite(inertia, heat) & (heat >= 1.0)
        return StartLimits(
            kept(np.minimum(starts, by_inertia) / heat, valid),
            kept(rests * heat, valid),
            valid & (by_inertia < starts),
            kept(share, valid),
        )


def stall_share(
    times_s: ArrayLike,
    currents_a: ArrayLike,
    *,
    locked_rotor_a: ArrayLike,
    stall_limit_s: ArrayLike,
) -> Column:
    """Return ``start_heating.stall_share`` of each row; profiles have the shape (points, rows)."""
    times, currents, locked, limit = together(times_s, currents_a, locked_rotor_a, stall_limit_s)
    spans, before, after = np.diff(times, axis=0), currents[:-1], currents[1:]
    valid = np.all(spans >= 0.0, axis=0) & np.all(currents >= 0.0, axis=0)
    with np.errstate(all="ignore"):
        heat = (spans * (before * before + before * after + after * after) / 3.0).sum(axis=0)
        share = heat / (locked[0] ** 2 * limit[0])
    return kept(share, valid & (locked[0] > 0.0) & (limit[0] > 0.0))
