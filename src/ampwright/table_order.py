"""Whether the tables and words that a region brings can be used: order, holes, numbers, characters.

A table that sizes something has an order: more metal carries more, a hotter place carries less.
Which tables that concerns stands below for the tables of both families; any other table may state
its own order in its heads, as ``rising: limit_a over size_mm2 within material``.
"""

import itertools
import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fnmatch import fnmatch
from typing import Any, NamedTuple

from ampwright.tables import Table

#: What tables and words can be at fault for.
CODES = ("plugin.control_character", "plugin.table_nonfinite", "table.empty", "table.gap",
         "table.negative", "table.not_monotone", "table.repeated", "table.unsorted")  # fmt: skip
ID = re.compile(r"[a-z0-9-]{1,40}")
SHORTEST_REGION = 2
NOT_FINITE = frozenset(("nan", "inf", "infinity"))
#: Endings of columns whose numbers cannot be below nought.
AMOUNTS = ("_a", "_v", "_w", "_va", "_ohm", "_m", "_mm2", "_hz", "_s", "_a2s", "_pct", "_va_per_hp")
HOT_C = 40.0  # above every reference temperature of a table of ambients
_STATED = re.compile(r"([^ ]+) over ([^ ]+)(?: within ([^;]+))?")


class Fault(NamedTuple):
    """What is wrong with a table: code, what was found, what would be right."""

    code: str
    found: str
    wanted: str


class Order(NamedTuple):
    """An order that holds in the tables of one name.

    Attributes:
        tables: Their ids, as a pattern.
        values: Columns whose values are in order, as patterns.
        over: Column that the values go with.
        within: Columns that part the table into series of their own.
        rising: They rise; else they fall.
        strict: Equal neighbours are a fault.
        whole: A size missing between the first and the last is a fault.
        factor: They are factors of temperature, none above 1 where it is hot.
        gauges: The sizes are wire gauges and kcmil.
    """

    tables: str
    values: tuple[str, ...]
    over: str
    within: tuple[str, ...] = ()
    rising: bool = True
    strict: bool = False
    whole: bool = False
    factor: bool = False
    gauges: bool = False

    def place(self, key: str) -> float:
        """Return a number that orders sizes: of a wire gauge its place, else the size itself.

        Raises:
            ValueError: It is no size.
        """
        return float(GAUGES.index(key)) if self.gauges else float(key)


SERIES = ("insulation", "loaded", "material", "method")
ORDERS = (
    Order("ampacity", ("cu_*", "al_*"), "size", strict=True, whole=True, gauges=True),
    Order("ampacity_*", ("iz_a",), "size_mm2", SERIES, strict=True, whole=True),
    Order("ambient_factors", ("f_*",), "to_c", rising=False, factor=True),
    Order("ambient_air", ("pvc", "xlpe"), "temp_c", rising=False, factor=True),
    Order("ambient_ground", ("pvc", "xlpe"), "temp_c", rising=False, factor=True),
    Order("adjustment_factors", ("factor",), "to_n", rising=False),
    Order("grouping*", ("*",), "circuits", rising=False),
    Order("resistance", ("copper", "flexible", "aluminum"), "size_mm2", rising=False),
)
#: Sizes in use, the smallest first: wire gauges and kcmil of NEC tables, and IEC 60228:2004.
GAUGES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0",
          "250", "300", "350", "400", "500", "600", "700", "750", "800", "900", "1000", "1250",
          "1500", "1750", "2000")  # fmt: skip
SQUARES = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0,
           150.0, 185.0, 240.0, 300.0, 400.0, 500.0, 630.0)  # fmt: skip


def table_faults(table: Table) -> Iterator[Fault]:
    """Yield what is wrong with one table: no rows, numbers, order, holes."""
    if not table.rows:
        yield Fault("table.empty", table.id, "a table with rows")
        return
    yield from _number_faults(table)
    for order in _orders(table):
        for series in _series(table, order):
            yield from _order_faults(table, order, *series)


def unsorted(table: Table) -> bool:
    """Tell whether the rows of a table are not in the order of its sizes."""
    for order in _orders(table):
        for _, rows in _groups(table, order):
            places = [order.place(row[order.over]) for row in rows]
            if places != sorted(places):
                return True
    return False


def _number_faults(table: Table) -> Iterator[Fault]:
    for number, row in enumerate(table.rows, 1):
        for column, cell in row.items():
            where = f"in the table {table.id}, row {number}, {column}"
            if cell.casefold().lstrip("+-") in NOT_FINITE:
                yield Fault("plugin.table_nonfinite", cell, f"finite numbers {where}")
            elif cell.startswith("-") and column.endswith(AMOUNTS) and _number(cell) is not None:
                yield Fault("table.negative", cell, f"nought or more {where}")


def _number(cell: str) -> float | None:
    try:
        return float(cell)
    except ValueError:
        return None


