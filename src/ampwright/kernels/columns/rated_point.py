"""The rated points of many motors: the columnar driver of ``kernels.rated_point``.

What a plate does not state is not-a-number in its lane.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ampwright.kernels.columns.valid import Column
from ampwright.kernels.rated_point import (
    CORE_SHARE,
    EFFICIENCIES,
    EFFICIENCY_WEIGHT,
    FRICTION_SHARE,
    LEAST_SCALE,
    MOST_LOSS,
    MOST_POLE_PAIRS,
    POWER_FACTORS,
    PRODUCT_TOLERANCE,
    SLIPS,
    STATOR_SHARES,
    STRAY_SHARE,
    SUPPOSED_POWER_FACTOR,
    RatedPoint,
    TypicalMotor,
    least_loss,
    slip_left,
    typical_table,
)

Mask = NDArray[np.bool_]


class Plates(NamedTuple):
    """What many plates state, under the names of ``rated_point.complete_plate``."""

    power_w: Column
    voltage_v: Column
    frequency_hz: Column
    speed_rpm: Column
    poles: Column
    current_a: Column
    power_factor: Column
    efficiency: Column


class CompletedPlates(NamedTuple):
    """Rated points, usual motors of their sizes, and where (by name) what was supposed or doubted.

    Lanes that are not ``valid`` state what cannot be; their values mean nothing.
    """

    point: RatedPoint
    typical: TypicalMotor
    assumed: dict[str, Mask]
    doubted: dict[str, Mask]
    valid: Mask


def typical_motors(power_w: Column, pole_pairs: Column) -> TypicalMotor:
    """Return ``rated_point.typical_motor`` of each lane."""
    found = np.empty((len(TypicalMotor._fields), len(power_w)))
    place = np.log(power_w)
    table = typical_table()
    for pairs, (logs, motors) in table.items():
        lanes = np.minimum(pole_pairs, max(table)) == pairs
        at, rows = place[lanes], np.array(motors)
        above = np.clip(np.searchsorted(logs, at, side="right"), 1, len(logs) - 1)
        knots = np.array(logs)
        part = (at - knots[above - 1]) / (knots[above] - knots[above - 1])
        part = np.clip(part, 0.0, 1.0)[:, np.newaxis]
        found[:, lanes] = (rows[above - 1] + part * (rows[above] - rows[above - 1])).T
    return TypicalMotor._make(found)


def read_speeds(plates: Plates) -> tuple[Column, Column, dict[str, Mask]]:
    """Return pole pairs, slips (not-a-number: use a typical one) and doubts by name."""
    stated, known = ~np.isnan(plates.speed_rpm), ~np.isnan(plates.poles)
    ratio = 60.0 * plates.frequency_hz / plates.speed_rpm
    counted = np.maximum(np.floor(ratio * 1.002), 1.0)
    geared = stated & ~known & (counted > MOST_POLE_PAIRS)
    pairs = np.where(known, plates.poles // 2.0, np.where(stated & ~geared, counted, 2.0))
    slip = 1.0 - pairs / ratio
    below = stated & ~geared & (slip < SLIPS[0])
    above = stated & ~geared & (slip > SLIPS[1])
    doubts = {"speed-geared": geared, "speed-synchronous": below, "speed-frequency": above}
    return pairs, np.where(geared | below | above, np.nan, slip), doubts


def close_products(
    typical: TypicalMotor,
    product: Column,
    efficiency: Column,
    power_factor: Column,
    most: Column,
) -> tuple[Column, Column]:
    """Return ``rated_point.close_product`` of each lane."""
    supposed = np.minimum(typical.efficiency * gap_share(typical, product), most)
    supposed = np.maximum(supposed, product / SUPPOSED_POWER_FACTOR)
    closed = np.where(np.isnan(power_factor), supposed, product / power_factor)
    share = np.where(np.isnan(efficiency), closed, efficiency)
    cosine = np.where(np.isnan(efficiency) & ~np.isnan(power_factor), power_factor, product / share)
    alone = np.where(np.isnan(efficiency), np.minimum(typical.efficiency, most), efficiency)
    angle = np.where(np.isnan(power_factor), typical.power_factor, power_factor)
    lost = np.isnan(product)
    return np.where(lost, alone, share), np.where(lost, angle, cosine)


def gap_share(typical: TypicalMotor, product: Column) -> Column:
    """Return what of the gap between stated and typical product falls to the efficiency."""
    gap: Any = product / (typical.efficiency * typical.power_factor)
    return np.asarray(gap**EFFICIENCY_WEIGHT)


def split_losses(
    power_w: Column, efficiency: Column, slip: Column
) -> tuple[Column, Column, Column, Column]:
    """Return ``rated_point.split_losses`` of each lane."""
    loss = 1.0 / efficiency - 1.0
    free = loss - slip / (1.0 - slip)
    supposed = CORE_SHARE * loss + (FRICTION_SHARE + STRAY_SHARE) * (1.0 - slip)
    least, most = (share * loss for share in STATOR_SHARES)
    low = np.maximum((free - least) / supposed, LEAST_SCALE)
    high = (free - most) / supposed
    left = free - supposed
    scale = np.where(left < least, low, np.where(left > most, high, 1.0))
    stator = free - scale * supposed
    short = stator < least - 1e-12
    given: Any = loss
    slip = np.where(short, slip_left(given), slip)
    return slip, scale, np.where(short, least, stator) * power_w, loss * power_w


def valid_plates(plates: Plates) -> Mask:
    """Return where a plate states nothing that cannot be."""
    whole = (plates.power_w > 0.0) & (plates.voltage_v > 0.0) & (plates.frequency_hz > 0.0)
    speed = np.isnan(plates.speed_rpm) | (plates.speed_rpm > 0.0)
    poles = np.isnan(plates.poles) | ((plates.poles >= 2.0) & (plates.poles % 2.0 == 0.0))
    current = np.isnan(plates.current_a) | (plates.current_a > 0.0)
    return np.asarray(whole & speed & poles & current)


def complete_plates(plates: Plates) -> CompletedPlates:
    """Return ``rated_point.complete_plate`` of each lane.

    Args:
        plates: What the plates state, all columns of one length.

    Returns:
        The points, the usual motors, and masks by name of what was supposed and what was doubted.

    Raises:
        Nothing: a lane that the scalar driver refuses is not ``valid``.

    Accuracy:
        As the scalar driver; the two agree to rounding.

    Source:
        As the scalar driver.
    """
    valid = valid_plates(plates)
    sound = Plates(*(np.where(valid, one, two) for one, two in zip(plates, STAND_IN, strict=True)))
    pairs, plate_slip, doubted = read_speeds(sound)
    typical = typical_motors(sound.power_w, pairs)
    slip = np.where(np.isnan(plate_slip), typical.slip, plate_slip)
    efficiency, doubted["efficiency-implausible"] = kept(sound.efficiency, EFFICIENCIES)
    power_factor, doubted["power-factor-implausible"] = kept(sound.power_factor, POWER_FACTORS)

    full_va = np.sqrt(3.0) * sound.voltage_v
    product = sound.power_w / (full_va * sound.current_a)
    at: Any = slip
    most: Any = 1.0 / (1.0 + least_loss(at))
    share, cosine = close_products(typical, product, efficiency, power_factor, most)
    odd = ~(within(share, EFFICIENCIES) & within(cosine, POWER_FACTORS)) & ~np.isnan(product)
    product = np.where(odd, np.nan, product)
    share, cosine = close_products(typical, product, efficiency, power_factor, most)
    doubted["current-power"] = odd
    doubted["power-product"] = np.abs(cosine / power_factor - 1.0) > PRODUCT_TOLERANCE
    used, scale, stator_w, loss_w = split_losses(sound.power_w, share, slip)
    doubted["slip-losses"] = ~np.isnan(plate_slip) & (used != slip)
    usual_w = sound.power_w * (1.0 / typical.efficiency - 1.0)
    doubted["losses-unexplained"] = loss_w > MOST_LOSS * usual_w
    current_a = sound.power_w / (full_va * share * cosine)
    found: tuple[Any, ...] = (sound.power_w, sound.voltage_v, sound.frequency_hz, pairs, used)
    rest: tuple[Any, ...] = (current_a, cosine, share, scale * CORE_SHARE * loss_w)
    supposed = (scale * share_of * sound.power_w for share_of in (FRICTION_SHARE, STRAY_SHARE))
    assumed = {
        "poles": np.isnan(sound.poles) & (np.isnan(sound.speed_rpm) | doubted["speed-geared"]),
        "current_a": np.isnan(product),
        "power_factor": np.isnan(power_factor),
        "efficiency": np.isnan(efficiency),
        "speed_rpm": np.isnan(plate_slip) | (used != slip),
    }
    point = RatedPoint._make((*found, *rest, *supposed, stator_w))
    return CompletedPlates(point, typical, assumed, doubted, valid)


STAND_IN = Plates(*map(np.array, (746.0, 230.0, 60.0, *(np.nan,) * 5)))


def within(value: Column, limits: tuple[float, float]) -> Mask:
    """Return where a value lies within its limits, ends included."""
    return np.asarray((value >= limits[0]) & (value <= limits[1]))


def kept(value: Column, limits: tuple[float, float]) -> tuple[Column, Mask]:
    """Return stated shares, not-a-number where no motor has them, and where that is."""
    odd = ~np.isnan(value) & ~within(value, limits)
    return np.where(odd, np.nan, value), odd
