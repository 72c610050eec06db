"""Motors of a machine of which only one runs at a time: the tables count, and the largest of them.

NEC 430.24, exception 3: where circuitry keeps motors from running together, the largest set counts.
NEC 430.6(A)(1): the tables count, not the plate, but for motors of several speeds and slow ones.
"""

from typing import Any

import pytest
from tests.unit.planning.test_parting import circuits, first, objections, plan_of

FIVE: dict[str, Any] = {
    "power": "5 hp", "voltage": "230 V", "current": "14 A", "frequency": "60 Hz",
    "speed": "1740 rpm",
}  # fmt: skip
TEN: dict[str, Any] = FIVE | {"power": "10 hp"}
SLOW: dict[str, Any] = FIVE | {"power": "2.5 hp", "current": "11 A", "speed": "865 rpm"}
ONE_AT_A_TIME: dict[str, Any] = {"motors_one_at_a_time": True}


@pytest.mark.parametrize("method", ["rotary", "electronic", "utility"])
@pytest.mark.parametrize("plate", ["26 A", "30 A"])
def test_two_motors_go_by_the_table_whatever_their_plates(method: str, plate: str) -> None:
    """Table 430.250, 230 V: 28 A for 10 hp, and 1.25 times it by 430.22."""
    plan = plan_of(method, motors=[FIVE, TEN | {"current": plate}], **ONE_AT_A_TIME)
    branch = circuits(first(plan))["branch.mill"]
    assert branch.design_current_a == pytest.approx(1.25 * 28.0)
    settings = {one.id: one.setting_a for one in branch.overloads}
    assert settings == {
        "mill/0": pytest.approx(1.15 * 14.0), "mill/1": pytest.approx(1.15 * float(plate[:2]))
    }  # fmt: skip
    assert not objections(plan)


def test_two_speeds_of_one_motor_go_by_the_plate() -> None:
    plan = plan_of("rotary", motors=[TEN | {"current": "30 A"}, SLOW], traits=["two-speed"],
                   **ONE_AT_A_TIME)  # fmt: skip
    assert circuits(first(plan))["branch.mill"].design_current_a == pytest.approx(1.25 * 30.0)
    assert not objections(plan)


def test_new_motors_keep_running_one_at_a_time() -> None:
    """Table 430.248, 230 V: 50 A for 10 hp on one phase; the other one does not come on top."""
    plan = plan_of("motor-swap", motors=[FIVE, TEN | {"current": "26 A"}], **ONE_AT_A_TIME)
    assert circuits(first(plan))["branch.mill"].design_current_a == pytest.approx(1.25 * 50.0)
    assert not objections(plan)


def test_with_all_at_once_both_count() -> None:
    """430.24: 1.25 times 28 A, and 15.2 A of 5 hp."""
    plan = plan_of("rotary", motors=[FIVE, TEN | {"current": "26 A"}])
    branch = circuits(first(plan))["branch.mill"]
    assert branch.design_current_a == pytest.approx(1.25 * 28.0 + 15.2)
    assert not objections(plan)


def test_a_start_waits_for_the_other_motor_to_stand_still() -> None:
    """Two motors alike: one starts, the other never runs beside it."""
    alone = first(plan_of("motor-swap", motors=[FIVE]))
    pair = first(plan_of("motor-swap", motors=[FIVE, FIVE], **ONE_AT_A_TIME))
    both = first(plan_of("motor-swap", motors=[FIVE, FIVE]))
    assert pair.starts[0].current_a == pytest.approx(alone.starts[0].current_a)
    assert both.starts[0].current_a > 1.1 * alone.starts[0].current_a


def test_the_device_bears_the_start_of_each_motor() -> None:
    """Of two motors of one size the one that draws more at standstill settles the device."""
    weak, strong = FIVE | {"code_letter": "F"}, FIVE | {"code_letter": "M"}
    for motors in ([weak, strong], [strong, weak]):
        plan = plan_of("electronic", motors=motors, **ONE_AT_A_TIME)
        single = plan_of("electronic", motors=[strong])
        ratings = [circuits(first(one))["branch.mill"].protective_device.rating_a
                   for one in (plan, single)]  # fmt: skip
        assert ratings[0] == ratings[1]
        assert not objections(plan)


def test_by_its_duty_the_larger_motor_may_need_less_copper_but_no_smaller_switch() -> None:
    """10 hp for 5 minutes, 24 A on its plate, and 7.5 hp for ever, one at a time.

    Table 430.22(E): short time, rated 5 minutes, 110 % of 24 A are 26.4 A. 7.5 hp draw 22 A by
    Table 430.250, and 1.25 times it are 27.5 A. 430.110(A): 1.15 times the 28 A of 10 hp.
    """
    short = TEN | {"current": "24 A", "duty": "S2 5 min"}
    other = FIVE | {"power": "7.5 hp", "current": "21 A"}
    for motors in ([short, other], [other, short]):
        plan = plan_of("utility", motors=motors, **ONE_AT_A_TIME)
        branch = circuits(first(plan))["branch.mill"]
        steps = {one.path.partition("/branch.mill/")[2]: one.value for one in branch.steps}
        assert branch.design_current_a == pytest.approx(27.5)
        assert steps["disconnect/least_a"] == pytest.approx(1.15 * 28.0)
        assert not objections(plan)
