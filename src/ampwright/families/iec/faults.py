"""Faults: breaking capacity, rated voltage, what a device lets through, disconnection in time."""

from typing import NamedTuple

from ampwright.families.iec.conditions import Conditions
from ampwright.families.iec.curves import fuse_operates_at, let_through_row
from ampwright.families.iec.device import Device
from ampwright.families.iec.draft import Draft
from ampwright.families.iec.resistance import REACTANCE_HZ, per_metre, reactance
from ampwright.records.supply import Supply
from ampwright.region import CircuitDemand
from ampwright.step import Figure

#: Nominal values stand for voltages up to this multiple; IEC 60038, from memory.
NOMINAL = 1.1
#: A conductor below this to earth is the earthed one of its circuit [V].
EARTHED_V = 1.0


def system(supply: Supply, demand: CircuitDemand, usual: str) -> str:
    """Return ``"tn"``, ``"tt"`` or ``"it"``; the region's usual one where it is not stated.

    Separate windings are a source of their own, whatever the system ahead of them: with a point
    earthed at the transformer and joined to the protective conductor there, a system TN.
    """
    if demand.own_source:
        return "tn"
    stated = supply.earthing or usual
    return "tn" if stated.startswith("tn") else stated


def breaking(draft: Draft, demand: CircuitDemand) -> Figure | None:
    """Return the smallest usual breaking capacity that suffices [A]; ``None``: not known."""
    largest = demand.fault_largest
    if largest is None:
        draft.find("protection.fault-level", "caution", "iec.434.5.1")
        draft.ask_everywhere("plan.data-needed", "supply.fault_current", "safety")
        return None
    listed = draft.book.column("breaking_capacities", "rating_a")
    key = next((key for key, rating in listed.items() if rating >= largest.value), None)
    if key is None:
        draft.find("protection.fault-level", "blocks", "iec.434.5.1", "fault=A", fault=largest)
        return None
    return draft.read(
        "protective_device/breaking_capacity_a", "I_cn", "A", table="breaking_capacities",
        key=key, column="rating_a", rule="iec.434.5.1", inputs=[("I_k", largest)],
    )  # fmt: skip


def highest_to_earth(draft: Draft, legs: tuple[Figure, ...]) -> Figure | None:
    """State the highest voltage to earth of the legs [V]; ``None``: not known."""
    if not legs:
        return None
    names = ", ".join(f"V{n}" for n in range(len(legs)))
    return draft.work(
        "protective_device/to_earth_v", "U_0", "V", f"max({names})" if len(legs) > 1 else names,
        "iec.411.3.2", **{f"V{n}": leg for n, leg in enumerate(legs)},
    )  # fmt: skip


def rated_voltage(draft: Draft, demand: CircuitDemand, highest: Figure | None) -> Figure | None:
    """Return the smallest rated voltage to earth of a device that bears every leg [V]."""
    if highest is None:
        return None
    for row in draft.book.tables["device_voltages"].rows:
        to_earth, between = float(row["to_earth_v"]), float(row["between_v"])
        if highest.value <= NOMINAL * to_earth and demand.voltage.value <= NOMINAL * between:
            break
    else:
        draft.find("supply.leg-voltage-to-earth", "blocks", "iec.60898-1", "volts=V", volts=highest)
        return None
    rating = draft.read(
        "protective_device/rating_v", "U_n", "V", table="device_voltages", key=row["marking"],
        column="to_earth_v", rule="iec.60898-1", inputs=[("U_0", highest), ("U", demand.voltage)],
    )  # fmt: skip
    lowest = float(draft.book.tables["device_voltages"].rows[0]["to_earth_v"])
    if demand.made_leg and to_earth > lowest:
        draft.find(
            "supply.leg-voltage-to-earth", "caution", "iec.60898-1", "volts=V rating=V",
            volts=highest, rating=rating, marking=row["marking"],
        )  # fmt: skip
    return rating


