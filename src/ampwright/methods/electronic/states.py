"""How the converter and its machines run and start."""

from collections.abc import Sequence

from ampwright.methods.electronic.setup import Setup, usual
from ampwright.methods.electronic.sizing import Sizing, begun, hardest
from ampwright.plugin import (
    Figure,
    LinkedMachine,
    MotorCase,
    MotorState,
    Source,
    Start,
    State,
    Worksheet,
    balanced_motor,
    motor_start,
)

INPUT = Source(document="active front end: power over efficiency and power factor", known="derived")
RUN_UP = Source(document="quasi-steady run-up on balanced lines", known="model")
CONTROLLED = Source(document="output held by the converter", known="practice")
GEOMETRY = Source(document="geometry of three phases", known="derived")


def legs_to_earth(setup: Setup, part: Worksheet) -> tuple[Figure, ...]:
    """Return the volts to earth of the output lines, on the safe side [V].

    With an output neutral, earthed, those of a star. Two lines of a split phase may pass through
    and the third be made; of all else nothing is known before the plate, and a line may stand at
    the full voltage.
    """
    split = setup.case.shop.supply.arrangement == "split-phase" and not setup.raised
    if setup.neutral:
        shares: Sequence[str] = ("U / sqrt(3)",) * 3
    elif split:
        shares = ("U / 2", "U / 2", "sqrt(3) / 2 * U")
    else:
        shares = ("U",) * 3
    return tuple(
        part.formula(f"leg_to_earth_v/{n}", "U_0", "V", share, U=setup.output, source=GEOMETRY)
        for n, share in enumerate(shares)
    )


def state(
    setup: Setup, size: Figure, running: str, inside: Sequence[LinkedMachine], load: str, name: str,
    sheet: Worksheet,
) -> State:  # fmt: skip
    """Return the converter while *inside* run; nothing inside: it idles."""
    where = f"{name}/{running}/{load}" if inside else f"{name}/idle"
    part = sheet.under(f"states/{where}")
    whole = part.assumed("load", "x", 1.0, "", source=CONTROLLED) if load == "full" else None
    powers: dict[str, Figure] = {}
    useful: dict[str, Figure] = {}
    motors: list[MotorState] = []
    for one in inside:
        share = whole or one.machine.average_load
        for motor in one.running:
            found, input_w = balanced_motor(motor, setup.output, share, part)
            key = f"M{len(motors)}"
            motors.append(found)
            powers[key] = input_w
            useful[key] = Figure(found.shaft_w, f"{part.prefix}/motors/{found.id}/shaft_w")
        for n, watts in enumerate(one.watts):
            powers[f"L{len(powers)}_{n}"] = useful[f"L{len(useful)}_{n}"] = watts
        for n, single in enumerate(one.single):
            key = f"S{len(powers)}_{n}"
            powers[key] = useful[key] = part.formula(
                f"single_w/{single.id}", "P", "W", "U * I", U=single.voltage, I=single.current
            )
    output = part.formula("output_w", "P_out", "W", " + ".join(powers) or "0", powers)
    idle = part.formula("idle_w", "P_0", "W", "k * S", k=usual("standby", part), S=size)
    power = part.formula("input_power_w", "P", "W", "max(P_out / e, P_out + P_0)", P_out=output,
                         e=usual("efficiency", part), P_0=idle, source=INPUT)  # fmt: skip
    cosine = part.formula("input_power_factor", "lambda", "", "c",
                          c=usual("input-power-factor", part))  # fmt: skip
    current = part.formula("input_current_a", "I", "A", "P / (U * c)", P=power, c=cosine,
                           U=setup.case.supply.voltage, source=INPUT)  # fmt: skip
    lost = part.formula("losses_w", "P_loss", "W", f"P - ({' + '.join(useful) or '0'})",
                        useful | {"P": power})  # fmt: skip
    equal = {f"I{n}": one.machine.equal_kva for n, one in enumerate(inside)}
    alike = part.formula("equal_kva_current_a", "I_eq", "A", " + ".join(equal) or "0", equal)
    off = usual("output-unbalance", part)
    volts = [part.formula(f"line_voltage_v/{n}", "U", "V", "U", U=setup.output) for n in range(3)]
    return State(
        id=where,
        set=running if inside else "idle",
        load=load,
        converter=name,
        running=tuple(one.id for one in inside),
        line_voltage_v=tuple(one.value for one in volts),
        leg_to_earth_v=tuple(one.value for one in legs_to_earth(setup, part)),
        negative_sequence_fraction=part.formula(
            "negative_sequence_fraction", "u_2", "", "u", u=off
        ).value,
        deviation_fraction=part.formula("deviation_fraction", "u", "", "u", u=off).value,
        input_current_a=current.value,
        input_power_w=power.value,
        input_power_factor=cosine.value,
        losses_w=lost.value,
        equal_kva_current_a=alike.value,
        motors=tuple(motors),
    )


