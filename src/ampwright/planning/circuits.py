"""Circuits: what a draft needs is put to the wiring code, from the panel outwards."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import attrs

from ampwright.case import Case, RunningSet
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter, Window
from ampwright.equipment.transformer import Transformer
from ampwright.finding import Assumption, Finding, Question
from ampwright.method import Proposal, State
from ampwright.planning.assembly import Draft
from ampwright.planning.clauses import with_clauses
from ampwright.planning.fault_paths import Ahead, with_fault_path
from ampwright.planning.made_lines import with_made_lines
from ampwright.records.site import Site
from ampwright.region import CircuitAnswer, CircuitDemand, Region, ServiceAnswer, ServiceDemand
from ampwright.step import Figure, Step, Worksheet, rebased
from ampwright.tables import Source

SUM = Source(document="sum of active and reactive powers", known="derived")
IN_SERIES = Source(document="drops along circuits in series", known="derived")


@attrs.frozen(kw_only=True)
class Equipped:
    """A draft with its circuits.

    Attributes:
        draft: The draft, every path in it moved to the option.
        place: Path of the option.
        circuits: The circuits, from the panel outwards.
        service: What the wiring code says of the service.
        totals: The whole single-phase side, one state a running set.
        findings: What the wiring code had to say about the circuits.
        assumptions: What the circuits rest on.
        questions: What should be asked about them.
        steps: Steps of the service, the totals and the windows.
    """

    draft: Draft
    place: str
    circuits: tuple[Circuit, ...]
    service: ServiceAnswer
    totals: tuple[State, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
    questions: tuple[Question, ...]
    steps: tuple[Step, ...]


def outwards(demands: Iterable[CircuitDemand]) -> list[CircuitDemand]:
    """Return *demands* so that each stands behind the one that feeds it."""
    waiting = list(demands)
    ids = {one.id for one in waiting}
    placed: list[CircuitDemand] = []
    done: set[str] = set()
    while waiting:
        ready = [one for one in waiting if one.fed_from not in ids or one.fed_from in done]
        if not ready:
            raise ValueError(f"circuits feed each other in a ring: {[one.id for one in waiting]}")
        placed += ready
        done |= {one.id for one in ready}
        waiting = [one for one in waiting if one.id not in done]
    return placed


def behind(
    demand: CircuitDemand, answers: Mapping[str, CircuitAnswer], place: str
) -> tuple[CircuitDemand, tuple[Step, ...]]:
    """Return *demand* with the drop of all circuits ahead of it, as they were sized, and its steps.

    What drives a generator is no conductor to what it generates.
    """
    drops: dict[str, Figure] = {}
    ahead = answers.get(demand.fed_from)
    while ahead is not None and (one := ahead.circuit) is not None and one.role != "idler":
        path = f"{place}/circuits/{one.id}/voltage_drop_fraction"
        drops[f"d{len(drops)}"] = Figure(one.voltage_drop_fraction, path)
        ahead = answers.get(one.fed_from)
    if len(drops) <= 1:
        return attrs.evolve(demand, drop_ahead=drops.get("d0")), ()
    sheet = Worksheet(f"{place}/wiring/{demand.id}")
    total = sheet.formula("drop_ahead", "u_a", "", " + ".join(drops), drops, source=IN_SERIES)
    return attrs.evolve(demand, drop_ahead=total), sheet.steps


def plugged(demand: CircuitDemand, case: Case) -> CircuitDemand:
    """Return *demand* ending in cord and plug, where its one machine is connected so."""
    ends = {
        one.id
        for one in case.machines
        if one.machine.plug is not None or "plug-connected" in one.machine.traits
    }
    if demand.role != "branch" or not demand.feeds or not set(demand.feeds) <= ends:
        return demand
    return attrs.evolve(demand, cord=True)


def with_neutral(demand: CircuitDemand, case: Case) -> CircuitDemand:
    """Return *demand* with the neutral that what it feeds needs, and the harmonics in it.

    It comes beside three lines, or beside both of a supply that brings one. Of several machines the
    largest share counts: together they cannot have more.
    """
    needing = [one for one in case.machines if one.id in demand.feeds and one.machine.needs_neutral]
    between = case.supply.to_neutral is not None and demand.voltage == case.supply.voltage
    if not needing or not (demand.phases == 3 or between):
        return demand
    shares = [
        Figure(float(one.machine.third_harmonic), f"{case.stated_at(one.id)}/third_harmonic")
        for one in needing
        if one.machine.third_harmonic is not None
    ]
    known = len(shares) == len(needing)
    largest = max(shares, key=lambda one: one.value) if known else None
    return attrs.evolve(demand, neutral=True, third_harmonic=largest)


def on_own_sources(
    demands: Sequence[CircuitDemand],
    transformers: Mapping[str, Transformer],
    converters: Iterable[Converter] = (),
) -> Iterator[CircuitDemand]:
    """Yield *demands*, outwards, those behind separate windings as hanging on a source of its own.

    An autotransformer parts nothing.
    """
    apart = {one.id for one in converters if one.own_source}
    apart |= {one.id for one in transformers.values() if one.kind == "isolating"}
    stepping = {one.id for one in demands if not transformers.keys().isdisjoint(one.feeds)}
    parting = {one.id for one in demands if not apart.isdisjoint(one.feeds)}
    for demand in demands:
        if demand.fed_from in parting or demand.own_source:
            parting.add(demand.id)
        if demand.fed_from in stepping:
            stepping.add(demand.id)
        yield (
            attrs.evolve(
                demand,
                own_source=demand.own_source or demand.fed_from in parting,
                stepped=demand.fed_from in stepping,
            )
            if apart or transformers
            else demand
        )


def along(demand: CircuitDemand, case: Case) -> Site:
    """Return the site as the cable of *demand* finds it: along a machine's route, if one is stated.

    A circuit follows the route of the machine whose length it has.
    """
    site = case.shop.site
    route = next(
        (one.machine.route for one in case.machines if one.length.path == demand.length.path), None
    )
    if route is None:
        return site
    own: dict[str, Any] = {
        "installation": route.installation,
        "ambient": route.ambient_c,
        "grouped_circuits": route.grouping,
    }
    own = {name: value for name, value in own.items() if value is not None}
    if own.get("installation", site.installation) != site.installation:
        own["raceway"] = None  # what was said of the site's is not said of another way of laying
    return attrs.evolve(site, **own)


def windowed(
    proposal: Proposal, windows: Sequence[Window], place: str
) -> tuple[Proposal, tuple[Step, ...]]:
    """Return *proposal* with each converter's windows in it, and the steps that lead to them."""
    sheet = Worksheet(f"{place}/converters")
    converters = []
    for converter in proposal.converters:
        fed = {one.id for one in proposal.demands if converter.id in one.feeds}
        own = tuple(one for one in windows if one.id in fed)
        for window in own:
            part = sheet.under(f"{converter.id}/window/{window.id}")
            for name in ("largest_input_current_a", "smallest_input_current_a"):
                path = f"{place}/circuits/{window.id}/window/{name}"
                part.formula(name, "I_plate", "A", "i", i=Figure(getattr(window, name), path))
        converters.append(attrs.evolve(converter, window=own))
    return attrs.evolve(proposal, converters=tuple(converters)), sheet.steps


