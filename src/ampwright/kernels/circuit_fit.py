"""The double-cage circuit that fits a rated point, a locked rotor and a breakdown torque.

Everything here is per unit: phase voltage and rated current are one. The base impedance is their
quotient, the base power their product, so that rated apparent power is three.

The rated point is met by construction: stator and rotor loss fix the stator resistance, and for
any leakage of the stator, leakage of the inner cage and share of the outer cage the inner cage's
resistance and the magnetising reactance follow in closed form. What remains is a least-squares
problem in three unknowns, solved by damped Gauss-Newton steps. Formulas are written with
operators alone, for numbers and columns.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

from ampwright.kernels.induction import InductionCircuit, branch, leakage_factor
from ampwright.kernels.least_squares import (
    Unknowns,
    above_zero,
    damped_step,
    difference,
    displacement,
    dot,
    downhill,
    freedom,
    gauss_newton,
    held,
    moved,
    secant,
)
from ampwright.kernels.rated_point import RatedPoint

SATURATION = 0.8  # leakage multiplier at and above six times rated current; common practice
OUTER_LEAKAGE = 0.5  # leakage of the outer cage over that of the stator; common practice
PRIORS = (0.45, 0.75, 0.11, math.log(2.0))  # X1 and Xi times I_LR/In, Ro, log Xm; common practice
XM_LOGS = (math.log(0.7), math.log(6.0))  # left only against a strong penalty
LIMIT_WEIGHT = 20.0  # of the logarithm of what lies beyond a limit
LEAST_SUSCEPTANCE = 0.05
BOUNDS = ((0.01, 0.35), (0.01, 0.45), (0.003, 0.7))  # X1, Xi, share of the outer cage
PEAK_STEP = 1.2  # ratio of neighbouring slips in the search for the breakdown
PEAK_SLIPS = (0.01, 1.0)
ROUNDS = 30
DIFFERENCE = 3e-4  # step of the logarithms for the derivatives
FINISHED = 1e-9
FIRST_DAMPING = 1e-3
RAISED, LOWERED = 10.0, 0.1  # how the damping goes on after a worse and after a better trial
MOST_DAMPING = 1e3
TRIFLE = 1e-6  # a rise of the squares that rounding and the differences may explain
ENOUGH = 0.9  # of the squares left: more, and the secant curvature is used
FIRST_ROUNDS = 1  # in which only the breakdown is looked for
NEAR_PEAK = 0.05  # how far the breakdown may move before it is looked for at its new place


class Aims(NamedTuple):
    """What the circuit should do besides its rated point; every field a float or a column.

    Attributes:
        current: Locked-rotor current over rated.
        current_weight: Weight of its logarithm.
        current_limit: Upper limit of it, 1e9 for none.
        torque: Locked-rotor torque [pu of base power].
        torque_weight: Weight of its logarithm.
        torque_floor: Lower limit of it, 1e-9 for none.
        peak: Breakdown torque [pu of base power].
        peak_weight: Weight of its logarithm.
        peak_floor: Lower limit of it, 1e-9 for none.
        no_load: Current at no load over rated.
        no_load_weight: Weight of its logarithm, 0 where it is unknown.
        prior_weight: Weight of the logarithms of the usual reactances and outer cage.
    """

    current: float
    current_weight: float
    current_limit: float
    torque: float
    torque_weight: float
    torque_floor: float
    peak: float
    peak_weight: float
    peak_floor: float
    no_load: float
    no_load_weight: float
    prior_weight: float


class Unit(NamedTuple):
    """The rated point per unit; every field a float or a column."""

    slip: float
    core: float
    friction: float
    stray: float
    r1: float
    current: complex
    pole_pairs: int
    frequency_hz: float


def per_unit(point: RatedPoint) -> Unit:
    """Return the rated point per unit, with the stator resistance that its losses ask for."""
    base_w = point.power_w / (3.0 * point.efficiency * point.power_factor)
    core = point.core_w / base_w
    sine: float = (1.0 - point.power_factor**2) ** 0.5
    current = point.power_factor - core / 3.0 - 1j * sine
    return Unit(
        slip=point.slip,
        core=core,
        friction=point.friction_w / base_w,
        stray=point.stray_w / base_w,
        r1=point.stator_w / base_w / (3.0 * abs(current) ** 2),
        current=current,
        pole_pairs=point.pole_pairs,
        frequency_hz=point.frequency_hz,
    )


def fitting_circuit(unit: Unit, x1: float, xi: float, share: float) -> InductionCircuit:
    """Return the circuit, per unit, that meets the rated point with given leakages.

    Args:
        unit: The rated point.
        x1: Stator leakage reactance.
        xi: Leakage reactance of the inner cage.
        share: Part of the rotor's conductance at rated slip that the outer cage has.

    Returns:
        The circuit. Where the leakages leave the power factor no magnetising current, or the
        inner cage cannot carry its power, the nearest circuit: it misses the rated point.
    """
    gap_v = 1.0 - unit.current * (unit.r1 + 1j * x1)
    needed = unit.current / gap_v
    xo = OUTER_LEAKAGE * x1
    ro = unit.slip / (share * needed.real)
    outer = 1.0 / (ro / unit.slip + 1j * xo)
    conductance = needed.real - outer.real
    root: float = above_zero(1.0 - (2.0 * conductance * xi) ** 2) ** 0.5
    resistance = (1.0 + root) / (2.0 * conductance)
    inner = 1.0 / (resistance + 1j * xi)
    susceptance = outer.imag + inner.imag - needed.imag
    xm = 1.0 / (LEAST_SUSCEPTANCE + above_zero(susceptance - LEAST_SUSCEPTANCE))
    return InductionCircuit(
        unit.r1, x1, xm, resistance * unit.slip, xi, ro, xo, 3.0 / unit.core, unit.friction,
        unit.stray, 1.0, unit.pole_pairs, unit.frequency_hz, SATURATION,
    )  # fmt: skip


class Peak(NamedTuple):
    """Where the breakdown was last found: slip and leakage factor, to search on from there."""

    slip: float
    leakage: float


def torque_seen(circuit: InductionCircuit, slip: float, leakage: float) -> tuple[float, float]:
    """Return shaft torque, per unit, at a slip and leakage factor, and the factor it asks for."""
    one = branch(circuit, slip, leakage)
    current = abs(one.y)
    braking = circuit.friction_w + circuit.stray_w * current * current
    gap = 3.0 * abs(one.e) ** 2 * one.yr.real
    return gap - braking * (1.0 - slip), leakage_factor(circuit, current)


def peak_torque(circuit: InductionCircuit, peak: Peak) -> tuple[float, Peak]:
    """Return the breakdown torque, per unit, by one parabola near the last peak, and the new.

    Near its peak the torque goes in inverse proportion to leakage, which saves the neighbours a
    second look; what this misses has opposite signs on either side.
    """
    leakage = leakage_factor(circuit, abs(branch(circuit, peak.slip, peak.leakage).y))
    here, settled = torque_seen(circuit, peak.slip, leakage)
    below, more = torque_seen(circuit, peak.slip / PEAK_STEP, leakage)
    above, less = torque_seen(circuit, peak.slip * PEAK_STEP, leakage)
    here, below, above = here * leakage / settled, below * leakage / more, above * leakage / less
    least = 1e-3 * here
    bend = least + above_zero(2.0 * here - below - above - least)
    shift = held((above - below) / (2.0 * bend), -2.0, 2.0)
    torque = here + shift * ((above - below) / 2.0 - shift * bend / 2.0)
    return torque, Peak(held(peak.slip * PEAK_STEP**shift, *PEAK_SLIPS), settled)


def misfits(
    unit: Unit,
    aims: Aims,
    x: Unknowns,
    peak: Peak,
    log: Callable[[float], float],
) -> tuple[tuple[float, ...], Peak]:
    """Return the weighted misfits of one trial circuit, and where its breakdown was found."""
    x1, xi, share = x
    circuit = fitting_circuit(unit, x1, xi, share)
    leakage = leakage_factor(
        circuit, abs(branch(circuit, 1.0, leakage_factor(circuit, aims.current)).y)
    )
    locked = branch(circuit, 1.0, leakage)
    current = abs(locked.y)
    torque = 3.0 * abs(locked.e) ** 2 * locked.yr.real
    breakdown, peak = peak_torque(circuit, peak)
    no_load = abs(1.0 / (unit.r1 + 1j * (x1 + circuit.xm_ohm)) + (unit.core + unit.friction) / 3.0)
    xm_log = log(circuit.xm_ohm)
    return (
        aims.current_weight * log(current / aims.current),
        aims.torque_weight * log(torque / aims.torque),
        aims.peak_weight * log(breakdown / aims.peak),
        aims.no_load_weight * log(no_load / aims.no_load),
        aims.prior_weight * log(x1 * aims.current / PRIORS[0]),
        aims.prior_weight * log(xi * aims.current / PRIORS[1]),
        aims.prior_weight * log(circuit.ro_ohm / PRIORS[2]),
        aims.prior_weight * (xm_log - PRIORS[3]),
        LIMIT_WEIGHT * above_zero(log(current / aims.current_limit)),
        LIMIT_WEIGHT * above_zero(log(aims.torque_floor / torque)),
        LIMIT_WEIGHT * above_zero(log(aims.peak_floor / breakdown)),
        LIMIT_WEIGHT / 4.0 * (xm_log - held(xm_log, *XM_LOGS)),
    ), peak


def start_values(unit: Unit, aims: Aims) -> Unknowns:
    """Return the first trial: the priors, held within the bounds."""
    share = unit.slip / (PRIORS[2] * unit.current.real)
    x1, xi = PRIORS[0] / aims.current, PRIORS[1] / aims.current
    return held(x1, *BOUNDS[0]), held(xi, *BOUNDS[1]), held(share, *BOUNDS[2])


def first_peak(unit: Unit, x: Unknowns) -> Peak:
    """Return where to look for the breakdown first: the slip at which reactance is resistance."""
    slip = held(2.0 * unit.slip / (x[0] + x[1]), *PEAK_SLIPS)
    return Peak(slip, 0.95 + 0.0 * slip)  # a column where the slip is one


def slopes_near(
    unit: Unit,
    aims: Aims,
    x: Unknowns,
    peak: Peak,
    misfit: tuple[float, ...],
    log: Callable[[float], float],
) -> tuple[tuple[float, ...], ...]:
    """Return the derivatives of the misfits by the logarithm of each unknown."""
    (x1, xi, share), more = x, 1.0 + DIFFERENCE
    nudged = (x1 * more, xi, share), (x1, xi * more, share), (x1, xi, share * more)
    return tuple(
        tuple(
            (b - a) / DIFFERENCE
            for a, b in zip(misfit, misfits(unit, aims, one, peak, log)[0], strict=True)
        )
        for one in nudged
    )


def fit(unit: Unit, aims: Aims) -> InductionCircuit:
    """Return the best circuit, per unit, of one machine in plain floats.

    Args:
        unit: The rated point per unit.
        aims: What else it should do.

    Returns:
        The circuit at the least squares of the misfits, or where the steps ended.

    Raises:
        ZeroDivisionError: The rated point has no core loss or no slip.

    Accuracy:
        Steps end at 1e-9 of the logarithm of each unknown, or after ``ROUNDS``.

    Source:
        Damped Gauss-Newton steps (Levenberg, Marquardt) with forward differences, and the secant
        curvature where they do not gain enough (Fletcher and Xu, 1987). Derivatives are kept
        where a step is shorter than the differences that they are made of.
    """
    return fitting_circuit(unit, *fitted_unknowns(unit, aims))


def fitted_unknowns(unit: Unit, aims: Aims) -> Unknowns:
    """Return both leakages and the share of the outer cage that ``fit`` ends at."""
    x = start_values(unit, aims)
    peak = first_peak(unit, x)
    for _ in range(FIRST_ROUNDS):
        _, peak = misfits(unit, aims, x, peak, math.log)
    misfit, _ = misfits(unit, aims, x, peak, math.log)
    slopes = slopes_near(unit, aims, x, peak, misfit, math.log)
    curvature, gradient = gauss_newton(slopes), downhill(slopes, misfit)
    cost, damping = dot(misfit, misfit), FIRST_DAMPING
    for _ in range(ROUNDS):
        free = freedom(x, gradient, BOUNDS)
        step = damped_step(curvature, gradient, free, damping)
        trial = moved(x, step, BOUNDS, math.exp)
        longest = max(map(abs, step))
        if longest < FINISHED:
            return trial
        found, place = misfits(unit, aims, trial, peak, math.log)
        lower = dot(found, found)
        if lower > cost * (1.0 + TRIFLE):
            damping = RAISED * damping + FIRST_DAMPING
            if damping > MOST_DAMPING:
                break
            continue
        taken = displacement(x, trial, math.log)
        gained = lower < ENOUGH * cost
        x, misfit, cost, damping = trial, found, lower, damping * LOWERED
        if abs(place.slip / peak.slip - 1.0) > NEAR_PEAK:
            peak = place
            misfit, _ = misfits(unit, aims, x, peak, math.log)
            cost = dot(misfit, misfit)
            slopes = slopes_near(unit, aims, x, peak, misfit, math.log)
        elif longest > DIFFERENCE:  # nearer, the last ones are as good as new ones
            slopes = slopes_near(unit, aims, x, peak, misfit, math.log)
        new = downhill(slopes, misfit)
        bent = difference(new, gradient)
        curvature = gauss_newton(slopes) if gained else secant(curvature, taken, bent)
        gradient = new
    return x
