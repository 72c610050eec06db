"""What a network of known slips shows: voltages, currents, unbalance, losses.

Written with operators alone, for numbers and columns alike.
"""

from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.induction import (
    InductionCircuit,
    SequenceState,
    delta_currents,
    line_currents,
    state_behind,
)
from ampwright.kernels.legs import (
    PLACES,
    ConstantPower,
    Legs,
    Source,
    Voltages,
    place_voltages,
    source_currents,
)
from ampwright.kernels.operating_point import (
    Frozen,
    MachinePoint,
    Point,
    Rotor,
    evaluate,
    load_torque,
    seen,
)


class RotorState(NamedTuple):
    """One machine in a solved network.

    Attributes:
        slip: Slip of the positive sequence.
        machine: Its currents, torques and powers.
        load_nm: Torque that its load asks; differs from the shaft torque at a held slip.
        line_a: Rms currents of its lines A, B, C.
        winding_star_a: Largest winding current when the winding is a star.
        winding_delta_a: Largest winding current when it is a delta.
        leakage: Leakage factor that held.
        flux: Multiplier of the magnetising reactance that held.
        stalled: There is no equilibrium on the running side of its torque peak; the slip is the
            one at which it comes to rest, 1 or a crawling speed.
    """

    slip: float
    machine: SequenceState
    load_nm: float
    line_a: tuple[float, float, float]
    winding_star_a: float
    winding_delta_a: float
    leakage: float
    flux: float
    stalled: bool


class State(NamedTuple):
    """A solved network; every field a float or a column.

    Attributes:
        leg_v: Voltages of legs A, B, C to earth, phasors.
        line_v: Rms line voltages AB, BC, CA.
        leg_to_earth_v: Rms voltages of legs A, B, C to earth.
        sequence_v: Zero, positive and negative sequence, phasors.
        vuf: Negative over positive sequence voltage.
        deviation: Largest deviation of a line voltage from their mean, over that mean.
        rotors: One for each machine.
        stalled: One for each machine.
        source_a: Currents that the source sends into legs A and B, phasors.
        made_leg_sum_a: Sum of all currents leaving leg C; zero but for rounding.
        input_va: Complex power of the source's open-circuit voltages.
        power_factor: Active over apparent power of that.
        source_loss_w: Lost in the source impedance.
        linear_w: Taken by resistors and other linear branches.
        constant_va: Taken by the loads of constant power.
        shaft_w: Sum over all shafts.
        loss_w: Losses of the machines and of the source impedance.
        residual: Largest torque left over at a rotor that turns freely, over the torque of its
            rated apparent power.
    """

    leg_v: tuple[complex, complex, complex]
    line_v: tuple[float, float, float]
    leg_to_earth_v: tuple[float, float, float]
    sequence_v: tuple[complex, complex, complex]
    vuf: float
    deviation: float
    rotors: tuple[RotorState, ...]
    stalled: tuple[bool, ...]
    source_a: tuple[complex, complex]
    made_leg_sum_a: complex
    input_va: complex
    power_factor: float
    source_loss_w: float
    linear_w: float
    constant_va: complex
    shaft_w: float
    loss_w: float
    residual: float


