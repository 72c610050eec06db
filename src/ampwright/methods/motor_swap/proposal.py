"""The proposal of an exchange: its circuit, what it draws, how it starts, what there is to say."""

from collections.abc import Iterator, Sequence

import attrs

from ampwright.kernels.single_phase_motor import draw
from ampwright.methods.motor_swap.sizing import (
    FIGURES,
    NewMotor,
    as_rated,
    planning,
    sized,
    usual,
)
from ampwright.plugin import (
    HERE,
    Case,
    CircuitDemand,
    Figure,
    Finding,
    Limit,
    LoadDemand,
    MachineCase,
    MotorDemand,
    MotorStart,
    MotorState,
    Proposal,
    Question,
    Source,
    Start,
    State,
    Worksheet,
    parameters,
)

SUM = Source(document="arithmetic sum of currents, on the safe side", known="derived")
MODEL = Source(document="single-phase motor: constant losses and losses by load", known="model")
ONE_PHASE = Source(document="equal apparent power on one phase", known="derived")


class Exchange:
    """One machine with its new motors, and the sheet that its steps stand on."""

    def __init__(self, case: Case, machine: MachineCase, sheet: Worksheet) -> None:
        self.case, self.machine, self.sheet = case, machine, sheet
        self.motors: list[NewMotor] = []
        self.loads = tuple(self.load(n) for n in range(len(machine.loads)))

    def load(self, number: int) -> LoadDemand:
        """Return a load as it draws from one phase; linked for it, or of a unit made for it."""
        one = self.machine.loads[number]
        if one.single_phase is not None and (one.fits or one.load.phases == 1):
            return one.single_phase
        three = one.three_phase
        sheet = self.sheet.under(f"swapped/{three.id}")
        current = sheet.formula("current", "I", "A", "sqrt(3) * I", I=three.current,
                                source=ONE_PHASE)  # fmt: skip
        effective = three.effective_current
        if effective is not None:
            effective = sheet.formula("effective_current", "I_1eff", "A", "sqrt(3) * I",
                                      I=effective, source=ONE_PHASE)  # fmt: skip
        return LoadDemand(
            id=three.id,
            machine=three.machine,
            kind=three.kind,
            phases=1,
            current=current,
            continuous=three.continuous,
            duty_cycle=three.duty_cycle,
            effective_current=effective,
            construction=three.construction,
        )

    @property
    def running(self) -> list[NewMotor]:
        """The new motors that run at once."""
        at_once = {motor.demand.id for motor in self.machine.simultaneous_motors}
        return [one for one in self.motors if one.demand.id in at_once]

    @property
    def several(self) -> bool:
        """It has several motors, the single-phase ones that stay among them."""
        return len(self.motors) + len(self.machine.single_phase) > 1

    def current(self) -> Figure:
        """Return the sum of the currents at rated load [A]."""
        terms = {f"M{n}": one.demand.current for n, one in enumerate(self.running)}
        terms |= {f"S{n}": one.current for n, one in enumerate(self.machine.single_phase)}
        terms |= {f"L{n}": one.current for n, one in enumerate(self.loads)}
        part = self.sheet.under(f"loads/{self.machine.id}")
        return part.formula("current", "I", "A", " + ".join(terms), terms, source=SUM)

    def hardest(self) -> NewMotor | None:
        """Return the motor whose start draws most."""
        return max(self.motors, key=lambda one: one.start.current.value, default=None)


def demand(one: Exchange, drawn: Figure, begun: Figure | None) -> CircuitDemand:
    """Return the branch circuit."""
    supply, machine, worst = one.case.supply, one.machine, one.hardest()
    part = one.sheet.under(f"loads/{machine.id}")
    if worst is not None:
        factor = worst.power_factor
    else:
        factor = part.assumed("power_factor", "cos phi", 0.8, "", source=FIGURES.source(), low=0.6,
                              high=1.0)  # fmt: skip
    return CircuitDemand(
        id=f"branch.{machine.id}",
        role="branch",
        feeds=(machine.id,),
        phases=1,
        voltage=supply.voltage,
        frequency=supply.frequency,
        length=machine.length,
        motors=(*(timed(motor, one) for motor in one.motors), *machine.single_phase),
        loads=one.loads,
        voltage_to_earth=supply.voltage_to_earth,
        running_current=drawn,
        power_factor=factor,
        starting_current=begun,
        starting_power_factor=worst.start.power_factor if worst is not None else None,
        starting_time=worst.start.time if worst is not None else None,
        fault_largest=supply.fault_largest,
        cord="plug-connected" in machine.machine.traits,
    )


def timed(new: NewMotor, one: Exchange) -> MotorDemand:
    """Return the demand of a new motor, with the time of its own start where there are several."""
    return attrs.evolve(new.demand, starting_time=new.start.time) if one.several else new.demand


