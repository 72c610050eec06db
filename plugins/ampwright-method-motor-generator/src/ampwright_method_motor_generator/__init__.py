"""A motor-generator set: a single-phase motor that turns a three-phase generator.

The lines behind it have nothing in common with the supply but the shaft, so they are balanced, and
their star point is earthed anew. What the set gives ends with what single-phase motors give.
"""

from collections.abc import Sequence

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
    parameters,
)
from ampwright_method_motor_generator.proposal import proposed
from ampwright_method_motor_generator.setup import because, set_up
from ampwright_method_motor_generator.sizing import Sizing
from ampwright_method_motor_generator.texts import TEXTS

ampwright_interface = "1.0"
NAME = "motor-generator"


class MotorGenerator:
    """One set for any number of machines."""

    id = NAME
    shared = True
    converts = True
    texts = TEXTS

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Size motor and generator for *machines*; refuse what no usual set serves."""
        names = tuple(one.id for one in machines)
        reasons = tuple(because(case, machines))
        if reasons or not machines:
            return Refusal(method=NAME, machines=names, reasons=reasons)
        sheet = Worksheet(HERE)
        sizing = Sizing(set_up(case, machines, sheet), sheet, NAME)
        lacking = sizing.lacking
        if lacking:
            why = Finding(code="motor-generator.too-large", severity="blocks", where=names,
                          parameters=parameters(constraint=lacking))  # fmt: skip
            return Refusal(method=NAME, machines=names, reasons=(why,))
        return proposed(sizing, sheet, NAME)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: drops along its circuits are taken off its starts as of any other."""
        del case, circuits
        return proposal


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this package."""
    return [MotorGenerator()]
