"""The steps of a plan, in their order."""

from collections.abc import Mapping

from ampwright.case import Bound
from ampwright.decision import Decision
from ampwright.planning.answers import Inquiry
from ampwright.planning.assembly import assemble
from ampwright.planning.circuits import equip
from ampwright.planning.conclusion import conclude
from ampwright.planning.costs import Prices, rough_total
from ampwright.planning.intake import intake
from ampwright.planning.ranking import option, ranked
from ampwright.planning.starting import settled
from ampwright.records.shop import Shop
from ampwright.region import Region
from ampwright.registry import Offers


def decide(
    shop: Shop, region: Region, offers: Offers, prices: Prices, limits: Mapping[str, Bound]
) -> Decision:
    """Return the decision on *shop* under *region*."""
    case = intake(shop, limits)
    inquiry = Inquiry(case, offers.methods)
    drafts = assemble(case, inquiry, lambda proposal: rough_total(proposal, prices))
    equipped = [settled(equip(draft, case, region), inquiry, region) for draft in drafts]
    refusals = inquiry.refusals()
    options = ranked(option(case, one, refusals, prices) for one in equipped)
    return conclude(case, region, offers, equipped=equipped, options=options, prices=prices)
