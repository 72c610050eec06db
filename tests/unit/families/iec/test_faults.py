"""Faults: protective conductor, disconnection in TN, TT and IT, residual current devices."""
# ruff: noqa: ANN401 - the asker builds records

import math
from typing import Any

import attrs
import pytest

from ampwright.step import Figure


def figure(value: float) -> Figure:
    return Figure(float(value), "case/given")


def codes(answer: Any) -> set[str]:
    return {one.code for one in answer.findings}


def said(answer: Any, code: str) -> dict[str, Any]:
    (one,) = [one for one in answer.findings if one.code == code]
    return {part.name: part.value for part in one.parameters}


def heater(iec: Any, amperes: float, **changes: Any) -> Any:
    return iec.single(loads=(iec.load(amperes),), running_current=figure(amperes), **changes)


def motor(iec: Any, **changes: Any) -> Any:
    return iec.made(motors=(iec.motor(3, 11),), starting_time=figure(0.5), **changes)


@pytest.mark.parametrize(
    ("amperes", "line", "protective"),
    [
        # table 54.2: as the line up to 16, then 16, above 35 half; status: seen
        (19, "2.5 mm2", "2.5 mm2"),
        (60, "16 mm2", "16 mm2"),
        (75, "25 mm2", "16 mm2"),
        (95, "35 mm2", "16 mm2"),
        (120, "50 mm2", "25 mm2"),
    ],
)
def test_protective_conductor_by_the_table(
    iec: Any, amperes: float, line: str, protective: str
) -> None:
    circuit = iec.ask(heater(iec, amperes)).circuit
    assert circuit.conductor.size == line
    assert circuit.protective_conductor.size == protective
    assert circuit.protective_conductor.count == 1


def test_a_fault_of_much_energy_asks_for_a_larger_conductor(iec: Any) -> None:
    """B 10 A at 9 kA lets 70 kA2s through: sqrt(70000) / 115 = 2.30 mm2, so 1.5 will not do."""
    small = iec.ask(heater(iec, 9, fault_largest=figure(2900))).circuit
    assert small.conductor.size == "1.5 mm2"
    large = iec.ask(heater(iec, 9, fault_largest=figure(9000))).circuit
    assert large.conductor.size == "2.5 mm2"
    assert large.protective_conductor.size == "2.5 mm2"


@pytest.mark.parametrize(("source", "needed"), [(105, 1.761), (70, None)])
def test_a_fault_that_lasts_may_heat_a_conductor_too_much(
    iec: Any, source: float, needed: float | None
) -> None:
    """Behind D 10 A, which trips at once from 200 A; 12 m of 1.5 mm2 are 0.1747 ohm at 70 C.

    230 / (230 / 105 + 2 x 0.1747) = 90.56 A for the 5 s of a distribution circuit: 90.56 x sqrt(5)
    / 115 = 1.761 mm2. Of 70 A 63.3 A are left, which 1.23 mm2 bear. IEC 60364-4-43, 434.5.2.
    """
    answer = iec.ask(
        iec.made(role="output", fed_from="supply.rotary", motors=(iec.motor(3, 8),),
                 fault_source=figure(source), starting_time=figure(1))
    )  # fmt: skip
    device, sizes = answer.circuit.protective_device, answer.circuit
    assert (device.curve, device.rating_a) == ("D", 10)
    assert sizes.conductor.size == sizes.protective_conductor.size == "1.5 mm2"
    said = [one for one in answer.findings if one.code == "protection.conductor-heat"]
    assert [(one.severity, one.rule) for one in said] == (
        [] if needed is None else [("caution", "iec.434.5.2")]
    )
    for one in said:
        values = {part.name: part.value for part in one.parameters}
        assert values["needed"] == pytest.approx(needed, abs=1e-3)
        assert (values["size"], values["time"]) == ("1.5 mm2", 5.0)


