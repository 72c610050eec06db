"""Fault currents: what the device must interrupt, and whether a fault on the made leg clears it."""

from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.nec.book import size_key
from ampwright.families.nec.conditions import Conditions
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.drop import TABLE_LENGTH_M, columns
from ampwright.families.nec.ratings import reaches
from ampwright.families.nec.relays import voltage_relay
from ampwright.region import CircuitDemand
from ampwright.step import Figure

#: A conductor below this is the grounded one of its circuit, not a live leg [V].
EARTHED_V = 1.0
#: A nominal voltage stands for what is up to this much above it. ANSI C84.1, range A, from memory.
NOMINAL = 1.05


def covers(nominal: float, volts: float) -> bool:
    """Tell whether a rating, stated as a *nominal* voltage, holds for *volts*."""
    return reaches(NOMINAL * nominal, volts)


def highest_to_earth(demand: CircuitDemand) -> float | None:
    """Return the highest voltage to earth of a circuit [V]; ``None``: not known."""
    return max((leg.value for leg in demand.voltage_to_earth), default=None)


def interrupting(draft: Draft, demand: CircuitDemand) -> Figure | None:
    """Return the smallest common interrupting rating that suffices [A]; ``None``: not known."""
    largest = demand.fault_largest
    if largest is None:
        draft.find("protection.fault-level", "caution", "nec.110.9")
        draft.ask_everywhere("plan.data-needed", "supply.fault_current", "safety")
        return None
    listed = draft.book.column("interrupting_ratings", "rating_a")
    key = next((key for key, rating in listed.items() if rating >= largest.value), None)
    if key is None:
        draft.find("protection.fault-level", "blocks", "nec.110.9", "fault=A", fault=largest)
        return None
    return draft.read(
        "protective_device/breaking_capacity_a", "I_cn", "A", table="interrupting_ratings",
        key=key, column="rating_a", rule="nec.110.9", inputs=[("I_k", largest)],
    )  # fmt: skip


def rated_voltage(draft: Draft, demand: CircuitDemand, legs: tuple[Figure, ...]) -> Figure | None:
    """Return the smallest breaker voltage whose lower figure bears every leg to earth [V]."""
    if not legs:
        return None
    formula = ", ".join(f"V{n}" for n in range(len(legs)))
    highest = draft.work(
        "protective_device/to_earth_v", "V_e", "V",
        f"max({formula})" if len(legs) > 1 else formula, "nec.240.85",
        **{f"V{n}": leg for n, leg in enumerate(legs)},
    )  # fmt: skip
    for row in draft.book.tables["breaker_voltages"].rows:
        earth, between = float(row["to_earth_v"]), float(row["between_v"])
        if covers(earth, highest.value) and covers(between, demand.voltage.value):
            break
    else:
        draft.find("supply.leg-voltage-to-earth", "blocks", "nec.240.85", "volts=V", volts=highest)
        return None
    rating = draft.read(
        "protective_device/rating_v", "V_n", "V", table="breaker_voltages", key=row["marking"],
        column="to_earth_v", rule="nec.240.85",
        inputs=[("V_e", highest), ("V", demand.voltage)],
    )  # fmt: skip
    if demand.made_leg:
        draft.find(
            "supply.leg-voltage-to-earth", "caution", "nec.240.85", "volts=V rating=V",
            volts=highest, rating=rating, marking=row["marking"],
        )  # fmt: skip
    return rating


def along(
    draft: Draft, conditions: Conditions, length: Figure, phase: str, protective: str
) -> tuple[Figure, Figure]:
    """State the impedance of phase and grounding conductor from end to end [ohm]."""
    found = []
    for name, symbol, size in (("phase", "Z_p", phase), ("protective", "Z_g", protective)):
        parts = {
            letter: draft.read(
                f"fault/{name}_{letter.lower()}_ohm_per_kft", letter, "ohm",
                table="conductor_impedance", key=size_key(size), column=column, rule="nec.9.9",
            )
            for letter, column in zip("RX", columns(draft.book, conditions), strict=True)
        }  # fmt: skip
        found.append(
            draft.work(
                f"fault/{name}_ohm", symbol, "ohm", f"(R + X) * L / {TABLE_LENGTH_M!r}", "nec.9.9",
                L=length, **parts,
            )
        )  # fmt: skip
    return found[0], found[1]


