"""Every number of an answer has its step, and every formula gives what the step says."""
# ruff: noqa: ANN401 - the builders take any field of a record

import itertools
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from ampwright.step import evaluate

Walk = Callable[[object, str], Iterator[tuple[str, float]]]
PLACE = "options/x/circuits/c"


@pytest.mark.parametrize("n", range(16))
@pytest.mark.parametrize("edition", ["2023", "2020"])
@pytest.mark.parametrize("terminals", ["75 degC", None])
def test_each_number_has_a_step_with_exactly_that_value(
    us: Any, demands: Any, walked: Walk, n: int, edition: str, terminals: str | None
) -> None:
    asker = type(us)(us.code.in_edition(edition))
    answer = asker.ask(demands(asker)[n], site=asker.site(terminals=terminals))
    assert answer.circuit is not None, answer.findings
    steps = {step.path: step for step in answer.circuit.steps}
    assert len(steps) == len(answer.circuit.steps), "a path stands twice"
    for path, value in walked(answer.circuit, PLACE):
        assert path in steps, path
        assert steps[path].value == value, path
    for window in answer.windows:
        for name in ("largest_input_current_a", "smallest_input_current_a"):
            assert steps[f"{PLACE}/window/{name}"].value == getattr(window, name)
    for step in answer.circuit.steps:
        for _, path in step.inputs:
            assert path in steps or path.startswith("case/"), (step.path, path)
        if step.kind == "formula" and not any(p.startswith("case/") for _, p in step.inputs):
            values = {name: steps[path].value for name, path in step.inputs}
            assert evaluate(step.formula, values) == step.value, step.path
        if step.rule:
            assert step.rule in asker.code.rules
        if step.kind == "table":
            table = asker.code.tables[step.table]
            assert table.row(step.cell[0]) is not None, step
            assert step.cell[1] in table.columns, step


def test_a_table_step_carries_the_cell(us: Any, demands: Any) -> None:
    """Cells are read, never altered: a number in a table step is the cell or the row's key."""
    for demand in demands(us):
        circuit = us.ask(demand).circuit
        for step in circuit.steps:
            if step.kind != "table" or isinstance(step.value, str):
                continue
            table = us.code.tables[step.table]
            row = table.row(step.cell[0])
            key = row[table.key]
            cell = row[step.cell[1]]
            exact = float(cell) if cell.replace(".", "").isdigit() else None
            assert step.value == exact or "hp" in step.path, (step.path, key)


def test_findings_and_rules_name_what_the_region_knows(us: Any, demands: Any) -> None:
    for demand in demands(us):
        answer = us.ask(demand)
        for finding in answer.findings:
            assert not finding.rule or finding.rule in us.code.rules
            for one in finding.parameters:
                assert isinstance(one.value, str) or one.step, (finding.code, one.name)
                if one.step.startswith(PLACE):
                    values = {step.path: step.value for step in answer.circuit.steps}
                    assert values[one.step] == one.value


def test_a_blocked_circuit_leaves_the_steps_of_what_it_says(us: Any) -> None:
    answer = us.ask(us.single(role="output", loads=(us.load(3000),)), us.site(terminals=None))
    assert answer.circuit is None
    steps = {one.path: one.value for one in answer.steps}
    said = [*answer.findings, *answer.assumptions]
    numbers = [one for each in said for one in each.parameters if not isinstance(one.value, str)]
    assert len(numbers) > 2
    for one in numbers:
        assert steps[one.step] == one.value, one
    assert us.ask(us.single(loads=(us.load(10),))).steps == ()


def test_numbers_of_assumptions_have_steps(us: Any, demands: Any) -> None:
    for demand, site in itertools.product(
        demands(us), (None, us.site(ambient=None, terminals=None))
    ):
        for assumption in us.ask(demand, site).assumptions:
            for one in assumption.parameters:
                assert isinstance(one.value, str) or one.step, (assumption.code, one.name)


def test_same_question_same_answer(us: Any, demands: Any) -> None:
    for demand in demands(us):
        assert us.ask(demand) == us.ask(demand)


def test_nothing_on_a_circuit_blocks_and_does_not_raise(us: Any) -> None:
    answer = us.ask(us.demand())
    assert answer.circuit is None
    assert [one.severity for one in answer.findings] == ["blocks"]


@pytest.mark.parametrize(
    ("amps", "code"), [(4000, "feeder.undersized"), (9000, "protection.device-too-small")]
)
def test_what_no_standard_size_serves_blocks(us: Any, amps: float, code: str) -> None:
    answer = us.ask(us.single(role="output", loads=(us.load(amps),)))
    assert answer.circuit is None
    assert code in {one.code for one in answer.findings if one.severity == "blocks"}


def test_longer_hotter_fuller_never_thinner(us: Any) -> None:
    """Hotter surroundings and more conductors together never give a smaller area."""
    areas = []
    for ambient, grouped in itertools.product(range(20, 60, 5), (1, 2, 4, 7)):
        site = us.site(ambient=f"{ambient} degC", grouped_circuits=grouped)
        circuit = us.ask(us.made(motors=(us.motor(10, 26),)), site=site).circuit
        areas.append((ambient, grouped, circuit.conductor.area_mm2))
    for a, b in itertools.product(areas, areas):
        if a[0] <= b[0] and a[1] <= b[1]:
            assert a[2] <= b[2]


def test_more_load_may_mean_a_thinner_conductor_across_the_terminal_border(us: Any) -> None:
    """Unmarked terminals: 60 C column up to 100 A, 75 C above; 100 A asks 1 AWG, 105 A 2 AWG."""
    site = us.site(terminals=None)
    sizes = [
        us.ask(us.single(loads=(us.load(amps / 1.25),)), site=site).circuit.conductor.size
        for amps in (100, 105)
    ]
    assert sizes == ["1 AWG", "2 AWG"]
