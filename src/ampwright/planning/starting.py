"""Starting, checked behind the conductors and devices just chosen."""

from collections.abc import Sequence

import attrs

from ampwright.finding import Finding, parameters
from ampwright.method import Proposal
from ampwright.planning.answers import Inquiry
from ampwright.planning.circuits import Equipped, equip
from ampwright.region import Region
from ampwright.step import HERE, Figure, rebased


def checked(
    proposal: Proposal, equipped: Equipped, inquiry: Inquiry
) -> tuple[Proposal, Finding | None]:
    """Return *proposal* as it is behind the chosen circuits; a method that raises is named."""
    try:
        found = inquiry.methods[proposal.method].settle(inquiry.case, proposal, equipped.circuits)
        if not isinstance(found, Proposal):
            raise TypeError(f"settled to {type(found).__name__}, not a proposal")
    except Exception as error:  # a stranger's method may raise anything
        said = parameters(plugin=proposal.method, error=f"{type(error).__name__}: {error}")
        return proposal, Finding(
            code="plugin.failed", severity="blocks", where=proposal.machines, parameters=said
        )
    return rebased(found, equipped.place), None


def asked_again(proposal: Proposal, place: str) -> Proposal:
    """Return *proposal* with the starting currents as settled in what its circuits must bear."""
    starts = {one.id: one for one in proposal.starts}

    def renewed(machine: str) -> Figure:
        return Figure(starts[machine].current_a, f"{place}/starts/{machine}/current_a")

    demands = []
    for demand in proposal.demands:
        own = [one for one in demand.feeds if one in starts and demand.role == "supply"]
        most = max((renewed(one) for one in own), default=None)
        demands.append(attrs.evolve(demand, starting_current=most) if most else demand)
    return attrs.evolve(proposal, demands=tuple(demands))


def trips(proposals: Sequence[Proposal]) -> bool:
    """Tell whether any start opens the device of its circuit."""
    return any(start.device_trips for one in proposals for start in one.starts)


def settled(equipped: Equipped, inquiry: Inquiry, region: Region) -> Equipped:
    """Return *equipped* with its starts checked behind its conductors.

    Where a device would open during a start the circuits are sized once more for the starting
    current just found; what opens even then is said in the findings.
    """
    proposals, failures = [], []
    for proposal in equipped.draft.proposals:
        found, failure = checked(proposal, equipped, inquiry)
        proposals.append(found)
        failures += [failure] if failure else []
    if trips(proposals):
        again = [asked_again(one, HERE) for one in proposals]
        draft = attrs.evolve(equipped.draft, proposals=tuple(again))
        renewed = equip(draft, inquiry.case, region)
        proposals = [checked(one, renewed, inquiry)[0] for one in renewed.draft.proposals]
        equipped = renewed
    opened = [
        Finding(
            code="protection.device-trips-at-start",
            severity="caution",
            where=(start.id,),
        )
        for one in proposals
        for start in one.starts
        if start.device_trips
    ]
    return attrs.evolve(
        equipped,
        draft=attrs.evolve(equipped.draft, proposals=tuple(proposals)),
        findings=(*equipped.findings, *failures, *opened),
    )
