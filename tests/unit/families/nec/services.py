"""Questions to region `us` about a service, and what is read from the answer."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import attrs

from ampwright.equipment.circuit import Circuit
from ampwright.region import ServiceAnswer, ServiceDemand
from ampwright.step import Figure


def figure(value: float) -> Figure:
    return Figure(float(value), "options/x/states/s/input_current_a")


def ask(us: Any, amps: float = 50, circuits: tuple[Circuit, ...] = (), **supply: Any) -> Any:
    site, existing = supply.pop("site", None) or us.site(), supply.pop("existing", None)
    demand = ServiceDemand(
        prefix="options/x/service",
        voltage=figure(240),
        running=(("set", figure(amps)),),
        circuits=circuits,
        existing=existing,
    )
    answer: ServiceAnswer = us.code.service(demand, site, us.supply(**supply))
    return answer


def codes(answer: ServiceAnswer) -> list[str]:
    return [one.code for one in answer.findings]


def parameter(answer: ServiceAnswer, code: str, name: str) -> Any:
    finding = next(one for one in answer.findings if one.code == code)
    return next(one.value for one in finding.parameters if one.name == name)


def converter(us: Any, plate: float = 60) -> Circuit:
    circuit = us.ask(us.single(role="supply", converter=us.converter(plate))).circuit
    assert isinstance(circuit, Circuit)
    return circuit


def moved(circuit: Circuit) -> Circuit:
    """Return a circuit with its steps below its own id, as they stand in a plan."""
    steps = tuple(
        attrs.evolve(one, path=one.path.replace("circuits/c/", f"circuits/{circuit.id}/"))
        for one in circuit.steps
    )
    return attrs.evolve(circuit, steps=steps)