def test_a_drive_gets_a_second_protective_conductor(iec: Any) -> None:
    drive = iec.converter(18, id="drive", method="drive", kind="drive")
    demand = iec.single(role="supply", converter=drive, motors=(iec.motor(2.2, 8.5),))
    answer = iec.ask(demand)
    assert answer.circuit.protective_conductor.count == 2
    (said,) = [one for one in answer.findings if one.code == "protection.reinforced-earth"]
    assert (said.severity, said.rule) == ("caution", "iec.543.7")
    assert {one.name: one.value for one in said.parameters} == {
        "size": answer.circuit.protective_conductor.size, "least": 10.0,
    }  # fmt: skip
    large = iec.converter(50, id="drive", method="drive", kind="drive")
    thick = iec.ask(attrs.evolve(demand, converter=large)).circuit
    assert thick.protective_conductor.area_mm2 >= 10
    assert thick.protective_conductor.count == 1


@pytest.mark.parametrize(("amperes", "size", "count"), [(36, "10 mm2", 2), (50, "16 mm2", 1)])
def test_one_protective_conductor_of_aluminium_for_a_drive_has_16_mm2(
    iec: Any, amperes: float, size: str, count: int
) -> None:
    """IEC 60364-5-54, 543.7 (from memory): 10 mm2 of copper or 16 mm2 of aluminium."""
    drive = iec.converter(amperes, id="drive", method="drive", kind="drive")
    demand = iec.single(role="supply", converter=drive, motors=(iec.motor(5.5, 19),))
    answer = iec.ask(demand, site=iec.site(conductor_material="aluminum"))
    guard = answer.circuit.protective_conductor
    assert (guard.size, guard.material, guard.count) == (size, "aluminum", count)
    said = [one for one in answer.findings if one.code == "protection.reinforced-earth"]
    least = [part.value for one in said for part in one.parameters if part.name == "least"]
    assert least == ([16.0] if count == 2 else [])


def loop_by_hand(source: float, ohm_per_km: float, metres: float) -> float:
    """Return the loop of line and protective conductor alike at 70 C, reactance added [ohm]."""
    hot = ohm_per_km / 1000 * (1 + 0.00393 * 50)
    return source + 2 * (hot + 0.08e-3) * metres


def test_tn_the_smallest_fault_goes_round_the_loop(iec: Any) -> None:
    answer = iec.ask(heater(iec, 15, length=figure(40)))
    ohms = loop_by_hand(230 / 3000, 12.1, 40)
    assert answer.circuit.fault_current_min_a == pytest.approx(230 / ohms, rel=1e-9)
    assert not answer.circuit.guards  # 182 A > 80 A of a B16
    stated = iec.ask(heater(iec, 15, length=figure(40)), supply=iec.supply(impedance="0.5 ohm"))
    ohms = loop_by_hand(0.5, 12.1, 40)
    assert stated.circuit.fault_current_min_a == pytest.approx(230 / ohms, rel=1e-9)


def test_tn_where_the_device_does_not_act_in_time_a_residual_device_does(iec: Any) -> None:
    answer = iec.ask(heater(iec, 15, length=figure(150)))
    assert answer.circuit.fault_current_min_a < 80
    (guard,) = answer.circuit.guards
    assert (guard.kind, guard.curve, guard.setting_a) == ("residual-current", "type A", 0.1)
    assert guard.rating_a >= answer.circuit.protective_device.rating_a
    found = said(answer, "protection.fault-not-disconnected")
    assert found["needed"] == 80
    assert found["time"] == 0.4


def test_tn_an_unknown_loop_is_to_be_measured(iec: Any) -> None:
    """B16: 230 V over 80 A is 2.875 ohm, four fifths of it when measured cold."""
    demand = heater(iec, 15, fault_largest=None)
    answer = iec.ask(demand, supply=iec.supply(fault_current=None))
    found = said(answer, "protection.loop-to-measure")
    assert found["loop"] == pytest.approx(230 / 80)
    assert found["cold"] == pytest.approx(0.8 * 230 / 80)
    assert "supply.impedance" in {one.field for one in answer.questions}


