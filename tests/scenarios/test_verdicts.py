"""Each answer that an experienced electrician gives, reached by one small shop."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import attrs
import pytest

import ampwright as aw
from ampwright.finding import Finding

SUPPLY: dict[str, Any] = {
    "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "100 A",
    "existing_load": "20 A",
}  # fmt: skip


def machine(name: str, power: str, **fields: Any) -> dict[str, Any]:
    plate = {"power": power, "voltage": "230/460 V", "frequency": "60 Hz", "speed": "1740 rpm"}
    return {"id": name, "length": "10 m", "start": "light", "motors": [plate], **fields}


def planned(
    *machines: dict[str, Any],
    supply: dict[str, Any] | None = None,
    methods: list[str] | None = None,
    **more: Any,
) -> aw.Plan:
    stated = {"region": "us", "supply": SUPPLY | (supply or {}), "machines": list(machines), **more}
    return aw.plan(aw.Shop.from_dict(stated), methods=methods)


def said(plan: aw.Plan, code: str) -> list[Finding]:
    option = plan.best or plan.options[0]
    return [one for one in (*plan.findings, *option.findings) if one.code == code]


def value(finding: Finding, name: str) -> Any:
    return next(part.value for part in finding.parameters if part.name == name)


def test_leave_the_impossible_machine_out_and_run_the_rest() -> None:
    """40 hp on 100 A at 240 V: 29.8 kW are 124 A without any loss."""
    saw, press = machine("saw", "3 hp"), machine("press", "40 hp")
    plan = planned(saw, press)
    assert (plan.verdict, plan.best) == ("not-feasible", None)
    (rest,) = said(plan, "plan.runs-the-rest")
    assert (value(rest, "runs"), value(rest, "left")) == ("saw", "press")
    free = planned(saw, {**press, "required": False})
    assert free.best is not None
    assert free.best.verdicts["saw"] != "not-feasible"
    assert free.best.verdicts["press"] == "not-feasible"
    reasons = next(one.reasons for one in free.best.machines if one.id == "press")
    assert "supply.undersized" in {one.code for one in reasons}


def test_not_worth_it_for_what_the_machine_is_worth() -> None:
    cheap = planned(machine("shear", "5 hp", value="150 USD", hours_per_year="20 h"))
    (finding,) = said(cheap, "plan.not-worth-it")
    assert finding.where == ("shear",)
    assert value(finding, "cost") > value(finding, "value") == 150.0
    dear = planned(machine("shear", "5 hp", value="9000 USD", hours_per_year="20 h"))
    assert not said(dear, "plan.not-worth-it")


def test_not_yet_because_a_question_is_open() -> None:
    """The plate states a current and no power, which decides the size; with it nothing is open."""
    whole = machine("saw", "3 hp")
    (plate,) = whole["motors"]
    short = {**plate, "current": "9/4.5 A"}
    del short["power"]
    plan = planned({**whole, "motors": [short]})
    (finding,) = said(plan, "plan.do-not-buy-yet")
    decisive = {one.code for one in plan.questions if one.changes in ("method", "size")}
    assert decisive
    assert set(value(finding, "questions").split(", ")) == decisive
    assert not said(planned(whole), "plan.do-not-buy-yet")


def test_buy_nothing_what_is_there_suffices() -> None:
    there = {"kind": "converter", "id": "old", "method": "rotary", "rating": "15 hp",
             "idler_power": "15 hp", "input_current": "70 A"}  # fmt: skip
    shop = (machine("saw", "3 hp"), machine("mill", "2 hp"))
    plan = planned(*shop, equipment=[there])
    assert plan.best is not None
    assert set(plan.best.assignment.values()) == {"rotary"}
    bought = [one for one in plan.best.costs if one.kind == "purchase"]
    assert bought
    assert all(one.high == 0.0 for one in bought)
    assert said(plan, "plan.reuse")
    small = planned(*shop, equipment=[{**there, "rating": "1 hp", "idler_power": "1 hp"}])
    assert not said(small, "plan.reuse")


@pytest.mark.parametrize("quoted", [True, False])
def test_a_larger_single_phase_feeder_first(*, quoted: bool) -> None:
    """25 hp are 18.6 kW, 78 A without loss: too much beside 20 A on 60 A, not on 200 A."""
    upgrade = {"what": "service", "rating": "200 A", "price": "2400 USD", "months": 2}
    supply = {"rating": "60 A"} | ({"upgrade": upgrade} if quoted else {})
    plan = planned(machine("planer", "25 hp"), supply=supply)
    assert (plan.verdict, plan.best) == ("not-feasible", None)
    asked = {one.code for one in plan.questions}
    if quoted:
        (finding,) = said(plan, "supply.upgrade-option")
        assert value(finding, "rating") == 200.0
        assert "supply.upgrade-quote" not in asked
    else:
        assert "supply.upgrade-quote" in asked
    ready = planned(machine("planer", "25 hp"), supply={"rating": "200 A"})
    assert ready.best is not None


def test_one_at_a_time_with_the_sets_that_may_run() -> None:
    """Two of 7.5 hp ask for 64 A together, too much beside 20 A on 70 A; each alone runs."""
    both = machine("saw", "7.5 hp"), machine("planer", "7.5 hp")
    plan = planned(*both, supply={"rating": "70 A"})
    assert plan.best is not None
    assert plan.verdict == "feasible-with-conditions"
    assert plan.best.apart == (("saw", "planer"),)
    (finding,) = said(plan, "plan.keep-apart")
    assert set(value(finding, "turns").split("; ")) == {"saw", "planer"}
    for state in plan.best.states:
        assert not {"saw", "planer"} <= set(state.running)


def test_less_at_once_is_proposed_as_sets_that_fit() -> None:
    """Of three that ask for 32 A each two fit beside 20 A on 105 A, with the reserve of a third."""
    three = [machine(name, "7.5 hp") for name in ("a", "b", "c")]
    plan = planned(*three, supply={"rating": "105 A"})
    assert plan.best is not None
    sets = [state.running for state in plan.best.states if state.converter == "" and state.running]
    assert sorted(map(len, sets)) == [2, 2]
    assert {name for one in sets for name in one} == {"a", "b", "c"}
    assert plan.best.apart
    assert not any(set(pair) <= set(one) for pair in plan.best.apart for one in sets)
    larger = planned(*three, supply={"rating": "200 A"})
    assert larger.best is not None
    assert larger.best.apart == ()


@pytest.mark.parametrize(
    ("power", "hours", "way"),
    [("15 hp", "2 h", "hire"), ("1 hp", "10 h", "engine-generator"), ("15 hp", "1500 h", None)],
)
def test_a_few_hours_a_year_are_cheaper_done_otherwise(
    power: str, hours: str, way: str | None
) -> None:
    """Ten years at 30 an hour of hire, or 4 an hour and 450 a kilowatt once; both stand as data.

    The converter is one of its own, as for a machine whose switches forbid a drive.
    """
    plan = planned(machine("press", power, hours_per_year=hours), supply={"rating": "200 A"},
                   methods=["rotary"])  # fmt: skip
    found = [value(one, "alternative") for one in said(plan, "plan.cheaper-alternative")]
    assert found == ([way] if way else [])


def test_work_sent_out_is_named_where_hire_costs_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """The prices are data; with hire at 99 an hour the work is sent out at 70."""
    from ampwright.planning import alternatives  # noqa: PLC0415 - patched here

    table = alternatives.PRICES
    rows = tuple({**row, "per_hour": "99"} if row["id"] == "hire" else row for row in table.rows)
    monkeypatch.setattr(alternatives, "PRICES", attrs.evolve(table, rows=rows))
    plan = planned(machine("press", "10 hp", hours_per_year="1 h"))
    found = [value(one, "alternative") for one in said(plan, "plan.cheaper-alternative")]
    assert found == ["sent-out"]


def test_an_honest_no_says_what_would_make_it_a_yes() -> None:
    """The main device at which it would do is named, and it would do there."""
    plan = planned(machine("planer", "25 hp"), supply={"rating": "60 A"})
    (finding,) = said(plan, "plan.choice-hangs-on")
    assert value(finding, "input") == "supply.rating"
    needed = value(finding, "then")
    assert needed > 60.0
    enough = planned(machine("planer", "25 hp"), supply={"rating": f"{needed * 1.3:.0f} A"})
    assert enough.best is not None
