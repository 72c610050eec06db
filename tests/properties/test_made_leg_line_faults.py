"""Of the faults on a made leg the one to earth draws least: a device that it opens opens at all.

A fault between the made leg and a line has the higher voltage and comes back through a line,
which is never thinner than the protective conductor. The networks are those of the rotary and
static converters that random shops are planned with.
"""
# ruff: noqa: ANN401 - stands in for a function of the planner

from importlib import import_module
from typing import Any

import pytest
from tests.verification.random_shops import random_shop

import ampwright as aw
from ampwright.kernels.faults import FaultCurrent, fault_current

Network = tuple[Any, Any, Any]
MODULES = ("ampwright.methods.rotary.wiring", "ampwright.methods.static.proposal")
SHOPS = 25


@pytest.fixture(scope="module")
def networks() -> list[Network]:
    """Return source, legs and rotors of every converter whose fault was asked for."""
    found: list[Network] = []

    def asked(source: Any, legs: Any, rotors: Any, place: str, path: complex) -> FaultCurrent:
        assert place == "c"
        found.append((source, legs, rotors))
        return fault_current(source, legs, rotors, place, path)

    with pytest.MonkeyPatch.context() as patch:
        for module in MODULES:
            patch.setattr(import_module(module), "fault_current", asked)
        for seed in range(SHOPS):
            aw.plan(random_shop(seed), check=False)
    return found


def test_there_are_networks_of_both_kinds(networks: list[Network]) -> None:
    assert len(networks) > SHOPS


@pytest.mark.parametrize("line_ohm", [0.0, 0.02, 0.1, 0.5])
@pytest.mark.parametrize("thinner", [1.0, 4.0])
def test_a_fault_to_earth_draws_least(
    networks: list[Network], line_ohm: float, thinner: float
) -> None:
    """The protective conductor has *thinner* times the resistance of the line conductor."""
    for source, legs, rotors in networks:
        to_earth = fault_current(source, legs, rotors, "c", complex(line_ohm * (1 + thinner)))
        for place in ("bc", "ca"):
            between = fault_current(source, legs, rotors, place, complex(2 * line_ohm))
            assert between.smallest_a > to_earth.smallest_a
