"""What makes a no a yes."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, supply

from ampwright.case import Case
from ampwright.finding import Finding
from ampwright.method import Cost
from ampwright.option import Assignment, Option
from ampwright.planning.remedies import asked, quoted, the_rest, upgraded
from ampwright.records.supply import Upgrade

GOOD, BAD = "feasible", "not-feasible"


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(machine("a"), machine("b"), machine("c", required=False))


def option(name: str, verdicts: str, **changes: Any) -> Option:
    """Return an option whose machines a, b, c can run (+) or cannot (-)."""
    made = tuple(
        Assignment(id=one, method="m", verdict=GOOD if sign == "+" else BAD)
        for one, sign in zip("abc", verdicts, strict=True)
    )
    feasible = verdicts[:2] == "++"
    usual: dict[str, Any] = {"machines": made, "feasible": feasible,
                             "verdict": GOOD if feasible else BAD}  # fmt: skip
    return Option(id=name, **(usual | changes))


APART = Finding(code="plan.keep-apart", severity="caution", where=("a", "b"))


def price(amount: float) -> tuple[Cost, ...]:
    return (Cost(id="m/purchase", kind="purchase", low=amount, high=amount, currency="USD"),)


def test_the_way_that_runs_most_machines_is_named(case: Case) -> None:
    few = option("few", "--+")
    dear, cheap = (
        option("dear", "+--", costs=price(900.0)),
        option("cheap", "+-+", costs=price(1.0)),
    )
    (said,) = the_rest(case, [few, dear, cheap])
    assert (said.code, said.where) == ("plan.runs-the-rest", ("cheap", "b"))
    values = {one.name: one.value for one in said.parameters}
    assert values == {"option": "cheap", "runs": "a", "left": "b"}


def test_a_way_that_the_supply_does_not_bear_runs_nothing(case: Case) -> None:
    block = Finding(code="supply.undersized", severity="blocks", where=("service",))
    assert the_rest(case, [option("x", "+--", findings=(block,))]) == ()


def test_where_all_can_run_nothing_is_left(case: Case) -> None:
    assert the_rest(case, [option("x", "++-"), option("y", "+--")]) == ()
    assert the_rest(case, [option("x", "--+")]) == ()
    assert the_rest(case, []) == ()


QUOTE: dict[str, Any] = {
    "what": "service", "rating": "200 A", "contract": "30 kVA", "price": "2400 USD", "months": 2,
    "yearly_charge": "120 USD",
}  # fmt: skip


def larger(**changes: Any) -> Case:
    return case_of(machine("a"), machine("b"), supply=supply(upgrade=Upgrade(**(QUOTE | changes))))


def test_the_larger_supply_has_what_was_quoted_and_else_what_is_there() -> None:
    before = larger(contract=None)
    after = upgraded(before)
    assert after is not None
    assert after.shop.supply.rating_a == 200.0
    assert after.shop.supply.contract_va is None
    assert after.shop.supply.voltage_v == before.shop.supply.voltage_v
    assert upgraded(case_of(machine("a"))) is None


@pytest.mark.parametrize(
    ("before", "after", "code", "severity"),
    [
        (option("x", "+--"), option("y", "++-"), "supply.upgrade-option", "info"),
        (option("x", "++-", findings=(APART,)), option("y", "++-"), "supply.upgrade-option",
         "info"),
        (option("x", "+--"), option("y", "+--"), "supply.upgrade-too-small", "caution"),
        (option("x", "++-"), None, "supply.upgrade-needless", "info"),
    ],
)  # fmt: skip
def test_what_a_quote_is_worth(
    before: Option, after: Option | None, code: str, severity: str
) -> None:
    case = larger()
    quote = case.shop.supply.upgrade
    assert quote is not None
    found = quoted(quote, [before], [after] if after else [])
    assert (found.code, found.severity) == (code, severity)
    values = {one.name: (one.value, one.unit) for one in found.parameters}
    assert values == {
        "what": ("service", ""), "rating": (200.0, "A"), "price": (2400.0, "USD"),
        "months": (2.0, ""), "charge": (120.0, "USD"),
    }  # fmt: skip
    steps = {one.path: one.value for one in case.steps}
    for one in found.parameters:
        assert not one.step or steps[one.step] == one.value


BLOCKED = Finding(code="supply.undersized", severity="blocks", where=("service",))


@pytest.mark.parametrize(
    ("options", "quote", "expected"),
    [
        ([option("x", "+--", findings=(BLOCKED,))], None, ["method"]),
        ([option("x", "++-", findings=(APART,))], None, ["figures"]),
        ([option("x", "++-")], None, []),
        # that the caller stated so is no sign of a supply too small
        ([option("x", "++-", apart=(("a", "b"),))], None, []),
        ([option("x", "+--")], None, []),
        ([option("x", "+--", findings=(BLOCKED,))], Upgrade(**QUOTE), []),
        ([], None, []),
    ],
)
def test_a_quote_is_asked_for_where_the_supply_is_in_the_way(
    options: list[Option], quote: Any, expected: list[str]
) -> None:
    case = case_of(machine("a"), supply=supply(upgrade=quote))
    assert [one.changes for one in asked(case, options)] == expected
