"""Machines on balanced lines of another voltage, by arithmetic and by the locked rotor."""

import math

import pytest
from tests.unit.planning.shops import case_of, heater, machine, motor, only, supply

import ampwright as aw
from ampwright.case import MachineCase
from ampwright.kernels.torque_curve import locked_rotor
from ampwright.linked import at_voltage, balanced_motor, load_at, machine_at
from ampwright.step import Figure, Worksheet


def sheet() -> Worksheet:
    return Worksheet("~")


def volts(value: float) -> Figure:
    return Figure(value, "elsewhere")


def on(value: float, own: MachineCase) -> aw.Motor | None:
    found = at_voltage(own.motors[0], volts(240.0), volts(value), sheet())
    return None if found is None else found.motor


def test_the_printed_current_of_the_link_counts() -> None:
    own = only(case_of(machine()))
    found = at_voltage(own.motors[0], volts(240.0), volts(480.0), sheet())
    assert found is not None
    assert (found.demand.voltage.value, found.demand.current.value) == (460.0, 6.6)
    assert found.demand.current_known == "plate"


def test_a_current_that_is_not_printed_follows_the_power() -> None:
    own = only(case_of(machine(motors=(motor(current=None),))))
    found = at_voltage(own.motors[0], volts(240.0), volts(480.0), sheet())
    assert found is not None
    expected = own.motors[0].demand.current.value / 2.0
    assert found.demand.current.value == pytest.approx(expected, rel=1e-12)
    assert found.demand.current_known == "derived"


def test_the_torque_is_that_of_the_linked_circuit() -> None:
    own = only(case_of(machine()))
    found = at_voltage(own.motors[0], volts(240.0), volts(500.0), sheet())
    assert found is not None
    still = locked_rotor(found.circuit, 500.0)
    # the torque follows the square of the voltage but for the leakage's own saturation
    assert found.start_torque.value == pytest.approx(still.torque_nm, rel=0.03)
    assert found.fits


def test_a_range_takes_the_figure_nearest_the_lines() -> None:
    own = only(case_of(machine(motors=(motor(voltage="208-230/460 V", current="14-13/6.5 A"),))))
    found = at_voltage(own.motors[0], volts(240.0), volts(208.0), sheet())
    assert found is not None
    assert found.demand.voltage.value == 208.0


@pytest.mark.parametrize("value", [208.0, 230.0, 252.0, 415.0, 480.0, 505.0])
def test_within_a_tenth_it_suits(value: float) -> None:
    assert on(value, only(case_of(machine()))) is not None


@pytest.mark.parametrize("value", [200.0, 300.0, 380.0, 600.0])
def test_beyond_a_tenth_it_does_not(value: float) -> None:
    assert on(value, only(case_of(machine()))) is None


def test_a_resistance_draws_in_proportion_and_heats_with_the_square() -> None:
    own = only(case_of(heater()))
    found = load_at(own.loads[0], volts(240.0), volts(220.0), sheet())
    assert found is not None
    demand, watts = found
    assert watts.value == pytest.approx(6000.0 * (220.0 / 240.0) ** 2, rel=1e-12)
    assert demand.current.value == pytest.approx(
        6000.0 / 240.0**2 * 220.0 / math.sqrt(3.0), rel=1e-12
    )
    assert load_at(own.loads[0], volts(240.0), volts(400.0), sheet()) is None


def test_electronics_hold_their_power() -> None:
    load = aw.Load(kind="rectifier", apparent_power="6 kVA", voltage="240 V", power_factor=0.9)
    own = only(case_of(machine(loads=(load,))))
    found = load_at(own.loads[0], volts(240.0), volts(220.0), sheet())
    assert found is not None
    assert found[0].current.value == pytest.approx(6000.0 / (math.sqrt(3.0) * 220.0), rel=1e-12)


def test_what_suits_in_no_way_is_named_by_its_voltage() -> None:
    own = only(case_of(machine(motors=(motor(voltage="575 V", current="5.3 A"),))))
    assert machine_at(own, volts(240.0), volts(240.0), sheet()).misfit == "575 V"
    assert not machine_at(own, volts(240.0), volts(600.0), sheet()).misfit


def test_a_motor_at_rated_torque_gives_its_rated_power() -> None:
    own = only(case_of(machine(), supply=supply(voltage="230 V")))
    one = own.motors[0]
    state, watts = balanced_motor(one, volts(230.0), Figure(1.0, "x"), sheet())
    assert state.shaft_w == pytest.approx(one.demand.power.value, rel=0.002)
    assert watts.value == pytest.approx(state.shaft_w / one.efficiency.value, rel=0.02)
    assert not state.stalled


def test_a_torque_beyond_breakdown_stalls() -> None:
    one = only(case_of(machine())).motors[0]
    state, _ = balanced_motor(one, volts(240.0), Figure(9.0, "x"), sheet())
    assert state.stalled
    assert state.slip == 1.0
