"""What heat allows, against the circuit of the motor."""

import cmath
import math
from functools import partial
from itertools import pairwise

import pytest

from ampwright.kernels.energy import part_load
from ampwright.kernels.identification import identify
from ampwright.kernels.induction import InductionCircuit, line_currents, sequence_state
from ampwright.kernels.thermal import (
    circuit_heating_weight,
    drive_altitude_factor,
    drive_ambient_factor,
    heating_weight,
    mean_rise_ratio,
    motor_site_factor,
    self_ventilated_torque,
    unbalance_derating,
    usable_output,
)

plain = partial(usable_output, curve="nema", alignment=1.0, no_load_current=0.4, leg_limit=1.0)


@pytest.mark.parametrize("curve", ["nema", "iec"])
def test_derating_falls_from_one(curve: str) -> None:
    factors = [unbalance_derating(n / 1000, curve) for n in range(51)]
    assert factors[:11] == [1.0] * 11
    assert all(a >= b for a, b in pairwise(factors))
    assert factors[-1] == 0.75


def test_beyond_its_end_the_curve_gives_no_answer() -> None:
    with pytest.raises(ValueError, match="unbalance"):
        unbalance_derating(0.0501, "nema")
    with pytest.raises(ValueError, match="nema or iec"):
        unbalance_derating(0.01, "other")


def largest_output(
    circuit: InductionCircuit, v1: float, v2: complex, limit_a: float, limit_w: float
) -> tuple[float, float]:
    """Return the shaft powers at the limits of the largest line and of the windings' heat."""
    found = []
    for kind in ("line", "heat"):
        low, high = 1e-5, 0.1
        for _ in range(60):
            slip = 0.5 * (low + high)
            state = sequence_state(circuit, v1, v2, slip)
            lines = line_currents(state.current1_a, state.current2_a)
            fits = (
                max(map(abs, lines)) <= limit_a
                if kind == "line"
                else state.stator_loss_w + state.rotor_loss_w <= limit_w
            )
            low, high = (slip, high) if fits else (low, slip)
        found.append(sequence_state(circuit, v1, v2, low).shaft_w)
    return found[0], found[1]


@pytest.mark.parametrize(("hp", "rpm"), [(2, 1740), (5, 1750), (10, 1755), (50, 1775), (5, 3500)])
@pytest.mark.parametrize("unbalance", [0.02, 0.04, 0.06, 0.08])
def test_usable_output_against_the_circuit(hp: float, rpm: float, unbalance: float) -> None:
    watts = hp * 745.7
    circuit = identify(power_w=watts, voltage_v=230.0, frequency_hz=60.0, speed_rpm=rpm).circuit
    rated, idle = part_load(circuit, 230.0, watts), part_load(circuit, 230.0, 0.0)
    v1 = 230.0 / math.sqrt(3.0)
    full = sequence_state(circuit, v1, 0.0, rated.slip)
    compared = 0
    for angle in range(0, 360, 40):
        v2 = unbalance * v1 * cmath.exp(1j * math.radians(angle))
        state = sequence_state(circuit, v1, v2, 0.7 * rated.slip)
        one, two = abs(state.current1_a), abs(state.current2_a)
        largest = max(map(abs, line_currents(state.current1_a, state.current2_a)))
        ours = usable_output(
            unbalance=unbalance,
            curve="nema",
            negative_current=two / rated.current_a,
            alignment=min(max((largest - one) / two, 0.5), 1.0),
            no_load_current=idle.current_a / rated.current_a,
            weight=circuit_heating_weight(circuit, rated.slip),
            leg_limit=1.0,
        )
        by_leg, by_heat = largest_output(
            circuit, v1, v2, rated.current_a, full.stator_loss_w + full.rotor_loss_w
        )
        assert ours.by_heating == pytest.approx(by_heat / watts, abs=0.005)
        if by_leg > 0.5 * watts:
            assert ours.by_largest_leg == pytest.approx(by_leg / watts, abs=0.04)
            compared += 1
    assert compared or unbalance > 0.05


def test_up_to_its_end_the_curve_stands_for_the_heating() -> None:
    found = plain(unbalance=0.04, negative_current=0.05, weight=200.0)
    assert found.governing == "curve"
    assert found.fraction == found.by_curve == unbalance_derating(0.04, "nema")
    assert found.by_heating < found.fraction


