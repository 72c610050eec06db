"""The distribution board: free ways, largest branch, fault rating."""

from collections.abc import Sequence

from ampwright.equipment.circuit import Circuit
from ampwright.families.iec.draft import Draft
from ampwright.records.supply import Panel, Supply
from ampwright.region import ServiceDemand
from ampwright.step import Figure


def check_panel(draft: Draft, demand: ServiceDemand, supply: Supply) -> None:
    """Say where the board does not take the circuits that it is to feed."""
    panel = supply.panel
    fed = [one for one in demand.circuits if not one.fed_from]
    if panel is None:
        if fed:
            draft.ask_everywhere("plan.data-needed", "supply.panel", "safety")
        return
    _ways(draft, fed, panel)
    for one in fed:
        path = f"{_circuits(demand)}/{one.id}/protective_device/rating_a"
        rating = Figure(one.protective_device.rating_a or 0.0, path)
        if panel.largest_branch_a is not None and rating.value > panel.largest_branch_a:
            largest = draft.stated("supply/panel/largest_branch_a", panel.largest_branch_a)
            _unfit(draft, "iec.433.1", "largest-branch", rating, largest, circuit=one.id)
    if panel.bus_a is not None and supply.rating_a is not None and supply.rating_a > panel.bus_a:
        bus = draft.stated("supply/panel/bus_a", panel.bus_a)
        _unfit(draft, "iec.433.1", "bus", draft.stated("supply/rating_a", supply.rating_a), bus)
    fault = supply.fault_current_a
    if panel.fault_rating_a is not None and fault is not None and fault > panel.fault_rating_a:
        bears = draft.stated("supply/panel/fault_rating_a", panel.fault_rating_a)
        reached = draft.stated("supply/fault_current_a", fault)
        _unfit(draft, "iec.434.5.1", "fault-rating", reached, bears)


def _circuits(demand: ServiceDemand) -> str:
    return f"{demand.prefix.rpartition('/')[0]}/circuits"


def _ways(draft: Draft, fed: Sequence[Circuit], panel: Panel) -> None:
    if panel.free_poles is None:
        return
    poles = draft.work("panel/poles", "n", "", " + ".join(str(one.protective_device.poles)
                       for one in fed) or "0", "iec.537.3")  # fmt: skip
    if poles.value > panel.free_poles:
        free = draft.stated("supply/panel/free_poles", panel.free_poles)
        draft.find("supply.panel-full", "caution", "iec.537.3", needed=poles, free=free)


def _unfit(
    draft: Draft, rule: str, reason: str, needed: Figure, largest: Figure, **said: str
) -> None:
    draft.find(
        "supply.panel-unfit", "caution", rule, "needed=A largest=A",
        reason=reason, needed=needed, largest=largest, **said,
    )  # fmt: skip
