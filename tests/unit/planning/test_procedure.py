"""The whole way of a plan, with invented methods and an invented code."""

import sys

import pytest
from tests.unit.planning.shops import heater, machine, shop, supply
from tests.unit.planning.stand_ins import Code, Method, only_for, proposal, start, willing

from ampwright.decision import Decision
from ampwright.method import ConversionMethod
from ampwright.planning.bounds import bounded
from ampwright.planning.costs import built_in
from ampwright.planning.procedure import decide
from ampwright.records.shop import Shop
from ampwright.registry import Offers

SHOP = shop(machine("a"), machine("b"), heater("h"))


def decided(*methods: ConversionMethod, code: Code | None = None, of: Shop = SHOP) -> Decision:
    offers = Offers(
        regions={}, methods={one.id: one for one in methods}, reviews={}, plugins={}, problems=()
    )
    return decide(of, code or Code(), offers, built_in(), bounded(None))


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


def test_the_cheapest_mix_that_does_is_worked_out_where_a_piece_turns_out_not_to() -> None:
    """The static converter is cheaper, but does not bring a up; b keeps its own."""

    def reply(names: tuple[str, ...]) -> object:
        begun = start(names[0], converter=f"static.{names[0]}", runs_up=names != ("a",))
        return proposal("static", names, starts=(begun,))

    two = shop(machine("a"), machine("b"))
    found = decided(Method("static", reply), willing("drive"), of=two)
    best = found.best
    assert best is not None
    assert best.assignment == {"a": "drive", "b": "static"}
    known = {one.id: one.feasible for one in found.options}
    assert known["drive"]
    assert not known["static"]


def test_without_the_library_for_many_machines_the_plan_says_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Up to a dozen nothing is missing; of more the ways put together without it stand."""
    methods = (willing("rotary", shared=True), willing("drive"))
    many = shop(*(machine(f"m{n}") for n in range(13)), supply=supply(rating="400 A"))
    few = shop(*(machine(f"m{n}") for n in range(12)), supply=supply(rating="400 A"))
    with_it = decided(*methods, of=many)
    monkeypatch.setitem(sys.modules, "scipy.optimize", None)
    without = decided(*methods, of=many)
    said = [one for one in without.findings if one.code == "plan.mix-not-sought"]
    assert [(one.severity, len(one.where)) for one in said] == [("info", 13)]
    assert {part.name: part.value for part in said[0].parameters} == {
        "count": "13", "extra": "large",
    }  # fmt: skip
    assert without.best is not None
    assert without.id != with_it.id
    for other in (with_it, decided(*methods, of=few)):
        assert "plan.mix-not-sought" not in {one.code for one in other.findings}


@pytest.mark.parametrize(("rating", "shared"), [("100 A", False), ("200 A", True)])
def test_one_piece_for_all_is_not_sized_where_no_supply_could_bear_it(
    rating: str, *, shared: bool
) -> None:
    """Eight motors of 5 hp are 29.8 kW: 124 A at 240 V without any loss."""
    large = shop(*(machine(f"m{n}") for n in range(8)), supply=supply(rating=rating))
    rotary = willing("rotary", shared=True)
    found = decided(rotary, willing("drive"), of=large)
    assert (tuple(f"m{n}" for n in range(8)) in rotary.asked) is shared
    assert "drive" in {one.id for one in found.options}
