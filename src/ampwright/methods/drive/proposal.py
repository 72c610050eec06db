"""The proposal of a drive and its circuits."""

from ampwright.methods.drive.cautions import about
from ampwright.methods.drive.rewinding import about as about_rewinding
from ampwright.methods.drive.sizing import (
    PRACTICE,
    at_drive,
    converter,
    link_of,
    rating,
    start,
    state,
    usual,
)
from ampwright.methods.drive.stepping import about as about_transformer
from ampwright.methods.drive.stepping import behind_transformer
from ampwright.plugin import (
    Case,
    CircuitDemand,
    Converter,
    ConverterInput,
    Figure,
    Finding,
    MachineCase,
    Proposal,
    State,
    Worksheet,
    parameters,
    supply_circuits,
)


def demands(case: Case, machine: MachineCase, made: Converter, drawn: Figure, most: State,
            sheet: Worksheet) -> tuple[CircuitDemand, CircuitDemand]:  # fmt: skip
    """Return the circuit to the drive, which stands at its machine, and the one to the motor.

    *drawn* is what the drive draws in the state *most*, at the voltage of *case* [A].
    """
    (motor,) = machine.motors
    place = f"{sheet.prefix}/converters/{made.id}"
    part = sheet.under(f"wiring/{made.id}")
    supply = case.supply
    factor = Figure(most.input_power_factor, f"{sheet.prefix}/states/{most.id}/input_power_factor")
    times = usual("overload", part)
    ramp = part.formula("ramp_current", "I", "A", "k * I", k=times, I=drawn)
    volts = tuple(
        part.formula(f"to_earth/{n}", "U_0", "V", "U", U=supply.voltage) for n in range(3)
    )
    plate = ConverterInput(
        id=made.id, method="drive", kind="drive",
        current=Figure(made.input_current_a, f"{place}/input_current_a"), given=False,
        output_voltage=Figure(made.output_voltage_v, f"{place}/output_voltage_v"),
        fixed_loads=True,
    )  # fmt: skip
    to_drive = CircuitDemand(
        id=f"supply.{made.id}", role="supply", feeds=(made.id,), phases=1, voltage=supply.voltage,
        frequency=supply.frequency, length=machine.length, motors=(motor.demand,),
        converter=plate,
        voltage_to_earth=supply.voltage_to_earth, running_current=drawn, power_factor=factor,
        starting_current=ramp, starting_power_factor=factor, fault_largest=supply.fault_largest,
    )  # fmt: skip
    to_motor = CircuitDemand(
        id=f"output.{made.id}", role="output", feeds=(machine.id,), fed_from=to_drive.id, phases=3,
        voltage=motor.demand.voltage, frequency=motor.frequency,
        length=part.assumed("output_length", "l", 3.0, "m", source=PRACTICE, low=1.0, high=10.0),
        motors=(motor.demand,), converter=plate, voltage_to_earth=volts,
        running_current=motor.demand.current, power_factor=motor.power_factor,
    )  # fmt: skip
    return to_drive, to_motor


def proposed(case: Case, machine: MachineCase, sheet: Worksheet) -> Proposal | Finding:
    """Return the proposal for one machine with one motor, or why there is none.

    Where no link of the motor suits, the drive stands behind a transformer of its own.
    """
    stepped = behind_transformer(case, machine, sheet)
    seen = case
    if stepped is not None:
        machine, seen = stepped[0], stepped[1].case
    (motor,) = machine.motors
    name = f"drive.{machine.id}"
    found = rating(seen, motor, name, sheet)
    if found is None:
        return Finding(code="drive.too-large", severity="blocks", where=(machine.id,),
                       parameters=parameters("power=W", power=motor.demand.power))  # fmt: skip
    size, plain, limits = found
    sets = [one.id for one in case.sets if machine.id in one.machines]
    link = link_of(seen, motor, name, sheet)
    if stepped is not None:
        link = link._replace(ratio=stepped[1].ratio)
    points = tuple(
        state(case, machine, motor, link, f"{name}/{running}", sheet) for running in sets
    )
    most = max(points, key=lambda one: one.input_current_a)
    drawn = at_drive(link, most, sheet)
    begun = start(motor, machine.id, name, most, sheet)
    if begun is None:
        return Finding(code="machine.hard-start", severity="blocks", where=(machine.id,))
    made = converter(seen, motor, machine.id, name, size, drawn, sheet)
    to_drive, to_motor = demands(seen, machine, made, drawn, most, sheet)
    ahead = () if stepped is None else supply_circuits(case, stepped[1], to_drive, sheet)
    return Proposal(
        method="drive",
        machines=(machine.id,),
        converters=(made,),
        transformers=() if stepped is None else (stepped[1].transformer,),
        demands=(*(ahead or (to_drive,)), to_motor),
        states=points,
        starts=(begun,),
        limits=limits,
        sequence=(machine.id,),
        findings=(
            *about(seen, machine, made, link, sheet, derated=not plain),
            *about_rewinding(machine, motor),
            *(() if stepped is None else about_transformer(machine, stepped[1])),
        ),
        steps=sheet.steps,
    )
