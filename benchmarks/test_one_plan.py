"""Cost of one plan: a whole process, over one that imports attrs and pluggy; and its parts.

The goal is 5.0 for reading the example shop, planning it and writing the plan as JSON. It is not
reached; `REACHED` is what is, and guards it. Its tenth of looseness is that of `test_import`.
"""

import statistics
import time
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from benchmarks.processes import Spread, compared

import ampwright as aw

if TYPE_CHECKING:
    from collections.abc import Callable

SHOP = Path(__file__).parents[1] / "docs" / "examples" / "quarry-lane.toml"
# plugins that are installed beside ampwright are not part of it
JOB = f"import ampwright as aw; aw.Engine(allow=()).plan(aw.load_shop({str(SHOP)!r})).to_json()"
GOAL, REACHED = 5.0, 14.0
LOOSENESS = 1.1
ROUNDS = 9


@pytest.fixture(scope="module")
def one_plan() -> Spread:
    """The times of the whole process over those of the yardstick."""
    return compared({"one plan": JOB})["one plan"]


def test_one_plan_costs_no_more_than_before(one_plan: Spread) -> None:
    assert one_plan.median <= LOOSENESS * REACHED


@pytest.mark.xfail(reason="the goal, which is not reached")
def test_one_plan_costs_no_more_than_its_goal(one_plan: Spread) -> None:
    assert one_plan.median <= LOOSENESS * GOAL


def test_writing_a_plan_costs_less_than_making_it() -> None:
    """In one process that has planned before: each part, medians of runs taken in turn."""
    shop = aw.load_shop(SHOP)
    made = aw.plan(shop)
    text = made.to_json()
    parts: dict[str, Callable[[], object]] = {
        "read the shop": lambda: aw.load_shop(SHOP),
        "plan": lambda: aw.plan(shop, check=False),
        "check": lambda: aw.verify(made),
        "write": made.to_json,
        "read back": lambda: aw.Plan.from_json(text),
    }
    spent: dict[str, list[float]] = {name: [] for name in parts}
    for _ in range(ROUNDS):
        for name, work in parts.items():
            begin = time.perf_counter()
            work()
            spent[name].append(time.perf_counter() - begin)
    medians = {name: statistics.median(times) for name, times in spent.items()}
    print()
    for name, times in spent.items():
        low, median, high = statistics.quantiles(times, n=4)
        print(f"{name}: {1e3 * median:.1f} ({1e3 * low:.1f} to {1e3 * high:.1f}) ms")
    assert medians["write"] < medians["plan"]
