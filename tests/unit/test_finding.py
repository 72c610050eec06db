"""Findings, assumptions and questions: codes with parameters, no text."""

import pickle

import attrs
import pytest

from ampwright.finding import Assumption, Finding, Parameter, Question, parameters
from ampwright.step import Figure


def test_parameters_bring_value_unit_and_step() -> None:
    made = parameters("current=A power=W", current=Figure(5.0, "a/b"), power=3.0, place="saw")
    assert made == (
        Parameter(name="current", value=5.0, unit="A", step="a/b"),
        Parameter(name="power", value=3.0, unit="W"),
        Parameter(name="place", value="saw"),
    )


def test_without_units_numbers_have_none() -> None:
    assert parameters(x=1.0) == (Parameter(name="x", value=1.0),)
    assert parameters() == ()


def test_a_parameter_may_be_called_units() -> None:
    assert parameters("units=A", units=2.0)[0].unit == "A"


@pytest.mark.parametrize("severity", ["error", "", "Blocks", None])
def test_a_severity_is_one_of_three(severity: str) -> None:
    with pytest.raises(ValueError, match="severity"):
        Finding(code="a.b", severity=severity)


def test_a_question_changes_one_of_four_things() -> None:
    assert Question(code="a.b", field="x").changes == "figures"
    with pytest.raises(ValueError, match="changes"):
        Question(code="a.b", field="x", changes="nothing")


@pytest.mark.parametrize(
    "one",
    [
        Finding(code="a.b", severity="info", where=("x",), parameters=parameters(x=1.0)),
        Assumption(code="a.b", where=("x",)),
        Question(code="a.b", field="x", choices=("true", "false")),
    ],
)
def test_they_are_values(one: Finding | Assumption | Question) -> None:
    again = attrs.evolve(one)
    assert again == one
    assert hash(again) == hash(one)
    assert attrs.evolve(one, code="c.d") != one
    assert pickle.loads(pickle.dumps(one)) == one  # noqa: S301 - our own
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        one.code = "c.d"  # type: ignore[misc] # on purpose
