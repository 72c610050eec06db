"""Plates whose power is a horsepower in rounded kilowatts, and plates that say next to nothing."""

import pytest

import ampwright as aw

SUPPLY = {
    "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "100 A",
}  # fmt: skip


def planned(**machine: object) -> aw.Plan:
    """Return the plan of one machine on a split-phase supply."""
    shop = {
        "schema": "ampwright.shop/1", "name": "one", "region": "us", "supply": SUPPLY,
        "machines": [{"id": "m", "length": "40 ft", **machine}],
    }  # fmt: skip
    return aw.plan(aw.Shop.from_dict(shop))


@pytest.mark.parametrize("phases", [1, 3])
@pytest.mark.parametrize("kilowatts", ["0.373", "0.56", "1.12", "2.24", "3.73", "5.6"])
def test_plan_and_check_take_the_same_row_of_the_table(kilowatts: str, phases: int) -> None:
    motor = {
        "power": f"{kilowatts} kW", "voltage": "230 V", "frequency": "60 Hz", "phases": phases,
    }  # fmt: skip
    plan = planned(motors=[motor])
    assert plan.options
    assert plan.checks is not None
    assert not [one for one in plan.checks if one.severity != "info"]


@pytest.mark.parametrize("plate", ["blah blah", "230 V"])
def test_a_plate_that_says_next_to_nothing_is_asked_about(plate: str) -> None:
    plan = planned(plate=plate)
    assert plan.verdict == "not-feasible"
    assert "plan.data-needed" in {one.code for one in plan.questions}
