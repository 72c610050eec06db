"""A feeder that is there: what unmarked terminals leave of it, and what a marking would.

3 AWG copper: 85 A at 60 degC and 100 A at 75 degC (NFPA 70, Table 310.16); terminals of circuits up
to 100 A count as 60 degC without a marking (110.14(C)(1)(a)).
"""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.families.nec.services import ask, parameter

LYING = {"size": "3 AWG", "material": "copper", "length": "20 m", "insulation": "THWN-2"}


def answered(us: Any, amps: float, terminals: str | None = None) -> Any:
    site = us.site(terminals=terminals)
    return ask(us, amps, rating="100 A", feeder=LYING, existing_load="0 A", site=site)


def said(answer: Any) -> set[tuple[str, str]]:
    return {(one.code, one.severity) for one in answer.findings if one.code.startswith("feeder.")}


@pytest.mark.parametrize("amps", [80, 99])
def test_a_marking_may_prove_it_large_enough(us: Any, amps: float) -> None:
    """Behind 100 A, 85 A are too few even for 80 A: the next device above them is one of 90 A."""
    assert said(answered(us, amps)) == {("feeder.terminals-decide", "caution")}


def test_no_marking_makes_it_larger_than_its_size(us: Any) -> None:
    assert ("feeder.undersized", "blocks") in said(answered(us, 101))


@pytest.mark.parametrize(
    ("terminals", "expected"), [("75 degC", set()), ("60 degC", {("feeder.undersized", "blocks")})]
)
def test_a_marking_that_is_known_decides(
    us: Any, terminals: str, expected: set[tuple[str, str]]
) -> None:
    assert said(answered(us, 90, terminals)) == expected


def test_the_marking_is_asked_for_and_both_currents_are_said(us: Any) -> None:
    answer = answered(us, 90)
    name = "feeder.terminals-decide"
    assert parameter(answer, name, "ampacity") == 85.0
    assert parameter(answer, name, "marked") == 100.0
    assert ("site.terminals", "size") in {(one.field, one.changes) for one in answer.questions}