def test_beyond_its_end_leg_and_heating_judge() -> None:
    leg = plain(unbalance=0.07, negative_current=0.4, weight=1.5)
    assert (leg.governing, leg.by_curve, leg.beyond_curve) == ("largest-leg", None, True)
    assert 0.4 < leg.fraction < 0.6
    heat = plain(unbalance=0.07, negative_current=0.4, weight=4.0)
    assert heat.governing == "heating"
    little = plain(unbalance=0.07, negative_current=0.02, weight=1.0)
    assert (little.governing, little.fraction) == ("curve", 0.75)  # never more than at its end


def test_a_motor_can_be_used_up_by_unbalance_alone() -> None:
    found = plain(unbalance=0.2, negative_current=1.2, weight=1.5)
    assert found.fraction == 0.0


def test_balanced_gives_the_plate() -> None:
    found = plain(unbalance=0.0, negative_current=0.0, weight=1.5)
    assert found.fraction == 1.0


@pytest.mark.parametrize(
    "change",
    [{"unbalance": -0.1}, {"alignment": 0.3}, {"no_load_current": 1.0}, {"leg_limit": 2.0},
     {"weight": -1.0}, {"negative_current": math.nan}],
)  # fmt: skip
def test_usable_output_refuses(change: dict[str, float]) -> None:
    asked = {"unbalance": 0.02, "negative_current": 0.1, "weight": 1.5, **change}
    with pytest.raises(ValueError, match="wanted"):
        plain(**asked)  # type: ignore[arg-type] # numbers only, never the curve


def test_heating_weights() -> None:
    assert heating_weight(6.0) == pytest.approx(175 / 36)
    assert heating_weight(6.0, conservative=True) == pytest.approx(230 / 36)
    assert math.sqrt(1 - heating_weight(6.0) * 0.3**2) == pytest.approx(0.75, abs=1e-9)
    with pytest.raises(ValueError, match="3 to 12"):
        heating_weight(1.0)
    circuit = identify(power_w=3730.0, voltage_v=230.0, frequency_hz=60.0, speed_rpm=1750).circuit
    assert 1.1 < circuit_heating_weight(circuit, 0.028) < 2.5
    single = circuit._replace(ro_ohm=1e9, xo_ohm=1.0)
    assert circuit_heating_weight(single, 0.028) == pytest.approx(1.0, abs=1e-6)
    with pytest.raises(ValueError, match="slip"):
        circuit_heating_weight(circuit, 0.0)


def test_site() -> None:
    assert drive_altitude_factor(1000) == 1.0
    assert drive_altitude_factor(2000) == pytest.approx(0.90)
    assert motor_site_factor(ambient_c=40, altitude_m=1000, limit_c=120) == 1.0
    assert motor_site_factor(ambient_c=60, altitude_m=0, limit_c=120) == pytest.approx(0.75**0.5)
    assert motor_site_factor(ambient_c=40, altitude_m=2000, limit_c=120) == pytest.approx(0.9**0.5)
    assert motor_site_factor(ambient_c=30, altitude_m=2000, limit_c=120) == 1.0
    assert drive_ambient_factor(50, loss_per_k=0.02) == pytest.approx(0.8)
    assert drive_ambient_factor(20, loss_per_k=0.02) == 1.0


def test_site_refuses() -> None:
    with pytest.raises(ValueError, match="altitude"):
        drive_altitude_factor(4001)
    with pytest.raises(ValueError, match="ambient"):
        motor_site_factor(ambient_c=61, altitude_m=0, limit_c=120)
    with pytest.raises(ValueError, match="per kelvin"):
        drive_ambient_factor(50, loss_per_k=0.5)
    with pytest.raises(ValueError, match="speed"):
        self_ventilated_torque(0.05)
    with pytest.raises(ValueError, match="unbalance"):
        mean_rise_ratio(0.06)


def test_low_speed_and_rise() -> None:
    assert self_ventilated_torque(1.0) == 1.0
    assert self_ventilated_torque(0.5) == pytest.approx(0.85)
    assert mean_rise_ratio(0.035) == pytest.approx(1.245)
