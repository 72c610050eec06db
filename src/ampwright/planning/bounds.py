"""Limits that a plan holds to: common practice, unless the caller states his own."""

import math
from collections.abc import Mapping
from pathlib import Path

from ampwright.case import Bound
from ampwright.errors import InputError
from ampwright.tables import Source, read_table

BUILT_IN = Path(__file__).with_name("limits.csv")


def bounded(limits: Mapping[str, float] | None) -> dict[str, Bound]:
    """Return every limit by name, the caller's *limits* over the built-in ones.

    Raises:
        InputError: An unknown name, or a value that is no number above zero.
    """
    table = read_table(BUILT_IN)
    made = {
        row["id"]: Bound(value=float(row["value"]), unit=row["unit"], source=table.source())
        for row in table.rows
    }
    stated = Source(document="stated by the caller", known="caller")
    for name, value in (limits or {}).items():
        if name not in made:
            wanted = f"one of {', '.join(made)}"
            raise InputError(name, wanted, "limits", code="limits.name")
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if not number or not 0 < value < math.inf:
            raise InputError(
                value, "a finite number above 0", f"limits.{name}", code="limits.value"
            )
        made[name] = Bound(value=float(value), unit=made[name].unit, source=stated)
    return made
