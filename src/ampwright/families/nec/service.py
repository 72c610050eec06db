"""The service: existing load, what is added, and what the main device leaves."""

from typing import NamedTuple

from ampwright.families.nec.book import Book
from ampwright.families.nec.building import separate_building
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.feeder import check_feeder
from ampwright.families.nec.panel import check_panel
from ampwright.finding import parameters
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import ExistingLoad, ServiceAnswer, ServiceDemand
from ampwright.step import Figure, Worksheet

#: Step of a motor's current in the circuit that feeds it.
FULL_LOAD = "/full_load_current_a"


#: Ways of recording a demand that 220.87 accepts.
RECORDED = ("year", "month")
MEASURED = "nec.220.87"


def answer_service(book: Book, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
    """Check the service against what is added to it, by the load that is there already."""
    draft = Draft(book, Worksheet(demand.prefix), ("service",))
    there = _existing(draft, supply, demand.existing)
    added, motor = _added(draft, demand, there)
    existing, rule = there.load, there.rule
    inputs = {"E": existing, "A": added, "M": motor}
    load = draft.work("load_a", "I_load", "A", "E + A + M", rule, **inputs)
    spare = enough = rating = None
    if supply.rating_a is None:
        draft.ask_everywhere("plan.data-needed", "supply.rating", "size")
    else:
        rating = draft.sheet.given("rating_a", "I_n", supply.rating_a, "A")
        spare = draft.work("spare_a", "I_spare", "A", "I_n - I_load", rule, I_n=rating, I_load=load)
        enough = spare.value >= 0.0
        if not enough:
            draft.find(
                "supply.undersized", "blocks", rule,
                "load=A rating=A existing=A added=A motor=A",
                load=load, rating=rating, existing=existing, added=added,
                **({"motor": motor} if motor.value else {}),
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


class There(NamedTuple):
    """The load that is there already.

    Attributes:
        load: What it counts for [A].
        rule: Rule that it counts by.
        motor: Its largest motor, where a share of that comes on top [A].
    """

    load: Figure
    rule: str
    motor: Figure | None = None


def _existing(draft: Draft, supply: Supply, calculated: ExistingLoad | None) -> There:
    """State what the existing load counts for: 125 % of a measured demand, or as calculated.

    A demand that was recorded as 220.87 asks stands for the load, whatever a calculation gives. Of
    one that may not have been, the larger of the two counts, for then only the other rule is sure
    to be met.
    """
    reckoned = calculated.load if calculated is not None else None
    if supply.existing_load_a is None:
        if calculated is not None and reckoned is not None:
            load = draft.work("existing_a", "I_e", "A", "C", calculated.rule, C=reckoned)
            return There(load, calculated.rule, calculated.motor)
        draft.ask_everywhere("plan.data-needed", "supply.existing_load", "size")
        nothing = draft.assume(
            "existing_a", "I_e", 0.0, "A", code="supply.no-existing-load",
            source=draft.book.rules[MEASURED], rule=MEASURED,
        )  # fmt: skip
        return There(nothing, MEASURED)
    stated = draft.sheet.given("existing_stated_a", "I_e", supply.existing_load_a, "A")
    formula = f"{draft.book.factor('measured_demand')!r} * I"
    recorded = supply.demand_record in RECORDED
    if supply.demand_record == "none" and reckoned is None:
        draft.find("supply.demand-not-recorded", "caution", MEASURED)
    elif supply.demand_record is None:
        draft.assumed("supply.existing-load-measured")
    if calculated is None or reckoned is None:
        return There(draft.work("existing_a", "I_e", "A", formula, MEASURED, I=stated), MEASURED)
    if recorded:
        draft.assumed("supply.measured-governs", parameters("calculated=A", calculated=reckoned))
        return There(draft.work("existing_a", "I_e", "A", formula, MEASURED, I=stated), MEASURED)
    measured = draft.work("measured_a", "I_e", "A", formula, MEASURED, I=stated)
    said = parameters("measured=A calculated=A", measured=measured, calculated=reckoned)
    draft.assumed("supply.larger-load-governs", said)
    larger = reckoned.value > measured.value
    rule, motor = (calculated.rule, calculated.motor) if larger else (MEASURED, None)
    load = draft.work("existing_a", "I_e", "A", "max(I, C)", rule, I=measured, C=reckoned)
    return There(load, rule, motor)


def _added(draft: Draft, demand: ServiceDemand, there: There) -> tuple[Figure, Figure]:
    """State what is added, and a quarter of the largest motor on the service [A].

    A drive counts as a motor of its rated input current, 430.122(D). That the input of a phase
    converter counts likewise is our reading, on the safe side: no clause settles it.
    """
    running = {f"R{n}": figure for n, (_, figure) in enumerate(demand.running)}
    added = draft.work("added_a", "I_a", "A", " + ".join(running) or "0", MEASURED, **running)
    quarter = draft.book.factor("motor_feeder_largest") - 1.0
    largest: list[tuple[Figure, float, str]] = []
    if there.motor is not None:
        largest.append((there.motor, 1.0, ""))
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
