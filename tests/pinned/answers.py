"""The answers of region `us` to one question of each clause group, as lines of text."""
# ruff: noqa: ANN401 - the builders take any field of a record

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.unit.families.nec.questions import asker, cases

from ampwright.finding import Parameter
from ampwright.region import CircuitAnswer, ServiceAnswer, ServiceDemand
from ampwright.step import Step

ALIKE = (2, 3, 4, 12, 15)  # what these cases add, others show
FILE = Path(__file__).with_name("nec_answers.txt")


def of_step(step: Step) -> str:
    value = step.value if isinstance(step.value, str) else f"{step.value:.9g}"
    inputs = " ".join(f"{name}={path.rpartition('/')[2]}" for name, path in step.inputs)
    path = step.path.removeprefix("options/x/")
    parts = (path, step.kind[0], step.symbol, value, step.unit, step.formula, inputs, step.rule,
             step.table, "/".join(step.cell))  # fmt: skip
    return "  " + " | ".join(parts)


def of_parameters(said: tuple[Parameter, ...]) -> str:
    return ", ".join(
        f"{one.name}={one.value if isinstance(one.value, str) else f'{one.value:.9g}'}{one.unit}"
        for one in said
    )


def lines(answer: CircuitAnswer | ServiceAnswer) -> Iterator[str]:
    steps = answer.circuit.steps if answer.circuit else ()
    own = answer.steps if isinstance(answer, ServiceAnswer) else ()
    yield from (of_step(step) for step in (*own, *steps))
    for finding in answer.findings:
        said = of_parameters(finding.parameters)
        yield f"  finding {finding.code} {finding.severity} {finding.where} {finding.rule} {said}"
    for assumption in answer.assumptions:
        said = of_parameters(assumption.parameters)
        yield f"  assumption {assumption.code} {assumption.where} {said}"
    for question in answer.questions:
        asked = (question.code, question.field, question.where, question.changes, question.choices)
        yield f"  question {asked}"
    circuit = answer.circuit
    if circuit is not None:
        yield f"  {circuit.conductor} {circuit.protective_conductor}"
        yield f"  {circuit.protective_device} {circuit.overloads} {circuit.disconnect}"
        yield f"  {circuit.raceway} {circuit.guards} {circuit.feeds} {circuit.fed_from}"
    if isinstance(answer, CircuitAnswer):
        yield f"  {answer.windows}"


def service(us: Any) -> ServiceAnswer:
    feeder = {"size": "2 AWG", "material": "copper", "length": "70 m"}
    supply = us.supply(feeder=feeder, panel={"free_poles": 1, "slash_rating": "120/240 V"})
    fed = (us.ask(us.single(role="supply", converter=us.converter(60))).circuit,)
    drawn = us.figure(90)
    demand = ServiceDemand(
        prefix="options/x/service", voltage=us.figure(240), running=(("set", drawn),), circuits=fed
    )
    answer: ServiceAnswer = us.code.service(demand, us.site(detached_building=True), supply)
    return answer


def answers() -> list[str]:
    """Return all answers, a line for each thing that is said."""
    us = asker()
    site = us.site(terminals=None, conductor_material="copper")
    found: list[str] = []
    for n, demand in enumerate(cases(us)):
        if n not in ALIKE:
            found += [f"case {n}", *lines(us.ask(demand, site if n % 2 else None))]
    return [*found, "service", *lines(service(us))]


def kept() -> tuple[str, list[str]]:
    """Return the fragment that the kept answers were renewed for, and the answers."""
    first, *rest = FILE.read_text(encoding="utf-8").splitlines()
    return first.removeprefix("renewed for "), rest
