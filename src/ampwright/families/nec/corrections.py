"""From the ampacity of the table to the ampacity here: terminals, insulation, ambient, grouping."""

import math
from collections.abc import Mapping
from typing import NamedTuple

from ampwright.families.nec.book import Book
from ampwright.families.nec.conditions import Conditions
from ampwright.families.nec.draft import Draft
from ampwright.step import Figure


class Corrections(NamedTuple):
    """What bears on the ampacity of every size alike.

    Attributes:
        metal: Prefix of the columns.
        terminal_c: Column of the terminals [C].
        insulation_c: Column of the insulation [C].
        ambient: Factor for the surroundings.
        adjustment: Factor for the conductors together.
        unmarked: The terminals bear no marking; the currents of the circuit decide on the column.
        below_c: Column that holds for unmarked terminals up to the border [C].
        most_c: Highest column that insulation and cable allow [C].
    """

    metal: str
    terminal_c: Figure
    insulation_c: Figure
    ambient: Figure
    adjustment: Figure
    unmarked: bool
    below_c: float
    most_c: float

    @property
    def terminal_column(self) -> str:
        """Column of the table that limits what is connected."""
        return f"{self.metal}_{self.terminal_c.value:.0f}c"

    @property
    def insulation_column(self) -> str:
        """Column of the table from which corrections begin."""
        return f"{self.metal}_{self.insulation_c.value:.0f}c"

    def terminal(self, book: Book, key: str) -> float:
        """Return what the terminals allow a size [A]."""
        return book.column("ampacity", self.terminal_column)[key]

    def corrected(self, book: Book, key: str) -> float:
        """Return what insulation, ambient and grouping allow a size [A]."""
        base = book.column("ampacity", self.insulation_column)[key]
        return base * self.ambient.value * self.adjustment.value


def corrections(
    draft: Draft,
    conditions: Conditions,
    ends: Mapping[str, Figure],
    current_carrying: Figure,
) -> Corrections | None:
    """Return the corrections that hold for a circuit; ``None``: no conductor is allowed here.

    Args:
        draft: Sheet of the circuit; the steps stand below ``conductor``.
        conditions: How the circuit is installed.
        ends: By what unmarked terminals are judged: what the circuit is for, its device, its
            disconnect; the smallest of them governs [A].
        current_carrying: Current-carrying conductors of this circuit.
    """
    book = draft.book
    insulation = _insulation(draft, conditions)
    if insulation is None:
        return None
    insulation_c, limit_c = insulation
    ambient_row = band_row(
        book, "ambient_factors", whole_degrees(conditions.ambient), "from_c", "to_c"
    )
    column = f"f_{insulation_c.value:.0f}c"
    if ambient_row is None or book.cell("ambient_factors", ambient_row, column) is None:
        draft.find(
            "conductor.too-hot",
            "blocks",
            "nec.310.15(B)",
            "ambient=degC",
            ambient=conditions.ambient,
        )
        return None
    ambient = draft.read(
        "conductor/ambient_factor", "f_a", "", table="ambient_factors", key=ambient_row,
        column=column, rule="nec.310.15(B)", inputs=[("t", conditions.ambient)],
    )  # fmt: skip
    together = draft.work(
        "conductor/together", "n", "", "n_c * circuits", "nec.310.15(C)(1)",
        n_c=current_carrying, circuits=conditions.circuits,
    )  # fmt: skip
    row = band_row(book, "adjustment_factors", together.value, "from_n", "to_n")
    adjustment = draft.read(
        "conductor/adjustment_factor", "f_n", "", table="adjustment_factors", key=str(row),
        column="factor", rule="nec.310.15(C)(1)", inputs=[("n", together)],
    )  # fmt: skip
    return Corrections(
        metal=conditions.metal,
        terminal_c=_terminal(draft, conditions, ends, insulation_c, limit_c),
        insulation_c=insulation_c,
        ambient=ambient,
        adjustment=adjustment,
        unmarked=conditions.terminal_c is None,
        below_c=book.factor("terminal_below_c"),
        most_c=min(one.value for one in insulation if one is not None),
    )


def whole_degrees(ambient: Figure) -> int:
    """Return the whole degree at or above a temperature: the bands are stated in whole degrees."""
    return math.ceil(ambient.value - 1e-9)


def band_row(book: Book, table: str, value: float, low: str, high: str) -> str | None:
    """Return the key of the row of *table* whose band holds *value*."""
    one = book.tables[table]
    for row in one.rows:
        if float(row[low]) <= value <= float(row[high]):
            return row[one.key]
    return None


def _insulation(draft: Draft, conditions: Conditions) -> tuple[Figure, Figure | None] | None:
    column = "wet_c" if conditions.wet else "dry_c"
    name = conditions.insulation
    if draft.book.cell("insulation", name, column) is None:
        draft.find(
            "conductor.insulation-unfit", "blocks", "nec.310.4",
            insulation=name, place="wet" if conditions.wet else "dry",
        )  # fmt: skip
        return None
    rating = draft.read(
        "conductor/insulation_c", "T_i", "degC", table="insulation", key=name, column=column,
        rule="nec.310.4",
    )  # fmt: skip
    limit = None
    if draft.book.cell("insulation", name, "limit_c") is not None:
        limit = draft.read(
            "conductor/limit_c", "T_l", "degC", table="insulation", key=name, column="limit_c",
            rule="nec.310.4",
        )  # fmt: skip
    return rating, limit


def _terminal(
    draft: Draft,
    conditions: Conditions,
    ends: Mapping[str, Figure],
    insulation: Figure,
    limit: Figure | None,
) -> Figure:
    """State the column that terminals and insulation leave; unmarked ones go by the *ends*."""
    if conditions.terminal_c is not None:
        # a marking between two columns counts as the lower one
        columns = draft.book.column("temperature_columns", "column_c")
        fits = [key for key in columns if columns[key] <= conditions.terminal_c.value]
        marked = draft.read(
            "conductor/marked_terminal_c", "T_m", "degC", table="temperature_columns",
            key=fits[-1] if fits else next(iter(columns)), column="column_c",
            rule="nec.110.14(C)", inputs=[("T", conditions.terminal_c)],
        )  # fmt: skip
    else:
        least = draft.work(
            "conductor/least_end_a", "I_end", "A", f"min({', '.join(ends)})", "nec.110.14(C)",
            **ends,
        )  # fmt: skip
        below = least.value <= draft.book.factor("terminal_border_a")
        marked = draft.read(
            "conductor/unmarked_terminal_c", "T_u", "degC", table="factors",
            key="terminal_below_c" if below else "terminal_above_c", column="value",
            rule="nec.110.14(C)", inputs=[("I_end", least)],
        )  # fmt: skip
        draft.everywhere("site.terminals-unmarked", "temperature=degC", temperature=marked)
        # what the code lets unmarked terminals bear was taken: a marking can only allow more
        draft.ask_everywhere(
            "plan.data-needed", "site.terminals", "figures", ("60 degC", "75 degC")
        )
    limits = {"T_t": marked, "T_i": insulation} | ({"T_l": limit} if limit else {})
    formula = f"min({', '.join(limits)})"
    return draft.work("conductor/terminal_c", "T", "degC", formula, "nec.110.14(C)", **limits)
