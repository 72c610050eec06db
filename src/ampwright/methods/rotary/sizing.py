"""The smallest idler that meets every constraint, and what each constraint alone would ask."""

from collections.abc import Callable, Sequence

from ampwright.methods.rotary.idlers import RATINGS, Idler, idlers
from ampwright.methods.rotary.setup import Setup, figure
from ampwright.methods.rotary.trial import (
    Trial,
    asked_share,
    balanced_alone,
    best_pair,
    by_load,
    highest_allowed,
    switched,
)
from ampwright.plugin import Figure, Limit, MachineCase, Source, Worksheet

MODEL = Source(document="network of idler and motors, symmetrical components", known="model")
PRACTICE = Source(document="common practice", known="practice")
ROUNDING = 1e-9
AS_BUILT = "as-built"
MANY_SETS = 3
CLEARLY = 0.95  # of the share asked for; below it no other pair makes up for it
#: Share of the torque asked for, and times the longest run-up, that come near enough for capacitors
#: chosen for the load to make up for the rest, and for a part of a pair: what was found by trying
#: all sizes with some thousand loads at random, and twice as much.
NEARLY = (0.9, 1.5)
ALL_BUT = (0.98, 1.1)


def enough_torque(trial: Trial, share: float = 1.0) -> bool:
    """Tell whether every motor breaks away at the lower edge of its starting torque.

    Something is left for what its conductors drop, which are not chosen yet.

    Args:
        trial: The trial.
        share: Of the torque asked for, that is enough.
    """
    margin = share * trial.setup.case.limits["start-torque-margin"].value
    return all(
        left_at(machine) * trial.standstill(motor).torque_low_nm >= margin * motor.breakaway.value
        for machine, motor in trial.setup.starters
    )


def left_at(machine: MachineCase) -> float:
    """Return the share of torque that is left behind the conductors of *machine*, about.

    A long cable drops more than a short one, for thicker conductors are laid up to a point only.
    """
    drop = max(figure("start_drop"), figure("start_drop_m") * machine.length.value)
    return (1.0 - min(drop, figure("start_drop", "high"))) ** 2


def quick_enough(trial: Trial) -> bool:
    """Tell whether every motor is up in time, at the lower edge of its starting torque."""
    longest = trial.setup.case.limits["run-up-time"].value
    return all(
        (found := trial.run_up(motor)).starts and found.low.time_s <= longest
        for _, motor in trial.setup.starters
    )


def nearly_starts(trial: Trial, near: tuple[float, float]) -> bool:
    """Tell whether other run capacitors may bring every motor up that those of *trial* do not.

    Args:
        trial: The trial.
        near: Share of the torque, and times the longest run-up, from which on they may. A run-up
            that sticks below its speed may be another one altogether.
    """
    share, times = near
    if not enough_torque(trial, share):
        return False
    longest = times * trial.setup.case.limits["run-up-time"].value
    return not enough_torque(trial) or all(
        not (found := trial.run_up(motor)).starts or found.low.time_s <= longest
        for _, motor in trial.setup.starters
    )


def enough_output(trial: Trial) -> bool:
    """Tell whether every motor may give what its machine asks, in every running set."""
    shares = {machine.id: asked_share(machine) for machine in trial.setup.machines}
    return all(
        output.fraction >= shares[motor.demand.machine]
        for running, usable in zip(trial.setup.sets, trial.usable, strict=True)
        for motor, output in zip(running.motors, usable, strict=True)
    )


def nothing_stalls(trial: Trial) -> bool:
    """Tell whether every motor carries its full load in every running set."""
    return not any(any(state.stalled) for state in trial.full)


def idler_cool(trial: Trial) -> bool:
    """Tell whether the idler's windings keep their current in every state."""
    return trial.idler_current <= trial.setup.case.limits["idler-winding"].value


def legs_low(trial: Trial) -> bool:
    """Tell whether no leg rises above what the lowest plate stands."""
    most = highest_allowed(trial.setup, trial.idler)
    return trial.highest_line_v <= most * (1.0 + ROUNDING)


#: Every constraint, the quickest to answer first.
CONSTRAINTS: dict[str, Callable[[Trial], bool]] = {
    "start-torque": enough_torque,
    "running-torque": nothing_stalls,
    "leg-overvoltage": legs_low,
    "usable-output": enough_output,
    "idler-winding": idler_cool,
    "run-up-time": quick_enough,
}


#: Constraints that balance meets, and so capacitors as well as a larger idler.
BALANCED = ("usable-output", "idler-winding")
LAST = (*BALANCED, "run-up-time")


