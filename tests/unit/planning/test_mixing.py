"""The cheapest mix: of all groups in a small shop, of all that were heard in any."""

import random
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

import pytest
from tests.unit.planning.shops import case_of, machine, motor
from tests.unit.planning.stand_ins import Method, proposal, refusal, willing

from ampwright.case import Case
from ampwright.method import Proposal
from ampwright.planning.answers import Inquiry
from ampwright.planning.assembly import Draft, assemble
from ampwright.planning.mixing import EVERY_GROUP, Worths, clashing, mixed, shape

FLOOR = 950.0
Cost = Callable[[Proposal], float]


def sized(*amperes: float) -> Case:
    """Return machines m0, m1 and so on with these currents."""
    return case_of(
        *(
            machine(f"m{n}", motors=(motor(voltage="230 V", current=f"{one:g} A", power=None),))
            for n, one in enumerate(amperes)
        )
    )


def drawn(seed: int) -> Cost:
    """Return a cost that depends on nothing but what a piece serves, above the floor if shared."""

    def cost(one: Proposal) -> float:
        draw = random.Random(f"{seed} {one.method} {one.machines}")  # noqa: S311 - no secrets
        if one.method == "own":
            return draw.uniform(300.0, 1500.0)
        return FLOOR + draw.uniform(0.0, 1000.0)

    return cost


def floor(method: str) -> float:
    return FLOOR if method != "own" else 0.0


def search(case: Case, cost: Cost, *methods: Method) -> tuple[Draft, Inquiry]:
    inquiry = Inquiry(case, {one.id: one for one in methods})
    drafts = assemble(case, inquiry, cost)
    found = mixed(inquiry, drafts, {}, Worths(cost, floor), frozenset())
    assert found is not None
    return found, inquiry


def parted(names: tuple[str, ...]) -> Iterator[list[tuple[str, ...]]]:
    """Yield every way to part *names* into groups."""
    if not names:
        yield []
        return
    first, rest = names[0], names[1:]
    for size in range(len(rest) + 1):
        for others in combinations(rest, size):
            left = tuple(name for name in rest if name not in others)
            for more in parted(left):
                yield [(first, *others), *more]


def least(case: Case, cost: Cost, shared: Sequence[str]) -> float:
    """Return the least that any parting costs, each group on the cheapest piece for it."""
    names = tuple(one.id for one in case.machines)

    def of_group(group: tuple[str, ...]) -> float:
        methods = [*shared, *(["own"] if len(group) == 1 else [])]
        return min(cost(proposal(one, group)) for one in methods)

    return min(sum(map(of_group, way)) for way in parted(names))


@pytest.mark.parametrize("seed", range(40))
def test_up_to_three_machines_it_is_the_cheapest_of_all_mixes(seed: int) -> None:
    """The bound rules groups out by what any piece costs at least; it loses none that counts."""
    case, cost = sized(20, 10, 5), drawn(seed)
    assert len(case.machines) == EVERY_GROUP
    shared = (willing("s", shared=True), willing("t", shared=True))
    found, _ = search(case, cost, *shared, willing("own"))
    assert sum(map(cost, found.proposals)) == pytest.approx(least(case, cost, ("s", "t")))


def test_groups_that_the_floor_rules_out_are_not_asked() -> None:
    """Pieces of their own at 100 are cheaper for any three than a shared one at 950 or more."""
    case, shared = sized(20, 10, 5), willing("s", shared=True)

    def cost(one: Proposal) -> float:
        return 100.0 if one.method == "own" else FLOOR

    found, _ = search(case, cost, shared, willing("own"))
    assert {one.method for one in found.proposals} == {"own"}
    assert set(shared.asked) <= {("m0", "m1", "m2"), ("m1", "m2"), ("m2",)}  # what the ways ask


