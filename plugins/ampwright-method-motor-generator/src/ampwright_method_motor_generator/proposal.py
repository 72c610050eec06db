"""The proposal: the set with its plate, its circuits, its cost, and what there is to say."""

from collections.abc import Iterator

from ampwright.plugin import (
    HERE,
    Converter,
    Cost,
    Figure,
    Finding,
    Proposal,
    Question,
    State,
    Worksheet,
    parameters,
)
from ampwright_method_motor_generator.setup import Setup, usual, usual_edge
from ampwright_method_motor_generator.sizing import Sizing
from ampwright_method_motor_generator.states import Running, SetMotor, set_motor
from ampwright_method_motor_generator.wiring import circuits

FEATURES = ("phase-loss", "no-restart-after-outage", "output-contactor")


def converter(
    sizing: Sizing, motor: SetMotor, points: tuple[State, ...], name: str, sheet: Worksheet
) -> Converter:
    """Return the set with the plate that the plan expects."""
    setup, part = sizing.setup, sheet.under(f"converters/{name}")
    rating = part.formula("rating_va", "S_n", "VA", "S", S=sizing.rating)
    idle = next(one for one in points if one.set == "idle")
    lost = Figure(idle.losses_w, f"{sheet.prefix}/states/{idle.id}/losses_w")
    largest = {
        f"P{n}": one.demand.power
        for n, one in enumerate(each for machine in setup.machines for each in machine.motors)
    }
    heaviest = None
    if largest:
        formula = f"max({', '.join(largest)})" if len(largest) > 1 else "P0"
        heaviest = part.formula("largest_motor_w", "P", "W", formula, largest).value
    volts = setup.case.supply.voltage
    return Converter(
        id=name,
        method=name,
        machines=tuple(one.id for one in setup.machines),
        rating_va=rating.value,
        idler_power_w=part.formula("idler_power_w", "P", "W", "P", P=motor.power).value,
        input_voltage_v=part.formula("input_voltage_v", "U_1", "V", "U", U=volts).value,
        output_voltage_v=part.formula("output_voltage_v", "U_2", "V", "U", U=setup.output).value,
        input_current_a=part.formula("input_current_a", "I_in", "A", "I", I=motor.current).value,
        output_current_a=part.formula("output_current_a", "I_2", "A", "S / (sqrt(3) * U)",
                                      S=rating, U=setup.output).value,
        largest_motor_w=heaviest,
        losses_w=part.formula("losses_w", "P_0", "W", "P", P=lost).value,
        protective_features=FEATURES,
        regulates=True,
        own_source=True,
    )  # fmt: skip


def costs(sizing: Sizing, name: str, sheet: Worksheet) -> tuple[Cost, ...]:
    """Return rough prices of buying and of setting up, each as a range."""
    made = []
    for kind in ("purchase", "installation"):
        part = sheet.under(f"costs/{name}/{kind}")
        edges = {}
        for edge in ("low", "high"):
            own = part.under(f"parts/{edge}")
            if kind == "purchase":
                edges[edge] = part.formula(
                    edge, "C", "USD", "f + k * S / 1000", S=sizing.rating,
                    f=usual_edge("fixed-price", edge, own),
                    k=usual_edge("price-per-kva", edge, own),
                )  # fmt: skip
            else:
                edges[edge] = part.formula(edge, "C", "USD", "f", f=usual_edge("labour", edge, own))
        made.append(Cost(id=f"{name}/{kind}", kind=kind, low=edges["low"].value,
                         high=edges["high"].value, currency="USD"))  # fmt: skip
    return tuple(made)


