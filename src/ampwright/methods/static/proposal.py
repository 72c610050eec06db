"""The proposal of a static set: plate, circuits, and what there is to say."""

from collections.abc import Iterator

from ampwright.kernels.faults import fault_current
from ampwright.kernels.network import Rotor
from ampwright.methods.static.model import Setup, legs_of
from ampwright.methods.static.sizing import (
    MODEL,
    Chosen,
    capacitance,
    limits,
    sensitive,
    usable,
    usual,
)
from ampwright.methods.static.states import start, states
from ampwright.plugin import (
    HERE,
    Capacitor,
    CircuitDemand,
    Converter,
    ConverterInput,
    Figure,
    Finding,
    MotorDemand,
    Proposal,
    Question,
    Source,
    Start,
    State,
    Worksheet,
    parameters,
)

NAMED = Source(document="the set is named by its motor", known="practice")
PHASES = Source(document="equal apparent power on one phase", known="derived")
PRACTICE = Source(document="common practice", known="practice")
FEATURES = (
    "start-capacitor-cut-out",
    "output-contactor-drops-all-legs",
    "capacitor-discharge",
    "made-leg-marking",
)


def capacitors(setup: Setup, one: Chosen, part: Worksheet) -> tuple[Capacitor, ...]:
    """Return start and run capacitor."""
    made = []
    tolerance = setup.case.limits["capacitor-tolerance"]
    for name, purpose in (("run-ca", "run"), ("start-ca", "start")):
        own = part.under(f"capacitors/{name}")
        if purpose == "run" and one.run_f == 0.0:
            own.assumed("capacitance_f", "C", 0.0, "F", source=MODEL)
            continue
        if purpose == "run":
            farads = own.solved(
                "capacitance_f", "C", one.run_f, "F", model="least unbalance at the average load, "
                "from stock, idling motor left alone", source=MODEL, residual=0.0,
            )  # fmt: skip
        else:
            found = capacitance(setup, one.place, setup.motor.demand.power, own)
            farads = own.formula("capacitance_f", "C", "F", "C", C=found)
        volts = own.formula("voltage_v", "U_C", "V", "k * U", k=usual("can-voltage", own),
                            U=setup.case.supply.voltage)  # fmt: skip
        bound = own.formula("tolerance_fraction", "d", "", "d", d=tolerance)
        made.append(
            Capacitor(id=name, purpose=purpose, between="ca", capacitance_f=farads.value,
                      voltage_v=volts.value, tolerance_fraction=bound.value)
        )  # fmt: skip
    return tuple(made)


def converter(
    setup: Setup, one: Chosen, points: tuple[State, ...], name: str, sheet: Worksheet
) -> Converter:
    """Return the set with the plate that the plan expects."""
    part = sheet.under(f"converters/{name}")
    volts, demand = setup.case.supply.voltage, setup.motor.demand
    asks = next(s for s in sheet.steps if s.path.endswith(f"limits/{name}/motor-power/asks"))
    rating = part.formula("rating_w", "P", "W", "P", P=Figure(float(asks.value), asks.path),
                          source=NAMED)  # fmt: skip
    most = max(points, key=lambda state: (state.input_current_a, state.id))
    modelled = Figure(most.input_current_a, f"{sheet.prefix}/states/{most.id}/input_current_a")
    drawn = part.formula(
        "input_current_a", "I_in", "A", "k * max(sqrt(3) * I * V / U, I_m)",
        k=setup.case.limits["converter-reserve"], I=demand.current, V=demand.voltage, U=volts,
        I_m=modelled, source=PHASES,
    )  # fmt: skip
    return Converter(
        id=name,
        method="static",
        machines=(setup.machine.id,),
        rating_w=rating.value,
        input_voltage_v=part.formula("input_voltage_v", "U_1", "V", "U", U=volts).value,
        output_voltage_v=part.formula("output_voltage_v", "U_2", "V", "U", U=volts).value,
        input_current_a=drawn.value,
        output_current_a=part.formula("output_current_a", "I_2", "A", "I", I=demand.current).value,
        largest_motor_w=part.formula("largest_motor_w", "P", "W", "P", P=rating).value,
        capacitors=capacitors(setup, one, part),
        losses_w=part.formula("losses_w", "P_0", "W", "0 * P", P=rating).value,
        protective_features=FEATURES,
    )


