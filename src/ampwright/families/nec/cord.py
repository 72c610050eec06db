"""A circuit that ends in a cord with plug: receptacle, cord, and the ground-fault question."""

from ampwright.families.nec.book import size_name
from ampwright.families.nec.conditions import Conditions
from ampwright.families.nec.corrections import band_row, whole_degrees
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.faults import highest_to_earth
from ampwright.families.nec.ratings import reaches
from ampwright.region import CircuitDemand
from ampwright.step import Figure

#: Receptacles at up to this voltage to ground fall under the ground-fault rules [V].
GROUND_FAULT_V = 150.0


def cord_and_plug(
    draft: Draft, demand: CircuitDemand, installed: Conditions, current: Figure, device: Figure
) -> None:
    """Say which receptacle and which cord a circuit ends in; the steps stand below ``cord``.

    A single receptacle on its own circuit, and its cord, are rated like the circuit, save for
    motors and welders, whose device may be larger than what they draw.
    """
    individual = bool(demand.motors) or any(one.kind == "welder" for one in demand.loads)
    needed = draft.work(
        "cord/receptacle_least_a", "I", "A", "I", "nec.210.21(B)",
        I=current if individual else device,
    )  # fmt: skip
    marking = _receptacle(draft, demand, needed)
    size = _cord(draft, demand.phases, installed, needed)
    draft.find(
        "protection.plug-rating", "caution", "nec.210.21(B)", "needed=A",
        receptacle=marking, cord=size, needed=needed,
    )  # fmt: skip
    highest = highest_to_earth(demand)
    if highest is None or highest <= GROUND_FAULT_V:
        draft.find("protection.ground-fault-receptacle", "caution", "nec.210.8(B)")
    else:
        draft.ask("authority.ground-fault-receptacle", "", "safety")


def _receptacle(draft: Draft, demand: CircuitDemand, needed: Figure) -> str:
    rows = draft.book.tables["receptacles"].rows
    fits = [
        row
        for row in rows
        if int(row["phases"]) == demand.phases
        and bool(row.get("neutral")) == demand.neutral
        and reaches(float(row["rating_a"]), needed.value)
    ]
    if not fits:
        return ""
    marking = fits[0]["marking"]
    draft.read(
        "cord/receptacle", "receptacle", "", table="receptacles", key=marking, column="rating_a",
        value=marking, rule="nec.210.21(B)", inputs=[("I", needed)],
    )  # fmt: skip
    return marking


def _cord(draft: Draft, phases: int, installed: Conditions, needed: Figure) -> str:
    """State the smallest cord of a size that wire comes in; cords are rated 60 C unless marked."""
    book = draft.book
    row = band_row(book, "ambient_factors", whole_degrees(installed.ambient), "from_c", "to_c")
    if row is None or book.cell("ambient_factors", row, "f_60c") is None:
        return ""
    ambient = draft.read(
        "cord/ambient_factor", "f_a", "", table="ambient_factors", key=row, column="f_60c",
        rule="nec.400.5", inputs=[("t", installed.ambient)],
    )  # fmt: skip
    column = "a_three" if phases == 3 else "b_two"
    cells = book.column("cord_ampacity", column)
    wire = book.column("ampacity", "cu_60c")
    held = {key: amps * ambient.value for key, amps in cells.items() if key in wire}
    key = next((key for key, amps in held.items() if reaches(amps, needed.value)), None)
    if key is None:
        return ""
    ampacity = draft.read(
        "cord/table_ampacity_a", "I_t", "A", table="cord_ampacity", key=key, column=column,
        rule="nec.400.5", inputs=[("I", needed)],
    )  # fmt: skip
    draft.work("cord/ampacity_a", "I_z", "A", "I_t * f_a", "nec.400.5", I_t=ampacity, f_a=ambient)
    draft.read(
        "cord/size", "size", "", table="cord_ampacity", key=key, column=column,
        value=size_name(key), rule="nec.400.5", inputs=[("I", needed)],
    )  # fmt: skip
    return size_name(key)
