"""Networks with their slips solved."""

import math

import pytest

from ampwright.kernels.induction import InductionCircuit, branch, sequence_state
from ampwright.kernels.legs import ConstantPower, Legs, capacitors, line_neutral, plus, split_phase
from ampwright.kernels.network import at_slips, solve
from ampwright.kernels.operating_point import LoadLaw, MainFlux, Rotor, main_flux
from ampwright.kernels.torque_slopes import eliminate

TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 0.8)
FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)
SOURCE = split_phase(240.0, 0.06 + 0.05j)
LEGS = capacitors(0.0, 5e-5, 1.94e-4, 60.0)
IDLER = Rotor(TEN)


def balancing(y1: complex) -> Legs:
    """Return the capacitors that balance a positive-sequence admittance (closed form)."""
    g, b = y1.real, -y1.imag
    return Legs(y_ca=1j * (b / 3.0 + g / math.sqrt(3.0)), y_bc=1j * (b / 3.0 - g / math.sqrt(3.0)))


def test_the_closed_form_pair_balances_the_legs() -> None:
    slips = (0.002, 0.025)
    y1 = branch(TEN, slips[0]).y + branch(FIVE, slips[1]).y
    state = at_slips(split_phase(240.0, 0j), balancing(y1), (IDLER, Rotor(FIVE)), slips)
    assert state.vuf < 1e-12
    assert state.deviation < 1e-12
    assert state.line_v == pytest.approx((240.0, 240.0, 240.0), rel=1e-12)
    for rotor, circuit, slip in zip(state.rotors, (TEN, FIVE), slips, strict=True):
        alone = sequence_state(circuit, 240.0 / math.sqrt(3.0), 0.0, slip)
        assert rotor.machine.shaft_torque_nm == pytest.approx(alone.shaft_torque_nm, rel=1e-10)
        assert rotor.winding_delta_a == pytest.approx(
            rotor.winding_star_a / math.sqrt(3.0), rel=1e-9
        )
        assert rotor.machine.ripple_torque_nm < 1e-9


def test_rotors_turn_where_torque_and_load_meet() -> None:
    load = LoadLaw(constant_nm=15.0, square_nm=5.0)
    state = solve(SOURCE, LEGS, (IDLER, Rotor(FIVE, load)))
    assert state.stalled == (False, False)
    assert state.residual < 1e-12
    assert state.rotors[1].machine.shaft_torque_nm == pytest.approx(
        15.0 + 5.0 * (1.0 - state.rotors[1].slip) ** 2, rel=1e-10
    )
    assert abs(state.rotors[0].machine.shaft_torque_nm) < 1e-10


def test_swapped_capacitors_turn_a_standing_motor_the_other_way() -> None:
    forward = at_slips(SOURCE, capacitors(0, 0, 3e-4, 60.0), (Rotor(FIVE),), (1.0,))
    backward = at_slips(SOURCE, capacitors(0, 3e-4, 0, 60.0), (Rotor(FIVE),), (1.0,))
    torque = forward.rotors[0].machine.shaft_torque_nm
    assert torque > 1.0
    assert backward.rotors[0].machine.shaft_torque_nm == pytest.approx(-torque, rel=1e-10)


def test_on_two_lines_a_standing_motor_has_no_torque() -> None:
    state = at_slips(SOURCE, Legs(), (Rotor(FIVE),), (1.0,))
    assert abs(state.rotors[0].machine.shaft_torque_nm) < 1e-10
    assert state.rotors[0].line_a[2] < 1e-10


def test_a_stall_is_a_result() -> None:
    state = solve(SOURCE, LEGS, (IDLER, Rotor(FIVE, LoadLaw(constant_nm=80.0))))
    assert state.stalled == (False, True)
    assert state.rotors[1].slip == 1.0
    assert state.rotors[0].slip < 0.05
    assert state.rotors[1].machine.shaft_torque_nm < 80.0
    held = solve(SOURCE, LEGS, (IDLER, Rotor(FIVE)), slips=(None, 1.0))
    assert state.line_v == pytest.approx(held.line_v, rel=1e-10)


