"""One idler tried: capacitors chosen, states solved, starts looked at."""

from typing import NamedTuple

from ampwright.kernels.balance import at_most, balancing_pair
from ampwright.kernels.capacitor_choice import BalancedState, Choice, choose
from ampwright.kernels.duty import DutyState, Limits
from ampwright.kernels.induction import branch
from ampwright.kernels.network import Legs, Rotor, RotorState, State, capacitors, plus, solve
from ampwright.kernels.run_up import RunUp, run_up
from ampwright.kernels.starter import Shaft
from ampwright.kernels.starting import LockedRotor, locked_rotor
from ampwright.kernels.thermal import UsableOutput, circuit_heating_weight, usable_output
from ampwright.methods.rotary.idlers import Idler
from ampwright.methods.rotary.setup import Setup, figure, rungs, shaft
from ampwright.plugin import MachineCase, MotorCase

IDLE_SLIP = 0.004
MARGIN_OF_VOLTAGE = 1e-9


class Trial(NamedTuple):
    """What one idler does.

    Attributes:
        idler: The idler.
        choice: Capacitors, and the states: idling first, then one a running set.
        usable: For each running set, what each of its motors may give.
        full: Each running set once more, with every motor at its rated power.
    """

    idler: Idler
    choice: Choice
    usable: tuple[tuple[UsableOutput, ...], ...]
    full: tuple[State, ...]

    @property
    def legs(self) -> tuple[float, float]:
        """Run capacitors b-c and c-a [F], those of the first step."""
        pair = self.choice.steps[0].pair
        return pair.bc_f, pair.ca_f


def limits(setup: Setup, idler: Idler) -> Limits:
    """Return what the capacitors have to keep.

    A supply that is itself above what the lowest plate stands is a finding of its own; the made
    leg must then not be higher than the supply.
    """
    plate = min(setup.lowest_plate_v, idler.found.point.voltage_v)
    stood = setup.case.limits["leg-overvoltage"].value * plate
    return Limits(
        line_v=max(stood, setup.case.supply.highest.value),
        capacitor_v=figure("can_voltage") * setup.voltage_v,
        idler_current=setup.case.limits["idler-winding"].value,
        vuf=setup.case.limits["unbalance-aimed-at"].value,
        idler_delta=False,
        tolerance=setup.case.limits["capacitor-tolerance"].value,
    )


def duty(setup: Setup, idler: Idler) -> tuple[DutyState, ...]:
    """Return the states that capacitors are chosen over: idling, then each set at average load."""
    turning = Rotor(idler.found.circuit)
    loaded = [DutyState(1.0, (turning, *one.working), one.legs) for one in setup.sets]
    return (DutyState(0.25, (turning,)), *loaded)


def tried(setup: Setup, idler: Idler) -> Trial:
    """Return what *idler* does with the best pair of capacitors."""
    found = choose(setup.source, setup.highest, duty(setup, idler), rungs(), limits(setup, idler))
    usable = tuple(
        tuple(
            output(state.nominal, rotor, motor)
            for rotor, motor in zip(state.nominal.rotors[1:], running.motors, strict=True)
        )
        for state, running in zip(found.states[1:], setup.sets, strict=True)
    )
    turning = Rotor(idler.found.circuit)
    full = tuple(
        solve(setup.source, plus(pair_legs(found, n + 1, setup), running.legs),
              (turning, *running.rotors))
        for n, running in enumerate(setup.sets)
    )  # fmt: skip
    return Trial(idler, found, usable, full)


def pair_legs(choice: Choice, place: int, setup: Setup) -> Legs:
    """Return the run capacitors that are connected in the state number *place*."""
    pair = choice.steps[choice.states[place].step].pair
    return capacitors(0.0, pair.bc_f, pair.ca_f, setup.frequency_hz)


