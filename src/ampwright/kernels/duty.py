"""States of a duty, and what a pair of capacitors does in them while all else is held."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.balance import ROOT_3, Pair
from ampwright.kernels.induction import branch, delta_currents, line_currents
from ampwright.kernels.legs import DEEP_SAG, Voltages, with_power
from ampwright.kernels.network import (
    PLACES,
    ConstantPower,
    Legs,
    Rotor,
    Source,
    State,
    capacitors,
    plus,
    solve,
    solve_voltages,
)
from ampwright.kernels.operating_point import fluxed
from ampwright.kernels.pair_reply import Reply, Row, judged, numerators, replied, row

SLACK = 1e-9  # excess that is rounding
STALLED_SLIP, USUAL_SLIP = 0.3, 0.02  # a slip above the first is no guess for another state


class DutyState(NamedTuple):
    """One state of a duty; the states stand in the order of their load.

    Attributes:
        weight: Its share in the sum that is made small.
        rotors: The idler first, then the motors that run.
        legs: Other linear branches.
        constant_power: Loads that hold their power.
    """

    weight: float
    rotors: tuple[Rotor, ...]
    legs: Legs = Legs()
    constant_power: tuple[ConstantPower, ...] = ()


class Limits(NamedTuple):
    """What a choice has to keep.

    Attributes:
        line_v: Highest line voltage, at the supply's highest voltage: 1.10 times the lowest plate
            voltage connected, idler and electronics included.
        capacitor_v: Rated voltage of the cans.
        idler_current: Largest winding current of the idler over its rated winding current.
        vuf: Largest negative over positive sequence voltage that is aimed at in every state.
        idler_delta: Whether the idler's winding is a delta.
        tolerance: Of a can, either way, as a share.
    """

    line_v: float
    capacitor_v: float
    idler_current: float
    vuf: float
    idler_delta: bool
    tolerance: float


class Frame(NamedTuple):
    """One state of a duty with everything held but the pair."""

    source: Source
    legs: Legs
    y1: complex
    y2: complex
    idler_y1: complex
    idler_y2: complex
    idler_a: float
    frequency_hz: float


def framed(source: Source, state: DutyState, at: State) -> Frame:
    """Return a state with slips, leakage, flux and held powers as they were solved."""
    branches = [
        (
            branch(fluxed(rotor.circuit, own.flux), own.slip, own.leakage).y,
            branch(fluxed(rotor.circuit, own.flux), 2.0 - own.slip, own.leakage).y,
        )
        for rotor, own in zip(state.rotors, at.rotors, strict=True)
    ]
    a, b, c = at.leg_v
    across = dict(zip(PLACES, (a - b, b - c, c - a, a, b, c), strict=True))
    squares = tuple(
        larger(abs(across[load.place]), DEEP_SAG * load.voltage_v) ** -2
        for load in state.constant_power
    )
    idler = state.rotors[0].circuit
    return Frame(
        source=source,
        legs=with_power(state.legs, state.constant_power, squares),
        y1=sum(one for one, _ in branches),
        y2=sum(two for _, two in branches),
        idler_y1=branches[0][0],
        idler_y2=branches[0][1],
        idler_a=idler.rated_current_a,
        frequency_hz=idler.frequency_hz,
    )


def replies(low: Sequence[Frame], high: Sequence[Frame], *, delta: bool) -> tuple[Reply, ...]:
    """Return each state for every pair, from its frames at nominal and highest voltage."""
    found = []
    for frame, above in zip(low, high, strict=True):
        at = numerators(*frame[:4]), numerators(*above[:4])
        idler = frame.idler_y1 / frame.idler_a, frame.idler_y2 / frame.idler_a
        found.append(replied(at, idler, delta=delta))
    return tuple(found)


def rows(at: Sequence[Reply], bc_f: float, frequency_hz: float) -> tuple[Row, ...]:
    """Return each state for one capacitor to B [F]."""
    x = 2j * math.pi * frequency_hz * bc_f
    return tuple([row(one, x) for one in at])


def merit(
    along: Sequence[Row],
    weights: Sequence[float],
    ca_f: float,
    frequency_hz: float,
    limits: Limits,
) -> tuple[float, float, float]:
    """Return excess over limits, unbalance beyond the aim, weighted squared unbalance."""
    bounds = limits.line_v, limits.capacitor_v, limits.idler_current, limits.vuf
    return judged(along, weights, 2j * math.pi * frequency_hz * ca_f, bounds)


def larger(one: float, other: float) -> float:
    """Return the larger of two, with operators alone."""
    return (one + other + abs(one - other)) / 2.0


def voltages_with(frame: Frame, pair: Pair) -> Voltages:
    """Return the voltages of a state with a pair of capacitors."""
    turning = 2j * math.pi * frame.frequency_hz
    y_ab, y_bc, y_ca, y_a, y_b, y_c = frame.legs
    legs = Legs(y_ab, y_bc + turning * pair.bc_f, y_ca + turning * pair.ca_f, y_a, y_b, y_c)
    return solve_voltages(frame.source, legs, frame.y1, frame.y2)


def idler_current(frame: Frame, at: Voltages, *, delta: bool) -> float:
    """Return the largest winding current of the idler over its rated winding current."""
    i1, i2 = frame.idler_y1 * at.one, frame.idler_y2 * at.two
    a, b, c = delta_currents(ROOT_3 * i1, ROOT_3 * i2) if delta else line_currents(i1, i2)
    return larger(larger(abs(a), abs(b)), abs(c)) / frame.idler_a


def line_voltages(at: Voltages) -> tuple[float, float, float]:
    """Return the rms line voltages A-B, B-C, C-A."""
    return abs(at.a - at.b), abs(at.b - at.c), abs(at.c - at.a)


def guess_from(at: State) -> tuple[float, ...]:
    """Return the slips of a state as a guess for a similar one; not those of a stalled machine."""
    return tuple(
        (own.slip < STALLED_SLIP) * own.slip + (own.slip >= STALLED_SLIP) * USUAL_SLIP
        for own in at.rotors
    )


def solved(
    source: Source,
    state: DutyState,
    pair: Pair,
    *,
    ab_f: float = 0.0,
    guess: Sequence[float] = (),
) -> State:
    """Return one state solved with a pair, and a capacitor between the supply legs."""
    hz = state.rotors[0].circuit.frequency_hz
    legs = plus(state.legs, capacitors(ab_f, pair.bc_f, pair.ca_f, hz))
    return solve(source, legs, state.rotors, constant_power=state.constant_power, guess=guess)
