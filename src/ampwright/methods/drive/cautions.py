"""What there is to say about a machine on a drive: choke, cable, brake, heat and flux."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.kernels.rectifier import PULSE_SPEED_M_S
from ampwright.kernels.thermal import self_ventilated_torque
from ampwright.methods.drive.sizing import FLUX, PRACTICE, Link, figure, usual
from ampwright.plugin import (
    Case,
    Converter,
    Figure,
    Finding,
    MachineCase,
    MotorCase,
    Source,
    Worksheet,
    parameters,
    read_table,
)

FACTS = read_table(Path(__file__).with_name("cautions.csv"))
OLD_CLASSES = ("Y", "A", "E")  # thermal classes below the usual B: IEC 60085, from memory
#: Loads that cool a slow motor by asking little of it.
COOL = ("fan",)
#: Traits of machines that a drive has to slow down against their own energy.
COASTING = ("high-inertia", "regenerative-brake")
COIL = Source(document="reactance of a coil", known="derived")
MOTION = Source(document="energy of a turning mass", known="derived")
REFLECTION = Source(document="reflection of a step at the end of a line", known="model")
COOLING = Source(document="usual curve of a motor that cools itself", known="practice")


def aged(motor: MotorCase) -> bool:
    """Tell whether a winding is older, or of a lower class, than such as stand a drive."""
    made = motor.motor.year
    if made is not None and made < figure("oldest-year"):
        return True
    return motor.motor.insulation_class in OLD_CLASSES


def about(
    case: Case,
    machine: MachineCase,
    made: Converter,
    link: Link,
    sheet: Worksheet,
    *,
    derated: bool,
) -> Iterator[Finding]:
    """Yield what there is to say about a machine on a drive."""
    ids, (motor,) = (machine.id, made.id), machine.motors
    part = sheet.under(f"cautions/{made.id}")
    yield Finding(code="plan.recheck-on-plate", severity="info", where=(made.id,))
    yield Finding(code="converter.capacitor-discharge", severity="caution", where=ids)
    yield Finding(code="supply.harmonics", severity="caution", where=ids)
    yield Finding(code="drive.emission", severity="info", where=(made.id,))
    if derated:
        yield Finding(code="converter.drive-single-phase-derate", severity="caution", where=ids)
    old = "old-insulation" in machine.machine.traits or aged(motor)
    if old:
        yield Finding(code="machine.legacy-insulation", severity="caution", where=ids)
    if machine.machine.controls not in ("none", "own-transformer"):
        yield Finding(
            code="control.drive-takes-over", severity="caution", where=ids,
            parameters=parameters(controls=str(machine.machine.controls or "unknown")),
        )  # fmt: skip
    if "plug-connected" in machine.machine.traits:
        yield Finding(code="converter.drive-output-switching", severity="caution", where=ids)
    for row in FACTS.rows:
        if machine.states(row["field"], row["value"]):
            yield Finding(code=row["code"], severity=row["severity"], where=ids,
                          parameters=parameters(value=row["value"]))  # fmt: skip
    yield choke(case, made, link, part)
    yield cable(case, made, part, old=old)
    yield from flux(motor, made, link, part)
    yield from slow(machine, made, part)
    yield from braking(case, machine, made, part)


def choke(case: Case, made: Converter, link: Link, part: Worksheet) -> Finding:
    """Return the choke that the drive's input current was reckoned with."""
    share = usual("line-reactance", part)
    coil = part.formula(
        "choke_h", "L", "H", "x * U ** 2 / (2 * 3.141592653589793 * f * P)", x=share,
        U=case.supply.voltage, f=case.supply.frequency, P=link.power, source=COIL,
    )  # fmt: skip
    return Finding(code="drive.choke", severity="info", where=(made.id,),
                   parameters=parameters("inductance=H", inductance=coil, share=share))  # fmt: skip


def cable(case: Case, made: Converter, part: Worksheet, *, old: bool) -> Finding:
    """Return how long the cable to the motor may be before its end sees too high a peak.

    An old winding bears about its own crest only, so a peak above the direct voltage is too much
    for it at any length worth laying.
    """
    crest = part.formula("crest_v", "U_p", "V", "sqrt(2) * U", U=case.supply.highest)
    bearable = usual("bearable-peak", part)
    back, rise = usual("reflection", part), usual("rise-time", part)
    longest = usual("longest-cable", part)
    speed = part.assumed("pulse_speed", "v", PULSE_SPEED_M_S, "m/s", source=PRACTICE)
    whole = part.formula("peak_v", "U_max", "V", "(1 + g) * U", g=back, U=crest, source=REFLECTION)
    length = longest
    if whole.value > bearable.value:
        length = part.formula(
            "cable_m", "l", "m", "min(max((U_b / U - 1) / g, 0) * v * t * 0.000001 / 2, m)",
            U_b=bearable, U=crest, g=back, v=speed, t=rise, m=longest, source=REFLECTION,
        )  # fmt: skip
    tight = length.value < longest.value
    return Finding(
        code="drive.cable-length", severity="caution" if tight or old else "info",
        where=(made.id,),
        parameters=parameters("length=m peak=V", length=length, peak=whole),
    )  # fmt: skip


def flux(motor: MotorCase, made: Converter, link: Link, part: Worksheet) -> Iterator[Finding]:
    """Yield up to which frequency the direct link, fed by one phase, keeps the motor's flux."""
    if link.output.value >= motor.demand.voltage.value:
        return
    hertz = part.formula("flux_hz", "f", "Hz", "f * U / V", f=motor.frequency, U=link.output,
                         V=motor.demand.voltage, source=FLUX)  # fmt: skip
    yield Finding(
        code="drive.flux-limit", severity="info", where=(made.id, motor.demand.machine),
        parameters=parameters("volts=V valley=V hertz=Hz", volts=link.output, valley=link.valley,
                              hertz=hertz),
    )  # fmt: skip


def slow(machine: MachineCase, made: Converter, part: Worksheet) -> Iterator[Finding]:
    """Yield what a motor that cools itself may give at low speed, where speed is to change."""
    stated = machine.machine
    if not stated.variable_speed or stated.load_torque in COOL:
        return
    torques = {
        name: part.assumed(f"torque_at/{speed:g}", "T", self_ventilated_torque(speed), "",
                           source=COOLING)
        for name, speed in (("half", 0.5), ("quarter", 0.25))
    }  # fmt: skip
    yield Finding(code="drive.low-speed-cooling", severity="caution", where=(machine.id, made.id),
                  parameters=parameters(**torques))  # fmt: skip


def braking(
    case: Case, machine: MachineCase, made: Converter, part: Worksheet
) -> Iterator[Finding]:
    """Yield the energy that a stop brings back, where coasting does not do."""
    stated, (motor,) = machine.machine, machine.motors
    limit = stated.stopping_time_limit_s
    if limit is None and not any(one in stated.traits for one in COASTING):
        return
    energy = part.formula(
        "stop_j", "W", "J", "J * (P / T) ** 2 / 2",
        J=motor.inertia, P=motor.demand.power, T=motor.rated_torque, source=MOTION,
    )  # fmt: skip
    said = {"energy": energy}
    if limit is not None:
        seconds = Figure(float(limit), f"{case.stated_at(machine.id)}/stopping_time_limit_s")
        said["limit"] = seconds
        said["power"] = part.formula("stop_w", "P", "W", "W / t", W=energy, t=seconds)
    yield Finding(code="drive.braking", severity="caution", where=(machine.id, made.id),
                  parameters=parameters("energy=J power=W limit=s", **said))  # fmt: skip