@pytest.mark.parametrize(
    ("earthing", "to_earth", "role", "wanted"),
    [
        # table 41.1 and 411.3.2.3; status: seen
        ("tn-s", 230, "branch", 0.4),
        ("tn-s", 120, "branch", 0.8),
        ("tn-c-s", 400, "branch", 0.2),
        ("tn-s", 230, "output", 5.0),
        ("tt", 230, "branch", 0.2),
        ("tt", 400, "branch", 0.07),
        ("tt", 230, "output", 1.0),
        ("it", 230, "branch", 0.4),
    ],
)
def test_longest_time_by_system_voltage_and_role(
    iec: Any, earthing: str, to_earth: float, role: str, wanted: float
) -> None:
    legs = (figure(to_earth), figure(0), figure(to_earth))
    demand = motor(iec, role=role, voltage_to_earth=legs, voltage=figure(400))
    answer = iec.ask(demand, supply=iec.supply(earthing=earthing))
    steps = {step.path.rpartition("circuits/c/")[2]: step.value for step in answer.circuit.steps}
    assert steps["fault/longest_s"] == wanted


def test_made_leg_feeds_too_little_for_its_device(iec: Any) -> None:
    answer = iec.ask(motor(iec, length=figure(18)))
    ohms = loop_by_hand(230 / 65, 12.1, 18)  # the lowest leg drives it
    assert answer.circuit.conductor.size == "1.5 mm2"
    assert answer.circuit.fault_current_min_a == pytest.approx(230 / ohms, rel=1e-9)
    (guard,) = answer.circuit.guards
    assert (guard.curve, guard.poles) == ("type A", 3)
    assert "protection.fault-not-disconnected" in codes(answer)


def test_a_distribution_circuit_gets_a_selective_device(iec: Any) -> None:
    (guard,) = iec.ask(motor(iec, role="output", fed_from="supply.rotary")).circuit.guards
    assert (guard.curve, guard.setting_a) == ("type A S", 0.3)


def test_tt_needs_a_residual_device_at_the_head_and_names_the_electrode(iec: Any) -> None:
    supply = iec.supply(earthing="tt")
    answer = iec.ask(heater(iec, 15), supply=supply)
    (guard,) = answer.circuit.guards
    assert guard.setting_a == 0.1
    assert said(answer, "protection.touch-voltage")["resistance"] == pytest.approx(50 / 0.1)
    assert answer.circuit.fault_current_min_a is None
    assert not iec.ask(motor(iec), supply=supply).circuit.guards  # that at the head covers it


def test_unknown_earthing_is_asked_and_the_harder_taken(iec: Any) -> None:
    answer = iec.ask(heater(iec, 15), supply=iec.supply(earthing=None))
    assert "supply.earthing-assumed" in {one.code for one in answer.assumptions}
    assert "supply.earthing" in {one.field for one in answer.questions}
    assert answer.circuit.guards


def test_it_counts_the_second_fault_and_wants_a_monitor(iec: Any) -> None:
    answer = iec.ask(heater(iec, 15, length=figure(40)), supply=iec.supply(earthing="it"))
    ohms = loop_by_hand(230 / 3000, 12.1, 40)
    assert answer.circuit.fault_current_min_a == pytest.approx(230 / (2 * ohms), rel=1e-9)
    assert "protection.insulation-monitor" in codes(answer)


@pytest.mark.parametrize(
    ("arrangement", "waveform", "wanted"),
    [
        ("line-neutral", "plain", "A"),
        ("line-neutral", "drive", "F"),
        ("line-line", "drive", "B"),
        ("line-neutral", "electronic", "B"),
    ],
)
def test_type_by_what_is_fed_and_by_what(
    iec: Any, arrangement: str, waveform: str, wanted: str
) -> None:
    kinds = {
        "plain": iec.converter(20),
        "drive": iec.converter(20, method="drive", kind="drive"),
        "electronic": iec.converter(20, method="electronic"),
    }
    demand = iec.single(role="supply", converter=kinds[waveform], motors=(iec.motor(3, 11),))
    supply = iec.supply(arrangement=arrangement, earthing="tt")
    (guard,) = iec.ask(demand, supply=supply).circuit.guards
    assert guard.curve.split()[1] == wanted


