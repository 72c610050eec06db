"""The same shop gives the same plan: again, elsewhere, and in any order."""

import random
import subprocess
import sys
from pathlib import Path

import attrs
import pytest

import ampwright as aw

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "docs" / "examples").glob("*.toml"))
CODE = "import sys, ampwright as aw; sys.stdout.write(aw.plan(aw.load_shop(sys.argv[1])).to_json())"


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda path: path.stem)
def example(request: pytest.FixtureRequest) -> Path:
    return Path(request.param)


def test_twice_is_byte_equal(example: Path) -> None:
    first, second = (aw.plan(aw.load_shop(example)).to_json() for _ in range(2))
    assert first == second


def elsewhere(example: Path, seed: str) -> str:
    """Return the plan that a process of its own makes, with the plugins installed there."""
    return subprocess.run(  # noqa: S603 - our own interpreter, our own text
        [sys.executable, "-c", CODE, str(example)],
        env={"PYTHONHASHSEED": seed, "PATH": "", "LC_ALL": "C"},
        check=True,
        capture_output=True,
        text=True,
    ).stdout


def test_processes_are_byte_equal(example: Path) -> None:
    first, *others = (elsewhere(example, seed) for seed in ("0", "1", "4242"))
    assert first.startswith('{"schema":"ampwright.plan/1"')
    assert [other == first for other in others] == [True, True]


def answers(plan: aw.Plan) -> dict[str, object]:
    """Return what a plan says of each option, whatever the order of machines."""
    return {
        one.id: (
            one.verdict,
            sorted(one.assignment.items()),
            sorted((c.id, c.rating_w, c.input_current_a) for c in one.converters),
            sorted(
                (c.id, c.conductor.size, c.protective_device.rating_a, c.design_current_a)
                for c in one.circuits
            ),
            sorted((s.id, s.input_current_a) for s in one.states if s.converter),
            sorted((s.id, s.runs_up, s.time_s) for s in one.starts),
            sorted(cost.id for cost in one.costs),
        )
        for one in plan.options
    }


def test_machines_in_another_order_give_the_same_answers(example: Path) -> None:
    shop = aw.load_shop(example)
    machines = list(shop.machines)
    random.Random(7).shuffle(machines)  # noqa: S311 - any order will do
    assert machines != list(shop.machines)
    other = attrs.evolve(shop, machines=tuple(machines))
    one, two = aw.plan(shop), aw.plan(other)
    assert two.id == one.id
    assert two.verdict == one.verdict
    mine, theirs = answers(one), answers(two)
    assert mine.keys() == theirs.keys()
    for name, answer in mine.items():
        assert (
            answer == pytest.approx(theirs[name], rel=1e-9)
            if isinstance(answer, float)
            else rounded(answer) == rounded(theirs[name])
        )


def rounded(thing: object) -> object:
    """Return *thing* with its numbers to nine digits: sums may differ in their last bits."""
    if isinstance(thing, float):
        return float(f"{thing:.9g}")
    if isinstance(thing, list | tuple):
        return [rounded(one) for one in thing]
    return thing


def test_names_and_notes_change_no_number(example: Path) -> None:
    shop = aw.load_shop(example)
    renamed = attrs.evolve(
        shop,
        name="another name",
        machines=tuple(attrs.evolve(one, name=f"x{one.name}") for one in shop.machines),
    )
    assert answers(aw.plan(renamed)) == answers(aw.plan(shop))


def test_json_goes_out_and_in_byte_equal(example: Path) -> None:
    plan = aw.plan(aw.load_shop(example))
    text = plan.to_json()
    again = aw.Plan.from_json(text)
    assert again == plan
    assert again.to_json() == text
