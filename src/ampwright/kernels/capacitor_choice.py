"""Choice of balancing capacitors over a duty: one pair where it serves, switched steps where not.

Slips, leakage and flux are held while pairs are tried, since they hardly depend on the pair, then
solved again and the search repeated until the pair stays. Pairs are tried on the rungs that stock
can make, so the answer is one that can be built.
"""

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import NamedTuple

from ampwright.kernels.balance import Pair, Rung, balancing_pair, nearest
from ampwright.kernels.duty import (
    SLACK,
    DutyState,
    Frame,
    Limits,
    framed,
    guess_from,
    idler_current,
    line_voltages,
    merit,
    replies,
    rows,
    solved,
    voltages_with,
)
from ampwright.kernels.network import Source, State
from ampwright.kernels.pair_reply import Reply

ROUNDS = 4  # of search and solution; two suffice nearly always
STRIDES, LAST_STRIDES = (8, 4, 2, 1), (2, 1)  # rungs


class BalancedState(NamedTuple):
    """One state of a duty with the capacitors chosen.

    Attributes:
        step: Place of its step.
        nominal: The network at the supply's nominal voltage.
        highest: The network at its highest voltage.
        vuf_low: Least unbalance over the corners of the cans' tolerance.
        vuf_high: Greatest.
        highest_line_v: Greatest line voltage over those corners, at the highest voltage.
        idler_current: Largest winding current of the idler over its rated winding current.
        kept: Whether the limits of voltage and current are kept at the cans' marked values.
    """

    step: int
    nominal: State
    highest: State
    vuf_low: float
    vuf_high: float
    highest_line_v: float
    idler_current: float
    kept: bool


class Step(NamedTuple):
    """The capacitors of one step, and the states of the duty that it serves, by place."""

    bc: Rung
    ca: Rung
    states: tuple[int, ...]

    @property
    def pair(self) -> Pair:
        """Capacitances of the step."""
        return Pair(self.bc.total_f, self.ca.total_f)


class Choice(NamedTuple):
    """Capacitors for a duty.

    Attributes:
        steps: One pair for all states, or several that are switched with the load.
        states: Each state with its pair.
        kept: Whether every state keeps the limits of voltage and current.
        vuf_met: Whether every state keeps the unbalance aimed at.
    """

    steps: tuple[Step, ...]
    states: tuple[BalancedState, ...]
    kept: bool
    vuf_met: bool


def choose(
    source: Source,
    highest: Source,
    duty: Sequence[DutyState],
    rungs: Sequence[Rung],
    limits: Limits,
    *,
    most_steps: int = 1,
) -> Choice:
    """Return the capacitors that keep unbalance small over a duty, within limits.

    Args:
        source: The supply at its nominal voltage.
        highest: The same supply at its highest voltage.
        duty: States in the order of their load, idler alone first.
        rungs: Capacitances that stock can make, from ``balance.ladder``.
        limits: What has to be kept.
        most_steps: Most pairs that may be switched with the load; more than one is used only
            where one pair does not keep the limits and the unbalance aimed at in every state.

    Returns:
        The choice. Limits that cannot be kept are a result: the pair that exceeds them least.

    Raises:
        ValueError: The duty is empty, a state has no idler, or no step is allowed.

    Accuracy:
        Over 60 random cases the weighted squared unbalance was within 4 % of the best of all pairs
        on the ladder, and equal to it in 53. The figures of the states are full solutions.
        Without main-flux saturation of the idler a lightly loaded leg that capacitors boost reads
        6 to 12 V high on 240 V.

    Source:
        Weighted sum of squared unbalance made small, from the closed form at the mean load.
    """
    if not duty or most_steps < 1 or not all(state.rotors for state in duty):
        raise ValueError("wanted a state of duty at least, each with an idler, and a step at least")
    supplies = source, highest
    count = len(duty)
    best = [_for_all(supplies, tuple(duty), tuple(rungs), limits)]
    for steps in range(2, min(most_steps, count) + 1):
        if max(_shortfall(best)) <= SLACK:
            break
        held = _joined([one.held for one in best])
        groups = _best_groups(held, duty, rungs, limits, steps)
        parted = [_refined(supplies, duty, group, rungs, limits, held) for group in groups]
        if _shortfall(parted) < _shortfall(best):
            best = parted
    return _chosen(best, rungs, limits)


class _Held(NamedTuple):
    nominal: list[Frame]
    highest: list[Frame]
    states: list[tuple[State, State]]


class _Search(NamedTuple):
    group: tuple[int, int]
    place: tuple[int, int]
    excess: float
    beyond: float
    held: _Held


def _shortfall(searches: Sequence[_Search]) -> tuple[float, float]:
    return sum(one.excess for one in searches), sum(one.beyond for one in searches)


