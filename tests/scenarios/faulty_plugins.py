"""Plugins with one fault each, as the judge of bad inputs describes them."""

import math
import os
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import ampwright as aw
from ampwright.plugin import hookimpl, read_table

Job = dict[str, Any]

ENGINE = aw.Engine()
FOREVER_S = 3600.0


class Borrowed:
    """The region of another plugin under another id, with some tables changed."""

    def __init__(self, region: Any, name: str, tables: Mapping[str, Any]) -> None:  # noqa: ANN401 - a Region
        self.region, self.id = region, name
        self.tables = {**region.tables, **tables}
        self.__name__ = name

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401 - whatever the region has
        return getattr(self.region, name)

    def in_edition(self, edition: str) -> "Borrowed":
        return self


class Clumsy:
    """A plugin with one fault."""

    def __init__(self, setup: Job) -> None:
        self.setup, self.id = setup, setup["plugin"]
        self.__name__ = self.id
        self.shared, self.converts = False, True
        self.regions: list[Any] = []
        if setup["kind"] == "region":
            us = ENGINE.regions()["us"]
            self.regions.append(Borrowed(us, self.id, spoilt(setup, us.tables)))

    def blunder(self, case: Any) -> Any:  # noqa: ANN401 - on purpose
        fault = self.setup["fault"]
        if fault == "raises":
            raise getattr(__import__("builtins"), self.setup["exception"])("on purpose")
        if fault == "exits":
            sys.exit(1)
        if fault == "kills-process":
            os._exit(9)
        if fault == "hangs":
            time.sleep(FOREVER_S)
        if fault == "changes-input":
            object.__setattr__(case.shop, "name", "changed")
        return "of another type"

    def answer(self, case: Any, machines: Sequence[Any]) -> Any:  # noqa: ANN401 - on purpose
        return self.blunder(case)

    def settle(self, case: Any, proposal: Any, circuits: Any) -> Any:  # noqa: ANN401 - on purpose
        return self.blunder(case)

    def review(self, decision: Any) -> Any:  # noqa: ANN401 - on purpose
        return self.blunder(decision)

    @hookimpl
    def ampwright_methods(self) -> list[Any]:
        return [self] if self.setup["kind"] == "method" else []

    @hookimpl
    def ampwright_review(self) -> list[Any]:
        return [self] if self.setup["kind"] == "review" else []

    @hookimpl
    def ampwright_regions(self) -> list[Any]:
        return self.regions


def spoilt(setup: Job, tables: Mapping[str, Any]) -> dict[str, Any]:
    """Return the table that the fault strikes, struck."""
    table = tables[setup["table"]]
    rows = [dict(row) for row in table.rows]
    place = setup.get("row", 1) - 1
    column = next(name for name in reversed(rows[0]) if math.isfinite(number(rows[0][name])))
    if setup["fault"] == "table-not-finite":
        rows[place][column] = "nan"
    elif setup["fault"] == "table-wrong-scale":
        for row in rows:
            row[column] = str(number(row[column]) * setup["factor"])
    elif setup["fault"] == "table-ends-early":
        last = [n for n, row in enumerate(rows) if setup["last"] in row.values()]
        rows = rows[: last[0] + 1]
    else:
        rows.reverse()
    return {setup["table"]: rewritten(table, rows)}


def number(text: str) -> float:
    """Return the number that a cell holds, infinity for none."""
    try:
        return float(text)
    except ValueError:
        return math.inf


def rewritten(table: Any, rows: Sequence[Mapping[str, str]]) -> Any:  # noqa: ANN401 - a Table
    """Return a table with other rows, written to a file and read as any other."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / f"{table.id}.csv"
        heads = [f"# {key}: {value}" for key, value in table.heads.items()]
        lines = [",".join(f'"{cell}"' for cell in row.values()) for row in rows]
        file.write_text("\n".join([*heads, ",".join(rows[0]), *lines]) + "\n", encoding="utf-8")
        return read_table(file)
