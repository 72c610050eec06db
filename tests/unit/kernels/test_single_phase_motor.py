"""Single-phase motors that might replace a three-phase one."""

import math

import pytest

from ampwright.kernels.single_phase_motor import (
    KINDS,
    MainWinding,
    draw,
    main_winding_state,
    single_phase_plate,
    typical_table,
    typical_values,
)

WINDING = MainWinding(2.02, 2.79, 66.8, 4.12, 2.12, 600.0, 15.0, 2, 60.0)


@pytest.mark.parametrize("slip", [-0.1, 0.0, 0.05, 0.3, 1.0, 1.5, 2.2])
def test_power_in_is_shaft_and_losses(slip: float) -> None:
    state = main_winding_state(WINDING, 115.0, slip)
    out = state.shaft_w + sum(state[4:8])
    assert state.input_w == pytest.approx(out, rel=1e-12)
    assert state.input_w == pytest.approx(115.0 * state.current_a.real, rel=1e-12)
    assert min(state[4:8]) >= 0.0


def test_the_main_winding_alone_does_not_start() -> None:
    assert main_winding_state(WINDING, 115.0, 1.0).air_gap_torque_nm == pytest.approx(
        0.0, abs=1e-12
    )


def test_it_runs_either_way_round() -> None:
    one, other = (main_winding_state(WINDING, 115.0, slip) for slip in (0.05, 1.95))
    assert other.air_gap_torque_nm == pytest.approx(-one.air_gap_torque_nm, rel=1e-12)
    assert other.shaft_w == pytest.approx(one.shaft_w, rel=1e-12)


@pytest.mark.parametrize("kind", KINDS)
def test_usual_values_agree_with_themselves(kind: str) -> None:
    for power_w in (187.0, 746.0, 3000.0, 7457.0):
        plate = single_phase_plate(power_w=power_w, voltage_v=230.0, kind=kind)
        volt_amperes = plate.voltage_v * plate.current_a
        assert power_w == pytest.approx(volt_amperes * plate.efficiency * plate.power_factor)
        assert plate.assumed == (
            "current_a", "power_factor", "efficiency", "locked_rotor_current_a"
        )  # fmt: skip
        assert plate.locked_rotor_current_a > 4.0 * plate.current_a


def test_larger_usual_motors_are_better() -> None:
    for _, values in typical_table().values():
        assert [row[0] for row in values] == sorted(row[0] for row in values)
        assert [row[1] for row in values] == sorted(row[1] for row in values)


def test_usual_values_stop_at_the_ends_of_the_table() -> None:
    assert typical_values(1.0, KINDS[0]) == typical_values(187.0, KINDS[0])
    assert typical_values(1e6, KINDS[1]) == pytest.approx(typical_values(7457.0, KINDS[1]))


def test_stated_values_close_the_third() -> None:
    plate = single_phase_plate(
        power_w=1491.0, voltage_v=230.0, kind="two-capacitor", current_a=9.0, efficiency=0.78
    )
    assert plate.power_factor == pytest.approx(1491.0 / (230.0 * 9.0 * 0.78))
    plate = single_phase_plate(
        power_w=1491.0, voltage_v=230.0, kind="two-capacitor", current_a=9.0, power_factor=0.95
    )
    assert plate.efficiency == pytest.approx(1491.0 / (230.0 * 9.0 * 0.95))
    assert plate.assumed == ("efficiency", "locked_rotor_current_a")


def test_a_current_below_the_usual_one_means_a_better_motor() -> None:
    plate = single_phase_plate(power_w=1491.0, voltage_v=230.0, kind="two-capacitor", current_a=7.9)
    assert plate.efficiency > 0.8
    assert plate.power_factor < 1.0


def test_what_it_draws_over_the_load() -> None:
    plate = single_phase_plate(power_w=2237.0, voltage_v=230.0, kind="start-capacitor")
    rated = draw(plate, 1.0)
    assert rated.current_a == pytest.approx(plate.current_a, rel=1e-12)
    assert rated.power_factor == pytest.approx(plate.power_factor, rel=1e-12)
    draws = [draw(plate, load) for load in (0.0, 0.25, 0.5, 0.75, 1.0, 1.2)]
    assert [d.input_w for d in draws] == sorted(d.input_w for d in draws)
    assert [d.current_a for d in draws] == sorted(d.current_a for d in draws)
    assert 0.0 < draws[0].input_w < 0.2 * rated.input_w
    for one in draws:
        assert one.input_w == pytest.approx(230.0 * one.current_a * one.power_factor)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"kind": "shaded-pole"}, "kind"),
        ({"power_w": 0.0}, "above 0"),
        ({"current_a": -2.0}, "above 0"),
        ({"current_a": 3.0}, "efficiency"),
        ({"current_a": 8.0, "efficiency": 0.7}, "power factor"),
    ],
)
def test_what_cannot_be_is_an_error(wrong: dict[str, float | str], said: str) -> None:
    stated: dict[str, object] = {"power_w": 1491.0, "voltage_v": 230.0, "kind": KINDS[0], **wrong}
    with pytest.raises(ValueError, match=said):
        single_phase_plate(**stated)  # type: ignore[arg-type] # wrong on purpose


def test_a_negative_load_is_an_error() -> None:
    plate = single_phase_plate(power_w=2237.0, voltage_v=230.0, kind="start-capacitor")
    with pytest.raises(ValueError, match="load"):
        draw(plate, -0.1)


def test_the_main_winding_has_a_largest_torque() -> None:
    torques = [main_winding_state(WINDING, 115.0, n / 100.0).air_gap_torque_nm for n in range(101)]
    top = max(torques)
    assert top == max(torques[5:60])
    assert torques[0] < 0.0  # at synchronous speed the backward field brakes
    assert math.isclose(torques[-1], 0.0, abs_tol=1e-12)