def _partitions(count: int, steps: int) -> list[list[tuple[int, int]]]:
    """Return every way to cut a row of states into so many groups, as slices."""
    if steps == 1:
        return [[(0, count)]]
    return [
        [*head, (cut, count)]
        for cut in range(steps - 1, count)
        for head in _partitions(cut, steps - 1)
    ]


def _best_groups(
    held: _Held,
    duty: Sequence[DutyState],
    rungs: Sequence[Rung],
    limits: Limits,
    steps: int,
) -> list[tuple[int, int]]:
    """Return the partition of the states that promises most, slips and flux held."""
    merits: dict[tuple[int, int], tuple[float, float, float]] = {}
    partitions = _partitions(len(duty), steps)
    for group in sorted({group for cuts in partitions for group in cuts}):
        own = _sliced(held, group)
        weights = [state.weight for state in duty[slice(*group)]]
        start = _first_place(own.nominal, weights, rungs)
        at = replies(own.nominal, own.highest, delta=limits.idler_delta)
        hz = own.nominal[0].frequency_hz
        place = _descend(at, hz, weights, rungs, limits, start)
        merits[group] = _merit(at, hz, weights, _pair(rungs, place), limits)
    return min(
        partitions,
        key=lambda cuts: tuple(sum(merits[group][k] for group in cuts) for k in range(3)),
    )


def _joined(parts: Sequence[_Held]) -> _Held:
    return _Held(
        [frame for part in parts for frame in part.nominal],
        [frame for part in parts for frame in part.highest],
        [states for part in parts for states in part.states],
    )


def _sliced(held: _Held, group: tuple[int, int]) -> _Held:
    part = slice(*group)
    return _Held(held.nominal[part], held.highest[part], held.states[part])


def _first(supplies: tuple[Source, Source], duty: Sequence[DutyState]) -> _Held:
    """Return every state solved without capacitors, which slips hardly notice."""
    source, highest = supplies
    states = [_bare(source, state) for state in duty]
    low = [framed(source, state, at) for state, at in zip(duty, states, strict=True)]
    high = [frame._replace(source=highest) for frame in low]
    return _Held(low, high, [(at, at) for at in states])


@lru_cache(maxsize=256)
def _for_all(
    supplies: tuple[Source, Source],
    duty: tuple[DutyState, ...],
    rungs: tuple[Rung, ...],
    limits: Limits,
) -> _Search:
    """Return the best pair for all states; a choice of several steps begins with it too."""
    first = _first(supplies, duty)
    return _refined(supplies, duty, (0, len(duty)), rungs, limits, first)


def _refined(
    supplies: tuple[Source, Source],
    duty: Sequence[DutyState],
    group: tuple[int, int],
    rungs: Sequence[Rung],
    limits: Limits,
    first: _Held,
) -> _Search:
    """Return the best pair for some states, searched and solved in turn until it stays."""
    states = duty[slice(*group)]
    weights = [state.weight for state in states]
    held = _sliced(first, group)
    place = _first_place(held.nominal, weights, rungs)
    hz = held.nominal[0].frequency_hz
    at = replies(held.nominal, held.highest, delta=limits.idler_delta)
    for strides in (STRIDES, *(LAST_STRIDES,) * ROUNDS):
        found = _descend(at, hz, weights, rungs, limits, place, strides)
        if found == place and strides is not STRIDES:
            break
        place = found
        held = _held(supplies, states, _pair(rungs, place))
        at = replies(held.nominal, held.highest, delta=limits.idler_delta)
    figures = _merit(at, hz, weights, _pair(rungs, place), limits)
    return _Search(group, place, figures[0], figures[1], held)


def _merit(
    at: Sequence[Reply], hz: float, weights: Sequence[float], pair: Pair, limits: Limits
) -> tuple[float, float, float]:
    return merit(rows(at, pair.bc_f, hz), weights, pair.ca_f, hz, limits)


def _pair(rungs: Sequence[Rung], place: tuple[int, int]) -> Pair:
    return Pair(rungs[place[0]].total_f, rungs[place[1]].total_f)


def _held(supplies: tuple[Source, Source], duty: Sequence[DutyState], pair: Pair) -> _Held:
    """Return every state solved with a pair at both voltages, and what is held from there."""
    both = [_with_pair(supplies, state, pair) for state in duty]
    return _Held(
        [low for (low, _), _ in both],
        [high for (_, high), _ in both],
        [states for _, states in both],
    )


@lru_cache(maxsize=512)
def _bare(source: Source, state: DutyState) -> State:
    """Return a state solved without capacitors."""
    return solved(source, state, Pair(0.0, 0.0))


