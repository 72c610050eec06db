"""What heat allows, over columns; a row that the scalar kernel refuses is not-a-number."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ampwright.kernels.columns.valid import Column, finite, kept, together
from ampwright.kernels.induction import InductionCircuit, branch
from ampwright.kernels.thermal import (
    ALTITUDE_RANGE_M,
    AMBIENT_RANGE_C,
    CURVE_END,
    output_formula,
    points,
)

GOVERNING = ("plate", "largest-leg", "heating", "curve")


class UsableOutputs(NamedTuple):
    """``thermal.UsableOutput`` of many motors.

    Attributes:
        fraction: Of rated output.
        by_curve: Not-a-number beyond the curve's end.
        by_largest_leg: Fraction.
        by_heating: Fraction.
        governing: Place in ``GOVERNING``, -1 in a refused row.
        beyond_curve: Flag.
    """

    fraction: Column
    by_curve: Column
    by_largest_leg: Column
    by_heating: Column
    governing: NDArray[np.int64]
    beyond_curve: NDArray[np.bool_]


def unbalance_derating(unbalance: ArrayLike, curve: str) -> Column:
    """Return ``thermal.unbalance_derating`` of each row; one curve for all.

    Raises:
        ValueError: There is no such curve.
    """
    if curve not in {"nema", "iec"}:
        raise ValueError(f"curve nema or iec wanted, got {curve!r}")
    (ratio,) = together(unbalance)
    factor = np.interp(ratio, *points("unbalance_derating", "unbalance", curve))
    return kept(factor, (ratio >= 0.0) & (ratio <= CURVE_END))


def circuit_heating_weight(circuit: InductionCircuit, slip: ArrayLike) -> Column:
    """Return ``thermal.circuit_heating_weight`` of each row; the circuit may hold columns."""
    (at,) = together(slip)
    with np.errstate(all="ignore"):
        forward = at * branch(circuit, at).zr.real
        backward = (2.0 - at) * branch(circuit, 2.0 - at).zr.real
        weight = (circuit.r1_ohm + backward) / (circuit.r1_ohm + forward)
    return kept(weight, (at > 0.0) & (at < 0.3))


def usable_output(
    *,
    unbalance: ArrayLike,
    curve: str,
    negative_current: ArrayLike,
    alignment: ArrayLike,
    no_load_current: ArrayLike,
    weight: ArrayLike,
    leg_limit: ArrayLike,
) -> UsableOutputs:
    """Return ``thermal.usable_output`` of each row; one curve for all."""
    ratio, negative, turn, idle, heats, limit = together(
        unbalance, negative_current, alignment, no_load_current, weight, leg_limit
    )
    valid = (
        finite(negative, heats)
        & (ratio >= 0.0)
        & (ratio <= 1.0)
        & (turn >= 0.5 - 1e-9)
        & (turn <= 1.0 + 1e-9)
        & (idle >= 0.0)
        & (idle < 1.0)
        & (limit >= 0.9)
        & (limit <= 1.25)
    )
    with np.errstate(all="ignore"):
        leg = np.maximum(limit - turn * negative, 0.0)
        heat = np.sqrt(np.maximum(1.0 - heats * negative * negative, 0.0))
        by_leg = np.minimum(np.sqrt(np.maximum(output_formula(leg, idle), 0.0)), 1.0)
        by_heat = np.sqrt(np.maximum(output_formula(heat, idle), 0.0))
    beyond = ratio > CURVE_END
    by_curve = unbalance_derating(ratio, curve)
    end = unbalance_derating(CURVE_END, curve)
    limits = np.stack(
        (
            np.ones_like(ratio),
            by_leg,
            np.where(beyond, by_heat, np.inf),
            np.where(beyond, end, by_curve),
        )
    )
    chosen = np.where(valid, np.where(np.isnan(limits), np.inf, limits).argmin(axis=0), -1)
    return UsableOutputs(
        kept(limits.min(axis=0), valid),
        kept(by_curve, valid),
        kept(by_leg, valid),
        kept(by_heat, valid),
        chosen,
        valid & beyond,
    )


def drive_altitude_factor(altitude_m: ArrayLike) -> Column:
    """Return ``thermal.drive_altitude_factor`` of each row."""
    (altitude,) = together(altitude_m)
    low, high = ALTITUDE_RANGE_M
    factor = 1.0 - np.maximum(altitude - 1000.0, 0.0) / 10000.0
    return kept(factor, (altitude >= low) & (altitude <= high))


def motor_site_factor(*, ambient_c: ArrayLike, altitude_m: ArrayLike, limit_c: ArrayLike) -> Column:
    """Return ``thermal.motor_site_factor`` of each row."""
    ambient, altitude, limit = together(ambient_c, altitude_m, limit_c)
    low, high = AMBIENT_RANGE_C
    valid = (ambient >= low) & (ambient <= high) & (ambient < limit) & (limit > 40.0)
    with np.errstate(all="ignore"):
        rise = (limit - ambient) / (limit - 40.0) * drive_altitude_factor(altitude)
        return kept(np.minimum(1.0, np.sqrt(rise)), valid & np.isfinite(rise))


def drive_ambient_factor(ambient_c: ArrayLike, *, loss_per_k: ArrayLike) -> Column:
    """Return ``thermal.drive_ambient_factor`` of each row."""
    ambient, loss = together(ambient_c, loss_per_k)
    low, high = AMBIENT_RANGE_C
    valid = (ambient >= low) & (ambient <= high) & (loss >= 0.01) & (loss <= 0.025)
    return kept(1.0 - loss * np.maximum(ambient - 40.0, 0.0), valid)


def self_ventilated_torque(speed: ArrayLike) -> Column:
    """Return ``thermal.self_ventilated_torque`` of each row."""
    (ratio,) = together(speed)
    torque = np.interp(ratio, *points("self_ventilated", "speed", "torque"))
    return kept(torque, (ratio >= 0.1) & (ratio <= 1.0))
