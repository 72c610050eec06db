"""Starting a machine while others run: locked rotor, and torque and currents over speed.

The machine that starts hangs on the same three legs as the idler and the loads that already turn,
behind the impedance of the supply. Its inertia is large against the electrical time constants, so
each speed is taken as a steady state. ``run_up`` turns the curve found here into times.

Formulas and march are written with operators alone: ``columns.starting`` calls the same ones.
"""

from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.induction import TURN, synchronous_speed
from ampwright.kernels.legs import source_currents
from ampwright.kernels.network import (
    ConstantPower,
    Frozen,
    Legs,
    Point,
    Rotor,
    Source,
    evaluate,
    load_torque,
    plus,
    renewed,
    seen,
)
from ampwright.kernels.starter import DIRECT, Shaft, Stage, connected, limited_ratio

LEAST_BAND = 0.35  # of a starting torque: two models of equal standing differ by this much
SETTLING = 5  # solves of a locked-rotor snapshot; leakage and slips change by a fifth each time
SLIPS = (  # of a curve; close where the torque bends and where it meets the load
    *(1.0 - 0.06 * n for n in range(10)),
    *(0.4 - 0.025 * n for n in range(12)),
    *(0.1 - 0.012 * n for n in range(5)),
    *(0.04 - 0.008 * n for n in range(5)),
    0.0,
)
SLIP_LEAST, SLIP_STEP = 1e-5, 0.1


class Snapshot(NamedTuple):
    """The network at one speed of the machine that starts.

    Attributes:
        slip: Of the machine that starts.
        torque_nm: Its electromagnetic torque.
        braking_nm: Torque of its friction and stray loss.
        load_nm: Torque that its load asks.
        rotor_loss_w: In its rotor.
        line_current_a: Its currents in lines A, B and C.
        source_current_a: Of the supply, legs A and B.
        line_v: Between legs A and B, B and C, C and A.
        made_leg_v: Leg C to earth.
        running_slips: Of the machines that already turn.
        running_current_a: Their currents in lines A, B and C.
    """

    slip: float
    torque_nm: float
    braking_nm: float
    load_nm: float
    rotor_loss_w: float
    line_current_a: tuple[float, float, float]
    source_current_a: tuple[float, float]
    line_v: tuple[float, float, float]
    made_leg_v: float
    running_slips: tuple[float, ...]
    running_current_a: tuple[tuple[float, float, float], ...]


class LockedRotor(NamedTuple):
    """A machine at the instant of its start, its torque as a band.

    Attributes:
        at: The network at slip 1.
        torque_low_nm: Lower edge of the band; decisions rest on it.
        torque_high_nm: Upper edge.
        breakaway_nm: Torque that it takes to begin turning.
        breaks_away: Whether the lower edge exceeds that.
    """

    at: Snapshot
    torque_low_nm: float
    torque_high_nm: float
    breakaway_nm: float
    breaks_away: bool


class Setting(NamedTuple):
    """What stays during one stage: the network, the machines as they hang on it."""

    source: Source
    legs: Legs
    running: tuple[Shaft, ...]
    starter: Shaft
    stage: Stage
    constant_power: tuple[ConstantPower, ...]
    rotors: tuple[Rotor, ...]
    factor: float


class Held(NamedTuple):
    """What a march carries from one speed to the next."""

    frozen: Frozen
    running_slips: tuple[float, ...]
    voltage_ratio: float


def locked_rotor(
    source: Source,
    legs: Legs,
    running: Sequence[Shaft],
    starter: Shaft,
    *,
    stage: Stage = DIRECT,
    constant_power: tuple[ConstantPower, ...] = (),
    torque_band: float = LEAST_BAND,
) -> LockedRotor:
    """Return the state at the instant of a start, torque as a band.

    Args:
        source: The single-phase supply.
        legs: Capacitors and other permanent branches.
        running: The idler and all loads that already turn; may be empty.
        starter: The machine that starts.
        stage: How it is connected.
        constant_power: Loads that hold their power.
        torque_band: Half-width of the band, as a share of the torque, at least 0.35.

    Returns:
        Torque, currents and voltages at slip 1.

    Raises:
        ValueError: The band is narrower than 0.35 or not below 1.

    Accuracy:
        Leakage and the slips of the running machines settle to 1e-4. The torque of the model
        itself is known to a third only: start torques of 0.58 and of 0.71 to 0.99 of rated came
        out of two models for the same 5 hp on a 10 hp idler.

    Source:
        The network of ``network`` at slip 1.
    """
    checked_band(torque_band)
    _, at = settled(
        setting(source, legs, running, starter, stage=stage, constant_power=constant_power)
    )
    breakaway = breakaway_torque(starter)
    low = at.torque_nm * (1.0 - torque_band)
    high = at.torque_nm * (1.0 + torque_band)
    return LockedRotor(at, low, high, breakaway, low > breakaway)