@lru_cache(maxsize=512)
def _with_pair(
    supplies: tuple[Source, Source], state: DutyState, pair: Pair
) -> tuple[tuple[Frame, Frame], tuple[State, State]]:
    """Return a state solved with a pair at both voltages.

    It begins with the slips without capacitors, whatever else was tried before, so that it comes
    out alike wherever the same pair is come upon; at the higher voltage slips are smaller by its
    square.
    """
    source, highest = supplies
    low = solved(source, state, pair, guess=guess_from(_bare(source, state)))
    share = abs((source.e_a_v - source.e_b_v) / (highest.e_a_v - highest.e_b_v)) ** 2
    high = solved(highest, state, pair, guess=[share * slip for slip in guess_from(low)])
    return (framed(source, state, low), framed(highest, state, high)), (low, high)


def _first_place(
    frames: Sequence[Frame], weights: Sequence[float], rungs: Sequence[Rung]
) -> tuple[int, int]:
    """Return the rungs nearest to the closed form at the mean load."""
    y1 = sum(w * f.y1 for w, f in zip(weights, frames, strict=True)) / sum(weights)
    pair = balancing_pair(y1, frames[0].frequency_hz)
    return nearest(rungs, pair.bc_f), nearest(rungs, pair.ca_f)


def _descend(
    at: Sequence[Reply],
    hz: float,
    weights: Sequence[float],
    rungs: Sequence[Rung],
    limits: Limits,
    start: tuple[int, int],
    strides: Sequence[int] = STRIDES,
) -> tuple[int, int]:
    """Return the best pair: for each capacitor to B the best to A, and of these the best.

    Squared unbalance and excess are hollow functions of the pair, so each of the two searches
    has one lowest point; a search of neighbouring pairs alone would stick to the edge of a limit.
    """
    known: dict[int, tuple[float, float]] = {}
    partner: dict[int, int] = {}
    latest = start[1]

    def along(bc: int) -> tuple[float, float]:
        nonlocal latest
        if bc not in partner:
            own = rows(at, rungs[bc].total_f, hz)
            seen: dict[int, tuple[float, float]] = {}

            def judged(ca: int) -> tuple[float, float]:
                if ca not in seen:
                    excess, _, total = merit(own, weights, rungs[ca].total_f, hz, limits)
                    seen[ca] = excess, total
                return seen[ca]

            partner[bc] = latest = _lowest(judged, latest, len(rungs), strides)
            known[bc] = seen[latest]
        return known[bc]

    best = _lowest(along, start[0], len(rungs), strides)
    return best, partner[best]


def _lowest(
    figure: Callable[[int], tuple[float, float]], start: int, count: int, strides: Sequence[int]
) -> int:
    """Return the place of the lowest figure of a hollow row, from wide strides to single ones."""
    here, lowest = start, figure(start)
    for stride in strides:
        for step in (stride, -stride):
            while 0 <= here + step < count:
                found = figure(here + step)
                if not found < lowest:
                    break
                here, lowest = here + step, found
    return here


def _chosen(
    searches: Sequence[_Search],
    rungs: Sequence[Rung],
    limits: Limits,
) -> Choice:
    steps, states = [], []
    for place, search in enumerate(searches):
        bc, ca = search.place
        step = Step(rungs[bc], rungs[ca], tuple(range(*search.group)))
        steps.append(step)
        states += [
            _reported(place, frames, solved, step.pair, limits)
            for *frames, solved in zip(*search.held, strict=True)
        ]
    return Choice(
        tuple(steps),
        tuple(states),
        all(state.kept for state in states),
        all(state.nominal.vuf <= limits.vuf for state in states),
    )


def _reported(
    step: int,
    frames: Sequence[Frame],
    states: tuple[State, State],
    pair: Pair,
    limits: Limits,
) -> BalancedState:
    low, high = frames
    corners = [
        Pair(pair.bc_f * (1.0 + i * limits.tolerance), pair.ca_f * (1.0 + j * limits.tolerance))
        for i in (-1.0, 0.0, 1.0)
        for j in (-1.0, 0.0, 1.0)
    ]
    found = [voltages_with(low, one) for one in corners]
    unbalance = [abs(at.two) / abs(at.one) for at in found]
    volts = [max(line_voltages(voltages_with(high, one))) for one in corners]
    winding = idler_current(low, voltages_with(low, pair), delta=limits.idler_delta)
    above = states[1].line_v
    return BalancedState(
        step=step,
        nominal=states[0],
        highest=states[1],
        vuf_low=min(unbalance),
        vuf_high=max(unbalance),
        highest_line_v=max(volts),
        idler_current=winding,
        kept=max(above) <= limits.line_v * (1.0 + SLACK)
        and max(above[1:]) <= limits.capacitor_v * (1.0 + SLACK)
        and winding <= limits.idler_current * (1.0 + SLACK),
    )
