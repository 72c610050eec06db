"""Factors on the capacity of the tables: surroundings, circuits together, soil, cords."""

from collections.abc import Mapping
from typing import NamedTuple

from ampwright.families.iec.book import Column
from ampwright.families.iec.conditions import RUBBER, Conditions
from ampwright.families.iec.draft import Draft
from ampwright.step import Figure

#: A temperature that exceeds a row by less than this counts as that row [K].
SAME = 1e-9


class Corrections(NamedTuple):
    """What bears on the capacity of every size alike.

    Attributes:
        column: Column of the ampacity tables.
        factors: The factors by their symbol.
    """

    column: Column
    factors: Mapping[str, Figure]

    @property
    def product(self) -> float:
        """All factors multiplied."""
        found = 1.0
        for one in self.factors.values():
            found *= one.value
        return found

    @property
    def formula(self) -> str:
        """The capacity here, as a formula on that of the table."""
        return " * ".join(["I_t", *self.factors])


def corrections(draft: Draft, installed: Conditions, loaded: int) -> Corrections | None:
    """Return the factors of a circuit; ``None`` where no conductor is allowed here, which is said.

    Args:
        draft: Sheet of the circuit; the steps stand below ``conductor``.
        installed: How it is installed.
        loaded: Loaded conductors.
    """
    factors: dict[str, Figure] = {}
    cord = installed.group == RUBBER
    ambient = _cord(draft, installed) if cord else _ambient(draft, installed)
    together = grouping(draft, installed)
    if ambient is None or together is None:
        return None
    factors["f_a"], factors["f_g"] = ambient, together
    if installed.soil is not None:
        soil = _soil(draft, installed)
        if soil is None:
            return None
        factors["f_s"] = soil
    column = Column("pvc" if cord else installed.group, loaded, installed.material,
                    installed.method_three if loaded == 3 else installed.method)  # fmt: skip
    return Corrections(column=column, factors=factors)


def row_at_or_above(cells: Mapping[str, float], value: float) -> str | None:
    """Return the first key, a number, at or above *value*; ``None`` past the end."""
    return next((key for key in cells if float(key) >= value - SAME), None)


def _ambient(draft: Draft, installed: Conditions) -> Figure | None:
    """State the factor of the row at or above the temperature."""
    table = "ambient_ground" if installed.ground else "ambient_air"
    key = row_at_or_above(draft.book.column(table, installed.group), installed.ambient.value)
    if key is None:
        draft.find(
            "conductor.too-hot", "blocks", "iec.523.2", "ambient=degC", ambient=installed.ambient
        )
        return None
    return draft.read(
        "conductor/ambient_factor", "f_a", "", table=table, key=key, column=installed.group,
        rule="iec.523.2", inputs=[("t", installed.ambient)],
    )  # fmt: skip


def _cord(draft: Draft, installed: Conditions) -> Figure | None:
    """State the factor of a conductor with a lower limit than that of the column, by its heat.

    Ratings of cords stand in other standards that are not at hand.
    """
    if installed.ambient.value >= installed.limit.value:
        draft.find(
            "conductor.too-hot", "blocks", "iec.523.2", "ambient=degC", ambient=installed.ambient
        )
        return None
    return draft.work(
        "conductor/ambient_factor", "f_a", "", "min(sqrt((T - t) / (T_t - t_r)), 1)", "iec.523",
        T=installed.limit, t=installed.ambient,
        T_t=draft.factor("conductor/table_limit_c", "T_t", "cord_table_limit_c", "degC"),
        t_r=draft.factor("conductor/table_ambient_c", "t_r", "cord_reference_c", "degC"),
    )  # fmt: skip


def grouping(draft: Draft, installed: Conditions) -> Figure | None:
    """State the factor for circuits together: of the row at or above their number."""
    table = "grouping_ground" if installed.ground else "grouping"
    key = row_at_or_above(draft.book.column(table, installed.grouping), installed.circuits.value)
    if key is None:
        draft.find(
            "conductor.too-many-together", "blocks", "iec.523.5", circuits=installed.circuits
        )
        return None
    return draft.read(
        "conductor/grouping_factor", "f_g", "", table=table, key=key, column=installed.grouping,
        rule="iec.523.5", inputs=[("n", installed.circuits)],
    )  # fmt: skip


def _soil(draft: Draft, installed: Conditions) -> Figure | None:
    if installed.soil is None:
        return None
    column = installed.method.lower()
    key = row_at_or_above(draft.book.column("soil", column), installed.soil.value)
    if key is None:
        draft.find("conductor.soil-too-dry", "blocks", "iec.523.2", soil=installed.soil)
        return None
    return draft.read(
        "conductor/soil_factor", "f_s", "", table="soil", key=key, column=column,
        rule="iec.523.2", inputs=[("rho", installed.soil)],
    )  # fmt: skip