class Wiring:
    """The circuit to the set, which stands at its machine, and the one to the motor."""

    def __init__(
        self, setup: Setup, made: Converter, points: tuple[State, ...], begun: Start,
        sheet: Worksheet,
    ) -> None:  # fmt: skip
        self.setup, self.made, self.begun, self.sheet = setup, made, begun, sheet
        self.points = points
        self.part = sheet.under(f"wiring/{made.id}")
        place = f"{sheet.prefix}/converters/{made.id}"
        self.plate = ConverterInput(
            id=made.id, method="static", kind="phase-converter",
            current=Figure(made.input_current_a, f"{place}/input_current_a"), given=False,
            output_voltage=Figure(made.output_voltage_v, f"{place}/output_voltage_v"),
            fixed_loads=not setup.case.shop.site.future_machines,
        )  # fmt: skip

    def at(self, field: str) -> Figure:
        """Return a figure of the start."""
        path = f"{self.sheet.prefix}/starts/{self.begun.id}/{field}"
        return Figure(float(getattr(self.begun, field)), path)

    def motor(self) -> MotorDemand:
        """Return the motor with its largest leg current."""
        demand = self.setup.motor.demand
        terms = {}
        for n, point in enumerate(self.points):
            (motor,) = point.motors
            leg = motor.current_a.index(max(motor.current_a))
            path = f"{self.sheet.prefix}/states/{point.id}/motors/{motor.id}/current_a/{leg}"
            terms[f"I{n}"] = Figure(motor.current_a[leg], path)
        most = f"max({', '.join(terms)})" if len(terms) > 1 else "I0"
        leg_a = self.part.formula("largest_leg", "I_leg", "A", most, terms)
        return MotorDemand(
            id=demand.id, machine=demand.machine, phases=3, power=demand.power,
            voltage=demand.voltage, current=demand.current, current_known=demand.current_known,
            speed=demand.speed, service_factor=demand.service_factor,
            temperature_rise=demand.temperature_rise,
            locked_rotor_current=demand.locked_rotor_current, design=demand.design,
            duty=demand.duty, overload_fitted=demand.overload_fitted, largest_leg=leg_a,
        )  # fmt: skip

    def to_earth(self) -> Figure:
        """Return the highest volts to earth of the third line."""
        terms = {
            f"U{n}": Figure(
                point.leg_to_earth_v[2], f"{self.sheet.prefix}/states/{point.id}/leg_to_earth_v/2"
            )
            for n, point in enumerate(self.points)
        }
        most = f"max({', '.join(terms)})" if len(terms) > 1 else "U0"
        return self.part.formula("made_leg_to_earth", "U_0c", "V", most, terms)

    def demands(self, run_f: float) -> tuple[CircuitDemand, ...]:
        """Return both circuits."""
        setup, made, supply = self.setup, self.made, self.setup.case.supply
        motor = self.motor()
        most = max(self.points, key=lambda one: (one.input_current_a, one.id))
        place = f"{self.sheet.prefix}/states/{most.id}"
        factor = self.part.assumed("starting_power_factor", "cos phi", 0.6, "", source=PRACTICE,
                                   low=0.4, high=0.9)  # fmt: skip
        share, usual = supply.lowest.value / supply.voltage.value, setup.source
        source = usual._replace(e_a_v=usual.e_a_v * share, e_b_v=usual.e_b_v * share)
        lost = fault_current(source, legs_of(setup, run_f), (Rotor(setup.motor.low),), "c", 0j)
        fault = self.part.solved(
            "made_leg_fault", "I_f", lost.smallest_a, "A", model="earth fault on the made leg",
            source=MODEL, residual=0.0, inputs=[("U", supply.lowest)],
        )  # fmt: skip
        ahead = CircuitDemand(
            id=f"supply.{made.id}", role="supply", feeds=(made.id,), phases=1,
            voltage=supply.voltage, frequency=supply.frequency, length=setup.machine.length,
            motors=(motor,), converter=self.plate, voltage_to_earth=supply.voltage_to_earth,
            running_current=Figure(most.input_current_a, f"{place}/input_current_a"),
            power_factor=Figure(most.input_power_factor, f"{place}/input_power_factor"),
            starting_current=self.at("current_a"), starting_power_factor=factor,
            starting_time=self.at("time_s"), fault_largest=supply.fault_largest,
        )  # fmt: skip
        behind = CircuitDemand(
            id=f"branch.{setup.machine.id}", role="branch", feeds=(setup.machine.id,),
            fed_from=ahead.id, phases=3, voltage=supply.voltage, frequency=supply.frequency,
            length=self.part.assumed("output_length", "l", 3.0, "m", source=PRACTICE, low=1.0,
                                     high=10.0),
            motors=(motor,), made_leg=True,
            voltage_to_earth=(*supply.voltage_to_earth, self.to_earth()),
            running_current=motor.largest_leg or motor.current,
            power_factor=self.part.assumed("power_factor", "cos phi", 0.8, "", source=PRACTICE,
                                           low=0.6, high=0.9),
            starting_current=self.at("motor_peak_a"), starting_power_factor=factor,
            starting_time=self.at("time_s"), fault_largest=supply.fault_largest,
            fault_source=fault,
        )  # fmt: skip
        return ahead, behind


