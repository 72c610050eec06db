"""What runs at once: as stated, with what is needed, and every machine at least by itself."""

from tests.unit.planning.shops import machine, shop

from ampwright.planning.demand import needed, running_sets
from ampwright.planning.intake import expanded
from ampwright.records.shop import Shop


def sets(stated: Shop) -> list[tuple[str, ...]]:
    return [one.machines for one in running_sets(stated, expanded(stated)[1])[0]]


def test_needs_reach_through_any_depth_and_never_name_the_machine_itself() -> None:
    stated = shop(
        machine("a", needs=("b",)), machine("b", needs=("c",)), machine("c"), machine("d")
    )
    assert needed(stated) == {"a": ("b", "c"), "b": ("c",), "c": (), "d": ()}


def test_machines_that_need_each_other_come_to_an_end() -> None:
    stated = shop(machine("a", needs=("b",)), machine("b", needs=("a",)))
    assert needed(stated) == {"a": ("b",), "b": ("a",)}


def test_nothing_stated_means_everything_and_is_said() -> None:
    stated = shop(machine("a"), machine("b"))
    found, said = running_sets(stated, expanded(stated)[1])
    assert [(one.id, one.machines) for one in found] == [("all", ("a", "b"))]
    assert [(one.code, one.where) for one in said] == [("plan.everything-at-once", ("a", "b"))]


def test_one_machine_alone_is_no_assumption() -> None:
    stated = shop(machine("a"))
    assert running_sets(stated, expanded(stated)[1])[1] == ()


def test_sets_stand_in_the_order_stated_and_their_machines_in_the_shops() -> None:
    stated = shop(machine("a"), machine("b"), machine("c"), together=(("c", "b"), ("b", "a")))
    found, said = running_sets(stated, expanded(stated)[1])
    assert [(one.id, one.machines) for one in found] == [
        ("set-1", ("b", "c")),
        ("set-2", ("a", "b")),
    ]
    assert said == ()


def test_what_a_machine_needs_runs_with_it() -> None:
    stated = shop(machine("a", needs=("b",)), machine("b"), machine("c"), together=(("a", "c"),))
    assert sets(stated) == [("a", "b", "c"), ("b",)]


def test_a_machine_in_no_set_runs_by_itself_with_what_it_needs() -> None:
    stated = shop(machine("a"), machine("b", needs=("c",)), machine("c"), together=(("a",),))
    assert sets(stated) == [("a",), ("b", "c"), ("c",)]


def test_an_empty_statement_means_each_by_itself() -> None:
    assert sets(shop(machine("a"), machine("b"), together=())) == [("a",), ("b",)]


def test_equal_sets_stand_once() -> None:
    stated = shop(machine("a"), machine("b"), together=(("a", "b"), ("b", "a")))
    assert sets(stated) == [("a", "b")]


def test_every_copy_of_a_machine_runs_with_its_set() -> None:
    stated = shop(machine("a", quantity=3), machine("b"), together=(("a", "b"),))
    assert sets(stated) == [("a", "a:2", "a:3", "b")]
    everything = shop(machine("a", quantity=2), machine("b"))
    assert sets(everything) == [("a", "a:2", "b")]


def test_as_many_machines_run_as_people_work_there() -> None:
    """Each machine brings what it needs; what is contained in another set is none of its own."""
    several = (machine("a", needs=("fan",)), machine("b"), machine("fan"))
    one = shop(*several, operators=1)
    assert sets(one) == [("a", "fan"), ("b",)]
    assert sets(shop(*several, operators=2)) == [("a", "b", "fan")]
    assert sets(shop(*several, operators=9)) == [("a", "b", "fan")]
    found, said = running_sets(one, expanded(one)[1])
    assert [one.id for one in found] == ["set-1", "set-2"]
    assert [one.code for one in said] == ["plan.as-many-as-people"]


def test_nobody_keeps_too_many_sets_apart_by_people() -> None:
    """Two of six are 15 sets, more than twelve."""
    many = shop(*(machine(name) for name in "abcdef"), operators=2)
    assert sets(many) == [tuple("abcdef")]


def test_what_was_stated_of_sets_goes_before_the_number_of_people() -> None:
    both = shop(machine("a"), machine("b"), together=(("a", "b"),), operators=1)
    assert sets(both) == [("a", "b")]
