"""Conductors over columns; a row that the scalar kernel refuses is not-a-number.

``metal`` is one material for all rows.
"""

import numpy as np
from numpy.typing import ArrayLike

from ampwright.kernels.cable import (
    ADIABATIC_LIMIT_S,
    TEMPERATURE_RANGE_C,
    Metal,
    across_formula,
    drop_formula,
    load_voltage_formula,
    resistance_formula,
    temperature_formula,
)
from ampwright.kernels.columns.valid import Column, finite, kept, together

LOW_C, HIGH_C = TEMPERATURE_RANGE_C


def resistance_at(
    resistance_ohm: ArrayLike, *, at_c: ArrayLike, to_c: ArrayLike, metal: Metal
) -> Column:
    """Return ``cable.resistance_at`` of each row."""
    ohm, at, to = together(resistance_ohm, at_c, to_c)
    valid = (at >= LOW_C) & (at <= HIGH_C) & (to >= LOW_C) & (to <= HIGH_C) & (ohm >= 0.0)
    return kept(resistance_formula(ohm, at, to, metal.zero_c), valid)


def drop_v(
    current_a: ArrayLike,
    length_m: ArrayLike,
    *,
    r_ohm_per_m: ArrayLike,
    x_ohm_per_m: ArrayLike,
    power_factor: ArrayLike,
    phases: ArrayLike,
    leading: ArrayLike = False,
) -> Column:
    """Return ``cable.drop_v`` of each row."""
    current, length, r, x, factor, count, ahead = together(
        current_a, length_m, r_ohm_per_m, x_ohm_per_m, power_factor, phases, leading
    )
    valid = finite(current, length, r, x) & (factor >= 0.0) & (factor <= 1.0)
    with np.errstate(all="ignore"):
        one = drop_formula(current, r * length, x * length, factor, 1.0 - 2.0 * ahead)
        both = np.where(count == 1, 2.0, np.sqrt(3.0)) * one
    return kept(both, valid & ((count == 1) | (count == 3)))


def load_voltage_v(
    source_v: ArrayLike,
    current_a: ArrayLike,
    *,
    r_ohm: ArrayLike,
    x_ohm: ArrayLike,
    power_factor: ArrayLike,
    leading: ArrayLike = False,
) -> Column:
    """Return ``cable.load_voltage_v`` of each row."""
    source, current, r, x, factor, ahead = together(
        source_v, current_a, r_ohm, x_ohm, power_factor, leading
    )
    sign = 1.0 - 2.0 * ahead
    with np.errstate(all="ignore"):
        along = drop_formula(current, r, x, factor, sign)
        across = across_formula(current, r, x, factor, sign)
        fits = np.hypot(np.maximum(along, 0.0), across) <= source
        voltage = load_voltage_formula(source, along, across)
    return kept(voltage, finite(source, current, r, x) & (factor >= 0.0) & (factor <= 1.0) & fits)


def conductor_temperature_c(
    current_a: ArrayLike,
    *,
    ampacity_a: ArrayLike,
    ambient_c: ArrayLike,
    limit_c: ArrayLike,
    rated_ambient_c: ArrayLike,
) -> Column:
    """Return ``cable.conductor_temperature_c`` of each row."""
    current, ampacity, ambient, limit, rated = together(
        current_a, ampacity_a, ambient_c, limit_c, rated_ambient_c
    )
    valid = finite(current, ampacity) & (ampacity > 0.0)
    with np.errstate(all="ignore"):
        temperature = temperature_formula(current, ampacity, ambient, limit, rated)
    return kept(temperature, valid & (current <= 1.45 * ampacity) & (rated < limit))


def ambient_factor(
    ambient_c: ArrayLike, *, limit_c: ArrayLike, rated_ambient_c: ArrayLike
) -> Column:
    """Return ``cable.ambient_factor`` of each row."""
    ambient, limit, rated = together(ambient_c, limit_c, rated_ambient_c)
    with np.errstate(all="ignore"):
        factor = np.sqrt((limit - ambient) / (limit - rated))
    return kept(factor, (ambient < limit) & (rated < limit))


def adiabatic_k(initial_c: ArrayLike, final_c: ArrayLike, metal: Metal) -> Column:
    """Return ``cable.adiabatic_k`` of each row."""
    initial, final = together(initial_c, final_c)
    with np.errstate(all="ignore"):
        k = metal.heat * np.sqrt(np.log((metal.zero_c + final) / (metal.zero_c + initial)))
    return kept(k, (initial >= LOW_C) & (initial < final) & (final <= HIGH_C))


def adiabatic_area_mm2(current_a: ArrayLike, time_s: ArrayLike, k: ArrayLike) -> Column:
    """Return ``cable.adiabatic_area_mm2`` of each row."""
    current, time, constant = together(current_a, time_s, k)
    valid = finite(current) & (time > 0.0) & (time <= ADIABATIC_LIMIT_S) & (constant > 0.0)
    with np.errstate(all="ignore"):
        return kept(current * np.sqrt(time) / constant, valid)


def fault_temperature_c(
    current_a: ArrayLike,
    time_s: ArrayLike,
    *,
    area_mm2: ArrayLike,
    initial_c: ArrayLike,
    metal: Metal,
) -> Column:
    """Return ``cable.fault_temperature_c`` of each row."""
    current, time, area, initial = together(current_a, time_s, area_mm2, initial_c)
    valid = finite(current, area) & (area > 0.0) & (initial >= LOW_C) & (initial <= HIGH_C)
    with np.errstate(all="ignore"):
        heat = (current / (area * metal.heat)) ** 2 * time
        hot = (metal.zero_c + initial) * np.exp(np.minimum(heat, 50.0)) - metal.zero_c
    hot = np.where(heat < 50.0, hot, np.inf)
    return kept(hot, valid & (time > 0.0) & (time <= ADIABATIC_LIMIT_S))


def fault_current_a(
    voltage_v: ArrayLike, impedance_ohm: ArrayLike, *, voltage_factor: ArrayLike
) -> Column:
    """Return ``cable.fault_current_a`` of each row; the impedance may be complex."""
    voltage, size, factor = together(voltage_v, np.abs(np.asarray(impedance_ohm)), voltage_factor)
    valid = finite(voltage) & (size > 0.0) & (factor >= 0.9) & (factor <= 1.1)
    with np.errstate(all="ignore"):
        return kept(factor * voltage / size, valid)
