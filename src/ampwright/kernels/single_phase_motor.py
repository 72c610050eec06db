"""Single-phase motors that might replace a three-phase one: a circuit and a model of the plate.

The circuit is the main winding alone, by the double revolving field: good for torque, current
and loss of a motor whose winding data are known. The plate model needs no winding data: rated
point, locked rotor and the course of input power over load, from usual values.
"""

import math
from bisect import bisect_right
from functools import cache
from typing import NamedTuple

from ampwright.kernels.figures import rows

CONSTANT_LOSS_SHARE = 0.45  # of the loss at rated load; this and the next: common practice
CONSTANT_REACTIVE_SHARE = 0.70  # of the reactive power at rated load
KINDS = ("start-capacitor", "two-capacitor")


class MainWinding(NamedTuple):
    """Circuit of the main winding with the auxiliary winding open; floats or columns.

    Attributes:
        r1_ohm: Resistance of the main winding.
        x1_ohm: Its leakage reactance.
        xm_ohm: Magnetising reactance.
        r2_ohm: Rotor resistance, referred to the main winding.
        x2_ohm: Rotor leakage reactance.
        rc_ohm: Core loss as a resistance at the terminals.
        friction_w: Friction and windage at synchronous speed, torque in proportion to speed.
        pole_pairs: Pairs of poles.
        frequency_hz: Frequency of the reactances.
    """

    r1_ohm: float
    x1_ohm: float
    xm_ohm: float
    r2_ohm: float
    x2_ohm: float
    rc_ohm: float
    friction_w: float
    pole_pairs: int
    frequency_hz: float


class MainWindingState(NamedTuple):
    """Current, torque and powers of a main winding; the mean torque, without its pulsation."""

    current_a: complex
    air_gap_torque_nm: float
    shaft_torque_nm: float
    input_w: float
    stator_loss_w: float
    rotor_loss_w: float
    core_loss_w: float
    friction_loss_w: float
    shaft_w: float


def main_winding_state(winding: MainWinding, voltage_v: complex, slip: float) -> MainWindingState:
    """Return the state of a running single-phase motor on its main winding.

    Args:
        winding: The motor; a run capacitor's branch is not part of it.
        voltage_v: Terminal voltage [V].
        slip: Slip against the field that turns with the rotor.

    Returns:
        Current, mean torques and powers; input equals shaft power plus losses.

    Raises:
        ZeroDivisionError: A resistance or reactance is zero.

    Accuracy:
        Rounding only, within the circuit.

    Source:
        Double revolving field theory as in the textbooks (Fitzgerald, Kingsley, Umans, Electric
        Machinery, chapter on single-phase motors; from memory), core loss moved to the terminals.
    """
    forward_s = slip / (winding.r2_ohm + 1j * slip * winding.x2_ohm)
    backward_s = (2.0 - slip) / (winding.r2_ohm + 1j * (2.0 - slip) * winding.x2_ohm)
    magnetising_s = 1.0 / (1j * winding.xm_ohm)
    forward = 0.5 / (forward_s + magnetising_s)
    backward = 0.5 / (backward_s + magnetising_s)
    load_a = voltage_v / (winding.r1_ohm + 1j * winding.x1_ohm + forward + backward)
    p1, p2 = abs(load_a) ** 2 * forward.real, abs(load_a) ** 2 * backward.real
    omega_s = 2.0 * math.pi * winding.frequency_hz / winding.pole_pairs
    gap_nm = (p1 - p2) / omega_s
    friction_nm = winding.friction_w * (1.0 - slip) / omega_s
    core_w = abs(voltage_v) ** 2 / winding.rc_ohm
    stator_w = abs(load_a) ** 2 * winding.r1_ohm
    return MainWindingState(
        current_a=load_a + voltage_v / winding.rc_ohm,
        air_gap_torque_nm=gap_nm,
        shaft_torque_nm=gap_nm - friction_nm,
        input_w=p1 + p2 + stator_w + core_w,
        stator_loss_w=stator_w,
        rotor_loss_w=slip * p1 + (2.0 - slip) * p2,
        core_loss_w=core_w,
        friction_loss_w=friction_nm * (1.0 - slip) * omega_s,
        shaft_w=(gap_nm - friction_nm) * (1.0 - slip) * omega_s,
    )


class SinglePhasePlate(NamedTuple):
    """What a single-phase motor draws and gives; floats.

    Attributes:
        power_w: Rated shaft power.
        voltage_v: Rated voltage.
        current_a: Rated current.
        power_factor: At rated load.
        efficiency: At rated load.
        locked_rotor_current_a: At rated voltage.
        locked_rotor_power_factor: Of that current.
        locked_rotor_torque_ratio: Over rated torque.
        breakdown_torque_ratio: Over rated torque.
        assumed: Names of the values above that were supposed.
    """

    power_w: float
    voltage_v: float
    current_a: float
    power_factor: float
    efficiency: float
    locked_rotor_current_a: float
    locked_rotor_power_factor: float
    locked_rotor_torque_ratio: float
    breakdown_torque_ratio: float
    assumed: tuple[str, ...]


class Draw(NamedTuple):
    """What a motor takes from its supply at one load."""

    current_a: float
    input_w: float
    power_factor: float


