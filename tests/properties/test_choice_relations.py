"""Relations between two plans that differ in what may be chosen, or in what it costs."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.properties.drawn_shops import (
    FEW,
    METHODS,
    PLAIN,
    bare,
    of_all,
    planned,
    pure,
    shops,
)

from ampwright.planning.costs import built_in
from ampwright.planning.ranking import total_cost, weighed_cost

CONVERTING = tuple(one for one in METHODS if one not in PLAIN)
CLOSE = 1e-9


@FEW
@given(shops(most=2), st.sets(st.sampled_from((0.005, 0.01, 0.02, 0.05)), min_size=2))
def test_mr_37_a_stricter_limit_of_unbalance_never_adds_a_way(
    shop: dict[str, Any], limits: set[float]
) -> None:
    accepted = [
        {
            method
            for method in CONVERTING
            if planned(of_all(shop, unbalance_limit=limit), methods=[method, *PLAIN]).best
        }
        for limit in sorted(limits)
    ]
    for stricter, looser in pairwise(accepted):
        assert stricter <= looser


@FEW
@given(shops(), st.permutations(CONVERTING), st.integers(1, len(CONVERTING) - 1))
def test_mr_38_one_more_method_never_makes_the_best_dearer(
    shop: dict[str, Any], order: list[str], count: int
) -> None:
    """As the ranking weighs cost; a way that serves a machine more may cost more."""
    few = planned(shop, methods=[*order[:count], *PLAIN]).best
    more = planned(shop, methods=[*order[: count + 1], *PLAIN]).best
    if few is None:
        return
    assert more is not None
    unserved = [list(one.assignment.values()).count(None) for one in (more, few)]
    assert unserved[0] <= unserved[1]
    if unserved[0] == unserved[1]:
        assert weighed_cost(more) <= weighed_cost(few) * (1 + CLOSE)


@FEW
@given(shops(), st.data())
def test_mr_39_without_what_was_not_chosen_the_choice_is_the_same(
    shop: dict[str, Any], data: st.DataObject
) -> None:
    whole = planned(shop)
    assert whole.best is not None
    unused = [one for one in METHODS if one not in whole.best.assignment.values()]
    gone = data.draw(st.sampled_from(unused))
    rest = planned(shop, methods=[one for one in METHODS if one != gone])
    assert rest.best is not None
    assert bare(rest.best) == bare(whole.best)


def times(factor: float) -> dict[str, dict[str, float | str]]:
    """Return the built-in prices, each *factor* times as high."""
    return {
        method: {name: factor * getattr(one, name) for name in ("fixed", "per_kw", "labour")}
        for method, one in built_in().by_method.items()
    }


@FEW
@given(shops(), st.sampled_from((0.5, 2.0, 4.0)))
def test_mr_40_prices_times_k_rank_the_same_and_cost_k_times(
    shop: dict[str, Any], factor: float
) -> None:
    """Powers of two, so that rounding is the same too."""
    own = {**shop, "energy_price": "0.2 USD/kWh"}
    other = {**shop, "energy_price": f"{0.2 * factor!r} USD/kWh"}
    one, two = planned(own, prices=times(1.0)), planned(other, prices=times(factor))
    assert [option.id for option in two.options] == [option.id for option in one.options]
    for a, b in zip(one.options, two.options, strict=True):
        low, high = total_cost(a)
        assert total_cost(b) == pytest.approx((factor * low, factor * high), rel=1e-12)


@FEW
@given(shops())
def test_mr_41_where_energy_is_free_the_cost_is_what_is_paid_once(shop: dict[str, Any]) -> None:
    """Then neither the ranking nor the cost depends on the years of use either."""
    free = {**shop, "energy_price": "0 USD/kWh"}
    plans = [planned({**free, "years_of_use": years}) for years in (1, 25)]
    for option in (option for plan in plans for option in plan.options):
        once = [one for one in option.costs if one.kind in ("purchase", "installation")]
        wanted = sum(one.low for one in once), sum(one.high for one in once)
        assert total_cost(option) in (wanted, (float("inf"), float("inf")))
        yearly = [one for one in option.costs if one not in once]
        assert all(one.low == one.high == 0.0 for one in yearly)
    few, many = ([option.id for option in plan.options] for plan in plans)
    assert few == many


@FEW
@given(shops(), st.sampled_from((1.0, 3.0, 40.0)))
def test_a_cost_is_what_is_paid_once_and_for_every_year(shop: dict[str, Any], years: float) -> None:
    own = {**shop, "energy_price": "0.2 USD/kWh", "years_of_use": years}
    for option in planned(own).options:
        once = [one for one in option.costs if one.kind in ("purchase", "installation")]
        yearly = [one for one in option.costs if one not in once]
        assert option.years == years
        if total_cost(option)[0] == float("inf"):
            continue
        for edge, found in zip(("low", "high"), total_cost(option), strict=True):
            paid = sum(getattr(one, edge) for one in once)
            wanted = paid + years * sum(getattr(one, edge) for one in yearly)
            assert found == pytest.approx(wanted, rel=1e-9)


def chosen(plan: Any) -> dict[str, Any]:  # noqa: ANN401 - a plan
    """Return every choice of a plan: equipment, sizes, devices, verdicts."""
    return {
        option.id: (
            option.verdicts,
            [(one.id, one.rating_w, one.rating_va) for one in option.converters],
            [
                (
                    one.id,
                    one.conductor and (one.conductor.size, one.conductor.count),
                    one.protective_device and one.protective_device.rating_a,
                    one.overload and one.overload.setting_a,
                )
                for one in option.circuits
            ],
        )
        for option in plan.options
    }


#: What a missing figure of a motor is stated as: by field, the step with the value in use.
DERIVED = {"efficiency": "efficiency", "power_factor": "power_factor", "current": "current"}


def restated(shop: Mapping[str, Any], field: str, steps: Mapping[str, Any]) -> dict[str, Any]:
    """Return *shop* with the value in use stated for every motor."""
    made = []
    for one in shop["machines"]:
        (motor,) = one["motors"]
        value = float(steps[f"machines/{one['id']}/motors/0/{DERIVED[field]}"].value)
        stated = f"{value!r} A" if field == "current" else value
        made.append({**one, "motors": [{**motor, field: stated}]})
    return {**shop, "machines": made}


@pytest.mark.parametrize("field", ["efficiency", "power_factor", "current"])
@FEW
@given(shops(most=2))
def test_mr_56_stating_what_would_be_taken_changes_no_choice(
    field: str, shop: dict[str, Any]
) -> None:
    """By methods that weigh no band: a stated value has none, so a start may be surer with it."""
    methods = ["drive", "electronic", "motor-swap"]
    without = planned(shop, methods=methods)
    steps = {one.path: one for one in without.steps}
    stated = planned(restated(shop, field, steps), methods=methods)
    assert chosen(stated) == chosen(without)
    said = {one.code for one in stated.assumptions if one.where == ("m0",)}
    assert len(said) <= len({one.code for one in without.assumptions if one.where == ("m0",)})


@FEW
@given(shops())
def test_mr_59_each_option_stands_alone(shop: dict[str, Any]) -> None:
    """A way with one method, planned with that method, `direct` and `relink` only."""
    seen = 0
    for method, option in pure(planned(shop)):
        alone = {one.id: one for one in planned(shop, methods=[method, *PLAIN]).options}
        assert option.id in alone
        assert bare(alone[option.id]) == bare(option)
        seen += 1
    assert seen
