"""Part load and the energy of a year, against circuits of motors."""

import pytest

from ampwright.kernels.energy import (
    BEST_LOAD,
    best_load,
    efficiency_at_load,
    idler_loss_w,
    load_from_speed,
    part_load,
    yearly_cost,
    yearly_energy_kwh,
)
from ampwright.kernels.identification import identify
from ampwright.kernels.induction import InductionCircuit

SIZES = [(1, 1735), (2, 1740), (3, 1745), (5, 1750), (10, 1755), (20, 1765), (50, 1775), (5, 1160)]


def circuit_of(hp: float, rpm: float) -> InductionCircuit:
    return identify(power_w=hp * 745.7, voltage_v=230.0, frequency_hz=60.0, speed_rpm=rpm).circuit


@pytest.mark.parametrize(("hp", "rpm"), SIZES)
def test_part_load_finds_the_shaft_power(hp: float, rpm: float) -> None:
    circuit, watts = circuit_of(hp, rpm), hp * 745.7
    before = part_load(circuit, 230.0, 0.0)
    assert before.efficiency == pytest.approx(0.0, abs=1e-9)
    for share in (0.1, 0.5, 1.0, 1.2):
        now = part_load(circuit, 230.0, share * watts)
        assert abs(now.residual_w) < 1e-10 * watts
        assert now.slip > before.slip
        assert now.input_w > before.input_w
        assert now.efficiency == pytest.approx(share * watts / now.input_w, rel=1e-9)
        before = now


def test_part_load_refuses_what_the_motor_cannot_give() -> None:
    circuit = circuit_of(5, 1750)
    with pytest.raises(ValueError, match="more than the motor gives"):
        part_load(circuit, 230.0, 60000.0)
    with pytest.raises(ValueError, match="twice"):
        part_load(circuit, 230.0, 8000.0)
    with pytest.raises(ValueError, match="shaft power"):
        part_load(circuit, 230.0, -1.0)


@pytest.mark.parametrize(("hp", "rpm"), SIZES)
def test_two_losses_against_circuits(hp: float, rpm: float) -> None:
    """What ``efficiency_at_load`` promises: 6 points at a quarter, 3 at half, 1 above."""
    circuit, watts = circuit_of(hp, rpm), hp * 745.7
    rated = part_load(circuit, 230.0, watts).efficiency
    for load, within in ((0.25, 0.06), (0.5, 0.03), (0.75, 0.01), (1.2, 0.01)):
        theirs = part_load(circuit, 230.0, load * watts).efficiency
        ours = efficiency_at_load(rated, load, best_load=BEST_LOAD)
        assert ours == pytest.approx(theirs, abs=within)


@pytest.mark.parametrize(("hp", "rpm"), [row for row in SIZES if row[0] >= 3])
def test_idler_planning_value_against_circuits(hp: float, rpm: float) -> None:
    theirs = part_load(circuit_of(hp, rpm), 230.0, 0.0).input_w
    assert idler_loss_w(hp * 745.7, 0.0) == pytest.approx(theirs, rel=0.34)


def test_idler_planning_value() -> None:
    assert idler_loss_w(3000.0, 0.0) == pytest.approx(210.0)
    assert idler_loss_w(20000.0, 0.0) == pytest.approx(700.0)
    assert idler_loss_w(20000.0, 0.06) == pytest.approx(1400.0)
    for watts, unbalance in ((100.0, 0.0), (3000.0, 0.2)):
        with pytest.raises(ValueError, match="rating"):
            idler_loss_w(watts, unbalance)


def test_at_rated_load_the_rated_efficiency_comes_back() -> None:
    for best in (0.4, 0.75, 1.2):
        assert efficiency_at_load(0.87, 1.0, best_load=best) == pytest.approx(0.87, rel=1e-15)
    assert efficiency_at_load(0.87, 0.0, best_load=0.75) == 0.0


def test_best_load_is_found_again() -> None:
    for best in (0.5, 0.75, 1.0):
        half = efficiency_at_load(0.87, 0.5, best_load=best)
        assert best_load(0.87, half, 0.5) == pytest.approx(best, rel=1e-12)
    with pytest.raises(ValueError, match="two efficiencies"):
        best_load(0.87, 0.95, 0.5)
    with pytest.raises(ValueError, match="load"):
        best_load(0.87, 0.86, 0.95)


def test_load_from_speed_refuses() -> None:
    with pytest.raises(ValueError, match="slip"):
        load_from_speed(1600, synchronous_rpm=1800, rated_rpm=1750)
    with pytest.raises(ValueError, match="slip"):
        load_from_speed(1770, synchronous_rpm=1800, rated_rpm=1800)


def test_a_year() -> None:
    assert yearly_energy_kwh([2000.0], [400.0]) == pytest.approx(800.0)
    assert yearly_energy_kwh([], []) == 0.0
    assert yearly_cost(800.0, price_per_kwh=0.17, fixed_charge=12.0) == pytest.approx(148.0)
    for hours, powers in (([1.0], [1.0, 2.0]), ([-1.0], [1.0]), ([9000.0], [1.0])):
        with pytest.raises(ValueError, match=r"hours|year"):
            yearly_energy_kwh(hours, powers)
    with pytest.raises(ValueError, match="price"):
        yearly_cost(1.0, price_per_kwh=-1.0, fixed_charge=0.0)
    with pytest.raises(ValueError, match="load"):
        efficiency_at_load(0.9, 1.5, best_load=0.75)
