"""Money in different currencies is never added up: put at a rate, or kept apart and said."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from collections.abc import Iterator
from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor, shop, supply
from tests.unit.planning.stand_ins import converter, proposal

import ampwright as aw
from ampwright.method import Cost
from ampwright.option import Assignment, Option
from ampwright.planning.alternatives import alternatives
from ampwright.planning.costs import built_in, idle_a_year, of_proposal, rough_total, stated
from ampwright.planning.currencies import currency_of, rate
from ampwright.planning.ranking import comparable, ranked, remarks, total_cost
from ampwright.planning.reasons import explained, near_tie
from ampwright.records.shop import Tariff
from ampwright.records.supply import ThreePhase
from ampwright.step import Step, evaluate

UNKNOWN = "XAF"  # a currency that the table of rates does not know


def rotary(**changes: Any) -> Any:
    return proposal("rotary", "ab", converters=(converter("rotary", "ab", rating_w=5000.0),),
                    **changes)  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "currency"),
    [
        ({}, None),
        ({"currency": "GBP"}, "GBP"),
        ({"energy_price": "0.2 EUR/kWh"}, "EUR"),
        ({"tariff": Tariff(demand_charge="9 CHF/kW")}, "CHF"),
    ],
)
def test_the_currency_of_a_shop(changes: dict[str, Any], currency: str | None) -> None:
    assert currency_of(shop(machine("a"), **changes)) == currency


def test_the_currency_of_a_quote_or_of_a_value_is_the_shops() -> None:
    quote = ThreePhase(where="in-street", price="9200 GBP")
    assert currency_of(shop(machine("a"), supply=supply(three_phase=quote))) == "GBP"
    assert currency_of(shop(machine("a", value="300 SEK"))) == "SEK"


def test_built_in_prices_are_put_into_the_shops_currency_at_a_rough_rate() -> None:
    own, found = built_in(), stated(None, "EUR")
    known = rate("USD", "EUR", None)
    assert known is not None
    assert known.low < known.value < known.high
    assert known.source.known == "memory"
    assert found.currency == found.currency_of("rotary") == "EUR"
    assert found.by_method["rotary"].fixed == known.value * own.by_method["rotary"].fixed
    assert found.by_method["rotary"].low == own.by_method["rotary"].low


def test_a_stated_rate_goes_before_the_rough_one() -> None:
    """2 of theirs for each dollar: the piece costs twice as many."""
    plain, _ = of_proposal(rotary(), built_in())
    found, steps = of_proposal(rotary(), stated({"USD": {"rate": 2.0}}, UNKNOWN))
    for one, other in zip(plain, found, strict=True):
        assert (other.currency, one.currency) == (UNKNOWN, "USD")
        assert (other.low, other.high) == pytest.approx((2 * one.low, 2 * one.high))
    sources = {one.source.known for one in steps if one.unit == f"{UNKNOWN}/USD" and one.source}
    assert sources == {"caller"}
    by_path = {one.path: one for one in steps}
    for one in formulas(steps):
        values = {name: by_path[path].value for name, path in one.inputs if path in by_path}
        if len(values) == len(one.inputs):
            assert evaluate(one.formula, {k: float(v) for k, v in values.items()}) == one.value


def formulas(steps: tuple[Step, ...]) -> Iterator[Step]:
    return (one for one in steps if one.kind == "formula")


def test_a_quote_in_dollars_is_put_into_the_shops_currency_under_a_name_of_its_own() -> None:
    quoted = Cost(id="utility/purchase", kind="purchase", low=100.0, high=300.0, currency="USD")
    one = proposal("utility", "a", converters=(), costs=(quoted,))
    prices = stated({"USD": {"rate": 0.5}}, "EUR")
    (found,), _ = of_proposal(one, prices)
    assert (found.id, found.low, found.high, found.currency) == (
        "utility/purchase/EUR", 50.0, 150.0, "EUR",
    )  # fmt: skip
    assert rough_total(one, prices, 10.0) == 100.0
    # without a rate it stands among the dollars, and a quote in the shop's money does not
    assert rough_total(one, stated(None, UNKNOWN), 10.0) == 200.0
    own = proposal("utility", "a", converters=(), costs=(cost("utility", 200.0, UNKNOWN),))
    assert rough_total(own, stated(None, UNKNOWN), 10.0) == math.inf


@pytest.mark.parametrize("amiss", [0.0, -1.0, math.nan, math.inf])
def test_a_rate_is_a_number_above_nought(amiss: float) -> None:
    with pytest.raises(ValueError, match="rate"):
        stated({"USD": {"rate": amiss}}, "EUR")


def test_a_rate_has_nothing_beside_it_and_leads_to_another_currency() -> None:
    with pytest.raises(KeyError):
        stated({"USD": {"fixed": 3.0}}, "EUR")
    with pytest.raises(KeyError):
        stated({"USD": {"rate": 1.0}}, None)
    with pytest.raises(aw.InputError) as caught:
        aw.plan(shop(machine("a")), prices={"USD": {"rate": 0.9}})
    assert caught.value.code == "prices.form"


def test_without_a_rate_a_price_is_stated_in_full_or_not_at_all() -> None:
    whole = {"fixed": 1.0, "per_kw": 2.0, "labour": 3.0}
    prices = stated({"rotary": whole}, UNKNOWN)
    assert (prices.currency_of("rotary"), prices.currency_of("drive")) == (UNKNOWN, "USD")
    with pytest.raises(ValueError, match="per_kw is in USD"):
        stated({"rotary": {"fixed": 1.0, "labour": 3.0}}, UNKNOWN)


def test_where_each_price_is_stated_none_is_left_in_another_currency() -> None:
    whole = {"fixed": 1.0, "per_kw": 2.0, "labour": 3.0}
    some = stated({"rotary": whole}, UNKNOWN)
    everything = stated(dict.fromkeys(built_in().by_method, whole), UNKNOWN)
    assert (some.usual, everything.usual) == ("USD", UNKNOWN)
    # what the caller states in his own money has no place among the others, and they none beside it
    assert rough_total(rotary(), some, 10.0) == math.inf
    assert rough_total(rotary(), everything, 10.0) == 1.0 + 2.0 * 5.0 + 3.0 + rough_band(everything)


def rough_band(prices: Any) -> float:
    """What the band of the built-in price adds to 14."""
    one = prices.by_method["rotary"]
    return float(14.0 * ((one.low + one.high) / 2.0 - 1.0))


def test_losses_in_another_currency_are_not_added_to_the_price() -> None:
    case = case_of(machine("a", hours_per_year="1000 h"), machine("b"), energy_price="1 EUR/kWh")
    assert idle_a_year(case, rotary(), stated(None, "EUR")) > 0.0
    assert idle_a_year(case, rotary(), built_in()) == 0.0


def cost(name: str, amount: float, currency: str, kind: str = "purchase") -> Cost:
    return Cost(id=f"{name}/{kind}", kind=kind, low=amount, high=amount, currency=currency)


def option(name: str, *costs: Cost) -> Option:
    served = (Assignment(id="a", method=name, verdict="feasible"),)
    return Option(id=name, machines=served, feasible=True, verdict="feasible", costs=costs)


def test_costs_of_a_year_in_another_currency_are_left_out_of_the_sum() -> None:
    one = option("x", cost("x", 100, "USD"), cost("x", 7, "EUR", "energy"))
    assert total_cost(one) == (100.0, 100.0)


def test_pieces_in_two_currencies_have_no_sum() -> None:
    one = option("x", cost("x", 100, "USD"), cost("y", 7, "EUR"))
    assert total_cost(one) == (math.inf, math.inf)
    assert not comparable(one)


def test_what_is_priced_apart_stands_behind_and_the_plan_names_both_currencies() -> None:
    """One euro would be cheaper than any dollar price, and it is not known by how much."""
    apart = option("a", cost("a", 1, "EUR"))
    dear, cheap = option("c", cost("c", 900, "USD")), option("d", cost("d", 100, "USD"))
    order = ranked([apart, dear, cheap])
    assert [one.id for one in order] == ["d", "c", "a"]
    assert [one.id for one in ranked(order[::-1])] == ["d", "c", "a"]
    said = remarks(order, built_in())
    (one,) = [each for each in said if each.code == "plan.currencies-differ"]
    assert (one.severity, one.where) == ("caution", ("a",))
    named = {part.name: part.value for part in one.parameters}
    assert (named["first"], named["second"]) == ("USD", "EUR")
    words = {each.where[0]: part.value for each in explained(order) for part in each.parameters
             if part.name == "reason"}  # fmt: skip
    assert words == {"c": "dearer", "a": "other-currency"}


def test_no_near_tie_and_no_deciding_price_across_currencies() -> None:
    two = (option("rotary", cost("a", 100, "USD")), option("drive", cost("b", 100, "EUR")))
    assert near_tie(two) == ()
    assert [one.code for one in remarks(two, built_in())] == ["plan.currencies-differ"]
    alike = (two[0], option("drive", cost("b", 100, "USD")))
    assert len(near_tie(alike)) == 1
    assert [one.code for one in remarks(alike, built_in())] == ["plan.price-decides"]


def test_hire_is_compared_at_the_rate_or_not_at_all() -> None:
    """Two hours a year on hire are 600 dollars in ten years: 1200 at a rate of two.

    Both are said, that hire is cheaper and that the conversion is not worth it for such hours.
    """
    case = case_of(machine("a", motors=(motor(),), hours_per_year="2 h"))
    twice = rate("USD", "EUR", {"USD": {"rate": 2.0}})
    for paid, exchange, cheaper in ((1201, twice, 1), (1199, twice, 0), (9999, None, 0)):
        way = option("drive", cost("drive.a", paid, "EUR"))
        said = [one.code for one in alternatives(case, (way,), exchange).findings]
        assert said == ["plan.not-worth-it", "plan.cheaper-alternative"] * cheaper


PAIR = {
    "region": "us",
    "supply": {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
               "rating": "200 A"},
    "machines": [
        {"id": name, "length": "9 m", "hours_per_year": "900 h",
         "motors": [{"power": power, "voltage": "230 V", "frequency": "60 Hz"}]}
        for name, power in (("a", "5 hp"), ("b", "3 hp"))
    ],
}  # fmt: skip


def test_a_plan_in_another_currency_is_in_it_throughout() -> None:
    """At a rate of one the figures and the order are those of dollars."""
    here = aw.plan(aw.Shop.from_dict(PAIR | {"energy_price": "0.2 USD/kWh"}))
    there = aw.plan(aw.Shop.from_dict(PAIR | {"energy_price": "0.2 XAF/kWh"}),
                    prices={"USD": {"rate": 1.0}})  # fmt: skip
    assert {one.currency for each in there.options for one in each.costs} == {"XAF"}
    assert [one.id for one in there.options] == [one.id for one in here.options]
    for one, two in zip(here.options, there.options, strict=True):
        assert [(a.low, a.high) for a in one.costs] == [(b.low, b.high) for b in two.costs]
    assert not there.checks or not [one for one in there.checks if one.severity == "blocks"]


def test_a_plan_without_a_rate_says_what_it_leaves_out() -> None:
    """The price of energy then neither moves the order nor a sum."""
    plans = [
        aw.plan(aw.Shop.from_dict(PAIR | {"energy_price": f"{price} XAF/kWh"}))
        for price in ("0.1", "1000")
    ]
    for one in plans:
        (said,) = [each for each in one.findings if each.code == "plan.currencies-differ"]
        named = {part.name: part.value for part in said.parameters}
        assert (named["first"], named["second"]) == ("USD", "XAF")
    cheap, dear = plans
    assert [one.id for one in cheap.options] == [one.id for one in dear.options]
    assert [total_cost(one) for one in cheap.options] == [total_cost(one) for one in dear.options]


def test_a_plan_in_euros_ranks_with_the_energy_counted() -> None:
    plan = aw.plan(aw.Shop.from_dict(PAIR | {"energy_price": "0.3 EUR/kWh"}))
    assert {one.currency for each in plan.options for one in each.costs} == {"EUR"}
    assert "plan.currencies-differ" not in {one.code for one in plan.findings}
