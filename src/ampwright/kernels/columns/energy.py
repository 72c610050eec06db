"""Energy over columns; a row that the scalar kernel refuses is not-a-number."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ampwright.kernels.columns.valid import Column, finite, kept, together
from ampwright.kernels.energy import (
    BEST_LOAD_RANGE,
    CLOSE,
    CLOSING_STEPS,
    FIRST_SLIP,
    IDLER_LARGE,
    IDLER_SMALL,
    IDLER_UNBALANCE_RANGE,
    LAST_SLIP,
    LEAKAGE_LIMIT,
    LOAD_RANGE,
    SLIP_STEP,
    PartLoad,
    efficiency_formula,
)
from ampwright.kernels.induction import InductionCircuit, sequence_state


def part_load(circuit: InductionCircuit, voltage_v: ArrayLike, shaft_w: ArrayLike) -> PartLoad:
    """Return ``energy.part_load`` with a column in each field; the circuit may hold columns."""
    voltage, shaft, _ = together(voltage_v, shaft_w, circuit.r1_ohm)
    phase = voltage / np.sqrt(3.0)

    def excess(slip: Column) -> Column:
        (found,) = together(sequence_state(circuit, phase, 0.0, slip).shaft_w)  # type: ignore[arg-type] # a column
        return np.asarray(found - shaft)

    with np.errstate(all="ignore"):
        valid = (voltage > 0.0) & finite(shaft)
        low, high, fits = _bracketed(excess, np.zeros_like(shaft), valid)
        slip = _closed_in(excess, low, high)
        state = sequence_state(circuit, phase, 0.0, slip)  # type: ignore[arg-type] # a column
        current, found, taken = together(np.abs(state.current1_a), state.shaft_w, state.input_w)
        rated_a = np.asarray(circuit.rated_current_a)
        good = valid & fits & (current <= LEAKAGE_LIMIT * rated_a)
        fields = (
            slip,
            taken,
            current,
            taken / (3.0 * phase * current),
            found / taken,
            found - shaft,
        )
    return PartLoad._make(kept(field, good) for field in fields)


def efficiency_at_load(
    rated_efficiency: ArrayLike, load: ArrayLike, *, best_load: ArrayLike
) -> Column:
    """Return ``energy.efficiency_at_load`` of each row."""
    rated, share, best = together(rated_efficiency, load, best_load)
    low, high = LOAD_RANGE
    first, last = BEST_LOAD_RANGE
    valid = (rated > 0.3) & (rated < 1.0) & (share >= low) & (share <= high)
    with np.errstate(all="ignore"):
        efficiency = efficiency_formula(rated, best, share)
    return kept(efficiency, valid & (best >= first) & (best <= last))


def idler_loss_w(rated_w: ArrayLike, unbalance: ArrayLike) -> Column:
    """Return ``energy.idler_loss_w`` of each row."""
    rated, ratio = together(rated_w, unbalance)
    low, high = IDLER_UNBALANCE_RANGE
    (small_w, small), (large_w, large) = IDLER_SMALL, IDLER_LARGE
    with np.errstate(all="ignore"):
        part = np.clip(np.log(rated / small_w) / np.log(large_w / small_w), 0.0, 1.0)
        loss = rated * (small + (large - small) * part) * (1.0 + (ratio / 0.06) ** 2)
    valid = (rated >= 370.0) & (rated <= 75000.0) & (ratio >= low) & (ratio <= high)
    return kept(loss, valid)


def yearly_energy_kwh(hours: ArrayLike, powers_w: ArrayLike) -> Column:
    """Return ``energy.yearly_energy_kwh`` of each row; states run along the first axis."""
    spans, powers = together(hours, powers_w)
    valid = finite(spans).all(axis=0) & (spans.sum(axis=0) <= 8784.0 * (1.0 + 1e-9))
    return kept((spans * powers).sum(axis=0) / 1000.0, valid)


def _bracketed(
    excess: Callable[[Column], Column], start: Column, valid: NDArray[np.bool_]
) -> tuple[Column, Column, NDArray[np.bool_]]:
    """Return slips below and above the zero of *excess*, and where there is one."""
    low, high = start, np.full_like(start, FIRST_SLIP)
    before, after = excess(low), excess(high)
    fits = valid
    while (short := fits & (after < 0.0)).any():
        fits = fits & ~(short & ((after <= before) | (high > LAST_SLIP)))
        moved = short & fits
        low, before = np.where(moved, high, low), np.where(moved, after, before)
        high = np.where(moved, high * SLIP_STEP, high)
        after = np.where(moved, excess(high), after)
    return low, high, fits


def _closed_in(excess: Callable[[Column], Column], low: Column, high: Column) -> Column:
    """Return where *excess* passes zero, by the steps of ``energy.closed_in``."""
    at_low, at_high = excess(low), excess(high)
    close, side = CLOSE * (at_high - at_low), np.zeros_like(low)
    found = np.where(at_high <= close, high, np.nan)
    for _ in range(CLOSING_STEPS):
        middle = low - at_low * (high - low) / (at_high - at_low)
        at_middle = excess(middle)
        found = np.where(np.isnan(found) & (np.abs(at_middle) <= close), middle, found)
        if not np.isnan(found).any():
            break
        below = at_middle < 0.0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
        at_low = np.where(below, at_middle, at_low * np.where(side > 0.0, 0.5, 1.0))
        at_high = np.where(below, at_high * np.where(side < 0.0, 0.5, 1.0), at_middle)
        side = np.where(below, -1.0, 1.0)
    return np.where(np.isnan(found), 0.5 * (low + high), found)
