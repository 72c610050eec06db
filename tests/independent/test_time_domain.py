"""Networks against the machine's differential equations (``dq_model``), which share no formula.

Machines: Krause 3 hp (resistances from memory; leakage, magnetising reactance and inertia seen in
a public extract), Fitzgerald example 6.2, Chapman example 7-3, Sen 460 V (all three from memory);
the double-cage ones and all losses, loads and driven inertias are invented by us.
"""

import math
from typing import NamedTuple

import pytest
from tests.independent.dq_model import Circuit, Machine, Orbit, steady

from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.legs import Legs, Source, capacitors, line_neutral, plus, split_phase
from ampwright.kernels.network import State, solve
from ampwright.kernels.operating_point import LoadLaw, Rotor

MICRO = 1e-6


class Built(NamedTuple):
    """One machine in ohms at its frequency, its losses, its own inertia, and what it drives."""

    ohms: tuple[float, float, float, float, float, float, float]  # r1 x1 xm ri xi ro xo
    core_ohm: float
    friction_w: float
    stray_w: float
    rated_a: float
    pole_pairs: int
    hertz: float
    inertia: float
    constant_nm: float = 0.0
    square_nm: float = 0.0


NONE = math.inf  # resistance of a second cage that is not there
KRAUSE = Built(
    (0.435, 0.754, 26.13, 0.816, 0.754, NONE, 0.0), 400.0, 30.0, 20.0, 5.8, 2, 60.0, 0.089
)
FITZGERALD = Built(
    (0.294, 0.503, 13.25, 0.144, 0.209, NONE, 0.0), 300.0, 120.0, 60.0, 18.8, 3, 60.0, 0.15
)
CHAPMAN = Built(
    (0.641, 1.106, 26.3, 0.332, 0.464, NONE, 0.0), 900.0, 300.0, 150.0, 18.9, 2, 60.0, 0.12
)
SEN = Built((0.25, 0.5, 30.0, 0.2, 0.5, NONE, 0.0), 700.0, 500.0, 200.0, 42.0, 2, 60.0, 0.3)
TEN = Built((0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3), 300.0, 90.0, 90.0, 25.0, 2, 60.0, 0.036)
FIVE = Built((0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5), 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.015)
FIFTY = Built((1.1, 1.9, 48.0, 1.0, 2.4, 6.0, 1.2), 1100.0, 30.0, 25.0, 8.4, 2, 50.0, 0.012)


class Set(NamedTuple):
    """A supply, what stands on the legs (ab, bc, ca), and the machines."""

    volt: float
    hertz: float
    loop_ohm: complex
    microfarad: tuple[float, float, float]
    resistor_ohm: tuple[float, float, float]
    machines: tuple[Built, ...]


def driving(built: Built, times_inertia: float, constant: float, square: float = 0.0) -> Built:
    """Return the machine with a load coupled to it."""
    return built._replace(
        inertia=built.inertia * times_inertia, constant_nm=constant, square_nm=square
    )


OPEN = (math.inf, math.inf, math.inf)
SETS = {
    "idler alone, hardly any capacitance": Set(240.0, 60.0, 0.06 + 0.05j, (30, 4, 4), OPEN, (TEN,)),
    "idler alone, balanced capacitors": Set(240.0, 60.0, 0.06 + 0.05j, (20, 65, 85), OPEN, (TEN,)),
    "idler alone, raised": Set(240.0, 60.0, 0.06 + 0.05j, (20, 85, 95), OPEN, (TEN,)),
    "idler and lathe, equal capacitors": Set(
        240.0, 60.0, 0.06 + 0.05j, (20, 120, 120), OPEN, (TEN, driving(FIVE, 4.0, 12.0))
    ),
    "idler and lathe, unequal capacitors": Set(
        240.0, 60.0, 0.06 + 0.05j, (20, 50, 194), OPEN, (TEN, driving(FIVE, 4.0, 20.0))
    ),
    "weak source": Set(
        240.0, 60.0, 0.4 + 0.3j, (20, 50, 194), OPEN, (TEN, driving(FIVE, 4.0, 10.0))
    ),
    "two loads": Set(
        240.0, 60.0, 0.06 + 0.05j, (20, 80, 220), OPEN,
        (TEN, driving(FIVE, 4.0, 8.0), driving(FIVE, 6.0, 0.0, 15.0)),
    ),
    "a heater between the legs": Set(
        240.0, 60.0, 0.08 + 0.06j, (20, 60, 200), (40.0, 60.0, 50.0), (TEN, driving(FIVE, 4.0, 8.0))
    ),
    "three horse power on a six-pole idler": Set(
        220.0, 60.0, 0.1 + 0.08j, (25, 40, 120), OPEN, (FITZGERALD, driving(KRAUSE, 1.5, 8.0))
    ),
    "one motor and one run capacitor": Set(
        220.0, 60.0, 0.05 + 0.06j, (20, 4, 90), OPEN, (driving(KRAUSE, 2.0, 0.0, 6.0),)
    ),
    "460 volts": Set(
        460.0, 60.0, 0.1 + 0.12j, (15, 40, 130), OPEN, (SEN, driving(CHAPMAN, 4.0, 40.0))
    ),
    "50 hertz, line and neutral": Set(
        230.0, 50.0, 0.25 + 0.1j, (15, 30, 90), OPEN, (FIFTY, driving(FIFTY, 4.0, 8.0))
    ),
    "50 hertz, a fan": Set(
        230.0, 50.0, 0.4 + 0.25j, (15, 30, 100), OPEN, (FIFTY, driving(FIFTY, 8.0, 1.0, 7.0))
    ),
}  # fmt: skip


