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
        volts = case.supply.voltage.value
        off = [abs(one.voltage.value / volts - 1.0) for one in machine.single_phase]
        if any(one > TOLERANCE for one in off) or not all(one.fits for one in machine.loads):
            return refused(names, "supply.voltage-mismatch")
        return proposal(case, machine)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: its conductors change nothing in it."""
        del case, circuits
        return proposal


def refused(machines: tuple[str, ...], code: str) -> Refusal:
    """Return a refusal with one reason."""
    reason = Finding(code=code, severity="info", where=machines)
    return Refusal(method="direct", machines=machines, reasons=(reason,))


def proposal(case: Case, machine: MachineCase) -> Proposal:
    """Return the proposal: a branch circuit, and what it draws in each running set."""
    sheet = Worksheet(HERE)
    part = sheet.under(f"loads/{machine.id}")
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
        voltage=case.supply.voltage,
        frequency=case.supply.frequency,
        length=machine.length,
        motors=machine.single_phase,
        loads=loads,
        voltage_to_earth=case.supply.voltage_to_earth,
        running_current=current,
        power_factor=factor,
        starting_current=part.formula("starting_current", "I_LR", "A", most, locked)
        if locked
        else None,
        starting_power_factor=factor if locked else None,
        fault_largest=case.supply.fault_largest,
    )
    states = tuple(
        state(case, machine, current, factor, running.id, sheet)
        for running in case.sets
        if machine.id in running.machines
    )
    return Proposal(
        method="direct",
        machines=(machine.id,),
        demands=(demand,),
        states=states,
        sequence=(machine.id,),
        steps=sheet.steps,
    )


def state(
    case: Case,
    machine: MachineCase,
    current: Figure,
    factor: Figure,
    running: str,
    sheet: Worksheet,
) -> State:
    """Return what the machine draws while the set *running* runs."""
    name = f"{machine.id}/{running}"
    part = sheet.under(f"states/{name}")
    drawn = part.formula("input_current_a", "I", "A", "I", I=current)
    power = part.formula("input_power_w", "P", "W", "U * I * c", U=case.supply.voltage, I=current,
                         c=factor)  # fmt: skip
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
