"""Single-phase rectifier with a capacitor behind it: line current, direct voltage, what is left.

Everything is scaled by the source's rms voltage V and the direct power P: reactance by V^2 / P,
current by P / V. The states come from ``rectifier_states.csv``, between whose points they are
interpolated; outside its range there is no answer but an error.
"""

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from functools import cache
from typing import NamedTuple

from ampwright.kernels.figures import rows

OUTPUTS = (
    "current",
    "peak",
    "power_factor",
    "displacement",
    "direct_mean",
    "direct_low",
    "direct_high",
    "ripple_current",
)
AXES = ("capacitance", "resistance", "reactance")
LEAST_RESISTANCE = 0.0005  # of V^2 / P; less counts as this, which changes nothing by 0.3 %
DRIVE_EFFICIENCY = (0.95, 0.97)  # inverter and rectifier together: common practice, no source
PULSE_SPEED_M_S = 150e6  # of a step along motor cable: common practice, no source


class Grid(NamedTuple):
    """The table of states as axes and values.

    Attributes:
        axes: Ascending values of each of ``AXES``.
        values: The ``OUTPUTS`` at each corner.
    """

    axes: tuple[tuple[float, ...], ...]
    values: Mapping[tuple[float, ...], tuple[float, ...]]


class RectifierInput(NamedTuple):
    """State of a single-phase rectifier.

    Attributes:
        current_a: Line current, rms.
        peak_a: Its crest.
        distortion: Harmonics over fundamental of the line current.
        power_factor: At the source.
        displacement_factor: Of the fundamental, at the source.
        input_w: Power from the source, losses in its resistance included.
        direct_mean_v: Mean capacitor voltage.
        direct_low_v: Its valley: what a drive can count on.
        direct_high_v: Its crest.
        capacitor_a: Current in the capacitor from the rectifier's side, rms.
        reactance: Over V^2 / P, as looked up.
        capacitance: Times 2 pi f V^2 / P, as looked up.
    """

    current_a: float
    peak_a: float
    distortion: float
    power_factor: float
    displacement_factor: float
    input_w: float
    direct_mean_v: float
    direct_low_v: float
    direct_high_v: float
    capacitor_a: float
    reactance: float
    capacitance: float


class DriveDerating(NamedTuple):
    """Output of a three-phase drive fed by one phase over its rated output, by what limits it.

    Attributes:
        line_current: Equal current in its input terminals and diodes.
        capacitor_current: Equal rms current in its capacitors, so equal life.
        ripple: Equal ripple of its direct voltage.
    """

    line_current: float
    capacitor_current: float
    ripple: float


@cache
def grid() -> Grid:
    """Return the table of states, read once."""
    read = rows("rectifier_states")
    axes = tuple(tuple(sorted({float(row[axis]) for row in read})) for axis in AXES)
    values = {
        tuple(float(row[axis]) for axis in AXES): tuple(float(row[name]) for name in OUTPUTS)
        for row in read
    }
    return Grid(axes, values)


def scaled(axis: str, value: float) -> float:
    """Return the coordinate in which the states are nearly straight along an axis."""
    return -1.0 / value if axis == "capacitance" else math.log(value)


def interpolated(place: Sequence[float]) -> tuple[float, ...]:
    """Return the outputs at a point of the three axes, by straight lines in scaled coordinates.

    Raises:
        ValueError: The point is outside the table.
    """
    table = grid()
    corners: dict[tuple[float, ...], float] = {(): 1.0}
    for axis, known, value in zip(AXES, table.axes, place, strict=True):
        if not known[0] <= value <= known[-1]:
            raise ValueError(f"{axis} {known[0]} to {known[-1]} wanted, got {value:.4g}")
        index = min(bisect_right(known, value), len(known) - 1)
        low, high = scaled(axis, known[index - 1]), scaled(axis, known[index])
        part = (scaled(axis, value) - low) / (high - low)
        corners = {
            (*corner, known[index - 1 + step]): weight * share
            for corner, weight in corners.items()
            for step, share in ((0, 1.0 - part), (1, part))
            if share > 0.0
        }
    return tuple(
        sum(weight * table.values[corner][number] for corner, weight in corners.items())
        for number in range(len(OUTPUTS))
    )