def let_through(draft: Draft, demand: CircuitDemand, device: Device) -> Figure | None:
    """State the largest energy that the device lets through [A2 s]; ``None``: no row bounds it.

    Where none does, that the device also protects from overload stands for the check.
    """
    largest = demand.fault_largest
    if largest is None:
        return None
    row = let_through_row(draft.book, device.curve.name, device.rating.value, largest.value)
    if row is None:
        draft.assumed("protection.fault-by-overload-device")
        return None
    return draft.read(
        "fault/let_through_a2s", "E", "A2 s", table="let_through", key=row["row"],
        column="let_through_a2s", rule=row.get("rule") or "iec.60898-1.let-through",
        inputs=[("I_n", device.rating), ("I_k", largest)],
    )  # fmt: skip


class Disconnection(NamedTuple):
    """How a fault at the end of the circuit is disconnected.

    Attributes:
        system: ``"tn"``, ``"tt"`` or ``"it"``.
        final: It is a final circuit that the table binds.
        time: Longest time allowed [s]; ``None``: no voltage to earth is known.
        least: Smallest fault current at its end [A]; ``None``: not known.
        needed: Current with which the device acts in that time [A].
        reached: The device acts in time; ``None``: not known.
    """

    system: str
    final: bool
    time: Figure | None
    least: Figure | None
    needed: Figure | None
    reached: bool | None


def disconnection(
    draft: Draft,
    installed: Conditions,
    demand: CircuitDemand,
    supply: Supply,
    device: Device,
    sizes: tuple[str, str],
    highest: Figure | None,
) -> Disconnection:
    """State time, smallest fault current and what the device needs; the steps: ``fault``.

    Args:
        draft: Sheet of the circuit.
        installed: How it is installed.
        demand: What was asked.
        supply: The supply.
        device: The device at the head.
        sizes: Of line and protective conductor.
        highest: Highest voltage to earth of a leg [V].
    """
    kind = system(supply, demand, draft.book.usual("earthing"))
    if supply.earthing is None and not demand.own_source:
        draft.everywhere("supply.earthing-assumed", earthing=kind)
        draft.ask_everywhere(
            "plan.data-needed", "supply.earthing", "safety", ("tn-s", "tn-c-s", "tt", "it")
        )
    if demand.feeds_on:
        draft.in_fault = along(draft, installed, demand, sizes)
    final = is_final(draft, demand, device)
    time = _longest(draft, kind, highest, final=final)
    least = None
    if kind != "tt" and highest is not None:
        least = smallest_fault(draft, installed, demand, supply, sizes, kind)
    needed = None if time is None else operating(draft, device, time)
    reached = None
    if least is not None and needed is not None:
        reached = least.value >= needed.value
    return Disconnection(
        system=kind, final=final, time=time, least=least, needed=needed, reached=reached
    )


def is_final(draft: Draft, demand: CircuitDemand, device: Device) -> bool:
    """Tell whether the times for final circuits bind: by role, rating and a socket at its end."""
    converter = demand.converter
    feeds_more = demand.role in ("output", "service") or (
        demand.role == "supply" and converter is not None and converter.kind == "phase-converter"
    )
    most = draft.book.factor("final_cord_a" if demand.cord else "final_fixed_a")
    return not feeds_more and device.rating.value <= most


def _longest(draft: Draft, kind: str, highest: Figure | None, *, final: bool) -> Figure | None:
    if highest is None:
        return None
    wanted = "tt" if kind == "tt" else "tn"
    for row in draft.book.tables["disconnection_times"].rows:
        # the table is by nominal voltage, which stands for a band around it
        if row["system"] == wanted and highest.value <= NOMINAL * float(row["upto_v"]):
            return draft.read(
                "fault/longest_s", "t", "s", table="disconnection_times", key=row["row"],
                column="final_s" if final else "distribution_s", rule="iec.411.3.2",
                inputs=[("U_0", highest)],
            )  # fmt: skip
    return None


def operating(draft: Draft, device: Device, time: Figure) -> Figure | None:
    """State the current with which the slowest such device acts in time [A]."""
    curve = device.curve
    if curve.instant_high is not None:
        multiple = draft.read(
            "fault/instantaneous_multiple", "m", "", table="device_curves", key=curve.row,
            column="instant_high", rule=curve.rule,
        )  # fmt: skip
        return draft.work(
            "fault/needed_a", "I_a", "A", "m * I_n", "iec.411.4", m=multiple, I_n=device.rating
        )
    found = fuse_operates_at(device.rating.value, time.value)
    if found is None:
        return None
    return draft.sheet.solved(
        "fault/needed_a", "I_a", found, "A", model="slowest gG fuse that the gates allow",
        source=draft.book.rules["iec.60269-1"], residual=0.0, rule="iec.411.4",
        inputs=[("I_n", device.rating), ("t", time)],
    )  # fmt: skip


