"""What runs on the single-phase supply as it is."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, heater, machine, supply

from ampwright.method import Proposal, Refusal
from ampwright.methods.direct import Direct
from ampwright.records.load import Load
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor


def drill(**changes: Any) -> Motor:
    usual: dict[str, Any] = {
        "power": "1 hp", "voltage": "230 V", "current": "8 A", "phases": 1, "frequency": "60 Hz",
        "locked_rotor_current": "42 A",
    }  # fmt: skip
    return Motor(**(usual | changes))


def welder(**changes: Any) -> Load:
    usual: dict[str, Any] = {
        "kind": "welder", "largest_current": "30 A", "voltage": "230 V", "phases": 1
    }  # fmt: skip
    return Load(**(usual | changes))


def bench(*motors: Motor, **fields: Any) -> Machine:
    return Machine(id="bench", length="6 m", motors=motors, **fields)


def answered(*machines: Machine, **changes: Any) -> Proposal | Refusal:
    case = case_of(*machines, **changes)
    return Direct().answer(case, case.machines)


def proposed(*machines: Machine, **changes: Any) -> Proposal:
    found = answered(*machines, **changes)
    assert isinstance(found, Proposal), found
    return found


def test_a_motor_draws_its_plate_current() -> None:
    """8 A at 240 V and a factor of 0.8: 1536 W."""
    one = proposed(bench(drill()))
    (state,) = one.states
    assert state.input_current_a == 8.0
    assert state.input_power_factor == 0.8
    assert state.input_power_w == pytest.approx(240 * 8 * 0.8)
    assert not one.converters


def test_motors_and_loads_add_up_on_the_safe_side() -> None:
    """8 A and 5 A; the welder's 30 A at 230 V are 30 x 230 / 240 = 28.75 A at the same power."""
    one = proposed(bench(drill(), drill(current="5 A"), loads=(welder(),)))
    (demand,) = one.demands
    assert demand.running_current.value == pytest.approx(8.0 + 5.0 + 28.75)
    assert [each.id for each in demand.motors] == ["bench/0", "bench/1"]
    assert [each.id for each in demand.loads] == ["bench/load0"]


def test_the_largest_locked_rotor_current_starts() -> None:
    one = proposed(bench(drill(), drill(locked_rotor_current="50 A")))
    (demand,) = one.demands
    assert demand.starting_current is not None
    assert demand.starting_current.value == 50.0
    assert demand.starting_power_factor is not None
    alone = proposed(bench(loads=(welder(),))).demands[0]
    assert alone.starting_current is None
    assert alone.starting_power_factor is None


def test_a_load_without_a_motor_counts_with_unity() -> None:
    lamp = Load(kind="lamp", power="1.2 kW", voltage="240 V", phases=1)
    (state,) = proposed(bench(loads=(lamp,))).states
    assert state.input_current_a == pytest.approx(5.0)
    assert state.input_power_w == pytest.approx(1200.0)


def test_the_branch_is_the_machines() -> None:
    (demand,) = proposed(bench(drill())).demands
    assert (demand.id, demand.role, demand.phases) == ("branch.bench", "branch", 1)
    assert demand.length == (6.0, "shop/machines/bench/length_m")
    assert demand.fed_from == ""
    assert [one.value for one in demand.voltage_to_earth] == [120.0, 120.0]


def test_there_is_a_state_for_each_set_that_holds_the_machine() -> None:
    case = case_of(bench(drill()), machine("a"), together=(("a",), ("bench", "a")))
    one = Direct().answer(case, case.machines[:1])
    assert isinstance(one, Proposal)
    assert [state.set for state in one.states] == ["set-2"]


@pytest.mark.parametrize(
    ("machines", "code"),
    [
        ((bench(drill()), machine("b")), "direct.one-machine"),
        ((machine("a"),), "direct.three-phase"),
        ((heater("a"),), "direct.three-phase"),
        ((bench(drill(), loads=(welder(phases=3),)),), "direct.three-phase"),
        ((bench(drill(voltage="100 V")),), "supply.voltage-mismatch"),  # 120/100 = 1.2
        ((bench(drill(voltage="208 V")),), "supply.voltage-mismatch"),  # 240/208 = 1.154
        ((bench(loads=(welder(voltage="480 V"),)),), "supply.voltage-mismatch"),
    ],
)
def test_what_is_refused_and_why(machines: tuple[Machine, ...], code: str) -> None:
    found = answered(*machines)
    assert isinstance(found, Refusal)
    assert (found.method, found.machines) == ("direct", tuple(one.id for one in machines))
    assert [one.code for one in found.reasons] == [code]


def test_settling_changes_nothing() -> None:
    case = case_of(bench(drill()))
    found = Direct().answer(case, case.machines)
    assert isinstance(found, Proposal)
    assert Direct().settle(case, found, ()) is found


def test_what_is_made_for_half_the_voltage_stands_on_one_leg() -> None:
    """16 A at 120 V and a factor of 0.8: 1536 W, which count 8 A at 240 V."""
    one = proposed(bench(drill(voltage="115 V", current="16 A")))
    (state,), (demand,) = one.states, one.demands
    assert demand.voltage.value == 120.0
    assert [each.value for each in demand.voltage_to_earth] == [120.0, 0.0]
    assert demand.running_current.value == 16.0
    assert state.input_current_a == pytest.approx(8.0)
    assert state.input_power_w == pytest.approx(120 * 16 * 0.8)
    assert [each.code for each in one.findings] == ["direct.on-one-leg"]


def test_a_load_for_half_the_voltage_stands_on_one_leg_too() -> None:
    lamp = Load(kind="lamp", power="1.2 kW", voltage="120 V", phases=1)
    (demand,) = proposed(bench(loads=(lamp,))).demands
    assert demand.voltage.value == 120.0
    assert demand.running_current.value == pytest.approx(10.0)


def test_a_machine_of_both_voltages_stands_between_the_lines() -> None:
    (demand,) = proposed(bench(drill(), drill(voltage="115 V"))).demands
    assert demand.voltage.value == 240.0


@pytest.mark.parametrize(
    "changes", [{"neutral": False}, {"arrangement": "line-neutral", "voltage": "230 V"}]
)
def test_without_a_neutral_beside_both_lines_there_is_no_leg(changes: dict[str, Any]) -> None:
    found = answered(bench(drill(voltage="115 V")), supply=supply(**changes))
    assert isinstance(found, Refusal)


def test_a_method_says_what_kind_it_is() -> None:
    assert (Direct.id, Direct.shared, Direct.converts) == ("direct", False, False)
