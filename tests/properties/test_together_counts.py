"""What runs at once counts in every current, drop, loss and start; how long, in the energy."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.properties.drawn_shops import FEW, of_all, planned, shops

import ampwright as aw

CLOSE = 1e-9
METHODS = ["rotary", "drive", "electronic", "motor-swap"]


def apart(shop: dict[str, Any]) -> dict[str, Any]:
    return {**shop, "together": [[one["id"]] for one in shop["machines"]]}


def figures(plan: aw.Plan, method: str) -> dict[str, float]:
    """Return the figures of the service, and of the supply in its heaviest state."""
    option = next(one for one in plan.options if one.id == method)
    service = next(one for one in option.circuits if one.role == "service")
    totals = [one for one in option.states if one.converter == ""]
    return {
        "current": max(one.input_current_a for one in totals),
        "power": max(one.input_power_w for one in totals),
        "losses": max(one.losses_w for one in totals),
        "design": service.design_current_a,
        "drop": service.voltage_drop_fraction or 0.0,
    }


@pytest.mark.parametrize("method", ["drive", "motor-swap"])
@FEW
@given(shops(most=3).filter(lambda one: len(one["machines"]) > 1))
def test_less_at_once_never_raises_a_figure(method: str, shop: dict[str, Any]) -> None:
    """Of equipment that each machine has for itself, so that it stays the same."""
    shop.pop("together", None)
    feeder = {"size": "4/0 AWG", "material": "copper", "length": "20 m"}
    shop["supply"] = {**shop["supply"], "rating": "400 A", "feeder": feeder}
    everything = figures(planned(shop, methods=[method]), method)
    in_turn = figures(planned(apart(shop), methods=[method]), method)
    for name, value in everything.items():
        assert in_turn[name] <= value * (1 + CLOSE), name
    assert in_turn["current"] < everything["current"]


@pytest.mark.parametrize("method", METHODS)
@FEW
@given(shops(most=2), st.sampled_from((1.5, 3.0)))
def test_energy_goes_with_the_hours_and_the_load(
    method: str, shop: dict[str, Any], times: float
) -> None:
    """So many times the hours, so many times the energy; half the load, half of it."""
    base = {**shop, "energy_price": "0.2 USD/kWh"}

    def energy(**changes: Any) -> float:  # noqa: ANN401 - any field
        (option, *_) = planned(of_all(base, **changes), methods=[method]).options
        return sum(one.low for one in option.costs if one.kind == "energy")

    usual = energy(hours_per_year="400 h", average_load=0.6)
    more = energy(hours_per_year=f"{400 * times} h", average_load=0.6)
    assert more == pytest.approx(times * usual)
    assert energy(hours_per_year="400 h", average_load=0.3) == pytest.approx(usual / 2)