def motor_state(new: NewMotor, load: Figure, part: Worksheet) -> MotorState:
    """Return a new motor at *load*, the share of the old motor's rating that it gives."""
    own = part.under(f"motors/{new.demand.id}")
    shaft = own.formula("shaft_w", "P", "W", "x * P", x=load, P=new.old.demand.power)
    found = draw(new.plate, shaft.value / new.plate.power_w)
    inputs = [("P", shaft), ("P_N", new.demand.power), ("I_N", new.demand.current)]

    def put(name: str, symbol: str, value: float, unit: str) -> Figure:
        return own.solved(name, symbol, value, unit, model="single-phase motor", source=MODEL,
                          residual=0.0, inputs=inputs)  # fmt: skip

    amperes = [
        put("current_a/0", "I", found.current_a, "A").value,
        put("current_a/1", "I", found.current_a, "A").value,
        put("current_a/2", "I", 0.0, "A").value,
    ]
    put("input_w", "P_in", found.input_w, "W")
    share = put("winding_fraction", "i_w", found.current_a / new.plate.current_a, "")
    torque = own.formula("torque_nm", "T", "N m", "x * T", x=load, T=new.old.rated_torque)
    usable = own.formula("usable_fraction", "p", "", "min(P / Q, 1)", P=new.demand.power,
                         Q=new.old.demand.power)  # fmt: skip
    return MotorState(
        id=new.demand.id, slip=usual("slip", own).value, torque_nm=torque.value,
        shaft_w=shaft.value, current_a=(amperes[0], amperes[1], amperes[2]),
        winding_fraction=share.value, usable_fraction=usable.value, stalled=False,
    )  # fmt: skip


def state(one: Exchange, running: str, load: str) -> State:
    """Return what the machine draws while the set *running* runs."""
    machine, supply = one.machine, one.case.supply
    name = f"{machine.id}/{running}/{load}"
    part = one.sheet.under(f"states/{name}")
    if load == "full":
        share = part.assumed("load", "x", 1.0, "", source=MODEL)
    else:
        share = machine.average_load
    motors = tuple(motor_state(new, share, part) for new in one.running)
    powers, currents, useful = {}, {}, {}
    for n, motor in enumerate(motors):
        place = f"{part.prefix}/motors/{motor.id}"
        found = draw(one.running[n].plate, motor.shaft_w / one.running[n].plate.power_w)
        powers[f"P{n}"] = Figure(found.input_w, f"{place}/input_w")
        currents[f"I{n}"] = Figure(motor.current_a[0], f"{place}/current_a/0")
        useful[f"P{n}"] = Figure(motor.shaft_w, f"{place}/shaft_w")
    others = [one.current for one in machine.single_phase]
    others += [load.current for load in one.loads]
    for n, current in enumerate(others):
        currents[f"L{n}"] = current
        powers[f"L{n}"] = useful[f"L{n}"] = part.formula(
            f"other_w/{n}", "P", "W", "U * I", U=supply.voltage, I=current
        )
    drawn = part.formula("input_current_a", "I", "A", " + ".join(currents), currents, source=SUM)
    power = part.formula("input_power_w", "P", "W", " + ".join(powers), powers)
    cosine = part.formula("input_power_factor", "lambda", "", "min(P / (U * I), 1)", P=power,
                          U=supply.voltage, I=drawn)  # fmt: skip
    lost = part.formula("losses_w", "P_loss", "W", f"P - ({' + '.join(useful)})",
                        useful | {"P": power})  # fmt: skip
    alike = part.formula("equal_kva_current_a", "I_eq", "A", "I", I=machine.equal_kva)
    volts = part.formula("line_voltage_v/0", "U", "V", "U", U=supply.voltage)
    return State(
        id=name, set=running, load=load, converter=machine.id, running=(machine.id,),
        line_voltage_v=(volts.value,),
        input_current_a=drawn.value, input_power_w=power.value,
        input_power_factor=cosine.value, losses_w=lost.value, equal_kva_current_a=alike.value,
        motors=motors,
    )  # fmt: skip


def begins(one: Exchange) -> Start | None:
    """Return the start of the machine: of its motor that draws most, what may run beside it on."""
    worst = one.hardest()
    if worst is None:
        return None
    part = one.sheet.under(f"starts/{one.machine.id}")
    alone = bool(one.machine.machine.motors_one_at_a_time)
    rest = [new for new in one.running if new is not worst and not alone]
    terms = {f"M{n}": new.demand.current for n, new in enumerate(rest)}
    start = worst.start
    current = part.formula("current_a", "I", "A", " + ".join(["S", *terms]), terms,
                           S=start.current, source=SUM)  # fmt: skip
    time = None
    if start.time is not None:
        time = part.formula("time_s", "t", "s", "t", t=start.time).value
    return Start(
        id=one.machine.id,
        converter="",
        runs_up=time is not None,
        time_s=time,
        lowest_voltage_v=part.formula("lowest_voltage_v", "U_min", "V", "U", U=start.voltage).value,
        current_a=current.value,
        motor_current_a=part.formula("motor_current_a", "I_m", "A", "I", I=start.current).value,
        motor_peak_a=part.formula("motor_peak_a", "I_p", "A", "I", I=start.current).value,
        torque_nm=part.formula("torque_nm", "T", "N m", "T", T=start.torque).value,
        needed_torque_nm=part.formula(
            "needed_torque_nm", "T_b", "N m", "T", T=worst.old.breakaway
        ).value,
        motors=tuple(own_start(new, part) for new in one.motors) if one.several else (),
    )