@pytest.mark.parametrize("count", [5, 8, 14])
@pytest.mark.parametrize("seed", range(3))
def test_of_more_machines_no_way_that_was_put_together_is_cheaper(count: int, seed: int) -> None:
    case, cost = sized(*(5 + 3 * n for n in range(count))), drawn(seed)
    methods = (willing("s", shared=True), willing("t", shared=True), willing("own"))
    found, inquiry = search(case, cost, *methods)
    total = sum(map(cost, found.proposals))
    assert found.left_out == ()
    for draft in assemble(case, inquiry, cost):
        assert total <= sum(map(cost, draft.proposals)) + 1e-6


def test_a_group_is_asked_for_where_an_estimate_promises_it() -> None:
    """Two heavy machines make the shared piece dear; alone they have cheap pieces of their own."""
    case = sized(4, 4, 5, 5, 6, 60, 61)

    def cost(one: Proposal) -> float:
        if one.method == "own":
            return 900.0
        heavy = {"m5", "m6"} & set(one.machines)
        return FLOOR + (3000.0 if heavy else 100.0)

    shared = willing("s", shared=True)
    found, _ = search(case, cost, shared, willing("own"))
    assert [(one.method, one.machines) for one in found.proposals] == [
        ("s", ("m0", "m1", "m2", "m3", "m4")), ("own", ("m5",)), ("own", ("m6",)),
    ]  # fmt: skip


def test_what_was_only_estimated_is_never_taken() -> None:
    """The groups promised are refused when they are asked for."""
    case = sized(4, 4, 5, 5, 6, 60, 61)

    def reply(names: tuple[str, ...]) -> object:
        return proposal("s", names) if len(names) == len(case.machines) else refusal("s", names)

    def cost(one: Proposal) -> float:
        return 900.0 if one.method == "own" else 4000.0

    found, inquiry = search(case, cost, Method("s", reply, shared=True), willing("own"))
    heard = {shape(one) for one in inquiry.proposals()}
    assert {shape(one) for one in found.proposals} <= heard
    assert found.left_out == ()


def test_pieces_that_turned_out_not_to_do_are_left_alone() -> None:
    case = sized(20, 10)
    methods = {"a": willing("a"), "b": willing("b")}
    inquiry = Inquiry(case, methods)

    def cost(one: Proposal) -> float:
        return 100.0 if one.method == "a" else 200.0

    worths = Worths(cost, lambda _: 0.0)
    drafts = assemble(case, inquiry, cost)
    first = mixed(inquiry, drafts, {}, worths, frozenset())
    assert first is not None
    assert first.assignment == {"m0": "a", "m1": "a"}
    second = mixed(inquiry, drafts, {}, worths, frozenset({("a", ("m0",))}))
    assert second is not None
    assert second.assignment == {"m0": "b", "m1": "a"}
    assert second.id not in {one.id for one in drafts}


def test_where_nothing_converts_there_is_no_mix() -> None:
    case = sized(20)
    none = Method("a", lambda names: refusal("a", names))
    assert (
        mixed(Inquiry(case, {"a": none}), (), {}, Worths(lambda _: 1.0, floor), frozenset()) is None
    )


def test_pieces_of_one_name_do_not_stand_beside_each_other() -> None:
    """Two sets for two and one connection for the other two would be told apart by nothing."""
    case = sized(20, 18, 4, 3)
    pairs = {("m0", "m1"), ("m2", "m3")}

    def reply(names: tuple[str, ...]) -> object:
        return proposal("s", names) if names in pairs else refusal("s", names)

    inquiry = Inquiry(case, {"s": Method("s", reply, shared=True)})
    machines = case.machines
    for pair in (machines[:2], machines[2:]):
        assert isinstance(inquiry.ask("s", pair), Proposal)
    assert mixed(inquiry, (), {}, Worths(lambda _: 2000.0, floor), frozenset()) is None


def test_there_is_one_connection_to_the_network() -> None:
    one = proposal("net", ["m0"], converters=(), own_supply=True)
    other = proposal("net", ["m1"], converters=(), own_supply=True)
    assert clashing((one, other))
    assert not clashing((one, proposal("rotary", ["m1"])))
