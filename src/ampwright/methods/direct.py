"""What runs on the single-phase supply as it is."""

from collections.abc import Sequence

from ampwright.plugin import (
    HERE,
    Case,
    Circuit,
    ConversionMethod,
    Figure,
    Finding,
    MachineCase,
    OnePhase,
    Proposal,
    Refusal,
    Worksheet,
    fed_with_one_phase,
    hookimpl,
)


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
        if any(fed_with_one_phase(one, case) is None for one in machine.single_phase) or not all(
            one.fits for one in machine.loads
        ):
            return refused(names, "supply.voltage-mismatch")
        return proposal(case, machine)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: its conductors change nothing in it."""
        del case, circuits
        return proposal


def voltage_of(case: Case, machine: MachineCase) -> Figure:
    """Return the voltage of the circuit: line to neutral where everything is made for that [V]."""
    taken = [fed_with_one_phase(one, case) for one in machine.single_phase]
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
    whole = OnePhase(
        machine=machine,
        circuit=f"branch.{machine.id}",
        name=machine.id,
        volts=voltage_of(case, machine),
        motors=machine.single_phase,
        loads=tuple(one.single_phase for one in machine.loads if one.single_phase is not None),
        equal_kva=machine.equal_kva,
    )
    current, factor = whole.current(sheet), whole.power_factor(sheet)
    on_one_leg = Finding(code="direct.on-one-leg", severity="info", where=(machine.id,))
    return Proposal(
        method="direct",
        machines=(machine.id,),
        demands=(whole.demand(case, current, factor, sheet),),
        states=whole.states(case, current, factor, sheet),
        sequence=(machine.id,),
        findings=(on_one_leg,) if whole.volts is not case.supply.voltage else (),
        steps=sheet.steps,
    )


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this module."""
    return [Direct()]
