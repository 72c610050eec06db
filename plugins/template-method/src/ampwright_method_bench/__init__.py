"""A bench converter: a box that makes three-phase for one small motor."""

from collections.abc import Mapping, Sequence

from ampwright.plugin import (
    HERE,
    Case,
    Circuit,
    ConversionMethod,
    Finding,
    MachineCase,
    Proposal,
    Refusal,
    Source,
    Validity,
    Worksheet,
    hookimpl,
)
from ampwright_method_bench.sizing import Bench, chosen

ampwright_interface = "1.0"


class BenchConverter:
    """One box, one motor."""

    id = "bench"
    shared = False  # it serves one machine at a time
    converts = True  # it makes three-phase
    validity = Validity(
        power_w=(0.0, 2300.0), source=Source(document="the series of sizes", known="practice")
    )
    texts: Mapping[str, Mapping[str, str]] = {
        "methods": {"bench": "bench converter"},
        "method_runs": {"bench": "on a bench converter of its own"},
        "findings": {
            "bench.one-motor": "It runs one three-phase motor that suits the supply's voltage.",
            "bench.hard-start": "The machine asks for more torque at standstill than it gives.",
            "bench.leave-plugged": "Switch the machine by the box, not by a plug behind it.",
        },
    }

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Size a box for one machine; refuse with a reason what it is not for."""
        names = tuple(one.id for one in machines)
        if len(machines) != 1:
            return self.refused(names, "bench.one-motor")
        (machine,) = machines
        alone = len(machine.motors) == 1 and not machine.loads and not machine.single_phase
        if not alone or not machine.motors[0].fits:
            return self.refused(names, "bench.one-motor")
        sheet = Worksheet(HERE)
        size = chosen(machine.motors[0], sheet)
        if size is None:
            return self.refused(names, "bench.one-motor")
        box = Bench(case, machine, size, sheet)
        start = box.start()
        if start is None:
            return self.refused(names, "bench.hard-start")
        states, made = box.states(), box.converter()
        said = Finding(code="bench.leave-plugged", severity="caution", where=(machine.id, made.id))
        return Proposal(
            method=self.id,
            machines=names,
            converters=(made,),
            demands=box.demands(made, states, start),
            states=states,
            starts=(start,),
            limits=box.limits(),
            sequence=names,
            findings=(said,),
            steps=sheet.steps,
        )

    def refused(self, names: tuple[str, ...], code: str) -> Refusal:
        """Return a refusal with one reason."""
        reason = Finding(code=code, severity="blocks", where=names)
        return Refusal(method=self.id, machines=names, reasons=(reason,))

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: the conductors change nothing in it."""
        del case, circuits
        return proposal


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this package."""
    return [BenchConverter()]
