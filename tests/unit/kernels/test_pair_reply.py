"""Pairs of capacitors by polynomials, against the nodal equations solved for each pair."""

import cmath
import itertools
import random

import pytest

from ampwright.kernels.balance import ROOT_3
from ampwright.kernels.induction import delta_currents, line_currents
from ampwright.kernels.legs import Legs, Source, solve_voltages, split_phase
from ampwright.kernels.pair_reply import Polynomial, judged, numerators, replied, row

LEGS = Legs(0.01, 0.02 - 0.01j, 0.005j, 1e-3, 0.0, 2e-3)
Y1, Y2 = 0.11 - 0.16j, 0.42 - 0.71j
IDLER = (0.004 - 0.03j, 0.02 - 0.05j)  # admittances over a rated current [1/V]
PAIRS = list(itertools.product((0.0, 0.02j, 0.09j), (0.0, 0.03j, 0.14j)))
LIMITS = (250.0, 330.0, 0.9, 0.02)


def at(polynomial: Polynomial, x: complex, y: complex) -> complex:
    one, of_x, of_y, of_xy = polynomial
    return one + of_x * x + of_y * y + of_xy * x * y


def network(seed: int) -> tuple[Source, Legs, complex, complex]:
    """Return any network: impedances, branches and machines of both signs of reactance."""
    drawn = random.Random(seed)  # noqa: S311 - a network, no secret

    def some(size: float) -> complex:
        return complex(drawn.uniform(0.0, size), drawn.uniform(-size, size))

    source = Source(120.0 + some(3.0), -120.0 + some(3.0), some(0.3), some(0.3))
    return source, Legs(*(some(0.2) for _ in range(6))), some(0.3), some(1.0)


@pytest.mark.parametrize("seed", range(40))
def test_quotients_are_the_voltages_of_the_nodal_equations(seed: int) -> None:
    source, legs, y1, y2 = network(seed)
    found = numerators(source, legs, y1, y2)
    for x, y in PAIRS:
        volts = solve_voltages(
            source, legs._replace(y_bc=legs.y_bc + x, y_ca=legs.y_ca + y), y1, y2
        )
        determinant = at(found.determinant, x, y)
        for leg in "abc":
            quotient = at(getattr(found, leg), x, y) / determinant
            assert abs(quotient - getattr(volts, leg)) < 1e-12 * 240.0


def test_an_ideal_supply_holds_its_legs() -> None:
    found = numerators(split_phase(240.0, 0.0), LEGS, Y1, Y2)
    for x, y in PAIRS:
        determinant = at(found.determinant, x, y)
        assert at(found.a, x, y) / determinant == pytest.approx(120.0, rel=1e-13)
        assert at(found.b, x, y) / determinant == pytest.approx(-120.0, rel=1e-13)


@pytest.mark.parametrize("delta", [False, True])
def test_what_is_judged_follows_from_the_voltages(delta: bool) -> None:  # noqa: FBT001 - a case
    low, high = split_phase(240.0, 0.05 + 0.04j), split_phase(252.0, 0.05 + 0.04j)
    reply = replied(
        (numerators(low, LEGS, Y1, Y2), numerators(high, LEGS, Y1, Y2)), IDLER, delta=delta
    )
    for x, y in PAIRS:
        legs = LEGS._replace(y_bc=LEGS.y_bc + x, y_ca=LEGS.y_ca + y)
        volts, above = (solve_voltages(one, legs, Y1, Y2) for one in (low, high))
        vuf = abs(volts.two) / abs(volts.one)
        i1, i2 = IDLER[0] * volts.one, IDLER[1] * volts.two
        windings = delta_currents(ROOT_3 * i1, ROOT_3 * i2) if delta else line_currents(i1, i2)
        ab, made = abs(above.a - above.b), max(abs(above.b - above.c), abs(above.c - above.a))
        excess = (
            max(0.0, max(ab, made) / 250.0 - 1.0)
            + max(0.0, made / 330.0 - 1.0)
            + max(0.0, max(map(abs, windings)) / 0.9 - 1.0)
        )
        found = judged([row(reply, x)], [0.7], y, LIMITS)
        assert found[0] == pytest.approx(excess, abs=2.0**-29)
        assert found[1] == pytest.approx(max(0.0, vuf - 0.02), abs=1e-12)
        assert found[2] == pytest.approx(0.7 * vuf**2, rel=1e-11)


def test_states_are_summed_by_their_weights() -> None:
    source = split_phase(240.0, 0.05)
    reply = replied((numerators(source, LEGS, Y1, Y2),) * 2, IDLER, delta=False)
    one = row(reply, 0.02j)
    single = judged([one], [1.0], 0.03j, LIMITS)
    several = judged([one, one, one], [1.0, 0.5, 0.25], 0.03j, LIMITS)
    assert several[2] == pytest.approx(1.75 * single[2], rel=1e-13)
    assert several[1] == pytest.approx(3.0 * single[1], rel=1e-13)
    assert cmath.isfinite(several[0])