def states(setup: Setup, size: Figure, name: str, sheet: Worksheet) -> tuple[State, ...]:
    """Return every operating point: idling, then each set at its average and at its full load."""
    made = [state(setup, size, "idle", (), "full", name, sheet)]
    made += [
        state(setup, size, running, inside, load, name, sheet)
        for load in ("average", "full")
        for running, inside in setup.sets
    ]
    return tuple(made)


def others_of(setup: Setup, one: LinkedMachine) -> tuple[LinkedMachine, ...]:
    """Return what else runs in the set of *one* that has most beside it."""
    beside = [
        tuple(other for other in inside if other is not one)
        for _, inside in setup.sets
        if any(other is one for other in inside)
    ]
    return max(
        beside,
        key=lambda others: sum(other.machine.equal_kva.value for other in others),
        default=(),
    )


def start(sizing: Sizing, size: Figure, one: LinkedMachine, motor: MotorCase, name: str,
          sheet: Worksheet) -> Start:  # fmt: skip
    """Return the start of a machine on the converter."""
    setup = sizing.setup
    part = sheet.under(f"starts/{one.id}")
    first = one.id in sizing.soft
    limit = sizing.soft_limit(one, size.value) if first else None
    found = begun(setup, one, motor, limit)
    inputs = [("U", setup.output), ("T_b", motor.breakaway), ("J", motor.inertia), ("S", size)]

    def put(field: str, symbol: str, value: float, unit: str) -> Figure:
        return part.solved(field, symbol, value, unit, model="run-up", source=RUN_UP, residual=0.0,
                           inputs=inputs)  # fmt: skip

    active = put("input_w", "P", found.largest_w, "W")
    terms: dict[str, Figure] = {}
    sums = ["P"]
    for n, other in enumerate(() if first else others_of(setup, one)):
        for m, running in enumerate(other.running):
            terms |= {f"P{n}_{m}": running.demand.power, f"e{n}_{m}": running.efficiency}
            sums.append(f"P{n}_{m} / e{n}_{m}")
        for m, watts in enumerate(other.watts):
            terms[f"L{n}_{m}"] = watts
            sums.append(f"L{n}_{m}")
    current = part.formula(
        "current_a", "I", "A", f"({' + '.join(sums)}) / (e * c * U)", terms, P=active,
        e=usual("efficiency", part), c=usual("input-power-factor", part),
        U=setup.case.supply.voltage, source=INPUT,
    )  # fmt: skip
    return Start(
        id=one.id,
        converter=name,
        runs_up=found.starts,
        time_s=put("time_s", "t", found.low.time_s, "s").value if found.starts else None,
        lowest_voltage_v=put("lowest_voltage_v", "U_min", found.lowest_line_v, "V").value,
        current_a=current.value,
        motor_current_a=put("motor_current_a", "I_m", found.low.rms_current_a, "A").value
        if found.starts
        else None,
        motor_peak_a=put("motor_peak_a", "I_p", found.largest_line_a, "A").value,
        torque_nm=put("torque_nm", "T", found.torque_low_nm, "N m").value,
        needed_torque_nm=put("needed_torque_nm", "T_b", found.breakaway_nm, "N m").value,
        motors=tuple(
            motor_start(each.demand.id, begun(setup, one, each, limit), lambda *of: put(*of).value)
            for each in (one.motors if len(one.motors) > 1 else ())
        ),
    )


def starts(sizing: Sizing, size: Figure, name: str, sheet: Worksheet) -> tuple[Start, ...]:
    """Return the start of each machine that has motors."""
    made = []
    for one in sizing.setup.machines:
        motor = hardest(one)
        if motor is not None:
            made.append(start(sizing, size, one, motor, name, sheet))
    return tuple(made)
