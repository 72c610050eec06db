"""The steps of a plan, in their order."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import attrs

from ampwright.case import Bound, Case
from ampwright.decision import Decision
from ampwright.finding import Finding
from ampwright.method import Proposal
from ampwright.option import Option
from ampwright.planning.alternatives import alternatives
from ampwright.planning.answers import Inquiry
from ampwright.planning.assembly import assemble
from ampwright.planning.burden import Burden, apart, burden
from ampwright.planning.circuits import Equipped, equip
from ampwright.planning.conclusion import conclude
from ampwright.planning.consequences import with_consequences
from ampwright.planning.costs import Prices, rough_total
from ampwright.planning.intake import intake
from ampwright.planning.keeping_apart import kept_apart
from ampwright.planning.observations import asked, observed
from ampwright.planning.ranking import option, overloads, premium, ranked
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

        What is there already costs nothing to buy.
        """
        prices = without_purchase(one, matched(case, (one,)), self.prices)
        return rough_total(one, prices) * premium(one.findings)


class Ways(NamedTuple):
    """Ways to run a shop, worked out.

    Attributes:
        equipped: Each with its circuits.
        options: The same, finished.
    """

    equipped: tuple[Equipped, ...] = ()
    options: tuple[Option, ...] = ()


def worked(whole: Case, part: Case, means: Means) -> Ways:
    """Return the ways to run *part*: those machines and running sets of *whole* looked at."""
    inquiry = Inquiry(part, means.offers.methods)
    drafts = assemble(part, inquiry, lambda one: means.cost(part, one))
    drafts = tuple(
        attrs.evolve(one, proposals=(*one.proposals, *inquiry.beside(one.proposals)))
        for one in drafts
    )
    drafts = tuple(kept_apart(one, whole, part) for one in drafts)
    equipped = [
        with_consequences(settled(equip(one, part, means.region), inquiry, means.region), part)
        for one in drafts
    ]
    refusals = inquiry.refusals()
    return Ways(
        tuple(equipped),
        tuple(option(whole, one, refusals, means.prices, means.asks.beyond) for one in equipped),
    )


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
    if not options or not options[0].feasible or options[0].apart:
        after = worked(larger, larger, attrs.evolve(means, asks=burden(larger))).options
    yield quoted(quote, options, after)


def decide(
    shop: Shop, region: Region, offers: Offers, prices: Prices, limits: Mapping[str, Bound]
) -> Decision:
    """Return the decision on *shop* under *region*."""
    case = intake(shop, limits)
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
    cheaper = alternatives(case, options)
    findings = [
        *explained(options),
        *near_tie(options),
        *cheaper.findings,
        *the_rest(case, options),
        *on_larger_supply(case, means, options),
    ]
    case = attrs.evolve(
        case,
        steps=(*case.steps, *cheaper.steps),
        findings=(*case.findings, *findings),
        questions=(*case.questions, *wanted(case, options)),
    )
    return conclude(case, region, offers, equipped=equipped, options=options, prices=prices)
