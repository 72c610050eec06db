"""Machines of several motors: each starts by itself, and its overload sees its own start."""

from typing import Any

import pytest
from tests.unit.planning.test_parting import IEC_MOTOR, first, objections, plan_of

LARGE: dict[str, Any] = IEC_MOTOR | {"power": "4 kW", "current": "14.5/8.4 A"}
SMALL: dict[str, Any] = IEC_MOTOR | {"power": "0.25 kW", "current": "1.3/0.75 A"}
PUMP: dict[str, Any] = {
    "power": "0.25 kW", "voltage": "230 V", "phases": 1, "current": "2.1 A", "frequency": "50 Hz",
}  # fmt: skip
HEAVY: dict[str, Any] = {
    "start": "hard", "load_torque": "constant", "traits": ["high-inertia"],
}  # fmt: skip


@pytest.mark.parametrize("method", ["rotary", "electronic", "utility", "motor-swap"])
def test_each_motor_of_several_has_its_own_start(method: str) -> None:
    plan = plan_of(method, region="iec", motors=[LARGE, SMALL], **HEAVY)
    start = next(one for one in first(plan).starts if one.id == "mill")
    large, small = start.motors
    assert (large.id, small.id) == ("mill/0", "mill/1")
    assert large.time_s is not None
    assert small.time_s is not None
    assert start.time_s == pytest.approx(max(large.time_s, small.time_s))
    assert large.motor_current_a is not None
    assert small.motor_current_a is not None
    assert small.motor_current_a < large.motor_current_a / 4
    assert not objections(plan)


def test_the_class_of_an_overload_follows_the_start_of_its_own_motor() -> None:
    """By the start of the large motor the small one would get a slower relay than it needs."""
    both = first(plan_of("rotary", region="iec", motors=[LARGE, SMALL], **HEAVY))
    classes = {
        one.id: one.curve for each in both.circuits for one in each.overloads if "/" in one.id
    }
    assert classes == {"mill/0": "class 10", "mill/1": "class 10A"}


def test_of_one_motor_there_is_no_start_beside_that_of_its_machine() -> None:
    for method in ("rotary", "electronic", "utility", "motor-swap"):
        plan = plan_of(method, region="iec", motors=[SMALL])
        assert [one.motors for one in first(plan).starts if one.id == "mill"] == [()]


def test_a_motor_that_stays_beside_a_new_one_is_not_judged_by_its_start() -> None:
    plan = plan_of("motor-swap", region="iec", motors=[SMALL, PUMP])
    (start,) = first(plan).starts
    assert [one.id for one in start.motors] == ["mill/0"]
    assert not objections(plan)


def test_the_report_shows_each_motor_with_its_overload() -> None:
    text = plan_of("electronic", region="iec", motors=[LARGE, SMALL], **HEAVY).report("markdown")
    (table,) = [part for part in text.split("\n\n") if "Start of" in part]
    assert len(table.splitlines()) == 2 + 3  # head and rule, the machine and its two motors
