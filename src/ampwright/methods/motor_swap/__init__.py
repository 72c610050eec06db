"""Another motor: single-phase, of a usual size; or the machine exchanged for such a one."""

from collections.abc import Sequence

from ampwright.methods.motor_swap.proposal import proposed
from ampwright.methods.motor_swap.refusing import reasons
from ampwright.plugin import (
    Case,
    Circuit,
    ConversionMethod,
    Finding,
    MachineCase,
    Proposal,
    Refusal,
    hookimpl,
)


class MotorSwap:
    """The three-phase motors of one machine exchanged for single-phase ones."""

    id = "motor-swap"
    shared = False
    converts = True

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Serve one machine with motors of the table's sizes, or with one sold for one phase."""
        names = tuple(one.id for one in machines)
        if len(machines) != 1:
            alone = Finding(code="motor-swap.one-machine", severity="blocks", where=names)
            return Refusal(method=self.id, machines=names, reasons=(alone,))
        (machine,) = machines
        why = reasons(case, machine)
        found = () if why else proposed(case, machine)
        if isinstance(found, Proposal):
            return found
        return Refusal(method=self.id, machines=names, reasons=(*why, *found))

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: the drop along its circuit is taken off its start as of any other."""
        del case, circuits
        return proposal


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this package."""
    return [MotorSwap()]
