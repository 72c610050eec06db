"""The linear part of a network: sources, branches, machine matrix, made leg."""

import cmath
import math

import pytest

from ampwright.kernels.legs import (
    ConstantPower,
    Legs,
    capacitors,
    line_line,
    line_neutral,
    machine_matrix,
    plus,
    reduce,
    response,
    solve_voltages,
    source_currents,
    split_phase,
    three_phase_power,
    voltages,
    with_power,
)

A = cmath.exp(2j * math.pi / 3.0)
STIFF = 0j


def test_sources_state_their_volts_between_the_legs_and_to_earth() -> None:
    split = split_phase(240.0, 0.06 + 0.05j)
    assert (split.e_a_v, split.e_b_v) == (120.0, -120.0)
    assert split.z_a_ohm + split.z_b_ohm == 0.06 + 0.05j
    single = line_neutral(230.0, 0.1j, 0.2j)
    assert (single.e_a_v, single.e_b_v, single.z_a_ohm, single.z_b_ohm) == (230.0, 0.0, 0.1j, 0.2j)
    star = line_line(208.0, 120.0, 0.2j)
    assert abs(star.e_a_v - star.e_b_v) == pytest.approx(208.0, rel=1e-15)
    assert abs(star.e_a_v) == pytest.approx(120.0, rel=1e-15)
    assert abs(star.e_b_v) == pytest.approx(120.0, rel=1e-15)


def test_lines_cannot_be_further_apart_than_twice_their_volts_to_earth() -> None:
    with pytest.raises(ValueError, match="at least half of 240"):
        line_line(240.0, 119.0, STIFF)


def test_capacitors_are_susceptances() -> None:
    legs = capacitors(1e-6, 2e-6, 3e-6, 50.0)
    assert legs.y_ca == pytest.approx(3e-6j * 100.0 * math.pi)
    assert legs[3:] == (0.0, 0.0, 0.0)
    assert plus(legs, Legs(y_ca=0.01, y_c=0.02)).y_ca == pytest.approx(legs.y_ca + 0.01)


def test_power_becomes_the_admittance_that_draws_it() -> None:
    load = ConstantPower("bc", 3000.0 + 1000.0j, 240.0)
    legs = with_power(Legs(), (load,), (240.0**-2,))
    current = legs.y_bc * 240.0
    assert 240.0 * current.conjugate() == pytest.approx(3000.0 + 1000.0j)
    assert sum(p.power_va for p in three_phase_power(900.0 + 90.0j, 240.0)) == pytest.approx(
        900 + 90j
    )


def test_machine_matrix_answers_each_sequence_with_its_own_admittance() -> None:
    y1, y2 = 0.1 - 0.3j, 0.9 - 2.0j
    own, forward, backward = machine_matrix(y1, y2)
    for y, turn in ((y1, A.conjugate()), (y2, A)):
        v_a, v_b, v_c = 1.0, turn, turn * turn
        assert own * v_a + forward * v_b + backward * v_c == pytest.approx(y * v_a)
        assert backward * v_a + own * v_b + forward * v_c == pytest.approx(y * v_b)
    assert abs(own + forward + backward) < 1e-15  # equal voltages on all legs drive no current


def test_a_resistive_delta_is_balanced_by_one_coil_and_one_capacitor() -> None:
    """Reactances of root three times the resistance: the oldest balance from one phase.

    The identity stands in Vaske, Berechnung von Drehstromschaltungen, Teubner 1973, page 43,
    example 23 (seen as an example of a public model library), here fed the other way round.
    """
    ohm = 10.0
    reactive = 1.0 / (math.sqrt(3.0) * ohm)  # of a delta of 3R, the star equivalent is R
    legs = Legs(1 / (3 * ohm), 1 / (3 * ohm) - 1j * reactive, 1 / (3 * ohm) + 1j * reactive)
    found = solve_voltages(split_phase(240.0, STIFF), legs, 0.0, 0.0)
    assert abs(found.two) < 1e-13 * abs(found.one)
    assert abs(found.one) == pytest.approx(240.0 / math.sqrt(3.0), rel=1e-14)
    swapped = Legs(legs.y_ab, legs.y_ca, legs.y_bc)  # and the other way round it turns backwards
    back = solve_voltages(split_phase(240.0, STIFF), swapped, 0.0, 0.0)
    assert abs(back.one) < 1e-13 * abs(back.two)


def test_an_open_made_leg_floats_at_the_voltage_of_the_closed_form() -> None:
    """Root three halves of V times |Y1 - Y2| over |Y1 + Y2|, from the machine's symmetry."""
    y1, y2 = 0.02 - 0.09j, 0.15 - 0.55j
    found = solve_voltages(split_phase(240.0, STIFF), Legs(), y1, y2)
    expected = math.sqrt(3.0) / 2.0 * 240.0 * abs(y1 - y2) / abs(y1 + y2)
    assert abs(found.c) == pytest.approx(expected, rel=1e-13)


def test_without_a_made_leg_a_motor_is_its_two_sequences_in_series() -> None:
    y1, y2 = 0.02 - 0.09j, 0.15 - 0.55j
    source = split_phase(240.0, 0.3 + 0.4j)
    net = reduce(source, Legs(), y1, y2)
    i_a, i_b = source_currents(net, voltages(source, net))
    assert i_a == pytest.approx(240.0 / (0.3 + 0.4j + 1.0 / y1 + 1.0 / y2), rel=1e-13)
    assert i_b == pytest.approx(-i_a, rel=1e-13)


def test_response_is_what_a_small_branch_changes() -> None:
    source, legs = split_phase(240.0, 0.2 + 0.3j), capacitors(1e-5, 5e-5, 2e-4, 60.0)
    y1, y2, tiny = 0.02 - 0.09j, 0.15 - 0.55j, 1e-7
    net = reduce(source, legs, y1, y2)
    before = voltages(source, net)
    after = voltages(source, reduce(source, plus(legs, Legs(y_bc=tiny)), y1, y2))
    drawn = tiny * (after.b - after.c)
    answer = response(source, net, 0.0, -drawn, drawn)
    for a, b, c in zip(after, before, answer, strict=True):
        assert a - b == pytest.approx(c, rel=1e-6, abs=1e-13)


def test_nothing_on_the_made_leg_is_no_network() -> None:
    with pytest.raises(ZeroDivisionError):
        solve_voltages(split_phase(240.0, STIFF), Legs(), 0.0, 0.0)
