"""A static set: a capacitor starts one motor, which then runs with one weak winding."""

from collections.abc import Sequence

import attrs

from ampwright.methods.static.model import set_up, share_by_leg
from ampwright.methods.static.proposal import proposal
from ampwright.methods.static.refusing import because
from ampwright.methods.static.sizing import MODEL, chosen
from ampwright.plugin import (
    HERE,
    Case,
    Circuit,
    ConversionMethod,
    Figure,
    Finding,
    MachineCase,
    Proposal,
    Refusal,
    Worksheet,
    hookimpl,
    parameters,
)


class Static:
    """A start capacitor, and perhaps a run capacitor, for one motor."""

    id = "static"
    shared = False
    converts = True

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Serve one machine with one motor that starts easily and needs little of its rating."""
        names = tuple(one.id for one in machines)
        if len(machines) != 1:
            alone = Finding(code="static.one-motor", severity="blocks", where=names)
            return Refusal(method=self.id, machines=names, reasons=(alone,))
        reasons = tuple(because(case, machines[0]))
        if reasons:
            return Refusal(method=self.id, machines=names, reasons=reasons)
        setup = set_up(case, machines[0])
        found = chosen(setup)
        if isinstance(found, Finding):
            return Refusal(method=self.id, machines=names, reasons=(found,))
        return proposal(setup, found)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal* with what the overload, as set, leaves of the motor's output."""
        (made,) = proposal.converters
        machine = case.machine(made.machines[0])
        setting = next(
            (
                overload.setting_a
                for circuit in circuits
                if circuit.id == f"branch.{machine.id}"
                for overload in circuit.overloads
            ),
            None,
        )
        if setting is None:
            return proposal
        run_f = sum(one.capacitance_f for one in made.capacitors if one.purpose == "run")
        share = share_by_leg(set_up(case, machine), run_f, setting)
        sheet = Worksheet(HERE)
        held = sheet.under(f"usable/{made.id}").solved(
            "by_overload", "p", share, "", model="largest line at the overload's setting",
            source=MODEL, residual=0.0, inputs=[("x", machine.average_load)],
        )  # fmt: skip
        said = overload(machine, made.id, held)
        return attrs.evolve(
            proposal, findings=(*proposal.findings, said), steps=(*proposal.steps, *sheet.steps)
        )


def overload(machine: MachineCase, name: str, held: Figure) -> Finding:
    """Return what the overload's setting means; it blocks where the machine asks for more."""
    beyond = held.value < machine.average_load.value
    return Finding(
        code="static.overload-limits-output",
        severity="blocks" if beyond else "caution",
        where=(machine.id, name),
        parameters=parameters(fraction=held),
    )


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this package."""
    return [Static()]
