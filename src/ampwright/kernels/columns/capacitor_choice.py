"""Many choices of balancing capacitors at once: the columnar driver of one pair over a duty."""

from collections.abc import Callable, Sequence
from typing import NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from ampwright.kernels.balance import Pair, Rung, balancing_pair
from ampwright.kernels.capacitor_choice import LAST_STRIDES, ROUNDS, STRIDES
from ampwright.kernels.columns.lanes import count, join, put, take, widen
from ampwright.kernels.columns.network import solve
from ampwright.kernels.duty import (
    SLACK,
    DutyState,
    Frame,
    Limits,
    framed,
    guess_from,
    merit,
    replies,
    rows,
)
from ampwright.kernels.network import Source, State, capacitors, plus
from ampwright.kernels.pair_reply import Reply

BLOCK = 4096  # lanes worked on together

Column = NDArray[np.float64]
Places = NDArray[np.intp]
Figures = tuple[Column, Column]


class PairChoice(NamedTuple):
    """One pair for the duty of each lane; every leaf is a column.

    Attributes:
        bc: Place on the ladder of the capacitor to leg B.
        ca: Of that to leg A.
        pair: Their capacitances [F].
        nominal: Each state with the pair at the supply's nominal voltage.
        highest: The same at its highest voltage.
        excess: Sum of what exceeds the limits of voltage and current, as shares of them.
        kept: Whether all of them are kept.
        vuf_met: Whether every state keeps the unbalance aimed at.
    """

    bc: Places
    ca: Places
    pair: Pair
    nominal: tuple[State, ...]
    highest: tuple[State, ...]
    excess: Column
    kept: NDArray[np.bool_]
    vuf_met: NDArray[np.bool_]


Given = tuple[Source, Source, tuple[DutyState, ...], Limits]


class _Held(NamedTuple):
    nominal: tuple[Frame, ...]
    highest: tuple[Frame, ...]
    states: tuple[tuple[State, State], ...]


def choose(
    source: Source,
    highest: Source,
    duty: Sequence[DutyState],
    rungs: Sequence[Rung],
    limits: Limits,
) -> PairChoice:
    """Return the pair of each lane that keeps unbalance small over its duty, within its limits.

    Args:
        source: The supplies at their nominal voltage.
        highest: The same at their highest voltage.
        duty: States, as many in every lane; in every state the same number of machines.
        rungs: Capacitances that stock can make, shared by all lanes.
        limits: What has to be kept; whether the idler is a delta is shared by all lanes.

    Returns:
        One pair a lane. Switched steps are the scalar driver's.

    Raises:
        ValueError: The duty is empty or a state has no idler, or no field is a column.

    Accuracy:
        The same search as the scalar driver's; over 200 random duties it chose the same pair in
        each, and figures agreed to 1e-9.

    Source:
        As ``kernels.capacitor_choice.choose``.
    """
    if not duty or not all(state.rotors for state in duty):
        raise ValueError("wanted a state of duty at least, each with an idler")
    given: Given = (source, highest, tuple(duty), limits)
    lanes = count(given)
    # one column at least in every part of the network
    given = (widen(source, lanes), widen(highest, lanes), tuple(duty), limits)
    totals = np.array([rung.total_f for rung in rungs])
    blocks = [
        _block(take(given, slice(first, first + BLOCK)), totals, min(BLOCK, lanes - first))
        for first in range(0, lanes, BLOCK)
    ]
    return join(blocks)


def _block(given: Given, totals: Column, lanes: int) -> PairChoice:
    source, highest, duty, limits = given
    bare = Pair(0.0, 0.0)
    states = tuple(_solved(source, state, bare, ()) for state in duty)
    low = tuple(framed(source, state, at) for state, at in zip(duty, states, strict=True))
    high = tuple(frame._replace(source=highest) for frame in low)
    held = widen(_Held(low, high, tuple((at, at) for at in states)), lanes)
    bc, ca = _first_place(duty, low, totals, lanes)
    waiting = np.arange(lanes)
    for strides in (STRIDES, *(LAST_STRIDES,) * ROUNDS):
        own = take(given, waiting)
        found = _descend(own, take(held, waiting), totals, (bc[waiting], ca[waiting]), strides)
        moved = (found[0] != bc[waiting]) | (found[1] != ca[waiting]) | (strides is STRIDES)
        bc[waiting], ca[waiting] = found
        waiting = waiting[moved]
        if not waiting.size:
            break
        pair = _pair(totals, bc[waiting], ca[waiting])
        put(held, waiting, _held(take(given, waiting), pair, take(held, waiting), len(waiting)))
    pair = _pair(totals, bc, ca)
    excess = np.asarray(_merit(given, _replies(given, held), pair)[0])
    short = [at.vuf > limits.vuf for at, _ in held.states]
    return PairChoice(
        bc=bc,
        ca=ca,
        pair=pair,
        nominal=tuple(at for at, _ in held.states),
        highest=tuple(at for _, at in held.states),
        excess=excess,
        kept=excess < SLACK,
        vuf_met=~np.any(short, axis=0),
    )


