"""What is wrong with a folder that states a code as data, before anything is planned by it."""

import math
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

from ampwright.errors import PluginContractError
from ampwright.families.layered import MANIFEST, ORIGIN, Layers, amends, rises
from ampwright.tables import Table, read_table

SCHEMA = "ampwright.region/1"
#: Keys of a manifest that every folder states itself, and the pattern of each.
OWN = {
    "schema": re.escape(SCHEMA),
    "id": r"[a-z][a-z0-9-]{0,31}",
    "family": r"[a-z]{2,8}",
    "title": r"\S.{2,199}",
}
ARRANGEMENTS = ("split-phase", "line-neutral", "line-line")
SUPPLY_NUMBERS = ("frequency_hz", "lowest_v", "highest_v")
#: Further words that a manifest may have, whatever its family states.
FREE = ("terms", "supplies", "rebased", "description", "version", "sources", "limits")
#: Tables of a manifest to which a code may add words of its own.
ADDED_TO = ("terms", "limits", "clauses")
#: No file of a code is longer than this [bytes].
LARGEST_FILE = 2_000_000
#: Tables with one column for each way of laying, to which a code may add its own.
OPEN = ("grouping", "grouping_ground", "soil")
#: A voltage drop that a code makes binding lies between these, as a fraction.
LEAST_DROP, MOST_DROP = 0.001, 0.2
#: Tables whose numbers must rise with size within one column, by their prefix.
AMPACITY = "ampacity"
#: Columns that part a table of ampacities into series of their own.
SERIES = ("insulation", "loaded", "material", "method")
#: Names that rows may bring along beside the columns of the table that they amend.
BESIDE = re.compile(r"document|clause_[0-9A-Za-z.+-]{1,16}|edition|about|" + "|".join(ORIGIN))


def fault(place: str, value: object, wanted: str, code: str = "") -> PluginContractError:
    """Return one fault: where it is, what stands there, what would be right, its code."""
    return PluginContractError(value, wanted, place, code=code)


def number(text: str) -> float | None:
    """Return a finite number; ``None``: the text is none."""
    try:
        found = float(text)
    except ValueError:
        return None
    return found if math.isfinite(found) else None


def manifest_of(folder: Path) -> tuple[dict[str, Any], list[PluginContractError]]:
    """Return the manifest of a *folder*, and what keeps it from being read."""
    path = folder / MANIFEST
    place = f"{folder.name}/{MANIFEST}"
    try:
        if path.stat().st_size > LARGEST_FILE:
            return {}, [fault(place, path.stat().st_size, f"at most {LARGEST_FILE} bytes")]
        return tomllib.loads(path.read_text(encoding="utf-8")), []
    except OSError as error:
        return {}, [fault(place, type(error).__name__, "a manifest that can be read")]
    except ValueError as error:  # of TOML, or of the encoding
        return {}, [fault(place, str(error), "a manifest in TOML, encoded in UTF-8")]


def manifest_faults(folder: Path, stated: Mapping[str, Any]) -> Iterator[PluginContractError]:
    """Yield what is wrong with what a manifest itself states."""
    place = f"{folder.name}/{MANIFEST}"
    for key, pattern in OWN.items():
        value = stated.get(key)
        if not isinstance(value, str) or not re.fullmatch(pattern, value):
            wanted = f'"{SCHEMA}"' if key == "schema" else f"a text as {pattern}"
            yield fault(f"{place} {key}", value, wanted)
    editions = stated.get("editions")
    texts = isinstance(editions, list) and all(isinstance(one, str) and one for one in editions)
    if not texts or not editions:
        yield fault(f"{place} editions", editions, "the editions, as texts, the default first")
    supplies = stated.get("supplies", [])
    if not isinstance(supplies, list):
        yield fault(f"{place} supplies", supplies, "a list of supply systems")
        return
    for n, one in enumerate(supplies):
        yield from _supply_faults(f"{place} supplies[{n}]", one)
    for words in ("terms", "clauses"):
        yield from _text_faults(f"{place} {words}", stated.get(words, {}))
    limits = stated.get("limits", {})
    drop = limits.get("drop_fraction", LEAST_DROP) if isinstance(limits, Mapping) else limits
    if not isinstance(drop, float) or not LEAST_DROP <= drop <= MOST_DROP:
        wanted = f"a share from {LEAST_DROP} to {MOST_DROP}"
        yield fault(f"{place} limits.drop_fraction", drop, wanted)


