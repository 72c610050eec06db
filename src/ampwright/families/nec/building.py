"""A shop that stands apart from the building with the service."""

from ampwright.families.nec.book import size_key, size_name
from ampwright.families.nec.draft import Draft
from ampwright.records.supply import Feeder, Supply
from ampwright.step import Figure


def electrode_conductor(draft: Draft, feeder: Feeder) -> str:
    """Return the copper grounding electrode conductor of a feeder; ``""``: size not known."""
    sizes = draft.book.column("conductor_properties", "circular_mils")
    key = size_key(feeder.size or "")
    if key not in sizes:
        return ""
    table = draft.book.tables["grounding_electrode_conductor"]
    most = f"{'al' if feeder.material == 'aluminum' else 'cu'}_to_cmil"
    area = sizes[key] * feeder.parallel_sets
    row = next((one for one in table.rows if area <= float(one[most])), table.rows[-1])
    name = size_name(row["cu"])
    draft.read(
        "grounding_electrode_conductor/size", "size", "", table="grounding_electrode_conductor",
        key=row["row"], column="cu", value=name, rule="nec.250.66",
    )  # fmt: skip
    return name


def separate_building(draft: Draft, supply: Supply, rating: Figure | None) -> None:
    """Say what a separate building needs: electrode, its conductor, a disconnect of its own.

    The main device, where its *rating* is known [A], serves as the disconnect of the building.
    The electrode conductor goes by the largest conductor of the feeder; where that is not known it
    is asked for.
    """
    conductor = electrode_conductor(draft, supply.feeder) if supply.feeder is not None else ""
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