def checked_band(torque_band: float) -> None:
    """Refuse a band that is narrower than what is known, or empty of torque."""
    if not LEAST_BAND <= torque_band < 1.0:
        raise ValueError(f"a band of starting torque is from 0.35 to below 1, got {torque_band}")


def breakaway_torque(starter: Shaft) -> float:
    """Return the torque that it takes to begin turning [N m]."""
    asked = load_torque(starter.rotor.load, starter.rotor.circuit, 1.0)
    extra = starter.rotor.load.breakaway_nm - asked
    return asked + (extra + abs(extra)) / 2.0


def setting(
    source: Source,
    legs: Legs,
    running: Sequence[Shaft],
    starter: Shaft,
    *,
    stage: Stage = DIRECT,
    constant_power: tuple[ConstantPower, ...] = (),
) -> Setting:
    """Return what stays during one stage of a start."""
    others = tuple(shaft.rotor for shaft in running)
    circuit, factor = connected(starter.rotor.circuit, stage, stage.voltage_ratio)
    return Setting(
        source=source,
        legs=legs if stage.legs is DIRECT.legs else plus(legs, stage.legs),
        running=tuple(running),
        starter=starter,
        stage=stage,
        constant_power=constant_power,
        rotors=(*others, starter.rotor._replace(circuit=circuit)),
        factor=factor,
    )


def settled(one: Setting) -> tuple[Held, Snapshot]:
    """Return what holds at slip 1 once leakage, flux and the slips of the others have settled."""
    leakage = (*(1.0 for _ in one.running), one.starter.rotor.circuit.saturation)
    squares = tuple(load.voltage_v**-2.0 for load in one.constant_power)
    slips = tuple(shaft.slip for shaft in one.running)
    frozen = Frozen(leakage, (1.0,) * len(one.rotors), squares)
    held = Held(frozen, slips, one.stage.voltage_ratio)
    for _ in range(SETTLING - 1):
        rotors, factor, point = solved(one, held, 1.0)
        held = followed(one, held, rotors, point, 0.0)
        if one.stage.limited:
            lines = snapshot(point, one.starter, (*slips, 1.0), factor).line_current_a
            held = held._replace(voltage_ratio=limited_ratio(one.stage, held.voltage_ratio, lines))
    _, factor, point = solved(one, held, 1.0)
    return held, snapshot(point, one.starter, (*held.running_slips, 1.0), factor)


def solved(one: Setting, held: Held, slip: float) -> tuple[tuple[Rotor, ...], float, Point]:
    """Return the machines as they hang on the lines, the torque factor, and the network."""
    rotors, factor = one.rotors, one.factor
    if one.stage.limited:
        circuit, factor = connected(one.starter.rotor.circuit, one.stage, held.voltage_ratio)
        rotors = (*rotors[:-1], one.starter.rotor._replace(circuit=circuit))
    branches, circuits = seen(rotors, one.legs, one.constant_power, held.frozen)
    slips = (*held.running_slips, slip)
    return rotors, factor, evaluate(one.source, branches, circuits, slips, held.frozen.leakage)


def advance(one: Setting, held: Held, slip: float, fall: float = 0.0) -> tuple[Held, Snapshot]:
    """Return the network at one slip, and what holds at a slip that is lower by *fall*.

    The machines that turn follow by one linearly implicit step over the time that the starting
    one takes for *fall*; where it does not move, they come to rest.
    """
    rotors, factor, point = solved(one, held, slip)
    at = snapshot(point, one.starter, (*held.running_slips, slip), factor)
    pace = 0.0
    if fall:
        left = at.torque_nm - at.braking_nm - at.load_nm
        gained = one.starter.inertia_kg_m2 * synchronous_speed(rotors[-1].circuit) * fall
        pace = (left + abs(left)) / (2.0 * gained)
    fresh = followed(one, held, rotors, point, pace)
    if one.stage.limited:
        ratio = limited_ratio(one.stage, held.voltage_ratio, at.line_current_a)
        fresh = fresh._replace(voltage_ratio=ratio)
    return fresh, at


