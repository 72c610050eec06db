"""Dwellings for questions to region `us`, and what is read from the answers."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

from ampwright.records.dwelling import Appliance, Dwelling
from ampwright.records.supply import Supply
from ampwright.region import ExistingLoad


def plates(*ratings: str) -> tuple[Appliance, ...]:
    """Return one appliance for each rating."""
    return tuple(Appliance(rating=one) for one in ratings)


def on_supply(home: Dwelling, **supply: Any) -> Supply:
    """Return a service of 120/240 V with *home* on it."""
    usual = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
             "rating": "200 A"}  # fmt: skip
    return Supply(**(usual | {"dwelling": home} | supply))


def reckon(code: Any, home: Dwelling, **supply: Any) -> ExistingLoad:
    """Return what *code* calculates for *home*."""
    found = code.existing(on_supply(home, **supply), "dwelling")
    assert isinstance(found, ExistingLoad)
    return found


def value(found: ExistingLoad, name: str) -> float:
    """Return the number of one step."""
    (step,) = [one for one in found.steps if one.path == f"dwelling/{name}"]
    return float(step.value)


def load_va(found: ExistingLoad) -> float:
    return value(found, "load_va")
