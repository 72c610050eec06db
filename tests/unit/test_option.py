"""An option: verdicts by machine, closed sets of words."""

import pytest

from ampwright.option import VERDICTS, Assignment, Option


def option(*machines: Assignment) -> Option:
    return Option(id="x", machines=machines, feasible=True, verdict="feasible")


def test_methods_and_verdicts_by_machine() -> None:
    one = option(
        Assignment(id="saw", method="rotary", verdict="feasible"),
        Assignment(id="kiln", method=None, verdict="not-feasible"),
    )
    assert one.assignment == {"saw": "rotary", "kiln": None}
    assert one.verdicts == {"saw": "feasible", "kiln": "not-feasible"}
    assert list(one.assignment) == ["saw", "kiln"]


def test_verdicts_stand_from_good_to_bad() -> None:
    assert VERDICTS == ("feasible", "feasible-with-conditions", "not-feasible")


@pytest.mark.parametrize("verdict", ["maybe", "", "Feasible"])
def test_no_other_verdict_is_known(verdict: str) -> None:
    with pytest.raises(ValueError, match="verdict"):
        Assignment(id="saw", method=None, verdict=verdict)
    with pytest.raises(ValueError, match="verdict"):
        Option(id="x", machines=(), feasible=True, verdict=verdict)
