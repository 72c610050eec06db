"""The service: existing load, what is added, and what the main device leaves."""

from ampwright.families.nec.book import Book
from ampwright.families.nec.building import separate_building
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.feeder import check_feeder
from ampwright.families.nec.panel import check_panel
from ampwright.finding import parameters
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import ServiceAnswer, ServiceDemand
from ampwright.step import Figure, Worksheet

#: Step of a motor's current in the circuit that feeds it.
FULL_LOAD = "/full_load_current_a"


def answer_service(book: Book, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
    """Check the service against what is added to it, by the measured load that is there already."""
    draft = Draft(book, Worksheet(demand.prefix), ("service",))
    existing = _existing(draft, supply)
    added, motor = _added(draft, demand)
    inputs = {"E": existing, "A": added, "M": motor}
    load = draft.work("load_a", "I_load", "A", "E + A + M", "nec.220.87", **inputs)
    spare = enough = rating = None
    if supply.rating_a is None:
        draft.ask_everywhere("plan.data-needed", "supply.rating", "size")
    else:
        rating = draft.sheet.given("rating_a", "I_n", supply.rating_a, "A")
        spare = draft.work(
            "spare_a", "I_spare", "A", "I_n - I_load", "nec.220.87", I_n=rating, I_load=load
        )
        enough = spare.value >= 0.0
        if not enough:
            draft.find(
                "supply.undersized", "blocks", "nec.220.87", "load=A rating=A existing=A added=A",
                load=load, rating=rating, existing=existing, added=added,
            )  # fmt: skip
    feeder = check_feeder(draft, load, demand.voltage, site, supply)
    check_panel(draft, demand, supply, rating)
    if site.detached_building:
        separate_building(draft, supply, rating)
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


def _existing(draft: Draft, supply: Supply) -> Figure:
    """State what the existing load counts for: 125 % of a measured demand."""
    if supply.existing_load_a is None:
        draft.ask_everywhere("plan.data-needed", "supply.existing_load", "size")
        return draft.assume(
            "existing_a", "I_e", 0.0, "A", code="supply.no-existing-load",
            source=draft.book.rules["nec.220.87"], rule="nec.220.87",
        )  # fmt: skip
    stated = draft.sheet.given("existing_stated_a", "I_e", supply.existing_load_a, "A")
    draft.assumed("supply.existing-load-measured")
    factor = draft.book.factor("measured_demand")
    return draft.work("existing_a", "I_e", "A", f"{factor!r} * I", "nec.220.87", I=stated)


def _added(draft: Draft, demand: ServiceDemand) -> tuple[Figure, Figure]:
    """State what is added, and a quarter of the largest motor on the panel [A].

    A drive counts as a motor of its rated input current, 430.122(D). That the input of a phase
    converter counts likewise is our reading, on the safe side: no clause settles it.
    """
    running = {f"R{n}": figure for n, (_, figure) in enumerate(demand.running)}
    added = draft.work("added_a", "I_a", "A", " + ".join(running) or "0", "nec.220.87", **running)
    quarter = draft.book.factor("motor_feeder_largest") - 1.0
    largest: list[tuple[Figure, float, str]] = []
    place = f"{demand.prefix.rpartition('/')[0]}/circuits"
    for circuit in demand.circuits:
        path = f"{place}/{circuit.id}"
        if circuit.fed_from:
            continue
        if circuit.role == "supply":
            input_ = Figure(circuit.design_current_a, f"{path}/design_current_a")
            largest.append((input_, 1.0 + quarter, circuit.id))
        largest += [
            (Figure(float(step.value), step.path), 1.0, "")
            for step in (circuit.steps if circuit.role in ("branch", "idler") else ())
            if step.path.startswith(f"{path}/motors/") and step.path.endswith(FULL_LOAD)
        ]
    if not largest:
        return added, draft.work("largest_motor_a", "I_m", "A", "0", "nec.430.24")
    most, over, converter = max(largest, key=lambda one: one[0].value / one[1])
    formula = f"{quarter!r} * I / {over!r}" if converter else f"{quarter!r} * I"
    motor = draft.work("largest_motor_a", "I_m", "A", formula, "nec.430.24", I=most)
    if converter:
        draft.assumed(
            "supply.converter-counts-as-motor",
            parameters("current=A", circuit=converter, current=motor),
        )
        draft.ask("authority.converter-counts-as-motor", "", "figures", ("as a motor", "as a load"))
    return added, motor