def _supply_faults(place: str, one: object) -> Iterator[PluginContractError]:
    if not isinstance(one, Mapping):
        yield fault(place, one, "a table")
        return
    if one.get("arrangement") not in ARRANGEMENTS:
        wanted = f"one of {', '.join(ARRANGEMENTS)}"
        yield fault(f"{place}.arrangement", one.get("arrangement"), wanted)
    for name in SUPPLY_NUMBERS:
        value = one.get(name)
        if (
            not isinstance(value, int | float)
            or isinstance(value, bool)
            or not math.isfinite(value)
            or not value > 0
        ):
            yield fault(f"{place}.{name}", value, "a finite number above nought")
            return
    if one["lowest_v"] > one["highest_v"]:
        yield fault(f"{place}.lowest_v", one["lowest_v"], "at most highest_v")


def _text_faults(place: str, terms: object) -> Iterator[PluginContractError]:
    if not isinstance(terms, Mapping):
        yield fault(place, terms, "a table of texts")
        return
    for name, value in terms.items():
        if not isinstance(value, str) or not value.strip():
            yield fault(f"{place}.{name}", value, "a text")


def shape_faults(
    place: str, below: object, above: object, path: tuple[str, ...] = ()
) -> Iterator[PluginContractError]:
    """Yield where what a manifest states has another type than what it lies on.

    A key that nothing lies under is misspelt, save for words and remarks.
    """
    if isinstance(below, Mapping) and isinstance(above, Mapping):
        for key, value in above.items():
            if key in below:
                yield from shape_faults(place, below[key], value, (*path, key))
            elif key not in (*OWN, *FREE) and not (path and path[0] in ADDED_TO):
                known = ", ".join(sorted(below))
                yield fault(f"{place} {'.'.join((*path, key))}", key, f"one of {known}")
        return
    numbers = (int, float)
    same = isinstance(above, type(below)) or (
        isinstance(below, numbers)
        and isinstance(above, numbers)
        and not isinstance(above, bool)
        and not isinstance(below, bool)
    )
    if not same or (isinstance(above, float) and not math.isfinite(above)):
        kind = type(below).__name__
        yield fault(f"{place} {'.'.join(path)}", above, f"a value of the kind {kind}")


def table_of(path: Path) -> tuple[Table | None, list[PluginContractError]]:
    """Return one table of a folder, and what keeps it from being read."""
    place = f"{path.parent.name}/{path.name}"
    try:
        if path.stat().st_size > LARGEST_FILE:
            return None, [fault(place, path.stat().st_size, f"at most {LARGEST_FILE} bytes")]
        table = read_table.__wrapped__(path)
    except OSError as error:
        return None, [fault(place, type(error).__name__, "a table that can be read")]
    except (ValueError, IndexError) as error:
        wanted = "heads source, known and status, then columns and full rows"
        return None, [fault(place, str(error) or type(error).__name__, wanted)]
    if not table.rows:
        return None, [fault(place, "no row", "at least one row", "table.empty")]
    for name in ("source", "status"):
        if not table.heads[name].strip():
            return None, [fault(f"{place} {name}", table.heads[name], "words, not nothing")]
    return table, []


