"""Cheaper ways than converting, and what is not worth it."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor
from tests.unit.planning.stand_ins import converter

from ampwright.case import Case
from ampwright.finding import Finding
from ampwright.method import Cost
from ampwright.option import Assignment, Option
from ampwright.planning.alternatives import alternatives


def cost(name: str, low: float, high: float, currency: str = "USD") -> Cost:
    return Cost(id=f"{name}/purchase", kind="purchase", low=low, high=high, currency=currency)


def option(name: str, *costs: Cost, feasible: bool = True, **changes: Any) -> Option:
    usual: dict[str, Any] = {
        "machines": (Assignment(id="a", method=name, verdict="feasible"),),
        "feasible": feasible,
        "verdict": "feasible" if feasible else "not-feasible",
        "costs": costs,
    }
    return Option(id=name, **(usual | changes))


def said(case: Case, *options: Option) -> list[tuple[str, tuple[str, ...], object]]:
    found = alternatives(case, options)
    values = {one.path: one.value for one in found.steps} | {case.years.path: case.years.value}
    for part in (part for one in found.findings for part in one.parameters if part.step):
        assert part.step.startswith("shop/") or values[part.step] == part.value
    return [(one.code, one.where, word(one)) for one in found.findings]


def word(one: Finding) -> object:
    return next((part.value for part in one.parameters if part.name == "alternative"), None)


THREE_PHASE = ("plan.cheaper-alternative", ("supply",), "three-phase")


@pytest.mark.parametrize(
    ("utility", "drive", "currency", "expected"),
    [
        (900.0, 1000.0, "USD", True),
        (1100.0, 1000.0, "USD", False),
        (900.0, 1000.0, "EUR", False),  # two currencies are not compared
        (900.0, None, "USD", True),  # nothing else can be done
    ],
)
def test_three_phase_that_costs_less_is_pointed_out(
    utility: float, drive: float | None, currency: str, *, expected: bool
) -> None:
    options = [option("utility", cost("utility", utility, utility, currency), feasible=False)]
    other = drive if drive is not None else 1.0
    options.insert(0, option("drive", cost("drive.a", other, other), feasible=drive is not None))
    assert (THREE_PHASE in said(case_of(machine("a")), *options)) == expected


@pytest.mark.parametrize(("years", "expected"), [(1.0, True), (1.5, False)])
def test_what_three_phase_costs_a_year_counts_for_the_years_of_use(
    years: float, *, expected: bool
) -> None:
    """1000 once, and 80 a year: 80 more in a year, 120 in one and a half, against 1100."""
    charge = Cost(id="utility/standing", kind="standing", low=80, high=80, currency="USD")
    line = option("utility", cost("utility", 1000, 1000), charge, years=years)
    drive = option("drive", cost("drive.a", 1100, 1100), years=years)
    assert (THREE_PHASE in said(case_of(machine("a")), drive, line)) == expected


def hp(name: str, power: str, **fields: Any) -> Any:
    return machine(name, motors=(motor(power=power, current=None),), **fields)


@pytest.mark.parametrize(
    ("largest", "sold", "expected"),
    [("7.5 hp", True, True), ("7 hp", True, False), ("7.5 hp", None, False)],
)
def test_a_machine_that_alone_sets_the_size_may_be_exchanged(
    largest: str, *, sold: bool | None, expected: bool
) -> None:
    """7.5 hp are one and a half times 5 hp; 7 hp are not."""
    case = case_of(hp("big", largest, single_phase_unit=sold), hp("small", "5 hp"))
    wanted = ("plan.cheaper-alternative", ("big",), "single-phase-machine")
    assert (wanted in said(case)) == expected


@pytest.mark.parametrize(("value", "worth"), [("1500 USD", True), ("1400 USD", False)])
def test_a_conversion_that_costs_more_than_the_machine_is_worth(value: str, *, worth: bool) -> None:
    """The middle of 1000 and 1900 is 1450."""
    case = case_of(machine("a", value=value))
    found = said(case, option("drive", cost("drive.a", 1000, 1900)))
    assert found == ([] if worth else [("plan.not-worth-it", ("a",), None)])


def test_a_shared_piece_counts_by_its_part() -> None:
    """Two like machines on a converter of 2900: 1450 each."""
    pair = (Assignment(id="a", method="rotary", verdict="feasible"),
            Assignment(id="b", method="rotary", verdict="feasible"))  # fmt: skip
    shared = option("rotary", cost("rotary", 2900, 2900), machines=pair,
                    converters=(converter("rotary", "ab"),))  # fmt: skip
    for value, worth in (("1451 USD", True), ("1449 USD", False)):
        found = said(case_of(machine("a", value=value), machine("b")), shared)
        assert found == ([] if worth else [("plan.not-worth-it", ("a",), None)])


def test_a_value_in_another_currency_is_not_compared() -> None:
    case = case_of(machine("a", value="1 EUR"))
    assert said(case, option("drive", cost("drive.a", 1000, 1900))) == []


@pytest.mark.parametrize(
    ("hours", "paid", "expected"),
    [
        # five horsepower, ten years: hire 10 x 2 x 30 = 600, less than 450 x 3.73 + 80 = 1758
        ("2 h", 601.0, "hire"),
        ("2 h", 599.0, None),
        # 10 x 40 x 4 + 1678 = 3278 for an engine generator, 12000 for hire
        ("40 h", 3300.0, "engine-generator"),
        ("40 h", 3200.0, None),
        ("60 h", 99000.0, None),
        (None, 99000.0, None),
    ],
)
def test_a_machine_that_seldom_runs_need_not_be_converted(
    hours: str | None, paid: float, expected: str | None
) -> None:
    case = case_of(machine("a", hours_per_year=hours))
    found = said(case, option("drive", cost("drive.a", paid, paid)))
    named = [one[2] for one in found if one[0] == "plan.cheaper-alternative"]
    assert named == ([expected] if expected else [])


@pytest.mark.parametrize(
    ("hours", "years", "paid", "hour"),
    [
        # an hour hired costs 30: ten years of 2 h are 20 h, so that 601 paid once are 30.05 an hour
        ("2 h", None, 601.0, 30.05),
        ("2 h", None, 599.0, None),
        ("2 h", 5, 301.0, 30.1),
        ("200 h", None, 59000.0, None),
        ("200 h", None, 61000.0, 30.5),
        ("0 h", None, 61000.0, None),
        (None, None, 99000.0, None),
    ],
)
def test_a_conversion_that_costs_more_an_hour_than_a_hired_machine(
    hours: str | None, years: int | None, paid: float, hour: float | None
) -> None:
    case = case_of(machine("a", hours_per_year=hours), years_of_use=years)
    found = alternatives(case, [option("drive", cost("drive.a", paid, paid))]).findings
    dear = [one for one in found if one.code == "plan.not-worth-it"]
    values = [{part.name: part.value for part in one.parameters} for one in dear]
    assert values == (
        [{"cost": paid, "hour": pytest.approx(hour), "hire": 30.0}] if hour is not None else []
    )


def test_without_a_way_there_is_nothing_to_compare() -> None:
    assert said(case_of(machine("a", value="1 USD", hours_per_year="1 h"))) == []
