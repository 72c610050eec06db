"""A second idler beside the first, of a size of its own, switched in with one big machine only."""

from collections.abc import Mapping, Sequence
from functools import cached_property

from ampwright.kernels.capacitor_choice import choose
from ampwright.kernels.duty import DutyState
from ampwright.kernels.network import Legs, Rotor, State, capacitors, plus
from ampwright.kernels.run_up import RunUp
from ampwright.kernels.starter import Shaft, capacitor_start
from ampwright.kernels.starting import LockedRotor
from ampwright.kernels.torque_curve import locked_rotor as at_standstill
from ampwright.methods.rotary.idlers import Idler
from ampwright.methods.rotary.pony import too_much
from ampwright.methods.rotary.setup import Setup, figure, rungs, set_up, shaft
from ampwright.methods.rotary.sizing import NEARLY, Sizing, legs_low, meets, nearly_starts
from ampwright.methods.rotary.starts import start_capacitance_of
from ampwright.methods.rotary.trial import (
    BOTH_IDLE,
    IDLE_SLIP,
    Bank,
    Trial,
    balanced_pair,
    banks_of,
    by_load,
    inertia,
    limits,
    once_locked,
    once_run_up,
    once_solved,
    sampled,
)
from ampwright.plugin import MachineCase, MotorCase


class Beside(Trial):
    """Two idlers: the first turns always, the second while the big machine runs or starts.

    Attributes:
        small: The first with its run capacitors, as it is sized for the other machines.
        second: The second idler.
        more_f: Run capacitors b-c and c-a that belong to it [F], while both idle and by the places
            of the running sets in which both turn.
        big: The machine.
    """

    def __init__(
        self,
        setup: Setup,
        small: Trial,
        second: Idler,
        more_f: Mapping[int, tuple[float, float]],
        big: MachineCase,
    ) -> None:
        super().__init__(setup, small.idler, small.legs_f)
        self.small, self.second, self.more_f, self.big = small, second, more_f, big

    @cached_property
    def joined(self) -> tuple[str, ...]:
        """The running sets in which both turn."""
        return tuple(one.id for one in self.setup.sets if self.big in one.machines)

    def joins(self, place: int) -> bool:
        """Tell whether the second idler turns in the state number *place*."""
        return place > 0 and self.big in self.setup.sets[place - 1].machines

    def own_pair(self, place: int) -> tuple[float, float]:
        """Return the run capacitors of the first idler in a state [F]."""
        if place:
            known = [one.id for one in self.small.setup.sets]
            name = self.setup.sets[place - 1].id
            place = known.index(name) + 1 if name in known else 0
        return self.small.pair(place)

    @property
    def own_pairs(self) -> dict[str, tuple[float, float]]:
        """Those run capacitors by running set [F]; while both idle, those for idling."""
        return {**super().own_pairs, BOTH_IDLE: self.own_pair(0)}

    def pair(self, place: int) -> tuple[float, float]:
        """Return the run capacitors of a state [F]."""
        bc, ca = self.own_pair(place)
        if not self.joins(place):
            return bc, ca
        return bc + self.more_f[place][0], ca + self.more_f[place][1]

    def rotors(self, place: int) -> tuple[Rotor, ...]:
        """Return the idlers that turn in a state."""
        return (self.rotor, self.other) if self.joins(place) else (self.rotor,)

    @property
    def more_banks(self) -> tuple[Bank, ...]:
        """The run capacitors of the second idler, switched in with it."""
        names = (BOTH_IDLE, *self.joined)
        found = banks_of(dict(zip(names, self.more_f.values(), strict=True)))
        return tuple(one._replace(id=f"{one.id}.second", sets=one.sets or names) for one in found)

    def all_turning(self, converter: str) -> tuple[tuple[str, Idler], ...]:
        """Return both idlers by their ids."""
        return ((converter, self.idler), (self.second_of(converter), self.second))

    def turning_in(self, name: str, converter: str) -> tuple[tuple[str, Idler], ...]:
        """Return by id the idlers that turn in the running set *name*, or while nothing runs."""
        every = self.all_turning(converter)
        return every if name in (BOTH_IDLE, *self.joined) else every[:1]

    @property
    def other(self) -> Rotor:
        """The second idler as the network takes it."""
        return Rotor(self.second.found.circuit)

    @property
    def both_legs(self) -> Legs:
        """All run capacitors, while both idlers turn and nothing else does."""
        bc, ca = (one + two for one, two in zip(self.legs_f, self.more_f[0], strict=True))
        return capacitors(0.0, bc, ca, self.setup.frequency_hz)

    @cached_property
    def both(self) -> State:
        """Both idlers alone, as they turn while the big machine starts."""
        return once_solved(self.setup.source, self.both_legs, (self.rotor, self.other))

    @cached_property
    def highest_line_v(self) -> float:
        """Highest line voltage at the supply's highest voltage, with one idler or both."""
        found = once_solved(self.setup.highest, self.both_legs, (self.rotor, self.other))
        return max(self.small.highest_line_v, *found.line_v)

    @property
    def idler_current(self) -> float:
        """Largest winding current of either idler at average load, over its rated current."""
        rated = [one.found.circuit.rated_current_a for one in (self.idler, self.second)]
        states = [(0, self.idle), *enumerate(self.working, 1)]
        found = [
            state.rotors[n].winding_star_a / rated[n]
            for place, state in states
            for n in range(len(self.rotors(place)))
        ]
        both = zip(self.both.rotors, rated, strict=True)
        return max(*found, *(rotor.winding_star_a / own for rotor, own in both))

    def ahead(self, motor: MotorCase) -> tuple[Legs, tuple[Shaft, ...]]:
        """Return capacitors and idlers that a motor starts beside."""
        if motor.demand.machine != self.big.id:
            return self.legs, (self.turning,)
        more = Shaft(self.other, inertia(self.second), IDLE_SLIP)
        return self.both_legs, (self.turning, more)

    def standstill(self, motor: MotorCase) -> LockedRotor:
        """Return the instant of a motor's start."""
        return once_locked(self.setup.source, *self.ahead(motor), shaft(motor))

    def run_up(self, motor: MotorCase) -> RunUp:
        """Return the run-up of a motor."""
        return once_run_up(self.setup.source, *self.ahead(motor), shaft(motor))

    @property
    def comes_up(self) -> bool:
        """Tell whether the second idler starts beside the first, and what is ahead bears it.

        The first must draw no more then than it does at its own start, which its device lets pass.
        """
        found = self.more_start
        longest = self.setup.case.limits["run-up-time"].value
        quick = found.starts and found.low.time_s <= longest
        own = at_standstill(self.idler.found.low, self.setup.voltage_v).current_a
        borne = all(one <= own for one in found.largest_running_a)
        return quick and borne and not too_much(self, found.largest_source_a)

    @cached_property
    def more_start(self) -> RunUp:
        """The run-up of the second idler on its start capacitor, beside the first."""
        extra = capacitors(0.0, 0.0, start_capacitance_of(self.setup, self.second),
                           self.setup.frequency_hz)  # fmt: skip
        still = Shaft(self.other, inertia(self.second))
        stages = capacitor_start(extra, figure("cut_out"))
        return once_run_up(self.setup.source, self.both_legs, (self.turning,), still, stages=stages)


