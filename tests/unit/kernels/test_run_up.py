"""Run-ups against a fine integration of the same equations, and what cannot start."""

import math

import pytest
from scipy.integrate import solve_ivp

from ampwright.kernels.induction import InductionCircuit, synchronous_speed
from ampwright.kernels.network import Legs, LoadLaw, Rotor, capacitors, solve, split_phase
from ampwright.kernels.run_up import RunUp, current_profile, mean_inverse, run_up
from ampwright.kernels.starter import DIRECT, Shaft, Stage, capacitor_start, soft, star_delta

TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 0.8)
FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)
SOURCE = split_phase(240.0, 0.06 + 0.05j)
LEGS = capacitors(0.0, 5e-5, 1.94e-4, 60.0)
IDLER = Shaft(Rotor(TEN), 0.05, 0.004)
OMEGA = synchronous_speed(FIVE)
FAN = LoadLaw(constant_nm=2.0, square_nm=18.0)


def start(load: LoadLaw = FAN, *stages: Stage, inertia: float = 0.06) -> RunUp:
    motor = Shaft(Rotor(FIVE, load), inertia)
    return run_up(SOURCE, LEGS, (IDLER,), motor, stages=stages or (DIRECT,))


@pytest.mark.slow
@pytest.mark.parametrize("load", [FAN, LoadLaw(constant_nm=10.0), LoadLaw(linear_nm=15.0)])
def test_the_time_is_that_of_a_fine_integration(load: LoadLaw) -> None:
    """Both rotors as states, leakage settled at each instant."""
    inertia = 0.06

    def rates(_: float, speeds: list[float]) -> list[float]:
        slips = [1.0 - speed / OMEGA for speed in speeds]
        state = solve(SOURCE, LEGS, (IDLER.rotor, Rotor(FIVE, load)), slips=slips)
        left = [own.machine.shaft_torque_nm - own.load_nm for own in state.rotors]
        return [left[0] / IDLER.inertia_kg_m2, left[1] / inertia]

    def up(_: float, speeds: list[float]) -> float:
        return speeds[1] - 0.95 * OMEGA

    up.terminal = True  # type: ignore[attr-defined] # solve_ivp reads it
    begin = [OMEGA * (1.0 - 0.006), 0.0]
    fine = solve_ivp(rates, (0.0, 9.0), begin, events=up, rtol=1e-6, atol=1e-4, method="LSODA")
    found = start(load)
    k = next(k for k, at in enumerate(found.profile) if at.slip <= 0.05)
    one, two = found.profile[k - 1].slip, found.profile[k].slip
    times = found.nominal.times_s[k - 1 : k + 1]
    ours = times[0] + (times[1] - times[0]) * (one - 0.05) / (one - two)
    assert ours == pytest.approx(fine.t[-1], rel=0.01)


def test_it_settles_where_the_solved_network_does() -> None:
    state = solve(SOURCE, LEGS, (IDLER.rotor, Rotor(FIVE, FAN)))
    found = start()
    assert found.nominal.settled_slip == pytest.approx(state.rotors[1].slip, rel=0.03)
    assert found.starts


def test_heat_of_the_rotor_is_kinetic_energy_and_twice_the_backward_work() -> None:
    """Slip times power of both sequences: s P1 + (2 - s) P2 = s T w + 2 P2, and T w s is energy."""
    found = start(LoadLaw())
    target = max(0.05, 1.0 - 0.98 * (1.0 - found.nominal.settled_slip))
    backward = braking = 0.0
    for k in range(1, len(found.profile)):
        span = min(found.nominal.times_s[k], found.nominal.time_s) - min(
            found.nominal.times_s[k - 1], found.nominal.time_s
        )
        for at in found.profile[k - 1 : k + 1] if span > 0.0 else ():
            forward = at.slip * at.torque_nm * OMEGA
            backward += span / 2.0 * (at.rotor_loss_w - forward)
            braking += span / 2.0 * at.braking_nm * at.slip * OMEGA
    energy = 0.5 * 0.06 * OMEGA**2 * (1.0 - target**2)
    wanted = energy + braking + backward
    assert found.nominal.rotor_heat_j == pytest.approx(wanted, rel=0.005)


def test_lower_edge_takes_longest_and_decides() -> None:
    found = start()
    assert found.high.time_s < found.nominal.time_s < found.low.time_s
    assert found.start_torque_low_nm == pytest.approx(0.65 * found.start_torque_nm)
    heavy = start(LoadLaw(constant_nm=0.8 * found.start_torque_nm))
    assert heavy.nominal.runs
    assert not heavy.low.runs
    assert not heavy.starts
    assert heavy.low.settled_slip == 1.0
    assert heavy.low.time_s == math.inf
    assert heavy.low.rotor_heat_j == math.inf


def test_twice_the_inertia_takes_twice_the_time() -> None:
    one, two = start(inertia=0.3), start(inertia=0.6)
    assert two.nominal.time_s == pytest.approx(2.0 * one.nominal.time_s, rel=0.01)
    assert two.nominal.rms_current_a == pytest.approx(one.nominal.rms_current_a, rel=0.01)