def rectifier_input(
    power_w: float,
    voltage_v: float,
    *,
    frequency_hz: float,
    resistance_ohm: float,
    reactance_ohm: float,
    capacitance_f: float,
) -> RectifierInput:
    """Return the state of a single-phase bridge with a capacitor.

    Args:
        power_w: Power drawn from the capacitor [W].
        voltage_v: Source voltage, rms, behind its impedance [V].
        frequency_hz: Frequency [Hz].
        resistance_ohm: Resistance of the whole loop [ohm].
        reactance_ohm: Reactance of the whole loop, chokes included; a choke on the direct side
            counts like one on the line [ohm].
        capacitance_f: Of the direct link [F].

    Returns:
        The state.

    Raises:
        ValueError: An argument is not above zero, or its scaled value is outside the table:
            reactance 0.001 to 0.12 and resistance up to 0.1 of V^2 / P, 2 pi f C V^2 / P of
            6.5 to 40 (300 to 1840 microfarads a kilowatt at 240 V and 60 Hz).

    Accuracy:
        2 % against the solved waveform, 3 % below a reactance of 0.003; capacitor current 4 %.
        The direct current is taken as constant, which a resistor equals to 0.3 %. A load of
        strictly constant power makes half waves unequal at reactances below 0.015, with up to 9 %
        more current and a quarter more peak. Sinusoidal source, no diode drop.

    Source:
        ``rectifier_states.csv``.
    """
    values = (power_w, voltage_v, frequency_hz, resistance_ohm, reactance_ohm, capacitance_f)
    if not all(0.0 < value < math.inf for value in values):
        raise ValueError(f"finite numbers above zero wanted, got {values}")
    base_ohm = voltage_v * voltage_v / power_w
    reactance = reactance_ohm / base_ohm
    capacitance = 2.0 * math.pi * frequency_hz * capacitance_f * base_ohm
    current, peak, factor, displacement, mean, low, high, ripple = interpolated(
        (capacitance, max(resistance_ohm / base_ohm, LEAST_RESISTANCE), reactance)
    )
    current_a = current * power_w / voltage_v
    return RectifierInput(
        current_a=current_a,
        peak_a=peak * current_a,
        distortion=math.sqrt(max((displacement / factor) ** 2 - 1.0, 0.0)),
        power_factor=factor,
        displacement_factor=displacement,
        input_w=factor * current_a * voltage_v,
        direct_mean_v=mean * voltage_v,
        direct_low_v=low * voltage_v,
        direct_high_v=high * voltage_v,
        capacitor_a=ripple * power_w / voltage_v,
        reactance=reactance,
        capacitance=capacitance,
    )


def choke_reactance_ohm(fraction: float, voltage_v: float, current_a: float) -> float:
    """Return the reactance of a choke that is sold by its voltage drop.

    Args:
        fraction: Drop at rated current over rated voltage, 0.005 to 0.12.
        voltage_v: Its rated voltage, to the star point if three-phase [V].
        current_a: Its rated current [A].

    Returns:
        Reactance of one winding [ohm]; with one winding in each line of a single-phase loop twice.

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        Rounding only; chokes are built to 10 %.

    Source:
        Definition of a choke's percentage, common practice, no source.
    """
    if not (0.005 <= fraction <= 0.12 and voltage_v > 0.0 and current_a > 0.0):
        raise ValueError("drop 0.005 to 0.12, voltage and current above zero wanted")
    return fraction * voltage_v / current_a


def direct_power_w(shaft_w: float, *, motor_efficiency: float, drive_efficiency: float) -> float:
    """Return the power that a drive's motor takes from the direct link [W].

    Args:
        shaft_w: Power at the shaft [W].
        motor_efficiency: At that load, above 0 and up to 1.
        drive_efficiency: Of inverter and rectifier, above 0.8 and up to 1.

    Returns:
        Power [W].

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        That of the efficiencies.

    Source:
        Definition.
    """
    if not (shaft_w >= 0.0 and 0.0 < motor_efficiency <= 1.0 and 0.8 < drive_efficiency <= 1.0):
        raise ValueError("power zero or above, motor 0 to 1, drive 0.8 to 1 wanted")
    return shaft_w / (motor_efficiency * drive_efficiency)


