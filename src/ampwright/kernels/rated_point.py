"""The rated point of a motor: what its plate says, completed from typical motors.

Everything that has to be supposed is named, and every contradiction of the plate with itself.
"""

import math
from bisect import bisect_right
from functools import cache
from typing import NamedTuple

from ampwright.kernels.figures import rows

CORE_SHARE = 0.20  # of all loss; this and the next two: common practice, no source
FRICTION_SHARE = 0.012  # of rated power, at synchronous speed
STRAY_SHARE = 0.012  # of rated power, at synchronous speed
STATOR_SHARES = (0.15, 0.65)  # of all loss, within which the other shares are left alone
MOST_LOSS = 2.5  # over the usual loss; above it something is wrong with the efficiency
LEAST_SCALE = 0.4  # how far the three supposed shares may be scaled down to stay within
EFFICIENCY_WEIGHT = 0.17  # its part of a gap between current and typical values, as variance goes
SUPPOSED_POWER_FACTOR = 0.95  # the highest that is supposed
EFFICIENCIES = (0.15, 0.975)  # what any motor up to 75 kW may have; the next three likewise
POWER_FACTORS = (0.2, 0.97)
SLIPS = (0.002, 0.25)
MOST_POLE_PAIRS = 8
PRODUCT_TOLERANCE = 0.03

#: What may be wrong with a plate or with a fit; ``value`` and ``expected`` of a `Diagnostic`.
DIAGNOSTICS = {
    "speed-geared": "speed of no motor up to 16 poles, perhaps behind a gear; four poles supposed",
    "speed-synchronous": "speed at or above synchronous speed; typical slip supposed",
    "speed-frequency": "speed too far below synchronous speed; typical slip supposed",
    "slip-losses": "slip contradicts efficiency; the slip that fits is used",
    "losses-unexplained": "more than two and a half times the usual loss: efficiency or speed odd",
    "efficiency-implausible": "no motor of this kind has this efficiency; typical one used",
    "power-factor-implausible": "no motor of this kind has this power factor; typical one used",
    "power-product": "current, efficiency and power factor contradict power; power factor dropped",
    "current-power": "current contradicts power; typical current used",
    "rated-point": "the circuit misses the rated point by more than 1 %",
    "locked-rotor-current": "the circuit misses the stated locked-rotor current by more than 10 %",
    "locked-rotor-torque": "the circuit misses the stated locked-rotor torque by more than 10 %",
    "breakdown-torque": "the circuit misses the stated breakdown torque by more than 10 %",
    "no-load-current": "the circuit misses the stated no-load current by more than 10 %",
    "no-load-unusual": "no-load current of the circuit outside 20 to 95 % of rated",
    "breakdown-low": "breakdown torque of the circuit below 1.6 times rated",
}


class Diagnostic(NamedTuple):
    """One doubt: a key of `DIAGNOSTICS`, the value met, and the value it was held against."""

    code: str
    value: float
    expected: float


class TypicalMotor(NamedTuple):
    """What is usual at one power and number of poles; the three ratios are over rated values."""

    efficiency: float
    power_factor: float
    slip: float
    locked_rotor_current_ratio: float
    locked_rotor_torque_ratio: float
    breakdown_torque_ratio: float


class RatedPoint(NamedTuple):
    """A rated point that agrees with itself; every field a float or a column.

    Attributes:
        power_w: Rated shaft power.
        voltage_v: Line-to-line voltage.
        frequency_hz: Frequency.
        pole_pairs: Pairs of poles.
        slip: Slip at rated power.
        current_a: Line current.
        power_factor: Of that current.
        efficiency: Shaft power over input.
        core_w: Core loss.
        friction_w: Friction and windage at synchronous speed.
        stray_w: Stray load loss at synchronous speed.
        stator_w: Loss in the stator winding, what is left of the balance.
    """

    power_w: float
    voltage_v: float
    frequency_hz: float
    pole_pairs: int
    slip: float
    current_a: float
    power_factor: float
    efficiency: float
    core_w: float
    friction_w: float
    stray_w: float
    stator_w: float


class CompletedPlate(NamedTuple):
    """A rated point with what had to be supposed (name and value) and what was doubted."""

    point: RatedPoint
    typical: TypicalMotor
    assumed: dict[str, float]
    diagnostics: tuple[Diagnostic, ...]


