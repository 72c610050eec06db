"""Circuits with motors on them: design current, the worst start, what switches and protects."""

from collections.abc import Mapping, Sequence

from ampwright.families.iec.design import Design
from ampwright.families.iec.device import Needs, Start
from ampwright.families.iec.draft import Draft
from ampwright.families.iec.loads import counted, inrush, waveform_of
from ampwright.families.iec.overload import overload
from ampwright.finding import parameters
from ampwright.region import CircuitDemand, MotorDemand
from ampwright.step import Figure

#: Columns of the table of guide currents, by nominal voltage [V].
GUIDES = {230.0: "i_230v", 400.0: "i_400v"}
SAME_VOLTAGE = 0.10
#: Within this share of a row the power counts as the row's.
SAME_POWER = 0.005
#: Roles at whose end a motor stands.
AT_MOTOR = ("branch", "idler", "control")


def motor_current(draft: Draft, motor: MotorDemand) -> Figure:
    """State the current of a motor: of its plate, or with none known the guide value too [A]."""
    path = f"motors/{motor.id}/current_a"
    if motor.current_known != "assumed":
        return draft.work(path, "I_M", "A", "I", "iec.552", I=motor.current)
    guide = _guide(draft, motor)
    if guide is None:
        return draft.work(path, "I_M", "A", "I", "iec.552", I=motor.current)
    found = draft.work(path, "I_M", "A", "max(I, I_g)", "iec.60947-4-1", I=motor.current, I_g=guide)
    draft.assumed("motor.current-guide", parameters("current=A", motor=motor.id, current=found))
    return found


def _guide(draft: Draft, motor: MotorDemand) -> Figure | None:
    """State the guide current of the next row of power; ``None``: no row, or another voltage."""
    volts = motor.voltage.value
    column = next(
        (name for at, name in GUIDES.items() if abs(volts / at - 1.0) <= SAME_VOLTAGE), None
    )
    if column is None or motor.phases != 3:
        return None
    needed = motor.power.value / 1000.0 * (1 - SAME_POWER)
    cells = draft.book.column("motor_currents", column)
    key = next((one for one in cells if float(one) >= needed), None)
    if key is None:
        return None
    return draft.read(
        f"motors/{motor.id}/guide_a", "I_g", "A", table="motor_currents", key=key, column=column,
        rule="iec.60947-4-1", inputs=[("P", motor.power), ("U", motor.voltage)],
    )  # fmt: skip


def locked_rotor(draft: Draft, motor: MotorDemand, current: Figure) -> Figure:
    """Return the locked-rotor current [A]: known, or a usual multiple of the rated current."""
    if motor.locked_rotor_current is not None:
        return motor.locked_rotor_current
    found = draft.work(
        f"motors/{motor.id}/locked_rotor_current_a", "I_LR", "A", "k * I_M", "iec.552",
        k=draft.factor(f"motors/{motor.id}/locked_rotor_multiple", "k", "locked_rotor_multiple"),
        I_M=current,
    )  # fmt: skip
    draft.assumed("motor.locked-rotor-six-times", parameters("current=A", current=found))
    return found


def design_current(draft: Draft, parts: Mapping[str, Figure], running: Figure, rule: str) -> Figure:
    """State the design current: the sum of what stands on plates, or what flows if more [A]."""
    total = draft.work("full_load_sum_a", "I_sum", "A", " + ".join(parts), rule, **parts)
    return draft.work(
        "design_current_a", "I_b", "A", "max(I_sum, I_run)", rule, I_sum=total, I_run=running
    )


def together(motors: Mapping[str, MotorDemand], currents: Mapping[str, Figure]) -> tuple[str, ...]:
    """Return the names of what runs at once: of a machine with one motor at a time, its largest."""
    kept: dict[str, str] = {}
    for name, one in motors.items():
        key = one.machine if one.one_at_a_time else one.id
        if key not in kept or currents[kept[key]].value < currents[name].value:
            kept[key] = name
    return tuple(kept.values())


def motor_circuit(draft: Draft, demand: CircuitDemand) -> Design:
    """Return what the rules ask of a circuit with motors, and perhaps other loads, on it."""
    motors = {f"M{n}": one for n, one in enumerate(demand.motors)}
    currents = {name: motor_current(draft, one) for name, one in motors.items()}
    running = {name: currents[name] for name in together(motors, currents)}
    others = {f"L{n}": counted(draft, one) for n, one in enumerate(demand.loads)}
    current = design_current(draft, {**running, **others}, demand.running_current, "iec.433.1")
    locked = {name: locked_rotor(draft, one, currents[name]) for name, one in motors.items()}
    start = worst_start(draft, demand, motors, currents, locked, others)
    at_motor = demand.role in AT_MOTOR
    poles = 3 if demand.phases == 3 else 2
    overloads = tuple(
        overload(draft, one, locked[name], one.starting_time or start.time, poles)
        for name, one in motors.items()
        if at_motor
    )
    return Design(
        current=current,
        rule="iec.433.1",
        needs=Needs(load=current, rule="iec.433.1", start=start, peak=inrush(draft, demand.loads)),
        switch=at_motor,
        power=motor_power(draft, [motors[name] for name in running]) if at_motor else None,
        overloads=overloads,
        waveform=waveform_of(demand),
    )


def motor_power(draft: Draft, motors: Sequence[MotorDemand]) -> Figure:
    """State the sum of the powers of motors that run at once [W]."""
    powers = {f"P{n}": one.power for n, one in enumerate(motors)}
    return draft.work("motors_power_w", "P", "W", " + ".join(powers), "iec.60947-3", **powers)


def start_time(draft: Draft, demand: CircuitDemand) -> Figure:
    """Return how long the worst start lasts [s]; a usual time where none was reckoned."""
    if demand.starting_time is not None:
        return demand.starting_time
    draft.assumed("motor.start-time")
    return draft.factor("protective_device/start/time_s", "t", "start_time_s", "s")


def worst_start(
    draft: Draft,
    demand: CircuitDemand,
    motors: Mapping[str, MotorDemand],
    currents: Mapping[str, Figure],
    locked: Mapping[str, Figure],
    others: Mapping[str, Figure],
) -> Start:
    """State the start that draws most, with all else that may run on the circuit running."""
    beside = {
        name: together(
            {
                key: one
                for key, one in motors.items()
                if key != name and not _apart(one, motors[name])
            },
            currents,
        )
        for name in motors
    }
    drawn = {
        name: locked[name].value + sum(currents[key].value for key in beside[name])
        for name in motors
    }
    worst = max(drawn, key=lambda name: drawn[name])
    inputs = {"LR": locked[worst]} | {name: currents[name] for name in beside[worst]} | {**others}
    formula = " + ".join(inputs)
    if demand.starting_current is not None:
        inputs["I_start"] = demand.starting_current
        formula = f"max({formula}, I_start)"
    current = draft.work(
        "protective_device/start/current_a", "I_s", "A", formula, "iec.552", **inputs
    )
    before = {name: currents[name] for name in together(motors, currents)} | {**others}
    running = draft.work(
        "protective_device/start/before_a", "I_b", "A", " + ".join(before), "iec.552", **before
    )
    return Start(current=current, before=running, time=start_time(draft, demand))


def _apart(one: MotorDemand, other: MotorDemand) -> bool:
    """Tell whether two motors never run together."""
    return one.machine == other.machine and one.one_at_a_time and other.one_at_a_time
