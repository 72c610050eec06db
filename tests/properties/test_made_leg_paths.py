"""What lies ahead of a circuit is not left out of the loop of a fault on its made leg.

The planner adds magnitudes: of the source, and of conductors by how often the fault flows through
them. Here the same conductors stand in the network itself, which is solved; the sum must not give
more current than that. Both idler and capacitors are those of random shops.
"""
# ruff: noqa: ANN401 - stands in for a function of the planner

import cmath
import math
from importlib import import_module
from typing import Any

import pytest
from tests.verification.random_shops import random_shop

import ampwright as aw
from ampwright.kernels.faults import FaultCurrent, fault_current

MODULES = ("ampwright.methods.rotary.wiring", "ampwright.methods.static.proposal")
SHOPS = 12
#: Of the leakage of an idler that saturates less with less current; the planner's text names it.
SATURATION = 1.0


@pytest.fixture(scope="module")
def networks() -> list[tuple[Any, Any, Any]]:
    """Return source, legs and rotors of every converter whose fault was asked for."""
    found: list[tuple[Any, Any, Any]] = []

    def asked(source: Any, legs: Any, rotors: Any, place: str, path: complex) -> FaultCurrent:
        found.append((source, legs, rotors))
        return fault_current(source, legs, rotors, place, path)

    with pytest.MonkeyPatch.context() as patch:
        for module in MODULES:
            patch.setattr(import_module(module), "fault_current", asked)
        for seed in range(SHOPS):
            aw.plan(random_shop(seed), check=False)
    assert len(found) > SHOPS
    return found


@pytest.mark.parametrize("angle", [0.0, 30.0])
@pytest.mark.parametrize(("supply_ohm", "path_ohm"), [(0.05, 0.0), (0.05, 0.5), (0.3, 2.0)])
def test_the_sum_of_magnitudes_gives_no_more_than_the_network(
    networks: list[tuple[Any, Any, Any]], supply_ohm: float, path_ohm: float, angle: float
) -> None:
    """Both lines of the converter's supply get *supply_ohm* each; *path_ohm* is behind it."""
    turned = cmath.rect(1.0, math.radians(angle))
    for source, legs, rotors in networks:
        bolted = fault_current(source, legs, rotors, "c", 0j).smallest_a
        longer = source._replace(
            z_a_ohm=source.z_a_ohm + supply_ohm * turned,
            z_b_ohm=source.z_b_ohm + supply_ohm * turned,
        )
        solved = fault_current(longer, legs, rotors, "c", path_ohm * turned).smallest_a
        volts = min(one for one in (abs(source.e_a_v), abs(source.e_b_v)) if one > 1.0)
        summed = volts / (volts / bolted + 2 * supply_ohm + path_ohm)
        assert summed <= SATURATION * solved


@pytest.mark.parametrize("supply_ohm", [0.05, 0.3])
def test_two_lines_are_needed_in_the_sum(
    networks: list[tuple[Any, Any, Any]], supply_ohm: float
) -> None:
    """None of them at all would promise too much somewhere, so the test above can fail."""
    over = 0
    for source, legs, rotors in networks:
        bolted = fault_current(source, legs, rotors, "c", 0j).smallest_a
        longer = source._replace(
            z_a_ohm=source.z_a_ohm + supply_ohm, z_b_ohm=source.z_b_ohm + supply_ohm
        )
        over += bolted > SATURATION * fault_current(longer, legs, rotors, "c", 0j).smallest_a
    assert over
