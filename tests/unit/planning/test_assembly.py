"""Which machines go on which equipment: all ways worth looking at, each once."""

from collections.abc import Callable

import pytest
from tests.unit.planning.shops import case_of, heater, machine, motor
from tests.unit.planning.stand_ins import Method, only_for, proposal, refusal, willing

from ampwright.case import Case
from ampwright.method import Proposal
from ampwright.planning.answers import Inquiry
from ampwright.planning.assembly import (
    Draft,
    assemble,
    cheapest,
    filled,
    group,
    mixes,
    named,
    served,
    weight,
)


@pytest.fixture(scope="module")
def case() -> Case:
    """Four machines of 30, 20, 10 and 5 A, and a heater."""
    sizes = {"a": 10.0, "b": 30.0, "c": 20.0, "d": 5.0}
    machines = [
        machine(name, motors=(motor(voltage="230 V", current=f"{one} A", power=None),))
        for name, one in sizes.items()
    ]
    return case_of(*machines, heater("h"))


def free(_: Proposal) -> float:
    return 0.0


def ways(
    case: Case, *methods: Method, cost: Callable[[Proposal], float] = free
) -> dict[str, dict[str, str]]:
    inquiry = Inquiry(case, {one.id: one for one in methods})
    return {one.id: one.assignment for one in assemble(case, inquiry, cost)}


def test_a_machine_weighs_what_it_draws_on_one_phase(case: Case) -> None:
    order = sorted(case.machines, key=weight, reverse=True)
    # the heater's 6 kW are 25 A; b's 30 A at 230 V are 1.732 x 230 x 30 / 240 = 49.8 A
    assert [one.id for one in order] == ["b", "c", "h", "a", "d"]


def test_a_group_that_is_accepted_is_asked_once(case: Case) -> None:
    method = willing("m", shared=True)
    found = group(Inquiry(case, {"m": method}), "m", case.machines)
    assert found is not None
    assert found.machines == ("a", "b", "c", "d", "h")
    assert len(method.asked) == 1


def test_from_a_group_the_machines_are_dropped_that_the_reasons_name(case: Case) -> None:
    method = only_for("m", "a", "c", "d", shared=True)
    found = group(Inquiry(case, {"m": method}), "m", case.machines)
    assert found is not None
    assert found.machines == ("a", "c", "d")
    assert method.asked == [("a", "b", "c", "d", "h"), ("a", "c", "d")]


def test_where_all_are_named_as_few_of_the_heaviest_go_as_will_do(case: Case) -> None:
    """The heaviest are c and b; one is left out first, then two."""
    method = Method(
        "m", lambda names: refusal("m", names) if len(names) > 2 else proposal("m", names)
    )
    found = group(Inquiry(case, {"m": method}), "m", case.machines[:4])
    assert found is not None
    assert found.machines == ("a", "d")
    assert method.asked == [("a", "b", "c", "d"), ("a", "c", "d"), ("a", "d")]


def test_a_reason_that_names_no_machine_drops_the_heaviest_too(case: Case) -> None:
    method = Method("m", lambda names: refusal("m", names, "supply"))
    assert group(Inquiry(case, {"m": method}), "m", case.machines[:3]) is None
    assert method.asked == [("a", "b", "c"), ("a", "c"), ("a",)]


def test_one_that_is_too_much_alone_costs_one_question(case: Case) -> None:
    method = Method(
        "m", lambda names: refusal("m", names) if "b" in names else proposal("m", names)
    )
    found = group(Inquiry(case, {"m": method}), "m", case.machines[:4])
    assert found is not None
    assert found.machines == ("a", "c", "d")
    assert len(method.asked) == 2


def test_a_shared_piece_on_a_hopeless_supply_is_not_asked_for(case: Case) -> None:
    """Only a single machine is asked about, to learn where the piece hangs."""
    shared, own = willing("s", shared=True), willing("o")
    inquiry = Inquiry(case, {"s": shared, "o": own})
    drafts = assemble(case, inquiry, free, hopeless=True)
    assert [one.id for one in drafts] == ["o"]
    assert shared.asked == [("a",)]


def test_a_supply_of_its_own_is_asked_for_all_the_same(case: Case) -> None:
    shared = Method("s", lambda names: proposal("s", names, own_supply=True), shared=True)
    drafts = assemble(case, Inquiry(case, {"s": shared}), free, hopeless=True)
    assert [one.id for one in drafts] == ["s"]
    assert drafts[0].left_out == ()