def state_of(
    source: Source,
    legs: Legs,
    rotors: Sequence[Rotor],
    loads: tuple[ConstantPower, ...],
    slips: Sequence[float],
    held: Frozen,
    stalled: Sequence[bool],
    residual: float,
    point: Point | None = None,
) -> State:
    """Return everything that a network at known slips and held values shows.

    Args:
        source: The single-phase supply.
        legs: Linear branches, without the loads of constant power.
        rotors: The machines.
        loads: The loads of constant power.
        slips: One for each rotor.
        held: Leakage, flux and voltages of the loads, settled.
        stalled: One for each rotor.
        residual: Passed on.
        point: The network at these slips and held values, where it is known.

    Returns:
        The state.

    Raises:
        ZeroDivisionError: Nothing is connected to the made leg, or no current flows at all.

    Accuracy:
        Input equals shaft power, losses and loads to 1e-12 of the input; the currents of the made
        leg sum to zero to 1e-12 of the largest.

    Source:
        Symmetrical components; unbalance as negative over positive sequence (the definition of
        IEC 60034-26, from memory) and as largest deviation from the mean line voltage (NEMA MG 1,
        14.36; number of the clause from memory).
    """
    branches, circuits = seen(rotors, legs, loads, held)
    if point is None:
        point = evaluate(source, branches, circuits, slips, held.leakage)
    at = point.at
    i_a, i_b = source_currents(point.net, at)
    states = tuple([
        _rotor_state(rotor, circuit, at, machine, slip, k, flux, halt)
        for rotor, circuit, machine, slip, k, flux, halt in zip(
            rotors, circuits, point.machines, slips, held.leakage, held.flux, stalled, strict=True
        )
    ])  # fmt: skip
    across = place_voltages(at)
    squares = [abs(v) ** 2 for v in across]
    linear_w = sum((y.real * s for y, s in zip(legs, squares, strict=True)), 0.0)
    constant_va = sum(
        (load.power_va * inverse * squares[PLACES.index(load.place)]
         for load, inverse in zip(loads, held.inverse_squares, strict=True)),
        0.0j,
    )  # fmt: skip
    line_v = (abs(across[0]), abs(across[1]), abs(across[2]))
    mean = (line_v[0] + line_v[1] + line_v[2]) / 3.0
    input_va = source.e_a_v * i_a.conjugate() + source.e_b_v * i_b.conjugate()
    source_loss_w = abs(i_a) ** 2 * source.z_a_ohm.real + abs(i_b) ** 2 * source.z_b_ohm.real
    shaft_w = sum((s.machine.shaft_w for s in states), 0.0)
    machine_loss_w = sum((s.machine.input_w - s.machine.shaft_w for s in states), 0.0)
    into_c = branches.y_c * at.c + branches.y_ca * (at.c - at.a) + branches.y_bc * (at.c - at.b)
    for s in states:
        into_c = into_c + line_currents(s.machine.current1_a, s.machine.current2_a)[2]
    return State(
        leg_v=(at.a, at.b, at.c),
        line_v=line_v,
        leg_to_earth_v=(abs(at.a), abs(at.b), abs(at.c)),
        sequence_v=(at.zero, at.one, at.two),
        vuf=abs(at.two) / abs(at.one),
        deviation=_largest(*(abs(v - mean) for v in line_v)) / mean,
        rotors=states,
        stalled=tuple(stalled),
        source_a=(i_a, i_b),
        made_leg_sum_a=into_c,
        input_va=input_va,
        power_factor=input_va.real / abs(input_va),
        source_loss_w=source_loss_w,
        linear_w=linear_w,
        constant_va=constant_va,
        shaft_w=shaft_w,
        loss_w=machine_loss_w + source_loss_w,
        residual=residual,
    )


def _rotor_state(
    rotor: Rotor,
    circuit: InductionCircuit,
    at: Voltages,
    own: MachinePoint,
    slip: float,
    leakage: float,
    flux: float,
    stalled: bool,  # noqa: FBT001 - a column of them in columns
) -> RotorState:
    machine = state_behind(circuit, own.one, own.two, at.one, at.two, slip)
    a, b, c = line_currents(machine.current1_a, machine.current2_a)
    ab, bc, ca = delta_currents(machine.current1_a, machine.current2_a)
    line_a = (abs(a), abs(b), abs(c))
    return RotorState(
        slip=slip,
        machine=machine,
        load_nm=load_torque(rotor.load, circuit, slip),
        line_a=line_a,
        winding_star_a=_largest(*line_a),
        winding_delta_a=_largest(abs(ab), abs(bc), abs(ca)),
        leakage=leakage,
        flux=flux,
        stalled=stalled,
    )


def _largest(one: float, two: float, three: float) -> float:
    """Return the largest of three, with operators alone."""
    first = (one + two + abs(one - two)) / 2.0
    return (first + three + abs(first - three)) / 2.0
