"""Locked-rotor current and its first peak over columns; a refused row is not-a-number."""

import numpy as np
from numpy.typing import ArrayLike

from ampwright.kernels.columns.valid import Column, kept, together


def code_letter_current_a(
    power_hp: ArrayLike, kva_per_hp: ArrayLike, voltage_v: ArrayLike, *, phases: ArrayLike
) -> Column:
    """Return ``inrush.code_letter_current_a`` of each row."""
    power, ratio, voltage, count = together(power_hp, kva_per_hp, voltage_v, phases)
    valid = (power > 0.0) & (ratio > 0.0) & (voltage > 0.0) & ((count == 1) | (count == 3))
    with np.errstate(all="ignore"):
        return kept(1000.0 * ratio * power / (np.sqrt(count) * voltage), valid)


def asymmetry_factor(power_factor: ArrayLike) -> Column:
    """Return ``inrush.asymmetry_factor`` of each row."""
    (factor,) = together(power_factor)
    with np.errstate(all="ignore"):
        ratio = factor / np.sqrt(1.0 - factor * factor)
        return kept(1.02 + 0.98 * np.exp(-3.0 * ratio), (factor >= 0.0) & (factor <= 1.0))
