"""The proposal of real three-phase: circuits, costs, and what there is to say."""

from collections.abc import Iterator, Mapping, Sequence

from ampwright.methods.utility.lines import CONNECTIONS, Lines, asked, usual
from ampwright.methods.utility.sizing import limits
from ampwright.methods.utility.states import SUM, starts, states
from ampwright.plugin import (
    HERE,
    Case,
    CircuitDemand,
    Cost,
    Figure,
    Finding,
    LinkedMachine,
    Proposal,
    Question,
    Source,
    Start,
    SteppedMachine,
    Worksheet,
    about_transformer,
    parameters,
    transformer_circuits,
    with_own_start,
)

PRACTICE = Source(document="common practice", known="practice")
NAME = "utility"


class Wiring:
    """What the circuits on real three-phase have in common."""

    def __init__(self, case: Case, there: Lines, starts: Sequence[Start], sheet: Worksheet) -> None:
        self.case, self.there, self.starts, self.sheet = case, there, starts, sheet

    def length(self) -> Figure:
        """Return the length of the feeder from the meter [m]."""
        known, feeder = self.there.stated, self.case.shop.supply.feeder
        if known.where in ("at-meter", "in-building") and known.distance_m is not None:
            return Figure(float(known.distance_m), "shop/supply/three_phase/distance_m")
        if feeder is not None and feeder.length_m is not None:
            return Figure(float(feeder.length_m), "shop/supply/feeder/length_m")
        return usual("feeder-length", self.sheet.under(f"wiring/output.{NAME}"))

    def circuit(
        self, name: str, role: str, machines: Sequence[LinkedMachine], fed_from: str, length: Figure
    ) -> CircuitDemand:
        """Return a three-phase circuit."""
        part = self.sheet.under(f"wiring/{name}")
        motors = tuple(
            with_own_start(motor.demand, self.starts, self.sheet.prefix)
            for one in machines
            for motor in one.motors
        )
        singles = tuple(demand for one in machines for demand in one.single)
        running = {
            f"{key}_{n}": figure
            for n, one in enumerate(machines)
            for key, figure in one.drawn.items()
        }
        total = part.formula("running_current", "I", "A", " + ".join(running), running, source=SUM)
        factor = part.assumed("power_factor", "cos phi", 0.8, "", source=PRACTICE, low=0.6,
                              high=1.0)  # fmt: skip
        ids = {one.id for one in machines}
        begun = [one for one in self.starts if one.id in ids]
        worst = max(begun, key=lambda one: one.current_a, default=None)
        longest = max((one for one in begun if one.time_s is not None),
                      key=lambda one: one.time_s or 0.0, default=None)  # fmt: skip
        return CircuitDemand(
            id=name,
            role=role,
            feeds=tuple(one.id for one in machines),
            fed_from=fed_from,
            phases=3,
            voltage=self.there.voltage,
            frequency=self.case.supply.frequency,
            length=length,
            motors=(*motors, *singles),
            loads=tuple(load for one in machines for load in one.loads),
            voltage_to_earth=self.there.to_earth,
            running_current=total,
            power_factor=factor,
            starting_current=None if worst is None else self.at(worst, "current_a"),
            starting_power_factor=None
            if worst is None
            else part.assumed("starting_power_factor", "cos phi", 0.4, "", source=PRACTICE,
                              low=0.3, high=0.6),
            starting_time=None if longest is None else self.at(longest, "time_s"),
            sole_machine=len(machines) == 1,
            cord=role == "branch"
            and all("plug-connected" in one.machine.machine.traits for one in machines),
        )  # fmt: skip

    def at(self, start: Start, field: str) -> Figure:
        """Return a figure of a start."""
        path = f"{self.sheet.prefix}/starts/{start.id}/{field}"
        return Figure(float(getattr(start, field)), path)

    def demands(
        self, machines: Sequence[LinkedMachine], stepped: Mapping[str, SteppedMachine]
    ) -> tuple[CircuitDemand, ...]:
        """Return the feeder from the meter and the circuit of each machine.

        A machine that is *stepped* has two, ahead of its transformer and behind.
        """
        feeder = self.circuit(f"output.{NAME}", "output", machines, "", self.length())
        branches: list[CircuitDemand] = []
        for one in machines:
            length = one.machine.length
            branch = self.circuit(f"branch.{one.id}", "branch", (one,), feeder.id, length)
            behind = stepped.get(one.id)
            branches += transformer_circuits(behind, branch, self.sheet) if behind else (branch,)
        return (feeder, *branches)


