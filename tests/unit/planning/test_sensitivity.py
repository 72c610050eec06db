"""The input that would change the choice: at the value named, it does."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import machine, motor, supply

import ampwright as aw
from ampwright.finding import Finding
from ampwright.planning.sensitivity import sensitivity

METHODS = ("rotary", "drive")
#: Prices at which a drive each and one rotary for both are near each other.
PRICES: dict[str, dict[str, float | str]] = {
    "rotary": {"fixed": 900.0, "per_kw": 0.0, "labour": 0.0, "low": 1.0, "high": 1.0},
    "drive": {"fixed": 500.0, "per_kw": 0.0, "labour": 0.0, "low": 1.0, "high": 1.0},
}


def shop(**changes: Any) -> aw.Shop:
    usual: dict[str, Any] = {
        "region": "us",
        "supply": supply(rating="200 A"),
        "machines": [
            machine(name, motors=(motor(),), start="light", load_torque="friction",
                    hours_per_year="1000 h")
            for name in "ab"
        ],
        "together": [["a", "b"]],
    }  # fmt: skip
    return aw.Shop(**(usual | changes))


def planned(one: aw.Shop, **changes: Any) -> aw.Plan:
    return aw.plan(one, methods=METHODS, check=False, **({"prices": PRICES} | changes))


def named(plan: aw.Plan) -> Finding:
    (found,) = [one for one in plan.findings if one.code == "plan.choice-hangs-on"]
    return found


def value(found: Finding, name: str) -> Any:
    return next(one.value for one in found.parameters if one.name == name)


def best(plan: aw.Plan) -> str:
    assert plan.best is not None
    return plan.best.id


def test_at_the_price_named_the_other_way_comes_first() -> None:
    plan = planned(shop())
    found = named(plan)
    assert best(plan) == "rotary"
    assert (value(found, "input"), value(found, "now")) == ("prices.rotary", 900.0)
    then, other = value(found, "then"), value(found, "other")
    assert then > 900.0
    for price, first in ((then - 1.0, "rotary"), (then + 1.0, other)):
        prices = PRICES | {"rotary": PRICES["rotary"] | {"fixed": price}}
        assert best(planned(shop(), prices=prices)) == first


def test_at_the_price_of_energy_named_the_other_way_comes_first() -> None:
    """An idler costs energy while it idles, drives cost nearly none."""
    plan = planned(shop(energy_price="0.02 USD/kWh"))
    found = named(plan)
    assert best(plan) == "rotary"
    assert value(found, "input") in ("energy_price", "machines.a.hours_per_year",
                                     "machines.b.hours_per_year", "prices.rotary")  # fmt: skip


def short_of(rating: str) -> aw.Plan:
    """Return the plan of two machines that only run together, on a supply of *rating*."""
    pair = [
        machine("a", motors=(motor(),), start="light", needs=("b",)),
        machine("b", motors=(motor(),), start="light", needs=("a",)),
    ]
    one = shop(supply=supply(rating=rating, existing_load="20 A"), machines=pair)
    return aw.plan(one, methods=["rotary"], check=False)


def test_at_the_rating_named_a_way_can_be_done_that_could_not() -> None:
    """Equal power, 43.8 A, and the 20 A there are within 75 A; what the code counts is not."""
    plan = short_of("75 A")
    assert not plan.options[0].feasible
    found = named(plan)
    assert (value(found, "input"), value(found, "now")) == ("supply.rating", 75.0)
    then = value(found, "then")
    for rating, can in ((then * 0.99, False), (then * 1.01, True)):
        assert any(one.feasible for one in short_of(f"{rating:.3f} A").options) == can


@pytest.mark.parametrize(("price", "asked"), [(900.0, True), (500.0, False)])
def test_it_is_asked_where_the_input_may_well_have_that_value(price: float, *, asked: bool) -> None:
    """Both ways cost the same at a price of 1000; a quarter off is a usual misstatement."""
    prices = PRICES | {"rotary": PRICES["rotary"] | {"fixed": price}}
    plan = planned(shop(), prices=prices)
    assert value(named(plan), "then") == pytest.approx(1000.0)
    fields = [one.field for one in plan.questions if one.code == "plan.decisive-input"]
    assert fields == (["prices.rotary"] if asked else [])


def test_a_contract_that_limits_is_named_as_what_it_is() -> None:
    pair = [
        machine(name, motors=(motor(voltage="230/400 V", current="13.2/7.6 A", frequency="50 Hz",
                                    speed="1450 rpm"),), start="light", needs=(other,))
        for name, other in ("ab", "ba")
    ]  # fmt: skip
    fifty = supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz", rating="200 A",
                   contract="12 kVA", existing_load="5 A")  # fmt: skip
    one = aw.Shop(region="iec", supply=fifty, machines=pair, together=[["a", "b"]])
    plan = aw.plan(one, methods=["drive"], check=False)
    found = named(plan)
    assert (value(found, "input"), value(found, "now")) == ("supply.contract", 12000.0)
    assert value(found, "then") > 12000.0


def test_every_number_of_it_has_a_step() -> None:
    plan = planned(shop(energy_price="0.15 USD/kWh"))
    steps = {one.path: one.value for one in plan.steps}
    steps |= {one.path: one.value for option in plan.options for one in option.steps}
    for part in named(plan).parameters:
        assert not part.step or steps[part.step] == part.value


def test_nothing_is_named_where_there_is_no_other_way() -> None:
    plan = aw.plan(shop(), methods=("drive",), check=False)
    assert [one for one in plan.findings if one.code == "plan.choice-hangs-on"] == []


def test_looking_again_changes_nothing_else() -> None:
    plan = planned(shop())
    assert sensitivity(plan).options == plan.options
