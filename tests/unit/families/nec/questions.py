"""Questions to a code of the family `nec`, and a walk through the numbers of its answer."""
# ruff: noqa: ANN401 - the builders take any field of a record

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import attrs

import ampwright.regions.us
from ampwright.families.nec.book import HORSEPOWER_W, Book, Factor
from ampwright.families.nec.code import NecCode
from ampwright.records.site import ConverterPlace, Site
from ampwright.records.supply import Feeder, Panel, Supply
from ampwright.region import (
    CircuitAnswer,
    CircuitDemand,
    ConverterInput,
    LoadDemand,
    MotorDemand,
)
from ampwright.step import Figure

PLACE = "options/x/circuits/c"


def figure(value: float, name: str = "given") -> Figure:
    """Return a figure whose step would stand elsewhere in a plan."""
    return Figure(float(value), f"case/{name}")


@attrs.frozen
class Asker:
    """Asks region `us` with usual circumstances, each of which may be replaced."""

    code: NecCode

    def supply(self, **changes: Any) -> Supply:
        stated: dict[str, Any] = {
            "arrangement": "split-phase",
            "voltage": "240 V",
            "frequency": "60 Hz",
            "rating": "200 A",
            "existing_load": "14 A",
            "fault_current": "8 kA",
        }
        for name, kind in (("panel", Panel), ("feeder", Feeder)):
            if isinstance(changes.get(name), dict):
                changes[name] = kind(**changes[name])
        return Supply(**(stated | changes))

    def site(self, **changes: Any) -> Site:
        if isinstance(changes.get("converter_place"), dict):
            changes["converter_place"] = ConverterPlace(**changes["converter_place"])
        return Site(**({"ambient": "30 degC", "terminals": "75 degC"} | changes))

    def motor(self, power_hp: float, current_a: float, **changes: Any) -> MotorDemand:
        stated: dict[str, Any] = {
            "id": "saw/0",
            "machine": "saw",
            "phases": 3,
            "power": figure(power_hp * HORSEPOWER_W, "power"),
            "voltage": figure(230, "rated-voltage"),
            "current": figure(current_a, "plate-current"),
            "speed": figure(1740, "speed"),
            "service_factor": figure(1.15, "service-factor"),
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
            "output_voltage": figure(240, "output-voltage"),
            "fixed_loads": False,
        }
        return ConverterInput(**(stated | changes))

    def demand(self, **changes: Any) -> CircuitDemand:
        stated: dict[str, Any] = {
            "id": "c",
            "role": "branch",
            "feeds": ("saw",),
            "phases": 3,
            "voltage": figure(240, "voltage"),
            "frequency": figure(60, "frequency"),
            "length": figure(12, "length"),
            "running_current": figure(13, "running"),
            "power_factor": figure(0.85, "power-factor"),
            "fault_largest": figure(8000, "fault"),
        }
        return CircuitDemand(**(stated | changes))

    def single(self, **changes: Any) -> CircuitDemand:
        """Return a demand for two lines of a split-phase supply."""
        legs = (figure(120, "a"), figure(120, "b"))
        return self.demand(**({"phases": 1, "voltage_to_earth": legs} | changes))

    def made(self, **changes: Any) -> CircuitDemand:
        """Return a demand behind a converter, with a made leg."""
        legs = (figure(120, "a"), figure(120, "b"), figure(208, "c"))
        return self.demand(**({"made_leg": True, "voltage_to_earth": legs} | changes))

    figure = staticmethod(figure)

    @staticmethod
    def step(answer: CircuitAnswer, name: str) -> Any:
        """Return the value of the step *name* of the circuit."""
        assert answer.circuit is not None, answer.findings
        return next(one.value for one in answer.circuit.steps if one.path == f"{PLACE}/{name}")

    @staticmethod
    def codes(answer: CircuitAnswer) -> set[str]:
        return {one.code for one in answer.findings}

    @staticmethod
    def assumed(answer: CircuitAnswer) -> set[str]:
        return {one.code for one in answer.assumptions}

    def ask(
        self, demand: CircuitDemand, site: Site | None = None, supply: Supply | None = None
    ) -> CircuitAnswer:
        return self.code.circuit(demand, site or self.site(), supply or self.supply(), PLACE)


def asker() -> Asker:
    """Return region `us` in its default edition."""
    return Asker(NecCode.read(Path(ampwright.regions.us.__file__).parent))


def bound(book: Book, fraction: float) -> Book:
    """Return *book* as it would be with a binding limit on the voltage drop."""
    limit = Factor(value=fraction, rule="nec.210.19(A)")
    manifest = {**book.manifest, "limits": {"drop_fraction": fraction}}
    return attrs.evolve(book, factors={**book.factors, "drop_binding": limit}, manifest=manifest)


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


def cases(us: Asker) -> list[CircuitDemand]:
    """Return one demand of each clause group."""
    two = (us.motor(5, 13.2), us.motor(3, 9.0, id="dust/0", machine="dust"))
    drive = us.converter(28, id="drive.saw", method="drive", kind="drive", fixed_loads=True)
    feeds = ("rotary",)
    supply = us.single(role="supply", feeds=feeds, motors=two, converter=us.converter(60))
    return [
        us.made(motors=two[:1], starting_current=figure(92, "start"), fault_source=figure(70, "f")),
        us.made(motors=two, loads=(us.load(10),)),
        us.made(role="output", motors=two, feeds=("saw", "dust")),
        us.made(role="idler", motors=two[:1], feeds=feeds),
        us.made(motors=(us.motor(4 / 0.7457, 14),)),
        us.made(motors=(us.motor(5, 13.2, duty="S3 25 %"),)),
        us.made(motors=(us.motor(5, 13.2, hermetic=True),)),
        us.made(motors=two[:1], cord=True),
        supply,
        us.single(
            role="supply", feeds=feeds, motors=two, starting_current=figure(150, "start"),
            converter=us.converter(82, fixed_loads=True),
        ),
        us.single(role="supply", motors=two[:1], converter=drive),
        us.demand(motors=two[:1], converter=drive, fed_from="supply.drive.saw"),
        us.single(loads=(us.load(25),)),
        us.single(loads=(us.load(40, kind="welder", duty_cycle=figure(0.5, "duty")),)),
        us.single(loads=(us.load(40, kind="transformer"),)),
        us.single(motors=(us.motor(1, 8.0, phases=1),)),
        us.single(loads=(us.load(40, kind="welder", duty_cycle=figure(0.1, "duty"),
                                 construction="resistance"),)),
        us.single(loads=(us.load(16, kind="transformer", construction="auto"),)),
    ]  # fmt: skip
