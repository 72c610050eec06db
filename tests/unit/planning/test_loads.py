"""Loads that are no motors: what they draw here, on three lines and on one phase."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import attrs
import pytest
from tests.unit.planning.shops import completed, step, words

from ampwright.case import LoadCase
from ampwright.planning.given import steps_of
from ampwright.planning.loads import LoadPlace, construction, load_case
from ampwright.planning.rated import Words
from ampwright.records.load import Load
from ampwright.step import Worksheet

PLACE = LoadPlace("kiln", 0, "shop/machines/kiln/loads/0")


def read(**fields: Any) -> tuple[LoadCase, Words, Worksheet]:
    said = words()
    stated = Load(**({"kind": "resistive"} | fields))
    case, sheet = load_case(stated, PLACE, completed(), said)
    return case, said, sheet


def test_a_heater_at_its_own_voltage() -> None:
    """6 kW at 240 V: 6000 / (1.732 x 240) = 14.43 A on three lines, 25 A on one phase."""
    case, said, _ = read(power="6 kW", voltage="240 V")
    assert case.power.value == 6000.0
    assert case.three_phase.current.value == pytest.approx(14.434, rel=1e-4)
    assert case.single_phase is not None
    assert case.single_phase.current.value == pytest.approx(25.0)
    assert case.fits
    assert not said.findings


def test_a_resistance_gives_power_by_the_square_of_voltage() -> None:
    """6 kW at 230 V gives 6000 x (240/230)^2 = 6533 W at 240 V."""
    case, _, _ = read(power="6 kW", voltage="230 V")
    assert case.power.value == pytest.approx(6533.1, rel=1e-5)
    assert case.single_phase is not None
    assert case.single_phase.current.value == pytest.approx(6533.1 / 240, rel=1e-5)


@pytest.mark.parametrize("kind", ["rectifier", "welder", "transformer", "constant-power"])
def test_what_is_no_resistance_keeps_its_apparent_power(kind: str) -> None:
    """5 kVA stay 5 kVA: 20.83 A at 240 V, whatever the plate's volts."""
    case, _, _ = read(kind=kind, apparent_power="5 kVA", voltage="230 V", phases=1)
    assert case.single_phase is not None
    assert case.single_phase.current.value == pytest.approx(5000 / 240)


def test_power_over_factor_is_apparent_power() -> None:
    """4 kW at 0.8 are 5 kVA; the power at the panel stays 4 kW."""
    case, _, _ = read(kind="constant-power", power="4 kW", power_factor=0.8, voltage="240 V")
    assert case.three_phase.current.value == pytest.approx(5000 / (math.sqrt(3) * 240))
    assert case.power.value == pytest.approx(4000.0)


@pytest.mark.parametrize(("phases", "va"), [(3, math.sqrt(3) * 240 * 10), (1, 240 * 10)])
def test_current_is_apparent_power_by_the_number_of_lines(phases: int, va: float) -> None:
    case, _, sheet = read(kind="transformer", current="10 A", voltage="240 V", phases=phases)
    assert step(sheet.steps, "/apparent_power").value == pytest.approx(va)
    here = case.three_phase if phases == 3 else case.single_phase
    assert here is not None
    assert here.current.value == pytest.approx(10.0)


def test_apparent_power_goes_before_power_and_power_before_current() -> None:
    both = {"apparent_power": "5 kVA", "power": "1 kW", "current": "1 A", "voltage": "240 V"}
    case, _, _ = read(kind="rectifier", **both)
    assert case.three_phase.current.value == pytest.approx(5000 / (math.sqrt(3) * 240))
    del both["apparent_power"]
    case, _, sheet = read(kind="rectifier", power_factor=1.0, **both)
    assert step(sheet.steps, "/apparent_power").value == 1000.0


def test_a_welders_largest_current_counts() -> None:
    case, _, _ = read(kind="welder", largest_current="32 A", voltage="240 V", duty_cycle=0.4,
                      phases=1)  # fmt: skip
    assert case.single_phase is not None
    assert case.single_phase.current.value == pytest.approx(32.0)
    assert case.single_phase.duty_cycle is not None
    assert case.single_phase.duty_cycle.value == 0.4
    assert not case.single_phase.continuous


