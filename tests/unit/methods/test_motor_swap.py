"""Another motor: sizes of the table, arithmetic of its plate, and what it does not stand."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.planning.shops import HORSEPOWER_W, case_of, machine, motor, only, step

import ampwright as aw
from ampwright.case import Case
from ampwright.kernels.single_phase_motor import single_phase_plate
from ampwright.method import Proposal, Refusal
from ampwright.methods.motor_swap import MotorSwap


def answer(case: Case) -> Proposal | Refusal:
    return MotorSwap().answer(case, [only(case)])


def proposed(**changes: Any) -> Proposal:
    found = answer(case_of(machine(start="light", **changes)))
    assert isinstance(found, Proposal), found
    return found


def refused(**changes: Any) -> set[str]:
    found = answer(case_of(machine(**changes)))
    assert isinstance(found, Refusal)
    return {one.code for one in found.reasons}


def test_the_new_motor_is_of_the_power_on_the_plate() -> None:
    (demand,) = proposed().demands[0].motors
    assert demand.phases == 1
    assert demand.power.value == pytest.approx(5 * HORSEPOWER_W, rel=1e-9)


def test_a_power_between_two_sizes_takes_the_next() -> None:
    (demand,) = proposed(motors=(motor(power="4 hp", current="10.4/5.2 A"),)).demands[0].motors
    assert demand.power.value == pytest.approx(5 * HORSEPOWER_W, rel=1e-9)


def test_its_current_is_power_over_voltage_efficiency_and_power_factor() -> None:
    found = proposed()
    (demand,) = found.demands[0].motors
    usual = single_phase_plate(power_w=5 * HORSEPOWER_W, voltage_v=240.0, kind="two-capacitor")
    expected = 5 * HORSEPOWER_W / (240.0 * usual.efficiency * usual.power_factor)
    assert demand.current.value == pytest.approx(expected, rel=1e-9)
    full = next(one for one in found.states if one.load == "full")
    assert full.input_current_a == pytest.approx(expected, rel=1e-3)
    assert full.losses_w == pytest.approx(full.input_power_w - 5 * HORSEPOWER_W, rel=1e-9)


def test_losses_are_what_the_shaft_does_not_get() -> None:
    average = next(one for one in proposed(average_load="50 %").states if one.load == "average")
    assert average.motors[0].shaft_w == pytest.approx(2.5 * HORSEPOWER_W, rel=1e-9)
    left = average.input_power_w - average.losses_w
    assert left == pytest.approx(2.5 * HORSEPOWER_W, rel=1e-9)


def test_at_fifty_hertz_the_series_is_in_kilowatts() -> None:
    own = motor(power="2 kW", voltage="230/400 V", current="8/4.6 A", frequency="50 Hz",
                speed="1420 rpm")  # fmt: skip
    supply = aw.Supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz",
                       rating="63 A")  # fmt: skip
    found = answer(case_of(machine(motors=(own,), start="light"), supply=supply))
    assert isinstance(found, Proposal)
    assert found.demands[0].motors[0].power.value == pytest.approx(2200.0)


def test_the_governing_limit_asks_for_the_size_that_was_chosen() -> None:
    found = proposed()
    (demand,) = found.demands[0].motors
    governing = {one.constraint: one.asks for one in found.limits if one.governs}
    assert governing["motor-power"] == demand.power.value
    assert all(one.asks is not None and one.asks <= demand.power.value for one in found.limits)


def test_a_weak_supply_leaves_less_voltage_and_less_torque() -> None:
    weak = aw.Supply(arrangement="split-phase", voltage="240 V", frequency="60 Hz", rating="100 A",
                     impedance="0.4 ohm")  # fmt: skip
    found = answer(case_of(machine(start="light"), supply=weak))
    assert isinstance(found, Proposal)
    (one,) = found.starts
    locked = step(found.steps, "locked_rotor_current").value
    assert one.lowest_voltage_v == pytest.approx(240.0 - 0.4 * float(locked), rel=1e-9)
    strong = proposed().starts[0]
    assert one.torque_nm is not None
    assert strong.torque_nm is not None
    ratio = (one.lowest_voltage_v / strong.lowest_voltage_v) ** 2
    assert one.torque_nm / strong.torque_nm == pytest.approx(ratio, rel=1e-9)


def test_a_loaded_start_that_nothing_breaks_away_is_refused() -> None:
    weak = aw.Supply(arrangement="split-phase", voltage="240 V", frequency="60 Hz", rating="100 A",
                     impedance="1.2 ohm")  # fmt: skip
    found = answer(case_of(machine(start="hard"), supply=weak))
    assert isinstance(found, Refusal)
    assert {one.code for one in found.reasons} == {"motor-swap.start-too-hard"}


def test_an_inertia_that_the_start_winding_does_not_outlast_is_refused() -> None:
    assert refused(load_inertia="8 kg m2") == {"motor-swap.start-too-hard"}


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"traits": ("two-speed",)}, "machine.two-speed-pole-changing"),
        ({"traits": ("plugging",)}, "machine.instant-reversal"),
        ({"traits": ("hermetic",)}, "machine.hermetic-compressor"),
        ({"traits": ("wound-rotor",)}, "machine.wound-rotor"),
        ({"traits": ("rectifier-input",)}, "machine.electronic-input"),
        (
            {"traits": ("internal-switching",), "motors": (motor(), motor())},
            "motor-swap.built-in-switching",
        ),
        ({"starts_per_hour": 40.0}, "motor-swap.starts-per-hour"),
        ({"motors": (motor(power="15 hp", current="38/19 A"),)}, "motor-swap.too-large"),
    ],
)
def test_what_an_exchange_does_not_stand(changes: dict[str, Any], code: str) -> None:
    assert code in refused(**changes)


def test_a_machine_sold_for_one_phase_is_exchanged_whole() -> None:
    found = proposed(traits=("hermetic",), single_phase_unit=True)
    said = {one.code for one in found.findings}
    assert "machine.needs-change" in said
    assert "motor-swap.frame" not in said
    assert found.demands[0].motors[0].power.value == pytest.approx(5 * HORSEPOWER_W)


def test_a_welder_sold_for_one_phase_draws_the_same_power_on_it() -> None:
    welder = aw.Load(kind="welder", apparent_power="9 kVA", voltage="240 V", relinkable=False)
    own = machine(loads=(welder,), single_phase_unit=True)
    found = answer(case_of(own))
    assert isinstance(found, Proposal)
    (load,) = found.demands[0].loads
    assert load.phases == 1
    assert load.current.value == pytest.approx(9000.0 / 240.0, rel=1e-9)


def test_the_marks_of_a_welder_grow_with_its_current_on_one_phase() -> None:
    """20 A and 12 A effective on three lines are sqrt(3) times as much on one phase."""
    welder = aw.Load(kind="welder", largest_current="20 A", effective_current="12 A",
                     voltage="240 V", relinkable=False)  # fmt: skip
    found = answer(case_of(machine(loads=(welder,), single_phase_unit=True)))
    assert isinstance(found, Proposal)
    (load,) = found.demands[0].loads
    assert load.current.value == pytest.approx(20 * math.sqrt(3), rel=1e-9)
    assert load.effective_current is not None
    assert load.effective_current.value == pytest.approx(12 * math.sqrt(3), rel=1e-9)
    assert load.construction == "arc"


def test_an_operator_who_limits_motors_has_to_consent() -> None:
    limited = aw.Supply(arrangement="split-phase", voltage="240 V", frequency="60 Hz",
                        rating="100 A", largest_motor="3 hp")  # fmt: skip
    found = answer(case_of(machine(start="light"), supply=limited))
    assert isinstance(found, Proposal)
    assert "plan.utility-consent" in {one.code for one in found.findings}
    assert "plan.utility-consent" not in {one.code for one in proposed().findings}


def test_a_voltage_that_no_motor_is_made_for_is_refused() -> None:
    odd = aw.Supply(arrangement="line-line", voltage="400 V", frequency="50 Hz", rating="63 A")
    found = answer(case_of(machine(), supply=odd))
    assert isinstance(found, Refusal)
    assert "motor-swap.no-such-voltage" in {one.code for one in found.reasons}


def test_several_motors_start_one_after_the_other() -> None:
    two = (motor(), motor(power="1 hp", current="3.4/1.7 A"))
    found = proposed(motors=two)
    (begun,) = found.starts
    big, small = found.demands[0].motors
    assert big.locked_rotor_current is not None
    expected = big.locked_rotor_current.value + small.current.value
    assert begun.current_a == pytest.approx(expected, rel=1e-9)
    assert math.isfinite(begun.time_s or math.inf)
