"""What has to be said of a circuit beside its sizes: marking, sight, approval."""

from ampwright.families.nec.draft import Draft
from ampwright.region import CircuitDemand


def notices(draft: Draft, demand: CircuitDemand) -> None:
    """Say what the rules on converters and their made leg ask beside sizes."""
    if demand.made_leg:
        if demand.phases == 1:
            draft.find("converter.made-leg-single-phase-load", "blocks", "nec.455.9")
        draft.find("converter.made-leg-marking", "info", "nec.455.6(B)")
    if demand.motors and demand.role == "branch":
        draft.find_everywhere("control.circuit-not-checked", "info", "nec.430.72")
    converter = demand.converter
    if demand.role != "supply" or converter is None:
        return
    draft.find("plan.equipment-approval", "caution", "nec.110.3(B)", converter=converter.id)
    if converter.kind == "phase-converter":
        draft.find("protection.disconnect-in-sight", "info", "nec.455.8(A)")
        draft.find("converter.capacitor-conductors", "info", "nec.460.8")
        draft.ask(
            "authority.separately-derived",
            "",
            "safety",
            ("extension of the supply", "separately derived"),
        )
        if converter.method == "electronic":
            # listing and instructions decide between the two articles
            draft.ask("authority.electronic-converter-article", "", "safety", ("455", "430 Part X"))