#: The limit that a constraint holds to.
BOUNDS = {
    "start-torque": "start-torque-margin",
    "leg-overvoltage": "leg-overvoltage",
    "idler-winding": "idler-winding",
    "run-up-time": "run-up-time",
}


def meets(trial: Trial) -> bool:
    """Tell whether a trial meets every constraint."""
    return all(ok(trial) for ok in CONSTRAINTS.values())


def meets_the_rest(trial: Trial) -> bool:
    """Tell whether a trial meets every constraint that capacitors change little, time left out.

    Run-ups take longest to work out, so that only what meets all else is asked for them.
    """
    return all(ok(trial) for name, ok in CONSTRAINTS.items() if name not in LAST)


class Sizing:
    """The trials of one question, each idler tried once.

    Attributes:
        setup: The question.
        sizes: The idlers, smallest first.
        usual: Place of the idler that the trade's rule asks for, where the search begins.
        lowest: Place of the first size that is tried as it would be built: no smaller one will do.
    """

    def __init__(self, setup: Setup) -> None:
        self.setup = setup
        self.lowest = 0
        self.sizes: tuple[Idler, ...] = idlers(setup.voltage_v, setup.frequency_hz)
        self._trials: dict[int, Trial] = {}
        largest = max((motor.demand.power.value for _, motor in setup.starters), default=0.0)
        wanted = figure("thumb") * largest
        self.usual = sum(one.power_w < wanted for one in self.sizes)

    def side_by_side(self, count: int) -> "Sizing":
        """Return the same question with *count* idlers in parallel after all single ones.

        Together they are at least as large as the largest: each has run capacitors of its own, so
        that even as many watts may do more than one.
        """
        more = Sizing(self.setup)
        more._trials = dict(self._trials)
        least = self.sizes[-1].power_w * (1.0 - ROUNDING)
        sums = (one.of(count) for one in self.sizes)
        more.sizes = (*self.sizes, *(one for one in sums if one.power_w >= least))
        more.lowest = len(self.sizes)
        return more

    def trial(self, place: int) -> Trial:
        """Return the idler at *place* with the capacitors that balance it alone."""
        if place not in self._trials:
            self._trials[place] = balanced_alone(self.setup, self.sizes[place])
        return self._trials[place]

    def first(
        self, ok: Callable[[Trial], bool], low: int, high: int, usual: int | None = None
    ) -> int:
        """Return the first place from *low* whose trial is *ok*, *high* if none before it is.

        A larger idler meets whatever a smaller one meets, so strides that double find it from the
        size of the trade's rule on, or from the place *usual*, and halving between the last two.
        """
        if low >= high:
            return high
        here = min(max(self.usual if usual is None else usual, low), high - 1)
        stride = 1
        if ok(self.trial(here)):
            high = here
            while low < high:
                lower = max(high - stride, low)
                if not ok(self.trial(lower)):
                    low = lower + 1
                    break
                high, stride = lower, 2 * stride
        else:
            low = here + 1
            while low < high:
                higher = min(low + stride - 1, high - 1)
                if ok(self.trial(higher)):
                    high = higher
                    break
                low, stride = higher + 1, 2 * stride
        while low < high:
            middle = (low + high) // 2
            if ok(self.trial(middle)):
                high = middle
            else:
                low = middle + 1
        return low

    def smallest(self) -> tuple[int, Trial] | None:
        """Return place and trial of the smallest idler that meets every constraint, as built.

        A larger idler does not meet all that a smaller one meets: its capacitors are larger than
        stock has them, or suit the loaded sets less. So every size is tried as it would be built,
        from the first on that meets, with the capacitors that balance it alone, whatever
        capacitors change little, and from those below it that nearly start what they should:
        capacitors for the load lend a start more than those for none. Where none of these meets,
        every smaller one is tried.
        """
        count = len(self.sizes)
        least = self.first(meets_the_rest, self.lowest, count)
        least = self.first(quick_enough, least, count, least)
        while least > self.lowest and nearly_starts(self.trial(least - 1), NEARLY):
            least -= 1
        return self.first_made(range(least, count)) or self.first_made(range(self.lowest, least))

    def first_made(self, places: range) -> tuple[int, Trial] | None:
        """Return the first of *places* that meets every constraint as built; ``None``: none."""
        return next(filter(None, map(self.made, places)), None)

    def made(self, place: int) -> tuple[int, Trial] | None:
        """Return the idler at *place* as it would be built; ``None`` where it meets not all.

        One pair of run capacitors that suits the running sets best comes before a pair of which a
        part is switched with the load, and that before the pair that balances the idler alone,
        which lends a start more.
        """
        alone, built = self.trial(place), None
        if not nearly_starts(alone, ALL_BUT) and nearly_starts(alone, NEARLY):
            # what does not start with more capacitors either needs no look at the heaviest set
            built = best_pair(self.setup, self.sizes[place])
            if never_starts(alone, built):
                return None
        if self.falls_short(place):
            return None
        built = built or best_pair(self.setup, self.sizes[place])
        if not meets(built) and not (settles_it(built) or never_starts(alone, built)):
            built = switched(self.setup, self.sizes[place])
        return next(((place, one) for one in (built, alone) if meets(one)), None)

    def falls_short(self, place: int) -> bool:
        """Tell whether the heaviest set alone, with capacitors for it only, clearly has too little.

        No capacitors that have to suit other sets too give it more. This is looked at only where
        there are many sets, for which capacitors take long to choose.
        """
        if len(self.setup.sets) < MANY_SETS:
            return False
        heaviest = self.setup.sets[by_load(self.setup)[-1]]
        alone = self.setup._replace(sets=(heaviest,))
        built = switched(alone, self.sizes[place])
        shares = {one.id: asked_share(one) for one in heaviest.machines}
        return any(
            output.fraction < CLEARLY * shares[motor.demand.machine]
            for motor, output in zip(heaviest.motors, built.usable[0], strict=True)
        )


