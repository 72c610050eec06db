"""The tables of a code of the family, read a second time: sizes, capacities, devices, factors."""

import math
from collections.abc import Iterator, Mapping
from typing import Any

import attrs

from ampwright.verification.ledger import Ledger

ROUNDING = 1e-9
#: What nominal 50 mm2 counts as in the formula of annex D; IEC 60364-5-52, annex D, from memory.
REAL_50_MM2 = 47.5
#: Insulation, loaded conductors, material, method.
Column = tuple[str, int, str, str]


@attrs.frozen(kw_only=True)
class Family:
    """One row of the table of device curves: a kind of device within a span of ratings.

    Attributes:
        curve: Name of the curve.
        kind: ``"breaker"`` or ``"fuse"``.
        ratings: Its standard ratings, rising [A].
        hold: Multiple that it bears for ever.
        tau: Time constant of its heated body [s]; not a number for a fuse.
        low: Multiple below which it never acts at once; ``None``: it has no such part.
        high: Multiple from which it acts at once.
        cable: By what the capacity of the conductor must exceed the rating.
        rule: Clause behind it.
    """

    curve: str
    kind: str
    ratings: tuple[float, ...]
    hold: float
    tau: float
    low: float | None
    high: float | None
    cable: float
    rule: str

    @property
    def one(self) -> tuple[str, float]:
        """Curve and smallest rating, which name the row."""
        return self.curve, self.ratings[0]


def plain(area: float) -> str:
    """Return an area as the tables name it: ``"2.5"``, ``"16"``."""
    return f"{area:g}"


class Book:
    """Looks things up in the region's own tables; ``None`` where a table has no answer.

    Attributes:
        ledger: Where the tables are.
        stated: What the code states beside its tables.
    """

    def __init__(self, ledger: Ledger, stated: Mapping[str, Any]) -> None:
        self.ledger, self.stated = ledger, stated
        self.sizes = tuple(plain(one) for one in stated["sizes"]["mm2"])
        self.families = tuple(self._families())
        self._held: dict[Column, dict[str, float]] = {}

    def rows(self, table: str) -> Iterator[Mapping[str, str]]:
        """Yield the rows of *table*, none if there is no such table."""
        return iter((self.ledger.table(table) or {}).values())

    def factor(self, name: str) -> float:
        """Return a figure that stands in the text of a rule."""
        found = self.ledger.cell("factors", name, "value")
        if found is None:
            self.ledger.skipped("plan.table-cell", "factors", f"{name} of factors")
            return math.nan
        return found

    def usual(self, name: str) -> Any:  # noqa: ANN401 - a manifest holds numbers and texts
        """Return what the code takes where nobody states it."""
        return self.stated["usual"][name]

    def at_least(self, table: str, value: float, column: str = "rating_a") -> float:
        """Return the smallest figure of a column that is not below *value*; infinite if none."""
        listed = sorted(float(row[column]) for row in self.rows(table))
        return next((one for one in listed if one >= value * (1 - ROUNDING)), math.inf)

    def upto(self, table: str, value: float, column: str) -> float | None:
        """Return the cell in the row whose key is the first at or above *value*."""
        for key, row in (self.ledger.table(table) or {}).items():
            if row.get(column) and float(key) >= value - ROUNDING:
                return float(row[column])
        return None

    # conductors

    def resistance(self, size: str, metal: str) -> float | None:
        """Return the resistance at 20 degC of a size [ohm/km]."""
        return self.ledger.cell("resistance", size, metal)

    def capacity(self, column: Column, size: str) -> float | None:
        """Return what a size carries before any factor [A]: annex B, between its rows annex D.

        Args:
            column: Insulation, loaded conductors, material, method.
            size: Its area as text [mm2].
        """
        if column not in self._held:
            self._held[column] = self._column(column)
        return self._held[column].get(size)

    def _column(self, column: Column) -> dict[str, float]:
        found = self._by_formula(column)
        insulation, loaded, material, method = column
        for name, table in self.ledger.tables.items():
            if name.startswith("ampacity_") and name != "ampacity_coefficients":
                for row in table.rows:
                    if (
                        row["method"] == method
                        and row["material"] == material
                        and row["insulation"] == insulation
                        and int(row["loaded"]) == loaded
                    ):
                        found[plain(float(row["size_mm2"]))] = float(row["iz_a"])
        return found

    def _by_formula(self, column: Column) -> dict[str, float]:
        table = self.ledger.tables.get("ampacity_coefficients")
        if table is None:
            return {}
        found = {}
        for row in table.rows:
            if _column_of(row) == column:
                a, m = float(row["a"]), float(row["m"])
                for size in self.sizes:
                    if float(row["over_mm2"]) < float(size) <= float(row["upto_mm2"]):
                        found[size] = a * (REAL_50_MM2 if size == "50" else float(size)) ** m
        return found

    def between(self, column: Column, area: float) -> float | None:
        """Return what annex D gives an area that is no standard size [A]."""
        table = self.ledger.tables.get("ampacity_coefficients")
        for row in table.rows if table is not None else ():
            if _column_of(row) == column and float(row["over_mm2"]) < area <= float(
                row["upto_mm2"]
            ):
                return float(float(row["a"]) * area ** float(row["m"]))
        return None

    # devices

    def _families(self) -> Iterator[Family]:
        order = list(self.stated["devices"]["order"])
        rows = [row for row in self.rows("device_curves") if row["curve"] in order]
        for row in sorted(rows, key=lambda one: order.index(one["curve"])):
            over, upto = float(row["over_a"]), float(row["upto_a"])
            listed = sorted(
                float(one["rating_a"])
                for one in self.rows("device_ratings")
                if one.get(row["series"])
            )
            yield Family(
                curve=row["curve"],
                kind=row["kind"],
                ratings=tuple(one for one in listed if over < one <= upto) or (math.inf,),
                hold=float(row["hold"]),
                tau=float(row["time_constant_s"] or "nan"),
                low=float(row["instant_low"]) if row["instant_low"] else None,
                high=float(row["instant_high"]) if row["instant_high"] else None,
                cable=float(row["cable_factor"]),
                rule=row["rule"],
            )

    def family(self, curve: str, rating: float) -> Family | None:
        """Return the family that a device of a *curve* and *rating* belongs to."""
        return next(
            (one for one in self.families if one.curve == curve and rating in one.ratings), None
        )


def _column_of(row: Mapping[str, str]) -> Column:
    return row["insulation"], int(row["loaded"]), row["material"], row["method"]
