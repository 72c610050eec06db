"""Circuits with motors on them: one motor, several, and motors with other loads."""

from collections.abc import Sequence

from ampwright.families.nec.book import Book
from ampwright.families.nec.design import Design
from ampwright.families.nec.device import (
    Ceiling,
    hermetic_ceiling,
    hermetic_most,
    marked_ceiling,
    marked_most,
    motor_ceiling,
    start_needs,
)
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.loads import weighted
from ampwright.families.nec.motor import (
    RatedMotor,
    device_row,
    locked_rotor,
    needing,
    rated,
    standing,
    together,
)
from ampwright.families.nec.overload import overload
from ampwright.families.nec.ratings import motor_most, next_down, write_rating
from ampwright.families.nec.switch import equivalent_horsepower
from ampwright.region import CircuitDemand
from ampwright.step import Figure


def motor_circuit(draft: Draft, demand: CircuitDemand) -> Design:
    """Return what the rules ask of a circuit with motors, and perhaps other loads, on it."""
    every = [rated(draft, one) for one in demand.motors]
    motors, drawn = needing(every), together(every)
    single = len(motors) == 1 and not demand.loads
    locked = {one.demand.id: locked_rotor(draft, one) for one in every}
    counted = [weighted(draft, one) for one in demand.loads]
    if single:
        (motor,), (largest,) = motors, drawn
        rule, device_rule, total_rule = motor.rule, "nec.430.52", "nec.430.110(A)"
        current = draft.work("design_current_a", "I_b", "A", "I_c", rule, I_c=motor.alone)
        carries = draft.work(
            "protective_device/load_a", "I_load", "A",
            f"{draft.book.factor('motor_conductor')!r} * FLC", "nec.430.52", FLC=largest.current,
        )  # fmt: skip
        delta_leads(draft, motor)
        ceiling = single_ceiling(draft, largest)
    else:
        current = summed(draft, counted, motors)
        carries, rule, total_rule = current, "nec.430.24", "nec.430.110(C)"
        device_rule = "nec.430.63" if demand.loads else "nec.430.62(A)"
        ceiling = feeder_ceiling(draft, counted, drawn)
    start, before = start_currents(draft, demand, every, locked)
    needs = {"load": (carries, device_rule)}
    needs |= start_needs(draft, start, before, demand.starting_time)
    total = all_currents(draft, demand, drawn, total_rule)
    at_motor = demand.role in ("branch", "idler")
    switch = None
    horsepower = None
    if at_motor:
        factor = draft.book.factor("motor_disconnect")
        least = draft.work("disconnect/least_a", "I", "A", f"{factor!r} * I", total_rule, I=total)
        switch = (least, total_rule)
        horsepower = max((one.horsepower for one in every), key=lambda one: one.value)
        if not single:
            at_rest = [standing(draft, one, locked[one.demand.id]) for one in drawn]
            horsepower = equivalent_horsepower(draft, drawn, at_rest, total, demand.voltage)
    poles = 3 if demand.phases == 3 else 1
    return Design(
        current=current,
        corrected=current,
        rule=rule,
        needs=needs,
        ceiling=ceiling,
        relation="exempt",
        disconnect=switch,
        horsepower=horsepower,
        overloads=tuple(overload(draft, one.demand, poles) for one in every if at_motor),
    )


def single_ceiling(draft: Draft, motor: RatedMotor) -> Ceiling:
    """State the largest device of a branch circuit with this motor alone on it."""
    if motor.demand.largest_device is not None:
        return marked_ceiling(draft, motor.demand.largest_device)
    if motor.demand.hermetic:
        return hermetic_ceiling(draft, motor.current)
    return motor_ceiling(draft, motor.current, device_row(motor.demand))


def delta_leads(draft: Draft, motor: RatedMotor) -> None:
    """Say what the leads between a star-delta starter and its motor have to carry."""
    if motor.demand.starter != "star-delta":
        return
    rule = "nec.430.22(C)"
    factor = draft.factor(f"motors/{motor.demand.id}/delta_factor", "k", "delta_leads")
    leads = draft.work(
        f"motors/{motor.demand.id}/delta_leads_a", "I_d", "A", "k * FLC", rule,
        k=factor, FLC=motor.current,
    )  # fmt: skip
    draft.find("machine.star-delta-leads", "info", rule, "current=A",
               motor=motor.demand.id, current=leads)  # fmt: skip


