"""Real three-phase: at the meter, behind another meter, in the street, or to be built out."""

from collections.abc import Iterator, Sequence

from ampwright.methods.utility.lines import Lines, lines
from ampwright.methods.utility.proposal import proposal
from ampwright.methods.utility.sizing import beyond
from ampwright.plugin import (
    HERE,
    Case,
    Circuit,
    ConversionMethod,
    Finding,
    LinkedMachine,
    MachineCase,
    Proposal,
    Refusal,
    SteppedMachine,
    Worksheet,
    behind_transformer,
    hookimpl,
    machine_at,
    parameters,
)


class Utility:
    """Real three-phase for any number of machines, as it is or could be had."""

    id = "utility"
    shared = True
    converts = True

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Put *machines* on real three-phase; refuse where there is none or it does not suit."""
        names = tuple(one.id for one in machines)
        known = case.shop.supply.three_phase
        if known is None or known.where == "none" or not machines:
            code = "utility.not-asked" if known is None else "utility.none"
            reason = Finding(code=code, severity="blocks", where=names)
            return Refusal(method=self.id, machines=names, reasons=(reason,))
        sheet = Worksheet(HERE)
        there = lines(case, known, sheet)
        if there is None:
            volts = parameters("supply=V", supply=case.supply.voltage)
            reason = Finding(code="utility.voltage-unknown", severity="blocks", where=names,
                             parameters=volts)  # fmt: skip
            return Refusal(method=self.id, machines=names, reasons=(reason,))
        stepped: dict[str, SteppedMachine] = {}
        found = []
        for one in machines:
            plain = machine_at(one, case.supply.voltage, there.voltage, Worksheet("~"))
            other = behind(case, there, one, sheet) if plain.misfit else None
            if other is not None:
                stepped[one.id] = other
                found.append(other.referred)
            else:
                found.append(machine_at(one, case.supply.voltage, there.voltage, sheet))
        reasons = tuple(unsuited(found))
        if not reasons:
            reasons = beyond(case, there, found)
        if reasons:
            return Refusal(method=self.id, machines=names, reasons=reasons)
        return proposal(case, there, found, stepped, sheet)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: drops along its circuits are taken off its starts as of any other."""
        del case, circuits
        return proposal


def behind(
    case: Case, there: Lines, machine: MachineCase, sheet: Worksheet
) -> SteppedMachine | None:
    """Return *machine* behind a transformer on the lines; ``None`` where none leads there."""
    volts, hertz = case.supply.voltage, case.supply.frequency.value
    return behind_transformer(machine, volts, there.voltage, hertz, sheet)


def unsuited(machines: Sequence[LinkedMachine]) -> Iterator[Finding]:
    """Yield a reason for each machine that its voltage keeps off the lines."""
    for one in machines:
        if one.misfit:
            yield Finding(code="supply.voltage-mismatch", severity="blocks", where=(one.id,),
                          parameters=parameters(rated=one.misfit))  # fmt: skip


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this package."""
    return [Utility()]