@cache
def typical_table() -> dict[str, tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]]:
    """Return, for each kind, logarithms of power [W] and the six usual values of each."""
    motors = [tuple(row.values()) for row in rows("typical_single_phase_motor")]
    own = {kind: [row for row in motors if row[0] == kind] for kind in KINDS}
    return {
        kind: (
            tuple(math.log(float(row[1])) for row in found),
            tuple(tuple(map(float, row[2:])) for row in found),
        )
        for kind, found in own.items()
    }


def typical_values(power_w: float, kind: str) -> tuple[float, ...]:
    """Return the six usual values at a power, held at the ends of the table."""
    logs, values = typical_table()[kind]
    place = min(max(bisect_right(logs, math.log(power_w)), 1), len(logs) - 1)
    part = (math.log(power_w) - logs[place - 1]) / (logs[place] - logs[place - 1])
    part = min(max(part, 0.0), 1.0)
    pair = zip(values[place - 1], values[place], strict=True)
    return tuple(a + part * (b - a) for a, b in pair)


def single_phase_plate(
    *,
    power_w: float,
    voltage_v: float,
    kind: str,
    current_a: float | None = None,
    power_factor: float | None = None,
    efficiency: float | None = None,
    locked_rotor_current_a: float | None = None,
) -> SinglePhasePlate:
    """Return what a single-phase motor of a power draws and gives, stated or usual.

    Args:
        power_w: Rated shaft power [W].
        voltage_v: Rated voltage [V].
        kind: One of ``KINDS``: with a start capacitor, or with a run capacitor too.
        current_a: Rated current [A], or None.
        power_factor: At rated load, or None; closed from the others where they are stated.
        efficiency: At rated load, or None.
        locked_rotor_current_a: At rated voltage [A], or None.

    Returns:
        Rated point, locked rotor, torques, and what of it was supposed.

    Raises:
        ValueError: The kind is unknown, a number is not above zero, or current, efficiency and
            power cannot belong together.

    Accuracy:
        Usual values: efficiency 4 points, power factor 6 points, the rest a quarter.

    Source:
        Balance of powers; usual values: common practice, no source.
    """
    if kind not in KINDS:
        raise ValueError(f"kind must be one of {', '.join(KINDS)}, got {kind!r}")
    given = (current_a, power_factor, efficiency, locked_rotor_current_a)
    if not all(value is None or value > 0.0 for value in (power_w, voltage_v, *given)):
        raise ValueError(f"every stated value must be above 0, got {power_w} W, {given}")
    usual = typical_values(power_w, kind)
    share = efficiency or usual[0]
    if current_a is None:
        cosine = power_factor or usual[1]
        current_a = power_w / (voltage_v * share * cosine)
    elif efficiency is None and power_factor is not None:
        cosine, share = power_factor, power_w / (voltage_v * current_a * power_factor)
    else:
        cosine = power_w / (voltage_v * current_a * share)
        if efficiency is None and cosine > 1.0:  # a better motor than the usual one
            cosine, share = usual[1], power_w / (voltage_v * current_a * usual[1])
    if not (share < 1.0 and cosine <= 1.0):
        raise ValueError(
            f"{power_w} W at {voltage_v} V and {current_a} A would need an efficiency of "
            f"{share:.3f} and a power factor of {cosine:.3f}"
        )
    names = ("current_a", "power_factor", "efficiency", "locked_rotor_current_a")
    return SinglePhasePlate(
        power_w=power_w,
        voltage_v=voltage_v,
        current_a=current_a,
        power_factor=cosine,
        efficiency=share,
        locked_rotor_current_a=locked_rotor_current_a or usual[2] * current_a,
        locked_rotor_power_factor=usual[3],
        locked_rotor_torque_ratio=usual[4],
        breakdown_torque_ratio=usual[5],
        assumed=tuple(name for name, value in zip(names, given, strict=True) if value is None),
    )


def draw(plate: SinglePhasePlate, load: float) -> Draw:
    """Return what the motor takes at a load.

    Args:
        plate: The motor at its rated voltage.
        load: Shaft power over rated, 0 to about 1.25.

    Returns:
        Current, input power and power factor.

    Raises:
        ValueError: The load is negative.

    Accuracy:
        Exact at rated load; a tenth of the rated loss and a fifth of the rated reactive power
        elsewhere.

    Source:
        Loss and reactive power with a constant part and one that goes with the square of the
        load: common practice, no source.
    """
    if load < 0.0:
        raise ValueError(f"load must be 0 or more, got {load}")
    rated_va = plate.voltage_v * plate.current_a
    loss_w = rated_va * plate.power_factor - plate.power_w
    reactive = rated_va * math.sqrt(1.0 - plate.power_factor**2)
    input_w = plate.power_w * load + loss_w * course(load, CONSTANT_LOSS_SHARE)
    apparent = math.hypot(input_w, reactive * course(load, CONSTANT_REACTIVE_SHARE))
    return Draw(apparent / plate.voltage_v, input_w, input_w / apparent)


def course(load: float, constant: float) -> float:
    """Return a quantity over its rated value: a constant part and one with the square of load."""
    return constant + (1.0 - constant) * load * load
