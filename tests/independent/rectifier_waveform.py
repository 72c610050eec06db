"""A bridge with a capacitor, solved in the time domain: a model of its own, for tests only.

Scaled as in ``ampwright.kernels.rectifier``: source of rms voltage 1, direct power 1, time as the
angle of the source. Line resistance and reactance, capacitor, direct load of constant current, of
constant resistance or of constant power; fixed-step Runge-Kutta over columns of cases.
"""

from collections.abc import Callable
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Column = NDArray[np.float64]
LOADS: dict[str, Callable[[Column, Column], Column]] = {
    "current": lambda scale, _v: scale,
    "resistor": lambda scale, v: scale * v / 1.3,
    "power": lambda scale, v: scale * 1.3 / v,
}


ROUNDS, PERIODS, LAST_PERIODS = 6, 6, 12


class Wave(NamedTuple):
    """Averages over the last period, a column each; names as in the table of states."""

    current: Column
    peak: Column
    power_factor: Column
    displacement: Column
    direct_mean: Column
    direct_low: Column
    direct_high: Column
    ripple_current: Column
    power: Column
    end: Column


def periods(
    capacitance: Column,
    resistance: Column,
    reactance: Column,
    load: Callable[[Column], Column],
    start: Column,
    count: int,
    steps: int,
) -> Wave:
    """Return what the last of *count* periods looks like, from a capacitor voltage on."""
    h = 2.0 * np.pi / steps
    i, v = np.zeros_like(start), start.copy()
    sign, on = np.ones_like(start), np.zeros(start.shape, dtype=np.bool_)
    kept: list[tuple[Column, Column, float, Column]] = []

    def slopes(i: Column, v: Column, e: float) -> tuple[Column, Column]:
        rise = np.where(on, (sign * e - resistance * i - v) / reactance, 0.0)
        return rise, (i - load(v)) / capacitance

    for step in range(count * steps):
        e0, em, e1 = (np.sqrt(2.0) * np.sin((step + part) * h) for part in (0.0, 0.5, 1.0))
        fires = ~on & (abs(e0) > v)
        sign, on = np.where(fires, np.sign(e0), sign), on | fires
        if step >= (count - 1) * steps:
            kept.append((sign * i, v, e0, load(v)))
        a1, b1 = slopes(i, v, e0)
        a2, b2 = slopes(i + h / 2 * a1, v + h / 2 * b1, em)
        a3, b3 = slopes(i + h / 2 * a2, v + h / 2 * b2, em)
        a4, b4 = slopes(i + h * a3, v + h * b3, e1)
        i = i + h / 6 * (a1 + 2 * a2 + 2 * a3 + a4)
        v = v + h / 6 * (b1 + 2 * b2 + 2 * b3 + b4)
        blocks = on & (i <= 0.0)
        i, on = np.where(blocks, 0.0, i), on & ~blocks

    line, direct = np.array([one[0] for one in kept]), np.array([one[1] for one in kept])
    source = np.array([one[2] for one in kept])[:, np.newaxis]
    drawn = np.array([one[3] for one in kept])
    angle = np.arange(steps)[:, np.newaxis] * h
    rms = np.sqrt((line**2).mean(axis=0))
    in_phase, across = (line * np.sin(angle)).mean(axis=0), (line * np.cos(angle)).mean(axis=0)
    taken = (line * source).mean(axis=0)
    return Wave(
        rms,
        abs(line).max(axis=0) / rms,
        taken / rms,
        taken / (np.sqrt(2.0) * np.hypot(in_phase, across)),
        direct.mean(axis=0),
        direct.min(axis=0),
        direct.max(axis=0),
        np.sqrt(((abs(line) - drawn) ** 2).mean(axis=0)),
        taken - resistance * rms**2,
        v,
    )


def steady(
    capacitance: Column, resistance: Column, reactance: Column, *, load: str, steps: int = 2000
) -> Wave:
    """Return the periodic state at direct power 1, the load scaled until it draws just that."""
    scale, start = np.full_like(reactance, 0.75), np.full_like(reactance, 1.3)
    drawn = LOADS[load]
    for round_number in range(ROUNDS):
        wave = periods(
            capacitance, resistance, reactance, partial(drawn, scale), start,
            LAST_PERIODS if round_number == ROUNDS - 1 else PERIODS, steps,
        )  # fmt: skip
        scale, start = scale / wave.power, wave.end
    return wave
