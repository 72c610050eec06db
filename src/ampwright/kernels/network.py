"""The network of a phase converter and its machines: slips solved, and what then flows.

An idler and any number of load motors in parallel on legs A, B and the made leg C, with
capacitors, resistors and loads of constant power, behind the impedance of a single-phase supply.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.legs import (
    PLACES,
    ConstantPower,
    Legs,
    Source,
    capacitors,
    line_line,
    line_neutral,
    machine_matrix,
    plus,
    solve_voltages,
    split_phase,
    three_phase_power,
)
from ampwright.kernels.network_state import RotorState, State, state_of
from ampwright.kernels.operating_point import (
    Frozen,
    LoadLaw,
    MainFlux,
    Point,
    Rotor,
    evaluate,
    first_slip,
    load_slope,
    load_torque,
    main_flux,
    renewed,
    seen,
    torque_scale,
)
from ampwright.kernels.torque_slopes import (
    Response,
    eliminate,
    lead_of_lower_slips,
    settled_response,
)

__all__ = [
    "PLACES",
    "ConstantPower",
    "Frozen",
    "Legs",
    "LoadLaw",
    "MainFlux",
    "Point",
    "Rotor",
    "RotorState",
    "Source",
    "State",
    "at_slips",
    "capacitors",
    "evaluate",
    "line_line",
    "line_neutral",
    "load_torque",
    "machine_matrix",
    "main_flux",
    "plus",
    "renewed",
    "seen",
    "solve",
    "solve_voltages",
    "split_phase",
    "state_of",
    "three_phase_power",
]

TOLERANCE = 1e-13  # of the torque of rated apparent power, and of each held value
CLOSE = 1e-14  # of one residual times the next: the last step leaves a share of both
STEPS = 60
STEP_SHARE, STEP_LEAST = 0.5, 0.005  # a Newton step moves a slip by half of itself, or 0.005
CRAWL_SLIP = 0.1  # below it a rotor is taken to be on the running side of its peak
SETTLE_STEPS, SETTLE_MOVE = 600, 0.03


def solve(
    source: Source,
    legs: Legs,
    rotors: Sequence[Rotor],
    *,
    slips: Sequence[float | None] = (),
    constant_power: tuple[ConstantPower, ...] = (),
    guess: Sequence[float] = (),
) -> State:
    """Return the steady state: every slip where torque and load meet.

    Args:
        source: The single-phase supply.
        legs: Capacitors, resistors and other linear branches.
        rotors: Idler and load motors, in any order.
        slips: Empty, or for each rotor a slip at which it is held, or None to let it turn.
        constant_power: Loads that hold their power.
        guess: Slips to start from, such as those of a similar state.

    Returns:
        The state. A rotor that cannot carry its load is ``stalled``, never an exception; where
        several could stall, each falls as if all had the same inertia per unit.

    Raises:
        ValueError: Nothing is connected to the made leg, or the lengths do not match.

    Accuracy:
        Torques meet to 1e-13 of the rated apparent power, power balances to 1e-12. Against the
        time-domain model volts and currents are within 0.3 % at normal inertia and up to 6 % of
        unbalance; the difference shrinks as one over inertia, for it is the ripple of speed that
        phasors leave out (a bare rotor at 11 % unbalance: 0.4 % of volts, 0.9 % of a small supply
        current). Beyond that the machine's data decide: a magnetising reactance known to 20 %
        moves unbalance by 0.4 points at full load, and without ``main_flux`` a lightly loaded leg
        that capacitors boost reads 3 to 12 V high on 240 V. Held are the shape of the supply
        (sinusoidal) and linear parts; harmonics, saturated zero sequence and transients are not
        in it.

    Source:
        Symmetrical components; Newton's method on the slips with exact derivatives.
    """
    fixed = check(legs, rotors, slips, constant_power)
    start = [
        first_slip(source, rotor) if slip is None else slip
        for rotor, slip in zip(rotors, fixed, strict=True)
    ]
    if guess:
        start = [g if s is None else s for g, s in zip(guess, fixed, strict=True)]
    free = [i for i, slip in enumerate(fixed) if slip is None]
    held = first_held(rotors, constant_power)
    found = _newton(source, legs, rotors, constant_power, start, free, held)
    stalled = [False] * len(rotors)
    if found is None:
        start, stalled = _settle(source, legs, rotors, constant_power, start, free, held)
        free = [i for i in free if not (stalled[i] and start[i] == 1.0)]
        found = _newton(
            source, legs, rotors, constant_power, start, free, held, crawling=True
        ) or _Found(start, held, math.inf)
    return state_of(source, legs, rotors, constant_power, found.slips, found.held,
                    stalled, found.residual, found.point)  # fmt: skip


def at_slips(
    source: Source,
    legs: Legs,
    rotors: Sequence[Rotor],
    slips: Sequence[float],
    *,
    constant_power: tuple[ConstantPower, ...] = (),
) -> State:
    """Return the state with every rotor held at its slip, leakage and flux settled."""
    return solve(source, legs, rotors, slips=slips, constant_power=constant_power)


class _Found(NamedTuple):
    slips: list[float]
    held: Frozen
    residual: float
    point: Point | None = None


def check(
    legs: Legs,
    rotors: Sequence[Rotor],
    slips: Sequence[float | None],
    constant_power: Sequence[ConstantPower],
) -> Sequence[float | None]:
    """Return one held slip, or None, for each rotor; refuse what cannot be a network."""
    if slips and len(slips) != len(rotors):
        raise ValueError(f"wanted one slip for each of {len(rotors)} rotors, got {len(slips)}")
    for load in constant_power:
        if load.place not in PLACES:
            raise ValueError(f"a load stands at one of {', '.join(PLACES)}, got {load.place!r}")
    if not rotors and legs.y_bc == legs.y_ca == legs.y_c == 0.0:
        raise ValueError("the made leg needs a machine or a branch")
    return slips or [None] * len(rotors)


def first_held(rotors: Sequence[Rotor], loads: Sequence[ConstantPower]) -> Frozen:
    """Return held values to start from: no saturation, loads at their rated voltage."""
    ones = (1.0,) * len(rotors)
    return Frozen(ones, ones, tuple(load.voltage_v**-2.0 for load in loads))


def _newton(
    source: Source,
    legs: Legs,
    rotors: Sequence[Rotor],
    loads: tuple[ConstantPower, ...],
    start: Sequence[float],
    free: Sequence[int],
    held: Frozen,
    *,
    crawling: bool = False,
) -> _Found | None:
    """Return the slips where torques meet, or None where a rotor is past its peak.

    Slips and leakage factors take Newton's step together; what else is held (flux, voltages of
    constant-power loads) takes the secant's step towards what it would be, in the same pass.
    """
    slips = list(start)
    scales = [torque_scale(source, rotor.circuit) for rotor in rotors]
    before: tuple[list[float], list[float]] | None = None
    response: Response | None = None
    last = math.inf
    changing = bool(loads) or any(rotor.main_flux is not None for rotor in rotors)
    branches, circuits = seen(rotors, legs, loads, held)
    for _ in range(STEPS):
        point = evaluate(source, branches, circuits, slips, held.leakage)
        wanted = renewed(rotors, loads, point)
        short = [
            point.machines[i].shaft_nm - load_torque(rotors[i].load, circuits[i], slips[i])
            for i in free
        ]
        residual = max([abs(r) / scales[i] for r, i in zip(short, free, strict=True)], default=0.0)
        drift = 0.0
        if wanted != held:
            now, then = flat(held), flat(wanted)
            drift = max([abs(t / n - 1.0) for n, t in zip(now, then, strict=True)])
        done = residual < TOLERANCE and drift < TOLERANCE
        # close to the end that of the step before is as good
        if response is None or not (done or (drift == 0.0 and residual * last < CLOSE)):
            response = settled_response(
                source, branches, circuits, slips, held.leakage, point, wanted.leakage
            )
        last = residual
        past = [k for k, i in enumerate(free) if response.slopes[i][i] <= 0.0]
        if past and not crawling and (done or any(short[k] < 0.0 for k in past)):
            return None
        if done:
            crawls = not crawling and any(
                slips[i] > CRAWL_SLIP and past_peak(circuits[i], point, slips[i], held.leakage[i])
                for i in free
            )
            return None if crawls else _Found(slips, held, residual, point)
        try:
            steps = _newton_steps(rotors, slips, free, response, short)
        except ZeroDivisionError:
            return None
        taken = []
        for i, step in zip(free, steps, strict=True):
            most = max(STEP_SHARE * abs(slips[i]), STEP_LEAST)
            taken.append(min(max(step, -most), most))
            slips[i] += taken[-1]
        if drift:
            held = _towards(held, now, then, before)._replace(
                leakage=_followed(held, response, free, taken)
            )
            before = (now, then)
            if changing:
                branches, circuits = seen(rotors, legs, loads, held)
    return None


def _followed(
    held: Frozen, response: Response, free: Sequence[int], taken: Sequence[float]
) -> tuple[float, ...]:
    """Return the leakage factors that follow the currents while slips change by *taken*."""
    leakage = [k + a for k, a in zip(held.leakage, response.ahead, strict=True)]
    for i, move in zip(free, taken, strict=True):
        leakage = [k + f[i] * move for k, f in zip(leakage, response.follow, strict=True)]
    return tuple([min(max(k, 0.5), 1.0) for k in leakage])


def past_peak(circuit: InductionCircuit, point: Point, slip: float, leakage: float) -> bool:
    """Return whether a machine crawls: the same voltages give more torque at a lower slip."""
    return lead_of_lower_slips(circuit, point.at, slip, leakage) > 1e-6


def _newton_steps(
    rotors: Sequence[Rotor],
    slips: Sequence[float],
    free: Sequence[int],
    response: Response,
    short: Sequence[float],
) -> list[float]:
    rows = [[response.slopes[i][j] for j in free] for i in free]
    for row, i in enumerate(free):
        rows[row][row] -= load_slope(rotors[i].load, rotors[i].circuit, slips[i])
    return eliminate(rows, [-r - response.shift_nm[i] for r, i in zip(short, free, strict=True)])


def packed(held: Frozen, values: Sequence[float]) -> Frozen:
    """Return *values*, in the order of ``flat``, in the shape of *held*."""
    first, second = len(held.leakage), len(held.leakage) + len(held.flux)
    return Frozen(tuple(values[:first]), tuple(values[first:second]), tuple(values[second:]))


def flat(held: Frozen) -> list[float]:
    """Return everything held in one list."""
    return [*held.leakage, *held.flux, *held.inverse_squares]


def _towards(
    held: Frozen,
    now: Sequence[float],
    then: Sequence[float],
    before: tuple[list[float], list[float]] | None,
) -> Frozen:
    """Return *held* moved towards what it would be, by the secant through the step before."""
    moved = []
    for k, (n, t) in enumerate(zip(now, then, strict=True)):
        slope = 0.0
        if before is not None and n != before[0][k]:
            slope = min(max((t - before[1][k]) / (n - before[0][k]), -2.0), 0.7)
        moved.append(n + (t - n) / (1.0 - slope))
    return packed(held, moved)


def _implicit(rows: Sequence[Sequence[float]], short: Sequence[float], step: float) -> list[float]:
    """Return one linearly implicit step of slips that fall with the torque left over."""
    matrix = [[*row[:k], row[k] + 1.0 / step, *row[k + 1 :]] for k, row in enumerate(rows)]
    return eliminate(matrix, [-r for r in short])


def _settle(
    source: Source,
    legs: Legs,
    rotors: Sequence[Rotor],
    loads: tuple[ConstantPower, ...],
    start: Sequence[float],
    free: Sequence[int],
    held: Frozen,
) -> tuple[list[float], list[bool]]:
    """Let every rotor fall or rise with the torque left over until all are at rest.

    Linearly implicit steps, which grow into Newton's where the network is stable and are cut where
    it is not; a rotor that reaches standstill stays there.
    """
    slips, turning = list(start), list(free)
    scales = [torque_scale(source, rotor.circuit) for rotor in rotors]
    step = 0.01
    for _ in range(SETTLE_STEPS):
        branches, circuits = seen(rotors, legs, loads, held)
        point = evaluate(source, branches, circuits, slips, held.leakage)
        short = [
            (point.machines[i].shaft_nm - load_torque(rotors[i].load, circuits[i], slips[i]))
            / scales[i]
            for i in turning
        ]
        if not turning or max(abs(r) for r in short) < 1e-9:
            break
        slopes = settled_response(source, branches, circuits, slips, held.leakage, point).slopes
        rows = [[slopes[i][j] / scales[i] for j in turning] for i in turning]
        for row, i in enumerate(turning):
            rows[row][row] -= load_slope(rotors[i].load, circuits[i], slips[i]) / scales[i]
        held = renewed(rotors, loads, point)
        worst = max(range(len(short)), key=lambda k: abs(short[k]))
        step *= 2.0
        moves = _implicit(rows, short, step)
        while moves[worst] * short[worst] > 0.0:  # too long a step turns an unstable mode round
            step /= 4.0
            moves = _implicit(rows, short, step)
        most = max(abs(move) for move in moves)
        if most > SETTLE_MOVE:
            step *= SETTLE_MOVE / most
            moves = [SETTLE_MOVE * move / most for move in moves]
        for i, move in zip(tuple(turning), moves, strict=True):
            slips[i] += move
            if slips[i] >= 1.0:
                slips[i] = 1.0
                turning.remove(i)
    branches, circuits = seen(rotors, legs, loads, held)
    point = evaluate(source, branches, circuits, slips, held.leakage)
    slopes = settled_response(source, branches, circuits, slips, held.leakage, point).slopes
    return slips, [
        i in free
        and (
            slips[i] == 1.0
            or slopes[i][i] <= 0.0
            or (slips[i] > CRAWL_SLIP and past_peak(circuits[i], point, slips[i], held.leakage[i]))
        )
        for i in range(len(rotors))
    ]
