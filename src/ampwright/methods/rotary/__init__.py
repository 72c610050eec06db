"""A rotary converter: idler motors that make the third leg for all machines behind it."""

from collections.abc import Iterator, Mapping, Sequence

from ampwright.methods.rotary.beside import Beside, smallest
from ampwright.methods.rotary.cautions import about, asked
from ampwright.methods.rotary.idlers import Idler
from ampwright.methods.rotary.plate import converter
from ampwright.methods.rotary.pony import about as about_pony
from ampwright.methods.rotary.second import about_joined, joined, limits_beside
from ampwright.methods.rotary.setup import set_up
from ampwright.methods.rotary.several import SECOND, biggest, in_parallel, second, side_by_side
from ampwright.methods.rotary.several import about as about_several
from ampwright.methods.rotary.sizing import Sizing, limits_of
from ampwright.methods.rotary.starts import pony_start, starts
from ampwright.methods.rotary.states import idler_steps, states
from ampwright.methods.rotary.trial import Trial
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
    SteppedMachine,
    Worksheet,
    about_transformer,
    behind_transformer,
    hookimpl,
    parameters,
)

NAME = "rotary"
#: Loads that are heat: they need no three-phase.
HEAT = ("resistive", "lamp")


class Rotary:
    """One idler and its capacitors for any number of machines."""

    id = NAME
    shared = True
    converts = True

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Size the idler for *machines*; refuse what must not stand on a made leg."""
        names, sheet = tuple(one.id for one in machines), Worksheet(HERE)
        stepped = behind_transformers(case, machines, sheet)
        served = tuple(stepped[one.id].case if one.id in stepped else one for one in machines)
        reasons = tuple(reason for one in served for reason in because(case, one, stepped))
        if reasons or not machines:
            return Refusal(method=self.id, machines=names, reasons=reasons)
        setup = set_up(case, served)
        tries = Sizing(setup)
        found = tries.smallest()
        if found is None and tries.sizes:
            several = side_by_side(tries)
            if several is not None:
                tries, found = several[0], several[1:]
        if found is None:
            too_small = Finding(
                code="converter.idler-too-small",
                severity="blocks",
                where=names,
                parameters=(
                    *parameters(largest=tries.sizes[-1].name if tries.sizes else "none"),
                    *(in_parallel(tries) if tries.sizes else ()),
                ),
            )
            return Refusal(method=self.id, machines=names, reasons=(too_small,))
        return proposal(tries, *found, stepped, sheet)

    def variants(
        self, case: Case, machines: Sequence[MachineCase], answer: Proposal
    ) -> tuple[Proposal, ...]:
        """Return what serves *machines* as well as *answer*, for the planner to weigh.

        It is a second idler of another size for the one big machine, where one is worth a look.
        """
        if not any(one.code == SECOND for one in answer.findings):
            return ()
        sheet = Worksheet(HERE)
        stepped = behind_transformers(case, machines, sheet)
        served = tuple(stepped[one.id].case if one.id in stepped else one for one in machines)
        tries = Sizing(set_up(case, served))
        big = biggest(tries)
        found = smallest(tries, big) if big is not None else None
        return (proposal_beside(*found, stepped, sheet),) if found is not None else ()

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: the planner takes the drop of the conductors off its starts."""
        del case, circuits
        return proposal


def behind_transformers(
    case: Case, machines: Sequence[MachineCase], sheet: Worksheet
) -> dict[str, SteppedMachine]:
    """Return by id the machines that no link fits to the supply, each behind its transformer."""
    found = {}
    volts, hertz = case.supply.voltage, case.supply.frequency.value
    for one in machines:
        if all(motor.fits for motor in one.motors) and all(load.fits for load in one.loads):
            continue
        stepped = behind_transformer(one, volts, volts, hertz, sheet) if one.motors else None
        if stepped is not None:
            found[one.id] = stepped
    return found