def output(state: State, rotor: RotorState, motor: MotorCase) -> UsableOutput:
    """Return what a motor may give continuously at the unbalance of *state*."""
    rated = motor.circuit.rated_current_a
    one, two = abs(rotor.machine.current1_a), abs(rotor.machine.current2_a)
    alignment = (max(rotor.line_a) - one) / two if two > 1e-9 * rated else 0.5
    idle = abs(branch(motor.circuit, 0.0).y) * motor.demand.voltage.value / 3.0**0.5 / rated
    slip = min(max(rotor.slip, 1e-4), 0.29)
    factor = motor.demand.service_factor
    service_factor = factor.value if factor else 1.0
    return usable_output(
        unbalance=min(state.deviation, 1.0),
        curve="nema" if motor.circuit.frequency_hz > 55.0 else "iec",
        negative_current=two / rated,
        alignment=min(max(alignment, 0.5), 1.0),
        no_load_current=min(idle, 0.95),
        weight=circuit_heating_weight(motor.circuit, slip),
        leg_limit=min(max(service_factor, 1.0), 1.25),
    )


def state_kept(state: BalancedState, setup: Setup, idler: Idler) -> bool:
    """Tell whether voltages keep their limit in *state*, at the supply's highest voltage."""
    return max(state.highest.line_v) <= limits(setup, idler).line_v * (1.0 + MARGIN_OF_VOLTAGE)


def run_legs(trial: Trial, frequency_hz: float) -> Legs:
    """Return the run capacitors as admittances."""
    bc, ca = trial.legs
    return capacitors(0.0, bc, ca, frequency_hz)


def idle_shaft(idler: Idler, slip: float = IDLE_SLIP) -> Shaft:
    """Return the idler as it turns."""
    return Shaft(Rotor(idler.found.circuit), inertia(idler), slip)


def inertia(idler: Idler) -> float:
    """Return the usual inertia of an idler's rotor [kg m2]: common practice, no source."""
    return float(0.015 * (idler.power_w / 3730.0) ** 1.25)


def screened(setup: Setup, idler: Idler) -> bool:
    """Tell cheaply whether *idler* is likely to do, with the capacitors that balance it alone.

    The pair that is chosen in the end differs little from these, since both must keep the legs of
    the idling set low; what is told here only says where the search begins.
    """
    legs = own_legs(setup, idler)
    turning = Rotor(idler.found.circuit)
    for running in setup.sets:
        at = solve(setup.source, plus(legs, running.legs), (turning, *running.working))
        winding = at.rotors[0].winding_star_a / idler.found.circuit.rated_current_a
        if any(at.stalled) or winding > setup.case.limits["idler-winding"].value:
            return False
        for rotor, motor in zip(at.rotors[1:], running.motors, strict=True):
            share = setup.case.machine(motor.demand.machine).average_load.value
            if output(at, rotor, motor).fraction < share:
                return False
    return True


def own_legs(setup: Setup, idler: Idler) -> Legs:
    """Return the run capacitors that balance the idler alone, as stock has them."""
    y1 = branch(idler.found.circuit, IDLE_SLIP).y
    pair = balancing_pair(y1, setup.frequency_hz)
    bc, ca = (rungs()[at_most(rungs(), max(one, 0.0))].total_f for one in pair)
    return capacitors(0.0, bc, ca, setup.frequency_hz)


def standstill(setup: Setup, idler: Idler, legs: Legs, motor: MotorCase) -> LockedRotor:
    """Return the instant of a motor's start with nothing but the idler turning."""
    return locked_rotor(setup.source, legs, (idle_shaft(idler),), shaft(motor))


def started(setup: Setup, trial: Trial, motor: MotorCase) -> RunUp:
    """Return the run-up of a motor with nothing but the idler turning."""
    legs = run_legs(trial, setup.frequency_hz)
    return run_up(setup.source, legs, (idle_shaft(trial.idler),), shaft(motor))


def asked_share(machine: MachineCase) -> float:
    """Return the share of its rating that a machine's motors must be able to give for long."""
    return machine.average_load.value