@cache
def typical_table() -> dict[int, tuple[tuple[float, ...], tuple[TypicalMotor, ...]]]:
    """Return, for each number of pole pairs, logarithms of power [W] and the motors there."""
    motors = rows("typical_motor")
    table = {}
    for pairs in sorted({int(row["poles"]) // 2 for row in motors}):
        own = [row for row in motors if int(row["poles"]) == 2 * pairs]
        logs = tuple(math.log(float(row["power_w"])) for row in own)
        table[pairs] = (
            logs,
            tuple(
                TypicalMotor(*(float(row[name]) for name in TypicalMotor._fields)) for row in own
            ),
        )
    return table


def typical_motor(power_w: float, pole_pairs: int) -> TypicalMotor:
    """Return the usual motor of a power, from ``typical_motor.csv`` beside this module.

    Args:
        power_w: Rated shaft power [W], above zero.
        pole_pairs: Pairs of poles; more than four are taken as four.

    Returns:
        Values between the rows, in proportion to the logarithm of power; beyond the table's ends
        (75 W and 75 kW) those of the end.

    Raises:
        ValueError: The power is not above zero.

    Accuracy:
        Efficiency 2 points, power factor 4 points, slip a third, the ratios a fifth.

    Source:
        Common practice, no source.
    """
    if not power_w > 0.0:
        raise ValueError(f"power_w must be above 0, got {power_w}")
    logs, motors = typical_table()[min(pole_pairs, max(typical_table()))]
    place = min(max(bisect_right(logs, math.log(power_w)), 1), len(logs) - 1)
    below, above = motors[place - 1], motors[place]
    part = (math.log(power_w) - logs[place - 1]) / (logs[place] - logs[place - 1])
    part = min(max(part, 0.0), 1.0)
    return TypicalMotor(*(a + part * (b - a) for a, b in zip(below, above, strict=True)))


def read_speed(
    frequency_hz: float, speed_rpm: float | None, poles: int | None
) -> tuple[int, float | None, str]:
    """Return pole pairs, slip (None: use a typical one) and a key of `DIAGNOSTICS` or nothing."""
    if speed_rpm is None:
        return (poles or 4) // 2, None, ""
    ratio = 60.0 * frequency_hz / speed_rpm
    pairs = poles // 2 if poles else max(int(ratio * 1.002), 1)
    if poles is None and pairs > MOST_POLE_PAIRS:
        return 2, None, "speed-geared"
    slip = 1.0 - pairs / ratio
    if slip < SLIPS[0]:
        return pairs, None, "speed-synchronous"
    return (pairs, None, "speed-frequency") if slip > SLIPS[1] else (pairs, slip, "")


def least_loss(slip: float) -> float:
    """Return the smallest loss over power at which a slip leaves the stator its least share."""
    other = slip / (1.0 - slip) + (FRICTION_SHARE + STRAY_SHARE) * (1.0 - slip)
    return other / (1.0 - CORE_SHARE - STATOR_SHARES[0])


def slip_left(loss: float) -> float:
    """Return the largest slip that a loss over power allows with the smallest other shares."""
    mechanical = LEAST_SCALE * (FRICTION_SHARE + STRAY_SHARE)
    free = loss * (1.0 - STATOR_SHARES[0] - LEAST_SCALE * CORE_SHARE) + 1.0
    root: float = (free * free - 4.0 * mechanical) ** 0.5
    return 1.0 - 2.0 / (free + root)


def close_product(
    typical: TypicalMotor,
    product: float | None,
    efficiency: float | None,
    power_factor: float | None,
    most: float,
) -> tuple[float, float]:
    """Return efficiency and power factor from what is stated of them and of their product.

    Args:
        typical: The usual motor of this size.
        product: Power over apparent power; None where the current is unknown.
        efficiency: Stated efficiency or None.
        power_factor: Stated power factor or None; with the other two stated it is not used.
        most: Largest efficiency that leaves the losses room, for one that is supposed.
    """
    if product is None:
        return efficiency or min(typical.efficiency, most), power_factor or typical.power_factor
    if efficiency:
        return efficiency, product / efficiency
    if power_factor:
        return product / power_factor, power_factor
    gap = product / (typical.efficiency * typical.power_factor)
    efficiency = min(typical.efficiency * gap**EFFICIENCY_WEIGHT, most)
    efficiency = max(efficiency, product / SUPPOSED_POWER_FACTOR)
    return efficiency, product / efficiency


def split_losses(
    power_w: float, efficiency: float, slip: float
) -> tuple[float, float, float, float]:
    """Return slip, scale of the supposed shares, stator loss and all loss [W].

    The supposed shares give way first, then, where the stator would still be left too little,
    the slip: a speed on a plate is rounded, and often that of another motor of the family.
    """
    loss = 1.0 / efficiency - 1.0
    free = loss - slip / (1.0 - slip)
    supposed = CORE_SHARE * loss + (FRICTION_SHARE + STRAY_SHARE) * (1.0 - slip)
    least, most = (share * loss for share in STATOR_SHARES)
    scale = 1.0
    if free - supposed < least:
        scale = max((free - least) / supposed, LEAST_SCALE)
    elif free - supposed > most:
        scale = (free - most) / supposed
    stator = free - scale * supposed
    if stator < least - 1e-12:
        slip, stator = slip_left(loss), least
    return slip, scale, stator * power_w, loss * power_w


def within(value: float, limits: tuple[float, float]) -> bool:
    """Return whether a value lies within its limits, ends included."""
    return limits[0] <= value <= limits[1]


def kept(
    name: str,
    value: float | None,
    limits: tuple[float, float],
    typical: float,
    doubts: list[Diagnostic],
) -> float | None:
    """Return a stated share, or None with a doubt where no motor has it."""
    if value is None or within(value, limits):
        return value
    doubts.append(Diagnostic(f"{name}-implausible", value, typical))
    return None


def check_given(
    power_w: float,
    voltage_v: float,
    frequency_hz: float,
    speed_rpm: float | None,
    poles: int | None,
    current_a: float | None,
) -> None:
    """Raise ``ValueError`` for what cannot stand on any plate."""
    if not (power_w > 0.0 and voltage_v > 0.0 and frequency_hz > 0.0):
        raise ValueError(
            "power, voltage and frequency must be above 0, "
            f"got {power_w} W, {voltage_v} V, {frequency_hz} Hz"
        )
    for name, value in (("speed_rpm", speed_rpm), ("current_a", current_a)):
        if value is not None and not value > 0.0:
            raise ValueError(f"{name} must be above 0 or None, got {value}")
    if poles is not None and (poles < 2 or poles % 2):
        raise ValueError(f"poles must be an even number from 2, got {poles}")


def complete_plate(
    *,
    power_w: float,
    voltage_v: float,
    frequency_hz: float,
    speed_rpm: float | None,
    poles: int | None,
    current_a: float | None,
    power_factor: float | None,
    efficiency: float | None,
) -> CompletedPlate:
    """Return a rated point that agrees with itself, whatever the plate leaves out.

    Args:
        power_w: Rated shaft power [W].
        voltage_v: Line-to-line voltage [V] of the connection asked about.
        frequency_hz: Rated frequency [Hz].
        speed_rpm: Rated speed [rpm] or None.
        poles: Number of poles or None: from the speed, else four.
        current_a: Line current [A] at that voltage or None.
        power_factor: At rated power, or None.
        efficiency: At rated power, or None.

    Returns:
        The point, the usual motor of its size, what was supposed and what was doubted. Of
        contradicting current, efficiency and power factor the power factor gives way; a current
        that no motor of this power has is dropped.

    Raises:
        ValueError: Power, voltage, frequency, speed or current is not above zero, or the number
            of poles is not even. An implausible efficiency or power factor is a doubt, no error.

    Accuracy:
        The point meets its own balance to rounding; see ``typical_motor`` for what is supposed.

    Source:
        Balance of powers; shares of loss: common practice, no source.
    """
    check_given(power_w, voltage_v, frequency_hz, speed_rpm, poles, current_a)
    assumed: dict[str, float] = {}
    doubts: list[Diagnostic] = []
    pairs, plate_slip, code = read_speed(frequency_hz, speed_rpm, poles)
    typical = typical_motor(power_w, pairs)
    slip = plate_slip or typical.slip
    synchronous_rpm = 60.0 * frequency_hz / pairs
    if code:
        doubts.append(Diagnostic(code, speed_rpm or 0.0, synchronous_rpm * (1.0 - slip)))
    if poles is None and (speed_rpm is None or code == "speed-geared"):
        assumed["poles"] = 2.0 * pairs
    efficiency = kept("efficiency", efficiency, EFFICIENCIES, typical.efficiency, doubts)
    power_factor = kept("power-factor", power_factor, POWER_FACTORS, typical.power_factor, doubts)

    full_va = math.sqrt(3.0) * voltage_v
    product = power_w / (full_va * current_a) if current_a else None
    most = 1.0 / (1.0 + least_loss(slip))
    share, cosine = close_product(typical, product, efficiency, power_factor, most)
    if product and not (within(share, EFFICIENCIES) and within(cosine, POWER_FACTORS)):
        share, cosine = close_product(typical, None, efficiency, power_factor, most)
        expected_a = power_w / (full_va * share * cosine)
        doubts.append(Diagnostic("current-power", current_a or 0.0, expected_a))
        product = None
    if power_factor and abs(cosine / power_factor - 1.0) > PRODUCT_TOLERANCE:
        doubts.append(Diagnostic("power-product", power_factor, cosine))
    slip_used, scale, stator_w, loss_w = split_losses(power_w, share, slip)
    if plate_slip and slip_used != slip:
        doubts.append(Diagnostic("slip-losses", slip, slip_used))
    usual_w = power_w * (1.0 / typical.efficiency - 1.0)
    if loss_w > MOST_LOSS * usual_w:
        doubts.append(Diagnostic("losses-unexplained", loss_w, usual_w))
    point = RatedPoint(
        power_w=power_w,
        voltage_v=voltage_v,
        frequency_hz=frequency_hz,
        pole_pairs=pairs,
        slip=slip_used,
        current_a=power_w / (full_va * share * cosine),
        power_factor=cosine,
        efficiency=share,
        core_w=scale * CORE_SHARE * loss_w,
        friction_w=scale * FRICTION_SHARE * power_w,
        stray_w=scale * STRAY_SHARE * power_w,
        stator_w=stator_w,
    )
    supposed = {
        "current_a": (product is None, point.current_a),
        "power_factor": (power_factor is None, cosine),
        "efficiency": (efficiency is None, share),
        "speed_rpm": (plate_slip is None or slip_used != slip, synchronous_rpm * (1 - slip_used)),
    }
    assumed |= {name: value for name, (yes, value) in supposed.items() if yes}
    return CompletedPlate(point, typical, assumed, tuple(doubts))
