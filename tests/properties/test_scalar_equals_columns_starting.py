"""The scalar and the columnar drivers of starting give the same over random networks."""

import cmath
import math
from random import Random

import pytest
from tests.properties.random_networks import Drawn
from tests.properties.test_scalar_equals_columns_network import drawn_lanes, in_columns, leaves

from ampwright.kernels import run_up, starting
from ampwright.kernels.columns import run_up as columns_run_up
from ampwright.kernels.columns import starting as columns_starting
from ampwright.kernels.columns.lanes import join, lane, widen
from ampwright.kernels.starter import DIRECT, Shaft, Stage, capacitor_start, soft, star_delta

COUNT = 120
STARTS = ("direct", "star-delta", "soft", "capacitor")


def shafts(one: Drawn, seed: int) -> tuple[Shaft, ...]:
    """Return the machines with inertias of 0.3 to 10 times what is usual."""
    random = Random(seed)  # noqa: S311 - no secret
    found = []
    for rotor in one.rotors:
        c = rotor.circuit
        usual = 0.004 * c.rated_current_a * (c.pole_pairs / 2.0) ** 2 / 10.0
        found.append(Shaft(rotor, usual * math.exp(random.uniform(-1.2, 2.3)), 0.01))
    return tuple(found)


def stages_of(kind: str, one: Drawn) -> tuple[Stage, ...]:
    """Return the stages of a start; a soft start is limited to three times rated current."""
    if kind == "star-delta":
        return star_delta(0.8, 1.5)
    if kind == "soft":
        return soft(3.0 * one.rotors[-1].circuit.rated_current_a)
    if kind == "capacitor":
        return capacitor_start(one.legs, 0.75)
    return (DIRECT,)


def assert_same(one: object, other: object) -> None:
    """Compare leaf by leaf; currents and torques against one of their kind."""
    for (path, a), (_, b) in zip(leaves(one), leaves(other), strict=True):
        if cmath.isnan(a) or cmath.isinf(a):
            assert repr(a) == repr(b), path
        else:
            assert abs(a - b) <= 1e-9 * max(abs(a), abs(b), 1e-3), path


@pytest.mark.parametrize("kind", STARTS)
def test_random_run_ups(kind: str) -> None:
    lanes = drawn_lanes(2, 1, COUNT)
    wide = in_columns(lanes)
    machines = [shafts(one, k) for k, one in enumerate(lanes)]
    inertias = join([widen(tuple(m.inertia_kg_m2 for m in own), 1) for own in machines])
    together = tuple(
        Shaft(rotor, inertia, 0.01) for rotor, inertia in zip(wide.rotors, inertias, strict=True)
    )
    found = columns_run_up.run_up(
        wide.source, wide.legs, together[:1], together[1],
        stages=stages_of(kind, wide), constant_power=wide.loads,
    )  # fmt: skip
    verdicts = set()
    for k, (one, own) in enumerate(zip(lanes, machines, strict=True)):
        alone = run_up.run_up(
            one.source, one.legs, own[:1], own[1],
            stages=stages_of(kind, one), constant_power=one.loads,
        )  # fmt: skip
        verdicts.add((alone.low.runs, alone.nominal.runs))
        assert_same(alone, lane(found, k))
    assert len(verdicts) > 1


def test_random_locked_rotors() -> None:
    lanes = drawn_lanes(3, 1, COUNT)
    wide = in_columns(lanes)
    together = tuple(Shaft(rotor, 0.1, 0.01) for rotor in wide.rotors)
    found = columns_starting.locked_rotor(
        wide.source, wide.legs, together[:2], together[2], constant_power=wide.loads
    )
    for k, one in enumerate(lanes):
        own = tuple(Shaft(rotor, 0.1, 0.01) for rotor in one.rotors)
        alone = starting.locked_rotor(
            one.source, one.legs, own[:2], own[2], constant_power=one.loads
        )
        assert_same(alone, lane(found, k))


def test_a_curve_is_the_same() -> None:
    lanes = drawn_lanes(2, 0, 20)
    wide = in_columns(lanes)
    together = tuple(Shaft(rotor, 0.1, 0.01) for rotor in wide.rotors)
    found = columns_starting.curve(wide.source, wide.legs, together[:1], together[1])
    for k, one in enumerate(lanes):
        own = tuple(Shaft(rotor, 0.1, 0.01) for rotor in one.rotors)
        assert_same(starting.curve(one.source, one.legs, own[:1], own[1]), lane(found, k))