def about(setup: Setup, one: Chosen, made: Converter) -> Iterator[Finding]:
    """Yield what there is to say about a machine behind a static set."""
    ids = (setup.machine.id, made.id)
    path = f"{HERE}/usable/{made.id}/usable"
    kept = Figure(one.share, path)
    yield Finding(code="converter.static-derate", severity="caution", where=ids,
                  parameters=parameters(fraction=kept))  # fmt: skip
    for code, severity in (
        ("static.window", "info"),
        ("converter.output-live-on-two-legs", "caution"),
        ("converter.capacitor-discharge", "caution"),
        ("plan.equipment-approval", "caution"),
    ):
        yield Finding(code=code, severity=severity, where=ids)
    drawn = Figure(made.input_current_a, f"{HERE}/converters/{made.id}/input_current_a")
    yield Finding(code="plan.recheck-on-plate", severity="info", where=(made.id,),
                  parameters=parameters("current=A", current=drawn))  # fmt: skip
    if one.run_f == 0.0:
        yield Finding(code="static.phase-loss-relay", severity="caution", where=ids)
        yield Finding(code="static.third-line-idle", severity="info", where=ids)
    elif sensitive(setup):
        yield Finding(code="static.phase-loss-relay", severity="caution", where=ids)
    if setup.machine.machine.controls not in ("none", "supply-lines", "own-transformer"):
        yield Finding(code="static.controls", severity="caution", where=ids)


def asked(setup: Setup) -> tuple[Question, ...]:
    """Return what a static set hangs on."""
    name = setup.machine.id
    found = []
    if setup.machine.machine.controls in (None, "unknown"):
        found.append(
            Question(code="machine.controls", field=f"machines.{name}.controls", where=(name,),
                     changes="safety")
        )  # fmt: skip
    return tuple(found)


def proposal(setup: Setup, one: Chosen) -> Proposal:
    """Return the proposal for one machine."""
    sheet = Worksheet(HERE)
    name = f"static.{setup.machine.id}"
    kept = usable(setup, one, sheet.under(f"usable/{name}"))
    bounds = limits(setup, one, name, sheet)
    points = states(setup, one, kept, name, sheet)
    begun = start(setup, one, name, sheet)
    made = converter(setup, one, points, name, sheet)
    circuits = Wiring(setup, made, points, begun, sheet).demands(one.run_f)
    return Proposal(
        method="static",
        machines=(setup.machine.id,),
        converters=(made,),
        demands=circuits,
        states=points,
        starts=(begun,),
        limits=bounds,
        sequence=(setup.machine.id,),
        findings=tuple(about(setup, one, made)),
        questions=asked(setup),
        steps=sheet.steps,
    )
