"""The limits that a plan holds to."""

import pytest

from ampwright.errors import InputError
from ampwright.planning.bounds import BUILT_IN, bounded
from ampwright.tables import read_table


def test_the_built_in_limits_are_those_of_the_table() -> None:
    table, made = read_table(BUILT_IN), bounded(None)
    assert {name: (one.value, one.unit) for name, one in made.items()} == {
        row["id"]: (float(row["value"]), row["unit"]) for row in table.rows
    }
    assert all(one.source == table.source() for one in made.values())


def test_a_stated_limit_replaces_its_value_and_source_and_no_other() -> None:
    usual, made = bounded(None), bounded({"run-up-time": 8})
    assert made["run-up-time"].value == 8.0
    assert made["run-up-time"].unit == usual["run-up-time"].unit == "s"
    assert made["run-up-time"].source.known == "caller"
    others = made.keys() - {"run-up-time"}
    assert all(made[name] == usual[name] for name in others)
    assert list(made) == list(usual)


@pytest.mark.parametrize(
    "value", [0, -1.0, float("nan"), float("inf"), float("-inf"), True, "8 s", None]
)
def test_a_limit_is_a_finite_number_above_nought(value: object) -> None:
    with pytest.raises(InputError) as caught:
        bounded({"run-up-time": value})  # type: ignore[dict-item] # on purpose
    assert (caught.value.code, caught.value.path) == ("limits.value", "limits.run-up-time")


def test_an_unknown_name_is_refused_and_the_known_are_named() -> None:
    with pytest.raises(InputError) as caught:
        bounded({"speed": 1.0})
    assert caught.value.code == "limits.name"
    assert "run-up-time" in caught.value.expected
