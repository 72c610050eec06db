"""The circuits of a set, as the wiring code is asked for them."""

from collections.abc import Sequence

from ampwright.plugin import (
    BalancedCircuits,
    CircuitDemand,
    Converter,
    Figure,
    MotorDemand,
    Source,
    Start,
    State,
    Worksheet,
)
from ampwright_method_motor_generator.setup import Setup, usual
from ampwright_method_motor_generator.states import SetMotor, to_earth

PRACTICE = Source(document="common practice", known="practice")
REACTANCE = Source(document="short circuit behind the transient reactance", known="derived")
HELD = Source(document="current that the excitation holds in a short circuit", known="practice")


def circuits(
    setup: Setup,
    motor: SetMotor,
    made: Converter,
    points: Sequence[State],
    begun: Sequence[Start],
    sheet: Worksheet,
) -> tuple[CircuitDemand, ...]:
    """Return every circuit of one set, from the panel outwards."""
    part = sheet.under(f"wiring/{made.id}")
    rated = Figure(made.output_current_a, f"{sheet.prefix}/converters/{made.id}/output_current_a")
    lines = BalancedCircuits(
        case=setup.case,
        sheet=sheet,
        converter=made.id,
        machines=setup.machines,
        voltage=setup.output,
        to_earth=to_earth(setup, part),
        starts=begun,
        fault_largest=part.formula("fault_largest", "I_f", "A", "I / x", I=rated,
                                   x=usual("transient-reactance", part), source=REACTANCE),
        fault_source=part.formula("made_leg_fault", "I_k", "A", "k * I", I=rated,
                                  k=usual("sustained-fault", part), source=HELD),
    )  # fmt: skip
    most = max(points, key=lambda one: (one.input_current_a, one.id))
    ahead = _motor_circuit(setup, motor, made, most, lines)
    return (ahead, *lines.behind(ahead.id))


def _motor_circuit(
    setup: Setup, motor: SetMotor, made: Converter, most: State, lines: BalancedCircuits
) -> CircuitDemand:
    """Return the circuit from the panel to the motor of the set, which is its idler."""
    supply, name, prefix = setup.case.supply, made.id, lines.sheet.prefix
    state, plate = f"{prefix}/states/{most.id}", f"{prefix}/wiring/{name}/idler"
    part = lines.sheet.under(f"wiring/idler.{name}")
    demand = MotorDemand(
        id=name,
        machine=name,
        phases=1,
        power=Figure(motor.power.value, f"{prefix}/converters/{name}/idler_power_w"),
        voltage=supply.voltage,
        current=Figure(motor.current.value, f"{plate}/current"),
        current_known="assumed",
        locked_rotor_current=Figure(motor.locked.value, f"{plate}/locked_rotor_current"),
    )
    begun = {
        f"I{n}": Figure(one.current_a, f"{prefix}/starts/{one.id}/current_a")
        for n, one in enumerate(lines.starts)
    }
    largest = f"max({', '.join(begun)})" if len(begun) > 1 else "I0"
    return CircuitDemand(
        id=f"idler.{name}",
        role="idler",
        feeds=(name,),
        phases=1,
        voltage=supply.voltage,
        frequency=supply.frequency,
        length=lines.ahead(),
        motors=(demand,),
        voltage_to_earth=supply.voltage_to_earth,
        running_current=Figure(most.input_current_a, f"{state}/input_current_a"),
        power_factor=Figure(most.input_power_factor, f"{state}/input_power_factor"),
        starting_current=part.formula("starting_current", "I_start", "A", largest, begun),
        starting_power_factor=part.assumed(
            "starting_power_factor", "cos phi", motor.plate.locked_rotor_power_factor, "",
            source=PRACTICE, low=0.5, high=0.9,
        ),
        starting_time=lines.of_start("time_s", (name,)),
        fault_largest=supply.fault_largest,
    )  # fmt: skip