def test_break_away_torque_counts_at_standstill_only() -> None:
    found = start(FAN._replace(breakaway_nm=1e3))
    assert not found.high.runs
    assert found.high.settled_slip == 1.0
    torque = start().start_torque_nm
    sticky, smooth = start(FAN._replace(breakaway_nm=0.6 * torque)), start()
    assert sticky.low.time_s == smooth.low.time_s


def test_a_fan_too_large_hangs_at_a_crawl() -> None:
    found = start(LoadLaw(square_nm=300.0))
    assert not found.nominal.runs
    assert 0.3 < found.nominal.settled_slip < 0.9
    assert found.nominal.times_s[0] == 0.0
    assert found.nominal.times_s[-1] == math.inf


def test_star_delta_draws_less_and_takes_longer_and_a_timer_helps_out() -> None:
    direct, star = start(), start(FAN, *star_delta(0.8, 4.0))
    assert star.start_torque_nm < 0.6 * direct.start_torque_nm
    assert star.largest_source_a < direct.largest_source_a
    assert star.nominal.time_s > direct.nominal.time_s
    hangs = start(LoadLaw(square_nm=25.0), *star_delta(0.97, 4.0))
    assert hangs.low.runs
    assert hangs.low.time_s > 4.0
    stuck = start(LoadLaw(square_nm=25.0), *star_delta(0.97, math.inf))
    assert not stuck.low.runs
    assert math.isnan(stuck.low.times_s[-1]) or stuck.low.times_s[-1] == math.inf


def test_a_soft_start_may_lack_torque() -> None:
    assert start(FAN, *soft(60.0)).nominal.runs
    assert not start(FAN, *soft(20.0)).nominal.runs


def test_the_idler_itself_starts_with_a_capacitor_and_not_without() -> None:
    idler = Shaft(Rotor(TEN), 0.05)
    stages = capacitor_start(capacitors(0.0, 0.0, 7e-4, 60.0), 0.78)
    found = run_up(SOURCE, Legs(), (), idler, stages=stages)
    assert found.starts
    assert found.largest_running_a == ()
    assert found.low.settled_slip < 0.01
    assert not run_up(SOURCE, Legs(), (), idler).starts


def test_extremes_are_those_of_the_speeds_passed() -> None:
    found = start()
    passed = [at for at, t in zip(found.profile, found.nominal.times_s, strict=True) if t < 1e9]
    assert found.lowest_line_v == tuple(min(at.line_v[k] for at in passed) for k in range(3))
    assert found.largest_source_a == max(max(at.source_current_a) for at in passed)
    assert found.largest_running_slips[0] == max(at.running_slips[0] for at in passed)


def test_a_profile_for_protection_runs_forward_and_ends_in_the_steady_current() -> None:
    found = start()
    profile = current_profile(found, found.nominal, lambda at: at.line_current_a)
    assert list(profile.times_s) == sorted(profile.times_s)
    assert profile.currents_a[0] == pytest.approx(found.largest_line_a)
    state = solve(SOURCE, LEGS, (IDLER.rotor, Rotor(FIVE, FAN)))
    assert profile.then_a == pytest.approx(max(state.rotors[1].line_a), rel=0.02)
    stuck = start(FAN._replace(breakaway_nm=1e3))
    held = current_profile(stuck, stuck.low, lambda at: at.source_current_a)
    assert held.times_s == (0.0, 0.0)
    assert held.then_a == pytest.approx(stuck.largest_source_a)


@pytest.mark.parametrize("last", [1.0 + 1e-9, 1.0019, 1.0021, 1.5, 40.0, 1e-3])
def test_mean_inverse_is_the_integral(last: float) -> None:
    wanted = math.log1p(last - 1.0) / (last - 1.0)
    assert mean_inverse(1.0, last) == pytest.approx(wanted, rel=1e-6)


def test_a_band_that_claims_too_much_is_refused() -> None:
    with pytest.raises(ValueError, match=r"from 0.35 to below 1"):
        run_up(SOURCE, LEGS, (IDLER,), IDLER, torque_band=0.2)


@pytest.mark.parametrize(
    "stages", [(), (DIRECT, DIRECT), (Stage(until_speed=0.8),), (Stage(until_speed=-0.1), DIRECT)]
)
def test_stages_that_do_not_lead_to_full_speed(stages: tuple[Stage, ...]) -> None:
    with pytest.raises(ValueError, match="stages that end below 1"):
        run_up(SOURCE, LEGS, (IDLER,), IDLER, stages=stages)


def test_an_inertia_that_is_none() -> None:
    with pytest.raises(ValueError, match="inertia above zero"):
        run_up(SOURCE, LEGS, (IDLER,), Shaft(Rotor(FIVE), 0.0))


def test_a_small_idler_is_pulled_down_and_that_is_a_result() -> None:
    small = FIVE._replace(
        **{name: getattr(FIVE, name) * 5.0 for name in FIVE._fields if name.endswith("_ohm")},
        rated_current_a=2.6,
    )
    loaded = Shaft(Rotor(small, LoadLaw(constant_nm=3.0)), 0.01, 0.03)
    found = run_up(SOURCE, LEGS, (loaded,), Shaft(Rotor(TEN, LoadLaw(constant_nm=30.0)), 0.3))
    assert not found.starts
    assert found.largest_running_slips[0] > 0.3
