"""Flux equations of machines on a single-phase supply, for the time domain.

Machines are described by their stator and cage fluxes in the stationary frame, as complex space
vectors of the amplitude of a phase quantity; the two voltages A-B and C-B describe the network.
Everything is written with operators alone, for one case or for columns of cases.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

from ampwright.kernels.induction import InductionCircuit, branch
from ampwright.kernels.network import LoadLaw, Source, load_torque

ROOT_3 = math.sqrt(3.0)
OVER_ROOT_3 = 1j / ROOT_3

State = list[complex]
Hold = Callable[[float, float, float, float], float]


class Windings(NamedTuple):
    """Constants of one machine in the derivative.

    Attributes:
        r1_ohm: Stator resistance.
        per_h: Inverse stator leakage inductance [1/H].
        gap_stator: Share of the stator flux in the air-gap flux.
        gap_inner: Share of the inner cage's.
        gap_outer: Share of the outer cage's; zero where there is none.
        inner_per_s: Inner cage resistance over its leakage inductance [1/s].
        outer_per_s: The same of the outer cage.
        torque_pairs: One and a half times the pole pairs.
        pairs_per_inertia: Pole pairs over inertia [1/(kg m2)].
        per_rad_s: One over the supply's angular frequency.
        braking_nm: Torque of friction at synchronous speed.
        stray_nm_per_a2: Torque of stray loss at synchronous speed, for a current of that square.
        constant_nm: Parts of the load torque, as in ``LoadLaw``.
        linear_nm: In proportion to speed.
        square_nm: In proportion to its square.
        breakaway_nm: Torque that it takes to begin turning.
        powered: Whether the load law holds a power too.
        load: The load law.
        circuit: The circuit.
        cages_h: Leakage inductances of both cages.
        double: One where there are two cages, zero where the outer one is absent.
    """

    r1_ohm: float
    per_h: float
    gap_stator: float
    gap_inner: float
    gap_outer: float
    inner_per_s: float
    outer_per_s: float
    torque_pairs: float
    pairs_per_inertia: float
    per_rad_s: float
    braking_nm: float
    stray_nm_per_a2: float
    constant_nm: float
    linear_nm: float
    square_nm: float
    breakaway_nm: float
    powered: bool
    load: LoadLaw
    circuit: InductionCircuit
    cages_h: tuple[float, float]
    double: float

    @property
    def terminal_per_h(self) -> float:
        """Slope of the current for each volt at the terminals [1/H]."""
        return self.per_h * (1.0 - self.gap_stator)


class Plant(NamedTuple):
    """Constants of the derivative.

    Attributes:
        machines: One set of winding constants a machine.
        resistance_ohm: Of the supply loop.
        inductance_h: Of the supply loop.
        closure: How many of the two network voltages are held by capacitors: 2, 1 or 0.
        inverse: Closure 2, inverse capacitance matrix [1/F], row by row; otherwise the inverse of
            the matrix that gives the two voltages from what is known of them.
        level: Closure 1, weights of the balance of current slopes at legs A and C.
        drawn: Closure 1, weights of the currents left over at legs A and C in the capacitor's
            current, over its capacitance [1/F].
    """

    machines: tuple[Windings, ...]
    resistance_ohm: float
    inductance_h: float
    closure: int
    inverse: tuple[float, float, float, float]
    level: tuple[float, float]
    drawn: tuple[float, float]


def windings(
    circuit: InductionCircuit,
    load: LoadLaw,
    *,
    inertia_kg_m2: float,
    breakaway_nm: float,
    leakage: float,
    double: float,
) -> Windings:
    """Return the constants of one machine.

    Args:
        circuit: The machine; its core loss is left out.
        load: Torque of what it drives.
        inertia_kg_m2: Of rotor and load.
        breakaway_nm: Torque that it takes to begin turning.
        leakage: Leakage factor.
        double: One where there are two cages, zero where the outer one is absent.

    Returns:
        Constants for ``derivative``.

    Raises:
        ZeroDivisionError: An inertia or a reactance is zero.

    Accuracy:
        Rounding only.

    Source:
        Reactances over angular frequency.
    """
    omega = 2.0 * math.pi * circuit.frequency_hz
    stator = omega / (leakage * circuit.x1_ohm + circuit.series_ohm)
    inner = omega / (leakage * circuit.xi_ohm)
    outer = double * omega / (leakage * circuit.xo_ohm)
    gap = 1.0 / (omega / circuit.xm_ohm + stator + inner + outer)
    per_speed = circuit.pole_pairs / omega
    return Windings(
        r1_ohm=circuit.r1_ohm,
        per_h=stator,
        gap_stator=gap * stator,
        gap_inner=gap * inner,
        gap_outer=gap * outer,
        inner_per_s=circuit.ri_ohm * inner,
        outer_per_s=circuit.ro_ohm * outer,
        torque_pairs=1.5 * circuit.pole_pairs,
        pairs_per_inertia=circuit.pole_pairs / inertia_kg_m2,
        per_rad_s=1.0 / omega,
        braking_nm=circuit.friction_w * per_speed,
        stray_nm_per_a2=circuit.stray_w * per_speed / circuit.rated_current_a**2 / 2.0,
        constant_nm=load.constant_nm,
        linear_nm=load.linear_nm,
        square_nm=load.square_nm,
        breakaway_nm=breakaway_nm,
        powered=load.power_w is not LoadLaw().power_w,
        load=load._replace(constant_nm=0.0, linear_nm=0.0, square_nm=0.0),
        circuit=circuit,
        cages_h=(leakage * circuit.xi_ohm / omega, leakage * circuit.xo_ohm / omega),
        double=double,
    )


def derivative(
    state: State,
    emf_v: float,
    plant: Plant,
    hold: Hold,
) -> tuple[State, float, float, list[complex], list[float]]:
    """Return the time derivative of a state, and what is seen at that instant.

    Args:
        state: Two network voltages (as ``plant.closure`` says) [V], supply current [A], then for
            each machine its stator, inner and outer cage flux [Wb] and electrical speed [rad/s].
        emf_v: Instantaneous open-circuit voltage of the supply, leg A to leg B [V].
        plant: Constants.
        hold: Given the torque left for acceleration, the speed over its synchronous one, the
            electromagnetic torque and the breakaway torque, returns the torque left, or what is
            left of it while the machine has not broken away.

    Returns:
        Derivative in the order of the state; voltages A-B and C-B [V]; of each machine the
        current as a space vector [A] and the electromagnetic torque [N m].

    Raises:
        ZeroDivisionError: An inertia or inductance is zero.

    Accuracy:
        Rounding only. The model leaves out core loss (below half a percent of a starting
        current), main-flux saturation and slot effects.

    Source:
        Flux-linkage equations in the stationary frame (Krause, Analysis of Electric Machinery,
        chapter on symmetrical induction machines; from memory), with a second cage beside the
        first. Where no capacitor holds a voltage, it follows from the balance of current slopes.
    """
    slopes: State = [0.0, 0.0, 0.0]
    currents: list[complex] = []
    torques: list[float] = []
    total: complex = 0.0
    total_slope: complex = 0.0
    whole = plant.closure == 2
    at = 3
    for (
        r1, per_h, share1, share2, share3, inner_per_s, outer_per_s, pairs, quick, per_rad_s,
        braking, stray, constant, linear, square, breakaway, powered, load, circuit, _, _,
    ) in plant.machines:  # fmt: skip
        stator, inner, outer, speed = state[at : at + 4]
        at += 4
        gap = share1 * stator + share2 * inner + share3 * outer
        i1 = per_h * (stator - gap)
        turning = 1j * speed
        d1 = -r1 * i1
        d2 = turning * inner - inner_per_s * (inner - gap)
        d3 = turning * outer - outer_per_s * (outer - gap)
        a, b = i1.real, i1.imag
        torque = pairs * (stator.real * b - stator.imag * a)
        ratio = speed.real * per_rad_s
        asked = constant + ratio * (linear + braking + stray * (a * a + b * b) + ratio * square)
        if powered:
            asked = asked + load_torque(load, circuit, 1.0 - ratio)
        slopes += (d1, d2, d3, quick * hold(torque - asked, ratio, torque, breakaway))
        currents.append(i1)
        torques.append(torque)
        total = total + i1
        if not whole:
            back = share1 * d1 + share2 * d2 + share3 * d3
            total_slope = total_slope + per_h * (d1 - back)
    push = emf_v - plant.resistance_ohm * state[2].real
    v_ab, v_cb, d_first, d_second = network_voltages(state, total, total_slope, push, plant)
    voltage = (v_ab - v_cb / 2.0) / 1.5 - v_cb * OVER_ROOT_3
    for at in range(3, len(slopes), 4):
        slopes[at] = slopes[at] + voltage
    slopes[:3] = d_first, d_second, (push - v_ab) / plant.inductance_h
    return slopes, v_ab, v_cb, currents, torques


def network_voltages(
    state: State, total: complex, total_slope: complex, push_v: float, plant: Plant
) -> tuple[float, float, float, float]:
    """Return the voltages A-B and C-B and the slopes of the two network states."""
    a, b, c, d = plant.inverse
    into_a = state[2].real - total.real
    into_c = total.real / 2.0 + ROOT_3 / 2.0 * total.imag
    if plant.closure == 2:
        first, second = state[0].real, state[1].real
        return first, second, a * into_a + b * into_c, c * into_a + d * into_c
    slope_a = push_v / plant.inductance_h - total_slope.real
    slope_c = total_slope.real / 2.0 + ROOT_3 / 2.0 * total_slope.imag
    if plant.closure == 0:
        return a * slope_a + b * slope_c, c * slope_a + d * slope_c, 0.0, 0.0
    held, level = state[0].real, plant.level[0] * slope_a + plant.level[1] * slope_c
    drawn = plant.drawn[0] * into_a + plant.drawn[1] * into_c
    return a * held + b * level, c * held + d * level, drawn, 0.0


def plant(
    source: Source,
    capacitances_f: tuple[float, float, float],
    present: tuple[bool, bool, bool],
    machines: tuple[Windings, ...],
) -> Plant:
    """Return the constants of the derivative.

    Args:
        source: The supply.
        capacitances_f: Between legs A and B, B and C, C and A [F].
        present: Which of them are there.
        machines: From ``windings``.

    Returns:
        The constants.

    Raises:
        ZeroDivisionError: The supply loop has no reactance.

    Accuracy:
        Rounding only.

    Source:
        Nodal analysis with the leg voltages A-B and C-B.
    """
    loop = source.z_a_ohm + source.z_b_ohm
    inductance = loop.imag * machines[0].per_rad_s
    c_ab, c_bc, c_ca = capacitances_f
    s_aa, s_ac, s_cc = _current_slopes(machines, inductance)
    level, drawn = (0.0, 0.0), (0.0, 0.0)
    closure = min(2, sum(present))
    if closure == 2:
        rows = c_ab + c_ca, -c_ca, -c_ca, c_bc + c_ca
    elif closure == 0:
        rows = s_aa, s_ac, s_ac, s_cc
    elif present[0]:
        rows, level, drawn = (1.0, 0.0, s_ac, s_cc), (0.0, 1.0), (1.0 / c_ab, 0.0)
    elif present[1]:
        rows, level, drawn = (0.0, 1.0, s_aa, s_ac), (1.0, 0.0), (0.0, 1.0 / c_bc)
    else:
        rows, level = (1.0, -1.0, s_aa + s_ac, s_ac + s_cc), (1.0, 1.0)
        drawn = (0.5 / c_ca, -0.5 / c_ca)
    a, b, c, d = rows
    det = a * d - b * c
    inverse = d / det, -b / det, -c / det, a / det
    return Plant(machines, loop.real, inductance, closure, inverse, level, drawn)


def _current_slopes(
    machines: tuple[Windings, ...], inductance_h: float
) -> tuple[float, float, float]:
    """Return the slopes of the currents into legs A and C for volts A-B and C-B [1/H]."""
    slope: float = 0.0
    for one in machines:
        slope = slope + one.terminal_per_h / 3.0
    return 2.0 * slope + 1.0 / inductance_h, -slope, 2.0 * slope


def fastest(plant: Plant) -> float:
    """Return the highest angular frequency [rad/s] at which the network can ring."""
    s_aa, s_ac, s_cc = _current_slopes(plant.machines, plant.inductance_h)
    a, b, c, d = plant.inverse
    if plant.closure == 0:
        return 0.0
    if plant.closure == 1:
        into_a, into_c = s_aa * a + s_ac * c, s_ac * a + s_cc * c
        return root(plant.drawn[0] * into_a + plant.drawn[1] * into_c)
    half = (a * s_aa + b * s_ac + c * s_ac + d * s_cc) / 2.0
    rest = half * half - (a * d - b * c) * (s_aa * s_cc - s_ac * s_ac)
    return root(half + root((rest + abs(rest)) / 2.0))


def root(square: float) -> float:
    """Return a square root, of a number or a column."""
    found: float = square**0.5
    return found


def step(
    state: State, emfs_v: tuple[float, float, float], span_s: float, one: Plant, hold: Hold
) -> tuple[State, float, float, list[complex], list[float]]:
    """Return the state one Runge-Kutta step later, and what was seen at the step's beginning.

    Args:
        state: State at the beginning.
        emfs_v: Voltage of the supply at the beginning, middle and end of the step.
        span_s: Its length.
        one: Constants.
        hold: As for ``derivative``.
    """
    # zip without strict: states are of one length, and the check costs a tenth of a step
    half, sixth = span_s / 2.0, span_s / 6.0
    begin, middle, end = emfs_v
    k1, v_ab, v_cb, currents, torques = derivative(state, begin, one, hold)
    there = [y + half * k for y, k in zip(state, k1)]  # noqa: B905 - see above
    k2 = derivative(there, middle, one, hold)[0]
    there = [y + half * k for y, k in zip(state, k2)]  # noqa: B905 - see above
    k3 = derivative(there, middle, one, hold)[0]
    there = [y + span_s * k for y, k in zip(state, k3)]  # noqa: B905 - see above
    k4 = derivative(there, end, one, hold)[0]
    after = [
        y + sixth * (a + d + 2.0 * (b + c))
        for y, a, b, c, d in zip(state, k1, k2, k3, k4)  # noqa: B905 - see above
    ]
    return after, v_ab, v_cb, currents, torques


def with_leakage(state: State, before: Plant, after: Plant) -> State:
    """Return a state whose currents are those of *state* while leakages have changed.

    Currents are kept, not fluxes: so the balance of currents at the legs stays as it was.
    """
    kept = list(state[:3])
    place = 3
    for old, new in zip(before.machines, after.machines, strict=True):
        stator, inner, outer, speed = state[place : place + 4]
        place += 4
        gap = old.gap_stator * stator + old.gap_inner * inner + old.gap_outer * outer
        inner_ratio = new.cages_h[0] / old.cages_h[0]
        outer_ratio = new.cages_h[1] / old.cages_h[1]
        kept += [
            gap + (stator - gap) * old.per_h / new.per_h,
            gap + (inner - gap) * inner_ratio,
            new.double * (gap + (outer - gap) * outer_ratio),
            speed,
        ]
    return kept


def network_state(
    present: tuple[bool, bool, bool], v_ab: float, v_cb: float, source_a: float
) -> State:
    """Return the three network values of a state from the two voltages and the supply current."""
    held = sum(present)
    if held >= 2:
        return [v_ab, v_cb, source_a]
    across = v_ab if present[0] else v_cb if present[1] else v_ab - v_cb
    return [across if held else 0.0, 0.0, source_a]


def steady_fluxes(
    circuit: InductionCircuit, v1_v: complex, v2_v: complex, slip: float, leakage: float
) -> State:
    """Return the fluxes of stator, inner and outer cage [Wb] at one instant of a steady state.

    Args:
        circuit: The machine, without core loss.
        v1_v: Positive-sequence voltage, amplitude and phase at that instant.
        v2_v: Negative-sequence voltage likewise; it turns backwards.
        slip: Slip.
        leakage: Leakage factor.

    Returns:
        Space vectors; that of an absent outer cage is to be set to zero.

    Raises:
        ZeroDivisionError: A resistance or reactance is zero.

    Accuracy:
        Rounding only.

    Source:
        The circuit of ``induction.branch``; the negative sequence as a vector that turns
        backwards.
    """
    turning = 2j * math.pi * circuit.frequency_hz
    found: list[list[complex]] = []
    for voltage, own in ((v1_v, slip), (v2_v, 2.0 - slip)):
        seen = branch(circuit, own, leakage)
        gap = seen.e * voltage / turning
        inner = gap * circuit.ri_ohm / (circuit.ri_ohm + 1j * own * leakage * circuit.xi_ohm)
        outer = gap * circuit.ro_ohm / (circuit.ro_ohm + 1j * own * leakage * circuit.xo_ohm)
        stator = voltage * (1.0 - circuit.r1_ohm * seen.y) / turning
        found.append([stator, inner, outer])
    return [one + two.conjugate() for one, two in zip(*found, strict=True)]
