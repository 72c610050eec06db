"""The load itself linked for the single-phase supply, as heaters are."""

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
    about_linked,
    asked_of_linked,
    hookimpl,
    linked_for_one_phase,
    parameters,
)

RESISTIVE = ("resistive", "lamp")
TOLERANCE = 0.10
SUM = Source(document="arithmetic sum of currents, as if all were resistive", known="derived")


class Relink:
    """A machine of heaters, its elements linked for one phase; single-phase motors go with them.

    Elements for another voltage are exchanged for such of the same power.
    """

    id = "relink"
    shared = False
    converts = False

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Serve one machine whose heaters can be relinked and that has no three-phase motor."""
        names = tuple(one.id for one in machines)
        if len(machines) != 1:
            return refused(names, "relink.one-machine")
        (machine,) = machines
        if machine.motors or not machine.loads:
            return refused(names, "relink.not-a-heater")
        if any(one.load.kind not in RESISTIVE or one.load.phases != 3 for one in machine.loads):
            return refused(names, "relink.not-a-heater")
        if any(one.single_phase is None for one in machine.loads):
            return refused(names, "relink.cannot-be-relinked")
        volts = case.supply.voltage.value
        if any(abs(one.voltage.value / volts - 1.0) > TOLERANCE for one in machine.single_phase):
            return refused(names, "supply.voltage-mismatch")
        return proposal(case, machine)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: its conductors change nothing in it."""
        del case, circuits
        return proposal


def refused(machines: tuple[str, ...], code: str) -> Refusal:
    """Return a refusal with one reason."""
    reason = Finding(code=code, severity="info", where=machines)
    return Refusal(method="relink", machines=machines, reasons=(reason,))


def proposal(case: Case, machine: MachineCase) -> Proposal:
    """Return the proposal: a branch circuit, and what it draws in each running set."""
    sheet = Worksheet(HERE)
    demands = tuple(linked_for_one_phase(one, case, sheet) for one in machine.loads)
    terms = {f"I{n}": one.current for n, one in enumerate(demands)}
    terms |= {f"M{n}": one.current for n, one in enumerate(machine.single_phase)}
    name = f"branch.{machine.id}"
    part = sheet.under(f"loads/{machine.id}")
    current = part.formula("current", "I", "A", " + ".join(terms), terms, source=SUM)
    unity = part.assumed(
        "power_factor",
        "cos phi",
        1.0,
        "",
        source=Source(document="resistive load", known="derived"),
    )
    locked = {
        f"S{n}": one.locked_rotor_current
        for n, one in enumerate(machine.single_phase)
        if one.locked_rotor_current is not None
    }
    most = f"max({', '.join(locked)})" if len(locked) > 1 else "".join(locked)
    demand = CircuitDemand(
        id=name,
        role="branch",
        feeds=(machine.id,),
        phases=1,
        voltage=case.supply.voltage,
        frequency=case.supply.frequency,
        length=machine.length,
        motors=machine.single_phase,
        loads=demands,
        voltage_to_earth=case.supply.voltage_to_earth,
        running_current=current,
        power_factor=unity,
        starting_current=part.formula("starting_current", "I_LR", "A", most, locked)
        if locked
        else None,
        starting_power_factor=unity if locked else None,
        fault_largest=case.supply.fault_largest,
    )
    states = tuple(
        state(case, machine, current, running.id, sheet)
        for running in case.sets
        if machine.id in running.machines
    )
    said = Finding(
        code="machine.resistive-load-no-conversion",
        severity="info",
        where=(machine.id,),
        parameters=parameters("current=A", current=current),
    )
    return Proposal(
        method="relink",
        machines=(machine.id,),
        demands=(demand,),
        states=states,
        findings=(said, *about_linked(machine, machine.loads)),
        questions=asked_of_linked(machine),
        steps=sheet.steps,
    )


def state(
    case: Case, machine: MachineCase, current: Figure, running: str, sheet: Worksheet
) -> State:
    """Return what the relinked loads draw while the set *running* runs."""
    name = f"{machine.id}/{running}"
    part = sheet.under(f"states/{name}")
    i = part.formula("input_current_a", "I", "A", "I", I=current)
    p = part.formula("input_power_w", "P", "W", "U * I", U=case.supply.voltage, I=current)
    unity = part.formula("input_power_factor", "lambda", "", "P / (U * I)", P=p,
                         U=case.supply.voltage, I=current)  # fmt: skip
    lost = part.formula("losses_w", "P_loss", "W", "0 * P", P=p)
    alike = part.formula("equal_kva_current_a", "I_eq", "A", "I", I=machine.equal_kva)
    return State(
        id=name,
        set=running,
        converter=machine.id,
        running=(machine.id,),
        input_current_a=i.value,
        input_power_w=p.value,
        input_power_factor=unity.value,
        losses_w=lost.value,
        equal_kva_current_a=alike.value,
    )


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this module."""
    return [Relink()]
