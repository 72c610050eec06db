"""Shops that say more, or less, than the examples: every number keeps its step, nothing breaks."""

from collections import Counter
from typing import Any

import pytest
from tests.properties.walking import numbers, steps

import ampwright as aw
from ampwright.step import evaluate

SUPPLY: dict[str, Any] = {
    "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "200 A",
    "existing_load": "20 A",
}  # fmt: skip
FIVE_HP: dict[str, Any] = {
    "power": "5 hp", "voltage": "230/460 V", "current": "13.2/6.6 A", "frequency": "60 Hz",
    "speed": "1740 rpm",
}  # fmt: skip
THREE_HP: dict[str, Any] = {"power": "3 hp", "voltage": "230 V", "frequency": "60 Hz"}
MILL: dict[str, Any] = {"id": "mill", "motors": [THREE_HP], "length": "8 m"}
DRILL = {"id": "drill", "length": "5 m", "motors": [
    {"power": "1 hp", "voltage": "230 V", "current": "8 A", "phases": 1, "frequency": "60 Hz"},
]}  # fmt: skip


def saw(**changes: Any) -> dict[str, Any]:  # noqa: ANN401 - any field of a machine
    """Return a machine of 5 hp; ``None`` leaves a field out."""
    whole = {"id": "saw", "motors": [FIVE_HP], "length": "12 m"} | changes
    return {key: value for key, value in whole.items() if value is not None}


def one(**changes: Any) -> dict[str, Any]:  # noqa: ANN401 - any field of a motor
    """Return that machine with another plate."""
    return saw(motors=[changes])


def heater(**changes: Any) -> dict[str, Any]:  # noqa: ANN401 - any field of a load
    load = {"kind": "resistive", "power": "6 kW", "voltage": "240 V"} | changes
    return {"id": "heater", "loads": [load], "length": "5 m"}


