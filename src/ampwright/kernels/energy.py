"""Energy: part-load efficiency, an idler with nothing to do, a year's energy and cost."""

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from ampwright.kernels.induction import InductionCircuit, sequence_state

BEST_LOAD = 0.75  # U.S. Department of Energy, DOE/GO-10097-517: efficiency is greatest near 75 %
LOAD_RANGE = (0.0, 1.25)
BEST_LOAD_RANGE = (0.4, 1.2)
IDLER_SMALL = (3730.0, 0.07)  # share of rating up to 5 hp: planning value, no source
IDLER_LARGE = (14914.0, 0.035)  # share of rating from 20 hp: planning value, no source
IDLER_UNBALANCE_RANGE = (0.0, 0.15)
LEAKAGE_LIMIT = 2.0  # leakage is unsaturated up to twice the rated current
FIRST_SLIP, LAST_SLIP, SLIP_STEP = 0.005, 0.5, 1.25
CLOSING_STEPS = 60
CLOSE = 1e-13  # of the shaft power at the upper end of the bracket


class PartLoad(NamedTuple):
    """A motor on a balanced supply at one load.

    Attributes:
        slip: Slip.
        input_w: Electrical power.
        current_a: Line current.
        power_factor: Input over apparent power.
        efficiency: Shaft power over input.
        residual_w: Shaft power found minus shaft power asked for.
    """

    slip: float
    input_w: float
    current_a: float
    power_factor: float
    efficiency: float
    residual_w: float


def part_load(circuit: InductionCircuit, voltage_v: float, shaft_w: float) -> PartLoad:
    """Return the state of a motor at a shaft power, from its circuit.

    Args:
        circuit: The machine.
        voltage_v: Balanced voltage, line to line [V].
        shaft_w: Power at the shaft [W], zero or above.

    Returns:
        The state on the stable side of pull-out.

    Raises:
        ValueError: The motor cannot give this power at this voltage, or would draw more than
            twice its rated current, where leakage saturation begins.

    Accuracy:
        Shaft power to 1e-10 of rated; the circuit's own error is that of its identification.

    Source:
        Circuit of ``induction``; regula falsi with halved ends (Illinois).
    """
    if not (voltage_v > 0.0 and 0.0 <= shaft_w < math.inf):
        raise ValueError(f"voltage above zero, shaft power zero or above wanted: {shaft_w}")
    phase_v = voltage_v / math.sqrt(3.0)

    def excess(slip: float) -> float:
        return sequence_state(circuit, phase_v, 0.0, slip).shaft_w - shaft_w

    low, high = 0.0, FIRST_SLIP
    before, after = excess(low), excess(high)
    while after < 0.0:
        if after <= before or high > LAST_SLIP:
            raise ValueError(f"{shaft_w:g} W is more than the motor gives at {voltage_v:g} V")
        low, before = high, after
        high *= SLIP_STEP
        after = excess(high)
    slip = closed_in(excess, low, high)
    state = sequence_state(circuit, phase_v, 0.0, slip)
    current_a = abs(state.current1_a)
    if current_a > LEAKAGE_LIMIT * circuit.rated_current_a:
        raise ValueError(f"{current_a:.4g} A is more than twice the rated current")
    return PartLoad(
        slip=slip,
        input_w=state.input_w,
        current_a=current_a,
        power_factor=state.input_w / (3.0 * phase_v * current_a),
        efficiency=state.shaft_w / state.input_w,
        residual_w=state.shaft_w - shaft_w,
    )


def closed_in(excess: Callable[[float], float], low: float, high: float) -> float:
    """Return where a rising function passes zero between *low* (below) and *high* (above)."""
    at_low, at_high = excess(low), excess(high)
    close, side = CLOSE * (at_high - at_low), 0
    for _ in range(CLOSING_STEPS):
        if at_high <= close:
            return high
        middle = low - at_low * (high - low) / (at_high - at_low)
        at_middle = excess(middle)
        if abs(at_middle) <= close:
            return middle
        if at_middle < 0.0:
            low, at_low = middle, at_middle
            at_high *= 0.5 if side < 0 else 1.0  # an end that stayed put twice counts half
            side = -1
        else:
            high, at_high = middle, at_middle
            at_low *= 0.5 if side > 0 else 1.0
            side = 1
    return 0.5 * (low + high)


def efficiency_formula(rated_efficiency: float, best_load: float, load: float) -> float:
    """Return the efficiency at a load; see ``efficiency_at_load``."""
    fixed = best_load * best_load
    rated_loss = 1.0 / rated_efficiency - 1.0
    return load / (load + rated_loss * (fixed + load * load) / (1.0 + fixed))


def efficiency_at_load(rated_efficiency: float, load: float, *, best_load: float) -> float:
    """Return the efficiency at part load of a motor whose circuit is not known.

    Args:
        rated_efficiency: At rated load, above 0.3 and below 1.
        load: Output over rated output, 0 to 1.25.
        best_load: Load of greatest efficiency, 0.4 to 1.2; ``BEST_LOAD`` where nothing is known.

    Returns:
        Efficiency; 0 without load.

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        Against circuits of 1 to 50 hp: 1 point from three quarters up, 3 points at half load, 6 at
        a quarter, with ``BEST_LOAD``.

    Source:
        Losses of a fixed part and one that goes with the square of the load; they are equal where
        the efficiency is greatest (textbooks, from memory, high).
    """
    low, high = LOAD_RANGE
    first, last = BEST_LOAD_RANGE
    if not (0.3 < rated_efficiency < 1.0 and low <= load <= high and first <= best_load <= last):
        raise ValueError(f"efficiency 0.3 to 1, load {low} to {high}, best {first} to {last}")
    return efficiency_formula(rated_efficiency, best_load, load)