def about(sizing: Sizing, motor: SetMotor, made: Converter, sheet: Worksheet) -> Iterator[Finding]:
    """Yield what there is to say about the set and the machines behind it."""
    setup, ids = sizing.setup, (made.id, *made.machines)
    place = f"{HERE}/converters/{made.id}"
    rating = Figure(made.rating_va or 0.0, f"{place}/rating_va")
    yield Finding(
        code="motor-generator.set", severity="info", where=ids,
        parameters=parameters("power=W rating=VA", power=motor.power, rating=rating),
    )  # fmt: skip
    part = sheet.under(f"frequency/{made.id}")
    hertz = part.formula("output_hz", "f_2", "Hz", "f * (1 - s)", f=setup.case.supply.frequency,
                         s=usual("slip", part))  # fmt: skip
    yield Finding(code="motor-generator.frequency", severity="info", where=ids,
                  parameters=parameters("frequency=Hz", frequency=hertz))  # fmt: skip
    yield Finding(code="motor-generator.own-earthing", severity="caution", where=ids)
    lasting = next(one for one in sheet.steps if one.path.endswith("/made_leg_fault"))
    yield Finding(
        code="motor-generator.small-fault-current", severity="caution", where=ids,
        parameters=parameters("current=A", current=Figure(float(lasting.value), lasting.path)),
    )  # fmt: skip
    yield Finding(code="motor-generator.no-restart", severity="caution", where=ids)
    if setup.raised:
        volts = Figure(made.output_voltage_v, f"{place}/output_voltage_v")
        yield Finding(code="motor-generator.raises-voltage", severity="caution", where=ids,
                      parameters=parameters("output=V", output=volts))  # fmt: skip
    idle = Figure(made.losses_w, f"{place}/losses_w")
    yield Finding(code="plan.idle-cost", severity="info", where=(made.id,),
                  parameters=parameters("losses=W", losses=idle))  # fmt: skip
    drawn = Figure(made.input_current_a, f"{place}/input_current_a")
    yield Finding(code="plan.recheck-on-plate", severity="info", where=(made.id,),
                  parameters=parameters("current=A", current=drawn))  # fmt: skip
    yield Finding(code="site.converter-place", severity="caution", where=ids)
    yield from of_machines(setup, made)


def of_machines(setup: Setup, made: Converter) -> Iterator[Finding]:
    """Yield what the facts of each machine mean for it behind the set."""
    for one in setup.machines:
        if any(load.load.kind in ("rectifier", "thyristor", "welder")
               for load in one.machine.loads):  # fmt: skip
            yield Finding(code="machine.electronic-input", severity="caution",
                          where=(one.id, made.id))  # fmt: skip
        if any(load.load.regenerates for load in one.machine.loads):
            yield Finding(code="machine.regenerative-input", severity="caution", where=(one.id,))
        if any(motor.relinked is not False for motor in one.motors):
            volts = one.motors[0].demand.voltage
            yield Finding(code="machine.relink-consequences", severity="caution", where=(one.id,),
                          parameters=parameters("rated=V", rated=volts))  # fmt: skip


def asked(setup: Setup) -> tuple[Question, ...]:
    """Return the questions whose answers the set hangs on."""
    return tuple(
        Question(code="motor.linked-for", where=(one.id,), changes="safety",
                 field=f"machines.{one.id}.motors[{n}].linked_for")
        for one in setup.machines
        for n, motor in enumerate(one.motors)
        if motor.relinked is None
    )  # fmt: skip


def proposed(sizing: Sizing, sheet: Worksheet, name: str) -> Proposal:
    """Return the proposal at the smallest sizes that meet every constraint."""
    setup, bounds = sizing.setup, sizing.limits_made
    motor = set_motor(sizing, name, sheet)
    running = Running(sizing, motor, name, sheet)
    points, begun = running.states(), running.starts()
    made = converter(sizing, motor, points, name, sheet)
    demands = circuits(setup, motor, made, points, begun, sheet)
    order = sorted(setup.machines, key=lambda one: (-one.machine.equal_kva.value, one.id))
    paid = costs(sizing, name, sheet)
    said = tuple(about(sizing, motor, made, sheet))
    return Proposal(
        method=name,
        machines=made.machines,
        converters=(made,),
        demands=demands,
        states=points,
        starts=begun,
        limits=bounds,
        sequence=(name, *(one.id for one in order)),
        costs=paid,
        findings=said,
        questions=asked(setup),
        steps=sheet.steps,
    )