def alone(setup: Setup, small: Trial, second: Idler, big: MachineCase) -> Beside:
    """Return both idlers, the second with the capacitors that balance it alone."""
    places = [n for n, one in enumerate(setup.sets, 1) if big in one.machines]
    pair = balanced_pair(setup, second)
    return Beside(setup, small, second, dict.fromkeys((0, *places), pair), big)


def for_the_load(one: Beside, most_steps: int = 1) -> Beside:
    """Return *one* with the second idler's capacitors that suit the sets which both turn in.

    Where more than one step is allowed, a part of them is switched with the load.
    """
    setup, turning = one.setup, (one.rotor, one.other)
    order = [place for place in by_load(setup) if one.joins(place + 1)]
    looked_at = sampled(order)

    def duty(place: int) -> DutyState:
        running = setup.sets[place]
        fixed = capacitors(0.0, *one.own_pair(place + 1), setup.frequency_hz)
        return DutyState(1.0, (*turning, *running.working), plus(fixed, running.legs))

    states = (DutyState(0.25, turning, one.legs), *map(duty, looked_at))
    found = choose(setup.source, setup.highest, states, rungs(), limits(setup, one.idler),
                   most_steps=most_steps)  # fmt: skip
    pairs = [found.steps[state.step].pair for state in found.states]
    chosen, last = {0: pairs[0]}, 0
    for place in order:
        last = looked_at.index(place) + 1 if place in looked_at else last
        chosen[place + 1] = pairs[last]
    more = {place: (chosen[place].bc_f, chosen[place].ca_f) for place in sorted(chosen)}
    return Beside(setup, one.small, one.second, more, one.big)


def as_built(setup: Setup, small: Trial, second: Idler, big: MachineCase) -> Beside | None:
    """Return both idlers as they would be built; ``None`` where they meet not every constraint.

    One pair of run capacitors for the second comes before one of which a part is switched with the
    load, and that before the pair that balances it alone.
    """
    first = alone(setup, small, second, big)
    if not nearly_starts(first, NEARLY) or not legs_low(first):
        return None
    for built in (for_the_load(first), for_the_load(first, 2), first):
        if meets(built) and built.comes_up:
            return built
    return None


def smallest(
    whole: Sizing, big: MachineCase
) -> tuple[tuple[Sizing, int], Sequence[Idler], Beside] | None:
    """Return the smallest first idler for all but *big*, and the smallest second beside it.

    Returns:
        The question about the others with the place of the first idler, the sizes of a second one
        looked at, the last of which was taken, and both as built; ``None``: there are none.
    """
    setup = whole.setup
    others = Sizing(set_up(setup.case, tuple(one for one in setup.machines if one.id != big.id)))
    found = others.smallest()
    if found is None:
        return None
    place, small = found
    for count, second in enumerate(whole.sizes, 1):
        built = as_built(setup, small, second, big)
        if built is not None:
            return (others, place), whole.sizes[:count], built
    return None