def total(
    case: Case, running: RunningSet, proposals: Sequence[Proposal], place: str
) -> tuple[State, tuple[Step, ...]]:
    """Return the state of the whole single-phase side while *running* runs."""
    name = f"supply/{running.id}"
    sheet = Worksheet(f"{place}/states/{name}")
    parts = [
        state
        for proposal in proposals
        if not proposal.own_supply
        for state in proposal.states
        if (state.set == running.id and state.load == "full")
        or (state.set == "idle" and not any(one.set == running.id for one in proposal.states))
    ]
    figures: dict[str, dict[str, Figure]] = {"P": {}, "q": {}, "L": {}}
    for n, state in enumerate(parts):
        path = f"{place}/states/{state.id}"
        power = Figure(state.input_power_w, f"{path}/input_power_w")
        figures["P"][f"P{n}"] = power
        figures["L"][f"L{n}"] = Figure(state.losses_w, f"{path}/losses_w")
        drawn = Figure(state.input_current_a, f"{path}/input_current_a")
        figures["q"][f"Q{n}"] = sheet.formula(
            f"reactive/{n}", "Q", "var", "sqrt(max((U * I) ** 2 - P ** 2, 0))",
            U=case.supply.voltage, I=drawn, P=power, source=SUM,
        )  # fmt: skip

    def summed(names: Iterable[str]) -> str:
        return " + ".join(names) or "0"

    power = sheet.formula("input_power_w", "P", "W", summed(figures["P"]), figures["P"])
    reactive = sheet.formula("reactive", "Q", "var", summed(figures["q"]), figures["q"])
    losses = sheet.formula("losses_w", "P_loss", "W", summed(figures["L"]), figures["L"])
    current = sheet.formula(
        "input_current_a", "I", "A", "sqrt(P ** 2 + Q ** 2) / U", P=power, Q=reactive,
        U=case.supply.voltage, source=SUM,
    )  # fmt: skip
    if current.value > 0.0:
        factor = sheet.formula("input_power_factor", "lambda", "", "P / (U * I)", P=power,
                               U=case.supply.voltage, I=current)  # fmt: skip
    else:
        factor = sheet.formula("input_power_factor", "lambda", "", "1")
    served = {machine for proposal in proposals for machine in proposal.machines}
    names = [one for one in running.machines if one in served]
    equal = {f"I{n}": case.machine(one).equal_kva for n, one in enumerate(names)}
    alike = sheet.formula("equal_kva_current_a", "I_eq", "A", summed(equal), equal)
    state = State(
        id=name, set=running.id, converter="", running=tuple(names),
        input_current_a=current.value, input_power_w=power.value,
        input_power_factor=factor.value, losses_w=losses.value, equal_kva_current_a=alike.value,
    )  # fmt: skip
    return state, sheet.steps