def costs(there: Lines, sheet: Worksheet) -> tuple[Cost, ...]:
    """Return what it costs once, quoted or rough, and the standing charge a year."""
    known = there.stated
    made = []

    def cost(kind: str, currency: str, low: Figure, high: Figure) -> Cost:
        part = sheet.under(f"costs/{NAME}/{kind}")
        edges = [
            part.formula(name, "C", currency, "c", c=figure).value
            for name, figure in (("low", low), ("high", high))
        ]
        return Cost(id=f"{NAME}/{kind}", kind=kind, low=edges[0], high=edges[1], currency=currency)

    if known.price is not None:
        quoted = Figure(float(known.price), "shop/supply/three_phase/price")
        made.append(cost("purchase", getattr(known.price, "unit", "USD"), quoted, quoted))
    else:
        currency = CONNECTIONS.heads["currency"]
        rough = [
            sheet.under(f"lines/price/{edge}").table(
                "read", "c", float(CONNECTIONS.number(known.where, edge) or 0.0), currency,
                table=CONNECTIONS.id, cell=(known.where, edge), source=CONNECTIONS.source(),
            )
            for edge in ("low", "high")
        ]  # fmt: skip
        made.append(cost("purchase", currency, rough[0], rough[1]))
    if known.yearly_charge is not None:
        charge = Figure(float(known.yearly_charge), "shop/supply/three_phase/yearly_charge")
        made.append(cost("standing", getattr(known.yearly_charge, "unit", "USD"), charge, charge))
    return tuple(made)


def about(
    there: Lines, machines: Sequence[LinkedMachine], paid: Sequence[Cost]
) -> Iterator[Finding]:
    """Yield what there is to say about real three-phase."""
    known, ids = there.stated, tuple(one.id for one in machines)
    if not there.there:
        yield Finding(code="utility.not-there-yet", severity="caution", where=ids,
                      parameters=parameters(place=known.where))  # fmt: skip
    if known.months is not None:
        months = Figure(float(known.months), "shop/supply/three_phase/months")
        yield Finding(code="utility.waits", severity="caution", where=ids,
                      parameters=parameters("months=months", months=months))  # fmt: skip
    if known.price is None:
        yield Finding(code="utility.no-quote", severity="caution", where=ids,
                      parameters=parameters(place=known.where))  # fmt: skip
    for cost in paid:
        if cost.kind == "standing":
            charge = Figure(cost.low, f"{HERE}/costs/{cost.id}/low")
            said = parameters(f"charge={cost.currency}", charge=charge)
            yield Finding(code="plan.tariff-change", severity="info", where=ids, parameters=said)
    for one in machines:
        if one.machine.machine.needs_neutral:
            yield Finding(code="utility.neutral", severity="caution", where=(one.id,))
        if any(motor.relinked is not False for motor in one.motors) and any(
            len(motor.linkings) > 1 for motor in one.motors
        ):
            said = parameters("rated=V", rated=one.motors[0].demand.voltage)
            yield Finding(code="machine.relink-consequences", severity="caution", where=(one.id,),
                          parameters=said)  # fmt: skip


def questions(there: Lines, machines: Sequence[LinkedMachine]) -> tuple[Question, ...]:
    """Return what should be asked of the utility and of the machines."""
    found = list(there.questions)
    feeder = there.stated.distance_m
    if feeder is None and there.there:
        found.append(asked("distance", "figures"))
    found += [
        Question(code="motor.linked-for", where=(one.id,), changes="safety",
                 field=f"machines.{one.id}.motors[{n}].linked_for")
        for one in machines
        for n, motor in enumerate(one.motors)
        if motor.relinked is None
    ]  # fmt: skip
    return tuple(found)


def proposal(
    case: Case,
    there: Lines,
    machines: Sequence[LinkedMachine],
    stepped: Mapping[str, SteppedMachine],
    sheet: Worksheet,
) -> Proposal:
    """Return the proposal for *machines* on *there*."""
    points = states(case, there, machines, sheet)
    begun = starts(there, machines, sheet)
    paid = costs(there, sheet)
    order = sorted(machines, key=lambda one: (-one.machine.equal_kva.value, one.id))
    return Proposal(
        method=NAME,
        machines=tuple(one.id for one in machines),
        demands=Wiring(case, there, begun, sheet).demands(machines, stepped),
        transformers=tuple(one.transformer for one in stepped.values()),
        states=points,
        starts=begun,
        limits=limits(case, machines, NAME, sheet),
        sequence=tuple(one.id for one in order),
        costs=paid,
        own_supply=True,
        findings=(
            *about(there, machines, paid),
            *(said for one in stepped.values() for said in about_transformer(one, HERE)),
        ),
        assumptions=there.assumptions,
        questions=questions(there, machines),
        steps=sheet.steps,
    )
