"""One network at given slips: voltages, currents, torques.

Everything here is written with operators alone and takes Python numbers or numpy columns; what
iterates stands in ``network`` (numbers) and ``columns.network`` (columns).
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.induction import (
    Branch,
    InductionCircuit,
    branch,
    leakage_factor,
    plain,
    synchronous_speed,
)
from ampwright.kernels.legs import (
    DEEP_SAG,
    PLACES,
    ConstantPower,
    Legs,
    Reduced,
    Source,
    Voltages,
    place_voltages,
    reduce,
    voltages,
    with_power,
)

SLOWEST_SHARE = 0.5  # of synchronous speed; below it a constant-power load asks constant torque


class LoadLaw(NamedTuple):
    """Torque that a load asks [N m], as a function of speed from standstill upwards.

    Attributes:
        constant_nm: Part that does not depend on speed.
        linear_nm: Part proportional to speed, at synchronous speed.
        square_nm: Part proportional to the square of speed, at synchronous speed.
        breakaway_nm: Torque that sets it moving; counts only at standstill.
        power_w: Power that it holds; below half the synchronous speed it asks constant torque.
    """

    constant_nm: float = 0.0
    linear_nm: float = 0.0
    square_nm: float = 0.0
    breakaway_nm: float = 0.0
    power_w: float = 0.0


class MainFlux(NamedTuple):
    """Saturation of the main flux: magnetising current over air-gap voltage.

    Attributes:
        gap_v: Air-gap voltage per phase at which the circuit's ``xm_ohm`` holds.
        share: Share of the magnetising current, at that voltage, that the iron asks.
        exponent: Power of the voltage with which that share grows.
    """

    gap_v: float
    share: float
    exponent: float


class Rotor(NamedTuple):
    """One machine on the legs: its circuit, what it drives, and its iron where that counts."""

    circuit: InductionCircuit
    load: LoadLaw = LoadLaw()
    main_flux: MainFlux | None = None


class Frozen(NamedTuple):
    """What is held during one linear solve and renewed after it.

    Attributes:
        leakage: Multiplier of the leakage reactances, one a rotor.
        flux: Multiplier of the magnetising reactance, one a rotor.
        inverse_squares: One over the square of the voltage [1/V2], one a constant-power load.
    """

    leakage: tuple[float, ...]
    flux: tuple[float, ...]
    inverse_squares: tuple[float, ...]


class MachinePoint(NamedTuple):
    """One machine at one slip: both branches, its currents [A] and torques [N m]."""

    one: Branch
    two: Branch
    i1: complex
    i2: complex
    square_a2: float
    gap_nm: float
    shaft_nm: float


class Point(NamedTuple):
    """The network at given slips."""

    net: Reduced
    at: Voltages
    machines: tuple[MachinePoint, ...]


def main_flux(gap_v: float, current_110: float, current_120: float) -> MainFlux:
    """Return the saturation that passes through two points of a magnetisation curve.

    Args:
        gap_v: Air-gap voltage per phase at which the circuit's ``xm_ohm`` holds [V]; at rated
            load it is about 0.95 of the rated phase voltage.
        current_110: Magnetising current at 1.1 times that voltage, over that at it.
        current_120: The same at 1.2 times.

    Returns:
        The curve i = (1 - share) e + share e^exponent.

    Raises:
        ValueError: The currents do not bend upwards, or more sharply than a power of 40.

    Accuracy:
        The two points are met to 1e-12. Typical of small machines are 1.30 and 1.75; single
        machines differ from that by a third of the excess over a straight line.

    Source:
        Shape: common practice, no source.
    """
    ratio = (current_120 - 1.2) / (current_110 - 1.1) if current_110 > 1.1 else 0.0
    low, high = 1.0 + 1e-6, 40.0

    def excess(exponent: float) -> float:
        return float((1.2**exponent - 1.2) / (1.1**exponent - 1.1)) - ratio

    if not excess(low) < 0.0 < excess(high):
        raise ValueError(
            f"a magnetisation curve bends upwards, got {current_110} at 1.1 and "
            f"{current_120} at 1.2 times the voltage"
        )
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if excess(middle) < 0.0 else (low, middle)
    return MainFlux(gap_v, (current_110 - 1.1) / (1.1**low - 1.1), low)


def load_torque(load: LoadLaw, circuit: InductionCircuit, slip: float) -> float:
    """Return the torque of a turning load [N m] at the speed of *slip*, zero or above."""
    speed = 1.0 - slip
    held = (speed + SLOWEST_SHARE + abs(speed - SLOWEST_SHARE)) / 2.0
    return (
        load.constant_nm
        + load.linear_nm * speed
        + load.square_nm * speed * speed
        + load.power_w / (synchronous_speed(circuit) * held)
    )


def load_slope(load: LoadLaw, circuit: InductionCircuit, slip: float) -> float:
    """Return the derivative of ``load_torque`` with respect to slip [N m]."""
    speed = 1.0 - slip
    held = (speed + SLOWEST_SHARE + abs(speed - SLOWEST_SHARE)) / 2.0
    moving = 1.0 * (held > SLOWEST_SHARE)
    return (
        moving * load.power_w / (synchronous_speed(circuit) * held * held)
        - load.linear_nm
        - 2.0 * load.square_nm * speed
    )


def fluxed(circuit: InductionCircuit, flux: float) -> InductionCircuit:
    """Return *circuit* with its magnetising reactance multiplied by *flux*."""
    return circuit._replace(xm_ohm=circuit.xm_ohm * flux)


def evaluate(
    source: Source,
    legs: Legs,
    circuits: Sequence[InductionCircuit],
    slips: Sequence[float],
    leakage: Sequence[float],
) -> Point:
    """Return the network at given slips and leakage factors: one linear solve.

    Args:
        source: The single-phase supply.
        legs: All linear branches, loads of constant power included (``with_power``).
        circuits: The machines, each with the magnetising reactance that holds (``fluxed``).
        slips: One for each machine.
        leakage: Leakage factors, one for each machine, for both sequences: the two flow through
            the same slots.

    Returns:
        The reduced network, the voltages and, for each machine, branches, currents and torques.

    Raises:
        ZeroDivisionError: Nothing is connected to the made leg.

    Accuracy:
        Rounding only. Phasors leave out the ripple of speed: within 0.3 % of a time-domain model
        at normal inertia.

    Source:
        Symmetrical components and nodal analysis.
    """
    y1: complex = 0.0
    y2: complex = 0.0
    branches = []
    for c, s, k in zip(circuits, slips, leakage, strict=True):
        one, two = branch(c, s, k), branch(c, 2.0 - s, k)
        y1 = y1 + one[0]
        y2 = y2 + two[0]
        branches.append((c, s, one, two))
    net = reduce(source, legs, y1, y2)
    at = voltages(source, net)
    machines = tuple([_machine(c, s, one, two, at) for c, s, one, two in branches])
    return plain(Point, (net, at, machines))


def _machine(
    circuit: InductionCircuit, slip: float, one: Branch, two: Branch, at: Voltages
) -> MachinePoint:
    (one_y, one_e, one_yr), (two_y, two_e, two_yr) = one, two
    v1, v2 = at.one, at.two
    i1, i2 = one_y * v1, two_y * v2
    square_a2 = abs(i1) ** 2 + abs(i2) ** 2
    omega_s = synchronous_speed(circuit)
    gap_w = 3.0 * (abs(one_e * v1) ** 2 * one_yr.real - abs(two_e * v2) ** 2 * two_yr.real)
    braking_w = circuit.friction_w + circuit.stray_w * square_a2 / circuit.rated_current_a**2
    gap_nm = gap_w / omega_s
    shaft_nm = gap_nm - braking_w * (1.0 - slip) / omega_s
    return plain(MachinePoint, (one, two, i1, i2, square_a2, gap_nm, shaft_nm))


def renewed(rotors: Sequence[Rotor], loads: Sequence[ConstantPower], point: Point) -> Frozen:
    """Return what the held values would be at *point*."""
    leakage, flux = [], []
    for (circuit, _, iron), m in zip(rotors, point.machines, strict=True):
        leakage.append(leakage_factor(circuit, m.square_a2**0.5))
        if iron is None:
            flux.append(1.0)
        else:
            gap = abs(m.one.e * point.at.one) / iron.gap_v
            flux.append(1.0 / (1.0 - iron.share + iron.share * gap ** (iron.exponent - 1.0)))
    inverse_squares = []
    if loads:
        across = place_voltages(point.at)
        for load in loads:
            v, least = abs(across[PLACES.index(load.place)]), DEEP_SAG * load.voltage_v
            inverse_squares.append(4.0 / (v + least + abs(v - least)) ** 2)
    return plain(Frozen, (tuple(leakage), tuple(flux), tuple(inverse_squares)))


def first_slip(source: Source, rotor: Rotor) -> float:
    """Return a slip near the running one: the straight part of the torque curve, balanced."""
    c, load = rotor.circuit, rotor.load
    resistance = c.ri_ohm * c.ro_ohm / (c.ri_ohm + c.ro_ohm)
    asked_w = load_torque(load, c, 0.0) * synchronous_speed(c) + c.friction_w + c.stray_w
    return 1.1 * asked_w * resistance / abs(source.e_a_v - source.e_b_v) ** 2


def torque_scale(source: Source, circuit: InductionCircuit) -> float:
    """Return the torque [N m] of the machine's rated apparent power at the supply's voltage."""
    rated_va = math.sqrt(3.0) * abs(source.e_a_v - source.e_b_v) * circuit.rated_current_a
    return rated_va / synchronous_speed(circuit)


def seen(
    rotors: Sequence[Rotor], legs: Legs, loads: tuple[ConstantPower, ...], held: Frozen
) -> tuple[Legs, list[InductionCircuit]]:
    """Return branches and circuits as they are while *held* is held."""
    circuits = [
        rotor.circuit if rotor.main_flux is None else fluxed(rotor.circuit, flux)
        for rotor, flux in zip(rotors, held.flux, strict=True)
    ]
    return with_power(legs, loads, held.inverse_squares), circuits
