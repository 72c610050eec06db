"""Fixtures: region `us` to be asked, and a walk through the numbers of its answer."""

from collections.abc import Callable, Iterator

import pytest
from tests.unit.families.nec.questions import Asker, asker, cases, numbers

from ampwright.region import CircuitDemand


@pytest.fixture(scope="session")
def us() -> Asker:
    """Return region `us` in its default edition."""
    return asker()


@pytest.fixture(scope="session")
def walked() -> Callable[[object, str], Iterator[tuple[str, float]]]:
    """Return the walk through the numbers of a record."""
    return numbers


@pytest.fixture(scope="session")
def demands() -> Callable[[Asker], list[CircuitDemand]]:
    """Return what makes one demand of each clause group."""
    return cases
