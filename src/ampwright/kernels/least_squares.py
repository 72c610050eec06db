"""Least squares in three unknowns: what damped Gauss-Newton and secant steps are made of.

Formulas with operators alone, for numbers and columns; the loops that use them stand in
``circuit_fit`` and its columnar twin.
"""

from collections.abc import Callable
from operator import mul
from typing import NamedTuple, TypeAlias

LONGEST_STEP = 1.0  # of a logarithm
DAMPING_FLOOR = 0.3  # of the diagonal that is damped: it must not vanish with the derivatives

Unknowns: TypeAlias = tuple[float, float, float]
Bounds: TypeAlias = tuple[tuple[float, float], tuple[float, float], tuple[float, float]]


class Curvature(NamedTuple):
    """A symmetric matrix of three: diagonal a, b, c and the rest."""

    a: float
    b: float
    c: float
    ab: float
    ac: float
    bc: float


def above_zero(value: float) -> float:
    """Return the value where it is above zero, else zero."""
    return (value + abs(value)) / 2.0


def held(value: float, low: float, high: float) -> float:
    """Return the value, held between two limits."""
    return (abs(value - low) - abs(value - high) + low + high) / 2.0


def within(value: float, gradient: float, low: float, high: float) -> float:
    """Return 1 where an unknown may move, 0 where it stands at a bound and is pushed outward."""
    above = (value >= high * (1.0 - 1e-9)) & (gradient < 0.0)
    below = (value <= low * (1.0 + 1e-9)) & (gradient > 0.0)
    return 1.0 - above - below


def freedom(x: Unknowns, gradient: Unknowns, bounds: Bounds) -> Unknowns:
    """Return for each unknown 1 where it may move, 0 where a bound holds it."""
    return (
        within(x[0], gradient[0], *bounds[0]),
        within(x[1], gradient[1], *bounds[1]),
        within(x[2], gradient[2], *bounds[2]),
    )


def gauss_newton(slopes: tuple[tuple[float, ...], ...]) -> Curvature:
    """Return the products of the misfits' derivatives: half the curvature of their squares."""
    one, two, three = slopes
    return Curvature(
        dot(one, one),
        dot(two, two),
        dot(three, three),
        dot(one, two),
        dot(one, three),
        dot(two, three),
    )


def secant(old: Curvature, moved: Unknowns, bent: Unknowns) -> Curvature:
    """Return the curvature that explains how a move has bent the gradient.

    Where misfits remain, the products of their derivatives are not the curvature, and where two
    cages are alike they vanish. Nothing changes where the gradient shows no positive curvature.

    Source:
        Broyden, Fletcher, Goldfarb, Shanno (1970).
    """
    a, b, c, ab, ac, bc = old
    s, t, u = moved
    p, q, r = a * s + ab * t + ac * u, ab * s + b * t + bc * u, ac * s + bc * t + c * u
    before, after = s * p + t * q + u * r, dot(moved, bent)
    sound = (after > 1e-6 * before) & (before > 0.0)
    gain, loss = sound / (after + (1.0 - sound)), sound / (before + (1.0 - sound))
    d, e, f = bent
    return Curvature(
        a + gain * d * d - loss * p * p,
        b + gain * e * e - loss * q * q,
        c + gain * f * f - loss * r * r,
        ab + gain * d * e - loss * p * q,
        ac + gain * d * f - loss * p * r,
        bc + gain * e * f - loss * q * r,
    )


def damped_step(
    curvature: Curvature, gradient: Unknowns, free: Unknowns, damping: float
) -> Unknowns:
    """Return the step that lowers the squares, by Cramer's rule.

    Args:
        curvature: Half the curvature of the squares.
        gradient: Half their gradient.
        free: 1 for each unknown that may move, 0 for one that is held at its bound.
        damping: Added to the diagonal, over its own size and a floor.
    """
    one, two, three = free
    a = one * curvature.a * (1.0 + damping) + damping * DAMPING_FLOOR + (1.0 - one)
    b = two * curvature.b * (1.0 + damping) + damping * DAMPING_FLOOR + (1.0 - two)
    c = three * curvature.c * (1.0 + damping) + damping * DAMPING_FLOOR + (1.0 - three)
    ab, ac = one * two * curvature.ab, one * three * curvature.ac
    bc = two * three * curvature.bc
    p, q, r = -one * gradient[0], -two * gradient[1], -three * gradient[2]
    ca, cb, cc = b * c - bc * bc, ac * bc - ab * c, ab * bc - ac * b
    whole = a * ca + ab * cb + ac * cc
    return (
        (p * ca + q * cb + r * cc) / whole,
        (p * cb + q * (a * c - ac * ac) + r * (ab * ac - a * bc)) / whole,
        (p * cc + q * (ab * ac - a * bc) + r * (a * b - ab * ab)) / whole,
    )


def dot(one: tuple[float, ...], two: tuple[float, ...]) -> float:
    """Return the sum of products."""
    products: map[float] = map(mul, one, two)
    return sum(products)


def downhill(slopes: tuple[tuple[float, ...], ...], misfit: tuple[float, ...]) -> Unknowns:
    """Return half the gradient of the squares."""
    return dot(slopes[0], misfit), dot(slopes[1], misfit), dot(slopes[2], misfit)


def difference(one: Unknowns, two: Unknowns) -> Unknowns:
    """Return the first less the second."""
    return one[0] - two[0], one[1] - two[1], one[2] - two[2]


def displacement(old: Unknowns, new: Unknowns, log: Callable[[float], float]) -> Unknowns:
    """Return how far the logarithms of the unknowns have moved."""
    return log(new[0] / old[0]), log(new[1] / old[1]), log(new[2] / old[2])


def moved(x: Unknowns, step: Unknowns, bounds: Bounds, exp: Callable[[float], float]) -> Unknowns:
    """Return the unknowns after a step of their logarithms, within the bounds."""
    first, second, third = (
        held(one * exp(held(by, -LONGEST_STEP, LONGEST_STEP)), *ends)
        for one, by, ends in zip(x, step, bounds, strict=True)
    )
    return first, second, third
