"""The rectifier's table against waveforms: a time-domain model, and a circuit simulator (ngspice).

The simulator gets sources, resistors, inductors, diodes, a capacitor and a current; its diodes drop
0.06 V. It also puts the same drive behind three phases, for the derating of drives.
"""

import math
import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from tests.independent.rectifier_waveform import steady
from tests.independent.simulator import NGSPICE, simulated

from ampwright.kernels.figures import rows
from ampwright.kernels.rectifier import (
    OUTPUTS,
    RectifierInput,
    drive_derating,
    interpolated,
    rectifier_input,
)

VOLTS, HERTZ, WATTS = 240.0, 60.0, 4440.0
BASE_OHM = VOLTS * VOLTS / WATTS
OMEGA = 2.0 * math.pi * HERTZ
RATED_F = 450e-6 * WATTS / 1000.0


@pytest.mark.slow
def test_rows_of_the_table() -> None:
    chosen = rows("rectifier_states")[::11]
    capacitance, resistance, reactance = (
        np.array([float(row[name]) for row in chosen])
        for name in ("capacitance", "resistance", "reactance")
    )
    wave = steady(capacitance, resistance, reactance, load="current")
    assert abs(wave.power - 1.0).max() < 2e-3
    for name in OUTPUTS:
        printed = np.array([float(row[name]) for row in chosen])
        assert abs(getattr(wave, name) / printed - 1.0).max() < 4e-3, name


@pytest.mark.slow
def test_between_the_rows() -> None:
    """The accuracy that ``rectifier_input`` promises."""
    chance = np.random.default_rng(5)
    capacitance = 1.0 / chance.uniform(1 / 40, 1 / 6.5, 50)
    resistance = np.exp(chance.uniform(np.log(0.0005), np.log(0.1), 50))
    reactance = np.exp(chance.uniform(np.log(0.001), np.log(0.12), 50))
    wave = steady(capacitance, resistance, reactance, load="current")
    ours = np.array(
        [interpolated(p) for p in zip(capacitance, resistance, reactance, strict=True)]
    ).T
    limit = np.where(reactance < 0.003, 0.03, 0.02)
    for name, column in zip(OUTPUTS, ours, strict=True):
        allowed = {"peak": 0.02, "ripple_current": 0.04}.get(name, limit)
        assert (abs(column / getattr(wave, name) - 1.0) < allowed).all(), name


@pytest.mark.slow
def test_other_loads() -> None:
    """A resistor equals the constant current to 0.3 %; constant power does from 0.02 up."""
    reactance = np.array([0.01, 0.02, 0.05])
    case = (np.full(3, 9.772), 0.25 * reactance, reactance)
    current, resistor, power = (
        steady(*case, load=load) for load in ("current", "resistor", "power")
    )
    assert abs(resistor.current / current.current - 1.0).max() < 3e-3
    assert abs(power.current / current.current - 1.0)[1:].max() < 3e-3
    assert abs(power.current / current.current - 1.0)[0] < 0.09


def simulate(netlist: str, folder: Path) -> dict[str, float]:
    """Return the measurements of a transient run."""
    file = folder / "bridge.cir"
    file.write_text(netlist)
    assert NGSPICE is not None, "the simulator ngspice is required here and not on the path"
    done = subprocess.run(  # noqa: S603 - a program of the system on a file of ours
        [NGSPICE, "-b", str(file)], check=True, capture_output=True, text=True, timeout=120
    )
    return {
        name: float(value)
        for name, value in re.findall(r"^(\w+)\s+=\s+([-+\d.e]+)", done.stdout, re.MULTILINE)
    }