@pytest.mark.parametrize(("kind", "factor"), [("resistive", 1.0), ("lamp", 1.0), ("welder", 0.8)])
def test_a_power_factor_that_nobody_stated_is_a_step_with_a_band(kind: str, factor: float) -> None:
    _, _, sheet = read(kind=kind, power="1 kW", voltage="240 V")
    found = step(sheet.steps, "/power_factor")
    assert (found.kind, found.value, found.high) == ("assumed", factor, 1.0)
    stated = read(kind=kind, power="1 kW", voltage="240 V", power_factor=0.9)[2]
    assert not [one for one in stated.steps if one.path.endswith("/power_factor")]


@pytest.mark.parametrize(
    ("fields", "linkable"),
    [
        ({}, True),
        ({"relinkable": True}, True),
        ({"relinkable": False}, False),
        ({"kind": "lamp"}, True),
        ({"kind": "welder", "relinkable": True}, False),
        ({"kind": "welder", "phases": 1}, True),
        ({"relinkable": False, "phases": 1}, True),
    ],
)
def test_what_can_be_fed_by_one_phase(fields: dict[str, Any], *, linkable: bool) -> None:
    """Heaters may be relinked unless somebody says no; the rest only if it is single-phase."""
    case, _, _ = read(power="3 kW", voltage="240 V", **fields)
    assert (case.single_phase is not None) == linkable


@pytest.mark.parametrize(("volts", "fits"), [("220 V", True), ("218 V", False), ("267 V", False)])
def test_a_load_fits_within_a_tenth(volts: str, *, fits: bool) -> None:
    """240/220 = 1.091; 240/218 = 1.101; 240/267 = 0.899."""
    case, said, _ = read(power="3 kW", voltage=volts)
    assert case.fits is fits
    assert [one.code for one in said.findings] == ([] if fits else ["supply.voltage-mismatch"])


def test_the_voltage_of_its_elements_counts_where_no_other_is_stated() -> None:
    case, _, _ = read(power="3 kW", element_voltage="230 V")
    assert case.power.value == pytest.approx(3000 * (240 / 230) ** 2)
    case, _, _ = read(power="3 kW", element_voltage="230 V", voltage="240 V")
    assert case.power.value == pytest.approx(3000)


def test_no_voltage_is_an_assumption() -> None:
    case, said, _ = read(power="3 kW")
    assert case.power.value == 3000.0
    assert [one.code for one in said.assumptions] == ["load.voltage-assumed"]
    assert said.assumptions[0].where == ("kiln",)


@pytest.mark.parametrize(
    ("stated", "asked"),
    [
        ({"kind": "welder"}, True),
        ({"kind": "welder", "phases": 3}, False),
        ({"kind": "welder", "phases": 1}, False),
        ({"kind": "rectifier"}, True),
        ({"kind": "resistive"}, False),
        ({"kind": "resistive", "relinkable": False}, True),
    ],
)
def test_phases_that_nobody_stated_are_assumed_and_asked_for(
    stated: dict[str, Any], *, asked: bool
) -> None:
    """Of a welder they decide the method; elements that can be linked are fed alike either way."""
    case, said, _ = read(power="6 kW", voltage="240 V", **stated)
    assert case.load.phases == stated.get("phases", 3)
    assert [one.code for one in said.assumptions] == ["load.phases-assumed"] * asked
    assert [(one.code, one.field, one.changes) for one in said.questions] == (
        [("load.phases", "machines.kiln.loads[0].phases", "method")] * asked
    )


def test_only_stated_phases_stand_as_stated() -> None:
    for stated, paths in (({}, []), ({"phases": 3}, ["shop/phases_stated"])):
        given = [one.path for one in steps_of(Load(kind="welder", power="6 kW", **stated), "shop")]
        assert [one for one in given if "phases" in one] == paths


def test_twice_the_power_draws_twice_the_current() -> None:
    one, two = (read(power=power, voltage="230 V")[0] for power in ("2 kW", "4 kW"))
    assert two.three_phase.current.value == pytest.approx(2 * one.three_phase.current.value)
    assert two.power.value == pytest.approx(2 * one.power.value)


def test_the_demands_name_the_load_and_its_machine() -> None:
    case, _, _ = read(power="3 kW", voltage="240 V")
    assert case.single_phase is not None
    for phases, one in ((3, case.three_phase), (1, case.single_phase)):
        assert (one.id, one.machine, one.phases) == ("kiln/load0", "kiln", phases)
        assert one.continuous  # heat goes on for hours