def _orders(table: Table) -> Iterator[Order]:
    stated = list(_stated(table))
    for order in stated or ORDERS:
        if order.over in table.columns and (stated or fnmatch(table.id, order.tables)):
            yield order


def _stated(table: Table) -> Iterator[Order]:
    """Yield the orders that a table states of itself."""
    for head, rising in (("rising", True), ("falling", False)):
        for part in table.heads.get(head, "").split(";"):
            found = _STATED.fullmatch(part.strip())
            if found:
                within = tuple(one.strip() for one in (found[3] or "").split(",") if one.strip())
                yield Order(table.id, (found[1],), found[2], within, rising=rising)


def _groups(
    table: Table, order: Order
) -> Iterator[tuple[tuple[str, ...], list[Mapping[str, str]]]]:
    groups: dict[tuple[str, ...], list[Mapping[str, str]]] = {}
    for row in table.rows:
        groups.setdefault(tuple(row.get(name, "") for name in order.within), []).append(row)
    yield from groups.items()


def _series(table: Table, order: Order) -> Iterator[tuple[str, list[tuple[str, float]]]]:
    """Yield name and (size, value) of each series, in the order of the sizes."""
    columns = [
        one
        for one in table.columns
        if one not in (order.over, *order.within, "known", "source", table.key)
        and any(fnmatch(one, pattern) for pattern in order.values)
    ]
    for name, rows in _groups(table, order):
        ordered = sorted(rows, key=lambda row: order.place(row[order.over]))
        for column in columns:
            cells = [(row[order.over], row[column]) for row in ordered if row[column]]
            title = " ".join((*name, column)) if name else column
            yield title, [(key, float(cell)) for key, cell in cells]


def _order_faults(
    table: Table, order: Order, title: str, cells: Sequence[tuple[str, float]]
) -> Iterator[Fault]:
    where = f"in the table {table.id}, {title}"
    for (key, value), (after, next_value) in itertools.pairwise(cells):
        shown = f"{key}: {value:g}, {after}: {next_value:g}"
        if order.place(key) == order.place(after):
            yield Fault("table.repeated", shown, f"each size once {where}")
            continue
        change = next_value - value if order.rising else value - next_value
        if change < 0.0 or (order.strict and change == 0.0):
            word = "rise" if order.rising else "fall"
            yield Fault(
                "table.not_monotone", shown, f"values that {word} over {order.over} {where}"
            )
    if order.factor:
        for key, value in cells:
            if order.place(key) > HOT_C and value > 1.0:
                wanted = f"no factor above 1 at {key} {where}"
                yield Fault("table.not_monotone", f"{key}: {value:g}", wanted)
    if order.whole and "series" not in table.heads:
        yield from _holes(where, order, [key for key, _ in cells])


def _holes(where: str, order: Order, keys: Sequence[str]) -> Iterator[Fault]:
    """Yield the sizes that are missing between the first and the last."""
    there = {order.place(key) for key in keys}
    sizes = range(len(GAUGES)) if order.gauges else SQUARES
    inside = [one for one in sizes if there and min(there) < one < max(there)]
    missing = [one for one in inside if one not in there]
    if missing:
        names = [GAUGES[int(one)] if order.gauges else f"{one:g}" for one in missing]
        wanted = f"every size between {keys[0]} and {keys[-1]}, or a head that names its series,"
        yield Fault("table.gap", f"no {', '.join(names)}", f"{wanted} {where}")


def word_faults(words: Iterable[tuple[str, object]]) -> Iterator[Fault]:
    """Yield what is wrong with words that get into reports: no text, or control characters.

    Args:
        words: What each is, and the word.
    """
    for what, word in words:
        if not isinstance(word, str):
            yield Fault("plugin.contract", type(word).__name__, f"a text as {what}")
        elif not word.isprintable():
            yield Fault("plugin.control_character", word, f"printable characters in {what}")


def region_words(region: Any) -> Iterator[tuple[str, object]]:  # noqa: ANN401 - a stranger's object
    """Yield the words that a region puts into reports: names, terms, sources, heads of tables."""
    for name in ("edition", "family", "title"):
        yield f"the {name}", getattr(region, name)
    for name, word in region.terms.items():
        yield f"the term {name}", word
    for rule, source in region.rules.items():
        yield f"the document of {rule}", source.document
        yield f"the clause of {rule}", source.clause
    for table in region.tables.values():
        for name, head in table.heads.items():
            yield f"the head {name} of the table {table.id}", head


def region_faults(region: Any) -> Iterator[Fault]:  # noqa: ANN401 - a stranger's object
    """Yield what is wrong with a region: its words, its tables."""
    yield from word_faults(region_words(region))
    for table in region.tables.values():
        yield from table_faults(table)


def of_number(value: object) -> bool:
    """Tell whether *value* is a finite number, neither text nor truth."""
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
