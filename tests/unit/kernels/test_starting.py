"""The instant of a start, and torque over speed."""

import math

import pytest

from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.network import (
    ConstantPower,
    Legs,
    LoadLaw,
    Rotor,
    capacitors,
    main_flux,
    solve,
    split_phase,
)
from ampwright.kernels.starter import DIRECT, Shaft, soft, star_delta
from ampwright.kernels.starting import curve, locked_rotor

TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 0.8)
FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)
SOURCE = split_phase(240.0, 0.06 + 0.05j)
LEGS = capacitors(0.0, 5e-5, 1.94e-4, 60.0)
IDLER = Shaft(Rotor(TEN), 0.05, 0.004)
MOTOR = Shaft(Rotor(FIVE), 0.06)


@pytest.mark.parametrize("iron", [None, main_flux(125.0, 1.3, 1.75)])
@pytest.mark.parametrize("power", [(), (ConstantPower("bc", 900 + 300j, 240.0),)])
def test_the_snapshot_is_the_solved_network_with_the_starter_held(
    iron: None, power: tuple[ConstantPower, ...]
) -> None:
    idler = IDLER._replace(rotor=Rotor(TEN, LoadLaw(), iron))
    at = locked_rotor(SOURCE, LEGS, (idler,), MOTOR, constant_power=power).at
    state = solve(SOURCE, LEGS, (idler.rotor, MOTOR.rotor), slips=(None, 1.0), constant_power=power)
    assert at.line_v == pytest.approx(state.line_v, rel=1e-4)
    assert at.made_leg_v == pytest.approx(state.leg_to_earth_v[2], rel=1e-4)
    assert at.torque_nm == pytest.approx(state.rotors[1].machine.air_gap_torque_nm, rel=3e-4)
    assert at.line_current_a == pytest.approx(state.rotors[1].line_a, rel=1e-4)
    assert at.running_current_a[0] == pytest.approx(state.rotors[0].line_a, rel=1e-4)
    assert at.source_current_a[0] == pytest.approx(abs(state.source_a[0]), rel=1e-4)
    assert at.running_slips[0] == pytest.approx(state.rotors[0].slip, rel=1e-3)
    assert at.rotor_loss_w == pytest.approx(state.rotors[1].machine.rotor_loss_w, rel=3e-4)


def test_torque_is_a_band_and_its_lower_edge_decides() -> None:
    torque = locked_rotor(SOURCE, LEGS, (IDLER,), MOTOR).at.torque_nm
    held = MOTOR._replace(rotor=Rotor(FIVE, LoadLaw(constant_nm=1.0, breakaway_nm=0.8 * torque)))
    found = locked_rotor(SOURCE, LEGS, (IDLER,), held, torque_band=0.4)
    assert found.torque_low_nm == pytest.approx(0.6 * torque)
    assert found.torque_high_nm == pytest.approx(1.4 * torque)
    assert found.breakaway_nm == pytest.approx(0.8 * torque)
    assert not found.breaks_away
    light = held._replace(rotor=Rotor(FIVE, LoadLaw(constant_nm=0.6 * torque)))
    assert locked_rotor(SOURCE, LEGS, (IDLER,), light).breaks_away


@pytest.mark.parametrize("band", [0.34, 1.0, math.nan])
def test_a_band_that_claims_too_much_is_refused(band: float) -> None:
    with pytest.raises(ValueError, match=r"from 0.35 to below 1"):
        locked_rotor(SOURCE, LEGS, (IDLER,), MOTOR, torque_band=band)


def test_on_two_lines_a_machine_does_not_break_away() -> None:
    found = locked_rotor(SOURCE, Legs(), (), MOTOR)
    assert abs(found.at.torque_nm) < 1e-10
    assert not found.breaks_away


def test_exchanged_capacitors_turn_it_backwards() -> None:
    found = locked_rotor(SOURCE, capacitors(0.0, 3e-4, 0.0, 60.0), (), MOTOR)
    assert found.at.torque_nm < -1.0
    assert not found.breaks_away


def test_a_larger_idler_starts_harder_and_sags_less() -> None:
    found = []
    for size in (0.5, 1.0, 2.0):
        scaled = TEN._replace(
            **{name: getattr(TEN, name) / size for name in TEN._fields if name.endswith("_ohm")},
            rated_current_a=size * TEN.rated_current_a,
        )
        found.append(locked_rotor(SOURCE, LEGS, (Shaft(Rotor(scaled), 0.05, 0.004),), MOTOR).at)
    assert found[0].torque_nm < found[1].torque_nm < found[2].torque_nm
    assert min(found[0].line_v) < min(found[1].line_v) < min(found[2].line_v)


def test_a_soft_start_holds_its_limit_at_every_speed_that_asks_for_more() -> None:
    free = curve(SOURCE, LEGS, (IDLER,), MOTOR)
    held = curve(SOURCE, LEGS, (IDLER,), MOTOR, stage=soft(40.0)[0])
    for one, other in zip(free, held, strict=True):
        if max(one.line_current_a) > 44.0:
            assert max(other.line_current_a) == pytest.approx(40.0, rel=0.02)
            assert other.torque_nm < one.torque_nm
    assert held[-1].torque_nm == pytest.approx(free[-1].torque_nm, abs=0.05)


def test_on_a_stiff_supply_star_gives_a_third_of_torque_and_line_current() -> None:
    plain = FIVE._replace(saturation=1.0)
    motor = Shaft(Rotor(plain), 0.06)
    stiff = split_phase(240.0, 0j)
    # three stiff legs: an idler so large that the made leg does not give way
    base = {name: getattr(TEN, name) / 1e4 for name in TEN._fields if name.endswith("_ohm")}
    idler = Shaft(Rotor(TEN._replace(**base, rated_current_a=25e4)), 500.0, 0.004)
    star = locked_rotor(stiff, Legs(), (idler,), motor, stage=star_delta(0.8, 5.0)[0]).at
    delta = locked_rotor(stiff, Legs(), (idler,), motor).at
    assert star.torque_nm / delta.torque_nm == pytest.approx(1.0 / 3.0, rel=2e-3)
    assert star.line_current_a[0] / delta.line_current_a[0] == pytest.approx(1 / 3, rel=2e-3)


def test_torques_along_a_curve_are_those_of_the_solved_network() -> None:
    for at in curve(SOURCE, LEGS, (IDLER,), MOTOR, stage=DIRECT)[1:-1:4]:
        state = solve(SOURCE, LEGS, (IDLER.rotor, MOTOR.rotor), slips=(None, at.slip))
        own = state.rotors[1].machine
        assert at.torque_nm == pytest.approx(own.air_gap_torque_nm, rel=0.01, abs=0.05)
        assert at.braking_nm == pytest.approx(own.braking_torque_nm, rel=0.01)
        assert at.line_v == pytest.approx(state.line_v, rel=0.01)
