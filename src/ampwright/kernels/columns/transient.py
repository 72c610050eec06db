"""Many starts in the time domain at once: the columnar driver of ``kernels.transient``."""

import cmath
import math
from collections.abc import Sequence
from typing import cast

import numpy as np
from numpy.typing import NDArray

from ampwright.kernels import transient as scalar
from ampwright.kernels.columns.lanes import count, join, take, widen
from ampwright.kernels.columns.network import solve
from ampwright.kernels.columns.starting import locked_rotor
from ampwright.kernels.flux_equations import fastest, step, with_leakage
from ampwright.kernels.legs import capacitors
from ampwright.kernels.network import Source
from ampwright.kernels.starter import Shaft
from ampwright.kernels.transient import ARRIVED, STANDSTILL, Period, Run, Transient

BLOCK = 2048  # lanes worked on together
ROOT_3 = math.sqrt(3.0)

Column = NDArray[np.float64]


def transient(
    source: Source,
    capacitances_f: tuple[float, float, float],
    running: Sequence[Shaft],
    starter: Shaft,
    *,
    duration_s: float,
    switching_rad: float = 0.0,
    saturating: bool = True,
    steps_per_period: int = 0,
) -> Transient:
    """Return many direct starts in the time domain, beside machines in their steady state.

    Args:
        source: The supplies; their loops must have some reactance.
        capacitances_f: Between legs A and B, B and C, C and A [F]; each a column above zero, or
            the number 0.0 where no lane has that capacitor.
        running: The machines that already turn, as many in every lane.
        starter: The machines that are switched on, from standstill.
        duration_s: How long they are followed, shared by all lanes.
        switching_rad: Phase of the supply's voltage, shared by all lanes.
        saturating: Whether leakage follows the rms current from period to period.
        steps_per_period: Even number of steps; 0 takes as many as the worst lane needs.

    Returns:
        The scalar driver's record; every leaf but the number of steps is a column.

    Raises:
        ValueError: A supply has no reactance, a capacitor is there in some lanes only, the
            duration is not above zero or the number of steps is odd.

    Accuracy:
        As the scalar driver with the same number of steps, to 1e-9.

    Source:
        As ``kernels.transient.transient``.
    """
    if not duration_s > 0.0 or steps_per_period % 2:
        raise ValueError(f"wanted a duration above zero and even steps, got {duration_s} s")
    present = tuple(bool(np.any(np.asarray(c) > 0.0)) for c in capacitances_f)
    whole = (np.all(np.asarray(c) > 0.0) for c, there in zip(capacitances_f, present, strict=True)
             if there)  # fmt: skip
    loop = np.asarray(source.z_a_ohm + source.z_b_ohm)
    if not (all(whole) and np.all(loop.imag > 0.0)):
        raise ValueError("wanted reactance in every supply, and a capacitor in all lanes or none")
    given = (source, capacitances_f, tuple(running), starter)
    lanes = count(given)
    given = (widen(source, lanes), *given[1:])  # one column at least in every part of the network
    hz = starter.rotor.circuit.frequency_hz
    runs = [
        _prepared(take(given, slice(first, first + BLOCK)), present, switching_rad)
        for first in range(0, lanes, BLOCK)
    ]
    steps = steps_per_period or max(_steps(run) for run in runs)
    periods = math.ceil(duration_s * float(np.max(hz)) - 1e-9)
    found = [
        _followed(run, periods, steps, min(BLOCK, lanes - BLOCK * k), saturating=saturating)
        for k, run in enumerate(runs)
    ]
    return join(found)._replace(steps=periods * steps)


def _prepared(
    given: tuple[Source, tuple[float, float, float], tuple[Shaft, ...], Shaft],
    present: tuple[bool, ...],
    switching_rad: float,
) -> Run:
    source, capacitances_f, running, starter = given
    legs = capacitors(*capacitances_f, starter.rotor.circuit.frequency_hz)
    locked = locked_rotor(source, legs, running, starter)
    bare = tuple(scalar.coreless(shaft.rotor) for shaft in running)
    before = solve(source, legs, bare) if bare else None
    there = (present[0], present[1], present[2])
    shafts = (*running, starter)
    return scalar.prepared(source, capacitances_f, there, shafts, locked, before, switching_rad)