@pytest.mark.parametrize(("method", "wanted"), [("rotary", "B"), ("static", "B")])
def test_a_rectifier_behind_a_phase_converter_stands_between_lines(
    iec: Any, method: str, wanted: str
) -> None:
    """The smooth direct current that it can cause flows through the device at the head as well."""
    load = iec.load(9, kind="rectifier", phases=3)
    demand = iec.single(
        role="supply", converter=iec.converter(20, method=method), loads=(load,),
        motors=(iec.motor(3, 11),),
    )  # fmt: skip
    (guard,) = iec.ask(demand, supply=iec.supply(earthing="tt")).circuit.guards
    assert guard.curve.split()[1] == wanted


def test_a_rectifier_between_three_lines_asks_for_type_b_and_one_on_a_neutral_does_not(
    iec: Any,
) -> None:
    load = iec.load(9, kind="rectifier", phases=3)
    (guard,) = iec.ask(iec.made(loads=(load,))).circuit.guards
    assert guard.curve == "type B"
    alone = iec.single(loads=(attrs.evolve(load, phases=1),))
    (guard,) = iec.ask(alone, supply=iec.supply(earthing="tt")).circuit.guards
    assert guard.curve == "type A"


def test_an_electronic_converter_gets_a_second_protective_conductor(iec: Any) -> None:
    demand = iec.single(role="supply", converter=iec.converter(20, method="electronic"))
    answer = iec.ask(demand)
    assert answer.circuit.protective_conductor.count == 2
    assert "protection.reinforced-earth" in codes(answer)
    plain = iec.ask(iec.single(role="supply", converter=iec.converter(20))).circuit
    assert plain.protective_conductor.count == 1
    behind = iec.ask(iec.made(inverted=True, motors=(iec.motor(3, 11),))).circuit
    assert behind.protective_conductor.count == 1


@pytest.mark.parametrize(
    ("ahead", "method", "warned"),
    [
        ("ac", "rotary", True),
        ("a", "rotary", False),
        ("a", "drive", True),
        ("f", "drive", False),
        ("f", "electronic", True),
        ("ac", "electronic", True),
        ("b", "electronic", False),
    ],
)
def test_no_lesser_type_stands_ahead(iec: Any, ahead: str, method: str, *, warned: bool) -> None:
    kind = "drive" if method == "drive" else "phase-converter"
    demand = iec.single(role="supply", converter=iec.converter(20, method=method, kind=kind))
    supply = iec.supply(residual_type=ahead, residual_current="0.3 A")
    assert ("protection.rcd-type" in codes(iec.ask(demand, supply=supply))) == warned


def test_a_socket_gets_the_most_sensitive_device(iec: Any) -> None:
    answer = iec.ask(heater(iec, 15, cord=True))
    (guard,) = answer.circuit.guards
    assert guard.setting_a == 0.03
    assert said(answer, "protection.plug-rating")["receptacle"] == "1-phase 16 A"
    assert said(answer, "protection.plug-rating")["cord"] == "2.5 mm2"


def test_fuses_and_residual_devices_leave_time_for_heat(iec: Any) -> None:
    answer = iec.ask(heater(iec, 15, length=figure(150)))
    steps = {step.path.rpartition("circuits/c/")[2]: step.value for step in answer.circuit.steps}
    least = answer.circuit.fault_current_min_a
    assert steps["fault/heat_mm2"] == pytest.approx(least * math.sqrt(0.4) / 115)
    assert "protection.conductor-heat" not in codes(answer)


