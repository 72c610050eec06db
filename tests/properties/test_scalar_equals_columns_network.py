"""The scalar and the columnar driver give the same states over random networks."""

import math
from collections.abc import Iterator

import pytest
from tests.properties.random_networks import Drawn, draw

from ampwright.kernels import network
from ampwright.kernels.columns import network as columns
from ampwright.kernels.columns.lanes import join, lane, widen
from ampwright.kernels.network_state import State
from ampwright.kernels.operating_point import MainFlux, Rotor

STRAIGHT = MainFlux(1.0, 0.0, 2.0)  # no saturation, for lanes beside some that have it


def drawn_lanes(machines: int, loads: int, count: int) -> list[Drawn]:
    """Return random networks of one shape; loads stand at the places of the first."""
    first = draw(machines * 10_000, machines=machines, loads=loads)
    found = []
    for k in range(count):
        drawn = draw(machines * 10_000 + k, machines=machines, loads=loads)
        rotors = tuple(
            Rotor(r.circuit, r.load, r.main_flux or STRAIGHT) if i == 0 else r
            for i, r in enumerate(drawn.rotors)
        )
        powers = tuple(
            p._replace(place=q.place) for p, q in zip(drawn.loads, first.loads, strict=True)
        )
        found.append(drawn._replace(rotors=rotors, loads=powers))
    return found


def in_columns(lanes: list[Drawn]) -> Drawn:
    """Return networks of one shape as one with columns."""
    wide = join([widen(one._replace(rotors=stripped(one), loads=()), 1) for one in lanes])
    rotors = tuple(
        Rotor(r.circuit, r.load, None if s.main_flux is None else m.main_flux)
        for r, s, m in zip(wide.rotors, lanes[0].rotors, with_iron(lanes), strict=True)
    )
    loads = tuple(
        p._replace(power_va=power, voltage_v=volt)
        for p, power, volt in zip(
            lanes[0].loads,
            *(
                [
                    join([widen(one.loads[k][field], 1) for one in lanes])
                    for k in range(len(lanes[0].loads))
                ]
                for field in (1, 2)
            ),
            strict=True,
        )
    )
    return Drawn(wide.source, wide.legs, rotors, loads)


def stripped(one: Drawn) -> tuple[Rotor, ...]:
    """Return the rotors with an iron everywhere, so that their leaves match."""
    return tuple(Rotor(r.circuit, r.load, r.main_flux or STRAIGHT) for r in one.rotors)


def with_iron(lanes: list[Drawn]) -> tuple[Rotor, ...]:
    """Return rotors whose irons are columns."""
    return join([widen(stripped(one), 1) for one in lanes])


def leaves(tree: object, path: str = "") -> Iterator[tuple[str, complex]]:
    """Yield every number of a state with its place."""
    if isinstance(tree, tuple):
        names = getattr(tree, "_fields", range(len(tree)))
        for name, leaf in zip(names, tree, strict=True):
            yield from leaves(leaf, f"{path}.{name}")
    else:
        assert isinstance(tree, int | float | complex)
        yield path, tree


def assert_same(one: State, other: State) -> None:
    """Compare leaf by leaf, small ones against the size of their kind."""
    scales = {"_w": abs(one.input_va), "_va": abs(one.input_va), "_v": one.line_v[0]}
    scales["_a"] = abs(one.source_a[0]) + max(max(r.line_a) for r in one.rotors)
    scales["_nm"] = max(
        r.machine.braking_torque_nm + abs(r.machine.air_gap_torque_nm) for r in one.rotors
    )
    for (path, a), (_, b) in zip(leaves(one), leaves(other), strict=True):
        if "residual" in path:
            continue
        kind = next((s for unit, s in scales.items() if path.rstrip(".012").endswith(unit)), 0.0)
        assert abs(a - b) <= 1e-9 * max(abs(a), kind), path


@pytest.mark.slow
@pytest.mark.parametrize(("machines", "loads", "count"), [(1, 0, 400), (2, 1, 400), (3, 2, 300)])
def test_random_networks(machines: int, loads: int, count: int) -> None:
    lanes = drawn_lanes(machines, loads, count)
    wide = in_columns(lanes)
    together = columns.solve(wide.source, wide.legs, wide.rotors, constant_power=wide.loads)
    stalls = 0
    for k, one in enumerate(lanes):
        alone = network.solve(one.source, one.legs, one.rotors, constant_power=one.loads)
        assert_same(alone, lane(together, k))
        stalls += any(alone.stalled)
    assert machines == 1 or stalls > 0  # the rare branch is among them


def test_held_slips_and_a_guess() -> None:
    lanes = drawn_lanes(2, 1, 50)
    wide = in_columns(lanes)
    slip = join([widen(0.02 * k + 0.01, 1) for k in range(50)])
    together = columns.solve(
        wide.source, wide.legs, wide.rotors, slips=(None, slip), constant_power=wide.loads,
        guess=(0.01, 0.5),
    )  # fmt: skip
    for k, one in enumerate(lanes):
        alone = network.solve(
            one.source, one.legs, one.rotors, slips=(None, 0.02 * k + 0.01),
            constant_power=one.loads, guess=(0.01, 0.5),
        )  # fmt: skip
        assert math.isclose(lane(together, k).rotors[1].slip, 0.02 * k + 0.01)
        assert_same(alone, lane(together, k))
