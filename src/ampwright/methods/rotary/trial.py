"""One idler tried: capacitors chosen, states solved, starts looked at."""

from collections.abc import Iterator, Mapping
from functools import cached_property, lru_cache
from itertools import product
from typing import NamedTuple

from ampwright.kernels.balance import at_most, balancing_pair
from ampwright.kernels.capacitor_choice import Choice, choose
from ampwright.kernels.duty import DutyState, Limits
from ampwright.kernels.induction import branch
from ampwright.kernels.network import (
    Legs,
    Rotor,
    RotorState,
    Source,
    State,
    capacitors,
    plus,
    solve,
)
from ampwright.kernels.run_up import RunUp, run_up
from ampwright.kernels.starter import DIRECT, Shaft, Stage
from ampwright.kernels.starting import LockedRotor, locked_rotor
from ampwright.kernels.thermal import UsableOutput, circuit_heating_weight, usable_output
from ampwright.kernels.torque_curve import running_slip
from ampwright.methods.rotary.idlers import Idler
from ampwright.methods.rotary.setup import Running, Setup, figure, rungs, shaft
from ampwright.plugin import MachineCase, MotorCase

IDLE, BOTH_IDLE = "idle", "both-idle"  # in the place of a running set: nothing runs
IDLE_SLIP = 0.004
MOST_STATES = 6  # sets that capacitors are chosen over

#: The same idler is tried with the same motors in one mix of machines after another.
once_solved = lru_cache(maxsize=2048)(solve)
once_locked = lru_cache(maxsize=2048)(locked_rotor)


@lru_cache(maxsize=1024)
def once_run_up(
    source: Source,
    legs: Legs,
    running: tuple[Shaft, ...],
    starter: Shaft,
    *,
    stages: tuple[Stage, ...] = (DIRECT,),
) -> RunUp:
    """Return a run-up without the network at each speed, which nobody here looks at again."""
    return run_up(source, legs, running, starter, stages=stages)._replace(profile=())


class Bank(NamedTuple):
    """Run capacitors between two legs that are switched together.

    Attributes:
        id: Id inside the converter.
        leg: The two legs.
        capacitance_f: Sum of its parts [F].
        sets: Running sets that it is switched in for, ``"idle"`` for none running; empty: always.
    """

    id: str
    leg: str
    capacitance_f: float
    sets: tuple[str, ...]


def banks_of(pairs: Mapping[str, tuple[float, float]]) -> Iterator[Bank]:
    """Yield what stays and what is switched of run capacitors, by the sets that ask for them."""
    for leg, values in zip(("bc", "ca"), zip(*pairs.values(), strict=True), strict=True):
        always = min(values)
        yield Bank(f"run-{leg}", leg, always, ())
        for number, value in enumerate(sorted(set(values) - {always}), 2):
            sets = tuple(name for name, one in zip(pairs, values, strict=True) if one == value)
            yield Bank(f"run-{leg}-{number}", leg, value - always, sets)