def bridge(phases: int, resistance_ohm: float, reactance_ohm: float, direct_a: float) -> str:
    """Return a bridge behind one loop, or three lines that are half a loop each."""
    share = 1.0 if phases == 1 else 0.5
    peak = VOLTS * math.sqrt(2.0 if phases == 1 else 2.0 / 3.0)
    lines = ["bridge", "Rm m 0 100k"]
    for leg in range(1, 4 if phases == 3 else 3):
        turn = -120 * (leg - 1)
        if phases == 1 and leg == 2:  # the return: the source's other end, without impedance
            lines += ["Vs2 s2 m dc 0", "Vz2 s2 b2 dc 0"]
        else:
            lines += [
                f"Vs{leg} s{leg} m sin(0 {peak!r} {HERTZ} 0 0 {turn})",
                f"Rl{leg} s{leg} a{leg} {resistance_ohm * share!r}",
                f"Ll{leg} a{leg} b{leg} {reactance_ohm * share / OMEGA!r}",
            ]
        lines += [f"Dp{leg} b{leg} p d", f"Dn{leg} 0 b{leg} d", f"Cb{leg} b{leg} 0 2n"]
    lines += [
        "Vx p c dc 0",
        f"Cd c 0 {RATED_F!r} ic={1.3 * VOLTS!r}",
        f"Id p 0 {direct_a!r}",
        ".model d d(is=1e-9 n=0.1 rs=2m)",
        ".options reltol=1e-4 method=gear",
        ".tran 20u 0.3 0.2 20u uic",
        ".meas tran line rms i(Ll1) from=0.2 to=0.3",
        ".meas tran peak max i(Ll1) from=0.2 to=0.3",
        ".meas tran capacitor rms i(Vx) from=0.2 to=0.3",
        ".meas tran mean avg v(p) from=0.2 to=0.3",
        ".meas tran low min v(p) from=0.2 to=0.3",
        ".meas tran high max v(p) from=0.2 to=0.3",
        ".end",
    ]
    return "\n".join(lines) + "\n"


def state(watts: float, resistance_ohm: float, reactance_ohm: float) -> RectifierInput:
    """Return our state of the same bridge."""
    return rectifier_input(
        watts,
        VOLTS,
        frequency_hz=HERTZ,
        resistance_ohm=resistance_ohm,
        reactance_ohm=reactance_ohm,
        capacitance_f=RATED_F,
    )


@simulated
@pytest.mark.slow
@pytest.mark.parametrize(
    ("reactance", "resistance"), [(0.005, 0.005), (0.02, 0.005), (0.03, 0.0075), (0.06, 0.05)]
)
def test_single_phase_bridge(reactance: float, resistance: float, tmp_path: Path) -> None:
    ohms = resistance * BASE_OHM, reactance * BASE_OHM
    direct_a = WATTS / (1.3 * VOLTS)
    found = simulate(bridge(1, *ohms, direct_a), tmp_path)
    ours = state(direct_a * found["mean"], *ohms)
    assert ours.current_a == pytest.approx(found["line"], rel=0.012)
    assert ours.peak_a == pytest.approx(found["peak"], rel=0.02)
    assert ours.direct_mean_v == pytest.approx(found["mean"], rel=0.01)
    assert ours.direct_low_v == pytest.approx(found["low"], rel=0.01)
    assert ours.direct_high_v == pytest.approx(found["high"], rel=0.01)
    assert ours.capacitor_a == pytest.approx(found["capacitor"], rel=0.02)


def share_at(limit: float, quantity: Callable[[float], float]) -> float:
    """Return the share of rated power at which *quantity* reaches *limit*."""
    low, high = 0.25, 1.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if quantity(middle) < limit else (low, middle)
    return 0.5 * (low + high)


@simulated
@pytest.mark.slow
@pytest.mark.parametrize("reactance", [0.01, 0.03])
def test_derating_of_a_three_phase_drive(reactance: float, tmp_path: Path) -> None:
    ohms = 0.25 * reactance * BASE_OHM, reactance * BASE_OHM
    direct_a = WATTS / (1.35 * VOLTS * (1.0 - 0.4 * reactance))
    found = simulate(bridge(3, *ohms, direct_a), tmp_path)
    watts = direct_a * found["mean"]
    full = state(watts, *ohms)
    assert 1.87 < full.current_a / found["line"] < 2.07
    derating = drive_derating()
    line = share_at(found["line"], lambda share: state(share * watts, *ohms).current_a)
    assert derating.line_current == pytest.approx(line, abs=0.02)
    capacitor = share_at(found["capacitor"], lambda share: state(share * watts, *ohms).capacitor_a)
    assert derating.capacitor_current == pytest.approx(capacitor, abs=0.1)
    ripple = (found["high"] - found["low"]) / (full.direct_high_v - full.direct_low_v)
    assert derating.ripple == pytest.approx(ripple, abs=0.06)
