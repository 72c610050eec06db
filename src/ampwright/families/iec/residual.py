"""Residual current devices: where one is needed, of which type, and what stands ahead of it."""

from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.iec.book import Book
from ampwright.families.iec.device import Device
from ampwright.families.iec.draft import Draft
from ampwright.families.iec.faults import Disconnection
from ampwright.records.supply import Supply
from ampwright.region import CircuitDemand
from ampwright.step import Figure

NAME = "residual-current"
HERE = f"guards/{NAME}"
#: What filters let leak all the time.
LEAKING = ("drive", "machine-drive", "electronic")
#: What a socket-outlet may be rated for to need additional protection [A].
SOCKET_A = 32.0


def order(book: Book, kind: str) -> float:
    """Return the place of a type in the order of types."""
    return book.column("residual_current_types", "order")[kind]


def type_needed(book: Book, waveform: str, arrangement: str) -> str:
    """Return the smallest type that suits what a circuit feeds; never below the region's least."""
    asked = book.row("residual_current_needs", waveform)[arrangement]
    least = str(book.manifest["residual_current"]["lowest_type"])
    return max((asked, least), key=lambda one: order(book, one))


def between(demand: CircuitDemand, supply: Supply) -> str:
    """Return what a rectifier on the circuit, or behind its phase converter, stands between."""
    converter = demand.converter
    if converter is None:
        return "line-line" if demand.phases == 3 or demand.rectified else supply.arrangement
    # behind a transformer no line is a neutral for certain
    at_supply = converter.kind == "drive" and not demand.fed_from
    return supply.arrangement if at_supply else "line-line"


def reason(draft: Draft, demand: CircuitDemand, fault: Disconnection, rating: Figure) -> str:
    """Return why a residual current device is needed; ``""``: it is not."""
    if demand.cord and rating.value <= SOCKET_A:
        return "socket"
    if fault.system == "tt":
        return "" if demand.fed_from else "tt"
    if fault.reached is False or (fault.reached is None and demand.made_leg):
        return "fault-current"
    if draft.book.manifest["residual_current"]["every_circuit"] and fault.final:
        return "required"
    return ""


def guards(
    draft: Draft,
    demand: CircuitDemand,
    supply: Supply,
    device: Device,
    fault: Disconnection,
    waveform: str,
) -> tuple[ProtectiveDevice, ...]:
    """Return the residual current device of a circuit, if it needs one.

    That of a distribution circuit is less sensitive than those behind it; it is delayed too, so
    that a fault opens the circuit it is on, save in a system TT, where it stands for every circuit
    behind it: 0.13 s and more of a delayed one are longer than those may take at 400 V to earth.

    Args:
        draft: Sheet of the circuit; the steps stand below ``guards/residual-current``.
        demand: What was asked.
        supply: The supply, for what stands ahead of the shop.
        device: Overcurrent device at the head.
        fault: How a fault is disconnected.
        waveform: What residual current the circuit can cause.
    """
    book = draft.book
    kind = type_needed(book, waveform, between(demand, supply))
    _ahead(draft, supply, kind, waveform)
    why = reason(draft, demand, fault, device.rating)
    _said(draft, demand, fault, why)
    if not why:
        if waveform != "plain":
            draft.find("protection.residual-type-if-any", "info", "iec.531.3.order", needed=kind)
        return ()
    distributes = not fault.final and why in ("tt", "fault-current")
    selective = distributes and why == "fault-current"
    name = "residual_distribution_a" if distributes else "residual_final_a"
    if why in ("socket", "required"):
        name = "residual_additional_a"
    sensitivity = draft.factor(f"{HERE}/setting_a", "I_dn", name, "A")
    listed = book.column("residual_current_devices", "rating_a")
    key = next((key for key, one in listed.items() if one >= device.rating.value), None)
    if key is None:
        draft.find(
            "protection.residual-none-large-enough", "blocks", "iec.531.3.3", "needed=A",
            needed=device.rating,
        )  # fmt: skip
        return ()
    rating = draft.read(
        f"{HERE}/rating_a", "I_n", "A", table="residual_current_devices", key=key,
        column="rating_a", rule="iec.531.3.3", inputs=[("I_n", device.rating)],
    )  # fmt: skip
    # a device that does not embrace the neutral trips with whatever returns through it
    poles = (3 if demand.phases == 3 else 2) + demand.neutral
    draft.work(f"{HERE}/poles", "n", "", str(poles), "iec.531.3.3")
    draft.read(
        f"{HERE}/type", "type", "", table="residual_current_types", key=kind, column="order",
        value=kind, rule="iec.531.3.3",
    )  # fmt: skip
    if waveform in LEAKING and sensitivity.value <= book.factor("residual_additional_a"):
        draft.find("protection.residual-leakage", "caution", "iec.531.3.3")
    if fault.system == "tt":
        touch = draft.factor("fault/touch_voltage_v", "U_L", "touch_voltage_v", "V")
        most = draft.work(
            "fault/largest_earth_ohm", "R_A", "ohm", "U_L / I_dn", "iec.411.5",
            U_L=touch, I_dn=sensitivity,
        )  # fmt: skip
        draft.find(
            "protection.touch-voltage", "caution", "iec.411.5", "resistance=ohm touch=V",
            resistance=most, touch=touch,
        )  # fmt: skip
    return (
        ProtectiveDevice(
            id=NAME,
            kind="residual-current",
            rating_a=rating.value,
            curve=f"type {kind} S" if selective else f"type {kind}",
            poles=poles,
            setting_a=sensitivity.value,
        ),
    )


