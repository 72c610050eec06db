"""Single-phase rectifiers over columns; a row outside the table is not-a-number throughout."""

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ampwright.kernels.columns.valid import Column, finite, kept, together
from ampwright.kernels.rectifier import (
    AXES,
    LEAST_RESISTANCE,
    OUTPUTS,
    PULSE_SPEED_M_S,
    RectifierInput,
    grid,
)


@cache
def _values() -> NDArray[np.float64]:
    """Return the table as one array, an axis for each of ``AXES`` and the outputs last."""
    table = grid()
    shape = (*(len(axis) for axis in table.axes), len(OUTPUTS))
    filled = np.empty(shape)
    for corner, outputs in table.values.items():
        place = tuple(axis.index(one) for axis, one in zip(table.axes, corner, strict=True))
        filled[place] = outputs
    return filled


def _scaled(axis: str, value: NDArray[np.float64]) -> NDArray[np.float64]:
    return -1.0 / value if axis == "capacitance" else np.log(value)


def _interpolated(*place: NDArray[np.float64]) -> tuple[Column, ...]:
    lows: list[NDArray[np.intp]] = []
    parts: list[NDArray[np.float64]] = []
    valid = np.ones(place[0].shape, dtype=np.bool_)
    for axis, known, value in zip(AXES, grid().axes, place, strict=True):
        marks = np.asarray(known)
        valid = valid & (value >= marks[0]) & (value <= marks[-1])
        held = np.where(valid, value, marks[0])
        index = np.clip(np.searchsorted(marks, held, side="right"), 1, len(marks) - 1)
        low, high = _scaled(axis, marks[index - 1]), _scaled(axis, marks[index])
        lows.append(index - 1)
        parts.append((_scaled(axis, held) - low) / (high - low))
    total = np.zeros((*place[0].shape, len(OUTPUTS)))
    for corner in np.ndindex(2, 2, 2):
        weight = np.ones(place[0].shape)
        for step, part in zip(corner, parts, strict=True):
            weight = weight * (part if step else 1.0 - part)
        where = tuple(low + step for low, step in zip(lows, corner, strict=True))
        total += weight[..., np.newaxis] * _values()[where]
    return tuple(kept(total[..., number], valid) for number in range(len(OUTPUTS)))


def rectifier_input(
    power_w: ArrayLike,
    voltage_v: ArrayLike,
    *,
    frequency_hz: ArrayLike,
    resistance_ohm: ArrayLike,
    reactance_ohm: ArrayLike,
    capacitance_f: ArrayLike,
) -> RectifierInput:
    """Return ``rectifier.rectifier_input`` with a column in each field."""
    values = together(
        power_w, voltage_v, frequency_hz, resistance_ohm, reactance_ohm, capacitance_f
    )
    power, voltage, frequency, resistance, reactance, capacitance = values
    valid = finite(*values) & (np.minimum.reduce(values) > 0.0)
    with np.errstate(all="ignore"):
        base = voltage * voltage / power
        scaled_x = reactance / base
        scaled_c = 2.0 * np.pi * frequency * capacitance * base
        scaled_r = np.maximum(resistance / base, LEAST_RESISTANCE)
        states = _interpolated(kept(scaled_c, valid), kept(scaled_r, valid), kept(scaled_x, valid))
        current, peak, factor, displacement, mean, low, high, ripple = states
        current_a = current * power / voltage
        fields = {
            "current_a": current_a,
            "peak_a": peak * current_a,
            "distortion": np.sqrt(np.maximum((displacement / factor) ** 2 - 1.0, 0.0)),
            "power_factor": factor,
            "displacement_factor": displacement,
            "input_w": factor * current_a * voltage,
            "direct_mean_v": mean * voltage,
            "direct_low_v": low * voltage,
            "direct_high_v": high * voltage,
            "capacitor_a": ripple * power / voltage,
            "reactance": kept(scaled_x, np.isfinite(current)),
            "capacitance": kept(scaled_c, np.isfinite(current)),
        }
    return RectifierInput._make(fields[name] for name in RectifierInput._fields)


def reflected_peak_v(
    direct_v: ArrayLike, *, cable_m: ArrayLike, rise_s: ArrayLike, reflection: ArrayLike
) -> Column:
    """Return ``rectifier.reflected_peak_v`` of each row."""
    direct, length, rise, share = together(direct_v, cable_m, rise_s, reflection)
    valid = (direct >= 0.0) & (length >= 0.0) & (rise > 0.0) & (share >= 0.0) & (share <= 1.0)
    with np.errstate(all="ignore"):
        reached = np.minimum(1.0, 2.0 * length / (PULSE_SPEED_M_S * rise))
    return kept(direct * (1.0 + share * reached), valid)