def never_starts(alone: Trial, built: Trial) -> bool:
    """Tell whether no part of a pair would bring every motor up that neither trial brings up.

    What stays connected of a switched pair lies about between what balances the idler alone and
    the one pair for all sets, so that it starts little more than these do.
    """
    return not any(nearly_starts(one, ALL_BUT) for one in (alone, built))


def settles_it(trial: Trial) -> bool:
    """Tell whether one pair keeps all that is aimed at, so that switching would change nothing."""
    return trial.choice is not None and trial.choice.kept and trial.choice.vuf_met


def limits_of(
    one: Sizing, chosen: int, name: str, sheet: Worksheet, inputs: Sequence[tuple[str, Figure]]
) -> tuple[Limit, ...]:
    """Return what each constraint alone would ask for, and the trade's rule beside them."""
    places: dict[str, int] = {}
    for constraint, ok in CONSTRAINTS.items():
        # what does not break away does not run up
        least = places["start-torque"] if constraint == "run-up-time" else 0
        places[constraint] = one.first(ok, least, chosen)
    if chosen not in places.values():
        places[AS_BUILT] = chosen
    made = []
    for constraint, place in places.items():
        bound = BOUNDS.get(constraint)
        own = [("k", one.setup.case.limits[bound])] if bound else []
        asks = sheet.under(f"{name}/{constraint}").solved(
            "asks", "P", one.sizes[place].power_w, "W",
            model="smallest usual idler that meets this constraint", source=MODEL, residual=0.0,
            inputs=[*inputs, *own],
        )  # fmt: skip
        made.append(Limit(id=f"{name}/{constraint}", subject=name, constraint=constraint,
                          asks=asks.value, unit="W", governs=place == chosen))  # fmt: skip
    return (*made, rule_of_thumb(one, name, sheet))


def rule_of_thumb(one: Sizing, name: str, sheet: Worksheet) -> Limit:
    """Return the size that the trade's rule asks for, as a cross-check."""
    motors = [motor.demand.power for _, motor in one.setup.starters]
    part = sheet.under(f"{name}/rule-of-thumb")
    times = part.assumed("factor", "k", figure("thumb"), "", source=PRACTICE,
                         low=figure("thumb", "low"), high=figure("thumb", "high"))  # fmt: skip
    terms = {f"P{n}": power for n, power in enumerate(motors)}
    most = f"max({', '.join(terms)})" if len(terms) > 1 else "P0"
    wanted = part.formula("wanted", "P", "W", f"k * {most}", terms, k=times)
    fitting = [
        idler
        for idler in one.sizes
        if idler.abreast == 1 and idler.power_w >= wanted.value * (1 - 1e-9)
    ]
    asks = None
    if fitting:
        asks = part.table(
            "asks", "P", fitting[0].power_w, "W", table="idlers", cell=(fitting[0].name, "rating"),
            source=RATINGS.source(), inputs=[("P", wanted)],
        ).value  # fmt: skip
    return Limit(id=f"{name}/rule-of-thumb", subject=name, constraint="rule-of-thumb", asks=asks,
                 unit="W", governs=False, cross_check=True)  # fmt: skip
