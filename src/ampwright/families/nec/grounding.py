"""The equipment grounding conductor, and its increase in proportion."""

from ampwright.equipment.conductor import Conductor
from ampwright.families.nec.ampacity import area
from ampwright.families.nec.book import Book, size_name
from ampwright.families.nec.conditions import Conditions
from ampwright.families.nec.draft import Draft
from ampwright.step import Figure

HERE = "protective_conductor"


def by_device(book: Book, rating: float, metal: str) -> tuple[str, str] | None:
    """Return row and size for a device of this *rating* [A]; ``None`` past the end of the table."""
    table = book.tables["grounding_conductor"]
    for row in table.rows:
        if rating <= float(row[table.key]):
            return row[table.key], row[metal]
    return None


def smallest_of_area(book: Book, circular_mils: float) -> str | None:
    """Return the smallest size of at least this area, 14 AWG upward."""
    areas = book.column("conductor_properties", "circular_mils")
    keys = list(areas)
    return next((key for key in keys[keys.index("14") :] if areas[key] >= circular_mils), None)


def increased(book: Book, base: str, minimum: str, used: str) -> str:
    """Return the grounding conductor for phase conductors of *used* in place of *minimum*.

    Strict arithmetic on the circular mils of the table; never larger than the phase conductors.
    """
    areas = book.column("conductor_properties", "circular_mils")
    key = smallest_of_area(book, areas[base] * areas[used] / areas[minimum]) or used
    return min(key, used, key=areas.__getitem__)


def grounding_conductor(
    draft: Draft, conditions: Conditions, rating: Figure, minimum: str, used: str, length: Figure
) -> Conductor | None:
    """Return the equipment grounding conductor; its steps stand below ``protective_conductor``.

    Args:
        draft: Sheet of the circuit.
        conditions: How the circuit is installed.
        rating: Rating of the device ahead [A].
        minimum: Size of the phase conductors by the rules alone.
        used: Size of the phase conductors laid.
        length: One-way length [m].
    """
    book, metal = draft.book, conditions.metal
    found = by_device(book, rating.value, metal)
    if found is None:
        draft.find("feeder.undersized", "blocks", "nec.250.122(A)", "rating=A", rating=rating)
        return None
    row, base = found
    draft.read(
        f"{HERE}/table/size", "size", "", table="grounding_conductor", key=row, column=metal,
        value=size_name(base), rule="nec.250.122(A)", inputs=[("I_r", rating)],
    )  # fmt: skip
    base_area = area(draft, f"{HERE}/table/area_mm2", base)
    used_area = area(draft, f"{HERE}/phase/area_mm2", used)
    minimum_area = area(draft, f"{HERE}/phase_minimum/area_mm2", minimum)
    wanted = draft.work(
        f"{HERE}/wanted_mm2", "A_w", "mm2", "min(A_t * A_u / A_m, A_u)", "nec.250.122(B)",
        A_t=base_area, A_u=used_area, A_m=minimum_area,
    )  # fmt: skip
    key = increased(book, base, minimum, used)
    draft.read(
        f"{HERE}/size", "size", "", table="conductor_properties", key=key, column="circular_mils",
        value=size_name(key), rule="nec.250.122(A)", inputs=[("A_w", wanted)],
    )  # fmt: skip
    draft.work(f"{HERE}/count", "n", "", "1", "nec.250.122(A)")
    length_m = draft.work(f"{HERE}/length_m", "L", "m", "L", "nec.300.3(B)", L=length)
    return Conductor(
        size=size_name(key),
        area_mm2=area(draft, f"{HERE}/area_mm2", key).value,
        material=conditions.material,
        insulation=conditions.insulation,
        count=1,
        ampacity_a=None,
        length_m=length_m.value,
    )