def smallest_fault(
    draft: Draft,
    conditions: Conditions,
    demand: CircuitDemand,
    phase: str,
    protective: str,
    legs: tuple[Figure, ...],
) -> Figure | None:
    """Return the smallest ground-fault current at the end of the circuit [A].

    A fault between lines draws more: it has the higher voltage and comes back through a conductor
    that is no thinner; `tests/properties/test_made_leg_line_faults.py` holds it. The loop is that
    of the source, of all that lies between it and the head of the circuit, and of the circuit.
    Resistances and reactances, these at 60 Hz, are added as magnitudes, and the lowest voltage to
    earth is taken, so the real current is not smaller, but for what the leakage of a converter's
    idler gains when less flows through it.
    """
    if demand.feeds_on:
        draft.in_fault = along(draft, conditions, demand.length, phase, protective)
    source = demand.fault_source
    live = tuple(leg for leg in legs if leg.value >= EARTHED_V)
    if source is None or not live:
        return None
    out, back = draft.in_fault or along(draft, conditions, demand.length, phase, protective)
    draft.loop = (out, back)
    names = ", ".join(f"V{n}" for n in range(len(live)))
    lowest = draft.work(
        "fault/lowest_v", "V_e", "V", f"min({names})" if len(live) > 1 else names,
        "nec.250.4(A)(5)", **{f"V{n}": leg for n, leg in enumerate(live)},
    )  # fmt: skip
    parts = {"V_e": lowest, "I_src": source, "Z_p": out, "Z_g": back}
    # what the made leg gives at the idler comes in over its two other lines
    lines = "2 * Z_p" if demand.made_leg and demand.role == "idler" else "Z_p"
    loop = f"V_e / I_src + {lines} + Z_g"
    if demand.fault_path is not None:
        parts["Z_a"], loop = demand.fault_path, f"{loop} + Z_a"
    return draft.work(
        "fault_current_min_a", "I_f", "A", f"V_e / ({loop})", "nec.250.4(A)(5)", **parts
    )


def guards(
    draft: Draft, demand: CircuitDemand, rating: Figure, least: Figure | None
) -> tuple[ProtectiveDevice, ...]:
    """Return what must drop a made leg where a ground fault does not open the device at once.

    A voltage relay on the circuit of an idler would see a dead line until the idler runs: there
    the one at the converter's output, or what controls the idler's start, has to drop it.

    Behind a transformer that is a ground-fault device: the voltages of a strong source may stay up.
    The code names no time. That a fault should reach the instantaneous trip of the slowest breaker
    is our reading of an effective fault-current path, and common practice.
    """
    if not (demand.made_leg or demand.stepped):
        return ()
    multiple = draft.read(
        "fault/instantaneous_multiple", "m", "", table="breaker_band", key="instantaneous_upper",
        column="value", rule="nec.250.4(A)(5)",
    )  # fmt: skip
    needed = draft.work(
        "fault/needed_a", "I_inst", "A", "m * I_r", "nec.250.4(A)(5)", m=multiple, I_r=rating
    )
    if least is not None and least.value >= needed.value:
        return ()
    known = {} if least is None else {"fault": least}
    if not demand.made_leg:
        draft.find(
            "protection.ground-fault-device", "caution", "nec.250.4(A)(5)", "fault=A needed=A",
            needed=needed, **known,
        )  # fmt: skip
        poles = 3 if demand.phases == 3 else 2
        draft.work("guards/residual-current/poles", "n", "", str(poles), "nec.250.4(A)(5)")
        return (ProtectiveDevice(id="residual-current", kind="residual-current", poles=poles),)
    if demand.role == "idler":
        draft.find(
            "protection.idler-fault", "caution", "nec.250.4(A)(5)", "fault=A needed=A",
            needed=needed, **known,
        )  # fmt: skip
        return ()
    relay = voltage_relay(draft, demand, draft.loop, least)
    set_to = {
        name: Figure(value, f"{draft.sheet.prefix}/guards/voltage-relay/{field}")
        for name, field, value in (
            ("dropout", "setting_v", relay.setting_v), ("delay", "delay_s", relay.delay_s),
        )
        if value is not None
    }  # fmt: skip
    draft.find(
        "protection.made-leg-fault", "caution", "nec.250.4(A)(5)",
        "fault=A needed=A dropout=V delay=s", needed=needed,
        known="yes" if least is not None else "no", remedy="voltage-relay", **known, **set_to,
    )  # fmt: skip
    return (relay,)