SHOPS: dict[str, dict[str, Any]] = {
    "plain": {},
    "two of a kind": {"machines": [saw(
        quantity=2, load_inertia="0.2 kg.m2", stopping_time_limit="10 s", unbalance_limit=0.2,
        hours_per_year="500 h", average_load=0.5,
    )]},
    "a route": {"machines": [saw(length=None, route={
        "length": "7 m", "installation": "conduit", "ambient": "40 degC", "grouping": 4,
    }), MILL]},
    "metric horsepower": {"machines": [one(power="5 PS", voltage="230 V", frequency="60 Hz")]},
    "metric horsepower on a plate": {"machines": [
        saw(motors=None, plate="5 PS 3PH 60CY 1740 RPM 230/460 V 13.2/6.6 A"),
    ]},
    "no length": {"machines": [saw(length=None), MILL]},
    "plug and cord": {"machines": [
        saw(traits=["plug-connected"], plug={"poles": 4, "current": "30 A"}), MILL,
    ]},
    "heat beside a motor": {"machines": [
        saw(loads=[{"kind": "resistive", "power": "3 kW", "voltage": "240 V"}]),
    ]},
    "a single-phase machine": {"machines": [saw(), DRILL]},
    "a welder": {"machines": [saw(), {"id": "welder", "length": "5 m", "loads": [
        {"kind": "welder", "largest_current": "32 A", "phases": 1, "voltage": "230 V",
         "duty_cycle": 0.4},
    ]}]},
    "several motors": {"machines": [saw(motors=[FIVE_HP, THREE_HP]), MILL]},
    "a hard start": {"machines": [saw(start="hard"), MILL]},
    "the higher voltage only": {"machines": [
        one(power="5 hp", voltage="460 V", current="6.6 A", frequency="60 Hz"), MILL,
    ]},
    "a contradicted current": {"machines": [
        one(power="5 hp", voltage="230 V", current="152 A", frequency="60 Hz"), MILL,
    ]},
    "no power": {"machines": [one(current="13 A", voltage="230 V", frequency="60 Hz"), MILL]},
    "no voltage": {"machines": [one(power="5 hp", frequency="60 Hz"), MILL]},
    "a generator": {"supply": SUPPLY | {"source": "generator", "surge": "20 kVA"}},
    "a measured drop": {"supply": SUPPLY | {
        "measured_drop": {"voltage": "6 V", "current": "40 A"}, "lowest_voltage": "228 V",
        "highest_voltage": "250 V",
    }},
    "one after another": {"together": []},
    "a converter that is there": {"equipment": [
        {"kind": "converter", "id": "old", "method": "rotary", "rating": "10 hp",
         "idler_power": "10 hp", "input_current": "52 A"},
    ]},
    "energy in euros": {"energy_price": "0.2 EUR/kWh", "currency": "EUR"},
    "a place and a site": {"site": {
        "converter_place": {"length": "20 m"}, "future_machines": 2, "detached_building": True,
        "altitude": "1500 m", "conductor_material": "aluminum",
    }},
    "two lines of a wye": {"supply": SUPPLY | {"arrangement": "line-line", "voltage": "208 V"}},
    "heat that cannot be relinked": {"machines": [saw(), heater(relinkable=False)]},
    "an optional machine": {"machines": [saw(required=False, needs_neutral=True), MILL]},
    "a neutral": {"machines": [saw(needs_neutral=True), MILL]},
    "a machine that needs another": {"machines": [saw(needs=["mill"]), MILL]},
    "a machine fed through another": {"machines": [saw(fed_from="mill"), MILL]},
    "far too large": {"machines": [one(power="60 hp", voltage="230 V", frequency="60 Hz"), MILL]},
    "very small": {"machines": [one(power="0.1 hp", voltage="230 V", frequency="60 Hz")]},
    "a plate in full": {"machines": [saw(motors=[FIVE_HP | {
        "service_factor": 1.15, "code_letter": "K", "design": "D", "duty": "S3 40 %",
        "temperature_rise": "80 K", "locked_rotor_torque_ratio": 2.5, "inertia": "0.02 kg.m2",
    }]), MILL]},
}  # fmt: skip


@pytest.fixture(scope="module", params=SHOPS, ids=str)
def plan(request: pytest.FixtureRequest) -> aw.Plan:
    usual = {"region": "us", "supply": SUPPLY, "machines": [saw(), MILL]}
    return aw.plan(aw.Shop.from_dict(usual | SHOPS[request.param]))


def test_every_number_has_its_step_and_every_step_its_inputs(plan: aw.Plan) -> None:
    found = list(steps(plan))
    by_path = {each.path: each for each in found}
    twice = [path for path, count in Counter(each.path for each in found).items() if count > 1]
    assert not twice
    for path, value in numbers(plan, ""):
        assert path in by_path
        assert by_path[path].value == value, path
    for each in found:
        assert {path for _, path in each.inputs} <= by_path.keys(), each.path
        if each.low is not None and each.high is not None:
            assert each.low <= float(each.value) <= each.high, each.path
        if each.kind == "formula":
            values = {name: float(by_path[path].value) for name, path in each.inputs}
            assert evaluate(each.formula, values) == each.value, each.path


def test_no_method_failed_and_the_check_objects_to_nothing(plan: aw.Plan) -> None:
    said = [
        *(each for option in plan.options for each in option.findings), *plan.findings,
        *(each for option in plan.options for no in option.refusals for each in no.reasons),
    ]  # fmt: skip
    assert not [each for each in said if each.code == "plugin.failed"]
    assert not [each for each in plan.checks or () if each.severity == "blocks"]


def test_it_is_stored_and_reported_like_any_other(plan: aw.Plan) -> None:
    text = plan.to_json()
    assert aw.Plan.from_json(text) == plan
    assert plan.shop.name in plan.report("markdown")
    assert plan.report("html").casefold().startswith("<!doctype html>")
