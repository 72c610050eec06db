"""A rotary converter: an idler motor that makes the third leg for all machines behind it."""

from collections.abc import Iterator, Sequence

import attrs

from ampwright.methods.rotary.cautions import about, asked
from ampwright.methods.rotary.plate import converter
from ampwright.methods.rotary.setup import Setup, set_up
from ampwright.methods.rotary.sizing import Sizing, limits_of, sizing, smallest
from ampwright.methods.rotary.starts import start_capacitance, starts
from ampwright.methods.rotary.states import idler_steps, states
from ampwright.methods.rotary.wiring import demands
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

NAME = "rotary"


class Rotary:
    """One idler and its capacitors for any number of machines."""

    id = NAME
    shared = True
    converts = True

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Size the idler for *machines*; refuse what must not stand on a made leg."""
        names = tuple(one.id for one in machines)
        reasons = tuple(reason for one in machines for reason in because(one))
        if reasons or not machines:
            return Refusal(method=self.id, machines=names, reasons=reasons)
        setup = set_up(case, tuple(machines))
        tries = sizing(setup)
        place = smallest(tries)
        if place is None:
            too_small = Finding(
                code="converter.idler-too-small",
                severity="blocks",
                where=names,
                parameters=parameters(largest=tries.sizes[-1].name if tries.sizes else "none"),
            )
            return Refusal(method=self.id, machines=names, reasons=(too_small,))
        return proposal(setup, tries, place)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal* with what each constraint alone would ask for.

        That takes as many trials as the sizing itself, and is wanted for what is kept only.
        """
        del circuits
        setup = set_up(case, tuple(case.machine(name) for name in proposal.machines))
        tries = sizing(setup)
        (made,) = proposal.converters
        place = next(n for n, one in enumerate(tries.sizes) if one.power_w == made.idler_power_w)
        sheet = Worksheet(HERE)
        inputs = [("U", case.supply.voltage), ("Z", case.supply.impedance)]
        bounds = limits_of(tries, place, NAME, sheet.under("limits"), inputs)
        return attrs.evolve(proposal, limits=bounds, steps=(*proposal.steps, *sheet.steps))


def because(machine: MachineCase) -> Iterator[Finding]:
    """Yield the reasons why a machine must not stand behind a rotary converter."""
    where = (machine.id,)
    if not machine.motors:
        yield Finding(code="machine.resistive-load-no-conversion", severity="blocks", where=where)
    if machine.machine.needs_neutral:
        yield Finding(code="machine.needs-neutral", severity="blocks", where=where)
    for motor in machine.motors:
        if not motor.fits:
            yield Finding(code="supply.voltage-mismatch", severity="blocks", where=where,
                          parameters=parameters("rated=V", rated=motor.demand.voltage))  # fmt: skip
    for load in machine.loads:
        if not load.fits:
            yield Finding(code="supply.voltage-mismatch", severity="blocks", where=where)


def proposal(setup: Setup, tries: Sizing, place: int) -> Proposal:
    """Return the proposal with the idler at *place*."""
    trial = tries.trial(place)
    sheet = Worksheet(HERE)
    idler_steps(trial, NAME, sheet)
    points = states(setup, trial, NAME, sheet)
    begun = starts(setup, trial, NAME, sheet)
    made = converter(setup, trial, points, start_capacitance(setup, trial), NAME, sheet)
    circuits = demands(setup, trial, made, points, begun, sheet)
    order = sorted(setup.machines, key=lambda one: (-one.equal_kva.value, one.id))
    return Proposal(
        method=NAME,
        machines=made.machines,
        converters=(made,),
        demands=circuits,
        states=points,
        starts=begun,
        sequence=(NAME, *(one.id for one in order)),
        findings=tuple(about(setup, trial, made, points, HERE)),
        questions=asked(setup),
        steps=sheet.steps,
    )


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this package."""
    return [Rotary()]
