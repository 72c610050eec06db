"""Machines parted among pieces: both ways of finding the best, against every way there is."""

import math
import random
import subprocess
import sys
from collections.abc import Sequence

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ampwright.planning.partition import (
    SMALL,
    Piece,
    Worth,
    by_integers,
    cheapest,
    exhaustive,
    worth,
)


def piece(cost: float, *machines: int) -> Piece:
    return Piece(frozenset(machines), cost)


def best_of_all(count: int, pieces: Sequence[Piece]) -> Worth:
    """Try every choice of pieces of which none serves a machine of another."""

    def after(place: int, chosen: tuple[int, ...], used: frozenset[int]) -> Worth:
        if place == len(pieces):
            return worth(count, pieces, chosen)
        found = after(place + 1, chosen, used)
        mine = pieces[place].machines
        if mine & used:
            return found
        return min(found, after(place + 1, (*chosen, place), used | mine))

    return after(0, (), frozenset())


def same(one: Worth, two: Worth) -> bool:
    return one[:2] == two[:2] and math.isclose(one.cost, two.cost, rel_tol=1e-9, abs_tol=1e-9)


def disjoint(pieces: Sequence[Piece], chosen: Sequence[int]) -> bool:
    served = [name for place in chosen for name in pieces[place].machines]
    return len(served) == len(set(served))


LONG = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
COSTS = st.one_of(st.just(math.inf), st.just(0.0), st.floats(1.0, 9000.0))
SHOPS = st.integers(1, 6).flatmap(
    lambda count: st.tuples(
        st.just(count),
        st.lists(
            st.builds(Piece, st.frozensets(st.integers(0, count - 1), min_size=1), COSTS),
            max_size=9,
        ),
    )
)


@LONG
@given(SHOPS)
def test_every_way_looked_at_is_the_best_of_all(shop: tuple[int, list[Piece]]) -> None:
    count, pieces = shop
    chosen = exhaustive(count, pieces)
    assert disjoint(pieces, chosen)
    assert same(worth(count, pieces, chosen), best_of_all(count, pieces))


@LONG  # the first call loads scipy
@given(SHOPS)
def test_integer_programming_is_the_best_of_all(shop: tuple[int, list[Piece]]) -> None:
    count, pieces = shop
    chosen = by_integers(count, pieces)
    assert disjoint(pieces, chosen)
    assert same(worth(count, pieces, chosen), best_of_all(count, pieces))


@pytest.mark.parametrize("seed", range(20))
def test_both_are_equal_on_shops_of_up_to_a_dozen(seed: int) -> None:
    """Prices as pieces have them: a part for each piece, a part by size."""
    draw = random.Random(seed)  # noqa: S311 - drawn examples, no secrets
    count = draw.randint(7, SMALL)
    sizes = [draw.uniform(0.5, 10.0) for _ in range(count)]
    pieces = [piece(draw.uniform(300, 500) + 75 * sizes[n], n) for n in range(count)]
    for _ in range(40):
        group = draw.sample(range(count), draw.randint(2, count))
        largest, total = max(sizes[n] for n in group), sum(sizes[n] for n in group)
        pieces.append(piece(950 + 150 * largest + 30 * total * draw.random(), *group))
    one, two = exhaustive(count, pieces), by_integers(count, pieces)
    assert same(worth(count, pieces, one), worth(count, pieces, two))


def test_serving_more_comes_before_cost_and_a_price_before_none() -> None:
    both, dear = piece(10.0, 0), piece(9000.0, 0, 1)
    assert exhaustive(2, [both, dear]) == by_integers(2, [both, dear]) == (1,)
    unpriced = piece(math.inf, 0, 1)
    assert exhaustive(2, [unpriced, dear]) == by_integers(2, [unpriced, dear]) == (1,)
    assert exhaustive(2, [unpriced, both]) == by_integers(2, [unpriced, both]) == (0,)


def test_without_pieces_nothing_is_served() -> None:
    assert exhaustive(3, []) == by_integers(3, []) == ()
    assert worth(3, [], ()) == Worth(3, 0, 0.0)


def test_more_machines_are_left_to_integer_programming(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without scipy that is said, not done otherwise."""
    monkeypatch.setitem(sys.modules, "scipy.optimize", None)
    pieces = [piece(1.0, n) for n in range(SMALL + 1)]
    assert cheapest(SMALL, pieces[:SMALL]) == tuple(range(SMALL))
    with pytest.raises(ImportError):
        cheapest(SMALL + 1, pieces)


def test_a_small_shop_loads_no_scipy() -> None:
    """In a process of its own: three machines planned, and scipy never imported."""
    code = """
import sys
import ampwright as aw
plate = {"power": "2 hp", "voltage": "230 V", "frequency": "60 Hz"}
machines = [{"id": f"m{n}", "motors": [plate], "length": "5 m"} for n in range(3)]
supply = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "100 A"}
plan = aw.plan(aw.Shop.from_dict({"region": "us", "supply": supply, "machines": machines}))
assert plan.options
assert not [one for one in sys.modules if one.split(".")[0] == "scipy"]
"""
    subprocess.run([sys.executable, "-c", code], check=True)  # noqa: S603 - our own code