class Trial:
    """What one idler does with its run capacitors; each answer is worked out once.

    Attributes:
        setup: The question.
        idler: The idler.
        legs_f: Run capacitors b-c and c-a while nothing but the idler runs [F].
        choice: How the capacitors were chosen; ``None`` for those that balance the idler alone.
    """

    def __init__(
        self,
        setup: Setup,
        idler: Idler,
        legs_f: tuple[float, float],
        choice: Choice | None = None,
    ) -> None:
        self.setup, self.idler, self.legs_f, self.choice = setup, idler, legs_f, choice

    @cached_property
    def legs(self) -> Legs:
        """The run capacitors as admittances."""
        return capacitors(0.0, *self.legs_f, self.setup.frequency_hz)

    def pair(self, place: int) -> tuple[float, float]:
        """Return the run capacitors of a state [F]: 0 is idling, then one a running set."""
        if self.choice is None:
            return self.legs_f
        found = self.choice.steps[self.choice.states[self.rows[place]].step].pair
        return found.bc_f, found.ca_f

    @cached_property
    def rows(self) -> tuple[int, ...]:
        """For idling and each running set, the state of the choice that it goes with.

        A set that was not looked at itself goes with the heaviest looked at that is no heavier: a
        load only lowers the legs.
        """
        order = by_load(self.setup)
        looked_at = sampled(order)
        rows: dict[int, int] = {}
        last = 0
        for place in order:
            last = looked_at.index(place) + 1 if place in looked_at else last
            rows[place] = last
        return (0, *(rows[place] for place in range(len(order))))

    def own_pair(self, place: int) -> tuple[float, float]:
        """Return the run capacitors in a state [F] that belong to the idler always turning."""
        return self.pair(place)

    @property
    def own_pairs(self) -> dict[str, tuple[float, float]]:
        """Those run capacitors by running set [F]."""
        names = (IDLE, *(one.id for one in self.setup.sets))
        return {name: self.own_pair(place) for place, name in enumerate(names)}

    def rotors(self, place: int) -> tuple[Rotor, ...]:
        """Return the idlers that turn in a state, as the network takes them."""
        del place
        return (self.rotor,)

    @property
    def both(self) -> State | None:
        """Two idlers alone; ``None`` where there is no second one of another size."""
        return None

    @property
    def more_start(self) -> RunUp | None:
        """The start of a second idler of another size beside the first; ``None``: there is none."""
        return None

    @property
    def more_banks(self) -> tuple[Bank, ...]:
        """The run capacitors that belong to a second idler of another size."""
        return ()

    def second_of(self, converter: str) -> str:
        """Return the id of a second idler of another size, beside that of *converter*."""
        return f"{converter}.second"

    def all_turning(self, converter: str) -> tuple[tuple[str, Idler], ...]:
        """Return every idler by its id."""
        return tuple((one, self.idler) for one in self.idler.names(converter))

    def turning_in(self, name: str, converter: str) -> tuple[tuple[str, Idler], ...]:
        """Return by id the idlers that turn in the running set *name*, or while nothing runs."""
        del name
        return self.all_turning(converter)

    @cached_property
    def banks(self) -> tuple[Bank, ...]:
        """The run capacitors as they are built: what stays, and what is switched with the load."""
        return tuple(part for one in banks_of(self.own_pairs) for part in self.shares(one))

    def shares(self, bank: Bank) -> tuple[Bank, ...]:
        """Return a bank, or its equal shares beside each of several idlers."""
        count, farads = self.idler.abreast, bank.capacitance_f
        return tuple(
            bank._replace(id=name, capacitance_f=farads / count)
            for name in self.idler.names(bank.id)
        )

    @property
    def rotor(self) -> Rotor:
        """The idler as the network takes it."""
        return Rotor(self.idler.found.circuit)

    def solved(self, place: int, running: Running, rotors: tuple[Rotor, ...]) -> State:
        """Return the state number *place*, while *running* runs."""
        legs = capacitors(0.0, *self.pair(place), self.setup.frequency_hz)
        turning = self.rotors(place)
        return once_solved(self.setup.source, plus(legs, running.legs), (*turning, *rotors))

    @cached_property
    def idle(self) -> State:
        """The idler alone."""
        if self.choice is not None:
            return self.choice.states[0].nominal
        return once_solved(self.setup.source, self.legs, (self.rotor,))

    @cached_property
    def chosen_over(self) -> frozenset[int]:
        """The running sets, counted from 1, that capacitors were chosen over and so are solved."""
        if self.choice is None:
            return frozenset()
        return frozenset(place + 1 for place in sampled(by_load(self.setup)))

    @cached_property
    def working(self) -> tuple[State, ...]:
        """Each running set at its average load, which is what heats its motors."""
        return tuple(
            self.choice.states[self.rows[n]].nominal
            if self.choice is not None and n in self.chosen_over
            else self.solved(n, one, one.working)
            for n, one in enumerate(self.setup.sets, 1)
        )

    @cached_property
    def full(self) -> tuple[State, ...]:
        """Each running set with every motor at its rated power."""
        return tuple(self.solved(n, one, one.rotors) for n, one in enumerate(self.setup.sets, 1))

    def at_tolerance(self, share: float) -> Iterator[State]:
        """Yield every state with its run capacitors *share* off what is marked, each way."""
        source, hertz = self.setup.source, self.setup.frequency_hz
        places, edges = range(len(self.setup.sets) + 1), product((-share, share), repeat=2)
        for place, (b, c) in product(places, edges):
            bc_f, ca_f = self.pair(place)
            legs = capacitors(0.0, bc_f * (1.0 + b), ca_f * (1.0 + c), hertz)
            if not place:
                yield once_solved(source, legs, (self.rotor,))
                continue
            running = self.setup.sets[place - 1]
            for rotors in (running.working, running.rotors):
                turning = self.rotors(place)
                yield once_solved(source, plus(legs, running.legs), (*turning, *rotors))

    @cached_property
    def usable(self) -> tuple[tuple[UsableOutput, ...], ...]:
        """For each running set, what each of its motors may give for long."""
        return tuple(
            tuple(
                output(state, rotor, motor)
                for rotor, motor in zip(
                    state.rotors[len(self.rotors(place)) :], running.motors, strict=True
                )
            )
            for place, (state, running) in enumerate(
                zip(self.working, self.setup.sets, strict=True), 1
            )
        )

    @cached_property
    def highest_line_v(self) -> float:
        """Highest line voltage at the supply's highest voltage; a load only lowers it."""
        if self.choice is not None:
            return max(max(state.highest.line_v) for state in self.choice.states)
        return max(once_solved(self.setup.highest, self.legs, (self.rotor,)).line_v)

    @property
    def idler_current(self) -> float:
        """Largest winding current of the idler at average load, over its rated current."""
        rated = self.idler.found.circuit.rated_current_a
        return max(state.rotors[0].winding_star_a for state in (self.idle, *self.working)) / rated

    def standstill(self, motor: MotorCase) -> LockedRotor:
        """Return the instant of a motor's start with nothing but the idler turning."""
        return once_locked(self.setup.source, self.legs, (self.turning,), shaft(motor))

    def run_up(self, motor: MotorCase) -> RunUp:
        """Return the run-up of a motor with nothing but the idler turning."""
        return once_run_up(self.setup.source, self.legs, (self.turning,), shaft(motor))

    def first(self, count: int) -> tuple[Shaft, ...]:
        """Return the first *count* of the idlers as they turn together; none: an empty tuple."""
        if count == 0:
            return ()
        some = self.idler.of(count)
        return (Shaft(Rotor(some.found.circuit), inertia(some), IDLE_SLIP),)

    @property
    def turning(self) -> Shaft:
        """The idler as it turns."""
        return Shaft(self.rotor, inertia(self.idler), IDLE_SLIP)


