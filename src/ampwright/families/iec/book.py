"""What a code of this family states as data: tables, factors, rules, words."""

from collections.abc import Mapping
from typing import Any, NamedTuple

import attrs

from ampwright.families.layered import Layers
from ampwright.tables import Source, Table

#: Nominal 50 mm2 counts as this in the formula of annex D; IEC 60364-5-52, annex D, from memory.
NOMINAL_50_MM2 = 47.5


class Factor(NamedTuple):
    """One factor that stands in the text of a rule."""

    value: float
    rule: str


class Cell(NamedTuple):
    """One cell of an ampacity table: where it stands, and what it says [A]."""

    table: str
    key: str
    amperes: float


class Fit(NamedTuple):
    """The formula I = a S^m of one range of sizes, and its row."""

    row: str
    over_mm2: float
    upto_mm2: float
    a: float
    m: float


class Column(NamedTuple):
    """One column of the ampacity tables.

    Attributes:
        insulation: ``"pvc"`` or ``"xlpe"``.
        loaded: Loaded conductors, 2 or 3.
        material: ``"copper"`` or ``"aluminum"``.
        method: Method of installation, ``"B2"``.
    """

    insulation: str
    loaded: int
    material: str
    method: str


def size_text(area_mm2: float) -> str:
    """Return a size as a key of the tables."""
    return f"{area_mm2:g}"


def size_name(key: str) -> str:
    """Return the name of a size from its key."""
    return f"{key} mm2"


def document_of(source: str) -> tuple[str, str]:
    """Return document and clause of a ``source`` head."""
    document, _, clause = source.partition(";")
    return document.strip(), clause.strip()


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Book:
    """One code in one edition.

    Attributes:
        id: Id of the region.
        edition: Edition in force.
        editions: All editions, the default first.
        manifest: What the manifest states.
        tables: Tables by id.
        rules: Source of each rule id.
        factors: Factors by name.
        ampacities: Cells by column and size.
        fits: The formula between the rows, by column.
    """

    id: str
    edition: str
    editions: tuple[str, ...]
    manifest: Mapping[str, Any]
    tables: Mapping[str, Table]
    rules: Mapping[str, Source]
    factors: Mapping[str, Factor]
    ampacities: Mapping[Column, Mapping[str, Cell]] = attrs.field(repr=False)
    fits: Mapping[Column, tuple[Fit, ...]] = attrs.field(repr=False)
    _columns: dict[tuple[str, str], Mapping[str, float]] = attrs.field(factory=dict, repr=False)
    _sources: dict[tuple[str, str], Source] = attrs.field(factory=dict, repr=False)

    def factor(self, name: str) -> float:
        """Return the factor *name*."""
        return self.factors[name].value

    def usual(self, name: str) -> Any:  # noqa: ANN401 - a manifest holds numbers and texts
        """Return the usual value *name* of this region."""
        return self.manifest["usual"][name]

    def column(self, table: str, column: str) -> Mapping[str, float]:
        """Return the numbers of one column by key, in the table's order."""
        known = self._columns.get((table, column))
        if known is None:
            known = dict(self.tables[table].numbers(column))
            self._columns[table, column] = known
        return known

    def cell(self, table: str, key: str, column: str) -> float | None:
        """Return one cell; ``None`` where the table has no such row or no value."""
        return self.column(table, column).get(key)

    def row(self, table: str, key: str) -> Mapping[str, str]:
        """Return one row, empty where there is none."""
        return self.tables[table].row(key) or {}

    def source(self, table: str, key: str = "") -> Source:
        """Return where *table*, or one row of it, stands."""
        known = self._sources.get((table, key))
        if known is None:
            one, row = self.tables[table], self.row(table, key)
            document, clause = document_of(row.get("source") or one.heads["source"])
            known = Source(
                document=document,
                clause=clause,
                edition="" if row.get("source") else one.heads.get("edition", ""),
                known=row.get("known") or one.known,
            )
            self._sources[table, key] = known
        return known

    def from_memory(self, table: str, key: str) -> bool:
        """Tell whether a row was never looked up."""
        return self.source(table, key).known == "memory"

    @property
    def sizes(self) -> tuple[str, ...]:
        """Sizes of conductors in use here, smallest first."""
        return tuple(size_text(one) for one in self.manifest["sizes"]["mm2"])

    def fitted(self, column: Column, size: str) -> Fit | None:
        """Return the formula that holds for a size; ``None``: none does."""
        area = float(size)
        return next(
            (one for one in self.fits.get(column, ()) if one.over_mm2 < area <= one.upto_mm2), None
        )

    def capacity(self, column: Column, size: str) -> float | None:
        """Return what tables, or between their rows the formula, give a size [A]."""
        found = self.ampacities.get(column, {}).get(size)
        if found is not None:
            return found.amperes
        fit = self.fitted(column, size)
        return None if fit is None else fit.a * formula_area(size) ** fit.m


def formula_area(size: str) -> float:
    """Return the area that the formula of annex D takes for a size [mm2]."""
    return NOMINAL_50_MM2 if size == "50" else float(size)


def book_of(layers: Layers, edition: str = "") -> Book:
    """Return the code that *layers* state.

    Raises:
        KeyError: The manifest does not know the edition.
    """
    manifest, tables = layers.manifest, layers.tables
    editions = tuple(manifest["editions"])
    edition = edition or editions[0]
    if edition not in editions:
        raise KeyError(edition)
    rules = {
        row["rule"]: Source(
            document=row["document"],
            clause=row["clause"],
            edition=row["edition"],
            known=row["known"],
        )
        for row in tables["rules"].rows
    }
    factors = {
        row["name"]: Factor(float(row["value"]), row["rule"]) for row in tables["factors"].rows
    }
    return Book(
        id=manifest["id"],
        edition=edition,
        editions=editions,
        manifest=manifest,
        tables=tables,
        rules=rules,
        factors=factors,
        ampacities=_ampacities(tables),
        fits=_fits(tables["ampacity_coefficients"]),
    )


def column_of(row: Mapping[str, str]) -> Column:
    """Return the column that a row of an ampacity table belongs to."""
    return Column(row["insulation"], int(row["loaded"]), row["material"], row["method"])


def _ampacities(tables: Mapping[str, Table]) -> Mapping[Column, Mapping[str, Cell]]:
    """Return every cell by column and size; where two tables have one, the later table's."""
    found: dict[Column, dict[str, Cell]] = {}
    for name in tables:
        if not name.startswith("ampacity_") or name == "ampacity_coefficients":
            continue
        for row in tables[name].rows:
            column, size = column_of(row), size_text(float(row["size_mm2"]))
            found.setdefault(column, {})[size] = Cell(name, row["cell"], float(row["iz_a"]))
    return found


def _fits(table: Table) -> Mapping[Column, tuple[Fit, ...]]:
    found: dict[Column, list[Fit]] = {}
    for row in table.rows:
        one = Fit(
            row["row"],
            float(row["over_mm2"]),
            float(row["upto_mm2"]),
            float(row["a"]),
            float(row["m"]),
        )
        found.setdefault(column_of(row), []).append(one)
    return {column: tuple(fits) for column, fits in found.items()}
