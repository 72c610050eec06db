"""The distribution board: free ways, largest branch, fault rating."""

from ampwright.families.iec.draft import Draft
from ampwright.records.supply import Supply
from ampwright.region import ServiceDemand


def check_panel(draft: Draft, demand: ServiceDemand, supply: Supply) -> None:
    """Say where the board does not take the circuits that it is to feed."""
    panel = supply.panel
    fed = [one for one in demand.circuits if not one.fed_from]
    if panel is None:
        if fed:
            draft.ask_everywhere("plan.data-needed", "supply.panel", "size")
        return
    poles = sum(one.protective_device.poles for one in fed)
    if panel.free_poles is not None and poles > panel.free_poles:
        draft.find(
            "supply.panel-full", "caution", "iec.537.3",
            needed=float(poles), free=float(panel.free_poles),
        )  # fmt: skip
    for one in fed:
        rating = one.protective_device.rating_a or 0.0
        if panel.largest_branch_a is not None and rating > panel.largest_branch_a:
            draft.find(
                "supply.panel-unfit", "caution", "iec.433.1", "needed=A largest=A",
                circuit=one.id, reason="largest-branch", needed=rating,
                largest=panel.largest_branch_a,
            )  # fmt: skip
    if panel.bus_a is not None and supply.rating_a is not None and supply.rating_a > panel.bus_a:
        draft.find(
            "supply.panel-unfit", "caution", "iec.433.1", "needed=A largest=A",
            reason="bus", needed=float(supply.rating_a), largest=float(panel.bus_a),
        )  # fmt: skip
    known = supply.fault_current_a
    if panel.fault_rating_a is not None and known is not None and known > panel.fault_rating_a:
        draft.find(
            "supply.panel-unfit", "caution", "iec.434.5.1", "needed=A largest=A",
            reason="fault-rating", needed=float(known), largest=float(panel.fault_rating_a),
        )  # fmt: skip