def test_a_fan_too_large_for_the_leg_crawls_and_is_called_stalled() -> None:
    state = solve(SOURCE, LEGS, (IDLER, Rotor(FIVE, LoadLaw(square_nm=120.0))))
    assert state.stalled == (False, True)
    assert 0.2 < state.rotors[1].slip < 1.0
    assert state.residual < 1e-12


def test_the_largest_load_that_runs_is_just_below_the_one_that_stalls() -> None:
    def stalls(torque_nm: float) -> bool:
        rotors = (IDLER, Rotor(FIVE, LoadLaw(constant_nm=torque_nm)))
        return solve(SOURCE, LEGS, rotors).stalled[1]

    low, high = 20.0, 80.0
    for _ in range(30):
        middle = (low + high) / 2.0
        low, high = (low, middle) if stalls(middle) else (middle, high)
    torques = [
        solve(SOURCE, LEGS, (IDLER, Rotor(FIVE)), slips=(None, 0.005 * k))
        .rotors[1]
        .machine.shaft_torque_nm
        for k in range(10, 80)
    ]
    assert low == pytest.approx(max(torques), rel=2e-3)  # the peak on a grid of slips


def test_saturated_iron_lowers_a_boosted_leg_and_raises_an_open_one() -> None:
    iron = main_flux(132.0, 1.30, 1.75)
    boosted = capacitors(0.0, 1.6e-4, 1.6e-4, 60.0)
    linear = solve(SOURCE, boosted, (IDLER,))
    saturated = solve(SOURCE, boosted, (Rotor(TEN, main_flux=iron),))
    assert 3.0 < linear.line_v[1] - saturated.line_v[1] < 12.0
    assert saturated.rotors[0].flux < 0.95
    assert (
        solve(SOURCE, Legs(), (Rotor(TEN, main_flux=iron),)).line_v[1]
        > (solve(SOURCE, Legs(), (IDLER,)).line_v[1])
    )
    never = solve(SOURCE, boosted, (Rotor(TEN, main_flux=MainFlux(132.0, 0.0, 7.0)),))
    assert never.line_v == pytest.approx(linear.line_v, rel=1e-11)


def test_leakage_is_that_of_the_current_found() -> None:
    state = at_slips(SOURCE, capacitors(0, 0, 5e-4, 60.0), (Rotor(FIVE),), (1.0,))
    rotor = state.rotors[0]
    amps = math.hypot(abs(rotor.machine.current1_a), abs(rotor.machine.current2_a))
    expected = 1.0 - 0.2 * min(max((amps / 13.0 - 2.0) / 4.0, 0.0), 1.0)
    assert rotor.leakage == pytest.approx(expected, rel=1e-11)
    assert rotor.leakage < 0.95


def test_a_load_of_constant_power_gets_its_power_down_to_a_deep_sag() -> None:
    load = ConstantPower("bc", 2000.0 + 800.0j, 240.0)
    state = solve(SOURCE, LEGS, (IDLER,), constant_power=(load,))
    assert state.constant_va == pytest.approx(2000.0 + 800.0j, rel=1e-11)
    current = (load.power_va / (state.leg_v[1] - state.leg_v[2])).conjugate()
    assert abs(current) == pytest.approx(abs(load.power_va) / state.line_v[1], rel=1e-11)
    deep = ConstantPower("bc", 2000.0 + 800.0j, 480.0)
    state = solve(SOURCE, LEGS, (IDLER,), constant_power=(deep,))
    share = (state.line_v[1] / (0.7 * 480.0)) ** 2
    assert share < 1.0
    assert state.constant_va == pytest.approx(share * deep.power_va, rel=1e-11)


def test_a_line_and_neutral_supply_is_a_split_phase_one_seen_from_another_point() -> None:
    rotors = (IDLER, Rotor(FIVE, LoadLaw(constant_nm=15.0)))
    split = solve(SOURCE, LEGS, rotors)
    single = solve(line_neutral(240.0, 0.03 + 0.025j, 0.03 + 0.025j), LEGS, rotors)
    assert single.line_v == pytest.approx(split.line_v, rel=1e-11)
    assert single.input_va == pytest.approx(split.input_va, rel=1e-11)
    assert single.leg_to_earth_v[1] < 2.0  # leg B is the neutral, but for its drop
    assert single.leg_to_earth_v[2] > 220.0
    assert split.leg_to_earth_v[0] == pytest.approx(split.line_v[0] / 2.0, rel=1e-11)


