"""The smallest idler that meets every constraint, and what each constraint alone would ask."""

from collections.abc import Callable, Sequence
from functools import cache
from typing import NamedTuple

from ampwright.methods.rotary.idlers import RATINGS, Idler, idlers
from ampwright.methods.rotary.setup import Setup, figure
from ampwright.methods.rotary.trial import (
    Trial,
    asked_share,
    own_legs,
    screened,
    standstill,
    started,
    state_kept,
    tried,
)
from ampwright.plugin import Figure, Limit, Source, Worksheet

MODEL = Source(document="network of idler and motors, symmetrical components", known="model")
PRACTICE = Source(document="common practice", known="practice")


class Sizing(NamedTuple):
    """The trials of one question, each idler tried once.

    Attributes:
        setup: The question.
        sizes: The idlers, smallest first.
        trial: Trial of an idler, by its place.
    """

    setup: Setup
    sizes: tuple[Idler, ...]
    trial: Callable[[int], Trial]


def sizing(setup: Setup) -> Sizing:
    """Return the trials to come."""
    sizes = idlers(setup.voltage_v, setup.frequency_hz)
    return Sizing(setup, sizes, cache(lambda place: tried(setup, sizes[place])))


def enough_torque(one: Sizing, place: int) -> bool:
    """Tell whether every motor breaks away at the lower edge of its starting torque.

    The capacitors are those that balance the idler alone: more of them help, and these are never
    switched off.
    """
    margin = one.setup.case.limits["start-torque-margin"].value
    legs = own_legs(one.setup, one.sizes[place])
    return all(
        standstill(one.setup, one.sizes[place], legs, motor).torque_low_nm
        >= margin * motor.breakaway.value
        for _, motor in one.setup.starters
    )


def quick_enough(one: Sizing, place: int) -> bool:
    """Tell whether every motor is up in time, at the lower edge of its starting torque."""
    longest = one.setup.case.limits["run-up-time"].value
    return all(
        (found := started(one.setup, one.trial(place), motor)).starts
        and found.low.time_s <= longest
        for _, motor in one.setup.starters
    )


def enough_output(one: Sizing, place: int) -> bool:
    """Tell whether every motor may give what its machine asks, in every running set."""
    shares = {machine.id: asked_share(machine) for machine in one.setup.machines}
    return all(
        output.fraction >= shares[motor.demand.machine]
        for running, usable in zip(one.setup.sets, one.trial(place).usable, strict=True)
        for motor, output in zip(running.motors, usable, strict=True)
    )


def nothing_stalls(one: Sizing, place: int) -> bool:
    """Tell whether every motor carries its full load in every running set."""
    return not any(any(state.stalled) for state in one.trial(place).full)


def idler_cool(one: Sizing, place: int) -> bool:
    """Tell whether the idler's windings keep their current in every state."""
    most = one.setup.case.limits["idler-winding"].value
    return all(state.idler_current <= most for state in one.trial(place).choice.states)


def legs_low(one: Sizing, place: int) -> bool:
    """Tell whether no leg rises above what the lowest plate stands."""
    idler = one.sizes[place]
    return all(state_kept(state, one.setup, idler) for state in one.trial(place).choice.states)


CONSTRAINTS: dict[str, Callable[[Sizing, int], bool]] = {
    "start-torque": enough_torque,
    "run-up-time": quick_enough,
    "running-torque": nothing_stalls,
    "idler-winding": idler_cool,
    "leg-overvoltage": legs_low,
    "usable-output": enough_output,
}


def meets(one: Sizing, place: int) -> bool:
    """Tell whether the idler at *place* meets every constraint, the cheapest asked first."""
    return all(ok(one, place) for ok in CONSTRAINTS.values())


def smallest(one: Sizing) -> int | None:
    """Return the place of the smallest idler that meets every constraint; ``None`` for none.

    A larger idler meets whatever a smaller one meets, so the search begins where a cheap look says
    that it should, and goes down or up from there.
    """
    count = len(one.sizes)
    likely = (
        place
        for place in range(count)
        if enough_torque(one, place) and screened(one.setup, one.sizes[place])
    )
    place = next(likely, count - 1)
    if not count:
        return None
    if meets(one, place):
        while place > 0 and meets(one, place - 1):
            place -= 1
        return place
    return next((n for n in range(place + 1, count) if meets(one, n)), None)


def alone(one: Sizing, ok: Callable[[Sizing, int], bool], chosen: int) -> int:
    """Return the place of the smallest idler that meets one constraint, not above *chosen*."""
    low, high = 0, chosen
    while low < high:
        middle = (low + high) // 2
        if ok(one, middle):
            high = middle
        else:
            low = middle + 1
    return low


def limits_of(
    one: Sizing, chosen: int, name: str, sheet: Worksheet, inputs: Sequence[tuple[str, Figure]]
) -> tuple[Limit, ...]:
    """Return what each constraint alone would ask for, and the trade's rule beside them."""
    made = []
    for constraint, ok in CONSTRAINTS.items():
        place = alone(one, ok, chosen)
        asks = sheet.under(f"{name}/{constraint}").solved(
            "asks", "P", one.sizes[place].power_w, "W",
            model="smallest usual idler that meets this constraint", source=MODEL, residual=0.0,
            inputs=inputs,
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
    fitting = [idler for idler in one.sizes if idler.power_w >= wanted.value * (1 - 1e-9)]
    asks = None
    if fitting:
        asks = part.table(
            "asks", "P", fitting[0].power_w, "W", table="idlers", cell=(fitting[0].name, "rating"),
            source=RATINGS.source(), inputs=[("P", wanted)],
        ).value  # fmt: skip
    return Limit(id=f"{name}/rule-of-thumb", subject=name, constraint="rule-of-thumb", asks=asks,
                 unit="W", governs=False, cross_check=True)  # fmt: skip
