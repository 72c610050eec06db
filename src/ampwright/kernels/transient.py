"""Starting in the time domain: peaks of current and torque that steady states do not show.

The flux equations are integrated by the classical Runge-Kutta method with a fixed step, in plain
numbers; the step follows the supply's period and the fastest ringing of capacitors and leakage.
"""

import cmath
import math
from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.flux_equations import (
    Plant,
    State,
    Windings,
    fastest,
    network_state,
    plant,
    root,
    steady_fluxes,
    step,
    windings,
    with_leakage,
)
from ampwright.kernels.induction import InductionCircuit, leakage_factor
from ampwright.kernels.network import Rotor, Source, capacitors, solve
from ampwright.kernels.network import State as NetworkState
from ampwright.kernels.starter import Shaft
from ampwright.kernels.starting import LockedRotor, breakaway_torque, locked_rotor

ROOT_2, ROOT_3 = math.sqrt(2.0), math.sqrt(3.0)
COARSEST = 36  # steps of a supply period, at least
RINGING = 7.0  # steps of a period for ringing of one radian a period
STABLE = 2.0  # longest step, in radians of the fastest ringing; beyond 2.7 it would grow
NO_CORE_OHM = 1e15  # a core that takes no current
SINGLE_CAGE = 1e3  # an outer cage of this many magnetising reactances carries no current
STANDSTILL = 1e-3  # of synchronous speed
ARRIVED = 0.95  # of synchronous speed


class Period(NamedTuple):
    """One period of the supply.

    Attributes:
        end_s: When it ends.
        speed: Of the starting machine at that instant, over its synchronous speed.
        line_v: Rms voltages A-B, B-C, C-A.
        source_a: Rms current of the supply.
        line_current_a: Rms currents of the starting machine in lines A, B, C.
        torque_nm: Its mean electromagnetic torque.
    """

    end_s: float
    speed: float
    line_v: tuple[float, float, float]
    source_a: float
    line_current_a: tuple[float, float, float]
    torque_nm: float


class Transient(NamedTuple):
    """A start in the time domain.

    Attributes:
        time_s: Until 0.95 of synchronous speed; infinite where that is not reached.
        speed: Of the starting machine at the end, over its synchronous speed.
        running_slips: Of the machines that already turned, at the end.
        peak_source_a: Largest instantaneous current of the supply.
        peak_line_a: Largest instantaneous line current of the starting machine.
        peak_torque_nm: Largest instantaneous torque of the starting machine, either way.
        lowest_line_v: Lowest of each line voltage, rms over a period.
        periods: The periods of the supply, in order.
        state: Final state, in the order of ``flux_equations.derivative``.
        steps: Steps taken.
        error: Estimated relative error of the final state; not a number where not asked for.
    """

    time_s: float
    speed: float
    running_slips: tuple[float, ...]
    peak_source_a: float
    peak_line_a: float
    peak_torque_nm: float
    lowest_line_v: tuple[float, float, float]
    periods: tuple[Period, ...]
    state: tuple[complex, ...]
    steps: int
    error: float