def _steps(run: Run) -> int:
    radians = np.broadcast_arrays(fastest(run.plant), run.frequency_hz)
    return max(
        scalar.steps_needed(float(one), float(hz))
        for one, hz in zip(*(column.ravel() for column in radians), strict=True)
    )


def _hold(left_nm: float, speed: float, torque_nm: float, breakaway_nm: float) -> float:
    """Return the accelerating torque of each lane, as the scalar driver does."""
    torque = np.asarray(torque_nm)
    free = np.where(torque > 0.0, left_nm, torque + breakaway_nm)
    held = np.where(np.abs(torque) <= breakaway_nm, 0.0, free)
    return cast("float", np.where(np.asarray(speed) > STANDSTILL, left_nm, held))


def _followed(run: Run, periods: int, steps: int, lanes: int, *, saturating: bool) -> Transient:
    span = 1.0 / (run.frequency_hz * steps)
    turns = [cmath.rect(1.0, math.pi * k / steps) for k in range(2 * steps + 1)]
    emfs = [(run.emf_v * turn).real for turn in turns]
    one = run.plant
    state = [np.broadcast_to(np.asarray(value), (lanes,)) for value in run.state]
    synchronous = 2.0 * math.pi * run.frequency_hz
    arrival = ARRIVED * synchronous
    arrived = np.full(lanes, np.inf)
    peaks = np.zeros((3, lanes))
    records = []
    for number in range(periods):
        sums, squares = np.zeros((8, lanes)), np.zeros((len(run.shafts), lanes))
        for k in range(0, 2 * steps, 2):
            speed, supply = state[-1].real, state[2].real
            drive = emfs[k], emfs[k + 1], emfs[k + 2]
            after, v_ab, v_cb, currents, torques = step(
                cast("list[complex]", state), drive, span, one, _hold
            )
            state = [np.asarray(value) for value in after]
            a, b = np.asarray(currents[-1]).real, np.asarray(currents[-1]).imag * (ROOT_3 / 2.0)
            lines = a, b - a / 2.0, -b - a / 2.0
            volts = cast("tuple[Column, ...]", (v_ab, v_cb, v_cb - v_ab))
            for place, value in enumerate((*volts, supply, *lines)):
                sums[place] += np.square(value)
            sums[7] += torques[-1]
            for place, current in enumerate(currents):
                squares[place] += np.square(current.real) + np.square(current.imag)
            for place, sizes in enumerate(((supply,), lines, (torques[-1],))):
                peaks[place] = np.maximum.reduce([peaks[place], *map(np.abs, sizes)])
            now = state[-1].real
            here = (speed < arrival) & (now >= arrival) & np.isposinf(arrived)
            share = np.where(here, (arrival - speed) / np.where(here, now - speed, 1.0), 0.0)
            instant = number / run.frequency_hz + (k / 2 + share) * span
            arrived = np.where(here, instant, arrived)
        rms = np.sqrt(sums[:7] / steps)
        end = np.asarray((number + 1) / run.frequency_hz)
        records.append(_period(end, state[-1].real / synchronous, rms, sums[7] / steps))
        if saturating:
            fresh = scalar.with_currents(run, list(squares / (2 * steps)))
            kept = with_leakage(cast("list[complex]", state), one, fresh)
            state, one = [np.asarray(value) for value in kept], fresh
    found = Transient(
        time_s=cast("float", arrived),
        speed=cast("float", state[-1].real / synchronous),
        running_slips=cast(
            "tuple[float, ...]", tuple(1.0 - own.real / synchronous for own in state[6:-1:4])
        ),
        peak_source_a=peaks[0],
        peak_line_a=peaks[1],
        peak_torque_nm=peaks[2],
        lowest_line_v=cast(
            "tuple[float, float, float]",
            tuple(np.minimum.reduce([one.line_v[k] for one in records]) for k in range(3)),
        ),
        periods=tuple(records),
        state=cast("tuple[complex, ...]", tuple(state)),
        steps=0,
        error=math.nan,
    )
    return widen(found, lanes)


def _period(end_s: Column, speed: Column, rms: Column, torque_nm: Column) -> Period:
    leaves = end_s, speed, tuple(rms[:3]), rms[3], tuple(rms[4:]), torque_nm
    return Period._make(cast("tuple[float, ...]", leaves))