def own_start(new: NewMotor, part: Worksheet) -> MotorStart:
    """Return the start of one new motor of several, with its locked-rotor current throughout."""
    own, time = part.under(f"motors/{new.demand.id}"), None
    if new.start.time is not None:
        time = own.formula("time_s", "t", "s", "t", t=new.start.time).value
    return MotorStart(
        id=new.demand.id,
        time_s=time,
        motor_current_a=own.formula("motor_current_a", "I_m", "A", "I", I=new.start.current).value,
        motor_peak_a=own.formula("motor_peak_a", "I_p", "A", "I", I=new.start.current).value,
    )


def about(one: Exchange) -> Iterator[Finding]:
    """Yield what there is to say about a machine with another motor."""
    machine, ids = one.machine, (one.machine.id,)
    whole = bool(machine.machine.single_phase_unit)
    what = "single-phase-machine" if whole else "single-phase-motor"
    yield Finding(code="machine.needs-change", severity="caution", where=ids,
                  parameters=parameters(what=what))  # fmt: skip
    for new in one.motors:
        yield Finding(
            code="motor-swap.motor", severity="info", where=ids,
            parameters=parameters("power=W current=A", motor=new.demand.id,
                                  power=new.demand.power, current=new.demand.current),
        )  # fmt: skip
    if not whole:
        yield Finding(code="motor-swap.frame", severity="caution", where=ids)
    if "finish-critical" in machine.machine.traits:
        yield Finding(code="motor-swap.pulsating-torque", severity="caution", where=ids)
    if "reversing" in machine.machine.traits:
        yield Finding(code="motor-swap.reverses-from-rest", severity="caution", where=ids)
    if len(one.motors) > 1 or "internal-switching" in machine.machine.traits:
        yield Finding(code="motor-swap.built-in-switching", severity="caution", where=ids)
    most = one.case.shop.supply.largest_motor_w
    if most is not None:
        limit = Figure(float(most), "shop/supply/largest_motor_w")
        for new in one.motors:
            if new.demand.power.value > most:
                yield Finding(
                    code="plan.utility-consent", severity="caution", where=ids,
                    parameters=parameters("power=W limit=W", power=new.demand.power, limit=limit,
                                          reason="largest-motor"),
                )  # fmt: skip


def asked(machine: MachineCase) -> tuple[Question, ...]:
    """Return the question whether the new motor fits the machine."""
    if machine.machine.single_phase_unit:
        return ()
    return tuple(
        Question(code="motor-swap.frame", field=f"machines.{machine.id}.motors[{n}].enclosure",
                 where=(machine.id,), changes="size")
        for n, _ in enumerate(machine.motors)
    )  # fmt: skip


def proposed(case: Case, machine: MachineCase) -> Proposal | tuple[Finding, ...]:
    """Return the proposal for one machine, or why there is none."""
    sheet = Worksheet(HERE)
    one = Exchange(case, machine, sheet)
    limits: list[Limit] = []
    for motor in machine.motors:
        if machine.machine.single_phase_unit:
            one.motors.append(as_rated(case, motor, sheet))
            continue
        found = sized(case, motor, f"motor.{motor.demand.id}", sheet)
        if isinstance(found, str):
            return (
                Finding(
                    code="motor-swap.start-too-hard", severity="blocks", where=(machine.id,),
                    parameters=parameters(
                        reason=found, longest=f"{planning('start-time'):g} s"
                    ),
                ),
            )  # fmt: skip
        one.motors.append(found[0])
        limits += found[1]
    return drafted(one, limits)


def drafted(one: Exchange, limits: Sequence[Limit]) -> Proposal:
    """Return the proposal with the motors chosen."""
    machine = one.machine
    drawn = one.current()
    begun = begins(one)
    figure = None
    if begun is not None:
        figure = Figure(begun.current_a, f"{one.sheet.prefix}/starts/{machine.id}/current_a")
    circuit = demand(one, drawn, figure)
    states = tuple(
        state(one, running.id, load)
        for running in one.case.sets
        if machine.id in running.machines
        for load in ("average", "full")
    )
    return Proposal(
        method="motor-swap",
        machines=(machine.id,),
        demands=(circuit,),
        states=states,
        starts=(begun,) if begun is not None else (),
        limits=tuple(limits),
        sequence=(machine.id,),
        findings=tuple(about(one)),
        questions=asked(machine),
        steps=one.sheet.steps,
    )
