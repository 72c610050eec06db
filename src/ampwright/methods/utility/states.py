"""How the machines run and start on real three-phase."""

from collections.abc import Sequence

from ampwright.kernels.balanced_start import BalancedStart, balanced_start
from ampwright.kernels.balanced_start import Lines as Stiff
from ampwright.kernels.network import Rotor
from ampwright.kernels.starter import DIRECT, Shaft, Stage, star_delta
from ampwright.methods.utility.lines import Lines, usual
from ampwright.plugin import (
    Case,
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

MODEL = Source(document="double-cage circuit on balanced lines", known="model")
RUN_UP = Source(document="quasi-steady run-up on balanced lines", known="model")
SUM = Source(document="arithmetic sum of currents, on the safe side", known="derived")
POWER = Source(document="definition of apparent power in three phases", known="derived")
STAR_UNTIL, STAR_LONGEST_S = 0.8, 10.0  # of synchronous speed; usual timer: common practice


def state(
    case: Case,
    there: Lines,
    machines: Sequence[LinkedMachine],
    running: str,
    load: str,
    sheet: Worksheet,
) -> State:
    """Return the lines while the machines of the set *running* run."""
    members = next(one.machines for one in case.sets if one.id == running)
    inside = [one for one in machines if one.id in members]
    name = f"utility/{running}/{load}"
    part = sheet.under(f"states/{name}")
    whole = part.assumed("load", "x", 1.0, "", source=MODEL) if load == "full" else None
    currents: dict[str, Figure] = {}
    powers: dict[str, Figure] = {}
    useful: dict[str, Figure] = {}
    motors: list[MotorState] = []
    for one in inside:
        share = whole or one.machine.average_load
        for motor in one.running:
            found, taken = balanced_motor(motor, there.voltage, share, part)
            place = f"{part.prefix}/motors/{found.id}"
            key = f"M{len(motors)}"
            motors.append(found)
            currents[key] = Figure(found.current_a[0], f"{place}/current_a/0")
            powers[key] = taken
            useful[key] = Figure(found.shaft_w, f"{place}/shaft_w")
        for n, (demand, watts) in enumerate(zip(one.loads, one.watts, strict=True)):
            key = f"L{len(currents)}_{n}"
            currents[key], powers[key], useful[key] = demand.current, watts, watts
        for n, single in enumerate(one.single):
            key = f"S{len(currents)}_{n}"
            currents[key] = single.current
            powers[key] = useful[key] = part.formula(
                f"single_w/{single.id}", "P", "W", "U * I", U=single.voltage, I=single.current
            )
    drawn = part.formula("input_current_a", "I", "A", " + ".join(currents) or "0", currents,
                         source=SUM)  # fmt: skip
    power = part.formula("input_power_w", "P", "W", " + ".join(powers) or "0", powers)
    cosine = part.formula("input_power_factor", "lambda", "",
                          "min(P / max(sqrt(3) * U * I, 0.001), 1)", P=power, U=there.voltage,
                          I=drawn, source=POWER)  # fmt: skip
    lost = part.formula("losses_w", "P_loss", "W", f"P - ({' + '.join(useful) or '0'})",
                        useful | {"P": power})  # fmt: skip
    equal = {f"I{n}": one.machine.equal_kva for n, one in enumerate(inside)}
    alike = part.formula("equal_kva_current_a", "I_eq", "A", " + ".join(equal) or "0", equal)
    volts = [part.formula(f"line_voltage_v/{n}", "U", "V", "U", U=there.voltage) for n in range(3)]
    return State(
        id=name, set=running, load=load, converter="utility",
        running=tuple(one.id for one in inside),
        line_voltage_v=tuple(one.value for one in volts),
        input_current_a=drawn.value, input_power_w=power.value, input_power_factor=cosine.value,
        losses_w=lost.value, equal_kva_current_a=alike.value, motors=tuple(motors),
    )  # fmt: skip


def states(
    case: Case, there: Lines, machines: Sequence[LinkedMachine], sheet: Worksheet
) -> tuple[State, ...]:
    """Return every operating point: each set at its average and at its full load."""
    ids = {one.id for one in machines}
    return tuple(
        state(case, there, machines, running.id, load, sheet)
        for load in ("average", "full")
        for running in case.sets
        if not ids.isdisjoint(running.machines)
    )


def stages(one: LinkedMachine) -> tuple[Stage, ...]:
    """Return how the machine is started."""
    if one.machine.machine.starter == "star-delta":
        return star_delta(STAR_UNTIL, STAR_LONGEST_S)
    return (DIRECT,)


def started(motor: MotorCase, volts: Figure, one: LinkedMachine) -> BalancedStart:
    """Return the run-up of a motor of a machine on lines of *volts*."""
    shaft = Shaft(Rotor(motor.low, motor.run_up), motor.inertia.value)
    return balanced_start(Stiff(volts.value), shaft, stages=stages(one))


def start(there: Lines, one: LinkedMachine, motor: MotorCase, sheet: Worksheet) -> Start:
    """Return the start of a machine: of the motor of it that draws most."""
    part = sheet.under(f"starts/{one.id}")
    share = usual("start-voltage", part)
    volts = part.formula("voltage", "U_s", "V", "k * U", k=share, U=there.voltage)
    found = started(motor, volts, one)
    inputs = [("U", volts), ("T_b", motor.breakaway), ("J", motor.inertia)]
    inputs += [("k", motor.ratio)] if motor.ratio else []
    times = motor.ratio.value if motor.ratio else 1.0

    def put(name: str, symbol: str, value: float, unit: str) -> float:
        return part.solved(name, symbol, value, unit, model="run-up", source=RUN_UP, residual=0.0,
                           inputs=inputs).value  # fmt: skip

    return Start(
        id=one.id,
        converter="",
        runs_up=found.starts,
        time_s=put("time_s", "t", found.low.time_s, "s") if found.starts else None,
        lowest_voltage_v=put("lowest_voltage_v", "U_min", found.lowest_line_v / times, "V"),
        current_a=put("current_a", "I", found.largest_line_a, "A"),
        motor_current_a=put("motor_current_a", "I_m", found.low.rms_current_a * times, "A")
        if found.starts
        else None,
        motor_peak_a=put("motor_peak_a", "I_p", found.largest_line_a * times, "A"),
        torque_nm=put("torque_nm", "T", found.torque_low_nm, "N m"),
        needed_torque_nm=put("needed_torque_nm", "T_b", found.breakaway_nm, "N m"),
        motors=tuple(
            motor_start(each.demand.id, started(each, volts, one), put, times)
            for each in (one.motors if len(one.motors) > 1 else ())
        ),
    )


def starts(there: Lines, machines: Sequence[LinkedMachine], sheet: Worksheet) -> tuple[Start, ...]:
    """Return the start of each machine with motors."""
    made = []
    for one in machines:
        if one.motors:
            locked = {
                motor.demand.id: motor.demand.locked_rotor_current or motor.demand.current
                for motor in one.motors
            }
            worst = max(one.motors, key=lambda motor: locked[motor.demand.id].value)
            made.append(start(there, one, worst, sheet))
    return tuple(made)
