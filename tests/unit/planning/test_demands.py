"""What intake tells a wiring code of motors and other loads."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import ampwright as aw
from ampwright.case import Case
from ampwright.planning.intake import intake

PLATE = {"power": "5 hp", "voltage": "230 V", "current": "14 A", "frequency": "60 Hz"}
WELDER = {"kind": "welder", "current": "40 A", "voltage": "240 V", "phases": 1,
          "largest_current": "45 A", "effective_current": "25 A"}  # fmt: skip


def taken(**machine: Any) -> Case:
    supply = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
              "rating": "100 A"}  # fmt: skip
    shop = {"schema": "ampwright.shop/1", "name": "x", "region": "us", "supply": supply,
            "machines": [{"id": "a", "length": "9 m"} | machine]}  # fmt: skip
    return intake(aw.Shop.from_dict(shop), {})


def test_marks_of_a_welder_hold_for_its_own_phases() -> None:
    (load,) = taken(loads=[WELDER]).machines[0].loads
    assert load.single_phase is not None
    assert load.single_phase.largest_current is not None
    assert load.single_phase.effective_current is not None
    assert load.single_phase.largest_current.value == 45.0
    assert load.single_phase.effective_current.value == 25.0
    assert load.single_phase.largest_current.path == "shop/machines/a/loads/0/largest_current_a"
    assert load.three_phase.largest_current is None
    assert load.three_phase.effective_current is None


def test_a_load_of_a_continuous_machine_is_continuous() -> None:
    control = {"kind": "control", "power": "500 W", "voltage": "240 V", "phases": 1}
    heater = {"kind": "resistive", "power": "2 kW", "voltage": "240 V"}
    for traits, lasts in (((), False), (("continuous",), True)):
        first, second = taken(loads=[control, heater], traits=traits).machines[0].loads
        assert first.three_phase.continuous is lasts
        assert second.three_phase.continuous is True


def test_traits_of_a_machine_reach_its_motors() -> None:
    def demand(**machine: Any) -> Any:
        return taken(motors=[PLATE], **machine).machines[0].motors[0].demand

    plain = demand()
    names = ("multispeed", "hermetic", "wound_rotor", "one_at_a_time")
    assert not any(getattr(plain, name) for name in names)
    assert demand(traits=("two-speed",)).multispeed
    assert demand(traits=("hermetic",)).hermetic
    assert demand(traits=("wound-rotor",)).wound_rotor
    assert demand(motors_one_at_a_time=True).one_at_a_time


def test_a_single_phase_motor_has_no_slip_rings() -> None:
    case = taken(motors=[PLATE | {"phases": 1, "current": "26 A"}], traits=("wound-rotor",))
    (motor,) = case.machines[0].single_phase
    assert (motor.phases, motor.wound_rotor) == (1, False)
