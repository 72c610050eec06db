"""A variable-frequency drive of its own for one motor."""

from collections.abc import Sequence

from ampwright.methods.drive.proposal import proposed
from ampwright.methods.drive.refusing import reasons
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


class Drive:
    """One drive, one motor, fed by the single-phase supply."""

    id = "drive"
    shared = False
    converts = True

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Serve one machine with one motor and nothing switched behind the drive."""
        names = tuple(one.id for one in machines)
        if len(machines) != 1:
            why: tuple[Finding, ...] = (
                Finding(code="converter.drive-one-motor", severity="blocks", where=names),
            )
        else:
            why = reasons(case, machines[0])
        if why:
            return Refusal(method=self.id, machines=names, reasons=why)
        found = proposed(case, machines[0])
        if isinstance(found, Finding):
            return Refusal(method=self.id, machines=names, reasons=(found,))
        return found

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: the drive ramps its motor, so the conductors change no start."""
        del case, circuits
        return proposal


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this package."""
    return [Drive()]
