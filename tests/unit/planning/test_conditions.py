"""What a condition outside the owner's power does to the order of the ways."""

from typing import Any

import pytest

import ampwright as aw
from ampwright.equipment.converter import Converter
from ampwright.finding import Finding, Parameter
from ampwright.method import Cost
from ampwright.option import Assignment, Option
from ampwright.planning.conditions import (
    changes,
    conditional,
    far_above,
    premium,
    premiums,
    ratio,
    unmet,
)
from ampwright.planning.ranking import ranked
from ampwright.planning.reasons import near_tie, reason


def change(value: float, seldom: float = 0.07) -> Finding:
    """Return a change of the voltage of the public supply."""
    return Finding(
        code="supply.voltage-change", severity="caution", where=("a",),
        parameters=(Parameter(name="change", value=value), Parameter(name="limit", value=0.03),
                    Parameter(name="seldom", value=seldom)),
    )  # fmt: skip


def way(name: str, price: float, *reasons: Finding) -> Option:
    """Return a way that costs *price* once, with what its one machine has as reasons."""
    piece = f"{name}.a"
    verdict = "feasible-with-conditions" if reasons else "feasible"
    made = (
        Converter(
            id=piece, method=name, machines=("a",), input_voltage_v=240.0,
            input_current_a=20.0, output_voltage_v=240.0, output_current_a=10.0, losses_w=100.0,
        ),
    )  # fmt: skip
    return Option(
        id=name, feasible=True, verdict=verdict,
        machines=(Assignment(id="a", method=name, verdict=verdict, reasons=reasons),),
        converters=made,
        costs=(Cost(id=f"{piece}/purchase", kind="purchase", low=price, high=price,
                    currency="USD"),),
    )  # fmt: skip


CONSENT = Finding(code="supply.start-disturbance", severity="caution", where=("supply", "a"))
NO_SPEED = Finding(code="machine.no-speed-control", severity="caution", where=("a",))


@pytest.mark.parametrize(
    ("value", "is_one", "times"),
    # above what starts seldom may cause, 7 % here, the consent comes first; below it is to be kept
    [(0.05, False, 5 / 7), (0.07, False, 1.0), (0.08, True, 8 / 7), (0.16, True, 16 / 7)],
)
def test_a_change_of_voltage_is_a_condition_above_what_any_start_may_cause(
    value: float,
    is_one: bool,  # noqa: FBT001 - pytest passes it by name
    times: float,
) -> None:
    assert conditional(change(value)) is is_one
    assert ratio(change(value)) == pytest.approx(times)
    assert premium((change(value),)) == 1.0


def test_a_consent_without_figures_is_a_condition_and_not_far_above() -> None:
    assert conditional(CONSENT)
    assert ratio(CONSENT) is None
    assert not far_above(way("m", 100.0, CONSENT))


def test_far_above_is_more_than_twice_the_limit() -> None:
    assert not far_above(way("m", 100.0, change(0.14)))
    assert far_above(way("m", 100.0, change(0.1401)))


def test_what_is_far_above_a_limit_comes_after_whatever_is_not() -> None:
    """By cost alone it would be first, a hundred times as cheap."""
    far, clean = way("far", 10.0, change(0.16)), way("clean", 1000.0)
    assert [one.id for one in ranked([far, clean])] == ["clean", "far"]
    assert reason(far, clean) == "far-above-a-limit"
    assert near_tie((clean, far)) == ()


def test_a_consent_that_is_not_far_above_leaves_the_choice_to_the_cost() -> None:
    clean, near = way("clean", 1000.0), way("near", 999.0, CONSENT, change(0.14))
    assert [one.id for one in ranked([clean, near])] == ["near", "clean"]
    assert premiums(near) == {}
    assert not changes(near)


def test_a_way_that_leaves_out_what_was_asked_for_comes_after_one_that_does_not() -> None:
    without, with_it = way("rotary", 10.0, NO_SPEED), way("drive", 1000.0)
    assert (unmet(without), unmet(with_it)) == (1, 0)
    assert [one.id for one in ranked([without, with_it])] == ["drive", "rotary"]
    assert reason(without, with_it) == "leaves-out-a-wish"


SHOP: dict[str, Any] = {
    "schema": "ampwright.shop/1",
    "region": "iec",
    "supply": {
        "arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz", "rating": "80 A",
        "existing_load": "10 A", "fault_current": "1.5 kA", "earthing": "tn-s",
    },
    "machines": [
        {
            "id": "saw", "plate": "3PH 4 kW 400 V D 8.1 A 50 Hz 2880 rpm cos phi 0.86",
            "length": "14 m", "start": "normal",
        }
    ],
}  # fmt: skip


@pytest.mark.parametrize("impedance", ["0.25 ohm", None])
def test_a_start_that_shakes_the_street_is_a_condition_whoever_stated_the_impedance(
    impedance: str | None,
) -> None:
    """4 kW single-phase start with some 150 A: 16 % at 0.25 ohm, more at the reference impedance.

    The largest change that IEC 61000-3-3 allows of any start is 7 % (from memory).
    """
    supply = SHOP["supply"] | ({"impedance": impedance} if impedance else {})
    plan = aw.plan(aw.Shop.from_dict(SHOP | {"supply": supply}))
    swaps = [one for one in plan.options if one.assignment["saw"] == "motor-swap"]
    assert swaps
    for one in swaps:
        (saw,) = one.machines
        assert saw.verdict == "feasible-with-conditions"
        assert "supply.voltage-change" in {each.code for each in saw.reasons}
    assert plan.best is not None
    assert plan.best.assignment["saw"] == "drive"


MILL: dict[str, Any] = {
    "schema": "ampwright.shop/1",
    "region": "us",
    "supply": {
        "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "100 A",
        "existing_load": "10 A",
    },
    "machines": [
        {
            "id": "mill", "plate": "2 HP 3 PH 60 HZ 1725 RPM 230/460 V 6.2/3.1 A",
            "length": "25 ft", "start": "light", "average_load": 0.5, "variable_speed": True,
        }
    ],
}  # fmt: skip


def test_every_way_that_gives_no_speed_control_says_so_where_it_is_wanted() -> None:
    plan = aw.plan(aw.Shop.from_dict(MILL))
    ways = {one.assignment["mill"]: one.machines[0] for one in plan.options}
    assert {"rotary", "electronic", "drive"} <= set(ways)
    for method, mill in ways.items():
        said = "machine.no-speed-control" in {one.code for one in mill.reasons}
        assert said is (method != "drive")
        assert mill.verdict != "feasible" or method == "drive"
    assert plan.best is not None
    assert plan.best.assignment["mill"] == "drive"
    assert not any(one.method in ("static", "motor-swap") for one in plan.options[0].refusals)


def test_nothing_is_said_of_speed_where_nobody_wants_it() -> None:
    still = MILL["machines"][0] | {"variable_speed": False}
    plan = aw.plan(aw.Shop.from_dict(MILL | {"machines": [still]}))
    said = {one.code for each in plan.options for one in each.findings}
    assert "machine.no-speed-control" not in said