def _ahead(draft: Draft, supply: Supply, kind: str, waveform: str) -> None:
    """Say where a device ahead of the shop does not suit what it has to see, or may not."""
    book, ahead, sensitivity = draft.book, supply.residual_type, supply.residual_current_a
    if waveform in LEAKING and sensitivity is not None:
        stated = draft.stated("supply/residual_current_a", sensitivity)
        if stated.value <= book.factor("residual_additional_a"):
            draft.find(
                "protection.residual-leakage", "caution", "iec.531.3.3", "setting=A", setting=stated
            )
    if ahead is None:
        if sensitivity is not None and waveform != "plain":
            draft.find("protection.rcd-type", "caution", "iec.531.3.order", needed=kind)
            draft.ask_everywhere("plan.data-needed", "supply.residual_type", "safety")
        return
    known = ahead.upper()
    if known not in book.column("residual_current_types", "order"):
        return
    if order(book, known) < order(book, kind):
        draft.find("protection.rcd-type", "caution", "iec.531.3.order", type=known, needed=kind)


def _said(draft: Draft, demand: CircuitDemand, fault: Disconnection, why: str) -> None:
    """Say how a fault is disconnected, or what has to be measured before anyone relies on it."""
    if demand.own_source:
        draft.find("protection.own-source", "caution", "iec.411.4")
    if fault.system == "it" and not demand.fed_from:
        draft.find("protection.insulation-monitor", "caution", "iec.411.6")
    if why == "fault-current" and fault.needed is not None:
        said = {"needed": fault.needed}
        said |= {"fault": fault.least} if fault.least is not None else {}
        said |= {"time": fault.time} if fault.time is not None else {}
        draft.find(
            "protection.fault-not-disconnected", "caution", "iec.411.4", "fault=A needed=A time=s",
            **said,
        )  # fmt: skip
    if fault.system == "tn" and fault.reached is None and not demand.made_leg:
        _to_be_measured(draft, demand, fault)


def _to_be_measured(draft: Draft, demand: CircuitDemand, fault: Disconnection) -> None:
    """State the largest loop impedance at the end of the circuit, to be proved by measuring."""
    if fault.needed is None:
        return
    live = [leg for leg in demand.voltage_to_earth if leg.value > 1.0]
    if not live:
        return
    lowest = min(live, key=lambda leg: leg.value)
    most = draft.work(
        "fault/largest_loop_ohm", "Z_s", "ohm", "c * U_0 / I_a", "iec.411.4",
        c=draft.factor("fault/voltage_factor", "c", "voltage_factor"), U_0=lowest,
        I_a=fault.needed,
    )  # fmt: skip
    cold = draft.work(
        "fault/largest_loop_cold_ohm", "Z_m", "ohm", "k * Z_s", "iec.411.4",
        k=draft.factor("fault/cold_reading", "k", "cold_reading"), Z_s=most,
    )  # fmt: skip
    draft.find(
        "protection.loop-to-measure", "caution", "iec.411.4", "loop=ohm cold=ohm",
        loop=most, cold=cold,
    )  # fmt: skip
    if not demand.fed_from:
        draft.ask_everywhere("plan.data-needed", "supply.impedance", "safety")
