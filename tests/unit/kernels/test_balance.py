"""Balancing capacitors in closed form, and the sums that stock can make."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampwright.kernels.balance import (
    at_most,
    balancing_pair,
    capacitor_current,
    ladder,
    nearest,
    single_phase_balance,
    steinmetz_capacitance,
)
from ampwright.kernels.legs import Legs, capacitors, solve_voltages, split_phase

MICRO = 1e-6
RUNGS = ladder([5 * MICRO, 10 * MICRO, 30 * MICRO], 2)


@given(
    g=st.floats(1e-4, 0.1), lag=st.floats(1.8, 20.0), factor=st.floats(1.5, 9.0),
    loop=st.complex_numbers(min_magnitude=0.0, max_magnitude=0.5), ab=st.floats(0.0, 1e-4),
)  # fmt: skip
def test_the_pair_balances_whatever_the_supply_and_the_other_sequence(
    g: float, lag: float, factor: float, loop: complex, ab: float
) -> None:
    y1 = complex(g, -lag * g)
    pair = balancing_pair(y1, 60.0)
    source = split_phase(240.0, complex(abs(loop.real), abs(loop.imag)))
    legs = capacitors(ab, pair.bc_f, pair.ca_f, 60.0)
    at = solve_voltages(source, legs, y1, y1 * factor)
    assert abs(at.two) < 1e-10 * abs(at.one)


def test_exchanged_capacitors_do_not_balance() -> None:
    y1 = 0.03 - 0.1j
    pair = balancing_pair(y1, 50.0)
    legs = capacitors(0.0, pair.ca_f, pair.bc_f, 50.0)
    at = solve_voltages(split_phase(230.0, 0j), legs, y1, 5.0 * y1)
    assert abs(at.two) > 0.03 * abs(at.one)


@pytest.mark.parametrize(("degrees", "sign"), [(59.0, -1.0), (61.0, 1.0)])
def test_above_a_power_factor_of_one_half_capacitors_alone_cannot_balance(
    degrees: float, sign: float
) -> None:
    angle = math.radians(degrees)
    pair = balancing_pair(0.1 * complex(math.cos(angle), -math.sin(angle)), 60.0)
    assert math.copysign(1.0, pair.bc_f) == sign
    assert pair.ca_f > 0.0


def test_at_sixty_degrees_the_pair_is_the_one_capacitor_of_the_rule() -> None:
    power_w, voltage_v = 1000.0, 230.0
    g = power_w / voltage_v**2
    pair = balancing_pair(complex(g, -math.sqrt(3.0) * g), 50.0)
    assert abs(pair.bc_f) < 1e-15
    assert pair.ca_f == pytest.approx(steinmetz_capacitance(power_w, voltage_v, 50.0), rel=1e-12)


def test_a_resistor_with_its_two_reactances_draws_no_negative_sequence() -> None:
    bc, ca = single_phase_balance(0.1)
    legs = Legs(y_ab=0.1, y_bc=1j * bc, y_ca=1j * ca)
    turn = complex(-0.5, math.sqrt(0.75))
    v_a, v_b, v_c = 1.0, turn**2, turn
    i_a = legs.y_ab * (v_a - v_b) + legs.y_ca * (v_a - v_c)
    i_b = legs.y_ab * (v_b - v_a) + legs.y_bc * (v_b - v_c)
    i_c = legs.y_ca * (v_c - v_a) + legs.y_bc * (v_c - v_b)
    assert abs(i_a + turn**2 * i_b + turn * i_c) < 1e-15
    assert i_a.imag == pytest.approx(0.0, abs=1e-15)


def test_capacitor_current() -> None:
    assert capacitor_current(100 * MICRO, 230.0, 50.0) == pytest.approx(7.2257, abs=1e-4)


def test_a_ladder_has_every_sum_once_from_the_fewest_cans() -> None:
    totals = [round(rung.total_f / MICRO, 9) for rung in RUNGS]
    assert totals == [0, 5, 10, 15, 20, 30, 35, 40, 60]
    assert [len(rung.cans_f) for rung in RUNGS] == [0, 1, 1, 2, 2, 1, 2, 2, 2]


@pytest.mark.parametrize(
    ("wanted", "total"), [(-3.0, 0.0), (7.4, 5.0), (7.6, 10.0), (25.0, 20.0), (99.0, 60.0)]
)
def test_nearest(wanted: float, total: float) -> None:
    assert RUNGS[nearest(RUNGS, wanted * MICRO)].total_f == pytest.approx(total * MICRO)


@pytest.mark.parametrize(("wanted", "total"), [(-3.0, 0.0), (9.9, 5.0), (10.0, 10.0), (99.0, 60.0)])
def test_at_most(wanted: float, total: float) -> None:
    assert RUNGS[at_most(RUNGS, wanted * MICRO)].total_f == pytest.approx(total * MICRO)


@pytest.mark.parametrize(("stock", "most"), [([0.0], 1), ([-1e-6], 1), ([1e-6], 0)])
def test_stock_that_is_none(stock: list[float], most: int) -> None:
    with pytest.raises(ValueError, match="capacitances above zero"):
        ladder(stock, most)
