"""Why each way stands where it stands."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.stand_ins import converter

from ampwright.finding import Finding
from ampwright.method import Cost
from ampwright.option import Assignment, Option
from ampwright.planning.reasons import explained, near_tie

GOOD, CARE, BAD = "feasible", "feasible-with-conditions", "not-feasible"


def said(code: str, *where: str, severity: str = "caution") -> Finding:
    return Finding(code=code, severity=severity, where=where)


def machines(*methods: str | None, verdict: str = GOOD, reasons: tuple[Finding, ...] = ()) -> Any:
    return tuple(
        Assignment(id=name, method=one, verdict=verdict if one else BAD, reasons=reasons)
        for name, one in zip("ab", methods, strict=True)
    )


def option(name: str, price: float = 100.0, verdict: str = GOOD, **changes: Any) -> Option:
    cost = Cost(id=f"{name}.a/purchase", kind="purchase", low=price, high=price, currency="USD")
    usual: dict[str, Any] = {
        "machines": machines(name, name), "feasible": verdict != BAD, "verdict": verdict,
        "costs": (cost,),
    }  # fmt: skip
    return Option(id=name, **(usual | changes))


FIRST = option("first")
CHANGE = (said("machine.needs-change", "a"),)
WAITING = machines("later", "later", verdict=BAD, reasons=(said("utility.not-there-yet", "a"),))
SHORT = (said("supply.undersized", "service", severity="blocks"),)


@pytest.mark.parametrize(
    ("other", "why"),
    [
        (option("later", verdict=BAD, machines=WAITING), "waits"),
        (option("big", verdict=BAD, findings=SHORT), "beyond-the-supply"),
        (option("stuck", verdict=BAD, machines=machines("stuck", "stuck", verdict=BAD)),
         "cannot-be-done"),
        (option("part", machines=machines("part", None)), "serves-fewer"),
        (option("dear", 101.0), "dearer"),
        (option("swap", 90.0, CARE, machines=machines("swap", "swap", reasons=CHANGE)),
         "changes-a-machine"),
        (option("swap", 190.0, CARE, machines=machines("swap", "swap", reasons=CHANGE)), "dearer"),
        (option("blank", costs=(), converters=(converter("x", "a"),)), "has-no-price"),
        (option("twin"), "no-better"),
    ],
)  # fmt: skip
def test_a_way_says_why_it_is_not_the_first(other: Option, why: str) -> None:
    (one,) = explained([FIRST, other])
    assert (one.code, one.severity) == ("plan.comes-after", "info")
    assert one.where == (other.id, "first")
    assert {part.name: part.value for part in one.parameters} == {"first": "first", "reason": why}


@pytest.mark.parametrize(("price", "near"), [(109.0, True), (111.0, False)])
def test_ways_within_a_tenth_are_nearly_the_same(price: float, *, near: bool) -> None:
    found = near_tie([FIRST, option("other", price)])
    assert [one.where for one in found] == ([("first", "other")] if near else [])


def test_what_cannot_be_done_or_has_no_price_is_no_tie() -> None:
    assert near_tie([FIRST, option("stuck", verdict=BAD)]) == ()
    assert near_tie([FIRST, option("x", costs=(), converters=(converter("x", "a"),))]) == ()
    assert near_tie([FIRST]) == ()
    assert explained([FIRST]) == explained([]) == ()