def test_what_the_state_sums_up() -> None:
    heater = Legs(y_ab=0.02, y_c=0.01)
    state = solve(SOURCE, plus(LEGS, heater), (IDLER, Rotor(FIVE, LoadLaw(constant_nm=15.0))))
    expected_w = 0.02 * state.line_v[0] ** 2 + 0.01 * state.leg_to_earth_v[2] ** 2
    assert state.linear_w == pytest.approx(expected_w, rel=1e-12)
    mean = sum(state.line_v) / 3.0
    assert state.deviation == pytest.approx(max(abs(v - mean) for v in state.line_v) / mean)
    assert state.vuf == pytest.approx(abs(state.sequence_v[2] / state.sequence_v[1]))
    assert state.power_factor == pytest.approx(
        math.cos(math.atan2(state.input_va.imag, state.input_va.real))
    )
    assert state.input_va == pytest.approx(
        120.0 * state.source_a[0].conjugate() - 120.0 * state.source_a[1].conjugate()
    )


def test_unbalance_from_three_magnitudes_is_that_of_the_phasors() -> None:
    """The formula of sums of fourth powers, as reproduced from memory of IEC and IEEE texts."""
    v = solve(SOURCE, LEGS, (IDLER, Rotor(FIVE, LoadLaw(constant_nm=3.0)))).line_v
    beta = sum(x**4 for x in v) / sum(x**2 for x in v) ** 2
    expected = math.sqrt((1 - math.sqrt(3 - 6 * beta)) / (1 + math.sqrt(3 - 6 * beta)))
    state = solve(SOURCE, LEGS, (IDLER, Rotor(FIVE, LoadLaw(constant_nm=3.0))))
    assert state.vuf == pytest.approx(expected, rel=1e-9)


def test_the_worst_winding_of_a_delta_is_not_the_worst_line_over_root_three() -> None:
    state = solve(SOURCE, Legs(), (IDLER, Rotor(FIVE, LoadLaw(constant_nm=15.0))))
    rotor = state.rotors[1]
    m = rotor.machine
    turn = complex(-0.5, math.sqrt(3.0) / 2.0)
    lines = [m.current1_a * turn ** (-k) + m.current2_a * turn**k for k in range(3)]
    windings = [abs(lines[k] - lines[(k + 1) % 3]) / 3.0 for k in range(3)]  # no current goes round
    assert rotor.winding_delta_a == pytest.approx(max(windings), rel=1e-12)
    assert abs(rotor.winding_delta_a - max(rotor.line_a) / math.sqrt(3.0)) > 0.1


def test_a_guess_leads_to_the_same_state() -> None:
    rotors = (IDLER, Rotor(FIVE, LoadLaw(constant_nm=15.0)))
    cold, warm = solve(SOURCE, LEGS, rotors), solve(SOURCE, LEGS, rotors, guess=(0.001, 0.03))
    assert warm.line_v == pytest.approx(cold.line_v, rel=1e-11)


def test_networks_that_cannot_be() -> None:
    with pytest.raises(ValueError, match="one slip for each of 1"):
        solve(SOURCE, LEGS, (IDLER,), slips=(0.1, 0.2))
    with pytest.raises(ValueError, match="one of ab, bc"):
        solve(SOURCE, LEGS, (IDLER,), constant_power=(ConstantPower("ac", 1.0, 240.0),))
    with pytest.raises(ValueError, match="made leg"):
        solve(SOURCE, Legs(y_ab=0.1), ())


def test_elimination_solves_a_small_system() -> None:
    assert eliminate([[4.0, 1.0], [2.0, 3.0]], [9.0, 13.0]) == pytest.approx([1.4, 3.4])
