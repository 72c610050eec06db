"""The panel: free poles, largest branch, slash rating and fault rating."""

import re

from ampwright.equipment.circuit import Circuit
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.faults import covers
from ampwright.records.supply import Panel, Supply
from ampwright.region import ServiceDemand
from ampwright.step import Figure


def check_panel(draft: Draft, demand: ServiceDemand, supply: Supply, rating: Figure | None) -> None:
    """Say where the panel does not take the circuits that it is to feed.

    Args:
        draft: Sheet of the service; the steps stand below ``panel``.
        demand: What is added; its circuits that no other feeds hang on the panel.
        supply: What is known of the panel.
        rating: Rating of the main device [A]; ``None``: not known.
    """
    panel = supply.panel
    fed = [one for one in demand.circuits if not one.fed_from]
    if panel is None:
        if fed:
            draft.ask_everywhere("plan.data-needed", "supply.panel", "safety")
        return
    place = f"{demand.prefix.rpartition('/')[0]}/circuits"
    _poles(draft, panel, fed, place)
    for one in fed:
        _branch(draft, panel, one, f"{place}/{one.id}")
    if panel.bus_a is not None and rating is not None and rating.value > panel.bus_a:
        bus = draft.sheet.given("panel/bus_a", "I_bus", panel.bus_a, "A")
        _unfit(draft, "nec.408.36", "A", "bus", "", rating, bus)
    fault = supply.fault_current_a
    if panel.fault_rating_a is not None and fault is not None and fault > panel.fault_rating_a:
        stated = draft.sheet.given("panel/fault_a", "I_k", fault, "A")
        bears = draft.sheet.given("panel/fault_rating_a", "I_cc", panel.fault_rating_a, "A")
        _unfit(draft, "nec.110.10", "A", "fault-rating", "", stated, bears)


def _poles(draft: Draft, panel: Panel, fed: list[Circuit], place: str) -> None:
    if panel.free_poles is None or not fed:
        return
    inputs = {
        f"P{n}": Figure(
            float(one.protective_device.poles), f"{place}/{one.id}/protective_device/poles"
        )
        for n, one in enumerate(fed)
    }
    needed = draft.work("panel/poles", "n", "", " + ".join(inputs), "nec.408.54", **inputs)
    free = draft.sheet.given("panel/free_poles", "n_free", panel.free_poles, "")
    if needed.value > free.value:
        draft.find("supply.panel-full", "caution", "nec.408.54", needed=needed, free=free)


def _branch(draft: Draft, panel: Panel, circuit: Circuit, place: str) -> None:
    own = f"panel/{circuit.id}"
    rating, most = circuit.protective_device.rating_a, panel.largest_branch_a
    if rating is not None and most is not None and rating > most:
        device = Figure(rating, f"{place}/protective_device/rating_a")
        largest = draft.sheet.given(f"{own}/largest_branch_a", "I_max", most, "A")
        _unfit(draft, "nec.408.36", "A", "largest-branch", circuit.id, device, largest)
    if panel.slash_rating is None or not circuit.voltage_to_earth_v:
        return
    lower = min(float(one) for one in re.findall(r"\d+", panel.slash_rating))
    highest = max(circuit.voltage_to_earth_v)
    if not covers(lower, highest):
        leg = circuit.voltage_to_earth_v.index(highest)
        volts = Figure(highest, f"{place}/voltage_to_earth_v/{leg}")
        bears = draft.sheet.given(f"{own}/slash_v", "V_n", lower, "V", text=panel.slash_rating)
        _unfit(draft, "nec.240.85", "V", "slash-rating", circuit.id, volts, bears)


def _unfit(
    draft: Draft, rule: str, unit: str, reason: str, circuit: str, needed: Figure, largest: Figure
) -> None:
    named = {"circuit": circuit} if circuit else {}
    draft.find(
        "supply.panel-unfit", "caution", rule, f"needed={unit} largest={unit}",
        reason=reason, needed=needed, largest=largest, **named,
    )  # fmt: skip