def transient(
    source: Source,
    capacitances_f: tuple[float, float, float],
    running: Sequence[Shaft],
    starter: Shaft,
    *,
    duration_s: float,
    switching_rad: float = 0.0,
    saturating: bool = True,
    estimate_error: bool = False,
    steps_per_period: int = 0,
) -> Transient:
    """Return a direct start in the time domain, beside machines in their steady state.

    Args:
        source: The supply; its loop must have some reactance.
        capacitances_f: Between legs A and B, B and C, C and A [F].
        running: The idler and loads that already turn; empty when the idler itself starts.
        starter: The machine that is switched on, from standstill.
        duration_s: How long it is followed, rounded up to whole periods.
        switching_rad: Phase of the supply's voltage when it is switched on; zero is at its peak.
        saturating: Whether leakage follows the rms current from period to period; otherwise it
            keeps the value of the first instant.
        estimate_error: Whether the error is estimated by a second run with twice the step, which
            costs half as much again.
        steps_per_period: Even number of steps; 0 takes as many as the network needs.

    Returns:
        Time, peaks, lowest voltages and the course. A machine that does not start is a result.

    Raises:
        ValueError: The supply has no reactance, a capacitance is negative, the duration is not
            above zero or the number of steps is odd.

    Accuracy:
        With the steps of its own choice the final state is within 1e-4 of a converged solution.
        The model leaves out core loss, main-flux saturation and slot effects.

    Source:
        Equations of ``flux_equations``; step doubling for the error (the fifteenth part of the
        difference, for a method of fourth order).
    """
    if not duration_s > 0.0 or steps_per_period % 2:
        raise ValueError(f"wanted a duration above zero and even steps, got {duration_s} s")
    loop = source.z_a_ohm + source.z_b_ohm
    if not loop.imag > 0.0 or min(capacitances_f) < 0.0:
        raise ValueError(
            f"wanted some reactance in the supply and capacitances of zero or above, got {loop} "
            f"ohm and {capacitances_f} F"
        )
    legs = capacitors(*capacitances_f, starter.rotor.circuit.frequency_hz)
    present = (capacitances_f[0] > 0.0, capacitances_f[1] > 0.0, capacitances_f[2] > 0.0)
    locked = locked_rotor(source, legs, running, starter)
    before = solve(source, legs, [coreless(shaft.rotor) for shaft in running]) if running else None
    shafts = (*running, starter)
    run = prepared(source, capacitances_f, present, shafts, locked, before, switching_rad)
    steps = steps_per_period or steps_needed(
        fastest(run.plant), run.frequency_hz, doubled=estimate_error
    )
    periods = math.ceil(duration_s * starter.rotor.circuit.frequency_hz - 1e-9)
    fine = _followed(run, periods, steps, saturating=saturating)
    if not estimate_error:
        return fine
    coarse = _followed(run, periods, steps // 2, saturating=saturating)
    return fine._replace(error=difference(fine.state, coarse.state) / 15.0)


def difference(one: Sequence[complex], other: Sequence[complex]) -> float:
    """Return the largest difference of two states, each kind of value by its own largest."""
    kinds: dict[int, float] = {}
    gaps: dict[int, float] = {}
    for place, (a, b) in enumerate(zip(one, other, strict=True)):
        kind = 0 if place < 2 else 1 if place == 2 else 2 + ((place - 3) % 4 == 3)
        kinds[kind] = max(kinds.get(kind, 0.0), abs(a), abs(b))
        gaps[kind] = max(gaps.get(kind, 0.0), abs(a - b))
    return max(gaps[kind] / kinds[kind] for kind in kinds if kinds[kind] > 0.0)


class Run(NamedTuple):
    """A start at the instant of switching, and how many steps a period has."""

    source: Source
    capacitances_f: tuple[float, float, float]
    present: tuple[bool, bool, bool]
    shafts: tuple[Shaft, ...]
    plant: Plant
    state: State
    emf_v: complex
    frequency_hz: float


def prepared(
    source: Source,
    capacitances_f: tuple[float, float, float],
    present: tuple[bool, bool, bool],
    shafts: tuple[Shaft, ...],
    locked: LockedRotor,
    before: NetworkState | None,
    switching_rad: float,
) -> Run:
    """Return the state at the instant of switching.

    Args:
        source: The supply.
        capacitances_f: Between legs A and B, B and C, C and A [F].
        present: Which of them are there.
        shafts: The machines that turn, then the one that starts.
        locked: The instant of the start as a steady state, for its leakage.
        before: The steady state of the machines that turn, without core loss; None if none does.
        switching_rad: Phase of the supply's voltage.
    """
    starter = shafts[-1]
    hz = starter.rotor.circuit.frequency_hz
    emf = source.e_a_v - source.e_b_v
    turned = cmath.rect(ROOT_2, switching_rad) * abs(emf) / emf
    a, b, c = locked.at.line_current_a
    leakage = [leakage_factor(starter.rotor.circuit, root((a * a + b * b + c * c) / 3.0))]
    head: State = [0.0, 0.0, 0.0]
    state: State = []
    if before is not None:
        v_a, v_b, v_c = (v * turned for v in before.leg_v)
        supply = (before.source_a[0] * turned).real
        head = network_state(present, (v_a - v_b).real, (v_c - v_b).real, supply)
        one, two = (v * turned for v in before.sequence_v[1:])
        for shaft, own in zip(shafts, before.rotors, strict=False):
            circuit = coreless(shaft.rotor).circuit
            fluxes = steady_fluxes(circuit, one, two, own.slip, own.leakage)
            speed = (1.0 - own.slip) * 2.0 * math.pi * hz
            state += [*fluxes[:2], two_cages(circuit) * fluxes[2], speed]
        leakage = [own.leakage for own in before.rotors] + leakage
    state += [0.0, 0.0, 0.0, 0.0]
    machines = tuple(machine(shaft, k) for shaft, k in zip(shafts, leakage, strict=True))
    constants = plant(source, capacitances_f, present, machines)
    return Run(source, capacitances_f, present, shafts, constants, head + state, emf * turned, hz)


def coreless(rotor: Rotor) -> Rotor:
    """Return a machine whose core takes no current."""
    return rotor._replace(circuit=rotor.circuit._replace(rc_ohm=NO_CORE_OHM))


def two_cages(circuit: InductionCircuit) -> float:
    """Return one where the outer cage carries current, zero where it is absent."""
    return 1.0 * (circuit.ro_ohm <= SINGLE_CAGE * circuit.xm_ohm)


def machine(shaft: Shaft, leakage: float) -> Windings:
    """Return the constants of one machine at a leakage factor."""
    return windings(
        shaft.rotor.circuit,
        shaft.rotor.load,
        inertia_kg_m2=shaft.inertia_kg_m2,
        breakaway_nm=breakaway_torque(shaft),
        leakage=leakage,
        double=two_cages(shaft.rotor.circuit),
    )


def with_currents(run: Run, squares_a2: Sequence[float]) -> Plant:
    """Return the constants with the leakage that goes with mean squares of line currents."""
    machines = tuple(
        machine(shaft, leakage_factor(shaft.rotor.circuit, root(square)))
        for shaft, square in zip(run.shafts, squares_a2, strict=True)
    )
    return plant(run.source, run.capacitances_f, run.present, machines)


def _hold(left_nm: float, speed: float, torque_nm: float, breakaway_nm: float) -> float:
    """Return the accelerating torque, friction holding the machine near standstill."""
    if speed > STANDSTILL:
        return left_nm
    if abs(torque_nm) <= breakaway_nm:
        return 0.0
    return left_nm if torque_nm > 0.0 else torque_nm + breakaway_nm


def _followed(run: Run, periods: int, steps: int, *, saturating: bool) -> Transient:
    emfs = [(run.emf_v * cmath.rect(1.0, math.pi * k / steps)).real for k in range(2 * steps + 1)]
    span = 1.0 / (run.frequency_hz * steps)
    one = run.plant
    state, records, arrived = run.state, [], math.inf
    peak_source = peak_line = peak_torque = 0.0
    arrival = ARRIVED * 2.0 * math.pi * run.frequency_hz
    for number in range(periods):
        start_s = number / run.frequency_hz
        ab = bc = ca = source = line_a = line_b = line_c = torque = 0.0
        squares = [0.0] * len(run.shafts)
        for k in range(0, 2 * steps, 2):
            speed, supply = state[-1].real, state[2].real
            state, v_ab, v_cb, currents, torques = step(
                state, (emfs[k], emfs[k + 1], emfs[k + 2]), span, one, _hold
            )
            v_ca = v_cb - v_ab
            ab, bc, ca = ab + v_ab * v_ab, bc + v_cb * v_cb, ca + v_ca * v_ca
            for place, current in enumerate(currents):
                a, b = current.real, current.imag
                squares[place] += a * a + b * b
            half, b = a / 2.0, ROOT_3 / 2.0 * b
            source, torque = source + supply * supply, torque + torques[-1]
            line_a, line_b = line_a + a * a, line_b + (b - half) ** 2
            line_c += (b + half) ** 2
            peak_source = max(peak_source, supply, -supply)
            peak_line = max(peak_line, a, -a, half - b, b - half, half + b, -half - b)
            peak_torque = max(peak_torque, torques[-1], -torques[-1])
            if speed < arrival <= state[-1].real < math.inf and arrived == math.inf:
                share = (arrival - speed) / (state[-1].real - speed)
                arrived = start_s + (k / 2 + share) * span
        rms = [math.sqrt(v / steps) for v in (ab, bc, ca, source, line_a, line_b, line_c)]
        records.append(
            Period(
                end_s=(number + 1) / run.frequency_hz,
                speed=state[-1].real / (arrival / ARRIVED),
                line_v=(rms[0], rms[1], rms[2]),
                source_a=rms[3],
                line_current_a=(rms[4], rms[5], rms[6]),
                torque_nm=torque / steps,
            )
        )
        if saturating:
            fresh = with_currents(run, [total / (2 * steps) for total in squares])
            state, one = with_leakage(state, one, fresh), fresh
    synchronous = arrival / ARRIVED
    return Transient(
        time_s=arrived,
        speed=state[-1].real / synchronous,
        running_slips=tuple(1.0 - own.real / synchronous for own in state[6:-1:4]),
        peak_source_a=peak_source,
        peak_line_a=peak_line,
        peak_torque_nm=peak_torque,
        lowest_line_v=(
            min(one.line_v[0] for one in records),
            min(one.line_v[1] for one in records),
            min(one.line_v[2] for one in records),
        ),
        periods=tuple(records),
        state=tuple(state),
        steps=periods * steps,
        error=math.nan,
    )


def steps_needed(fastest_rad_s: float, frequency_hz: float, *, doubled: bool = False) -> int:
    """Return an even number of steps of a supply period that keeps the final error near 1e-4.

    Args:
        fastest_rad_s: Highest angular frequency at which the network can ring; fast ringing dies
            out soon and needs no more than stability.
        frequency_hz: Frequency of the supply.
        doubled: Whether a step of twice that length has to be stable too.

    Source:
        Fitted to the errors of six networks, from no capacitor to three.
    """
    radians = fastest_rad_s / frequency_hz
    stable = radians / (STABLE / 2.0 if doubled else STABLE)
    return 2 * math.ceil(max(COARSEST, RINGING * math.pow(radians, 0.6), stable) / 2.0)