def drive_derating() -> DriveDerating:
    """Return the output of a three-phase drive on one phase, by each of its three limits.

    The usual "half" is the limit of line current. The square root of three that is often quoted
    for the current is its lower bound, for equal waveforms; the single-phase wave is peakier, and
    the current is 1.9 to 2.05 times that of the same drive on three phases.

    Returns:
        Fractions of rated output.

    Raises:
        Nothing on purpose.

    Accuracy:
        Line current 0.02, capacitor current 0.1 and ripple 0.06, for a supply reactance of 0.01
        to 0.03 and 450 microfarads a kilowatt at 240 V, 60 Hz; with more reactance capacitors and
        ripple ask for less still. The drive's own data go first.

    Source:
        Waveforms of both bridges behind the same supply, in
        ``tests/independent/test_rectifier_waveform.py``.
    """
    return DriveDerating(line_current=0.48, capacitor_current=0.39, ripple=0.16)


def output_limit_v(direct_v: float, *, space_vector: bool) -> float:
    """Return the largest sinusoidal line voltage that an inverter makes.

    Args:
        direct_v: Direct voltage: the valley for a motor that is to keep its flux [V].
        space_vector: Space-vector modulation (or a third harmonic added); else plain sine.

    Returns:
        Line to line, rms, fundamental [V].

    Raises:
        ValueError: The voltage is negative.

    Accuracy:
        Dead time and voltage drops take 1 to 2 % more.

    Source:
        V / sqrt(2) and sqrt(3) V / (2 sqrt(2)) = 0.612 V (textbooks of power electronics, from
        memory, high).
    """
    if not direct_v >= 0.0:
        raise ValueError(f"direct voltage zero or above wanted, got {direct_v}")
    return direct_v / math.sqrt(2.0) * (1.0 if space_vector else math.sqrt(3.0) / 2.0)


def constant_flux_hz(limit_v: float, *, motor_v: float, motor_hz: float) -> float:
    """Return the frequency up to which a motor keeps its rated flux.

    Args:
        limit_v: From ``output_limit_v`` [V].
        motor_v: Rated voltage of the motor as linked [V].
        motor_hz: Rated frequency [Hz].

    Returns:
        Frequency [Hz]; above it torque falls with the square of frequency at the breakdown.

    Raises:
        ValueError: An argument is not above zero.

    Accuracy:
        Stator resistance left out: 1 % near rated frequency.

    Source:
        Flux goes with voltage over frequency.
    """
    if not (limit_v > 0.0 and motor_v > 0.0 and motor_hz > 0.0):
        raise ValueError("voltages and frequency above zero wanted")
    return motor_hz * limit_v / motor_v


def reflected_peak_v(direct_v: float, *, cable_m: float, rise_s: float, reflection: float) -> float:
    """Return the peak at a motor's terminals behind a drive and a cable.

    Args:
        direct_v: Direct voltage [V].
        cable_m: Length [m].
        rise_s: Rise time of the drive's steps [s].
        reflection: (Zm - Zc) / (Zm + Zc) of motor and cable, 0 to 1; about 0.9 up to 15 kW.

    Returns:
        Line-to-line peak [V].

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        10 %; damping left out, and steps that meet before they have died away can add more.

    Source:
        Theory of reflections on lines, with 150 m/us for motor cable: common practice, no source.
    """
    if not (direct_v >= 0.0 and cable_m >= 0.0 and rise_s > 0.0 and 0.0 <= reflection <= 1.0):
        raise ValueError("voltage and length zero or above, rise above zero, 0 to 1 wanted")
    return direct_v * (1.0 + reflection * min(1.0, 2.0 * cable_m / (PULSE_SPEED_M_S * rise_s)))
