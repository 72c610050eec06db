"""A code as data: one folder with a manifest and tables, or a folder on top of another."""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import attrs

from ampwright.finding import Assumption, parameters
from ampwright.tables import Table, read_table

MANIFEST = "manifest.toml"
#: Columns that a row brings along when it is laid into the table of another document.
ORIGIN = ("known", "source")


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Layers:
    """What one folder, or several on top of each other, state.

    Attributes:
        folders: The folders, the lowest first.
        base_editions: Editions of the lowest folder, whose clauses stand where no other is named.
        base_title: Its title.
        manifest: The manifests laid over each other, table by table and key by key.
        tables: Tables by id; see `amended` for those that two folders have.
    """

    folders: tuple[Path, ...]
    base_editions: tuple[str, ...]
    base_title: str
    manifest: Mapping[str, Any]
    tables: Mapping[str, Table]

    @property
    def said(self) -> tuple[Assumption, ...]:
        """What every answer under a code says that lies on the tables of its family."""
        if not self.manifest.get("rebased", len(self.folders) > 1):
            return ()
        words = parameters(region=self.manifest["title"], base=self.base_title)
        return (Assumption(code="region.rebased", parameters=words),)


@cache
def read_layers(folder: Path) -> Layers:
    """Read one *folder*, once.

    Raises:
        OSError: It has no readable manifest.
        ValueError: Its manifest or a table cannot be read.
    """
    nothing = Layers(folders=(), base_editions=(), base_title="", manifest={}, tables={})
    return on_top(nothing, folder)


def on_top(base: Layers, folder: Path) -> Layers:
    """Return *base* with what a *folder* states laid over it; the folder is read anew."""
    stated = tomllib.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    tables = dict(base.tables)
    for path in sorted(folder.glob("*.csv")):
        table = read_table.__wrapped__(path)
        below = tables.get(table.id)
        if below is not None and rises(below):
            table = attrs.evolve(table, rows=_in_order(table.rows, table.key))
        tables[table.id] = amended(below, table) if below and amends(table) else table
    return Layers(
        folders=(*base.folders, folder),
        base_editions=base.base_editions or tuple(stated["editions"]),
        base_title=base.base_title or stated["title"],
        manifest=laid_over(base.manifest, stated),
        tables=tables,
    )


def laid_over(below: Mapping[str, Any], above: Mapping[str, Any]) -> dict[str, Any]:
    """Return *below* with what *above* states; tables are merged, anything else is replaced."""
    merged = dict(below)
    for key, value in above.items():
        under = merged.get(key)
        if isinstance(value, Mapping) and isinstance(under, Mapping):
            merged[key] = laid_over(under, value)
        else:
            merged[key] = value
    return merged


def rises(table: Table) -> bool:
    """Tell whether the keys of a table are numbers that rise from row to row."""
    try:
        keys = [float(row[table.key]) for row in table.rows]
    except ValueError:
        return False
    return all(before < after for before, after in pairwise(keys))


def unsorted(folder: Path, base: Layers) -> Iterator[str]:
    """Yield the tables of a *folder* whose rows were sorted when they were read."""
    for path in sorted(folder.glob("*.csv")):
        below = base.tables.get(path.stem)
        table = read_table.__wrapped__(path)
        if below is not None and rises(below) and table.rows and not rises(table):
            yield table.id


def amends(table: Table) -> bool:
    """Tell whether a table changes and adds rows only, instead of standing for the whole."""
    return table.heads.get("amends", "") == "rows"


def amended(below: Table, above: Table) -> Table:
    """Return *below* with the rows of *above* in it: same key replaced, other keys added.

    Each such row keeps where it comes from, in the columns ``source`` and ``known``.
    """
    columns = list(dict.fromkeys([*below.columns, *above.columns, *ORIGIN]))
    empty = dict.fromkeys(columns, "")
    rows: dict[str, Mapping[str, str]] = {row[below.key]: empty | dict(row) for row in below.rows}
    for row in above.rows:
        base = rows.get(row[above.key], empty)
        own = {"source": above.heads["source"], "known": above.known}
        stated = {name: cell for name, cell in row.items() if cell or name not in ORIGIN}
        rows[row[above.key]] = dict(base) | own | stated
    return Table(
        id=below.id,
        heads=below.heads,
        columns=columns,
        rows=_in_order(list(rows.values()), below.key),
        known=below.known,
    )


def _in_order(rows: Sequence[Mapping[str, str]], key: str) -> Sequence[Mapping[str, str]]:
    """Return *rows* by their key where all keys are numbers, else as they stand."""
    try:
        return sorted(rows, key=lambda row: float(row[key]))
    except ValueError:
        return rows