def worst(totals: Sequence[State]) -> State:
    """Return the state with the largest current."""
    return max(totals, key=lambda one: (one.input_current_a, one.id))


def start_demand(
    proposals: Sequence[Proposal], totals: Sequence[State], place: str
) -> tuple[Figure, tuple[Step, ...]]:
    """Return the largest current during a start, with everything else of its running set running.

    A machine starts with those sets only that it is in; a converter's idler with every one.
    """
    most = worst(totals)
    begun = [
        (other_current(proposal, total), start, total, proposal)
        for total in totals
        for proposal in proposals
        for start in (() if proposal.own_supply else proposal.starts)
        if start.id not in proposal.machines or start.id in total.running
    ]
    if not begun:
        return Figure(most.input_current_a, f"{place}/states/{most.id}/input_current_a"), ()
    _, start, total, proposal = max(
        begun, key=lambda one: (one[0] + one[1].current_a, one[2].input_current_a)
    )
    own = {
        f"I{n}": Figure(one.input_current_a, f"{place}/states/{one.id}/input_current_a")
        for n, one in enumerate(inside(proposal, total))
    }
    others = " - ".join(["I", *own])
    sheet = Worksheet(f"{place}/service")
    figure = sheet.formula(
        "starting_current", "I_start", "A", f"max({others}, 0) + S", own,
        I=Figure(total.input_current_a, f"{place}/states/{total.id}/input_current_a"),
        S=Figure(start.current_a, f"{place}/starts/{start.id}/current_a"), source=SUM,
    )  # fmt: skip
    return figure, sheet.steps


