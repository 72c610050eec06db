"""A variable-frequency drive of its own for one motor."""

from collections.abc import Sequence

from ampwright.methods.drive.proposal import proposed
from ampwright.methods.drive.refusing import reasons
from ampwright.methods.drive.rewinding import rewound
from ampwright.methods.drive.stepping import behind_transformer
from ampwright.plugin import (
    HERE,
    Case,
    Circuit,
    ConversionMethod,
    Finding,
    MachineCase,
    Proposal,
    Refusal,
    Worksheet,
    hookimpl,
)


class Drive:
    """One drive, one motor, fed by the single-phase supply."""

    id = "drive"
    shared = False
    converts = True
    sets_speed = True

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Serve one machine with one motor and nothing switched behind the drive."""
        names, sheet = tuple(one.id for one in machines), Worksheet(HERE)
        if len(machines) != 1:
            alone = Finding(code="converter.drive-one-motor", severity="blocks", where=names)
            return Refusal(method=self.id, machines=names, reasons=(alone,))
        machine = rewound(case, machines[0], sheet)
        stepped = behind_transformer(case, machine, Worksheet("~"))
        why = reasons(case, machine, stepped=stepped is not None)
        if why:
            return Refusal(method=self.id, machines=names, reasons=why)
        found = proposed(case, machine, sheet)
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
