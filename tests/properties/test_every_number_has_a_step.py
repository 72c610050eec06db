"""No number of a plan stands without the step that says how it came about."""

from collections import Counter
from pathlib import Path

import attrs
import pytest
from tests.properties.walking import numbers, steps

import ampwright as aw
from ampwright.step import Step, evaluate

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted(
    [
        *(ROOT / "docs" / "examples").glob("*.toml"),
        *(ROOT / "tests" / "scenarios" / "shops").glob("*.toml"),
    ]
)


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda path: path.stem)
def plan(request: pytest.FixtureRequest) -> aw.Plan:
    return aw.plan(aw.load_shop(request.param))


@pytest.fixture(scope="module")
def by_path(plan: aw.Plan) -> dict[str, Step]:
    return {one.path: one for one in steps(plan)}


def test_every_path_is_there_once(plan: aw.Plan) -> None:
    twice = [path for path, count in Counter(one.path for one in steps(plan)).items() if count > 1]
    assert not twice


def test_every_number_has_a_step_of_the_same_value(plan: aw.Plan, by_path: dict[str, Step]) -> None:
    found = list(numbers(plan, ""))
    assert len(found) > 50
    without = [path for path, _ in found if path not in by_path]
    assert not without
    other = [path for path, value in found if by_path[path].value != value]
    assert not other


def test_every_input_of_a_step_is_a_step(by_path: dict[str, Step]) -> None:
    dangling = [
        (one.path, path)
        for one in by_path.values()
        for _, path in one.inputs
        if path not in by_path
    ]
    assert not dangling


def test_every_formula_gives_its_value_again(by_path: dict[str, Step]) -> None:
    formulas = [one for one in by_path.values() if one.kind == "formula"]
    assert len(formulas) > 50
    for one in formulas:
        values = {name: float(by_path[path].value) for name, path in one.inputs}
        assert evaluate(one.formula, values) == one.value, one.path


def test_every_step_says_where_it_stands(by_path: dict[str, Step]) -> None:
    for one in by_path.values():
        if one.kind in ("table", "assumed", "solved", "given"):
            assert one.source is not None, one.path
        if one.kind == "table":
            assert one.table, one.path
            assert one.cell, one.path
        if one.kind == "solved":
            assert one.residual is not None, one.path
            assert one.formula, one.path


def test_solved_states_fit_their_equations(plan: aw.Plan, by_path: dict[str, Step]) -> None:
    networks = [one for one in by_path.values() if one.path.endswith("/network")]
    ways = {made.method for option in plan.options for made in option.converters}
    assert networks or not ways & {"rotary", "static"}
    for one in networks:
        assert one.residual is not None
        assert abs(one.residual) < 1e-9, one.path
        assert one.unknowns


def test_the_walk_would_see_a_number_without_a_step(plan: aw.Plan) -> None:
    assert plan.best is not None
    stripped = attrs.evolve(plan.best, steps=())
    left = {one.path for one in steps(stripped)}
    place = f"options/{plan.best.id}"
    assert any(f"{place}/{path}" not in left for path, _ in numbers(stripped, "") if path)


def test_no_method_failed_behind_a_refusal(plan: aw.Plan) -> None:
    failed = [
        reason
        for option in plan.options
        for refusal in option.refusals
        for reason in refusal.reasons
        if reason.code == "plugin.failed"
    ]
    assert not failed
