"""The whole way of a plan, with invented methods and an invented code."""

import pytest
from tests.unit.planning.shops import heater, machine, shop
from tests.unit.planning.stand_ins import Code, only_for, willing

from ampwright.decision import Decision
from ampwright.method import ConversionMethod
from ampwright.planning.bounds import bounded
from ampwright.planning.costs import built_in
from ampwright.planning.procedure import decide
from ampwright.registry import Offers

SHOP = shop(machine("a"), machine("b"), heater("h"))


def decided(*methods: ConversionMethod, code: Code | None = None) -> Decision:
    offers = Offers(
        regions={}, methods={one.id: one for one in methods}, reviews={}, plugins={}, problems=()
    )
    return decide(SHOP, code or Code(), offers, built_in(), bounded(None))


def test_every_way_is_worked_out_and_the_first_is_chosen() -> None:
    found = decided(
        willing("rotary", shared=True), willing("drive"), only_for("relink", "h", converts=False)
    )
    assert {one.id for one in found.options} >= {"relink+rotary", "drive+relink"}
    assert all(one.assignment["h"] == "relink" for one in found.options)
    assert found.chosen == found.options[0].id
    assert found.verdict == "feasible"


def test_refusals_are_in_every_option() -> None:
    found = decided(only_for("drive", "a"), willing("rotary", shared=True))
    for one in found.options:
        assert {(no.method, no.machines) for no in one.refusals} == {
            ("drive", ("b",)),
            ("drive", ("h",)),
        }


def test_without_any_method_nothing_is_feasible() -> None:
    found = decided()
    assert (found.verdict, found.chosen) == ("not-feasible", None)
    (option,) = found.options
    assert set(option.assignment.values()) == {None}


@pytest.mark.parametrize("shared", [True, False])
def test_the_code_sees_the_circuits_of_every_way(*, shared: bool) -> None:
    code = Code()
    found = decided(willing("m", shared=shared), code=code)
    assert len(code.services) == len(found.options)
