"""The supply intake: existing load, what is added, and what the main device leaves."""

from ampwright.families.iec.book import Book
from ampwright.families.iec.disturbance import on_one_phase
from ampwright.families.iec.draft import USUAL, Draft
from ampwright.families.iec.feeder import check_feeder
from ampwright.families.iec.panel import check_panel
from ampwright.finding import parameters
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import ServiceAnswer, ServiceDemand
from ampwright.step import Figure, Worksheet

RULE = "iec.311.1"


def answer_service(book: Book, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
    """Check the intake against what is added to it: maximum demand against the main device."""
    draft = Draft(book, Worksheet(demand.prefix), ("service",))
    existing = _existing(draft, supply)
    running = {f"R{n}": figure for n, (_, figure) in enumerate(demand.running)}
    added = draft.work("added_a", "I_a", "A", " + ".join(running) or "0", RULE, **running)
    load = draft.work("load_a", "I_load", "A", "E + A", RULE, E=existing, A=added)
    spare = enough = None
    rating = _rating(draft, demand, supply)
    if rating is not None:
        spare = draft.work("spare_a", "I_spare", "A", "I_n - I_load", RULE, I_n=rating, I_load=load)
        enough = spare.value >= 0.0
        if not enough:
            draft.find(
                "supply.undersized", "blocks", RULE, "load=A rating=A existing=A added=A",
                load=load, rating=rating, existing=existing, added=added,
            )  # fmt: skip
    feeder = check_feeder(draft, load, demand.voltage, site, supply)
    check_panel(draft, demand, supply)
    on_one_phase(draft, demand, supply, added)
    if site.detached_building:
        draft.find("supply.earthing-export", "caution", "iec.411.4")
    return ServiceAnswer(
        enough=enough,
        load_a=load.value,
        spare_a=spare.value if spare else None,
        circuit=feeder,
        steps=draft.sheet.steps,
        findings=tuple(draft.findings),
        assumptions=(*draft.assumptions, *draft.remembered()),
        questions=tuple(draft.questions),
    )


def _rating(draft: Draft, demand: ServiceDemand, supply: Supply) -> Figure | None:
    """State what the intake may carry: main device, or the contract where it allows less [A]."""
    if supply.rating_a is None:
        draft.ask_everywhere("plan.data-needed", "supply.rating", "size")
    known = {}
    if supply.rating_a is not None:
        known["I_main"] = draft.sheet.given("rating_a", "I_n", supply.rating_a, "A")
    if supply.contract_va is not None:
        given = draft.sheet.given("contract_va", "S", supply.contract_va, "VA")
        known["I_contract"] = draft.work(
            "contract_a", "I", "A", "S / U", "iec.operator", S=given, U=demand.voltage
        )
    if not known:
        return None
    formula = "min(I_main, I_contract)" if len(known) > 1 else next(iter(known))
    return draft.work("allowed_a", "I_n", "A", formula, RULE, **known)


def _existing(draft: Draft, supply: Supply) -> Figure:
    """State what the existing load counts for: its highest demand as it is stated [A]."""
    if supply.existing_load_a is None:
        draft.ask_everywhere("plan.data-needed", "supply.existing_load", "size")
        found = draft.sheet.assumed("existing_a", "I_e", 0.0, "A", source=USUAL, rule=RULE)
        draft.assumed("supply.no-existing-load", parameters("value=A", value=found))
        return found
    stated = draft.sheet.given("existing_stated_a", "I_e", supply.existing_load_a, "A")
    if supply.demand_record not in ("year", "month"):
        draft.assumed("supply.existing-load-measured")
    return draft.work("existing_a", "I_e", "A", "I", RULE, I=stated)