def test_of_forty_that_all_are_named_few_groups_are_tried() -> None:
    """Halving forty takes six questions at most, beside the first and that without one machine."""
    forty = case_of(
        *(
            machine(f"m{n:02}", motors=(motor(voltage="230 V", current=f"{10 + n} A", power=None),))
            for n in range(40)
        )
    )
    method = Method(
        "m", lambda names: refusal("m", names) if len(names) > 7 else proposal("m", names)
    )
    found = group(Inquiry(forty, {"m": method}), "m", forty.machines)
    assert found is not None
    assert found.machines == tuple(f"m{n:02}" for n in range(7))
    assert len(method.asked) <= 8


def test_of_nothing_there_is_no_group(case: Case) -> None:
    method = willing("m", shared=True)
    assert group(Inquiry(case, {"m": method}), "m", ()) is None
    assert method.asked == []


def test_a_mix_takes_the_heaviest_off_the_shared_piece(case: Case) -> None:
    """Looked at: the heaviest alone, and the heavier half."""
    shared, own = willing("s", shared=True), willing("o")
    inquiry = Inquiry(case, {"s": shared, "o": own})
    alone = {name: one for name, one in inquiry.alone("o").items() if name != "h"}
    found = [
        [(one.method, one.machines) for one in way]
        for way in mixes(inquiry, "s", alone, case.machines[:4])
    ]
    assert found == [
        [("s", ("a", "c", "d")), ("o", ("b",))],
        [("s", ("a", "d")), ("o", ("b",)), ("o", ("c",))],
    ]


def test_what_the_shared_piece_refuses_gets_its_own_where_it_can(case: Case) -> None:
    shared, own = only_for("s", "a", "b", "d", shared=True), willing("o")
    inquiry = Inquiry(case, {"s": shared, "o": own})
    first = next(iter(mixes(inquiry, "s", inquiry.alone("o"), case.machines[:4])))
    assert [(one.method, one.machines) for one in first] == [
        ("s", ("a", "d")),
        ("o", ("b",)),
        ("o", ("c",)),
    ]


def test_the_drafts_are_one_for_all_one_each_and_the_cheapest_mix(case: Case) -> None:
    def cost(one: Proposal) -> float:
        """Make a shared piece for two cheap, and others dear."""
        return {("s", 2): 1.0, ("o", 1): 10.0}.get((one.method, len(one.machines)), 100.0)

    plain = only_for("p", "h", converts=False)
    found = ways(case, willing("s", shared=True), willing("o"), plain, cost=cost)
    assert found == {
        "p+s": {"a": "s", "b": "s", "c": "s", "d": "s", "h": "p"},
        "o+p": {"a": "o", "b": "o", "c": "o", "d": "o", "h": "p"},
        "o+p+s": {"a": "s", "b": "o", "c": "o", "d": "s", "h": "p"},
    }


def test_a_mix_is_no_dearer_than_any_other_that_was_looked_at(case: Case) -> None:
    """The heaviest alone costs 100 + 1 here, the heavier half 100 + 2."""
    found = ways(
        case, willing("s", shared=True), willing("o"),
        cost=lambda one: 100.0 if one.method == "s" else 1.0,
    )  # fmt: skip
    assert found["o+s"] == {"a": "s", "b": "o", "c": "s", "d": "s", "h": "s"}


def test_a_machine_gets_the_cheapest_piece_of_its_own(case: Case) -> None:
    dear, cheap = willing("dear"), only_for("cheap", "a", "d")

    def cost(one: Proposal) -> float:
        return 5.0 if one.method == "dear" else 1.0

    inquiry = Inquiry(case, {"dear": dear, "cheap": cheap})
    found = cheapest([inquiry.alone("dear"), inquiry.alone("cheap")], cost)
    assert {name: one.method for name, one in found.items()} == {
        "a": "cheap", "b": "dear", "c": "dear", "d": "cheap", "h": "dear",
    }  # fmt: skip
    assert cheapest([], cost) == {}


def test_of_equally_cheap_pieces_the_first_stays(case: Case) -> None:
    inquiry = Inquiry(case, {"x": willing("x"), "y": willing("y")})
    found = cheapest([inquiry.alone("x"), inquiry.alone("y")], free)
    assert {one.method for one in found.values()} == {"x"}


