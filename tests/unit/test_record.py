"""Comparing, hashing and printing of every record."""

import copy
import pickle

import attrs

from ampwright.record import Record


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Pair(Record):
    """A record with a field that takes no part."""

    one: str
    two: float = 2.0
    note: str = attrs.field(default="", eq=False, repr=False)


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Other(Record):
    """Another record with the same fields."""

    one: str
    two: float = 2.0


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Single(Record):
    """A record of one field."""

    one: str


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Longer(Pair):
    """A record with one field more than its parent."""

    three: int = 3


def test_records_are_equal_that_say_the_same() -> None:
    assert Pair(one="a") == Pair(one="a", two=2.0)
    assert Pair(one="a") != Pair(one="b")
    assert Pair(one="a") != Pair(one="a", two=3.0)
    assert Single(one="a") == Single(one="a")
    assert Single(one="a") != Single(one="b")


def test_records_of_different_classes_are_never_equal() -> None:
    assert Pair(one="a") != Other(one="a")
    assert Pair(one="a") != Longer(one="a")
    assert Pair(one="a") != ("a", 2.0)


def test_a_field_without_eq_takes_no_part() -> None:
    assert Pair(one="a", note="x") == Pair(one="a", note="y")
    assert hash(Pair(one="a", note="x")) == hash(Pair(one="a", note="y"))


def test_a_subclass_compares_its_own_fields() -> None:
    assert Longer(one="a") == Longer(one="a", three=3)
    assert Longer(one="a") != Longer(one="a", three=4)


def test_equal_records_are_one_in_a_set() -> None:
    several = {Pair(one="a"), Pair(one="a"), Pair(one="b"), Other(one="a"), Single(one="a")}
    assert len(several) == 4


def test_a_record_prints_as_it_is_made() -> None:
    assert repr(Pair(one="a", note="x")) == "Pair(one='a', two=2.0)"
    assert repr(Longer(one="a")) == "Longer(one='a', two=2.0, three=3)"
    assert repr(Single(one="a")) == "Single(one='a')"


def test_a_record_survives_pickling_and_copying() -> None:
    record = Longer(one="a", note="x")
    for again in (pickle.loads(pickle.dumps(record)), copy.deepcopy(record)):  # noqa: S301 - our own bytes
        assert again == record
        assert again.note == "x"


def test_a_record_has_no_dictionary() -> None:
    assert not hasattr(Pair(one="a"), "__dict__")
