"""Voltage drop along a circuit."""

from collections.abc import Callable

from ampwright.families.iec.ampacity import ROUNDING
from ampwright.families.iec.book import Book
from ampwright.families.iec.conditions import Conditions
from ampwright.families.iec.draft import Draft
from ampwright.families.iec.resistance import REACTANCE_HZ, TABLE_C, per_metre, reactance
from ampwright.region import CircuitDemand
from ampwright.step import Figure, evaluate


def formula(phases: int) -> str:
    """Return the drop over the voltage, for one or three phases; annex G of IEC 60364-5-52."""
    loop = "2" if phases == 1 else "sqrt(3)"
    along = f"R * pf + X * f / {REACTANCE_HZ!r} * sqrt(max(1 - pf ** 2, 0))"
    return f"{loop} * I * L * ({along}) / V"


def starting_formula(phases: int) -> str:
    """Return what a start takes off the voltage, exactly, over the voltage.

    While a rotor is locked the resistance of thin conductors turns the voltage, which the usual
    drop leaves out. One means that nothing is left; see `ampwright.kernels.cable.load_voltage_v`.
    """
    loop = "2" if phases == 1 else "sqrt(3)"
    turned = f"X * f / {REACTANCE_HZ!r} * pf - R * sqrt(max(1 - pf ** 2, 0))"
    across = f"{loop} * I * L * ({turned}) / V"
    return f"1 - max(sqrt(max(1 - ({across}) ** 2, 0)) - {formula(phases)}, 0)"


def warm(book: Book, installed: Conditions, key: str) -> float:
    """Return the resistance of one conductor of a size in service, for comparing sizes [ohm/m]."""
    cold = book.cell("resistance", key, installed.metal) or 0.0
    alpha = book.factor(f"alpha_{installed.material}")
    return cold / 1000.0 * (1.0 + alpha * (installed.limit.value - TABLE_C))


def fraction(book: Book, installed: Conditions, demand: CircuitDemand, key: str) -> float:
    """Return the running drop of a size, for comparing sizes."""
    ohms = warm(book, installed, key)
    across = book.factor("reactance_ohm_per_m") * demand.frequency.value / REACTANCE_HZ
    pf = demand.power_factor.value
    loop = 2.0 if demand.phases == 1 else 3.0**0.5
    along = ohms * pf + across * max(1.0 - pf * pf, 0.0) ** 0.5
    amps, volts = demand.running_current.value, demand.voltage.value
    return float(loop * amps * demand.length.value * along / volts)


def binding(
    book: Book, installed: Conditions, demand: CircuitDemand
) -> Callable[[str], bool] | None:
    """Return the question whether a size keeps the drop that the code makes binding, if any.

    It binds from the origin to the machine, so a circuit that others hang on leaves them a share.
    """
    limit = book.manifest.get("limits", {}).get("drop_fraction")
    if limit is None:
        return None
    ahead = demand.drop_ahead.value if demand.drop_ahead is not None else 0.0
    shared = demand.feeds_on and demand.role != "idler"
    most = (limit - ahead) * (book.factor("drop_share") if shared else 1.0)
    return lambda key: fraction(book, installed, demand, key) <= most


def bearing(
    book: Book, installed: Conditions, demand: CircuitDemand
) -> Callable[[str], bool] | None:
    """Return the question whether a size leaves a start enough voltage, where one asks for it."""
    most, begun = demand.starting_drop_limit, demand.starting_current
    if most is None or begun is None:
        return None
    given = demand.starting_power_factor
    values = {
        "I": begun.value, "L": demand.length.value, "f": demand.frequency.value,
        "V": demand.voltage.value, "X": book.factor("reactance_ohm_per_m"),
        "pf": book.factor("locked_power_factor") if given is None else given.value,
    }  # fmt: skip
    text = starting_formula(demand.phases)
    return lambda key: (
        evaluate(text, values | {"R": warm(book, installed, key)}) <= most.value * (1 + ROUNDING)
    )


def drops(
    draft: Draft,
    installed: Conditions,
    demand: CircuitDemand,
    key: str,
    candidates: tuple[str, ...],
) -> tuple[Figure, Figure | None]:
    """Return the drop while running and during the worst start, over nominal.

    Args:
        draft: Sheet of the circuit.
        installed: How it is installed.
        demand: What was asked.
        key: Size chosen.
        candidates: Sizes, smallest first, among which one may keep the recommendation.
    """
    shared = {
        "R": per_metre(draft, "line", installed, key),
        "X": reactance(draft),
        "L": demand.length,
        "f": demand.frequency,
        "V": demand.voltage,
    }
    running = draft.work(
        "voltage_drop_fraction", "u", "", formula(demand.phases), "iec.525",
        I=demand.running_current, pf=demand.power_factor, **shared,
    )  # fmt: skip
    starting = None
    if demand.starting_current is not None:
        pf = demand.starting_power_factor
        if pf is None:
            pf = draft.factor("starting_power_factor", "cos phi", "locked_power_factor")
        starting = draft.work(
            "starting_drop_fraction", "u", "", starting_formula(demand.phases), "iec.525",
            I=demand.starting_current, pf=pf, **shared,
        )  # fmt: skip
    _recommended(draft, installed, demand, running, starting, candidates)
    return running, starting


def _recommended(
    draft: Draft,
    installed: Conditions,
    demand: CircuitDemand,
    running: Figure,
    starting: Figure | None,
    candidates: tuple[str, ...],
) -> None:
    """Say where the drop exceeds what is recommended, and which size would keep it."""
    book = draft.book
    limit = draft.work(
        "drop/recommended_fraction", "u_max", "", "u_0 + min(max(L - L_0, 0) * k, u_m)",
        "iec.525", u_0=draft.factor("drop/recommended", "u_0", "drop_recommended"),
        L=demand.length, L_0=draft.factor("drop/from_m", "L_0", "drop_from_m", "m"),
        k=draft.factor("drop/fraction_per_m", "k", "drop_per_m"),
        u_m=draft.factor("drop/extra_most", "u_m", "drop_extra_most"),
    )  # fmt: skip
    ahead: dict[str, Figure] = {}
    if demand.drop_ahead is not None:
        ahead["ahead"] = demand.drop_ahead
    before = demand.drop_ahead.value if demand.drop_ahead is not None else 0.0
    if running.value + before > limit.value:
        kept = [
            key
            for key in candidates
            if fraction(book, installed, demand, key) + before <= limit.value
        ]
        draft.find(
            "feeder.voltage-drop", "caution", book.factors["drop_recommended"].rule, "",
            **ahead, drop=running, recommended_total=limit,
            sufficient=f"{kept[0]} mm2" if kept else "",
        )  # fmt: skip
    most = draft.factor("drop/start_most", "u_s", "drop_start_recommended")
    if starting is not None and starting.value > most.value:
        draft.find(
            "feeder.starting-drop", "caution", book.factors["drop_start_recommended"].rule,
            drop=starting, recommended=most,
        )  # fmt: skip
