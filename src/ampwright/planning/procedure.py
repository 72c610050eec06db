"""The steps of a plan, in their order."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import NamedTuple

import attrs

from ampwright.case import Bound, Case
from ampwright.decision import Decision
from ampwright.finding import Finding, parameters
from ampwright.method import Proposal
from ampwright.option import Option
from ampwright.planning.alternatives import alternatives
from ampwright.planning.answers import Inquiry, Weighing
from ampwright.planning.assembly import Draft, assemble, plain
from ampwright.planning.burden import Burden, apart, burden
from ampwright.planning.circuits import Equipped, equip
from ampwright.planning.conclusion import conclude
from ampwright.planning.conditions import premium
from ampwright.planning.consequences import with_consequences
from ampwright.planning.costs import Prices, idle_a_year, rough, rough_total
from ampwright.planning.dwelling import with_dwelling
from ampwright.planning.headroom import headroom, of_converters
from ampwright.planning.intake import intake
from ampwright.planning.keeping_apart import kept_apart
from ampwright.planning.mixing import Shape, Worths, mixed, shape
from ampwright.planning.observations import asked, observed
from ampwright.planning.ranking import IMPOSSIBLE, option, overloads, ranked
from ampwright.planning.ranking import kept_apart as lessened
from ampwright.planning.reasons import explained, near_tie
from ampwright.planning.remedies import asked as wanted
from ampwright.planning.remedies import quoted, the_rest, upgraded
from ampwright.planning.reuse import matched, without_purchase
from ampwright.planning.starting import settled
from ampwright.records.shop import Shop
from ampwright.region import Region
from ampwright.registry import Offers

#: Shares of what the supply has left that machines which run at once are kept within, tried in this
#: order; nought is one machine at a time. The first covers losses, capacitor circulation and the
#: distortion of rectifiers: common practice, no source.
SHARES = (1.0 / 1.3, 0.0)
#: Mixes worked out at most until one does.
ROUNDS = 3


@attrs.frozen(kw_only=True)
class Means:
    """What a shop is planned by.

    Attributes:
        region: The wiring code.
        offers: The methods.
        prices: The prices.
        asks: What the machines ask of the supply.
    """

    region: Region
    offers: Offers
    prices: Prices
    asks: Burden

    def cost(self, case: Case, one: Proposal) -> float:
        """Return the rough cost of a proposal, one that changes a machine counted dearer.

        What is there already costs nothing to buy. What it loses while it idles counts with it.
        """
        prices = without_purchase(one, matched(case, (one,)), self.prices)
        once = rough_total(one, prices, case.years.value) * premium(one.findings)
        return once + case.years.value * idle_a_year(case, one, self.prices)

    def floor(self, case: Case, method: str) -> float:
        """Return what a piece of *method* costs at least, whatever it serves.

        That is the part of its price that does not go with its size; where something is there
        already, only the labour.
        """
        price = self.prices.by_method.get(method)
        if price is None:
            return 0.0
        least = price._replace(fixed=0.0) if case.shop.equipment else price
        return rough(least, 0.0)

    def weighing(self, case: Case) -> Weighing:
        """Return how variants of an answer are weighed."""

        def may_save(one: Proposal) -> bool:
            lost = case.years.value * idle_a_year(case, one, self.prices)
            price = self.prices.by_method.get(one.method)
            return price is not None and lost > rough(price, 0.0)

        return Weighing(partial(self.cost, case), may_save)

    def worths(self, case: Case) -> Worths:
        """Return how proposals for *case* are weighed, each once."""
        known: dict[Shape, float] = {}

        def cost(one: Proposal) -> float:
            if shape(one) not in known:
                known[shape(one)] = self.cost(case, one)
            return known[shape(one)]

        return Worths(cost, lambda method: self.floor(case, method))


class Ways(NamedTuple):
    """Ways to run a shop, worked out.

    Attributes:
        equipped: Each with its circuits.
        options: The same, finished.
        unsought: That the cheapest mix was not looked for.
    """

    equipped: tuple[Equipped, ...] = ()
    options: tuple[Option, ...] = ()
    unsought: tuple[Finding, ...] = ()


def worked(whole: Case, part: Case, means: Means) -> Ways:
    """Return the ways to run *part*: those machines and running sets of *whole* looked at.

    Beside the ways that are put together one by one stands the cheapest mix; where it turns out
    not to do, the cheapest without the pieces at fault.
    """
    inquiry = Inquiry(part, means.offers.methods, means.weighing(part))
    worths = means.worths(part)
    hopeless = part is whole and means.asks.hopeless
    drafts = list(assemble(part, inquiry, worths.cost, hopeless=hopeless))
    done = {one.id: finished(one, whole, part, means, inquiry) for one in drafts}
    blocked: frozenset[Shape] = frozenset()
    unsought: tuple[Finding, ...] = ()
    for _ in range(0 if hopeless else ROUNDS):
        try:
            mix = mixed(inquiry, drafts, plain(inquiry, inquiry.methods.values()), worths, blocked)
        except ImportError:
            unsought = (not_sought(part),)
            break
        if mix is None:
            break
        if mix.id not in done:
            drafts.append(mix)
            done[mix.id] = finished(mix, whole, part, means, inquiry)
        fault = at_fault(mix, done[mix.id][1])
        if not fault - blocked:
            break
        blocked |= fault
    refusals = inquiry.refusals()
    return Ways(
        tuple(one for one, _ in done.values()),
        tuple(attrs.evolve(one, refusals=refusals) for _, one in done.values()),
        unsought,
    )


def finished(
    draft: Draft, whole: Case, part: Case, means: Means, inquiry: Inquiry
) -> tuple[Equipped, Option]:
    """Return *draft* worked out, with its circuits and as an option."""
    draft = attrs.evolve(draft, proposals=(*draft.proposals, *inquiry.beside(draft.proposals)))
    laid = equip(kept_apart(draft, whole, part), part, means.region)
    equipped = with_consequences(settled(laid, inquiry, means.region), part)
    beyond = means.asks.beyond
    return equipped, option(whole, equipped, inquiry.refusals(), means.prices, beyond)


def at_fault(draft: Draft, one: Option) -> frozenset[Shape]:
    """Return the pieces of *draft* behind which a required machine does not run.

    Where the supply does not bear the whole, no piece is at fault.
    """
    if one.feasible or overloads(one):
        return frozenset()
    stuck = {each.id for each in one.machines if each.method and each.verdict == IMPOSSIBLE}
    pieces = (piece for piece in draft.proposals if not stuck.isdisjoint(piece.machines))
    return frozenset(map(shape, pieces))


def not_sought(part: Case) -> Finding:
    """Return the finding that the cheapest mix was not looked for, as nothing can do so."""
    names = tuple(one.id for one in part.machines)
    said = parameters(count=str(len(names)), extra="large")
    return Finding(code="plan.mix-not-sought", severity="info", where=names, parameters=said)


def in_turn(case: Case, means: Means) -> Ways:
    """Return ways in which less runs at once, without what is beyond the supply alone.

    There are none where that would change nothing.
    """
    rest = tuple(one for one in case.machines if one.id not in means.asks.beyond)
    names = {one.id for one in rest}
    stated = [
        attrs.evolve(one, machines=tuple(name for name in one.machines if name in names))
        for one in case.sets
    ]
    part = attrs.evolve(case, machines=rest, sets=tuple(one for one in stated if one.machines))
    before = {frozenset(one.machines) for one in case.sets}
    found = Ways()
    for share in SHARES if rest else ():
        sets = apart(part, share * means.asks.spare_a if share else 0.0)
        if {frozenset(one.machines) for one in sets} == before:
            continue
        found = worked(case, attrs.evolve(part, sets=sets), means)
        if any(one.feasible for one in found.options):
            break
    return found


def on_larger_supply(case: Case, means: Means, options: Sequence[Option]) -> Iterator[Finding]:
    """Yield what a quoted larger supply is worth; its ways are worked out where it may help."""
    quote, larger = case.shop.supply.upgrade, upgraded(case)
    if quote is None or larger is None:
        return
    after: Sequence[Option] = ()
    if not options or not options[0].feasible or lessened(options[0]):
        after = worked(larger, larger, attrs.evolve(means, asks=burden(larger))).options
    yield quoted(quote, options, after)


def decide(
    shop: Shop, region: Region, offers: Offers, prices: Prices, limits: Mapping[str, Bound]
) -> Decision:
    """Return the decision on *shop* under *region*."""
    case = with_dwelling(intake(shop, limits), region)
    asks = burden(case)
    case = attrs.evolve(
        case,
        steps=(*case.steps, *asks.sheet.steps),
        findings=(*case.findings, *observed(case), *asks.findings),
        questions=(*case.questions, *asked(case)),
    )
    means = Means(region=region, offers=offers, prices=prices, asks=asks)
    ways = [worked(case, case, means)]
    found = ways[0].options
    if not any(one.feasible for one in found) and (asks.findings or any(map(overloads, found))):
        ways.append(in_turn(case, means))
    equipped = [one for way in ways for one in way.equipped]
    options = ranked(one for way in ways for one in way.options)
    cheaper = alternatives(case, options, prices.rate)
    best = next((one for one in options if one.feasible), None)
    room = headroom(asks, best, case.shop.supply.panel)
    spare = of_converters(best, [name for name, one in offers.methods.items() if one.shared])
    findings = [
        *(one for way in ways for one in way.unsought),
        *explained(options),
        *near_tie(options),
        *cheaper.findings,
        *room.findings,
        *spare.findings,
        *the_rest(case, options),
        *on_larger_supply(case, means, options),
    ]
    case = attrs.evolve(
        case,
        steps=(*case.steps, *cheaper.steps, *room.steps, *spare.steps),
        findings=(*case.findings, *findings),
        questions=(*case.questions, *wanted(case, options)),
    )
    return conclude(case, region, offers, equipped=equipped, options=options, prices=prices)
