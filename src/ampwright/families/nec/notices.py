"""What has to be said of a circuit beside its sizes: marking, sight, approval."""

from ampwright.families.nec.book import Book, size_name
from ampwright.families.nec.draft import Draft
from ampwright.finding import Finding, parameters
from ampwright.region import CircuitDemand


def control_limits(book: Book) -> str:
    """Return the largest devices behind which tapped control conductors need none of their own.

    By size, inside the enclosure and outside it; sizes known from memory alone are left out.
    """
    inside, outside = (
        book.column("control_conductors", f"{one}_a") for one in ("inside", "outside")
    )
    return "; ".join(
        f"{size_name(key)} {inside[key]:.0f}/{outside[key]:.0f} A"
        for key in inside
        if not book.from_memory("control_conductors", key)
    )


def notices(draft: Draft, demand: CircuitDemand) -> None:
    """Say what the rules on converters and their made leg ask beside sizes."""
    if demand.made_leg:
        if demand.phases == 1:
            draft.find("converter.made-leg-single-phase-load", "blocks", "nec.455.9")
        draft.find("converter.made-leg-marking", "info", "nec.455.6(B)")
    if demand.motors and demand.role == "branch":
        draft.find("protection.disconnect-in-sight", "info", "nec.430.102(B)")
        said = parameters(limits=control_limits(draft.book))
        draft.findings.append(
            Finding(
                code="control.circuit-not-checked", severity="info", rule="nec.430.72",
                parameters=said,
            )
        )  # fmt: skip
    converter = demand.converter
    if demand.role != "supply" or converter is None:
        return
    draft.find("plan.equipment-approval", "caution", "nec.110.3(B)", converter=converter.id)
    if converter.kind == "phase-converter":
        draft.find("protection.disconnect-in-sight", "info", "nec.455.8(A)")
        share = draft.factor("capacitors/conductor_factor", "k", "capacitor_conductor")
        draft.find("converter.capacitor-conductors", "info", "nec.460.8", "share=", share=share)
        draft.ask(
            "authority.separately-derived",
            "",
            "safety",
            ("extension of the supply", "separately derived"),
        )
        if converter.method == "electronic":
            # listing and instructions decide between the two articles
            draft.ask("authority.electronic-converter-article", "", "safety", ("455", "430 Part X"))
