"""Capacitors that balance a made leg: closed forms, the trade's rule, and what stock can make.

Everything but the stock is written with operators alone, for numbers and columns.
"""

import math
from bisect import bisect_left
from collections.abc import Sequence
from itertools import combinations_with_replacement
from typing import NamedTuple

ROOT_3 = math.sqrt(3.0)
SAME = 1e-6  # two sums of cans nearer than this share of themselves are one


class Pair(NamedTuple):
    """Capacitances from the made leg C to the two supply legs [F]; floats or columns."""

    bc_f: float
    ca_f: float


class Rung(NamedTuple):
    """A capacitance that stock can make [F], and the cans that make it, largest first."""

    total_f: float
    cans_f: tuple[float, ...]


def balancing_pair(y1: complex, frequency_hz: float) -> Pair:
    """Return the capacitors that make all three line voltages equal.

    Args:
        y1: Positive-sequence admittance per phase [S] of everything three-phase together: idler
            at its slip, motors, balanced loads (three times the admittance of one delta branch).
        frequency_hz: Frequency of the supply.

    Returns:
        The pair; a negative ``bc_f`` says that capacitors alone cannot balance, because the
        total power factor is above one half.

    Raises:
        ZeroDivisionError: The frequency is zero.

    Accuracy:
        Exact at the one point of load where *y1* holds, whatever the supply's impedance and any
        capacitor between the supply legs; the negative-sequence admittance does not enter.

    Source:
        Negative sequence set to zero at the made leg: currents of two capacitors cancel the
        leg's current on balanced voltages. At 60 degrees lag it is the classic connection of
        Steinmetz with one capacitor.
    """
    omega = 2.0 * math.pi * frequency_hz
    direct, cross = -y1.imag / (3.0 * omega), y1.real / (ROOT_3 * omega)
    return Pair(direct - cross, direct + cross)


def single_phase_balance(conductance_s: float) -> tuple[float, float]:
    """Return the susceptances that make a single-phase resistor a balanced three-phase load.

    Args:
        conductance_s: Between legs A and B.

    Returns:
        Susceptance between B and C, which is a capacitor, and between C and A, a coil (negative),
        on a supply of the sequence A-B-C [S].

    Raises:
        Nothing.

    Accuracy:
        Exact.

    Source:
        Steinmetz's symmetrisation: both reactances are the square root of three times the
        resistance (Vaske, Berechnung von Drehstromschaltungen, Teubner 1973, p. 43, example 23,
        as used by a public component library's example of a balanced delta).
    """
    return conductance_s / ROOT_3, -conductance_s / ROOT_3


def steinmetz_capacitance(power_w: float, voltage_v: float, frequency_hz: float) -> float:
    """Return the one capacitor [F] of a three-phase motor on two lines, by the trade's rule.

    Args:
        power_w: Power at 60 degrees lag that the capacitor balances; the rule puts the plate's
            shaft power there.
        voltage_v: Between the lines.
        frequency_hz: Frequency of the supply.

    Returns:
        2 P / (√3 ω U²): 69.5 uF a kilowatt at 230 V, 50 Hz.

    Raises:
        ZeroDivisionError: A voltage or frequency is zero.

    Accuracy:
        Exact at a power factor of one half. For motors above 1 kW it is 30 to 40 % more than
        balances their part load, and their lightly loaded leg rises above the line.

    Source:
        Common practice, no source; it is ``balancing_pair`` where its ``bc_f`` is zero.
    """
    return 2.0 * power_w / (ROOT_3 * 2.0 * math.pi * frequency_hz * voltage_v**2)


def capacitor_current(capacitance_f: float, voltage_v: float, frequency_hz: float) -> float:
    """Return the rms current of a capacitor [A]."""
    return 2.0 * math.pi * frequency_hz * capacitance_f * voltage_v


def ladder(stock_f: Sequence[float], most_cans: int) -> tuple[Rung, ...]:
    """Return every capacitance that stock can make, from none upwards.

    Args:
        stock_f: Capacitances that can be had [F].
        most_cans: Most cans in parallel on one leg.

    Returns:
        Rising sums, each made of the fewest cans, then of the most equal ones; the first is zero.

    Raises:
        ValueError: A capacitance is not above zero, or no can is allowed.

    Accuracy:
        Sums nearer than 1e-6 of themselves are one.

    Source:
        Enumeration.
    """
    if most_cans < 1 or not all(c > 0.0 for c in stock_f):
        raise ValueError(f"wanted capacitances above zero and a can at least, got {stock_f}")
    sizes = sorted(set(stock_f), reverse=True)
    made = [
        Rung(math.fsum(cans), cans)
        for count in range(most_cans + 1)
        for cans in combinations_with_replacement(sizes, count)
    ]
    made.sort(key=lambda rung: (rung.total_f, len(rung.cans_f), rung.cans_f))
    rungs = made[:1]
    for rung in made[1:]:
        near = rung.total_f - rungs[-1].total_f <= SAME * rung.total_f
        if not near:
            rungs.append(rung)
        elif len(rung.cans_f) < len(rungs[-1].cans_f):
            rungs[-1] = rung
    return tuple(rungs)


def nearest(rungs: Sequence[Rung], capacitance_f: float) -> int:
    """Return the place of the rung nearest to a capacitance; the lower of two equally near."""
    place = bisect_left(rungs, capacitance_f, key=lambda rung: rung.total_f)
    if place == 0:
        return 0
    if place == len(rungs):
        return place - 1
    below, above = rungs[place - 1].total_f, rungs[place].total_f
    return place if above - capacitance_f < capacitance_f - below else place - 1


def at_most(rungs: Sequence[Rung], capacitance_f: float) -> int:
    """Return the place of the largest rung that is not above a capacitance."""
    reach = capacitance_f * (1.0 + SAME)
    return max(0, bisect_left(rungs, reach, key=lambda rung: rung.total_f) - 1)
