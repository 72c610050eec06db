"""Published tables: where a value comes from, reading a table, looking a cell up."""

import csv
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import NoReturn

import attrs

from ampwright.record import Record

#: How a value is known. ``seen``: read in a reproduction of the text; ``memory``: not looked up;
#: ``practice``: common practice, no source; ``derived``: our own arithmetic; ``model``: a model of
#: ours, whose limits its kernel states; ``caller``: stated by the caller.
KNOWN = ("seen", "memory", "practice", "derived", "model", "caller")


class Row(dict[str, str]):
    """The cells of one row by column; they cannot be changed."""

    __slots__ = ()

    def _refuse(self, *_: object, **__: object) -> NoReturn:
        raise TypeError("a row of a table cannot be changed")

    __setitem__ = __delitem__ = __ior__ = _refuse
    clear = pop = popitem = setdefault = update = _refuse

    def __reduce__(self) -> tuple[type["Row"], tuple[dict[str, str]]]:
        return Row, (dict(self),)


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Source(Record):
    """Where a rule or a value stands, and how it is known.

    Attributes:
        document: Standard, book or model, for example ``"NFPA 70"``.
        clause: Clause, table or page.
        edition: Edition that applies.
        known: One of `KNOWN`.
    """

    document: str
    clause: str = ""
    edition: str = ""
    known: str = attrs.field(default="memory", validator=attrs.validators.in_(KNOWN))

    def __str__(self) -> str:
        """Return document, clause and edition as one line."""
        edition = f"({self.edition})" if self.edition else ""
        return " ".join(part for part in (self.document, self.clause, edition) if part)


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Table(Record):
    """One published table, as its file states it.

    Attributes:
        id: Name of the file without its ending.
        heads: The ``# key: value`` lines on top; ``source`` and ``status`` are always there.
        columns: Column names, units included; the first is the key.
        rows: The cells as text, in the order of the file.
        known: One of `KNOWN`, from the head ``known``.
    """

    id: str
    heads: Mapping[str, str]
    columns: Sequence[str]
    rows: Sequence[Mapping[str, str]]
    known: str

    @property
    def key(self) -> str:
        """Name of the key column."""
        return self.columns[0]

    def row(self, key: str) -> Mapping[str, str] | None:
        """Return the row whose key cell is *key*, or ``None``: nothing is guessed."""
        column = self.key
        for row in self.rows:
            if row[column] == key:
                return row
        return None

    def number(self, key: str, column: str) -> float | None:
        """Return one cell as a number; ``None`` where the table has no such row or no value."""
        row = self.row(key)
        return float(row[column]) if row and row[column] else None

    def numbers(self, column: str) -> Iterator[tuple[str, float]]:
        """Yield (key, value) of every row that has a value in *column*, in the table's order."""
        return ((row[self.key], float(row[column])) for row in self.rows if row[column])

    def source(self, edition: str = "") -> Source:
        """Return where this table stands, for the *edition* in force."""
        document, _, clause = self.heads["source"].partition(";")
        edition = edition or self.heads.get("edition", "")
        return Source(
            document=document.strip(), clause=clause.strip(), edition=edition, known=self.known
        )


@cache
def read_table(path: Path) -> Table:
    """Read a CSV file with ``# key: value`` lines on top.

    Args:
        path: The file. Its heads state at least ``source`` (document; clause), ``known`` (one of
            `KNOWN`) and ``status`` (in words, how the values are known).

    Returns:
        The table; its cells stay text until they are asked for as numbers.

    Raises:
        ValueError: A head is missing, a row has too few or too many cells, or a key stands twice.
    """
    lines = path.read_text(encoding="utf-8").splitlines()
    heads: dict[str, str] = {}
    last = ""
    while lines and lines[0].startswith("#"):
        line = lines.pop(0)[1:].strip()
        name, colon, value = line.partition(":")
        if colon and name.isidentifier() and name.islower():
            last = name
            heads[name] = f"{heads[name]} {value.strip()}" if name in heads else value.strip()
        elif last:
            heads[last] += f" {line}"
    missing = {"source", "status", "known"} - heads.keys()
    if missing or heads["known"] not in KNOWN:
        raise ValueError(f"{path.name}: the heads {sorted(missing) or ['known']} are not stated")
    columns, *cells = list(csv.reader(lines))
    # read-only: tables are read once and shared, and nobody may change what others size by
    rows = tuple(Row(zip(columns, map(str.strip, row), strict=True)) for row in cells if row)
    keys = [row[columns[0]] for row in rows]
    if heads.get("key") != "several" and len(set(keys)) != len(keys):
        raise ValueError(f"{path.name}: a key stands twice in the column {columns[0]}")
    return Table(id=path.stem, heads=heads, columns=columns, rows=rows, known=heads["known"])