def test_elements_in_star_are_relinked_side_by_side() -> None:
    """400 V between lines over elements of 230 V: they give their power at 230 V on one phase.

    At 240 V that is 6000 x (240 / (400 / 1.732))^2 = 6480 W.
    """
    case, said, _ = read(power="6 kW", voltage="400 V", element_voltage="230 V")
    assert case.fits
    assert not said.findings
    assert case.power.value == pytest.approx(6000 * (240 / (400 / math.sqrt(3))) ** 2)


def test_elements_in_delta_have_the_voltage_between_lines() -> None:
    """240 V between lines over elements of 240 V: 240 / (1.732 x 240) is far from one."""
    case, _, _ = read(power="6 kW", voltage="240 V", element_voltage="240 V")
    assert case.power.value == pytest.approx(6000)


@pytest.mark.parametrize(("element", "star"), [("253 V", True), ("206 V", False)])
def test_elements_in_star_are_told_by_a_tenth(element: str, *, star: bool) -> None:
    """400 / (1.732 x 253) = 0.913 is a star; 400 / (1.732 x 206) = 1.121 is none."""
    case, _, _ = read(power="6 kW", voltage="400 V", element_voltage=element)
    assert case.fits is star


def test_a_lamp_for_half_the_voltage_stands_between_line_and_neutral() -> None:
    """120 V of 120/240 V: 1200 W draw 10 A there."""
    case, said, _ = read(kind="lamp", power="1.2 kW", voltage="120 V", phases=1)
    assert case.fits
    assert not said.findings
    assert case.power.value == pytest.approx(1200)
    assert case.single_phase is not None
    assert case.single_phase.current.value == pytest.approx(10.0)


def test_a_load_on_three_lines_is_not_fed_from_a_neutral() -> None:
    case, said, _ = read(power="1.2 kW", voltage="120 V")
    assert not case.fits
    assert [one.code for one in said.findings] == ["supply.voltage-mismatch"]


def test_the_band_of_a_usual_power_factor_holds_its_value() -> None:
    _, _, sheet = read(kind="welder", power="1 kW", voltage="240 V")
    found = step(sheet.steps, "/power_factor")
    assert found.low == pytest.approx(0.64)
    assert found.high == 1.0


@pytest.mark.parametrize(
    ("fields", "said", "made"),
    [
        ({}, "", ""),
        ({}, "Welder, rear bay", ""),
        ({"name": "Spot welder"}, "", "resistance"),
        ({}, "SEAM WELDER 30 KVA 50%", "resistance"),
        ({}, "Punktschweißgerät", "resistance"),
        ({"name": "MIG"}, "", "arc"),
        ({}, "TIG/MMA inverter", "arc"),
        ({"name": "spot and MIG"}, "", ""),
        ({"duty_cycle": 0.6}, "", "arc"),
        ({"duty_cycle": 0.5}, "", ""),
        ({"duty_cycle": 0.6, "name": "spot"}, "", "resistance"),
        ({"largest_current": "32 A", "name": "spot"}, "", "arc"),
        ({"effective_current": "20 A"}, "", "arc"),
        ({"name": "spotless"}, "", ""),
    ],
)
def test_marks_and_words_tell_how_a_welder_is_made(
    fields: dict[str, Any], said: str, made: str
) -> None:
    """Only arc welders are marked with I1max and I1eff: NFPA 70, 630.14 and 630.34."""
    stated = Load(**({"kind": "welder", "current": "40 A"} | fields))
    assert construction(stated, said) == made
    case, _ = load_case(stated, PLACE._replace(said=said), completed(), words())
    assert case.three_phase.construction == made


def test_a_name_tells_an_autotransformer() -> None:
    one = Load(kind="transformer", apparent_power="5 kVA", name="Autotransformer 208/240")
    assert construction(one, "") == "auto"
    assert construction(attrs.evolve(one, name="Control transformer"), "") == ""
    assert construction(Load(kind="lamp", power="1 kW", name="arc lamp"), "") == ""


def test_elements_for_208_v_give_a_third_too_much_on_240_v() -> None:
    """(240 / 208)^2 = 1.331: an electrician's sum in the head."""
    _, said, sheet = read(power="9 kW", voltage="208 V")
    (one,) = said.findings
    (heat,) = (part for part in one.parameters if part.name == "heat")
    assert heat.value == pytest.approx(1.331, rel=1e-3)
    assert step(sheet.steps, "/heat").value == heat.value