def table_faults(
    folder: Path, table: Table, base: Layers, rules: Sequence[str]
) -> Iterator[PluginContractError]:
    """Yield what is wrong with one table against the one that it stands for or amends."""
    place = f"{folder.name}/{table.id}.csv"
    below = base.tables.get(table.id)
    if below is None and table.id.startswith(f"{AMPACITY}_"):
        below = next(one for name, one in base.tables.items() if name.startswith(AMPACITY))
    if below is None:
        known = ", ".join(sorted(base.tables))
        yield fault(place, table.id, f"the name of a table of the family: {known}")
        return
    yield from _column_faults(place, table, below)
    lines = {id(row): n for n, row in enumerate(table.rows, 1)}
    for row in table.rows:
        spot = f"{place} row {lines[id(row)]} ({row[table.key]})"
        yield from _cell_faults(spot, row, table, below, rules)
    yield from _order_faults(place, table, below)
    if table.id.startswith(AMPACITY) and "iz_a" in table.columns:
        yield from _rising_faults(place, table)


def _column_faults(place: str, table: Table, below: Table) -> Iterator[PluginContractError]:
    extra = [
        name
        for name in table.columns
        if name not in below.columns and not BESIDE.fullmatch(name) and table.id not in OPEN
    ]
    if extra:
        yield fault(f"{place} columns", ", ".join(extra), f"columns among {list(below.columns)}")
    if table.key != below.key:
        yield fault(f"{place} columns", table.key, f"{below.key} as the first column")
    missing = [name for name in below.columns if name not in (*table.columns, *ORIGIN)]
    if missing and not amends(table):
        wanted = f"all columns of the family; {', '.join(missing)} is missing"
        yield fault(f"{place} columns", ", ".join(table.columns), wanted)


def _numeric(below: Table, column: str) -> bool:
    cells = [row[column] for row in below.rows if row.get(column)]
    return bool(cells) and all(number(cell) is not None for cell in cells)


def _cell_faults(
    spot: str, row: Mapping[str, str], table: Table, below: Table, rules: Sequence[str]
) -> Iterator[PluginContractError]:
    if not row[table.key]:
        yield fault(spot, row[table.key], f"a key in the column {table.key}")
    for name, cell in row.items():
        added = name not in (*below.columns, *ORIGIN) and table.id in OPEN
        if added and cell and number(cell) is None:
            yield fault(f"{spot} {name}", cell, "a finite number")
        if name not in below.columns or not cell:
            continue
        if name == "rule" and table.id != "rules" and cell not in rules:
            yield fault(f"{spot} {name}", cell, "a rule that the table of rules has")
        elif _numeric(below, name) and number(cell) is None:
            yield fault(f"{spot} {name}", cell, "a finite number")
    whole = [
        name
        for name in below.columns
        if name in row
        and name not in ORIGIN
        and not row[name]
        and all(one.get(name) for one in below.rows)
    ]
    new = below.row(row[table.key]) is None
    if whole and (new or not amends(table)):
        yield fault(
            f"{spot} {', '.join(whole)}", "", "a value; the family's table has one in each row"
        )


def _order_faults(place: str, table: Table, below: Table) -> Iterator[PluginContractError]:
    """Yield keys that are there twice as numbers; rows out of order are sorted later."""
    if not rises(below):
        return
    known = sorted((found, row[table.key]) for row in table.rows
                   if (found := number(row[table.key])) is not None)  # fmt: skip
    for (before, _), (after, text) in pairwise(known):
        if after == before:
            yield fault(f"{place} row {text}", text, "each key once", "table.repeated")


def _rising_faults(place: str, table: Table) -> Iterator[PluginContractError]:
    """Yield where a column of ampacities does not rise with size."""
    columns: dict[tuple[str, ...], list[tuple[float, float, str]]] = {}
    for row in table.rows:
        size, amps = number(row.get("size_mm2", "")), number(row["iz_a"])
        if size is not None and amps is not None:
            column = tuple(row.get(one, "") for one in SERIES)
            columns.setdefault(column, []).append((size, amps, row[table.key]))
    for cells in columns.values():
        for (small, less, _), (large, more, key) in pairwise(sorted(cells)):
            where = f"{place} row {key}"
            if small == large:
                yield fault(where, f"{large:g} mm2", "each size once", "table.repeated")
            elif more <= less:
                said = f"{small:g} mm2: {less:g} A, {large:g} mm2: {more:g} A"
                wanted = "an ampacity that rises with size"
                yield fault(where, said, wanted, "table.not_monotone")