def limits(setup: Setup, idler: Idler) -> Limits:
    """Return what the capacitors have to keep."""
    return Limits(
        line_v=highest_allowed(setup, idler),
        capacitor_v=figure("can_voltage") * setup.voltage_v,
        idler_current=setup.case.limits["idler-winding"].value,
        vuf=setup.case.limits["unbalance-aimed-at"].value,
        idler_delta=False,
        tolerance=setup.case.limits["capacitor-tolerance"].value,
    )


def highest_allowed(setup: Setup, idler: Idler) -> float:
    """Return the highest line voltage that what is connected stands [V].

    A supply that is itself above what the lowest plate stands is a finding of its own; the made
    leg must then not be higher than the supply.
    """
    plate = min(setup.lowest_plate_v, idler.found.point.voltage_v)
    stood = setup.case.limits["leg-overvoltage"].value * plate
    return max(stood, setup.case.supply.highest.value)


def by_load(setup: Setup) -> list[int]:
    """Return the places of the running sets, that with the least load first."""

    def load(place: int) -> float:
        one = setup.sets[place]
        heat = 3.0 * one.legs.y_bc.real * setup.voltage_v**2
        return heat + sum(motor.demand.power.value for motor in one.motors)

    return sorted(range(len(setup.sets)), key=load)


def sampled(order: list[int]) -> list[int]:
    """Return the sets that capacitors are chosen over: all, or some from the lightest on."""
    count = len(order)
    if count <= MOST_STATES:
        return order
    return [order[n * (count - 1) // (MOST_STATES - 1)] for n in range(MOST_STATES)]


def duty(setup: Setup, idler: Idler) -> tuple[DutyState, ...]:
    """Return the states that capacitors are chosen over: idling, then each set at average load."""
    turning = Rotor(idler.found.circuit)
    sets = [setup.sets[place] for place in sampled(by_load(setup))]
    loaded = [DutyState(1.0, (turning, *one.working), one.legs) for one in sets]
    return (DutyState(0.25, (turning,)), *loaded)


def balanced_alone(setup: Setup, idler: Idler) -> Trial:
    """Return *idler* with the run capacitors that balance it alone, as stock has them.

    They may stay connected in every state, keep every leg low, and depend on the idler only.
    """
    return Trial(setup, idler, balanced_pair(setup, idler))


def balanced_pair(setup: Setup, idler: Idler) -> tuple[float, float]:
    """Return the run capacitors that balance *idler* alone [F], as stock has them."""
    slip = running_slip(idler.found.circuit, setup.voltage_v, 0.0) or IDLE_SLIP
    y1 = branch(idler.found.circuit, slip).y
    pair = balancing_pair(y1, setup.frequency_hz)
    stock = rungs(idler.abreast)
    bc, ca = (stock[at_most(stock, max(one, 0.0))].total_f for one in pair)
    return bc, ca


def best_pair(setup: Setup, idler: Idler) -> Trial:
    """Return *idler* with the pair of run capacitors that leaves least unbalance over the sets."""
    found = choose(setup.source, setup.highest, duty(setup, idler), rungs(idler.abreast),
                   limits(setup, idler))  # fmt: skip
    pair = found.steps[0].pair
    return Trial(setup, idler, (pair.bc_f, pair.ca_f), found)


def switched(setup: Setup, idler: Idler) -> Trial:
    """Return *idler* with run capacitors of which a part is switched in with the load."""
    found = choose(setup.source, setup.highest, duty(setup, idler), rungs(idler.abreast),
                   limits(setup, idler), most_steps=2)  # fmt: skip
    pair = found.steps[found.states[0].step].pair
    return Trial(setup, idler, (pair.bc_f, pair.ca_f), found)


def inertia(idler: Idler) -> float:
    """Return the usual inertia of an idler's rotor [kg m2]: common practice, no source."""
    one = idler.of(1)
    return float(idler.abreast * 0.015 * (one.power_w / 3730.0) ** 1.25)


def asked_share(machine: MachineCase) -> float:
    """Return the share of its rating that a machine's motors must be able to give for long."""
    return machine.average_load.value


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
