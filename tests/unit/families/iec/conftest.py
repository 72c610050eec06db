"""Questions to a code of the family `iec`, and a walk through the numbers of its answer."""
# ruff: noqa: ANN401 - the builders take any field of a record

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import attrs
import pytest

import ampwright.regions.iec
from ampwright.families.iec.code import IecCode
from ampwright.records.site import ConverterPlace, Site
from ampwright.records.supply import Feeder, Panel, Supply
from ampwright.region import (
    CircuitAnswer,
    CircuitDemand,
    ConverterInput,
    LoadDemand,
    MotorDemand,
    ServiceAnswer,
    ServiceDemand,
)
from ampwright.step import Figure

PLACE = "options/x/circuits/c"


def figure(value: float, name: str = "given") -> Figure:
    """Return a figure whose step would stand elsewhere in a plan."""
    return Figure(float(value), f"case/{name}")


@attrs.frozen
class Asker:
    """Asks region `iec` with usual circumstances, each of which may be replaced."""

    code: IecCode

    def supply(self, **changes: Any) -> Supply:
        stated: dict[str, Any] = {
            "arrangement": "line-neutral",
            "voltage": "230 V",
            "frequency": "50 Hz",
            "rating": "80 A",
            "existing_load": "10 A",
            "fault_current": "3 kA",
            "earthing": "tn-s",
        }
        for name, kind in (("panel", Panel), ("feeder", Feeder)):
            if isinstance(changes.get(name), dict):
                changes[name] = kind(**changes[name])
        return Supply(**(stated | changes))

    def site(self, **changes: Any) -> Site:
        if isinstance(changes.get("converter_place"), dict):
            changes["converter_place"] = ConverterPlace(**changes["converter_place"])
        stated: dict[str, Any] = {
            "ambient": "30 degC",
            "installation": "conduit",
            "grouped_circuits": 1,
        }
        return Site(**(stated | changes))

    def motor(self, power_kw: float, current_a: float, **changes: Any) -> MotorDemand:
        stated: dict[str, Any] = {
            "id": "saw/0",
            "machine": "saw",
            "phases": 3,
            "power": figure(1000 * power_kw, "power"),
            "voltage": figure(230, "rated-voltage"),
            "current": figure(current_a, "plate-current"),
            "speed": figure(1440, "speed"),
            "locked_rotor_current": figure(6 * current_a, "locked-rotor"),
        }
        return MotorDemand(**(stated | changes))

    def load(self, current_a: float, **changes: Any) -> LoadDemand:
        stated: dict[str, Any] = {
            "id": "oven/0",
            "machine": "oven",
            "kind": "resistive",
            "phases": 1,
            "current": figure(current_a, "load-current"),
            "continuous": True,
        }
        return LoadDemand(**(stated | changes))

    def converter(self, current_a: float, **changes: Any) -> ConverterInput:
        stated: dict[str, Any] = {
            "id": "rotary",
            "method": "rotary",
            "kind": "phase-converter",
            "current": figure(current_a, "plate-input"),
            "given": False,
            "output_voltage": figure(230, "output-voltage"),
            "fixed_loads": False,
        }
        return ConverterInput(**(stated | changes))

    def demand(self, **changes: Any) -> CircuitDemand:
        stated: dict[str, Any] = {
            "id": "c",
            "role": "branch",
            "feeds": ("saw",),
            "phases": 3,
            "voltage": figure(230, "voltage"),
            "frequency": figure(50, "frequency"),
            "length": figure(12, "length"),
            "running_current": figure(1, "running"),
            "power_factor": figure(0.8, "power-factor"),
            "fault_largest": figure(3000, "fault"),
        }
        return CircuitDemand(**(stated | changes))

    def single(self, **changes: Any) -> CircuitDemand:
        """Return a demand for line and neutral at the panel."""
        legs = (figure(230, "a"), figure(0, "b"))
        return self.demand(**({"phases": 1, "voltage_to_earth": legs} | changes))

    def made(self, **changes: Any) -> CircuitDemand:
        """Return a demand behind a converter, with a made leg."""
        legs = (figure(230, "a"), figure(0, "b"), figure(236, "c"))
        stated = {
            "made_leg": True,
            "voltage_to_earth": legs,
            "fed_from": "output.rotary",
            "fault_source": figure(65, "made-leg-fault"),
        }
        return self.demand(**(stated | changes))

    def ask(
        self, demand: CircuitDemand, site: Site | None = None, supply: Supply | None = None
    ) -> CircuitAnswer:
        return self.code.circuit(demand, site or self.site(), supply or self.supply(), PLACE)

    def serve(
        self, running_a: float, site: Site | None = None, supply: Supply | None = None,
        **changes: Any,
    ) -> ServiceAnswer:  # fmt: skip
        stated: dict[str, Any] = {
            "prefix": "options/x/service",
            "voltage": figure(230, "voltage"),
            "running": (("c", figure(running_a, "running")),),
        }
        demand = ServiceDemand(**(stated | changes))
        return self.code.service(demand, site or self.site(), supply or self.supply())


@pytest.fixture(scope="session")
def iec() -> Asker:
    """Return region `iec`."""
    return Asker(IecCode.read(Path(ampwright.regions.iec.__file__).parent))


def numbers(thing: object, path: str) -> Iterator[tuple[str, float]]:
    """Yield path and value of every number in a record, steps left out."""
    if isinstance(thing, bool) or thing is None or isinstance(thing, str):
        return
    if isinstance(thing, int | float):
        yield path, float(thing)
    elif isinstance(thing, tuple):
        for place, one in enumerate(thing):
            yield from numbers(one, f"{path}/{getattr(one, 'id', '') or place}")
    else:
        for field in attrs.fields(type(thing)):  # type: ignore[arg-type]
            if field.name != "steps":
                yield from numbers(getattr(thing, field.name), f"{path}/{field.name}")


@pytest.fixture(scope="session")
def walked() -> Callable[[object, str], Iterator[tuple[str, float]]]:
    """Return the walk through the numbers of a record."""
    return numbers
