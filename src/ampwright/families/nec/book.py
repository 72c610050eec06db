"""What a code of this family states as data: tables, factors, rules, words, by edition."""

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

import attrs

from ampwright.families.layered import Layers, read_layers
from ampwright.tables import Source, Table

#: Metal area of one circular mil, pi/4 times (0.001 in)^2 [mm2].
CIRCULAR_MIL_MM2 = 5.067074790974977e-4
#: The code that the tables of the lowest folder stand in.
DOCUMENT = "NFPA 70"
#: One horsepower, 550 ft lbf/s [W].
HORSEPOWER_W = 745.6998715822702


def size_name(key: str) -> str:
    """Return the name of a conductor size from its key in the tables."""
    return f"{key} AWG" if "/" in key or int(key) < 250 else f"{key} kcmil"


def size_key(name: str) -> str:
    """Return the key in the tables from the name of a conductor size; ``""`` for a metric one."""
    key, _, system = name.partition(" ")
    return key if system in ("AWG", "kcmil") else ""


def horsepower(key: str) -> float:
    """Return the number behind a key such as ``"7-1/2"``."""
    whole, _, fraction = key.rpartition("-")
    top, _, bottom = fraction.partition("/")
    return float(whole or 0) + float(top) / float(bottom or 1)


class Factor(NamedTuple):
    """One factor that stands in the text of a rule.

    Attributes:
        value: Its value.
        rule: Id of the rule.
    """

    value: float
    rule: str


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
        base_edition: Edition of the lowest folder that its own tables are read in.
    """

    id: str
    edition: str
    editions: tuple[str, ...]
    manifest: Mapping[str, Any]
    tables: Mapping[str, Table]
    rules: Mapping[str, Source]
    factors: Mapping[str, Factor]
    base_edition: str
    _columns: dict[tuple[str, str], Mapping[str, float]] = attrs.field(factory=dict, repr=False)
    _sources: dict[str, Source] = attrs.field(factory=dict, repr=False)
    _remembered: dict[tuple[str, str], bool] = attrs.field(factory=dict, repr=False)
    _ratings: dict[str, tuple[float, ...]] = attrs.field(factory=dict, repr=False)

    def factor(self, name: str) -> float:
        """Return the factor *name*."""
        return self.factors[name].value

    def column(self, table: str, column: str) -> Mapping[str, float]:
        """Return the numbers of one column by key, in the table's order."""
        known = self._columns.get((table, column))
        if known is None:
            known = MappingProxyType(dict(self.tables[table].numbers(column)))
            self._columns[table, column] = known
        return known

    def has(self, table: str, column: str) -> bool:
        """Tell whether *table* has this *column*."""
        return column in self.tables[table].columns

    def cell(self, table: str, key: str, column: str) -> float | None:
        """Return one cell; ``None`` where the table has no such row or no value."""
        return self.column(table, column).get(key)

    def source(self, table: str, key: str = "") -> Source:
        """Return where *table* stands in the edition in force, for all its rows alike."""
        del key
        known = self._sources.get(table)
        if known is None:
            one = self.tables[table]
            named = one.heads.get(f"source_{self.base_edition}", one.heads["source"])
            document, _, clause = named.partition(";")
            known = Source(
                document=document.strip(),
                clause=clause.strip(),
                edition=self.base_edition if document == DOCUMENT else one.heads.get("edition", ""),
                known=one.known,
            )
            self._sources[table] = known
        return known

    def from_memory(self, table: str, key: str) -> bool:
        """Tell whether a row was never looked up."""
        known = self._remembered.get((table, key))
        if known is None:
            row = self.tables[table].row(key) or {}
            known = (row.get("known") or self.tables[table].known) == "memory"
            self._remembered[table, key] = known
        return known

    def ratings(self, kind: str = "breaker") -> tuple[float, ...]:
        """Return the standard ratings of ``"breaker"`` or ``"fuse"`` in this edition [A]."""
        known = self._ratings.get(kind)
        if known is None:
            since = self.column("standard_ratings", f"{kind}_since")
            known = tuple(float(key) for key, year in since.items() if year <= float(self.edition))
            self._ratings[kind] = known
        return known


def read_book(folder: Path, edition: str = "") -> Book:
    """Read a code from a *folder* of tables with a manifest.

    Args:
        folder: Holds ``manifest.toml``, ``rules.csv``, ``factors.csv`` and the other tables.
        edition: Edition wanted; the manifest's first where none is named.

    Raises:
        KeyError: The manifest does not know the edition.
    """
    return book_of(read_layers(folder), edition)


def book_of(layers: Layers, edition: str = "") -> Book:
    """Return the code that *layers* state.

    A rule or table for which the upper folders name no clause keeps the one of the lowest folder.

    Raises:
        KeyError: The manifest does not know the edition.
    """
    manifest, tables = layers.manifest, _bound(layers.manifest, layers.tables)
    editions = tuple(manifest["editions"])
    edition = edition or editions[0]
    if edition not in editions:
        raise KeyError(edition)
    base = edition if edition in layers.base_editions else layers.base_editions[0]
    rules = {row["rule"]: _rule(row, edition, base) for row in tables["rules"].rows}
    factors = {
        row["name"]: Factor(value=float(row["value"]), rule=row["rule"])
        for row in tables["factors"].rows
    }
    return Book(
        id=manifest["id"],
        edition=edition,
        editions=editions,
        manifest=manifest,
        tables=tables,
        rules=rules,
        factors=factors,
        base_edition=base,
    )


def _bound(manifest: Mapping[str, Any], tables: Mapping[str, Table]) -> Mapping[str, Table]:
    """Return *tables* with the drop that the manifest makes binding among the factors.

    A second sizing has the tables only, and must know of it.
    """
    limit = manifest.get("limits", {}).get("drop_fraction")
    if limit is None:
        return tables
    factors = tables["factors"]
    stated = {"name": "drop_binding", "value": f"{limit!r}"}
    rows = [{**row, **stated} if row["name"] == stated["name"] else row for row in factors.rows]
    return {**tables, "factors": attrs.evolve(factors, rows=rows)}


def _rule(row: Mapping[str, str], edition: str, base: str) -> Source:
    clause = row.get(f"clause_{edition}", "")
    return Source(
        document=row.get("document") or DOCUMENT,
        clause=clause or row[f"clause_{base}"],
        edition=edition if clause else base,
        known=row["known"],
    )
