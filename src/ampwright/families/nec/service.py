"""The service: existing load, what is added, and what the main device leaves."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from ampwright.equipment.circuit import Circuit
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
    motors = _motors(draft, demand)
    there = _existing(draft, supply, demand.existing, motors)
    added, motor = _added(draft, demand, there, motors)
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


class _Largest(NamedTuple):
    """What may be the largest motor on the service.

    Attributes:
        current: Its current, in its own circuit [A].
        over: What that current is above the one of its plate.
        converter: Circuit of the converter that counts as a motor; ``""``: it is one.
        volts: Voltage of its circuit and, ahead of a transformer, of the panel [V].
    """

    current: Figure
    over: float = 1.0
    converter: str = ""
    volts: tuple[Figure, Figure] | None = None

    @property
    def at_panel(self) -> float:
        """Current that it draws from the panel [A]."""
        turns = self.volts[0].value / self.volts[1].value if self.volts is not None else 1.0
        return self.current.value * turns / self.over

    def drawn(self) -> tuple[str, dict[str, Figure]]:
        """Return what it draws from the panel, as a formula with its inputs."""
        formula, inputs = "I", {"I": self.current}
        if self.volts is not None:
            formula += " * U_2 / U_1"
            inputs |= {"U_2": self.volts[0], "U_1": self.volts[1]}
        return (formula if self.over == 1.0 else f"{formula} / {self.over!r}"), inputs


def _largest(motors: Sequence[_Largest]) -> _Largest:
    return max(motors, key=lambda one: one.at_panel)


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


def _existing(
    draft: Draft, supply: Supply, calculated: ExistingLoad | None, motors: Sequence[_Largest]
) -> There:
    """State what the existing load counts for: 125 % of a measured demand, or as calculated.

    A demand that was recorded as 220.87 asks stands for the load, whatever a calculation gives. Of
    one that may not have been, the larger of the two counts, for then only the other rule is sure
    to be met: with the quarter of the largest motor of the dwelling, as far as none of *motors* is
    larger.
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
    whole = _with_motor(draft, calculated, reckoned, motors)
    said = parameters("measured=A calculated=A", measured=measured, calculated=whole)
    draft.assumed("supply.larger-load-governs", said)
    if whole.value > measured.value:
        load = draft.work("existing_a", "I_e", "A", "C", calculated.rule, C=reckoned)
        return There(load, calculated.rule, calculated.motor)
    return There(draft.work("existing_a", "I_e", "A", "I", MEASURED, I=measured), MEASURED)


def _with_motor(
    draft: Draft, calculated: ExistingLoad, reckoned: Figure, motors: Sequence[_Largest]
) -> Figure:
    """Return a calculated load, and by how much more its largest motor counts than *motors* [A]."""
    if calculated.motor is None:
        return reckoned
    none: dict[str, Figure] = {}
    most, inputs = _largest(motors).drawn() if motors else ("0", none)
    quarter = draft.book.factor("motor_feeder_largest") - 1.0
    return draft.work(
        "calculated_a", "I_c", "A", f"C + {quarter!r} * max(M - {most}, 0)", "nec.430.24",
        C=reckoned, M=calculated.motor, **inputs,
    )  # fmt: skip


def _on_panel(circuit: Circuit, by_id: Mapping[str, Circuit]) -> Circuit | None:
    """Return the circuit at the panel that leads to *circuit*; ``None``: by way of a converter.

    What hangs on a converter counts with the input of that, a transformer makes no difference.
    """
    while circuit.fed_from:
        ahead = by_id.get(circuit.fed_from)
        if ahead is None or ahead.role != "branch" or ahead.phases != 1:
            return None
        circuit = ahead
    return circuit


def _motors_of(circuit: Circuit, head: Circuit, place: str, over: float) -> list[_Largest]:
    """Return the motors of a circuit, the converter that it feeds among them."""
    path, volts = f"{place}/{circuit.id}", None
    if head is not circuit:
        volts = (Figure(circuit.voltage_v, f"{path}/voltage_v"),
                 Figure(head.voltage_v, f"{place}/{head.id}/voltage_v"))  # fmt: skip
    if circuit.role == "supply":
        input_ = Figure(circuit.design_current_a, f"{path}/design_current_a")
        return [_Largest(input_, over, circuit.id, volts)]
    return [
        _Largest(Figure(float(step.value), step.path), volts=volts)
        for step in (circuit.steps if circuit.role in ("branch", "idler") else ())
        if step.path.startswith(f"{path}/motors/") and step.path.endswith(FULL_LOAD)
    ]


def _motors(draft: Draft, demand: ServiceDemand) -> list[_Largest]:
    """Return what may be the largest motor of what the plan adds."""
    over = draft.book.factor("motor_feeder_largest")
    place = f"{demand.prefix.rpartition('/')[0]}/circuits"
    by_id = {one.id: one for one in demand.circuits}
    found = []
    for circuit in demand.circuits:
        head = _on_panel(circuit, by_id)
        if head is not None:
            found += _motors_of(circuit, head, place, over)
    return found


def _added(
    draft: Draft, demand: ServiceDemand, there: There, motors: Sequence[_Largest]
) -> tuple[Figure, Figure]:
    """State what is added, and a quarter of the largest motor on the service [A].

    A drive counts as a motor of its rated input current, 430.122(D). That the input of a phase
    converter counts likewise is our reading, on the safe side: no clause settles it.
    """
    running = {f"R{n}": figure for n, (_, figure) in enumerate(demand.running)}
    added = draft.work("added_a", "I_a", "A", " + ".join(running) or "0", MEASURED, **running)
    quarter = draft.book.factor("motor_feeder_largest") - 1.0
    at_home = [] if there.motor is None else [_Largest(there.motor)]
    if not motors and not at_home:
        return added, draft.work("largest_motor_a", "I_m", "A", "0", "nec.430.24")
    most = _largest([*at_home, *motors])
    formula, inputs = most.drawn()
    motor = draft.work(
        "largest_motor_a", "I_m", "A", f"{quarter!r} * {formula}", "nec.430.24", **inputs
    )
    converter = most.converter
    if converter:
        draft.assumed(
            "supply.converter-counts-as-motor",
            parameters("current=A", circuit=converter, current=motor),
        )
        draft.ask("authority.converter-counts-as-motor", "", "figures", ("as a motor", "as a load"))
    return added, motor
