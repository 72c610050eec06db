"""What is raised on purpose: classes, codes, messages."""

import pickle

import pytest

from ampwright import errors
from ampwright.errors import (
    AmpwrightError,
    ConsistencyError,
    FormatError,
    InputError,
    InternalError,
    LimitError,
    PluginError,
    RangeError,
    SchemaVersionError,
    UnitError,
    joined,
    placed,
    shown,
    together,
)

CLASSES = [
    found
    for found in vars(errors).values()
    if isinstance(found, type) and issubclass(found, AmpwrightError)
]


@pytest.mark.parametrize("cls", CLASSES)
def test_every_error_keeps_its_data_through_pickle(cls: type[AmpwrightError]) -> None:
    inner = cls(3, "a fault")
    error = cls(5, "something else", "machines[0].id", (inner,), "area.slug", "do this")
    again = pickle.loads(pickle.dumps(error))  # noqa: S301 - made one line above
    assert type(again) is cls
    assert (again.value, again.expected, again.path) == (5, "something else", "machines[0].id")
    assert (again.code, again.remedy) == ("area.slug", "do this")
    assert str(again.faults[0]) == str(inner)
    assert str(again) == str(error)


@pytest.mark.parametrize("cls", CLASSES)
def test_every_error_has_a_code_of_its_own(cls: type[AmpwrightError]) -> None:
    area, _, slug = cls("", "").code.partition(".")
    assert area
    assert slug
    assert [one.default_code for one in CLASSES].count(cls.default_code) == 1


@pytest.mark.parametrize(
    ("cls", "builtin"),
    [
        (InputError, ValueError),
        (UnitError, ValueError),
        (RangeError, ValueError),
        (ConsistencyError, ValueError),
        (FormatError, ValueError),
        (LimitError, ValueError),
        (SchemaVersionError, ValueError),
        (PluginError, RuntimeError),
        (InternalError, RuntimeError),
    ],
)
def test_a_caller_may_expect_the_builtin(
    cls: type[AmpwrightError], builtin: type[Exception]
) -> None:
    assert issubclass(cls, builtin)
    assert issubclass(cls, AmpwrightError)


def test_refinements_of_input_error() -> None:
    refined = [cls for cls in CLASSES if issubclass(cls, InputError) and cls is not InputError]
    assert set(refined) == {UnitError, RangeError, ConsistencyError}


def test_the_message_names_place_value_wish_remedy_and_code() -> None:
    error = UnitError("5 kVA", "active power", "motors[0].power", code="unit.kind", remedy="use kW")
    line = "motors[0].power: expected active power, got '5 kVA'; use kW [unit.kind]"
    assert str(error) == line


def test_several_faults_are_all_in_the_message() -> None:
    faults = [InputError(1, "a", "x"), RangeError(2, "b", "y")]
    error = together(faults)
    assert str(error).splitlines() == [str(faults[0]), str(faults[1])]
    assert error.faults == tuple(faults)


def test_what_is_wrong_leads_before_what_is_missing() -> None:
    missing = InputError(None, "a value", "supply", code="field.missing")
    wrong = RangeError(2.0, "b", "y", code="range.fraction")
    error = together([missing, wrong])
    assert type(error) is RangeError
    assert (error.code, error.path) == ("range.fraction", "y")
    assert together([missing, missing]).code == "field.missing"


def test_one_fault_is_raised_as_it_is() -> None:
    only = UnitError("x", "y")
    assert together([only]) is only


def test_a_long_value_is_cut_and_control_characters_are_shown() -> None:
    assert len(shown("x" * 10_000)) == 80
    assert shown("a\x00b\n") == "'a\\x00b\\n'"
    assert "\u202e" not in shown("a\u202eb")
    assert [shown(one) for one in (True, None)] == ["true", "none"]


def test_an_object_that_refuses_to_be_printed_is_named_by_its_type() -> None:
    class Rude:
        def __str__(self) -> str:
            raise RuntimeError

    assert "Rude" in shown(Rude())
    assert "int" in shown(10**5000)


def test_paths_are_joined_with_points_but_not_before_brackets() -> None:
    assert joined("machines[0]", "motors[1].power") == "machines[0].motors[1].power"
    assert joined("together", "[0][1]") == "together[0][1]"
    assert joined("", "name") == "name"
    assert joined("name", "") == "name"


def test_faults_are_put_below_a_path_together_with_their_error() -> None:
    error = together([InputError(1, "a", "x"), InputError(2, "b", "[0]")])
    faults = placed(error, "site")
    assert [one.path for one in faults] == ["site.x", "site[0]"]
    assert error.path == "site.x"
