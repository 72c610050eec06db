"""Methods, a region and pieces of equipment that answer what a test tells them to."""
# ruff: noqa: ANN401 - the builders take any field of a record

from collections.abc import Callable, Sequence
from typing import Any

import attrs
from tests.unit.planning.shops import figure

from ampwright.case import Case, MachineCase
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.conductor import Conductor
from ampwright.equipment.converter import Converter
from ampwright.equipment.device import ProtectiveDevice
from ampwright.finding import Finding
from ampwright.method import Proposal, Refusal, Start, State
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import CircuitAnswer, CircuitDemand, ServiceAnswer, ServiceDemand
from ampwright.tables import Source, Table


def converter(name: str, machines: Sequence[str], **changes: Any) -> Converter:
    """Return a converter of 5 kW that draws 30 A."""
    usual: dict[str, Any] = {
        "method": name.partition(".")[0], "machines": tuple(machines), "rating_w": 5000.0,
        "input_voltage_v": 240.0, "output_voltage_v": 240.0, "input_current_a": 30.0,
        "output_current_a": 15.0, "losses_w": 400.0,
    }  # fmt: skip
    return Converter(id=name, **(usual | changes))


def state(name: str, running: str, **changes: Any) -> State:
    """Return an operating point that draws 20 A and 4 kW."""
    usual: dict[str, Any] = {
        "converter": name, "running": (), "input_current_a": 20.0, "input_power_w": 4000.0,
        "input_power_factor": 4000 / 4800, "losses_w": 500.0, "equal_kva_current_a": 22.0,
        "set": running,
    }  # fmt: skip
    usual["id"] = f"{name}/{running}/{changes.get('load', 'full')}"
    return State(**(usual | changes))


def start(name: str, **changes: Any) -> Start:
    """Return a start that succeeds with 100 A from the supply."""
    usual: dict[str, Any] = {
        "converter": "rotary", "runs_up": True, "time_s": 1.0, "lowest_voltage_v": 210.0,
        "current_a": 100.0, "torque_nm": 40.0, "needed_torque_nm": 20.0,
    }  # fmt: skip
    return Start(id=name, **(usual | changes))


def demand(name: str, feeds: Sequence[str], **changes: Any) -> CircuitDemand:
    """Return a demand for a circuit of 10 m that carries 20 A."""
    usual: dict[str, Any] = {
        "role": "branch", "phases": 3, "voltage": figure(240), "frequency": figure(60),
        "length": figure(10), "running_current": figure(20), "power_factor": figure(0.8),
    }  # fmt: skip
    return CircuitDemand(id=name, feeds=tuple(feeds), **(usual | changes))


def circuit(name: str, feeds: Sequence[str], **changes: Any) -> Circuit:
    """Return a circuit of 10 AWG behind 40 A with a drop of 1 % while running."""
    usual: dict[str, Any] = {
        "role": "branch", "phases": 3, "voltage_v": 240.0, "design_current_a": 20.0,
        "conductor": Conductor(
            size="10 AWG", area_mm2=5.26, material="copper", insulation="THWN-2", count=3,
            ampacity_a=35.0, length_m=10.0,
        ),
        "protective_conductor": None,
        "protective_device": ProtectiveDevice(
            kind="breaker", rating_a=40.0, curve="inverse-time", poles=3
        ),
        "voltage_drop_fraction": 0.01,
    }  # fmt: skip
    return Circuit(id=name, feeds=tuple(feeds), **(usual | changes))


def proposal(method: str, machines: Sequence[str], **changes: Any) -> Proposal:
    """Return a proposal with one converter and nothing else."""
    name = method if len(machines) > 1 else f"{method}.{machines[0]}"
    usual: dict[str, Any] = {"converters": (converter(name, machines, method=method),)}
    return Proposal(method=method, machines=tuple(machines), **(usual | changes))


def refusal(method: str, machines: Sequence[str], *blamed: str, code: str = "no.way") -> Refusal:
    """Return a refusal whose reason names *blamed*, or all machines."""
    where = blamed or tuple(machines)
    reason = Finding(code=code, severity="blocks", where=where)
    return Refusal(method=method, machines=tuple(machines), reasons=(reason,))


@attrs.define
class Method:
    """A method that answers by a function, and keeps what it was asked."""

    id: str
    reply: Callable[[tuple[str, ...]], Any]
    shared: bool = False
    converts: bool = True
    settled: Callable[[Proposal], Any] = attrs.field(default=lambda one: one)
    asked: list[tuple[str, ...]] = attrs.field(factory=list)

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Any:
        names = tuple(one.id for one in machines)
        self.asked.append(names)
        return self.reply(names)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Any:
        return self.settled(proposal)


def willing(name: str, *, shared: bool = False, converts: bool = True) -> Method:
    """Return a method that serves whatever it is asked."""
    return Method(name, lambda names: proposal(name, names), shared=shared, converts=converts)


def only_for(name: str, *served: str, shared: bool = False, converts: bool = True) -> Method:
    """Return a method that serves *served*, and refuses others in their own name."""

    def reply(names: tuple[str, ...]) -> Proposal | Refusal:
        others = [one for one in names if one not in served]
        return refusal(name, names, *others) if others else proposal(name, names)

    return Method(name, reply, shared=shared, converts=converts)


@attrs.define
class Code:
    """A wiring code that gives every circuit what *changes* says, and keeps what it was asked."""

    changes: dict[str, Any] = attrs.field(factory=dict)
    answers: dict[str, CircuitAnswer] = attrs.field(factory=dict)
    said: dict[str, Any] = attrs.field(factory=dict)
    demands: list[CircuitDemand] = attrs.field(factory=list)
    services: list[ServiceDemand] = attrs.field(factory=list)
    id: str = "invented"
    edition: str = "1"
    family: str = "none"
    title: str = "an invented code"
    editions: tuple[str, ...] = ("1",)
    terms: dict[str, str] = attrs.field(factory=dict)
    rules: dict[str, Source] = attrs.field(factory=dict)
    tables: dict[str, Table] = attrs.field(factory=dict)

    def in_edition(self, edition: str) -> "Code":
        return self

    def includes(self, supply: Supply) -> bool:
        return True

    def circuit(
        self, demand: CircuitDemand, site: Site, supply: Supply, place: str
    ) -> CircuitAnswer:
        self.demands.append(demand)
        if demand.id in self.answers:
            return self.answers[demand.id]
        fields = {"role": demand.role, "fed_from": demand.fed_from, "phases": demand.phases}
        fields |= self.changes.get(demand.id, {})
        return CircuitAnswer(circuit=circuit(demand.id, demand.feeds, **fields))

    def service(self, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
        self.services.append(demand)
        return ServiceAnswer(**({"enough": True, "load_a": 50.0, "spare_a": 50.0} | self.said))