def _solved(source: Source, state: DutyState, pair: Pair, guess: tuple[float, ...]) -> State:
    hz = state.rotors[0].circuit.frequency_hz
    legs = plus(state.legs, capacitors(0.0, pair.bc_f, pair.ca_f, hz))
    return solve(source, legs, state.rotors, constant_power=state.constant_power, guess=guess)


def _held(given: Given, pair: Pair, before: _Held, lanes: int) -> _Held:
    """Return every state solved with its pair at both voltages, and what is held from there."""
    source, highest, duty, _ = given
    states = tuple(
        (
            _solved(source, state, pair, guess_from(low)),
            _solved(highest, state, pair, guess_from(high)),
        )
        for state, (low, high) in zip(duty, before.states, strict=True)
    )
    both = list(zip(duty, states, strict=True))
    return widen(
        _Held(
            tuple(framed(source, state, at) for state, (at, _) in both),
            tuple(framed(highest, state, at) for state, (_, at) in both),
            states,
        ),
        lanes,
    )


def _pair(totals: Column, bc: Places, ca: Places) -> Pair:
    return Pair(cast("float", totals[bc]), cast("float", totals[ca]))


def _replies(given: Given, held: _Held) -> tuple[Reply, ...]:
    return replies(held.nominal, held.highest, delta=given[3].idler_delta)


def _merit(given: Given, at: tuple[Reply, ...], pair: Pair) -> Figures:
    _, _, duty, limits = given
    hz = duty[0].rotors[0].circuit.frequency_hz
    along = rows(at, pair.bc_f, hz)
    excess, _, total = merit(along, [state.weight for state in duty], pair.ca_f, hz, limits)
    return cast("Figures", (excess, total))


def _first_place(
    duty: Sequence[DutyState], frames: Sequence[Frame], totals: Column, lanes: int
) -> tuple[Places, Places]:
    weights = [state.weight for state in duty]
    y1 = sum(w * f.y1 for w, f in zip(weights, frames, strict=True)) / sum(weights)
    pair = balancing_pair(y1, frames[0].frequency_hz)
    return _nearest(totals, pair.bc_f, lanes), _nearest(totals, pair.ca_f, lanes)


def _nearest(totals: Column, capacitance_f: float, lanes: int) -> Places:
    wanted = np.broadcast_to(np.asarray(capacitance_f), (lanes,))
    above = np.clip(np.searchsorted(totals, wanted), 0, len(totals) - 1)
    below = np.maximum(above - 1, 0)
    higher = (totals[above] - wanted < wanted - totals[below]) | (above == 0)
    return np.where(higher, above, below)


def _descend(
    given: Given,
    held: _Held,
    totals: Column,
    start: tuple[Places, Places],
    strides: Sequence[int],
) -> tuple[Places, Places]:
    """Take the scalar driver's search on every lane: for each place to B the best to A."""
    lanes, top = len(start[0]), len(totals)
    partner = np.full((lanes, top), -1)
    latest = start[1].copy()
    at = _replies(given, held)

    def judged(bc: Places, ca: Places, where: Places) -> Figures:
        return _merit(take(given, where), take(at, where), _pair(totals, bc, ca))

    def along(bc: Places, where: Places) -> Figures:
        new = partner[where, bc] < 0
        fresh, own = where[new], bc[new]
        if fresh.size:
            found = _lowest(
                lambda ca, some: judged(own[some], ca, fresh[some]), latest[fresh], top, strides
            )
            partner[fresh, own] = latest[fresh] = found
        return judged(bc, partner[where, bc], where)

    best = _lowest(along, start[0], top, strides)
    return best, partner[np.arange(lanes), best]


def _lowest(
    figure: Callable[[Places, Places], Figures], start: Places, top: int, strides: Sequence[int]
) -> Places:
    """Return the place of the lowest figure of each lane, as the scalar driver's does."""
    here = start.copy()
    lowest = [np.broadcast_to(part, here.shape).copy() for part in
              figure(here, np.arange(len(here)))]  # fmt: skip
    for stride in strides:
        for step in (stride, -stride):
            going = np.arange(len(here))
            while going.size:
                going = going[(here[going] + step >= 0) & (here[going] + step < top)]
                if not going.size:
                    break
                found = figure(here[going] + step, going)
                first, second = lowest[0][going], lowest[1][going]
                better = (found[0] < first) | ((found[0] == first) & (found[1] < second))
                going = going[better]
                here[going] += step
                for part, new in zip(lowest, found, strict=True):
                    part[going] = new[better]
    return here