def along(
    draft: Draft, installed: Conditions, demand: CircuitDemand, sizes: tuple[str, str]
) -> tuple[Figure, Figure]:
    """State the impedance of line and protective conductor from end to end, hot [ohm]."""
    across = reactance(draft)

    def one(name: str, symbol: str, key: str) -> Figure:
        return draft.work(
            f"fault/{name}_ohm", symbol, "ohm", f"(R + X * f / {REACTANCE_HZ!r}) * L", "iec.411.4",
            R=per_metre(draft, f"{name}_in_fault", installed, key), X=across, f=demand.frequency,
            L=demand.length,
        )  # fmt: skip

    return one("line", "Z_1", sizes[0]), one("protective", "Z_2", sizes[1])


def smallest_fault(
    draft: Draft,
    installed: Conditions,
    demand: CircuitDemand,
    supply: Supply,
    sizes: tuple[str, str],
    kind: str,
) -> Figure | None:
    """State the smallest earth-fault current at the end of the circuit [A].

    The loop is that of the source, of all that lies between it and the head of the circuit, and of
    the circuit. Resistances and reactances are added as magnitudes, and the lowest voltage to earth
    is taken, so the real current is not smaller, but for what the leakage of a converter's idler
    gains when less flows through it. In an isolated system the second fault counts, which goes
    round two circuits of the same kind.
    """
    live = tuple(leg for leg in demand.voltage_to_earth if leg.value > EARTHED_V)
    if not live:
        return None
    names = ", ".join(f"V{n}" for n in range(len(live)))
    lowest = draft.work(
        "fault/lowest_v", "U_0", "V", f"min({names})" if len(live) > 1 else names, "iec.411.4",
        **{f"V{n}": leg for n, leg in enumerate(live)},
    )  # fmt: skip
    source = _source(draft, demand, supply, lowest)
    if source is None:
        return None
    line, back = draft.in_fault or along(draft, installed, demand, sizes)
    parts = {"Z": source, "Z_1": line, "Z_2": back}
    # what the made line gives at the idler comes in over its two other lines
    lines = "2 * Z_1" if demand.made_leg and demand.role == "idler" else "Z_1"
    formula = f"Z + {lines} + Z_2"
    if demand.fault_path is not None:
        parts["Z_a"], formula = demand.fault_path, f"{formula} + Z_a"
    ohms = draft.work("fault/loop_ohm", "Z_s", "ohm", formula, "iec.411.4", **parts)
    factor = draft.factor("fault/voltage_factor", "c", "voltage_factor")
    loops = "c * U_0 / (2 * Z_s)" if kind == "it" else "c * U_0 / Z_s"
    rule = "iec.411.6" if kind == "it" else "iec.411.4"
    return draft.work(
        "fault_current_min_a", "I_f", "A", loops, rule, c=factor, U_0=lowest, Z_s=ohms
    )


def _source(draft: Draft, demand: CircuitDemand, supply: Supply, lowest: Figure) -> Figure | None:
    """State the impedance of what feeds the head of the circuit [ohm]; ``None``: not known."""
    if demand.fault_source is not None:
        return draft.work(
            "fault/source_ohm", "Z", "ohm", "U_0 / I", "iec.411.4",
            U_0=lowest, I=demand.fault_source,
        )  # fmt: skip
    if demand.made_leg or demand.fed_from:
        return None
    if supply.impedance_ohm is not None:
        given = draft.sheet.given("fault/stated_ohm", "Z", float(supply.impedance_ohm), "ohm")
        return draft.work("fault/source_ohm", "Z", "ohm", "Z", "iec.411.4", Z=given)
    if demand.fault_largest is not None:
        # the voltage that drives the stated current is that between the two conductors
        return draft.work(
            "fault/source_ohm", "Z", "ohm", "U / I", "iec.411.4",
            U=demand.voltage, I=demand.fault_largest,
        )  # fmt: skip
    return None