# a bare rotor at 11 % unbalance: here the ripple of speed is worth 0.4 % of the made leg's volts
BOOSTED = Set(240.0, 60.0, 0.06 + 0.05j, (20, 160, 160), OPEN, (TEN,))


def scaled(microfarad: tuple[float, float, float]) -> tuple[float, float, float]:
    """Return capacitances in farad."""
    return microfarad[0] * MICRO, microfarad[1] * MICRO, microfarad[2] * MICRO


def in_time(case: Set, times_inertia: float = 1.0) -> Orbit:
    """Return the steady period from the differential equations."""
    w = 2.0 * math.pi * case.hertz
    machines = []
    for built in case.machines:
        r1, x1, xm, ri, xi, ro, xo = built.ohms
        omega_s = w / built.pole_pairs
        machines.append(
            Machine(
                r1, x1 / w, xm / w, ri, xi / w, ro, xo / w, built.core_ohm, built.pole_pairs,
                built.friction_w / omega_s, built.stray_w / omega_s, built.rated_a,
                built.constant_nm, built.square_nm, built.inertia * times_inertia,
            )
        )  # fmt: skip
    circuit = Circuit(
        case.volt,
        case.hertz,
        case.loop_ohm.real,
        case.loop_ohm.imag / w,
        *scaled(case.microfarad),
        *case.resistor_ohm,
    )
    slips = [
        0.002 if built.constant_nm + built.square_nm == 0.0 else 0.02 for built in case.machines
    ]
    return steady(circuit, machines, slips)


def in_phasors(case: Set) -> State:
    """Return the state that the kernel finds."""
    rotors = []
    for built in case.machines:
        r1, x1, xm, ri, xi, ro, xo = built.ohms
        circuit = InductionCircuit(
            r1, x1, xm, ri, xi, min(ro, 1e12), xo, built.core_ohm, built.friction_w, built.stray_w,
            built.rated_a, built.pole_pairs, built.hertz, 1.0,
        )  # fmt: skip
        rotors.append(Rotor(circuit, LoadLaw(built.constant_nm, 0.0, built.square_nm)))
    branches = plus(
        capacitors(*scaled(case.microfarad), case.hertz),
        Legs(*(1.0 / r for r in case.resistor_ohm)),
    )
    return solve(source(case), branches, rotors)


def source(case: Set) -> Source:
    """Return the supply; without a load to earth its mid-point makes no difference."""
    if case.hertz == 50.0:
        return line_neutral(case.volt, case.loop_ohm / 2.0, case.loop_ohm / 2.0)
    return split_phase(case.volt, case.loop_ohm)


def errors(orbit: Orbit, state: State) -> dict[str, float]:
    """Return the relative differences; motor currents over the machine's largest line current."""
    found = {
        f"volts {k}": v / w - 1.0
        for k, (v, w) in enumerate(zip(orbit.line_v, state.line_v, strict=True))
    }
    found["source"] = orbit.source_a / abs(state.source_a[0]) - 1.0
    for k, (amps, rotor) in enumerate(zip(orbit.motor_a, state.rotors, strict=True)):
        found[f"motor {k}"] = max(
            (a - b for a, b in zip(amps, rotor.line_a, strict=True)), key=abs
        ) / max(amps)
    return found


@pytest.mark.slow
@pytest.mark.parametrize("name", SETS)
def test_volts_and_currents_within_three_per_mille(name: str) -> None:
    case = SETS[name]
    orbit, state = in_time(case), in_phasors(case)
    assert orbit.mismatch < 1e-6
    assert orbit.multiplier < 1.0  # the running state is a stable one
    for what, error in errors(orbit, state).items():
        assert abs(error) < 3e-3, what
    assert orbit.input_w == pytest.approx(state.input_va.real, rel=3e-3)
    for torque, ripple, speed, rotor, built in zip(
        orbit.torque_nm, orbit.ripple_nm, orbit.speed, state.rotors, case.machines, strict=True
    ):
        omega_s = 2.0 * math.pi * case.hertz / built.pole_pairs
        rated_nm = math.sqrt(3.0) * case.volt * built.rated_a / omega_s
        assert torque == pytest.approx(rotor.machine.air_gap_torque_nm, abs=1e-3 * rated_nm)
        # the ripple is that at constant speed; a light rotor follows it a little
        assert ripple == pytest.approx(
            rotor.machine.ripple_torque_nm, rel=0.03, abs=0.01 * rated_nm
        )
        assert 1.0 - speed / omega_s == pytest.approx(rotor.slip, abs=1e-4)


@pytest.mark.slow
@pytest.mark.parametrize("case", [BOOSTED, SETS["idler and lathe, equal capacitors"]])
def test_the_difference_shrinks_as_one_over_inertia(case: Set) -> None:
    state = in_phasors(case)
    worst = [
        max(abs(error) for error in errors(in_time(case, times), state).values())
        for times in (1.0, 4.0, 16.0)
    ]
    assert worst[0] / worst[1] == pytest.approx(4.0, rel=0.1)
    assert worst[1] / worst[2] == pytest.approx(4.0, rel=0.1)
