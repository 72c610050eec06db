"""Fault currents behind a converter."""

import math

import pytest

from ampwright.kernels.faults import fault_current, fault_currents
from ampwright.kernels.induction import InductionCircuit, branch
from ampwright.kernels.legs import PLACES, Legs, capacitors, line_neutral, split_phase
from ampwright.kernels.network import solve
from ampwright.kernels.operating_point import LoadLaw, Rotor

TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 1.0)
FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)
SOURCE = split_phase(240.0, 0.06 + 0.05j)
STIFF = split_phase(240.0, 0j)


def test_an_earth_fault_on_the_made_leg_sees_thevenins_equivalent() -> None:
    """Behind a stiff supply: three over the sum of both sequence admittances, by symmetry."""
    found = fault_current(STIFF, Legs(), (Rotor(TEN),), "c", 0.5 + 0.1j)
    slip = solve(STIFF, Legs(), (Rotor(TEN),)).rotors[0].slip
    y1, y2 = branch(TEN, slip).y, branch(TEN, 2.0 - slip).y
    open_v = math.sqrt(3.0) / 2.0 * 240.0 * abs(y1 - y2) / abs(y1 + y2)
    source_ohm = 3.0 / (y1 + y2)
    assert found.open_v == pytest.approx(open_v, rel=1e-10)
    assert found.source_ohm == pytest.approx(source_ohm, rel=1e-10)
    assert found.at_speed_a == pytest.approx(open_v / abs(source_ohm + 0.5 + 0.1j), rel=1e-10)


def test_a_bolted_fault_between_the_supply_legs_draws_the_supplys_own_current() -> None:
    found = fault_current(SOURCE, Legs(), (Rotor(TEN),), "ab", 0.0)
    assert found.at_speed_a == pytest.approx(240.0 / abs(0.06 + 0.05j), rel=1e-4)
    assert found.stalled


def test_the_made_legs_fault_is_small_and_the_smaller_figure_is_kept() -> None:
    faults = dict(zip(PLACES, fault_currents(SOURCE, Legs(), (Rotor(TEN),), 0.05), strict=True))
    assert faults["c"].smallest_a < 0.05 * faults["a"].smallest_a
    for fault in faults.values():
        assert fault.smallest_a == pytest.approx(min(fault.at_speed_a, fault.settled_a), rel=1e-12)


def test_a_turning_load_motor_feeds_the_fault_on_the_made_leg() -> None:
    legs = capacitors(0.0, 5e-5, 1.94e-4, 60.0)
    alone = fault_current(SOURCE, legs, (Rotor(TEN),), "c", 0.1)
    both = fault_current(SOURCE, legs, (Rotor(TEN), Rotor(FIVE, LoadLaw(10.0))), "c", 0.1)
    assert both.at_speed_a > 1.2 * alone.at_speed_a


def test_an_earthed_leg_has_no_earth_fault() -> None:
    found = fault_current(line_neutral(240.0, 0.03, 0.03), Legs(), (Rotor(TEN),), "b", 1.0)
    assert found.smallest_a < 1.0


def test_a_high_path_impedance_decides_alone() -> None:
    found = fault_current(SOURCE, Legs(), (Rotor(TEN),), "c", 2000.0)
    assert found.smallest_a == pytest.approx(found.open_v / 2000.0, rel=2e-3)


def test_what_cannot_be_asked() -> None:
    with pytest.raises(ValueError, match="one of ab"):
        fault_current(SOURCE, Legs(), (Rotor(TEN),), "cb", 0.1)
    with pytest.raises(ValueError, match="at least one machine"):
        fault_current(SOURCE, Legs(y_c=1.0), (), "c", 0.1)
