"""Heaters linked for one phase: what they draw, and which ones cannot be."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, heater, machine, motor

from ampwright.method import Proposal, Refusal
from ampwright.methods.relink import Relink
from ampwright.records.load import Load
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor


def kiln(*loads: Load, **fields: Any) -> Machine:
    return Machine(id="kiln", length="11 m", loads=loads, **fields)


def heat(power: str = "6 kW", **changes: Any) -> Load:
    usual: dict[str, Any] = {"kind": "resistive", "voltage": "240 V", "relinkable": True}
    return Load(power=power, **(usual | changes))


def fan(**changes: Any) -> Motor:
    usual: dict[str, Any] = {
        "power": "0.25 hp", "voltage": "230 V", "current": "2.4 A", "phases": 1,
        "frequency": "60 Hz", "locked_rotor_current": "11 A",
    }  # fmt: skip
    return Motor(**(usual | changes))


def answered(*machines: Machine, **changes: Any) -> Proposal | Refusal:
    case = case_of(*machines, **changes)
    return Relink().answer(case, case.machines)


def proposed(*machines: Machine, **changes: Any) -> Proposal:
    found = answered(*machines, **changes)
    assert isinstance(found, Proposal), found
    return found


def test_a_heater_draws_its_power_from_two_lines() -> None:
    """6 kW at 240 V: 25 A, unity, no loss."""
    one = proposed(heater("h"))
    (state,) = one.states
    assert state.input_current_a == pytest.approx(25.0)
    assert state.input_power_w == pytest.approx(6000.0)
    assert state.input_power_factor == pytest.approx(1.0)
    assert state.losses_w == 0.0
    assert state.equal_kva_current_a == pytest.approx(25.0)
    assert not one.converters
    assert not one.starts


def test_elements_for_a_lower_voltage_draw_more() -> None:
    """6 kW at 230 V are 6533 W at 240 V: 27.22 A."""
    (state,) = proposed(heater("h", voltage="230 V")).states
    assert state.input_current_a == pytest.approx(27.221, rel=1e-4)
    assert state.input_power_w == pytest.approx(6533.1, rel=1e-4)


def test_elements_for_another_voltage_are_exchanged() -> None:
    """6 kW for 208 V would give a third more at 240 V; new elements draw 6000 / 240 = 25 A."""
    one = proposed(heater("h", voltage="208 V"))
    (state,) = one.states
    assert state.input_current_a == pytest.approx(25.0)
    (said,) = [each for each in one.findings if each.code == "machine.needs-change"]
    assert (said.where, said.parameters[0].value) == (("h",), "heating-elements")
    assert "machine.needs-change" not in {each.code for each in proposed(heater("h")).findings}


def test_elements_in_star_are_linked_side_by_side() -> None:
    """9 kW at 415 V in star: elements of 240 V, which give the same 9 kW between two lines."""
    one = proposed(heater("h", power="9 kW", voltage="415 V", element_voltage="240 V"))
    (state,) = one.states
    assert state.input_power_w == pytest.approx(9000 * (240 / (415 / 3**0.5)) ** 2)
    assert "machine.needs-change" not in {each.code for each in one.findings}


def test_several_heaters_add_up() -> None:
    (state,) = proposed(kiln(heat("6 kW"), heat("2.4 kW"))).states
    assert state.input_current_a == pytest.approx(35.0)


def test_a_fan_of_one_phase_goes_with_the_heat() -> None:
    one = proposed(kiln(heat(), motors=(fan(),)))
    (demand,) = one.demands
    assert [each.id for each in demand.motors] == ["kiln/0"]
    assert demand.running_current.value == pytest.approx(25.0 + 2.4)
    assert demand.starting_current is not None
    assert demand.starting_current.value == 11.0
    two = proposed(kiln(heat(), motors=(fan(), fan(locked_rotor_current="14 A"))))
    assert two.demands[0].starting_current is not None
    assert two.demands[0].starting_current.value == 14.0


def test_the_branch_has_the_machines_length_and_all_its_loads() -> None:
    one = proposed(kiln(heat(), heat("1 kW")))
    (demand,) = one.demands
    assert (demand.id, demand.role, demand.phases) == ("branch.kiln", "branch", 1)
    assert demand.feeds == ("kiln",)
    assert demand.length == (11.0, "shop/machines/kiln/length_m")
    assert [each.id for each in demand.loads] == ["kiln/load0", "kiln/load1"]
    assert all(each.phases == 1 for each in demand.loads)
    assert [each.value for each in demand.voltage_to_earth] == [120.0, 120.0]
    assert demand.starting_current is None


def test_whether_it_can_be_relinked_is_asked_only_where_nobody_said() -> None:
    assert proposed(kiln(heat())).questions == ()
    (one,) = proposed(kiln(heat(), heat(relinkable=None))).questions
    assert (one.code, one.changes) == ("machine.relinkable", "method")
    assert one.field == "machines.kiln.loads[1].relinkable"
    assert one.choices == ("true", "false")


def test_what_it_draws_is_said() -> None:
    (said,) = proposed(heater("h")).findings
    assert (said.code, said.severity) == ("machine.resistive-load-no-conversion", "info")
    assert said.parameters[0].value == pytest.approx(25.0)


def test_there_is_a_state_for_each_set_that_holds_the_machine() -> None:
    case = case_of(heater("h"), machine("a"), together=(("a",), ("h", "a")))
    one = Relink().answer(case, case.machines[:1])
    assert isinstance(one, Proposal)
    assert [state.set for state in one.states] == ["set-2"]


@pytest.mark.parametrize(
    ("machines", "code"),
    [
        ((heater("a"), heater("b")), "relink.one-machine"),
        ((machine("a"),), "relink.not-a-heater"),
        ((kiln(heat(), motors=(motor(),)),), "relink.not-a-heater"),
        (
            (kiln(heat(), Load(kind="welder", power="1 kW", voltage="240 V")),),
            "relink.not-a-heater",
        ),
        ((kiln(heat(phases=1)),), "relink.not-a-heater"),
        ((kiln(heat(relinkable=False)),), "relink.cannot-be-relinked"),
        ((kiln(heat(), heat(relinkable=False)),), "relink.cannot-be-relinked"),
        ((kiln(heat(), motors=(fan(voltage="115 V"),)),), "supply.voltage-mismatch"),
    ],
)
def test_what_is_refused_and_why(machines: tuple[Machine, ...], code: str) -> None:
    found = answered(*machines)
    assert isinstance(found, Refusal)
    assert (found.method, found.machines) == ("relink", tuple(one.id for one in machines))
    assert [one.code for one in found.reasons] == [code]


def test_a_lamp_is_a_resistance_too() -> None:
    (state,) = proposed(kiln(heat(kind="lamp", power="1.2 kW"))).states
    assert state.input_current_a == pytest.approx(5.0)


def test_twice_the_heat_is_twice_the_current() -> None:
    one, two = (proposed(kiln(heat(power))).states[0] for power in ("3 kW", "6 kW"))
    assert two.input_current_a == pytest.approx(2 * one.input_current_a)


def test_settling_changes_nothing() -> None:
    case = case_of(heater("h"))
    found = Relink().answer(case, case.machines)
    assert isinstance(found, Proposal)
    assert Relink().settle(case, found, ()) is found


def test_a_method_says_what_kind_it_is() -> None:
    assert (Relink.id, Relink.shared, Relink.converts) == ("relink", False, False)
