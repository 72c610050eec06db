"""Costs: rough prices or the caller's, energy by the hour, each part with its source."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.planning.shops import HORSEPOWER_W, case_of, heater, machine, motor, step
from tests.unit.planning.stand_ins import converter, demand, proposal, state

import ampwright as aw
from ampwright.equipment.transformer import Transformer
from ampwright.method import Cost
from ampwright.planning.costs import (
    built_in,
    kilowatts,
    of_demand,
    of_energy,
    of_proposal,
    rough_total,
    stated,
)
from ampwright.records.motor import Motor
from ampwright.records.shop import Tariff

MINE = {"rotary": {"fixed": 100, "per_kw": 50, "labour": 40, "low": 0.5, "high": 2.0}}


def test_the_built_in_prices_are_rough_but_for_what_is_free() -> None:
    prices = built_in()
    assert prices.source.known == "practice"
    assert prices.rough(["rotary"])
    assert not prices.rough(["direct"])
    assert not prices.rough(["no such method", None])
    for one in prices.by_method.values():
        assert 0 < one.low <= 1 <= one.high


def test_a_stated_part_replaces_that_part_and_is_the_callers() -> None:
    own, prices = built_in(), stated({"drive": {"fixed": 99.0}}, None)
    assert prices.by_method["drive"] == own.by_method["drive"]._replace(fixed=99.0)
    assert prices.by_method["rotary"] == own.by_method["rotary"]
    assert prices.source_of("drive", "fixed").known == "caller"
    assert prices.source_of("drive", "per_kw") == own.source
    assert prices.source_of("rotary", "fixed") == own.source
    assert prices.currency == own.currency
    assert prices.rough(["drive"])


def test_prices_stated_in_full_are_not_rough() -> None:
    prices = stated(MINE, None)
    assert not prices.rough(["rotary"])
    assert prices.rough(["rotary", "drive"])
    assert prices.currency == built_in().currency


def test_a_method_without_a_built_in_price_may_get_one() -> None:
    prices = stated({"new": {"labour": 5}}, None)
    assert prices.by_method["new"] == (0.0, 0.0, 5.0, 1.0, 1.0)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -0.01])
def test_a_price_is_a_finite_number_from_nought(value: float) -> None:
    with pytest.raises(ValueError, match="fixed"):
        stated({"drive": {"fixed": value}}, None)
    with pytest.raises(KeyError):
        stated({"drive": {"fixd": 1.0}}, None)


def test_nothing_stated_leaves_the_built_in_prices() -> None:
    assert stated(None, "USD") == stated({}, None) == built_in()


def test_kilowatts_are_the_ratings_bought_or_else_the_motors() -> None:
    watts = converter("s", "ab", rating_w=7500.0), converter("t", "c", rating_w=None,
                                                            rating_va=2500.0)  # fmt: skip
    assert kilowatts(proposal("s", "abc", converters=watts)) == 10.0
    assert kilowatts(proposal("s", "a", converters=())) == 0.0
    case = case_of(machine(motors=(motor(), motor(power="3 kW", current=None))))
    demands = (demand("branch.saw", ["saw"], motors=tuple(
        one.demand for one in case.machines[0].motors
    )),)  # fmt: skip
    swapped = proposal("motor-swap", ["saw"], converters=(), demands=demands)
    assert kilowatts(swapped) == pytest.approx((5 * HORSEPOWER_W + 3000) / 1000)


def costs(one: Any, **kwargs: Any) -> dict[str, tuple[float, float]]:
    found, _ = of_proposal(one, stated(kwargs.get("prices", MINE), kwargs.get("currency")))
    return {cost.id: (cost.low, cost.high) for cost in found}


def test_purchase_and_installation_by_hand() -> None:
    """5 kW: 100 + 50 x 5 = 350, half to twice; labour 40 likewise."""
    one = proposal("rotary", "ab", converters=(converter("rotary", "ab", rating_w=5000.0),))
    assert costs(one) == {
        "rotary/purchase": (175.0, 700.0),
        "rotary/installation": (20.0, 80.0),
    }
    # the middle of the band is 1.25: 1.25 x (350 + 40)
    assert rough_total(one, stated(MINE, None), 10.0) == 487.5


def test_more_kilowatts_never_cost_less() -> None:
    totals = [
        rough_total(
            proposal("rotary", "a", converters=(converter("rotary", "a", rating_w=one),)),
            built_in(),
            10.0,
        )
        for one in (1000.0, 2000.0, 20000.0)
    ]
    assert totals == sorted(totals)
    assert totals[0] < totals[1]


def test_each_part_of_a_price_says_where_it_comes_from() -> None:
    one = proposal("drive", "a")
    _, steps = of_proposal(one, stated({"drive": {"per_kw": 75.0}}, None))
    per_kw, fixed = step(steps, "purchase/k"), step(steps, "purchase/f")
    assert per_kw.source is not None
    assert fixed.source is not None
    assert (per_kw.source.known, fixed.source.known) == ("caller", "practice")
    assert per_kw.unit == f"{built_in().currency}/kW"


def test_a_method_without_a_price_has_no_cost_and_is_dearer_than_any() -> None:
    one = proposal("unheard-of", "a")
    assert of_proposal(one, built_in()) == ((), ())
    assert rough_total(one, built_in(), 10.0) == math.inf


def test_a_piece_that_costs_nought_still_has_a_price() -> None:
    """Who owns a converter states a price of nought: it must not count as unpriced."""
    free = {"rotary": {"fixed": 0.0, "per_kw": 0.0, "labour": 0.0}}
    one = proposal("rotary", "ab")
    assert costs(one, prices=free) == {"rotary/purchase": (0.0, 0.0)}


def test_what_buys_nothing_and_costs_nothing_has_no_line() -> None:
    assert costs(proposal("direct", "a", converters=())) == {}


def test_two_proposals_of_one_method_keep_their_costs_apart() -> None:
    first, second = (costs(proposal("relink", [name], converters=())) for name in "ab")
    assert not first.keys() & second.keys()


def test_costs_that_a_proposal_brings_stand_as_they_are() -> None:
    quoted = Cost(id="utility/connection", kind="purchase", low=5.0, high=7.0, currency="EUR")
    yearly = Cost(id="utility/charge", kind="standing", low=10.0, high=12.0, currency="EUR")
    one = proposal("utility", "a", converters=(), costs=(quoted, yearly))
    assert of_proposal(one, stated(None, "EUR")) == ((quoted, yearly), ())
    # the middle of what is paid once, and ten years of what stands for a year
    assert rough_total(one, stated(None, "EUR"), 10.0) == 6.0 + 10.0 * 11.0
    # beside prices in dollars it is no cheap one, but one without a price
    assert rough_total(one, built_in(), 10.0) == math.inf


def yearly(*machines: Any, proposals: tuple[Any, ...] = (), **changes: Any) -> dict[str, Cost]:
    usual = {"energy_price": "0.20 EUR/kWh"}
    case = case_of(*machines, **(usual | changes))
    found, _ = of_energy(case, proposals, "options/x")
    return {one.id: one for one in found}


def test_a_years_energy_by_hand() -> None:
    """3 kW at 0.8 and 60 %, 500 h: 3 / 0.8 x 0.6 x 500 = 1125 kWh, 225 EUR."""
    stated_motor = motor(power="3 kW", current=None, efficiency=0.8, power_factor=0.8)
    one = machine(motors=(stated_motor,), hours_per_year="500 h", average_load=0.6)
    plan = proposal("drive", ["saw"], converters=())
    found = yearly(one, proposals=(plan,))["saw/energy"]
    assert [found.low, found.high] == pytest.approx([225.0, 225.0])
    assert (found.kind, found.currency) == ("energy", "EUR")


@pytest.mark.parametrize(
    ("duty", "share"),
    [("S1", 1.0), ("S3 40 %", 0.4), ("S4 25 %", 0.25), ("S3", 1.0), ("S2 30 min", 1.0),
     ("S6 40 %", 1.0), ("S3 100 %", 1.0)],
)  # fmt: skip
@pytest.mark.parametrize("phases", [1, 3])
def test_a_motor_that_is_switched_off_between_loads_takes_energy_for_its_share(
    duty: str, share: float, phases: Any
) -> None:
    """S3 to S5 state how much of a cycle it is on: IEC 60034-1, from memory."""
    on = {"power": "3 kW", "voltage": "230 V", "current": "20 A", "phases": phases}
    plan = proposal("direct", ["saw"], converters=())
    whole, part = (
        yearly(machine(motors=(motor(**on, duty=one),)), proposals=(plan,))["saw/energy"].low
        for one in ("S1", duty)
    )
    assert part == pytest.approx(share * whole)


def test_a_duty_type_lowers_no_current_of_the_supply_and_says_so() -> None:
    """The supply and its device carry what the motor draws while it runs, however seldom."""
    plans = [
        aw.plan(case_of(machine(motors=(motor(duty=one),)), energy_price="0.2 USD/kWh").shop,
                methods=["rotary"], region="us")
        for one in ("S1", "S3 40 %")
    ]  # fmt: skip
    drawn = []
    for plan in plans:
        assert plan.best is not None
        assert not [one for one in plan.checks or () if one.severity != "info"]
        (state,) = (one for one in plan.best.states if one.converter == "")
        supply = next(one for one in plan.best.circuits if one.id == "supply.rotary")
        drawn.append((state.input_current_a, supply.design_current_a))
    assert drawn[0] == drawn[1]
    said = [
        [one for one in plan.assumptions if one.code == "motor.duty-currents"] for plan in plans
    ]
    assert [len(one) for one in said] == [0, 1]
    assert {part.name: part.value for part in said[1][0].parameters} == {
        "duty": "S3 40 %", "share": 0.4
    }  # fmt: skip


def test_heaters_and_single_phase_motors_count_with_what_they_draw() -> None:
    """6 kW, 200 h, 50 %: 600 kWh. 230 V x 10 A x 100 h x 50 %: 115 kWh."""
    oven = heater("oven", power="6 kW")
    drill = machine(
        "drill", motors=(Motor(current="10 A", voltage="230 V", phases=1, frequency="60 Hz"),),
        hours_per_year="100 h", average_load=0.5,
    )  # fmt: skip
    plans = (proposal("relink", ["oven"], converters=()),
             proposal("direct", ["drill"], converters=()))  # fmt: skip
    found = yearly(oven, drill, proposals=plans)
    usual = case_of(oven).machines[0]
    kwh = 6.0 * usual.hours.value * usual.average_load.value
    assert found["oven/energy"].low == pytest.approx(0.2 * kwh)
    assert found["drill/energy"].low == pytest.approx(0.2 * 115)


def test_of_motors_one_at_a_time_the_largest_counts() -> None:
    both = (motor(efficiency=0.8), motor(power="1 hp", current="3.5/1.7 A", efficiency=0.8))
    fields: dict[str, Any] = {"motors": both, "hours_per_year": "1000 h", "average_load": 1.0}
    one = machine(**fields, motors_one_at_a_time=True)
    plan = (proposal("rotary", ["saw"], converters=()),)
    assert yearly(one, proposals=plan)["saw/energy"].low == pytest.approx(
        0.2 * 5 * HORSEPOWER_W / 0.8
    )
    assert yearly(machine(**fields), proposals=plan)["saw/energy"].low == pytest.approx(
        0.2 * 6 * HORSEPOWER_W / 0.8
    )


def test_a_converter_idles_as_long_as_its_longest_machine() -> None:
    """400 W for the 900 h of the longer one: 360 kWh, 72 EUR."""
    machines = (machine("a", hours_per_year="300 h"), machine("b", hours_per_year="900 h"))
    found = yearly(*machines, proposals=(proposal("rotary", "ab"),))
    assert found["rotary/idle"].low == pytest.approx(72.0)
    assert found["rotary/idle"].kind == "idle"
    alone = yearly(*machines, proposals=(proposal("drive", "a"),))
    assert alone["drive.a/idle"].low == pytest.approx(0.2 * 0.4 * 300)


def test_the_shops_currency_goes_before_the_tariffs() -> None:
    one = machine(hours_per_year="500 h")
    plan = (proposal("drive", ["saw"]),)
    assert yearly(one, proposals=plan)["saw/energy"].currency == "EUR"


def test_without_a_price_of_energy_there_is_no_yearly_cost() -> None:
    assert yearly(machine(), proposals=(proposal("drive", ["saw"]),), energy_price=None) == {}


def test_a_transformer_is_paid_as_well() -> None:
    """10 kVA at 5 a kVA and 7 to install, half to twice: 1.25 x (10 x 5 + 7) more."""
    prices = stated(
        MINE | {"transformer": {"fixed": 0, "per_kw": 5, "labour": 7, "low": 0.5, "high": 2.0}},
        None,
    )
    box = Transformer(id="t", kind="isolating", phases=3, rating_va=10e3, primary_v=240.0,
                      secondary_v=480.0, machines=("a",))  # fmt: skip
    plain = proposal("rotary", "a", converters=(converter("rotary", "a"),))
    with_box = proposal("rotary", "a", converters=(converter("rotary", "a"),), transformers=(box,))
    more = rough_total(with_box, prices, 10.0) - rough_total(plain, prices, 10.0)
    assert more == pytest.approx(1.25 * (10 * 5 + 7))


@pytest.mark.parametrize(("hours", "kwh"), [(None, 400.0), ("3000 h", 1200.0), ("500 h", 400.0)])
def test_what_serves_several_idles_while_the_shop_is_open(hours: str | None, kwh: float) -> None:
    """400 W for the 1000 h of its longest machine, or as long as the shop is open."""
    pair = [machine(name, hours_per_year="1000 h") for name in "ab"]
    both = (proposal("rotary", "ab"),)
    found = yearly(*pair, proposals=both, hours_open=hours)
    assert found["rotary/idle"].low == pytest.approx(0.2 * kwh)
    alone = yearly(pair[0], proposals=(proposal("drive", ["a"]),), hours_open=hours)
    assert alone["drive.a/idle"].low == pytest.approx(0.2 * 400.0)


def test_a_demand_charge_counts_the_largest_power_twelve_times() -> None:
    """9 EUR/kW and month on 5 kW: 540 EUR a year."""
    case = case_of(machine(), tariff=Tariff(demand_charge="9 EUR/kW"))
    totals = [state("supply", name, input_power_w=watts)
              for name, watts in (("one", 3000.0), ("two", 5000.0))]  # fmt: skip
    (found,), steps = of_demand(case, totals, "options/x")
    assert (found.kind, found.currency) == ("standing", "EUR")
    assert [found.low, found.high] == pytest.approx([540.0, 540.0])
    assert [one.path for one in steps] == [
        f"options/x/costs/{found.id}/{edge}" for edge in ("low", "high")
    ]
    assert of_demand(case_of(machine()), totals, "options/x") == ((), ())