def because(
    case: Case, machine: MachineCase, stepped: Mapping[str, SteppedMachine]
) -> Iterator[Finding]:
    """Yield the reasons why a machine must not stand behind a rotary converter.

    It keeps the supply's frequency, so a motor made for another one only is not for it.
    """
    where, hertz = (machine.id,), case.supply.frequency
    if not machine.motors:
        others = dict.fromkeys(one.load.kind for one in machine.loads if one.load.kind not in HEAT)
        code = "converter.motors-only" if others else "machine.resistive-load-no-conversion"
        said = parameters(kind=", ".join(others)) if others else ()
        yield Finding(code=code, severity="blocks", where=where, parameters=said)
    if machine.machine.needs_neutral:
        yield Finding(code="machine.needs-neutral", severity="blocks", where=where)
    for motor in machine.motors:
        if not motor.fits and machine.id not in stepped:
            yield Finding(code="supply.voltage-mismatch", severity="blocks", where=where,
                          parameters=parameters("rated=V", rated=motor.demand.voltage))  # fmt: skip
        if abs(motor.frequency.value - hertz.value) >= 1.0:
            said = parameters("rated=Hz supply=Hz", rated=motor.frequency, supply=hertz)
            yield Finding(code="supply.frequency-mismatch", severity="blocks", where=where,
                          parameters=said)  # fmt: skip
    for load in machine.loads:
        if not load.fits and machine.id not in stepped:
            yield Finding(code="supply.voltage-mismatch", severity="blocks", where=where)


def proposal(
    tries: Sizing,
    place: int,
    trial: Trial,
    stepped: Mapping[str, SteppedMachine],
    sheet: Worksheet,
) -> Proposal:
    """Return the proposal with the idler at *place*, as built."""
    setup = tries.setup
    idler_steps(trial, NAME, sheet)
    points = states(trial, NAME, sheet)
    led = pony_start(trial)
    begun = starts(trial, NAME, sheet, led)
    made = converter(trial, points, NAME, sheet, led=led is not None)
    inputs = [("U", setup.case.supply.voltage), ("Z", setup.case.supply.impedance)]
    bounds = limits_of(tries, place, NAME, sheet.under("limits"), inputs)
    order = sorted(setup.machines, key=lambda one: (-one.equal_kva.value, one.id))
    return Proposal(
        method=NAME,
        machines=made.machines,
        converters=(made,),
        transformers=tuple(one.transformer for one in stepped.values()),
        demands=demands(trial, made, points, begun, sheet, stepped),
        states=points,
        starts=begun,
        limits=bounds,
        sequence=(NAME, *(one.id for one in order)),
        findings=(
            *about(trial, made, points, HERE, sheet),
            *([about_several(trial.idler, NAME, HERE)] if trial.idler.abreast > 1 else []),
            *([about_pony(trial, led, NAME, HERE, sheet)] if led is not None else []),
            *([more] if (more := second(tries, place, NAME, sheet)) is not None else []),
            *(said for one in stepped.values() for said in about_transformer(one, HERE)),
        ),
        questions=asked(setup),
        steps=sheet.steps,
    )


def proposal_beside(
    small: tuple[Sizing, int],
    sizes: Sequence[Idler],
    trial: Beside,
    stepped: Mapping[str, SteppedMachine],
    sheet: Worksheet,
) -> Proposal:
    """Return the proposal with two idlers of different sizes, as built."""
    setup = trial.setup
    idler_steps(trial, NAME, sheet)
    points = states(trial, NAME, sheet)
    led = pony_start(trial)
    begun = starts(trial, NAME, sheet, led)
    made = converter(trial, points, NAME, sheet, led=led is not None)
    more = joined(trial, points, NAME, sheet)
    inputs = [("U", setup.case.supply.voltage), ("Z", setup.case.supply.impedance)]
    bounds = sheet.under("limits")
    order = sorted(setup.machines, key=lambda one: (-one.equal_kva.value, one.id))
    return Proposal(
        method=NAME,
        machines=made.machines,
        converters=(made, more),
        transformers=tuple(one.transformer for one in stepped.values()),
        demands=demands(trial, made, points, begun, sheet, stepped, more),
        states=points,
        starts=begun,
        limits=(
            *limits_of(*small, NAME, bounds, inputs),
            *limits_beside(trial, sizes, NAME, bounds),
        ),
        sequence=(NAME, more.id, *(one.id for one in order)),
        findings=(
            *about(trial, made, points, HERE, sheet),
            about_joined(trial, NAME, HERE),
            *([about_pony(trial, led, NAME, HERE, sheet)] if led is not None else []),
            *(said for one in stepped.values() for said in about_transformer(one, HERE)),
        ),
        questions=asked(setup),
        steps=sheet.steps,
    )


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this package."""
    return [Rotary()]
