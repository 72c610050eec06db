"""Ranking: verdict first, then cost, with the reasons said."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations
from types import MappingProxyType

import attrs

from ampwright.case import Case
from ampwright.finding import Finding, parameters
from ampwright.method import Cost, Proposal, Refusal
from ampwright.option import VERDICTS, Assignment, Option
from ampwright.planning.burden import with_needs
from ampwright.planning.circuits import Equipped
from ampwright.planning.conditions import (
    PENDING,
    condition,
    conditional,
    far_above,
    premiums,
    unmet,
)
from ampwright.planning.costs import Prices, of_demand, of_energy, of_proposal
from ampwright.planning.reuse import matched, without_purchase
from ampwright.planning.reuse import remarks as remarks_on_reuse
from ampwright.step import Step, Worksheet, rebased

FEASIBLE, CONDITIONAL, IMPOSSIBLE = VERDICTS
ONCE = ("purchase", "installation")
CHANGE = "supply.voltage-change"
NOBODY: Mapping[str, tuple[Finding, ...]] = MappingProxyType({})


def concerned(finding: Finding, names: Iterable[str]) -> bool:
    """Tell whether *finding* names one of *names*."""
    return not set(names).isdisjoint(finding.where)


def related(equipped: Equipped, machine: str) -> set[str]:
    """Return the ids through which a finding concerns *machine*: itself and all that feeds it."""
    names = {machine}
    for proposal in equipped.draft.proposals:
        if machine in proposal.machines:
            names |= {one.id for one in proposal.converters}
            names |= {one.id for one in proposal.transformers if machine in one.machines}
            names |= {
                one.id
                for one in proposal.demands
                if machine in one.feeds or not names.isdisjoint(one.feeds)
            }
    return names


def of_this_supply(equipped: Equipped) -> tuple[Finding, ...]:
    """Return the findings of *equipped* without the changes of voltage on a supply of its own.

    Whoever applies for that supply says what starts on it.
    """
    apart = {
        name
        for proposal in equipped.draft.proposals
        if proposal.own_supply
        for demand in proposal.demands
        for name in (demand.id, *demand.feeds)
    }
    return tuple(
        one for one in equipped.findings if one.code != CHANGE or apart.isdisjoint(one.where)
    )


def judged(
    case: Case,
    equipped: Equipped,
    refusals: Sequence[Refusal],
    beyond: Mapping[str, tuple[Finding, ...]] = NOBODY,
) -> tuple[tuple[Assignment, ...], tuple[Finding, ...]]:
    """Return method and verdict of each machine, and the findings that the starts give rise to.

    Args:
        case: The shop.
        equipped: The option.
        refusals: What every method refused.
        beyond: By machine, that it is beyond the supply with what it needs.
    """
    methods = equipped.draft.assignment
    elsewhere = {
        name for one in equipped.draft.proposals if one.own_supply for name in one.machines
    }
    findings = [
        *of_this_supply(equipped),
        *(one for proposal in equipped.draft.proposals for one in proposal.findings),
    ]
    stuck = [
        Finding(
            code="converter.start-fails",
            severity="blocks",
            where=(start.id,),
            parameters=parameters(converter=start.converter),
        )
        for proposal in equipped.draft.proposals
        for start in proposal.starts
        if not start.runs_up
    ]
    findings += stuck
    made = []
    for machine in case.machines:
        method = methods.get(machine.id)
        too_much = tuple(
            attrs.evolve(one, severity="blocks")
            for one in (() if machine.id in elsewhere else beyond.get(machine.id, ()))
        )
        if method is None:
            reasons = tuple(
                reason for one in refusals if machine.id in one.machines for reason in one.reasons
            )
            made.append(
                Assignment(
                    id=machine.id, method=None, verdict=IMPOSSIBLE, reasons=(*too_much, *reasons)
                )
            )
            continue
        names = related(equipped, machine.id)
        own = [one for one in findings if concerned(one, names)]
        stated = [one for one in case.findings if condition(one) and concerned(one, names)]
        blocking = (
            *too_much,
            *(one for one in own if one.severity == "blocks" or one.code in PENDING),
        )
        conditions = (*stated, *(one for one in own if conditional(one)))
        verdict = IMPOSSIBLE if blocking else CONDITIONAL if conditions else FEASIBLE
        made.append(
            Assignment(
                id=machine.id, method=method, verdict=verdict, reasons=blocking or conditions
            )
        )
    return tuple(made), tuple(stuck)


def worst_verdict(verdicts: Iterable[str]) -> str:
    """Return the worst of *verdicts*; of none, feasible."""
    return max(verdicts, key=VERDICTS.index, default=FEASIBLE)


def priced(
    case: Case, equipped: Equipped, prices: Prices
) -> tuple[tuple[Cost, ...], tuple[Step, ...]]:
    """Return the costs of an option and their steps."""
    costs: list[Cost] = []
    steps: list[Step] = []
    there = matched(case, equipped.draft.proposals)
    for proposal in equipped.draft.proposals:
        some, made = of_proposal(proposal, without_purchase(proposal, there, prices))
        costs += some
        steps += rebased(made, equipped.place)
    for some, made in (
        of_energy(case, equipped.draft.proposals, equipped.place),
        of_demand(case, equipped.totals, equipped.place),
    ):
        costs += some
        steps += made
    return tuple(costs), tuple(steps)


def start_order(case: Case, proposals: Sequence[Proposal]) -> tuple[str, ...]:
    """Return ids in the order of starting: converters, then the machines they and others serve.

    Whoever draws most at the start comes first, while least runs beside it; what a machine needs
    comes before it.
    """
    served = [one.id for one in case.machines if any(one.id in each.machines for each in proposals)]
    drawn = {start.id: start.current_a for each in proposals for start in each.starts}
    needs = with_needs(case)
    order: list[str] = [one for each in proposals for one in each.sequence if one not in served]

    def put(name: str, asking: frozenset[str]) -> None:
        for other in needs[name]:
            if other in served and other not in asking:
                put(other, asking | {name, other})
        if name not in order:
            order.append(name)

    for name in sorted(served, key=lambda one: -drawn.get(one, 0.0)):
        put(name, frozenset((name,)))
    return tuple(dict.fromkeys(order))


def never_together(case: Case, proposals: Sequence[Proposal]) -> tuple[tuple[str, ...], ...]:
    """Return what must not run together: what *proposals* say, and each pair in no set of *case*.

    Only for what runs at once was anything sized.
    """
    found = [one for each in proposals for one in each.apart]
    if len(case.sets) > 1:
        served = {name for each in proposals for name in each.machines}
        known = {pair for one in case.sets for pair in combinations(one.machines, 2)}
        order = [one.id for one in case.machines if one.id in served]
        pairs = (pair for pair in combinations(order, 2) if pair not in known)
        found += [pair for pair in pairs if pair[::-1] not in known]
    return tuple(dict.fromkeys(found))


def kept_apart(one: Option) -> bool:
    """Tell whether *one* does only because less runs at once than was asked for."""
    return any(each.code == "plan.keep-apart" for each in one.findings)


def option(
    case: Case,
    equipped: Equipped,
    refusals: Sequence[Refusal],
    prices: Prices,
    beyond: Mapping[str, tuple[Finding, ...]] = NOBODY,
) -> Option:
    """Return the finished option; *beyond* names machines that are beyond the supply alone."""
    machines, stuck = judged(case, equipped, refusals, beyond)
    names = {one.id for one in case.machines}
    required = {one.id for one in case.machines if one.machine.required}
    costs, steps = priced(case, equipped, prices)
    whole = [
        one
        for one in equipped.findings
        if one.severity == "blocks" and concerned(one, ("supply", "service"))
    ]
    verdict = worst_verdict(one.verdict for one in machines if one.id in required)
    if whole:
        verdict = IMPOSSIBLE
    elif any(conditional(one) for one in of_this_supply(equipped)) or any(
        condition(one) and names.isdisjoint(one.where) for one in case.findings
    ):
        verdict = worst_verdict((verdict, CONDITIONAL))
    proposals = equipped.draft.proposals
    sheet = Worksheet(equipped.place)
    years = sheet.formula("years", "y", "", "y", y=case.years)
    return Option(
        id=equipped.draft.id,
        machines=machines,
        feasible=verdict != IMPOSSIBLE,
        verdict=verdict,
        refusals=tuple(refusals),
        converters=tuple(one for proposal in proposals for one in proposal.converters),
        transformers=tuple(one for proposal in proposals for one in proposal.transformers),
        circuits=equipped.circuits,
        states=(*(one for proposal in proposals for one in proposal.states), *equipped.totals),
        starts=tuple(one for proposal in proposals for one in proposal.starts),
        costs=costs,
        years=years.value,
        limits=tuple(one for proposal in proposals for one in proposal.limits),
        sequence=start_order(case, proposals),
        apart=never_together(case, proposals),
        findings=(
            *(one for proposal in proposals for one in proposal.findings),
            *equipped.findings,
            *stuck,
            *remarks_on_reuse(
                case,
                matched(case, proposals),
                tuple(one for proposal in proposals for one in proposal.converters),
                equipped.circuits,
            ),
        ),
        steps=(
            *(one for proposal in proposals for one in proposal.steps),
            *equipped.steps,
            *steps,
            *sheet.steps,
        ),
    )


def priced_in(one: Option) -> set[str]:
    """Return the currencies of what *one* costs once; where that is nothing, of all it costs."""
    once = {cost.currency for cost in one.costs if cost.kind in ONCE and cost.high > 0.0}
    return once or {cost.currency for cost in one.costs}


def comparable(*options: Option) -> bool:
    """Tell whether prices of *options* may be compared: all are in one currency."""
    return len(set[str]().union(*map(priced_in, options))) <= 1


def total_cost(one: Option) -> tuple[float, float]:
    """Return the edges of what *one* costs over its years of use; infinite: no price.

    A piece that has no price makes the option unpriced rather than cheap; so do pieces in several
    currencies. What is a year in another currency than the pieces is left out.
    """
    priced_for = {cost.id.partition("/")[0] for cost in one.costs if cost.kind == "purchase"}
    if any(converter.id not in priced_for for converter in one.converters) or not comparable(one):
        return float("inf"), float("inf")
    counted = [cost for cost in one.costs if cost.currency in priced_in(one)]
    times = [1.0 if cost.kind in ONCE else one.years for cost in counted]
    low = sum(often * cost.low for often, cost in zip(times, counted, strict=True))
    high = sum(often * cost.high for often, cost in zip(times, counted, strict=True))
    return low, high


def weighed_cost(one: Option) -> float:
    """Return the middle of what *one* costs, pieces with certain conditions counted dearer."""
    low, high = total_cost(one)
    more = premiums(one)
    extra = sum(
        (more.get(cost.id.partition("/")[0], 1.0) - 1.0) * (cost.low + cost.high)
        for cost in one.costs
        if cost.kind in ONCE
    )
    return (low + high + extra) / 2.0


def overloads(one: Option) -> bool:
    """Tell whether the supply does not bear *one* as a whole."""
    return any(
        each.severity == "blocks" and concerned(each, ("supply", "service"))
        for each in one.findings
    )


def waits(one: Option) -> bool:
    """Tell whether *one* could be done as soon as what it waits for has come."""
    stuck = [each for each in one.machines if each.verdict == IMPOSSIBLE]
    return (
        all(each.method is not None and each.reasons for each in stuck)
        and all(reason.code in PENDING for each in stuck for reason in each.reasons)
        and not overloads(one)
    )


def ranked(options: Iterable[Option]) -> tuple[Option, ...]:
    """Return *options* best first.

    What can be done comes first, then what only has to be waited for; then by machines served; then
    what is far above a limit of the operator's comes last, and before it what leaves out what was
    asked for; then by cost, in which a way that changes a machine counts dearer; last by verdict
    and id. Costs in different currencies are not compared: then what is priced in the currency of
    the most comes first.
    """
    several = tuple(options)
    usual = usual_currency(several)

    def order(one: Option) -> tuple[bool, bool, int, bool, int, bool, float, int, str]:
        missing = sum(assignment.method is None for assignment in one.machines)
        apart = priced_in(one) - {usual}
        return (
            not one.feasible,
            not one.feasible and not waits(one),
            missing,
            far_above(one),
            unmet(one),
            bool(apart),
            0.0 if apart else weighed_cost(one),
            VERDICTS.index(one.verdict),
            one.id,
        )

    return tuple(sorted(several, key=order))


def rivals(first: Option, second: Option) -> bool:
    """Tell whether only what they cost puts *first* before *second*."""
    return (far_above(first), unmet(first)) == (far_above(second), unmet(second))


def usual_currency(options: Sequence[Option]) -> str:
    """Return the currency in which most of *options* are priced; of several, the first by name."""
    count = Counter(one for each in options for one in priced_in(each))
    return min(count, key=lambda one: (-count[one], one), default="")


def chosen(options: Sequence[Option]) -> str | None:
    """Return the id of the first option that can be done, if any."""
    return next((one.id for one in options if one.feasible), None)


def remarks(options: Sequence[Option], prices: Prices) -> tuple[Finding, ...]:
    """Return what there is to say about the ranking itself."""
    return (*mingled(options), *rough_decides(options, prices))


def mingled(options: Sequence[Option]) -> Iterator[Finding]:
    """Yield that *options* are priced in different currencies, and which the ranking leaves out."""
    usual = usual_currency(options)
    others = sorted({cost.currency for one in options for cost in one.costs} - {usual})
    if not others:
        return
    held = tuple(one.id for one in options if {cost.currency for cost in one.costs} - {usual})
    said = parameters(first=usual, second=", ".join(others), left=", ".join(others))
    yield Finding(code="plan.currencies-differ", severity="caution", where=held, parameters=said)


def rough_decides(options: Sequence[Option], prices: Prices) -> Iterator[Finding]:
    """Yield that only rough prices separate the first two ways that can be done."""
    able = [one for one in options if one.feasible]
    if len(able) < 2 or not comparable(*able[:2]) or not rivals(*able[:2]):
        return
    first, second = total_cost(able[0]), total_cost(able[1])
    methods = {method for one in able[:2] for method in one.assignment.values()}
    if not prices.rough(methods) or second[0] > first[1]:
        return
    yield Finding(
        code="plan.price-decides",
        severity="caution",
        where=(able[0].id, able[1].id),
        parameters=parameters(first=able[0].id, second=able[1].id),
    )
