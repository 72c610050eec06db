"""Induction machines on a single-phase supply in the time domain: fluxes, volts and speeds.

Written from the machine's differential equations in the stationary frame, not from phasors, and
sharing no formula with the kernels:

    d(flux_s)/dt = u_s - R_s i_s                       stator, space vector of the line voltages
    d(flux_k)/dt = -R_k i_k + j w_e flux_k             each cage, w_e electrical speed
    J d(w)/dt    = 3/2 p Im(conj(flux_s) i_s) - braking - load

The supply is one loop R, L with a cosine; the legs carry capacitors, which are never all zero (the
cable's own microfarad stands where there is no balancing capacitor), and resistors. Space vectors
are amplitude-invariant. The steady state is the orbit that repeats after one period, found by
Newton's method on the map over a period: no settling time is left in it. A machine with
``r_outer`` infinite has one cage.

Source: the equations are those of Krause, Wasynczuk, Sudhoff, Analysis of Electric Machinery
(chapter on symmetrical induction machines; from memory), with a second cage.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

Reals = NDArray[np.float64]


class Machine(NamedTuple):
    """Inductances [H] and resistances [ohm] per phase, star; torques at synchronous speed [N m]."""

    r_s: float
    l_s: float
    l_m: float
    r_inner: float
    l_inner: float
    r_outer: float
    l_outer: float
    r_core: float
    pole_pairs: int
    drag_nm: float
    stray_nm: float
    rated_a: float
    constant_nm: float
    square_nm: float
    inertia: float


class Circuit(NamedTuple):
    """Supply loop and what stands between the legs; resistors of infinity are not there."""

    volt: float
    hertz: float
    r_loop: float
    l_loop: float
    c_ab: float
    c_bc: float
    c_ca: float
    r_ab: float
    r_bc: float
    r_ca: float


class Orbit(NamedTuple):
    """What a steady period shows: rms volts and amperes, mean torques and speeds.

    ``mismatch`` is how far it misses repeating itself, ``multiplier`` the growth over a period of
    the slowest disturbance (below one: the orbit is stable).
    """

    line_v: tuple[float, float, float]
    source_a: float
    motor_a: tuple[tuple[float, float, float], ...]
    torque_nm: tuple[float, ...]
    ripple_nm: tuple[float, ...]
    speed: tuple[float, ...]
    input_w: float
    mismatch: float
    multiplier: float


def currents_per_flux(m: Machine) -> Reals:
    """Return the inverse of the inductance matrix [1/H]: stator, inner cage, outer cage."""
    cages = 2 if math.isinf(m.r_outer) else 3
    matrix = np.full((3, 3), m.l_m) + np.diag([m.l_s, m.l_inner, m.l_outer])
    inverse = np.zeros((3, 3))
    inverse[:cages, :cages] = np.linalg.inv(matrix[:cages, :cages])
    return inverse


def rates(
    t: float, x: Reals, circuit: Circuit, machines: Sequence[Machine], inverses: Sequence[Reals]
) -> Reals:
    """Return the time derivatives; *x* has shape (3 + 7 machines, lanes).

    Order: source current, voltages A-B and B-C, then for each machine stator, inner and outer
    flux (real, imaginary) and mechanical speed.
    """
    out = np.empty_like(x)
    current, v_ab, v_bc = x[0], x[1], x[2]
    v_ca = -v_ab - v_bc
    u = (v_ab - v_ca) / 3.0 + 1j * v_bc / math.sqrt(3.0)
    drive = math.sqrt(2.0) * circuit.volt * math.cos(2.0 * math.pi * circuit.hertz * t)
    out[0] = (drive - circuit.r_loop * current - v_ab) / circuit.l_loop
    into_a = v_ab / circuit.r_ab - v_ca / circuit.r_ca
    into_c = v_ca / circuit.r_ca - v_bc / circuit.r_bc
    for k, m in enumerate(machines):
        y = x[3 + 7 * k : 10 + 7 * k]
        flux = np.stack([y[0] + 1j * y[1], y[2] + 1j * y[3], y[4] + 1j * y[5]])
        amps = inverses[k] @ flux
        speed = y[6]
        d_s = u - m.r_s * amps[0]
        d_i = -m.r_inner * amps[1] + 1j * m.pole_pairs * speed * flux[1]
        d_o = (
            -100.0 * flux[2]  # no such cage: let it fade
            if math.isinf(m.r_outer)
            else -m.r_outer * amps[2] + 1j * m.pole_pairs * speed * flux[2]
        )
        line = amps[0] + u / m.r_core
        out[3 + 7 * k : 10 + 7 * k] = [
            d_s.real, d_s.imag, d_i.real, d_i.imag, d_o.real, d_o.imag,
            (torque(m, flux[0], amps[0]) - against(m, circuit.hertz, speed, line)) / m.inertia,
        ]  # fmt: skip
        into_a = into_a + line.real
        into_c = into_c - line.real / 2.0 - line.imag * math.sqrt(3.0) / 2.0
    # Kirchhoff at A and at C: capacitor currents make up for the rest
    a11, a12 = circuit.c_ab + circuit.c_ca, circuit.c_ca
    a21, a22 = circuit.c_ca, circuit.c_bc + circuit.c_ca
    b1, b2 = current - into_a, into_c
    determinant = a11 * a22 - a12 * a21
    out[1] = (b1 * a22 - a12 * b2) / determinant
    out[2] = (a11 * b2 - a21 * b1) / determinant
    return out


def torque(m: Machine, flux: NDArray[np.complex128], amps: NDArray[np.complex128]) -> Reals:
    """Return the electromagnetic torque [N m] from stator flux and stator current."""
    return np.asarray(1.5 * m.pole_pairs * (flux.conj() * amps).imag)


def against(m: Machine, hertz: float, speed: Reals, line: NDArray[np.complex128]) -> Reals:
    """Return the torque [N m] of friction, stray loss and load."""
    share = speed * m.pole_pairs / (2.0 * math.pi * hertz)
    stray = m.stray_nm * abs(line) ** 2 / (2.0 * m.rated_a**2)
    return np.asarray((m.drag_nm + stray) * share + m.constant_nm + m.square_nm * share**2)


def over_a_period(
    start: Reals, circuit: Circuit, machines: Sequence[Machine], times: Reals | None = None
) -> Reals:
    """Return the states after one period, or at *times*; *start* has shape (states, lanes)."""
    shape = start.shape
    inverses = [currents_per_flux(m) for m in machines]
    found = solve_ivp(
        lambda t, x: rates(t, x.reshape(shape), circuit, machines, inverses).ravel(),
        (0.0, 1.0 / circuit.hertz),
        start.ravel(),
        method="DOP853",
        t_eval=times,
        rtol=1e-8,
        atol=1e-8,
    )
    if times is None:
        return np.asarray(found.y[:, -1].reshape(shape))
    return np.asarray(found.y.reshape((*shape, -1)))


def steady(circuit: Circuit, machines: Sequence[Machine], slips: Sequence[float]) -> Orbit:
    """Return the orbit that repeats after one period, searched from about *slips*."""
    size = 3 + 7 * len(machines)
    scale = np.ones(size)
    scale[1:3] = 100.0
    scale[9::7] = 10.0
    state = np.zeros((size, 1))
    for k, (m, slip) in enumerate(zip(machines, slips, strict=True)):
        state[9 + 7 * k] = (1.0 - slip) * 2.0 * math.pi * circuit.hertz / m.pole_pairs
    electrical = np.array([i for i in range(size) if i < 3 or (i - 9) % 7])
    for step in range(12):
        after = over_a_period(np.hstack([state, state + np.diag(1e-4 * scale)]), circuit, machines)
        gap = after[:, 0] - state[:, 0]
        slope = (after[:, 1:] - after[:, :1]) / (1e-4 * scale)
        mismatch = float(np.max(np.abs(gap) / scale))
        if mismatch < 1e-7:
            break
        part = electrical if step == 0 else np.arange(size)  # fluxes first, speeds as they are
        free = slope[np.ix_(part, part)] - np.eye(part.size)
        state[part, 0] -= np.linalg.solve(free, gap[part])
    multiplier = float(np.max(np.abs(np.linalg.eigvals(slope))))
    return _measured(state, circuit, machines, mismatch, multiplier)


def _measured(
    state: Reals,
    circuit: Circuit,
    machines: Sequence[Machine],
    mismatch: float,
    multiplier: float,
) -> Orbit:
    samples = 512
    times = np.arange(samples) / (samples * circuit.hertz)
    x = over_a_period(state, circuit, machines, times)[:, 0, :]
    v_ab, v_bc = x[1], x[2]
    v_ca = -v_ab - v_bc
    u = (v_ab - v_ca) / 3.0 + 1j * v_bc / math.sqrt(3.0)
    lines, torques, ripples, speeds = [], [], [], []
    for k, m in enumerate(machines):
        y = x[3 + 7 * k : 10 + 7 * k]
        flux = np.stack([y[0] + 1j * y[1], y[2] + 1j * y[3], y[4] + 1j * y[5]])
        amps = currents_per_flux(m) @ flux
        line = amps[0] + u / m.r_core
        third = math.sqrt(3.0) / 2.0 * line.imag
        lines.append((rms(line.real), rms(-line.real / 2.0 + third), rms(-line.real / 2.0 - third)))
        made = torque(m, flux[0], amps[0])
        torques.append(float(made.mean()))
        ripples.append(2.0 * abs(np.fft.rfft(made)[2]) / samples)
        speeds.append(float(y[6].mean()))
    drive = math.sqrt(2.0) * circuit.volt * np.cos(2.0 * math.pi * circuit.hertz * times)
    return Orbit(
        line_v=(rms(v_ab), rms(v_bc), rms(v_ca)),
        source_a=rms(x[0]),
        motor_a=tuple(lines),
        torque_nm=tuple(torques),
        ripple_nm=tuple(ripples),
        speed=tuple(speeds),
        input_w=float((drive * x[0]).mean()),
        mismatch=mismatch,
        multiplier=multiplier,
    )


def rms(values: Reals) -> float:
    """Return the root of the mean square."""
    return float(np.sqrt(np.mean(values**2)))
