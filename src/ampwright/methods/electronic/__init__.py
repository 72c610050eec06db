"""An electronic converter with sine output, for one machine or several."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from ampwright.methods.electronic.plate import converter
from ampwright.methods.electronic.setup import Setup, because, chosen, planning, set_up
from ampwright.methods.electronic.sizing import Sizing
from ampwright.methods.electronic.states import starts, states
from ampwright.methods.electronic.wiring import demands
from ampwright.plugin import (
    HERE,
    Case,
    Circuit,
    ConversionMethod,
    Converter,
    Figure,
    Finding,
    MachineCase,
    Proposal,
    Question,
    Refusal,
    Worksheet,
    hookimpl,
    parameters,
    read_table,
)

NAME = "electronic"
CAUTIONS = read_table(Path(__file__).with_name("cautions.csv"))


class Electronic:
    """One converter with balanced sine output for any number of machines."""

    id = NAME
    shared = True
    converts = True

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Size the converter for *machines*; refuse heaters, and what no output voltage suits."""
        names = tuple(one.id for one in machines)
        reasons = tuple(because(case, machines))
        if reasons or not machines:
            return Refusal(method=self.id, machines=names, reasons=reasons)
        sheet = Worksheet(HERE)
        place, _ = chosen(case, machines)
        sizing = Sizing(set_up(case, machines, place, sheet), sheet, NAME)
        if sizing.chosen() is None:
            too_large = Finding(code="electronic.too-large", severity="blocks", where=names)
            return Refusal(method=self.id, machines=names, reasons=(too_large,))
        return proposal(sizing, sheet)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal*: drops along its circuits are taken off its starts as of any other."""
        del case, circuits
        return proposal


def proposal(sizing: Sizing, sheet: Worksheet) -> Proposal:
    """Return the proposal at the smallest rating that meets every constraint."""
    setup, size = sizing.setup, sizing.chosen()
    if size is None:
        raise ValueError("no rating was found")
    bounds = sizing.limits(size)
    governing = next(one for one in bounds if one.governs)
    rating = Figure(size.rating_va, f"{sheet.prefix}/limits/{governing.id}/asks")
    points = states(setup, rating, NAME, sheet)
    begun = starts(sizing, rating, NAME, sheet)
    made = converter(setup, rating, points, NAME, sheet)
    order = sorted(setup.machines, key=lambda one: (-one.machine.equal_kva.value, one.id))
    return Proposal(
        method=NAME,
        machines=made.machines,
        converters=(made,),
        demands=demands(setup, made, points, begun, sheet),
        states=points,
        starts=begun,
        limits=bounds,
        sequence=(NAME, *(one.id for one in order)),
        findings=(*about(setup, made), *of_starts(sizing)),
        questions=asked(setup),
        steps=sheet.steps,
    )


def about(setup: Setup, made: Converter) -> Iterator[Finding]:
    """Yield what there is to say about the converter and the machines behind it."""
    ids = (made.id, *made.machines)
    place = f"{HERE}/converters/{made.id}"
    yield Finding(code="converter.capacitor-discharge", severity="caution", where=ids)
    yield Finding(code="site.converter-place", severity="caution", where=ids)
    yield Finding(code="plan.equipment-approval", severity="caution", where=ids)
    idle = Figure(made.losses_w, f"{place}/losses_w")
    yield Finding(code="plan.idle-cost", severity="info", where=(made.id,),
                  parameters=parameters("losses=W", losses=idle))  # fmt: skip
    if not made.given:
        drawn = Figure(made.input_current_a, f"{place}/input_current_a")
        yield Finding(code="plan.recheck-on-plate", severity="info", where=(made.id,),
                      parameters=parameters("current=A", current=drawn))  # fmt: skip
    if setup.raised:
        volts = Figure(made.output_voltage_v, f"{place}/output_voltage_v")
        yield Finding(code="electronic.raises-voltage", severity="caution", where=ids,
                      parameters=parameters("output=V", output=volts))  # fmt: skip
    yield from of_machines(setup, made)


def of_starts(sizing: Sizing) -> Iterator[Finding]:
    """Yield what the order of starting asks, and what a soft start means for controls."""
    for one in sizing.soft.values():
        sets = [[each.id for each in inside] for _, inside in sizing.setup.sets]
        if any(one.id in inside and len(inside) > 1 for inside in sets):
            yield Finding(code="electronic.start-order", severity="caution", where=(one.id,))
        if one.machine.machine.controls not in ("none", "supply-lines"):
            yield Finding(code="control.dropout-at-start", severity="caution", where=(one.id,))


def of_machines(setup: Setup, made: Converter) -> Iterator[Finding]:
    """Yield what the facts of each machine mean for the converter."""
    for one in setup.machines:
        said = set()
        for row in CAUTIONS.rows:
            if one.machine.states(row["field"], row["value"]) and row["code"] not in said:
                said.add(row["code"])
                yield Finding(code=row["code"], severity=row["severity"], where=(one.id, made.id))
        if any(load.load.kind == "welder" for load in one.machine.loads):
            yield Finding(code="machine.electronic-input", severity="caution", where=(one.id,))
        if any(load.load.regenerates for load in one.machine.loads):
            yield Finding(code="machine.regenerative-input", severity="caution", where=(one.id,))
        if one.machine.machine.controls == "made-leg":
            yield Finding(code="control.manufactured-leg", severity="caution", where=(one.id,))
        if any(motor.relinked is not False for motor in one.motors):
            volts = one.motors[0].demand.voltage
            yield Finding(code="machine.relink-consequences", severity="caution", where=(one.id,),
                          parameters=parameters("rated=V", rated=volts))  # fmt: skip
        yield from of_balance(setup, one.machine, made)


def of_balance(setup: Setup, machine: MachineCase, made: Converter) -> Iterator[Finding]:
    """Yield a finding where the machine stands less unbalance than the converter may have."""
    limit = machine.machine.unbalance_limit
    if limit is None:
        return
    state = f"{HERE}/states/{made.id}/idle"
    off = Figure(planning("output-unbalance"), f"{state}/deviation_fraction")
    if limit < off.value:
        yield Finding(
            code="converter.balance-out-of-limits", severity="blocks", where=(machine.id,),
            parameters=parameters(
                unbalance=off,
                limit=Figure(float(limit), f"{setup.case.stated_at(machine.id)}/unbalance_limit"),
            ),
        )  # fmt: skip


def asked(setup: Setup) -> tuple[Question, ...]:
    """Return the questions whose answers an electronic converter hangs on."""
    found = [
        Question(code="machine.controls", field=f"machines.{one.id}.controls", where=(one.id,),
                 changes="safety")
        for one in setup.machines
        if one.machine.machine.controls in (None, "unknown")
    ]  # fmt: skip
    found += [
        Question(code="motor.linked-for", where=(one.id,), changes="safety",
                 field=f"machines.{one.id}.motors[{n}].linked_for")
        for one in setup.machines
        for n, motor in enumerate(one.motors)
        if motor.relinked is None
    ]  # fmt: skip
    return tuple(found)


@hookimpl
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Offer the one method of this package."""
    return [Electronic()]
