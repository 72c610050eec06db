"""What a way means for a residual-current device and for a weak source ahead of it."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, supply
from tests.unit.planning.stand_ins import Code, proposal, start

from ampwright.finding import Finding
from ampwright.planning.assembly import Draft
from ampwright.planning.circuits import equip
from ampwright.planning.consequences import with_consequences
from ampwright.records.load import Load

ELECTRONICS = (Load(kind="rectifier", current="10 A", voltage="240 V"),)


def said(one: Any, made: Any = None, **source: Any) -> list[Finding]:
    case = case_of(made or machine("a"), supply=supply(**source))
    equipped = equip(Draft(id="x", proposals=(one,), left_out=()), case, Code())
    before = len(equipped.findings)
    found = with_consequences(equipped, case)
    values = {step.path: step.value for step in (*found.steps, *case.steps)}
    for part in (part for each in found.findings[before:] for part in each.parameters):
        assert values[part.step] == part.value
    return list(found.findings[before:])


@pytest.mark.parametrize(
    ("method", "load", "expected"),
    [
        ("drive", False, True), ("electronic", False, True), ("rotary", False, False),
        ("rotary", True, False), ("relink", True, True), ("relink", False, False),
    ],
)  # fmt: skip
def test_a_rectifier_behind_a_device_of_unknown_type(
    method: str, *, load: bool, expected: bool
) -> None:
    made = machine("a", loads=ELECTRONICS) if load else machine("a")
    found = said(proposal(method, ["a"]), made, residual_current="30 mA")
    assert [one.code for one in found] == (["protection.rcd-type"] if expected else [])


@pytest.mark.parametrize(
    "source", [{}, {"residual_current": "30 mA", "residual_type": "b"}, {"residual_type": "ac"}]
)
def test_without_such_a_device_or_with_its_type_there_is_nothing_to_say(source: Any) -> None:
    assert said(proposal("drive", ["a"]), **source) == []


def test_a_device_on_the_supply_does_not_matter_to_another_supply() -> None:
    assert said(proposal("drive", ["a"], own_supply=True), residual_current="30 mA") == []


@pytest.mark.parametrize(("surge", "enough"), [("24 kVA", True), ("23.9 kVA", False)])
def test_a_source_gives_the_start_or_not(surge: str, *, enough: bool) -> None:
    """100 A at 240 V are 24 kVA."""
    one = proposal("rotary", ["a"], starts=(start("a", current_a=100.0),))
    found = said(one, source="generator", surge=surge)
    assert [(each.code, each.severity) for each in found] == (
        [] if enough else [("supply.source-surge", "blocks")]
    )