def best_load(rated_efficiency: float, part_efficiency: float, load: float) -> float:
    """Return the load of greatest efficiency from two known efficiencies.

    Args:
        rated_efficiency: At rated load, above 0.3 and below 1.
        part_efficiency: At ``load``, above 0.3 and below 1.
        load: Output over rated output, 0.2 to 0.9.

    Returns:
        Load over rated load, for ``efficiency_at_load``.

    Raises:
        ValueError: An argument is outside its range, or the two efficiencies allow no split into
            a fixed loss and one that goes with the square of the load.

    Accuracy:
        Rounding only; efficiencies printed to 0.1 point place it within 0.05 to 0.1.

    Source:
        As ``efficiency_at_load``.
    """
    if not (0.3 < rated_efficiency < 1.0 and 0.3 < part_efficiency < 1.0 and 0.2 <= load <= 0.9):
        raise ValueError("efficiencies of 0.3 to 1 and a load of 0.2 to 0.9 wanted")
    ratio = load * (1.0 / part_efficiency - 1.0) / (1.0 / rated_efficiency - 1.0)
    if not load * load < ratio < 1.0:
        raise ValueError("two efficiencies that leave a fixed and a variable loss wanted")
    return math.sqrt((ratio - load * load) / (1.0 - ratio))


def load_from_speed(speed_rpm: float, *, synchronous_rpm: float, rated_rpm: float) -> float:
    """Return the load of a running motor from its measured speed.

    Args:
        speed_rpm: Measured [1/min].
        synchronous_rpm: Synchronous [1/min].
        rated_rpm: On the plate [1/min], below ``synchronous_rpm``.

    Returns:
        Output over rated output.

    Raises:
        ValueError: The plate's speed is not below synchronous, or the measured one is outside
            it and twice the plate's slip.

    Accuracy:
        A fifth: plates round the speed, and slip may differ by 20 % from the plate.

    Source:
        U.S. Department of Energy, Determining Electric Motor Load and Efficiency,
        DOE/GO-10097-517, slip method (from memory, high).
    """
    slip_rpm = synchronous_rpm - rated_rpm
    if not (slip_rpm > 0.0 and 0.0 <= synchronous_rpm - speed_rpm <= 2.0 * slip_rpm):
        raise ValueError("a speed between synchronous and twice the plate's slip wanted")
    return (synchronous_rpm - speed_rpm) / slip_rpm


def idler_loss_w(rated_w: float, unbalance: float) -> float:
    """Return what an idler draws with nothing connected: a planning value, from its rating alone.

    Args:
        rated_w: Rated power of the idler as a motor [W], 370 to 75000.
        unbalance: Negative over positive sequence of its voltages, 0 to 0.15.

    Returns:
        Power [W].

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        A third against circuits of 3 to 50 hp; smaller ones draw up to half as much again. A
        circuit (``part_load`` or the network) is better wherever there is one.

    Source:
        Planning value, no source: 7 % of the rating up to 5 hp, 3.5 % from 20 hp, a straight line
        in the logarithm between; times 1 + (unbalance / 6 %)^2.
    """
    low, high = IDLER_UNBALANCE_RANGE
    if not (370.0 <= rated_w <= 75000.0 and low <= unbalance <= high):
        raise ValueError(f"a rating of 370 W to 75 kW and unbalance {low} to {high} wanted")
    (small_w, small), (large_w, large) = IDLER_SMALL, IDLER_LARGE
    part = math.log(rated_w / small_w) / math.log(large_w / small_w)
    share = small + (large - small) * min(max(part, 0.0), 1.0)
    return rated_w * share * (1.0 + (unbalance / 0.06) ** 2)


def yearly_energy_kwh(hours: Sequence[float], powers_w: Sequence[float]) -> float:
    """Return the energy of a year from its states.

    Args:
        hours: Hours a year in each state, together at most 8784.
        powers_w: Power that the whole network draws in each [W].

    Returns:
        Energy [kWh].

    Raises:
        ValueError: Unequal lengths, negative hours, or more hours than a year has.

    Accuracy:
        Rounding only.

    Source:
        Sum of hours times power.
    """
    if len(hours) != len(powers_w) or not all(0.0 <= one < math.inf for one in hours):
        raise ValueError("as many hours, zero or above, as powers wanted")
    if sum(hours) > 8784.0 * (1.0 + 1e-9):
        raise ValueError(f"{sum(hours):g} h are more than a year has")
    return math.fsum(one * power for one, power in zip(hours, powers_w, strict=True)) / 1000.0


def yearly_cost(energy_kwh: float, *, price_per_kwh: float, fixed_charge: float) -> float:
    """Return the cost of a year's energy, in the currency of the price.

    Args:
        energy_kwh: Energy [kWh].
        price_per_kwh: Price [1/kWh].
        fixed_charge: What the year costs apart from energy.

    Returns:
        Cost.

    Raises:
        ValueError: An argument is negative or not finite.

    Accuracy:
        Rounding only; tariffs by hour or demand are left out.

    Source:
        Definition.
    """
    if not all(0.0 <= one < math.inf for one in (energy_kwh, price_per_kwh, fixed_charge)):
        raise ValueError("energy, price and charge, zero or above, wanted")
    return energy_kwh * price_per_kwh + fixed_charge