def test_each_method_of_its_own_is_a_way_too(case: Case) -> None:
    """The dearer one may have a better verdict."""
    found = ways(case, willing("x"), willing("y"), cost=lambda one: float(one.method == "y"))
    assert {name: set(one.values()) for name, one in found.items()} == {"x": {"x"}, "y": {"y"}}


def test_what_has_no_piece_of_its_own_goes_on_a_shared_one(case: Case) -> None:
    found = ways(case, willing("s", shared=True), only_for("o", "b"))
    assert found["o+s"] == {"a": "s", "b": "o", "c": "s", "d": "s", "h": "s"}


def test_a_second_shared_method_takes_what_the_first_leaves(case: Case) -> None:
    first, second = only_for("s", "a", shared=True), only_for("t", "c", "d", shared=True)
    inquiry = Inquiry(case, {"o": only_for("o", "b"), "s": first, "t": second})
    way = filled(inquiry, (proposal("o", ("b",)),), case.machines, {}, ("s", "t"))
    assert [(one.method, one.machines) for one in way] == [
        ("o", ("b",)),
        ("s", ("a",)),
        ("t", ("c", "d")),
    ]


def test_no_machine_stands_on_two_pieces(case: Case) -> None:
    methods = (
        only_for("s", "a", "b", "c", shared=True), only_for("t", "b", "c", "d", shared=True),
        only_for("o", "a", "b"), willing("q"), only_for("p", "h", converts=False),
    )  # fmt: skip
    inquiry = Inquiry(case, {one.id: one for one in methods})
    for draft in assemble(case, inquiry, free):
        names = [name for one in draft.proposals for name in one.machines]
        assert sorted(names) == sorted(set(names))
        assert set(names) | set(draft.left_out) == {one.id for one in case.machines}
        assert not set(names) & set(draft.left_out)


def test_a_machine_that_needs_no_conversion_is_not_asked_of_converters(case: Case) -> None:
    shared, own = willing("s", shared=True), willing("o")
    ways(case, shared, own, only_for("p", "h", converts=False))
    assert not any("h" in names for names in shared.asked)


def test_of_two_plain_methods_the_first_serves(case: Case) -> None:
    first, second = (only_for(name, "h", converts=False) for name in ("p", "q"))
    found = ways(case, first, second, willing("s", shared=True))
    assert all(one["h"] == "p" for one in found.values())


def test_without_a_shared_method_there_is_one_each(case: Case) -> None:
    assert ways(case, only_for("o", "a", "b")) == {"o": {"a": "o", "b": "o"}}


def test_where_nothing_serves_there_is_one_empty_draft(case: Case) -> None:
    inquiry = Inquiry(case, {"s": only_for("s", shared=True), "o": only_for("o")})
    (draft,) = assemble(case, inquiry, free)
    assert draft == Draft(id="none", proposals=(), left_out=("a", "b", "c", "d", "h"))


def test_an_empty_draft_does_not_stand_beside_others(case: Case) -> None:
    found = ways(case, only_for("s", shared=True), only_for("o", "a"))
    assert "none" not in found
    assert found == {"o": {"a": "o"}}


def test_machines_that_nothing_serves_are_left_out_by_name(case: Case) -> None:
    inquiry = Inquiry(case, {"o": only_for("o", "a", "c")})
    (draft,) = assemble(case, inquiry, free)
    assert draft.left_out == ("b", "d", "h")


def test_the_same_way_stands_once_and_ids_are_their_own(case: Case) -> None:
    pieces = {name: proposal("o", (name,)) for name in "abcd"}
    drafts = named(
        case,
        [
            (pieces["a"], pieces["b"]),
            (pieces["b"], pieces["a"]),
            (pieces["a"],),
            (pieces["c"],),
        ],
    )
    assert [(one.id, sorted(one.assignment)) for one in drafts] == [
        ("o", ["a", "b"]),
        ("o:2", ["a"]),
        ("o:3", ["c"]),
    ]


def test_proposals_stand_in_the_order_of_the_shop(case: Case) -> None:
    (draft,) = named(case, [(proposal("o", ("d",)), proposal("o", ("a",)))])
    assert [one.machines for one in draft.proposals] == [("a",), ("d",)]


def test_what_a_way_serves() -> None:
    way = (proposal("s", ("a", "b")), proposal("o", ("c",)))
    assert served(way) == {"a", "b", "c"}
    assert served(()) == set()