def largest_allowed(book: Book, motor: RatedMotor) -> float:
    """Return the largest device of a branch circuit with this motor alone on it [A]."""
    current = motor.current.value
    if motor.demand.largest_device is not None:
        return marked_most(book, motor.demand.largest_device.value)
    if motor.demand.hermetic:
        return hermetic_most(book, "hermetic_device", current)
    row = device_row(motor.demand)
    percent = book.column("motor_device_percent", "inverse_time_breaker")[row]
    return motor_most(book, percent / 100 * current)


def leading(book: Book, motors: Sequence[RatedMotor]) -> int:
    """Return the place of the motor whose branch circuit may have the largest device."""
    return max(
        range(len(motors)),
        key=lambda n: (largest_allowed(book, motors[n]), motors[n].current.value),
    )


def summed(draft: Draft, counted: Sequence[Figure], motors: Sequence[RatedMotor]) -> Figure:
    """State the current that a conductor of several motors and other loads needs [A]."""
    shares = {f"M{n}": one.share for n, one in enumerate(motors)}
    largest = max(range(len(motors)), key=lambda n: motors[n].alone.value)
    names = [f"M{n}" for n in range(len(motors)) if n != largest]
    inputs = {name: shares[name] for name in names} | {"I_c": motors[largest].alone}
    terms = ["I_c", *names]
    inputs |= {f"L{n}": one for n, one in enumerate(counted)}
    terms += [f"L{n}" for n in range(len(counted))]
    return draft.work("design_current_a", "I_b", "A", " + ".join(terms), "nec.430.24", **inputs)


def all_currents(
    draft: Draft, demand: CircuitDemand, motors: Sequence[RatedMotor], rule: str
) -> Figure:
    """State the sum of all full-load currents [A]."""
    inputs = {f"M{n}": one.current for n, one in enumerate(motors)}
    inputs |= {f"L{n}": one.current for n, one in enumerate(demand.loads)}
    return draft.work("full_load_sum_a", "I_sum", "A", " + ".join(inputs), rule, **inputs)


def feeder_ceiling(
    draft: Draft, counted: Sequence[Figure], motors: Sequence[RatedMotor]
) -> Ceiling:
    """State the largest device of a circuit with several motors or other loads; it rounds down."""
    largest = leading(draft.book, motors)
    branch = single_ceiling(draft, motors[largest])
    inputs = {"I_max": branch.rating}
    inputs |= {f"M{n}": one.current for n, one in enumerate(motors) if n != largest}
    inputs |= {f"L{n}": one for n, one in enumerate(counted)}
    rule = "nec.430.63" if counted else "nec.430.62(A)"
    calculated = draft.work(
        "protective_device/ceiling/sum_a", "I_max", "A", " + ".join(inputs), rule, **inputs
    )
    rating = write_rating(
        draft, "protective_device/ceiling/several_a", "I_max",
        next_down(draft.book, calculated.value), rule, [("I_max", calculated)],
    )  # fmt: skip
    return Ceiling(rating=rating, rule=rule)


def apart(motor: RatedMotor, motors: Sequence[RatedMotor]) -> list[RatedMotor]:
    """Return the motors that may run while *motor* starts, itself perhaps among them."""
    alone, machine = motor.demand.one_at_a_time, motor.demand.machine
    return [one for one in motors if not (alone and one.demand.machine == machine)]


def start_currents(
    draft: Draft,
    demand: CircuitDemand,
    motors: Sequence[RatedMotor],
    locked: dict[str, Figure],
) -> tuple[Figure, Figure]:
    """State the largest current during a start with all else running, and the one before it [A].

    Args:
        draft: Sheet of the circuit.
        demand: What was asked.
        motors: All motors, those that never run together included.
        locked: Locked-rotor current of each [A].
    """
    sets = [together([one, *apart(one, motors)]) for one in motors]
    more = [
        locked[one.demand.id].value + sum(other.current.value for other in beside[1:])
        for one, beside in zip(motors, sets, strict=True)
    ]
    worst = max(range(len(motors)), key=lambda n: more[n])
    inputs = {"LRC": locked[motors[worst].demand.id]}
    inputs |= {f"M{n}": one.current for n, one in enumerate(sets[worst][1:])}
    inputs |= {f"L{n}": one.current for n, one in enumerate(demand.loads)}
    formula = " + ".join(inputs)
    if demand.starting_current is not None:
        inputs["I_start"] = demand.starting_current
        formula = f"max({formula}, I_start)"
    start = draft.work(
        "protective_device/start/current_a", "I_s", "A", formula, "nec.430.52", **inputs
    )
    before = {f"M{n}": one.current for n, one in enumerate(together(motors))}
    before |= {f"L{n}": one.current for n, one in enumerate(demand.loads)}
    running = draft.work(
        "protective_device/start/before_a", "I_b", "A", " + ".join(before), "nec.430.52", **before
    )
    return start, running
