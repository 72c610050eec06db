"""Voltage drop along a circuit, from resistance and reactance of the table."""

from ampwright.families.nec.ampacity import START, Rule, Rules
from ampwright.families.nec.book import Book, size_name
from ampwright.families.nec.conditions import Conditions
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import reaches
from ampwright.region import CircuitDemand
from ampwright.step import Figure, evaluate

#: 1000 ft, the length that the table stands for [m].
TABLE_LENGTH_M = 304.8
#: Power factor of a locked rotor where the model gives none: 0.3 to 0.5 is usual; common practice.
LOCKED_POWER_FACTOR = 0.4


def columns(book: Book, conditions: Conditions) -> tuple[str, str]:
    """Return the columns of resistance and reactance; a cable counts as lying in plastic."""
    row = book.tables["raceways"].row(conditions.raceway or "PVC-40")
    ending, reactance = (row["resistance"], row["reactance"]) if row else ("pvc", "xl_pvc_al")
    return f"r_{conditions.metal}_{ending}", reactance


def formula(phases: int) -> str:
    """Return the drop over the voltage, for one or three phases."""
    loop = "2" if phases == 1 else "sqrt(3)"
    reactive = "X * f / 60 * sqrt(1 - pf ** 2)"
    return f"{loop} * I * L / {TABLE_LENGTH_M!r} * (R * pf + {reactive}) / V"


def starting_formula(phases: int) -> str:
    """Return what a start takes off the voltage, exactly, over the voltage.

    While a rotor is locked the resistance of thin conductors turns the voltage, which the usual
    drop leaves out. One means that nothing is left; see `ampwright.kernels.cable.load_voltage_v`.
    """
    loop = "2" if phases == 1 else "sqrt(3)"
    across = f"{loop} * I * L / {TABLE_LENGTH_M!r} * (X * f / 60 * pf - R * sqrt(1 - pf ** 2)) / V"
    return f"1 - max(sqrt(max(1 - ({across}) ** 2, 0)) - {formula(phases)}, 0)"


def fraction(book: Book, conditions: Conditions, demand: CircuitDemand, key: str) -> float:
    """Return the running drop of a size, for comparing sizes."""
    ohms, across = _ohms(book, conditions, key)
    amps, pf = demand.running_current.value, demand.power_factor.value
    loop = 2.0 if demand.phases == 1 else 3.0**0.5
    along = ohms * pf + across * demand.frequency.value / 60.0 * (1.0 - pf * pf) ** 0.5
    length = demand.length.value / TABLE_LENGTH_M
    return float(loop * amps * length * along / demand.voltage.value)


def starting_fraction(
    book: Book, conditions: Conditions, demand: CircuitDemand, key: str, amps: float, pf: float
) -> float:
    """Return the starting drop of a size, for comparing sizes."""
    ohms, across = _ohms(book, conditions, key)
    values = {
        "I": amps, "pf": pf, "R": ohms, "X": across, "L": demand.length.value,
        "f": demand.frequency.value, "V": demand.voltage.value,
    }  # fmt: skip
    return evaluate(starting_formula(demand.phases), values)


def _ohms(book: Book, conditions: Conditions, key: str) -> tuple[float, float]:
    resistance, reactance = columns(book, conditions)
    ohms, across = (book.column("conductor_impedance", one)[key] for one in (resistance, reactance))
    return ohms, across


def limited(book: Book, conditions: Conditions, demand: CircuitDemand) -> Rules:
    """Return the rules on a size that limit the drop: the code's, and that the start succeeds."""
    rules: dict[str, Rule] = {}
    limit, most = conditions.drop_limit, demand.starting_drop_limit
    if limit is not None:
        rules["voltage-drop"] = lambda key: reaches(limit, fraction(book, conditions, demand, key))
    if most is not None and demand.starting_current is not None:
        amps = demand.starting_current.value
        given = demand.starting_power_factor
        factor = given.value if given is not None else LOCKED_POWER_FACTOR
        rules[START] = lambda key: reaches(
            most.value, starting_fraction(book, conditions, demand, key, amps, factor)
        )
    return rules


def drops(
    draft: Draft,
    conditions: Conditions,
    demand: CircuitDemand,
    key: str,
    candidates: tuple[str, ...],
) -> tuple[Figure, Figure | None]:
    """Return the drop while running and during the worst start, over nominal.

    Args:
        draft: Sheet of the circuit.
        conditions: How the circuit is installed.
        demand: What was asked.
        key: Size chosen.
        candidates: Sizes, smallest first, among which one may keep the recommendation.
    """
    book = draft.book
    resistance, reactance = columns(book, conditions)
    read = {}
    for name, column in (("R", resistance), ("X", reactance)):
        read[name] = draft.read(
            f"impedance/{name.lower()}_ohm_per_kft", name, "ohm", table="conductor_impedance",
            key=key, column=column, rule="nec.9.9",
        )  # fmt: skip
    common = {**read, "L": demand.length, "f": demand.frequency, "V": demand.voltage}
    running = draft.work(
        "voltage_drop_fraction", "u", "", formula(demand.phases), "nec.9.9",
        I=demand.running_current, pf=demand.power_factor, **common,
    )  # fmt: skip
    starting = None
    if demand.starting_current is not None:
        power_factor = demand.starting_power_factor
        if power_factor is None:
            power_factor = draft.sheet.assumed(
                "starting_power_factor", "pf", LOCKED_POWER_FACTOR, "",
                source=book.source("breaker_band"), low=0.3, high=0.5,
            )  # fmt: skip
        starting = draft.work(
            "starting_drop_fraction", "u", "", starting_formula(demand.phases), "nec.9.9",
            I=demand.starting_current, pf=power_factor, **common,
        )  # fmt: skip
    recommended(draft, conditions, demand, running, candidates)
    most = demand.starting_drop_limit
    if starting is not None and most is not None and not reaches(most.value, starting.value):
        draft.find("feeder.voltage-drop", "caution", "nec.9.9", drop=starting, recommended=most)
    return running, starting


def recommended(
    draft: Draft,
    conditions: Conditions,
    demand: CircuitDemand,
    running: Figure,
    candidates: tuple[str, ...],
) -> None:
    """Say where the drop exceeds what the notes recommend, and which size would keep it."""
    book = draft.book
    converter = demand.converter is not None and demand.converter.kind == "phase-converter"
    rule = "nec.455.6(A)" if converter else "nec.210.19(A)"
    limit, total = book.factor("drop_recommended"), book.factor("drop_recommended_total")
    if demand.drop_ahead is not None:
        limit = min(limit, total - demand.drop_ahead.value)
    if reaches(limit, running.value):
        return
    kept = [key for key in candidates if reaches(limit, fraction(book, conditions, demand, key))]
    said = {"drop": running}
    if demand.drop_ahead is not None:
        said["ahead"] = demand.drop_ahead
    said["recommended"] = draft.factor("drop/recommended", "u", "drop_recommended")
    said["recommended_total"] = draft.factor(
        "drop/recommended_total", "u", "drop_recommended_total"
    )
    size = size_name(kept[0]) if kept else ""
    draft.find("feeder.voltage-drop", "caution", rule, "", sufficient=size, **said)
