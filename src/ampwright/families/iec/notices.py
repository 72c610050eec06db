"""What has to be said of a circuit beside its sizes: marking, the machine's standard, bonding."""

from ampwright.families.iec.draft import Draft
from ampwright.region import CircuitDemand


def notices(draft: Draft, demand: CircuitDemand) -> None:
    """Say what the rules on converters, their made leg and machines ask beside sizes."""
    terms = draft.book.manifest["terms"]
    if demand.made_leg:
        if demand.phases == 1:
            draft.find("converter.made-leg-single-phase-load", "blocks", "iec.551")
        draft.find(
            "converter.made-leg-marking", "info", "iec.514.3",
            color=str(terms.get("color-made-leg", "")),
        )  # fmt: skip
        if demand.role == "output":
            draft.find("converter.all-lines-live", "caution", "iec.551")
    converter = demand.converter
    if converter is None:
        return
    if demand.role == "supply":
        draft.find("plan.equipment-approval", "caution", "iec.60204-1.4.3", converter=converter.id)
        draft.find("protection.disconnect-in-sight", "info", "iec.60204-1.5.3")
    elif converter.kind == "drive":
        draft.find("protection.supplementary-bonding", "caution", "iec.419.2")
