"""A shop that stands apart from the building with the service."""

from ampwright.families.nec.book import size_key, size_name
from ampwright.families.nec.draft import Draft
from ampwright.records.supply import Supply
from ampwright.step import Figure


def separate_building(draft: Draft, supply: Supply, rating: Figure | None) -> None:
    """Say what a separate building needs: electrode, its conductor, a disconnect of its own.

    The main device, where its *rating* is known [A], serves as the disconnect of the building.
    The electrode conductor goes by the largest conductor of the feeder; where that is not known it
    is asked for.
    """
    feeder = supply.feeder
    conductor = ""
    if feeder is not None and feeder.size is not None:
        area = draft.book.cell("conductor_properties", size_key(feeder.size), "circular_mils")
        metal = "al" if feeder.material == "aluminum" else "cu"
        for row in draft.book.tables["grounding_electrode_conductor"].rows if area else ():
            if (area or 0.0) * feeder.parallel_sets <= float(row[f"{metal}_to_cmil"]):
                conductor = size_name(row["cu"])
                draft.read(
                    "grounding_electrode_conductor/size", "size", "",
                    table="grounding_electrode_conductor", key=row["row"], column="cu",
                    value=conductor, rule="nec.250.66",
                )  # fmt: skip
                break
    if not conductor:
        draft.ask_everywhere("plan.data-needed", "supply.feeder.size", "safety")
    least = draft.factor("building/disconnect_a", "I", "building_disconnect_a", "A")
    draft.find(
        "supply.earthing-export", "caution", "nec.250.32", "disconnect=A",
        electrode_conductor=conductor, disconnect=least,
    )  # fmt: skip
    if rating is not None and rating.value < least.value:
        draft.find(
            "supply.panel-unfit", "caution", "nec.225.39", "needed=A largest=A",
            reason="building-disconnect", needed=least, largest=rating,
        )  # fmt: skip