@pytest.mark.parametrize(("start", "warned"), [(19.4, False), (19.6, True)])
def test_voltage_change_by_the_reference_impedance(iec: Any, start: float, *, warned: bool) -> None:
    """0.4717 ohm and 4 % of 230 V: 19.5 A, whatever runs once the start is over."""
    demand = iec.single(
        role="supply", converter=iec.converter(12), running_current=figure(10),
        starting_current=figure(start), starting_time=figure(0.5),
    )  # fmt: skip
    answer = iec.ask(demand)
    assert ("supply.voltage-change" in codes(answer)) == warned
    assert "authority.starting-limit" in {one.code for one in answer.questions}


@pytest.mark.parametrize(
    ("phases", "arrangement", "kind"),
    [(3, "line-neutral", "type B"), (1, "line-neutral", "type F"), (1, "line-line", "type B")],
)
def test_a_machine_with_a_drive_inside_asks_for_the_type_of_drives(
    iec: Any, phases: int, arrangement: str, kind: str
) -> None:
    """IEC 60364-5-53, 531.3.3: smooth direct current from a rectifier between lines blinds type A.

    That between line and neutral asks for type F; as reproduced on public web pages.
    """
    supply = iec.supply(earthing="tt", arrangement=arrangement, voltage="230 V")
    motor = iec.motor(1.5, 6, phases=phases, rectified=True)
    (guard,) = iec.ask(
        iec.demand(phases=phases, motors=(motor,), voltage_to_earth=(figure(230), figure(0))),
        supply=supply,
    ).circuit.guards
    assert guard.curve == kind
    plain = iec.demand(phases=phases, motors=(attrs.evolve(motor, rectified=False),))
    (guard,) = iec.ask(plain, supply=supply).circuit.guards
    assert guard.curve == "type A"


def test_what_is_behind_an_electronic_converter_asks_for_type_b(iec: Any) -> None:
    demand = iec.demand(made_leg=True, motors=(iec.motor(1.5, 6),))
    (guard,) = iec.ask(attrs.evolve(demand, inverted=True)).circuit.guards
    assert guard.curve == "type B"
    (guard,) = iec.ask(demand).circuit.guards
    assert guard.curve == "type A"


@pytest.mark.parametrize(("rectified", "kind"), [(True, "type B"), (False, "type A")])
def test_a_rectifier_behind_an_autotransformer_is_not_parted_from_what_is_ahead(
    iec: Any, kind: str, *, rectified: bool
) -> None:
    load = iec.load(20, kind="transformer", phases=3)
    demand = iec.demand(loads=(load,), rectified=rectified)
    (guard,) = iec.ask(demand, supply=iec.supply(earthing="tt")).circuit.guards
    assert guard.curve == kind


@pytest.mark.parametrize(
    ("method", "needed"), [("drive", "F"), ("electronic", "B"), ("rotary", None)]
)
def test_the_type_is_said_where_no_residual_device_is_needed(
    iec: Any, method: str, needed: str | None
) -> None:
    """In TN a breaker clears the fault; whoever adds a residual device has to know its type."""
    kind = "drive" if method == "drive" else "phase-converter"
    answer = iec.ask(
        iec.single(role="supply", converter=iec.converter(20, method=method, kind=kind))
    )
    assert not answer.circuit.guards
    told = [one for one in answer.findings if one.code == "protection.residual-type-if-any"]
    assert [part.value for one in told for part in one.parameters] == ([needed] if needed else [])


@pytest.mark.parametrize(("setting", "told"), [("30 mA", True), ("300 mA", False), (None, False)])
def test_an_unknown_device_ahead_of_a_drive_is_told_its_type_and_its_leakage(
    iec: Any, setting: str | None, *, told: bool
) -> None:
    demand = iec.single(role="supply", converter=iec.converter(20, method="drive", kind="drive"))
    answer = iec.ask(demand, supply=iec.supply(residual_current=setting))
    if setting is not None:
        assert said(answer, "protection.rcd-type") == {"needed": "F"}
        assert "supply.residual_type" in {one.field for one in answer.questions}
    assert ("protection.residual-leakage" in codes(answer)) == told