def inside(proposal: Proposal, total: State) -> list[State]:
    """Return the states of *proposal* in the running set of *total*, at full load."""
    return [
        one
        for one in proposal.states
        if one.set == total.set and one.load == "full" and one.converter
    ]


def other_current(proposal: Proposal, total: State) -> float:
    """Return what the running set draws beside *proposal* [A]."""
    own = sum(one.input_current_a for one in inside(proposal, total))
    return max(total.input_current_a - own, 0.0)


def sized(
    proposals: Sequence[Proposal], case: Case, region: Region, place: str
) -> tuple[dict[str, CircuitAnswer], tuple[Step, ...]]:
    """Return what the wiring code answers for every circuit, from the panel outwards, with steps.

    The steps are those of what lies ahead of a circuit.
    """
    answers: dict[str, CircuitAnswer] = {}
    steps: list[Step] = []
    every = outwards(one for proposal in proposals for one in proposal.demands)
    transformers = {made.id: made for one in proposals for made in one.transformers}
    ahead = Ahead(every, answers, transformers)
    converters = [made for one in proposals for made in one.converters]
    for demand in on_own_sources(every, transformers, converters):
        settled, made = behind(with_neutral(plugged(demand, case), case), answers, place)
        steps += made
        settled, made = with_fault_path(settled, ahead, case, place)
        steps += made
        settled, made = with_made_lines(settled, proposals, place)
        steps += made
        where = f"{place}/circuits/{demand.id}"
        answers[demand.id] = region.circuit(settled, along(demand, case), case.shop.supply, where)
    return answers, tuple(steps)


def on_service(
    proposals: Sequence[Proposal],
    totals: Sequence[State],
    circuits: tuple[Circuit, ...],
    case: Case,
    region: Region,
    place: str,
) -> tuple[ServiceAnswer, tuple[Step, ...]]:
    """Return what the wiring code says of the service under the set that draws most."""
    most = worst(totals)
    start, steps = start_demand(proposals, totals, place)
    drawn = Figure(most.input_current_a, f"{place}/states/{most.id}/input_current_a")
    demand = ServiceDemand(
        prefix=f"{place}/service",
        voltage=case.supply.voltage,
        running=((most.id, drawn),),
        starting_current=start,
        circuits=circuits,
        existing=case.existing,
    )
    return region.service(demand, case.shop.site, case.shop.supply), steps


def equip(draft: Draft, case: Case, region: Region) -> Equipped:
    """Return *draft* with every circuit sized and the service checked."""
    place = f"options/{draft.id}"
    proposals: list[Proposal] = [
        attrs.evolve(moved, findings=with_clauses(moved.findings, case, region))
        for moved in (rebased(one, place) for one in draft.proposals)
    ]
    answers, found = sized(proposals, case, region, place)
    windows = [window for one in answers.values() for window in one.windows]
    steps: list[Step] = [*found]
    for n, proposal in enumerate(proposals):
        proposals[n], made = windowed(proposal, windows, place)
        steps += made
    totals = []
    for running in case.sets:
        state, made = total(case, running, proposals, place)
        totals.append(state)
        steps += made
    apart = {one.id for each in proposals if each.own_supply for one in each.demands}
    fed = tuple(one.circuit for name, one in answers.items() if one.circuit and name not in apart)
    service, made = on_service(proposals, totals, fed, case, region, place)
    said: list[CircuitAnswer | ServiceAnswer] = [service, *answers.values()]
    return Equipped(
        draft=attrs.evolve(draft, proposals=tuple(proposals)),
        place=place,
        circuits=tuple(one.circuit for one in said if one.circuit),
        service=service,
        totals=tuple(totals),
        findings=tuple(finding for one in said for finding in one.findings),
        assumptions=tuple(assumption for one in said for assumption in one.assumptions),
        questions=tuple(question for one in said for question in one.questions),
        steps=(*steps, *made, *(step for one in said for step in one.steps)),
    )
