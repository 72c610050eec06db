"""What runs on the single-phase supply as it is."""

from collections.abc import Sequence

from ampwright.plugin import (
    HERE,
    Case,
    Circuit,
    CircuitDemand,
    ConversionMethod,
    Figure,
    Finding,
    MachineCase,
    MotorDemand,
    Proposal,
    Refusal,
    Source,
    State,
    Worksheet,
    hookimpl,
)

PRACTICE = Source(document="common practice", known="practice")
SUM = Source(document="arithmetic sum of currents, on the safe side", known="derived")
TOLERANCE = 0.10


class Direct:
    """A single-phase machine, fed from the panel."""

    id = "direct"
    shared = False
    converts = False

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Serve one machine whose motors and loads are all single-phase and fit the supply."""
        names = tuple(one.id for one in machines)
        if len(machines) != 1:
            return refused(names, "direct.one-machine")
        (machine,) = machines
        three_phase = machine.motors or any(one.load.phases == 3 for one in machine.loads)
        if three_phase or not (machine.single_phase or machine.loads):
            return refused(names, "direct.three-phase")
        if any(fed(one, case) is None for one in machine.single_phase) or not all(
            one.fits for one in machine.loads
        ):
            return refused(names, "supply.voltage-mismatch")
        return proposal(case, machine)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: its conductors change nothing in it."""
        del case, circuits
        return proposal


def fed(motor: MotorDemand, case: Case) -> Figure | None:
    """Return what a motor is fed with, if one suits: the supply's volts or line to neutral."""
    offered = (case.supply.voltage, case.supply.to_neutral)
    known = [one for one in offered if one is not None]
    suits = [one for one in known if abs(motor.voltage.value / one.value - 1.0) <= TOLERANCE]
    return next(iter(suits), None)


def voltage_of(case: Case, machine: MachineCase) -> Figure:
    """Return the voltage of the circuit: line to neutral where everything is made for that [V]."""
    taken = [fed(one, case) for one in machine.single_phase]
    taken += [one.voltage for one in machine.loads]
    other = case.supply.to_neutral
    return (
        other if other is not None and all(one == other for one in taken) else case.supply.voltage
    )


def refused(machines: tuple[str, ...], code: str) -> Refusal:
    """Return a refusal with one reason."""
    reason = Finding(code=code, severity="info", where=machines)
    return Refusal(method="direct", machines=machines, reasons=(reason,))


def proposal(case: Case, machine: MachineCase) -> Proposal:
    """Return the proposal: a branch circuit, and what it draws in each running set."""
    sheet = Worksheet(HERE)
    part = sheet.under(f"loads/{machine.id}")
    volts = voltage_of(case, machine)
    on_one_leg = volts is not case.supply.voltage
    loads = tuple(one.single_phase for one in machine.loads if one.single_phase is not None)
    terms = {f"M{n}": one.current for n, one in enumerate(machine.single_phase)}
    terms |= {f"L{n}": one.current for n, one in enumerate(loads)}
    current = part.formula("current", "I", "A", " + ".join(terms), terms, source=SUM)
    usual = 0.8 if machine.single_phase else 1.0
    factor = part.assumed("power_factor", "cos phi", usual, "", source=PRACTICE, low=0.6, high=1.0)
    locked = {
        f"S{n}": one.locked_rotor_current
        for n, one in enumerate(machine.single_phase)
        if one.locked_rotor_current is not None
    }
    most = f"max({', '.join(locked)})" if len(locked) > 1 else "".join(locked)
    demand = CircuitDemand(
        id=f"branch.{machine.id}",
        role="branch",
        feeds=(machine.id,),
        phases=1,
        voltage=volts,
        frequency=case.supply.frequency,
        length=machine.length,
        motors=machine.single_phase,
        loads=loads,
        voltage_to_earth=(volts, part.formula("neutral_to_earth", "U_0", "V", "0 * U", U=volts))
        if on_one_leg
        else case.supply.voltage_to_earth,
        running_current=current,
        power_factor=factor,
        starting_current=part.formula("starting_current", "I_LR", "A", most, locked)
        if locked
        else None,
        starting_power_factor=factor if locked else None,
        fault_largest=case.supply.fault_largest,
    )
    states = tuple(
        state(case, machine, (volts, current, factor), running.id, sheet)
        for running in case.sets
        if machine.id in running.machines
    )
    return Proposal(
        method="direct",
        machines=(machine.id,),
        demands=(demand,),
        states=states,
        sequence=(machine.id,),
        findings=(Finding(code="direct.on-one-leg", severity="info", where=(machine.id,)),)
        if on_one_leg
        else (),
        steps=sheet.steps,
    )


def state(
    case: Case,
    machine: MachineCase,
    drawing: tuple[Figure, Figure, Figure],
    running: str,
    sheet: Worksheet,
) -> State:
    """Return what the machine draws while the set *running* runs.

    *drawing* is its voltage, current and power factor. What hangs on one leg counts by its power,
    as if such machines were spread over both legs.
    """
    volts, current, factor = drawing
    name = f"{machine.id}/{running}"
    part = sheet.under(f"states/{name}")
    if volts is case.supply.voltage:
        drawn = part.formula("input_current_a", "I", "A", "I", I=current)
    else:
        drawn = part.formula("input_current_a", "I", "A", "I * V / U", I=current, V=volts,
                             U=case.supply.voltage)  # fmt: skip
    power = part.formula("input_power_w", "P", "W", "U * I * c", U=volts, I=current, c=factor)
    cosine = part.formula("input_power_factor", "lambda", "", "c", c=factor)
    lost = part.formula("losses_w", "P_loss", "W", "0 * P", P=power)
    alike = part.formula("equal_kva_current_a", "I_eq", "A", "I", I=machine.equal_kva)
    return State(
        id=name,
        set=running,
        converter=machine.id,
        running=(machine.id,),
        input_current_a=drawn.value,
        input_power_w=power.value,
        input_power_factor=cosine.value,
        losses_w=lost.value,
        equal_kva_current_a=alike.value,
    )


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this module."""
    return [Direct()]
