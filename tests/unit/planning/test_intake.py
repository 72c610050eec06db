"""Intake: plates read, machines completed, and every number given a step."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.planning.shops import (
    case_of,
    heater,
    machine,
    motor,
    only,
    shop,
    step,
    supply,
    words,
)

from ampwright.case import Case
from ampwright.errors import ConsistencyError
from ampwright.finding import Assumption, Finding, Parameter, Question
from ampwright.nameplate.plate import read_plate
from ampwright.planning.bounds import bounded
from ampwright.planning.intake import (
    USUAL,
    expanded,
    intake,
    limits_of,
    parts_of,
    proved,
    traced,
)
from ampwright.planning.observations import observed
from ampwright.records.load import Load
from ampwright.records.machine import Machine, Route
from ampwright.records.motor import Motor
from ampwright.step import Worksheet

PLATE = "5 HP 3PH 60CY 1740 RPM 230/460 V 13.2/6.6 A CODE J SF 1.15 DES B"


def single_phase(**changes: Any) -> Motor:
    usual: dict[str, Any] = {
        "power": "1 hp", "voltage": "230 V", "current": "8 A", "phases": 1, "frequency": "60 Hz"
    }  # fmt: skip
    return Motor(**(usual | changes))


def codes(several: Any) -> set[str]:
    return {one.code for one in several}


def test_machines_stand_as_often_as_there_are_of_them() -> None:
    machines, copies = expanded(shop(machine("a", quantity=3), machine("b")))
    assert [one.id for one in machines] == ["a", "a:2", "a:3", "b"]
    assert copies == {"a": ("a", "a:2", "a:3"), "b": ("b",)}
    assert all(one.quantity == 1 for one in machines)
    assert machines[1].motors == machines[0].motors


def test_every_copy_draws_what_the_first_draws() -> None:
    case = case_of(machine("a", quantity=2), machine("b"))
    first, second, _ = case.machines
    assert second.equal_kva.value == first.equal_kva.value
    assert second.equal_kva.path != first.equal_kva.path
    assert case.sets[0].machines == ("a", "a:2", "b")


def test_what_is_said_of_a_copy_quotes_the_statement_of_its_kind() -> None:
    """There is one statement for all of them, so there is one step."""
    case = case_of(machine("a", quantity=2, load_inertia="0.1 kg.m2", stopping_time_limit="10 s"))
    known = {one.path for one in case.steps}
    assert case.stated_at("a") == case.stated_at("a:2") == "shop/machines/a"
    for one in case.steps:
        assert {path for _, path in one.inputs} <= known, one.path
    for copy in case.machines:
        rotor = step(case.steps, f"machines/{copy.id}/motors/0/rotor_inertia").value
        assert copy.motors[0].inertia.value == pytest.approx(0.1 + float(rotor))
    told = [found for found in observed(case) if found.code == "safety.braking-time"]
    assert [found.where for found in told] == [("a",), ("a:2",)]
    assert {part.step for found in told for part in found.parameters} <= known


def test_no_machine_has_the_id_of_anothers_copy() -> None:
    with pytest.raises(ConsistencyError, match="a:2") as caught:
        shop(machine("a", quantity=2), machine("a:2"))
    assert (caught.value.code, caught.value.path) == ("id.duplicate", "machines[1].id")
    assert len(case_of(machine("a", quantity=2), machine("a:3")).machines) == 3


def test_an_id_that_looks_like_a_copys_is_its_own() -> None:
    case = case_of(machine("a"), machine("b:2"))
    assert case.stated_at("b:2") == "shop/machines/b:2"


def test_which_horsepower_was_read_is_said_with_the_definition_beside_it() -> None:
    """735.49875 W by 75 kp m/s, 745.69987 W by 550 ft lbf/s."""
    case = case_of(machine("press", motors=(motor(power="5 PS"),)))
    (found,) = [one for one in case.findings if one.code == "nameplate.ambiguous-unit"]
    assert found.where == ("press",)
    by_path = {one.path: one for one in case.steps}
    numbers = [one for one in found.parameters if not isinstance(one.value, str)]
    assert [one.value for one in numbers] == pytest.approx([735.49875, 745.69987])
    for one in numbers:
        assert by_path[one.step].value == one.value
        assert by_path[one.step].kind == "assumed"


def test_a_plate_and_the_same_figures_stated_give_the_same_machine() -> None:
    stated = motor(code_letter="J", service_factor=1.15, design="B")
    one = only(case_of(machine(plate=PLATE)))
    two = only(case_of(machine(motors=(stated,))))
    assert one.equal_kva.value == two.equal_kva.value
    (mine,), (theirs,) = one.motors, two.motors
    assert mine.circuit == theirs.circuit
    assert mine.demand.locked_rotor_current is not None
    assert theirs.demand.locked_rotor_current is not None
    assert mine.demand.locked_rotor_current.value == theirs.demand.locked_rotor_current.value
    assert mine.demand.design == "B"


def test_figures_of_a_plate_are_steps_of_the_plate() -> None:
    case = case_of(machine(plate=PLATE))
    found = step(case.steps, "machines/saw/plate/motors/0/ratings/0/current_a")
    assert found.value == 13.2
    assert found.source is not None
    assert found.source.document == "read from the plate"
    assert only(case).motors[0].demand.current.path == found.path


def test_findings_of_a_plate_name_the_machine_and_quote_steps() -> None:
    case = case_of(machine("press", plate="5 PS 3PH 60CY 1740 RPM 230/460 V 13.2/6.6 A"))
    (found,) = [one for one in case.findings if one.code == "nameplate.ambiguous-unit"]
    assert found.where == ("press",)
    paths = {one.path: one.value for one in case.steps}
    for part in found.parameters:
        if not isinstance(part.value, str):
            assert paths[part.step] == part.value


def test_what_is_said_of_voltages_is_said_once_the_supply_is_known() -> None:
    said = [one.code for one in case_of(machine(plate=PLATE)).findings]
    assert said.count("nameplate.dual-voltage") == 1


def test_a_locale_reaches_the_plate() -> None:
    case = case_of(machine(plate="5,5 kW 230/400 V 60 Hz 1740 RPM"), locale="de-DE")
    assert only(case).motors[0].demand.power.value == 5500.0


def test_what_a_plate_proves_is_added_where_nobody_said_otherwise() -> None:
    plate = read_plate("HERMETIC COMPRESSOR RLA 20 A LRA 120 230 V 3PH 60 HZ")
    assert "hermetic" in plate.traits
    plain = Machine(id="a", plate="x")
    assert "hermetic" in proved(plain, plate).traits
    own = Machine(id="a", plate="x", traits=("hermetic", "reversing"))
    assert proved(own, plate).traits == ("hermetic", "reversing")


def test_what_the_caller_says_goes_before_the_plate() -> None:
    plate = read_plate(PLATE)
    for needed in (True, False):
        one = Machine(id="a", plate=PLATE, needs_neutral=needed, motors_one_at_a_time=needed)
        found = proved(one, plate)
        assert found.needs_neutral is needed
        assert found.motors_one_at_a_time is needed
    soft = Machine(id="a", plate=PLATE, starter="soft")
    assert proved(soft, plate).starter == "soft"


def test_loads_beside_a_plate_are_kept() -> None:
    lamp = Load(kind="lamp", power="60 W", voltage="230 V", phases=1)
    case = case_of(Machine(id="saw", plate=PLATE, loads=(lamp,), length="10 m"))
    assert [one.load.kind for one in only(case).loads] == ["lamp"]


def test_numbers_of_what_is_said_get_steps_of_their_own() -> None:
    sheet = Worksheet("here")
    said = Finding(code="x.y", severity="info", parameters=(
        Parameter(name="text", value="word"),
        Parameter(name="a", value=1.0, unit="A"),
        Parameter(name="b", value=2.0, unit="A"),
        Parameter(name="known", value=3.0, step="elsewhere"),
    ))  # fmt: skip
    found = traced(said, sheet)
    assert [one.value for one in found] == ["word", 1.0, 2.0, 3.0]
    assert found[0].step == ""
    assert found[3].step == "elsewhere"
    paths = [one.path for one in sheet.steps]
    assert [one.step for one in found[1:3]] == paths
    assert len(set(paths)) == 2


def test_parts_of_a_machine_without_a_plate_are_its_own() -> None:
    told = words()
    lamp = Load(kind="lamp", power="60 W", phases=1)
    one = machine("a", motors=(motor(),), loads=(lamp,))
    found = parts_of(one, "a", None, told)
    assert found.motors == one.motors
    assert found.loads == one.loads
    assert found.where == "shop/machines/a"


@pytest.mark.parametrize(
    ("fields", "metres", "path"),
    [
        ({"length": "17 m"}, 17.0, "shop/machines/saw/length_m"),
        ({"length": None, "route": Route(length="9 m")}, 9.0, "shop/machines/saw/route/length_m"),
        ({"length": "17 m", "route": Route(length="9 m")}, 9.0,
         "shop/machines/saw/route/length_m"),
    ],
)  # fmt: skip
def test_the_length_of_cable_as_stated(fields: dict[str, Any], metres: float, path: str) -> None:
    case = case_of(machine(**fields))
    assert only(case).length == (metres, path)
    assert path in {one.path for one in case.steps}
    assert "plan.route-unknown" not in codes(case.findings)


def test_an_unknown_length_is_a_usual_one_and_said() -> None:
    case = case_of(machine(length=None))
    assert only(case).length.value == USUAL.number("length", "value")
    assert "plan.route-unknown" in codes(case.findings)
    (said,) = [one for one in case.assumptions if one.code == "machine.length-assumed"]
    assert said.parameters[0].unit == "m"
    (told,) = [one for one in case.findings if one.code == "plan.route-unknown"]
    assert (told.severity, told.where) == ("caution", ("saw",))
    found = step(case.steps, "machines/saw/length")
    assert found.low == USUAL.number("length", "low")
    assert found.high == USUAL.number("length", "high")


def test_hours_and_average_load_are_stated_or_usual() -> None:
    known = case_of(machine(hours_per_year="321 h", average_load=0.45))
    assert only(known).hours == (321.0, "shop/machines/saw/hours_per_year_h")
    assert only(known).average_load == (0.45, "shop/machines/saw/average_load")
    assert not codes(known.assumptions) & {"machine.hours-assumed", "machine.average-load-assumed"}
    usual = case_of(machine())
    assert only(usual).hours.value == USUAL.number("hours", "value")
    assert only(usual).average_load.value == USUAL.number("average_load", "value")
    assert {"machine.hours-assumed", "machine.average-load-assumed"} <= codes(usual.assumptions)


def test_equal_apparent_power_by_hand() -> None:
    """Motor 1.732 x 230 x 13.2 / 240 = 21.91 A; heater of 6 kW on three lines 6000 / 240 = 25 A.

    A single-phase motor of 8 A at 230 V: 8 x 230 / 240 = 7.667 A; a lamp of 240 W: 1 A. What a
    plate states at another voltage counts as it is stated: 6 kW stay 25 A.
    """
    three = machine("a")
    assert only(case_of(three)).equal_kva.value == pytest.approx(21.9104, rel=1e-5)
    assert only(case_of(heater())).equal_kva.value == pytest.approx(25.0)
    fixed = only(case_of(heater(relinkable=False)))
    assert fixed.equal_kva.value == pytest.approx(25.0)
    drill = machine("d", motors=(single_phase(),))
    assert only(case_of(drill)).equal_kva.value == pytest.approx(7.66667, rel=1e-5)
    assert only(case_of(heater(voltage="230 V"))).equal_kva.value == pytest.approx(25.0)
    mixed = machine(
        "m", motors=(motor(), single_phase()),
        loads=(Load(kind="lamp", power="240 W", voltage="240 V", phases=1),),
    )  # fmt: skip
    assert only(case_of(mixed)).equal_kva.value == pytest.approx(21.9104 + 7.6667 + 1.0, rel=1e-5)


def test_twice_the_current_is_twice_the_apparent_power() -> None:
    one, two = (
        only(case_of(machine(motors=(motor(power=None, voltage="230 V", current=current),))))
        for current in ("5 A", "10 A")
    )
    assert two.equal_kva.value == pytest.approx(2 * one.equal_kva.value)


def test_of_motors_one_at_a_time_only_the_largest_counts() -> None:
    both = (motor(power="1 hp", current="3.5/1.7 A"), motor())
    one = only(case_of(machine(motors=both, motors_one_at_a_time=True)))
    assert one.equal_kva.value == pytest.approx(21.9104, rel=1e-5)
    every = only(case_of(machine(motors=both)))
    assert every.equal_kva.value == pytest.approx(math.sqrt(3) * 230 * 16.7 / 240)


def test_motors_are_told_apart_by_their_phases() -> None:
    found = only(case_of(machine(motors=(motor(), single_phase()))))
    assert [one.demand.id for one in found.motors] == ["saw/0"]
    assert [one.id for one in found.single_phase] == ["saw/1"]


def test_limits_are_steps() -> None:
    figures, steps = limits_of(bounded({"run-up-time": 8.0}))
    assert figures["run-up-time"] == (8.0, "limits/run-up-time")
    by_path = {one.path: one for one in steps}
    found = by_path["limits/run-up-time"]
    assert (found.value, found.unit) == (8.0, "s")
    assert found.source is not None
    assert found.source.known == "caller"
    assert len(by_path) == len(figures) == len(bounded(None))


@pytest.fixture(scope="module")
def whole() -> Case:
    return case_of(
        machine("a", length=None, motors=(motor(current=None, efficiency=0.85),)),
        machine("b", plate=PLATE, quantity=2),
        machine("c", motors=(single_phase(),), needs=("a",)),
        heater("d", voltage="230 V"),
        together=(("a", "b"), ("c",)),
        supply=supply(transformer="25 kVA"),
    )


def test_every_step_stands_once_and_rests_on_others_that_stand(whole: Case) -> None:
    paths = [one.path for one in whole.steps]
    assert len(set(paths)) == len(paths)
    known = set(paths)
    for one in whole.steps:
        assert {path for _, path in one.inputs} <= known, one.path


def test_whatever_is_said_quotes_steps_that_stand(whole: Case) -> None:
    known = {one.path: one.value for one in whole.steps}
    said: list[Finding | Assumption | Question] = [*whole.findings, *whole.assumptions]
    for one in [*said, *whole.questions]:
        for part in one.parameters:
            if not isinstance(part.value, str):
                assert known[part.step] == part.value, one.code


def test_the_case_carries_supply_sets_and_machines_in_order(whole: Case) -> None:
    assert [one.id for one in whole.machines] == ["a", "b", "b:2", "c", "d"]
    # c needs a; d stands in no set, so it runs by itself
    assert [one.machines for one in whole.sets] == [("a", "b", "b:2"), ("a", "c"), ("d",)]
    assert whole.supply.voltage.value == 240.0
    assert whole.machine("b:2").id == "b:2"


def test_intake_leaves_the_shop_as_it_was() -> None:
    stated = shop(machine("a", plate=PLATE), machine("b", quantity=2))
    before = stated.to_dict()
    found = intake(stated, bounded(None))
    assert found.shop is stated
    assert stated.to_dict() == before


def test_a_share_that_is_assumed_has_no_unit() -> None:
    case = case_of(machine())
    (said,) = [one for one in case.assumptions if one.code == "machine.average-load-assumed"]
    assert said.parameters[0].unit == ""


def test_what_runs_for_hours_is_told_to_the_wiring_rules() -> None:
    """A rectifier runs for three hours only if somebody says so; heat always may."""
    load = Load(kind="rectifier", power="2 kW", voltage="240 V")
    plain = Machine(id="m", length="5 m", loads=(load,))
    lasting = Machine(id="m", length="5 m", loads=(load,), traits=("continuous",))
    assert not only(case_of(plain)).loads[0].three_phase.continuous
    assert only(case_of(lasting)).loads[0].three_phase.continuous


def test_hours_a_day_make_those_of_a_year() -> None:
    """250 working days of 8 h: common practice, no source."""
    case = case_of(machine(hours_per_day="8 h"))
    assert only(case).hours.value == 2000.0
    assert "machine.days-assumed" in codes(case.assumptions)
    assert "machine.hours-assumed" not in codes(case.assumptions)
    both = case_of(machine(hours_per_day="8 h", hours_per_year="300 h"))
    assert only(both).hours.value == 300.0
