"""Years of use: stated or assumed, and what they change."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor, shop, supply

import ampwright as aw
from ampwright.errors import RangeError
from ampwright.records.shop import Shop
from ampwright.records.supply import ThreePhase


def dollars(fixed: float) -> dict[str, float | str]:
    return {"fixed": fixed, "per_kw": 0, "labour": 0, "low": 1, "high": 1}


#: A rotary converter idles for as long as the machine runs; a drive hardly does.
PRICES: dict[str, dict[str, float | str]] = {"rotary": dollars(1000), "drive": dollars(3000)}


def planned(**changes: Any) -> aw.Plan:
    saw = machine(motors=(motor(),), hours_per_year="2000 h", controls="supply-lines")
    own = shop(saw, energy_price="0.30 USD/kWh", **changes)
    return aw.plan(own, methods=["rotary", "drive"], prices=PRICES, region="us", check=False)


def assumed(plan: aw.Plan) -> list[float | str]:
    return [
        part.value
        for one in plan.assumptions
        if one.code == "plan.years-assumed"
        for part in one.parameters
    ]


def test_ten_years_are_an_assumption_and_stated_ones_are_none() -> None:
    """Ten years: common practice, no source."""
    usual, stated = planned(), planned(years_of_use=4)
    assert (assumed(usual), assumed(stated)) == ([10.0], [])
    assert {one.years for one in usual.options} == {10.0}
    assert {one.years for one in stated.options} == {4.0}


def test_stated_years_stand_where_the_caller_stated_them() -> None:
    case = case_of(machine(), years_of_use=4)
    assert (case.years.value, case.years.path) == (4.0, "shop/years_of_use")


def test_the_years_decide_between_what_is_cheap_to_buy_and_cheap_to_run() -> None:
    """The choice turns where the yearly saving has paid the dearer piece, and the plan says so.

    Both pay 0.30 USD/kWh for what the machine takes; what differs is 2000 USD to buy, and what the
    converters lose while they idle for 2000 h a year.
    """
    short, long = planned(years_of_use=0.5), planned(years_of_use=50)
    first = [one.best and set(one.best.assignment.values()) for one in (short, long)]
    assert first == [{"rotary"}, {"drive"}]
    ways = {next(iter(set(one.assignment.values()))): one for one in short.options}
    lost = {name: sum(one.losses_w for one in way.converters) for name, way in ways.items()}
    even = 2000 / (0.30 * (lost["rotary"] - lost["drive"]) / 1000 * 2000)
    assert 0.5 < even < 50
    for years, wanted in ((0.98 * even, "rotary"), (1.02 * even, "drive")):
        plan = planned(years_of_use=years)
        assert plan.best is not None
        assert set(plan.best.assignment.values()) == {wanted}
        (hangs,) = (one for one in plan.findings if one.code == "plan.choice-hangs-on")
        said = {part.name: part.value for part in hangs.parameters}
        assert said["other"] in {one.id for one in plan.options}


def test_the_years_at_which_the_choice_turns_are_named() -> None:
    """Where nothing else is as near: without a price of energy only a standing charge is yearly."""
    saw = machine(motors=(motor(),), controls="supply-lines")
    line = ThreePhase(
        where="at-meter", current="100 A", price="1000 USD", yearly_charge="500 USD",
        distance="5 m",
    )  # fmt: skip
    own = shop(saw, supply=supply(three_phase=line))
    methods = ["rotary", "utility"]
    plan = aw.plan(own, methods=methods, prices={"rotary": dollars(6400)}, region="us")
    (hangs,) = (one for one in plan.findings if one.code == "plan.choice-hangs-on")
    said = {part.name: part.value for part in hangs.parameters}
    bought = [
        sum(one.low + one.high for one in option.costs if one.kind in ("purchase", "installation"))
        for option in sorted(plan.options, key=lambda one: "utility" in one.id)
    ]
    assert said["input"] == "years_of_use"
    assert said["now"] == 10.0
    assert said["then"] == pytest.approx((bought[0] - bought[1]) / 2 / 500)


@pytest.mark.parametrize("years", [0, -1, 1000])
def test_years_that_are_none_are_refused(years: float) -> None:
    with pytest.raises(RangeError):
        planned(years_of_use=years)


def test_they_are_stated_in_a_file_as_anywhere() -> None:
    own = shop(machine(), years_of_use=7)
    assert "years_of_use = 7" in own.to_toml()
    again = Shop.from_dict(own.to_dict())
    assert again.years_of_use == 7.0
