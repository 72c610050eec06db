"""The service of a dwelling: what is calculated, what is measured, and which of them counts."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest
from tests.unit.families.nec.services import ask, codes, converter

from ampwright.region import ExistingLoad, ServiceAnswer
from ampwright.step import Figure

#: What is assumed where nobody says how the stated load is known.
UNKNOWN = {"supply.larger-load-governs", "supply.existing-load-measured"}


def dwelling(amperes: float, motor: float | None = None) -> ExistingLoad:
    return ExistingLoad(
        load=Figure(amperes, "dwelling/load_a"), rule="nec.220.83",
        motor=None if motor is None else Figure(motor, "dwelling/motor_a"),
    )  # fmt: skip


def value(answer: ServiceAnswer, name: str) -> tuple[float, str]:
    (step,) = [one for one in answer.steps if one.path == f"options/x/service/{name}"]
    return float(step.value), step.rule


def said(answer: ServiceAnswer) -> set[str]:
    return {one.code for one in answer.assumptions}


def test_a_calculated_load_counts_as_it_is(us: Any) -> None:
    """40 + 50 = 90 A, by the rule of the calculation; nothing is asked or assumed of it."""
    answer = ask(us, existing=dwelling(40), existing_load=None)
    assert answer.load_a == pytest.approx(90)
    assert value(answer, "existing_a") == (40, "nec.220.83")
    assert value(answer, "load_a") == (90, "nec.220.83")
    assert value(answer, "spare_a")[1] == "nec.220.83"
    assert "supply.existing_load" not in {one.field for one in answer.questions}
    assert not said(answer) & {"supply.no-existing-load", "supply.existing-load-measured"}


def test_its_largest_motor_counts_where_it_is_the_largest(us: Any) -> None:
    """A quarter of 48 A is 12; of the 60 A of a converter's plate 15; never both."""
    for motor, circuits, share in ((48, (), 12.0), (48, (converter(us),), 15.0),
                                   (58, (converter(us),), 15.0),
                                   (62, (converter(us),), 15.5)):  # fmt: skip
        answer = ask(us, existing=dwelling(40, motor), existing_load=None, circuits=circuits)
        assert value(answer, "largest_motor_a")[0] == pytest.approx(share)
        assert answer.load_a == pytest.approx(90 + share)


@pytest.mark.parametrize(("stated", "record", "there", "rule", "assumed"), [
    ("42 A", None, 52.5, "nec.220.87", UNKNOWN),
    ("41 A", None, 40, "nec.220.83", UNKNOWN),
    ("32 A", None, 40, "nec.220.83", UNKNOWN),
    ("20 A", None, 40, "nec.220.83", UNKNOWN),
    ("20 A", "none", 40, "nec.220.83", {"supply.larger-load-governs"}),
    ("20 A", "year", 25, "nec.220.87", {"supply.measured-governs"}),
    ("20 A", "month", 25, "nec.220.87", {"supply.measured-governs"}),
])  # fmt: skip
def test_beside_a_measured_one(
    us: Any, stated: str, record: str | None, there: float, rule: str, assumed: set[str]
) -> None:
    """1.25 times what was measured against 40 A and a quarter of the motor of 48 A: 52 A.

    1.25 x 42 is 52.5, 1.25 x 41 is 51.25.
    """
    answer = ask(us, existing=dwelling(40, 48), existing_load=stated, demand_record=record)
    assert value(answer, "existing_a") == (pytest.approx(there), rule)
    assert value(answer, "load_a")[1] == rule
    share = 12.0 if rule == "nec.220.83" else 0.0
    assert value(answer, "largest_motor_a")[0] == share
    assert said(answer) == assumed
    assert "supply.demand-not-recorded" not in codes(answer)


@pytest.mark.parametrize(("motor", "plate", "there", "share"), [
    (88, 20, 40, 22),  # 50 + 5 = 55 against 40 + 22 = 62
    (88, 60, 50, 15),  # 50 + 15 = 65 against 62
    (48, 60, 50, 15),  # the converter is the larger motor: 65 against 55
    (48, 12, 50, 3),  # 53 against 52
    (48, 4, 40, 12),  # 51 against 52
])  # fmt: skip
def test_which_of_the_two_counts_hangs_on_the_largest_motor(
    us: Any, motor: float, plate: float, there: float, share: float
) -> None:
    """1.25 x 40 = 50 A measured, 40 A calculated, each with a quarter of the largest motor.

    220.87 and part III of article 220 with 430.24: of what was not recorded, the larger sum is
    the one that both are met with.
    """
    answer = ask(us, existing=dwelling(40, motor), existing_load="40 A",
                 circuits=(converter(us, plate),))  # fmt: skip
    assert value(answer, "existing_a")[0] == pytest.approx(there)
    assert value(answer, "largest_motor_a")[0] == pytest.approx(share)
    assert answer.load_a == pytest.approx(50 + there + share)


def test_one_that_could_not_be_calculated_counts_as_none(us: Any) -> None:
    nothing = ExistingLoad(load=None)
    answer = ask(us, existing=nothing, existing_load=None)
    assert answer.load_a == pytest.approx(50)
    assert "supply.no-existing-load" in said(answer)
    answer = ask(us, existing=nothing, existing_load="20 A")
    assert value(answer, "existing_a") == (25, "nec.220.87")
    assert said(answer) == {"supply.existing-load-measured"}


def test_a_record_alone(us: Any) -> None:
    for record, assumed, found in ((None, True, False), ("year", False, False),
                                   ("month", False, False), ("none", False, True)):  # fmt: skip
        answer = ask(us, existing_load="20 A", demand_record=record)
        assert ("supply.existing-load-measured" in said(answer)) == assumed
        severities = {one.code: (one.severity, one.rule) for one in answer.findings}
        unsure = severities.get("supply.demand-not-recorded")
        assert unsure == (("caution", "nec.220.87") if found else None)
