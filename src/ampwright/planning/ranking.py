"""Ranking: verdict first, then cost, with the reasons said."""

from collections.abc import Iterable, Sequence
from pathlib import Path

from ampwright.case import Case, MachineCase
from ampwright.finding import Finding, parameters
from ampwright.method import Cost, Refusal
from ampwright.option import VERDICTS, Assignment, Option
from ampwright.planning.circuits import Equipped
from ampwright.planning.costs import YEARS, Prices, of_energy, of_proposal
from ampwright.step import Figure, Step, rebased
from ampwright.tables import read_table

_TABLE = read_table(Path(__file__).with_name("conditions.csv"))
CONDITIONS = frozenset(row["code"] for row in _TABLE.rows if row["why"] != "not-yet")
#: What cannot be done as long as it has not come: listed, ranked, and not feasible.
PENDING = frozenset(row["code"] for row in _TABLE.rows if row["why"] == "not-yet")
FEASIBLE, CONDITIONAL, IMPOSSIBLE = VERDICTS


def concerned(finding: Finding, names: Iterable[str]) -> bool:
    """Tell whether *finding* names one of *names*."""
    return not set(names).isdisjoint(finding.where)


def related(equipped: Equipped, machine: str) -> set[str]:
    """Return the ids through which a finding concerns *machine*: itself and all that feeds it."""
    names = {machine}
    for proposal in equipped.draft.proposals:
        if machine in proposal.machines:
            names |= {one.id for one in proposal.converters}
            names |= {
                one.id
                for one in proposal.demands
                if machine in one.feeds or not names.isdisjoint(one.feeds)
            }
    return names


def beyond(case: Case, machine: MachineCase) -> tuple[Finding, ...]:
    """Return the reason that *machine* alone asks for more than the supply's main device carries.

    The current is that of equal apparent power, as an electrician reckons it.
    """
    rating = case.shop.supply.rating_a
    if rating is None or machine.equal_kva.value <= rating:
        return ()
    said = parameters(
        "load=A rating=A", load=machine.equal_kva, rating=Figure(rating, "shop/supply/rating_a")
    )
    return (
        Finding(code="supply.undersized", severity="blocks", where=(machine.id, "supply"),
                parameters=said),
    )  # fmt: skip


def judged(
    case: Case, equipped: Equipped, refusals: Sequence[Refusal]
) -> tuple[tuple[Assignment, ...], tuple[Finding, ...]]:
    """Return method and verdict of each machine, and the findings that the starts give rise to."""
    methods = equipped.draft.assignment
    findings = [
        *equipped.findings,
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
        if method is None:
            reasons = tuple(
                reason for one in refusals if machine.id in one.machines for reason in one.reasons
            )
            reasons = (*beyond(case, machine), *reasons)
            made.append(Assignment(id=machine.id, method=None, verdict=IMPOSSIBLE, reasons=reasons))
            continue
        names = related(equipped, machine.id)
        own = [one for one in findings if concerned(one, names)]
        blocking = tuple(one for one in own if one.severity == "blocks" or one.code in PENDING)
        conditions = tuple(one for one in own if one.code in CONDITIONS)
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
    for proposal in equipped.draft.proposals:
        some, made = of_proposal(proposal, prices)
        costs += some
        steps += rebased(made, equipped.place)
    some, made = of_energy(case, equipped.draft.proposals, equipped.place)
    return (*costs, *some), (*steps, *made)


def option(case: Case, equipped: Equipped, refusals: Sequence[Refusal], prices: Prices) -> Option:
    """Return the finished option."""
    machines, stuck = judged(case, equipped, refusals)
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
    elif any(one.code in CONDITIONS for one in equipped.findings):
        verdict = worst_verdict((verdict, CONDITIONAL))
    proposals = equipped.draft.proposals
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
        limits=tuple(one for proposal in proposals for one in proposal.limits),
        sequence=tuple(one for proposal in proposals for one in proposal.sequence),
        apart=tuple(one for proposal in proposals for one in proposal.apart),
        findings=(
            *(one for proposal in proposals for one in proposal.findings),
            *equipped.findings,
            *stuck,
        ),
        steps=(*(one for proposal in proposals for one in proposal.steps), *equipped.steps, *steps),
    )


def total_cost(one: Option) -> tuple[float, float]:
    """Return the edges of what *one* costs over `YEARS` years; infinite where nothing has a price.

    A piece that has no price makes the option unpriced rather than cheap.
    """
    priced_for = {cost.id.partition("/")[0] for cost in one.costs if cost.kind == "purchase"}
    if any(converter.id not in priced_for for converter in one.converters):
        return float("inf"), float("inf")
    times = {"purchase": 1, "installation": 1, "energy": YEARS, "idle": YEARS, "standing": YEARS}
    low = sum(times[cost.kind] * cost.low for cost in one.costs)
    high = sum(times[cost.kind] * cost.high for cost in one.costs)
    return low, high


def ranked(options: Iterable[Option]) -> tuple[Option, ...]:
    """Return *options* best first: by verdict, machines served, cost, and last by id."""

    def order(one: Option) -> tuple[int, int, float, str]:
        missing = sum(assignment.method is None for assignment in one.machines)
        return VERDICTS.index(one.verdict), missing, sum(total_cost(one)), one.id

    return tuple(sorted(options, key=order))


def chosen(options: Sequence[Option]) -> str | None:
    """Return the id of the first option that can be done, if any."""
    return next((one.id for one in options if one.feasible), None)


def remarks(options: Sequence[Option], prices: Prices) -> tuple[Finding, ...]:
    """Return what there is to say about the ranking itself."""
    able = [one for one in options if one.feasible]
    if len(able) < 2 or able[0].verdict != able[1].verdict:
        return ()
    first, second = total_cost(able[0]), total_cost(able[1])
    methods = {method for one in able[:2] for method in one.assignment.values()}
    if not prices.rough(methods) or second[0] > first[1]:
        return ()
    return (
        Finding(
            code="plan.price-decides",
            severity="caution",
            where=(able[0].id, able[1].id),
            parameters=parameters(first=able[0].id, second=able[1].id),
        ),
    )
