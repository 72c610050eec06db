"""What machines ask of the supply as bought, and sets that keep within what it has left.

A motor of 13.2 A at 230 V draws 1.732 x 230 x 13.2 / 240 = 21.91 A on one phase.
"""

# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor, supply

from ampwright.case import Case
from ampwright.planning.burden import apart, burden, split, with_needs

AMPERES = 21.91


def shop(*names: str, needs: dict[str, tuple[str, ...]] | None = None, **changes: Any) -> Case:
    return case_of(
        *(machine(one, needs=(needs or {}).get(one, ())) for one in names),
        supply=supply(**changes),
    )


def codes(case: Case) -> set[tuple[str, tuple[str, ...]]]:
    return {(one.code, one.where) for one in burden(case).findings}


def test_what_is_left_is_what_a_limit_bears_less_the_load_there() -> None:
    """100 A, 12 kVA / 240 V = 50 A and 25 kVA / 240 V = 104.2 A, each less 10 A."""
    case = shop("a", contract="12 kVA", transformer="25 kVA", existing_load="10 A")
    found = {one.name: one.left.value for one in burden(case).left}
    assert found == pytest.approx({"main": 90.0, "contract": 40.0, "transformer": 94.17}, abs=0.01)
    assert burden(case).spare_a == pytest.approx(40.0)


def test_a_load_stated_as_power_counts_as_its_current() -> None:
    """2.4 kVA at 240 V are 10 A."""
    assert burden(shop("a", existing_load="2.4 kVA")).spare_a == pytest.approx(90.0)


def test_an_unknown_supply_limits_nothing() -> None:
    found = burden(shop("a", "b", rating=None))
    assert (found.spare_a, found.findings) == (float("inf"), ())


@pytest.mark.parametrize(
    ("rating", "said"),
    [("54 A", False), ("53 A", True)],  # 2 x 21.91 + 10 = 53.8 A
)
def test_machines_that_run_at_once_are_added_to_the_load_there(rating: str, *, said: bool) -> None:
    found = codes(shop("a", "b", rating=rating, existing_load="10 A"))
    assert found == ({("supply.undersized", ("supply", "a", "b"))} if said else set())


def test_a_contract_is_a_limit_of_its_own() -> None:
    """10 kVA are 41.7 A, the two machines draw 43.8 A, the main device bears them."""
    found = codes(shop("a", "b", contract="10 kVA", existing_load="0 A"))
    assert found == {("supply.single-phase-limit", ("supply", "a", "b"))}


def test_a_machine_alone_may_be_too_much() -> None:
    found = burden(shop("a", rating="21 A", existing_load="0 A"))
    assert set(found.beyond) == {"a"}
    assert not burden(shop("a", rating="22 A", existing_load="0 A")).beyond


def test_what_a_machine_needs_counts_with_it() -> None:
    case = shop("a", "b", needs={"a": ("b",)}, rating="30 A", existing_load="0 A")
    assert with_needs(case) == {"a": ("a", "b"), "b": ("b",)}
    assert set(burden(case).beyond) == {"a"}


def test_every_number_stands_on_its_step() -> None:
    found = burden(shop("a", "b", rating="40 A", contract="9 kVA"))
    values = {one.path: one.value for one in found.sheet.steps}
    for one in found.findings:
        for part in one.parameters:
            if not part.step.startswith("shop/") and not isinstance(part.value, str):
                assert values[part.step] == part.value


def test_sets_keep_within_the_current_and_hold_every_machine() -> None:
    case = shop("a", "b", "c")
    assert split(case, ("a", "b", "c"), 2 * AMPERES + 0.1) == (("a", "b"), ("a", "c"))
    assert split(case, ("a", "b", "c"), 30.0) == (("a",), ("b",), ("c",))
    assert split(case, ("a", "b", "c"), 100.0) == (("a", "b", "c"),)


def test_a_set_holds_what_its_machines_need() -> None:
    case = shop("a", "b", "c", needs={"c": ("b",)})
    found = split(case, ("a", "b", "c"), 2 * AMPERES + 0.1)
    assert all("b" in one for one in found if "c" in one)


def test_heavier_machines_are_placed_first() -> None:
    heavy = machine("heavy", motors=(motor(power="10 hp", current="26.4/13.2 A"),))
    case = case_of(machine("a"), machine("b"), heavy)
    assert split(case, ("a", "b", "heavy"), 44.0) == (("heavy",), ("a", "b"))


def test_a_stated_set_that_fits_stays_as_it_is() -> None:
    case = case_of(machine("a"), machine("b"), machine("c"), together=[["a", "b"], ["c"]])
    assert [one.machines for one in apart(case, 50.0)] == [("a", "b"), ("c",)]
    assert [one.machines for one in apart(case, 0.0)] == [("a",), ("b",), ("c",)]


def test_ten_equal_machines_of_which_four_run_at_once_make_three_sets() -> None:
    """10 / 4 rounded up; the last set takes in what still fits of the others."""
    names = [f"m{n}" for n in range(10)]
    case = case_of(*(machine(name) for name in names))
    each = case.machines[0].equal_kva.value
    found = split(case, names, 4.1 * each)
    assert [len(one) for one in found] == [4, 4, 4]
    assert {name for one in found for name in one} == set(names)
