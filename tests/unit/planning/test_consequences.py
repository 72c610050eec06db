"""What a way means for a residual-current device and for a weak source ahead of it."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import attrs
import pytest
from tests.unit.planning.shops import case_of, machine, supply
from tests.unit.planning.stand_ins import Code, converter, proposal, start, state

from ampwright.finding import Finding
from ampwright.planning.assembly import Draft
from ampwright.planning.circuits import equip
from ampwright.planning.circumstances import circumstances
from ampwright.planning.consequences import with_consequences
from ampwright.planning.placing import placing
from ampwright.records.load import Load
from ampwright.records.site import ConverterPlace, Site
from ampwright.records.supply import Standby

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


@pytest.mark.parametrize(
    ("rating", "load", "said_so"),
    [("15 kVA", "10 A", False), ("10 kVA", "10 A", True), ("10 kVA", "0 A", False)],
)
def test_a_contract_bounds_what_runs_and_is_there(rating: str, load: str, *, said_so: bool) -> None:
    """40 A run: with 10 A there 50 A x 240 V = 12 kVA, alone 9.6 kVA."""
    one = proposal("rotary", ["a"], states=(state("rotary", "all", input_current_a=40.0),))
    found = said(one, contract=rating, existing_load=load)
    assert [each.code for each in found if each.severity == "blocks"] == (
        ["supply.single-phase-limit"] if said_so else []
    )


@pytest.mark.parametrize(
    ("fields", "codes"),
    [
        ({"apparent_power": "9 kVA"}, ["supply.standby-too-small"]),
        ({"apparent_power": "10 kVA"}, []),
        ({"voltage": "230 V"}, []),
        ({"voltage": "120 V"}, ["supply.standby-voltage"]),
    ],
)
def test_a_second_source_carries_what_runs_or_not(fields: Any, codes: list[str]) -> None:
    """40 A at 240 V are 9.6 kVA."""
    one = proposal("rotary", ["a"], states=(state("rotary", "all", input_current_a=40.0),))
    found = said(one, standby=Standby(kind="generator", connection="interlock", **fields))
    assert [each.code for each in found] == codes


@pytest.mark.parametrize(("tolerance", "told"), [(0.11, False), (0.09, True)])
def test_a_machine_that_stands_less_than_it_gets(tolerance: float, *, told: bool) -> None:
    """216 V on lines of 240 V are a tenth off, and so is the supply at its assumed lowest."""
    lines = attrs.evolve(
        state("rotary", "all", line_voltage_v=(240.0, 240.0, 216.0)), running=("a",)
    )
    one = proposal("rotary", ["a"], states=(lines,))
    found = said(one, machine("a", voltage_tolerance=tolerance))
    assert [each.code for each in found] == (["machine.supply-quality"] if told else [])


@pytest.mark.parametrize(
    ("controls", "impedance", "drops"),
    [
        ("supply-lines", "0.37 ohm", True), ("supply-lines", "0.35 ohm", False),
        ("none", "0.37 ohm", False), (None, "0.37 ohm", False),
    ],
)  # fmt: skip
def test_coils_drop_out_in_a_deep_dip(controls: Any, impedance: str, *, drops: bool) -> None:
    """100 A on 0.36 ohm are 36 V, fifteen percent of 240 V."""
    one = proposal("rotary", ["a"], starts=(start("a", current_a=100.0),))
    found = said(one, machine("a", controls=controls), impedance=impedance)
    assert [each.code for each in found] == (["control.dropout-at-start"] if drops else [])


@pytest.mark.parametrize(
    ("method", "stop", "told"),
    [("drive", True, True), ("drive", None, False), ("rotary", True, False)],
)
def test_an_emergency_stop_acts_on_the_drive(method: str, stop: Any, *, told: bool) -> None:
    found = said(proposal(method, ["a"]), machine("a", emergency_stop=stop))
    assert [each.code for each in found] == (["drive.emergency-stop"] if told else [])


@pytest.mark.parametrize(
    ("place", "codes"),
    [
        ({"room": "cellar"}, ["site.converter-damp"]),
        ({"room": "shop", "ventilation": "open", "dust": "none", "noise": "75 dB"}, []),
        ({"ventilation": "closed", "dust": "combustible"},
         ["site.converter-air", "site.converter-dust"]),
        ({"noise": "60 dB"}, ["site.converter-noise"]),
    ],
)  # fmt: skip
def test_where_the_converter_stands(place: Any, codes: list[str]) -> None:
    made = converter("rotary", "a", idler_power_w=7457.0)
    case = case_of(machine("a"), site=Site(converter_place=ConverterPlace(**place)))
    one = proposal("rotary", ["a"], converters=(made,))
    assert [each.code for each in placing(case, (one,))] == codes
    drive = proposal("drive", ["a"], converters=(converter("drive.a", "a"),))
    assert not list(placing(case, (drive,)))


@pytest.mark.parametrize(
    ("stated", "told"),
    [({"residual_current": "30 mA"}, True), ({}, False),
     ({"residual_current": "30 mA", "residual_type": "b"}, False)],
)  # fmt: skip
def test_a_device_of_unknown_type_ahead_is_said_whichever_way_is_taken(
    stated: Any, *, told: bool
) -> None:
    found = {one.code for one in circumstances(case_of(supply=supply(**stated)))}
    assert ("protection.rcd-type" in found) is told


@pytest.mark.parametrize(
    ("controls", "volts", "together", "told"),
    [
        ("made-leg", 203.0, True, True), (None, 203.0, True, True),
        ("own-transformer", 119.0, True, True), ("made-leg", 205.0, True, False),
        ("supply-lines", 119.0, True, False), ("none", 119.0, True, False),
        ("made-leg", 119.0, False, False),
    ],
)  # fmt: skip
def test_what_runs_may_lose_its_contactor_while_another_starts(
    controls: Any, volts: float, *, together: bool, told: bool
) -> None:
    """A contactor holds down to 0.85 x 240 = 204 V; what runs alone sees no other start."""
    sets = [["a", "b"]] if together else [["a"], ["b"]]
    case = case_of(machine("a", controls=controls), machine("b", controls="none"), together=sets)
    lines = state("rotary", "all", line_voltage_v=(240.0, 240.0, 236.0))
    starts = (start("a", lowest_voltage_v=110.0), start("b", lowest_voltage_v=volts))
    one = proposal("rotary", ["a", "b"], states=(lines,), starts=starts)
    equipped = equip(Draft(id="x", proposals=(one,), left_out=()), case, Code())
    found = [
        each
        for each in with_consequences(equipped, case).findings
        if each.code == "control.dropout-while-running"
    ]
    assert [each.where for each in found] == ([("a",)] if told else [])
    for each in found:
        values = {part.name: part.value for part in each.parameters}
        assert values == {"voltage": volts, "starting": "b"}