def followed(
    one: Setting, held: Held, rotors: tuple[Rotor, ...], point: Point, pace: float
) -> Held:
    """Return what holds after the machines that turn have followed a solve.

    They take one linearly implicit step; *pace* is one over its time [1/s], zero for a time that
    lets them come to rest.
    """
    moved = []
    for shaft, slip, machine in zip(one.running, held.running_slips, point.machines, strict=False):
        circuit = shaft.rotor.circuit
        omega_s = synchronous_speed(circuit)
        short = load_torque(shaft.rotor.load, circuit, slip) - machine.shaft_nm
        drive_w = 3.0 * abs(machine.one.e * point.at.one) ** 2 * machine.one.yr.real
        steep = drive_w / (slip * omega_s) + shaft.inertia_kg_m2 * omega_s * pace
        step = short / steep
        after = slip + (abs(step + SLIP_STEP) - abs(step - SLIP_STEP)) / 2.0
        moved.append((after + SLIP_LEAST + abs(after - SLIP_LEAST)) / 2.0)
    return Held(renewed(rotors, one.constant_power, point), tuple(moved), held.voltage_ratio)


def snapshot(point: Point, starter: Shaft, slips: tuple[float, ...], factor: float) -> Snapshot:
    """Return what is seen at one point of a march; *factor* multiplies the starter's torque."""
    machine, slip, at = point.machines[-1], slips[-1], point.at
    omega_s = synchronous_speed(starter.rotor.circuit)
    backward_w = 3.0 * abs(machine.two.e * at.two) ** 2 * machine.two.yr.real
    i_a, i_b = source_currents(point.net, at)
    return Snapshot(
        slip=slip,
        torque_nm=machine.gap_nm * factor,
        braking_nm=machine.gap_nm - machine.shaft_nm,
        load_nm=load_torque(starter.rotor.load, starter.rotor.circuit, slip),
        rotor_loss_w=(slip * machine.gap_nm * omega_s + 2.0 * backward_w) * factor,
        line_current_a=_sizes(machine.i1, machine.i2),
        source_current_a=(abs(i_a), abs(i_b)),
        line_v=(abs(at.a - at.b), abs(at.b - at.c), abs(at.c - at.a)),
        made_leg_v=abs(at.c),
        running_slips=slips[:-1],
        running_current_a=tuple(_sizes(m.i1, m.i2) for m in point.machines[:-1]),
    )


def _sizes(i1: complex, i2: complex) -> tuple[float, float, float]:
    ahead1, ahead2 = TURN * i1, TURN * i2
    return abs(i1 + i2), abs(ahead2 - ahead1 - i1), abs(ahead1 - ahead2 - i2)


def ahead(before: Frozen, now: Frozen, share: float) -> Frozen:
    """Return *now* with leakage as a straight line through two points has it *share* further."""
    leakage = [n + (n - b) * share for b, n in zip(before.leakage, now.leakage, strict=True)]
    return now._replace(leakage=tuple(leakage))


def curve(
    source: Source,
    legs: Legs,
    running: Sequence[Shaft],
    starter: Shaft,
    *,
    stage: Stage = DIRECT,
    constant_power: tuple[ConstantPower, ...] = (),
) -> tuple[Snapshot, ...]:
    """Return the network at every speed of one stage, from standstill to the stage's last speed.

    Args:
        source: The single-phase supply.
        legs: Permanent branches.
        running: The machines that already turn.
        starter: The machine that starts.
        stage: How it is connected.
        constant_power: Loads that hold their power.

    Returns:
        One snapshot a speed, slips falling.

    Raises:
        ZeroDivisionError: Nothing is connected to the made leg.

    Accuracy:
        Held values (leakage, flux) are drawn ahead from the speeds before, and the machines that
        turn lag by their inertia: torque within 1 % and voltages within 0.6 % of the settled
        network. Steady states at each speed: run-up times within 5 % of the time-domain model
        where the time is above five supply periods.

    Source:
        One solve of ``network`` for each speed.
    """
    end = 1.0 - stage.until_speed
    slips = [*(s for s in SLIPS if s > end + 1e-9), end]
    one = setting(source, legs, running, starter, stage=stage, constant_power=constant_power)
    held, first = settled(one)
    points, before = [first], held.frozen
    for last, slip, after in zip(slips, slips[1:], [*slips[2:], end], strict=False):
        fresh, at = advance(one, held, slip, slip - after)
        if stage.limited:
            fresh, at = advance(
                one, fresh._replace(running_slips=held.running_slips), slip, slip - after
            )
        points.append(at)
        held = fresh._replace(frozen=ahead(before, fresh.frozen, (slip - after) / (last - slip)))
        before = fresh.frozen
    return tuple(points)
