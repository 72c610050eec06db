"""Tables, limits, planning values and symbols, as the files of the package state them."""

import csv
from pathlib import Path
from typing import NamedTuple

from docs.making.markup import cell, section, table

import ampwright
from ampwright.report.wording import catalogue
from ampwright.tables import read_table

ROOT = Path(ampwright.__file__).parent
SYMBOLS = Path(__file__).parents[1] / "reference" / "symbols.csv"
GROUPS = {
    "regions/us": "Wiring code of the United States",
    "planning": "Planner",
    "kernels": "Kernels",
}
#: Files of planning values that the reference prints whole, beside the limits.
PRINTED = ("planning", "methods")
TITLES = {
    "planning/conditions.csv": "Findings that make a verdict conditional",
    "planning/inertia.csv": "Inertia where none is stated",
    "planning/load_laws.csv": "Torque of loads",
    "planning/machine_figures.csv": "Machines",
    "planning/observations.csv": "Facts that call for a finding",
    "planning/prices.csv": "Rough prices",
    "planning/supply_figures.csv": "Supply",
    "planning/code_letters.csv": "Code letters",
}


class Filed(NamedTuple):
    """One table file: its name, its heads, its columns and its rows."""

    name: str
    heads: dict[str, str]
    columns: list[str]
    rows: list[list[str]]


def filed(path: Path) -> Filed:
    """Read any table file of the package; those of kernels state no ``known`` on top."""
    name = path.relative_to(ROOT).as_posix()
    if "kernels" not in path.parts:
        read = read_table(path)
        rows = [[row[column] for column in read.columns] for row in read.rows]
        return Filed(name, dict(read.heads), list(read.columns), rows)
    lines = path.read_text(encoding="utf-8").splitlines()
    heads: dict[str, str] = {}
    while lines[0].startswith("#"):
        key, colon, text = lines.pop(0)[1:].strip().partition(":")
        if colon and key in {"source", "status", "known", "edition"}:
            heads[key] = text.strip()
        else:
            heads["note"] = f"{heads.get('note', '')} {key}{colon}{text}".strip()
    columns, *rows = [row for row in csv.reader(lines) if row]
    return Filed(name, heads, columns, rows)


def all_tables() -> tuple[Filed, ...]:
    """Return every table file of the package."""
    return tuple(filed(path) for path in sorted(ROOT.rglob("*.csv")))


def _group(name: str) -> str:
    folder, _, rest = name.partition("/")
    kind = {"methods": "Method", "regions": "Region", "families": "Family"}.get(folder)
    if kind and not name.startswith(tuple(GROUPS)):
        return f"{kind} {rest.partition('/')[0].replace('_', '-')}"
    known = (title for stem, title in GROUPS.items() if name.startswith(stem))
    return next(known, f"`{name.rpartition('/')[0]}`")


def _title(name: str) -> str:
    words = Path(name).stem.replace("_", " ")
    return TITLES.get(name) or f"{_group(name)}: {words}"


def _described(one: Filed) -> str:
    known = one.heads.get("known", "")
    said = catalogue()["known"].get(known, "see its status")
    edition = one.heads.get("edition", "")
    lines = [
        f"`{one.name}`",
        f": **{cell(one.heads['source'])}**" + (f", edition {edition}" if edition else "") + ". "
        f"{len(one.rows)} rows. Known: {said}.",
        "",
        f"  Status: {cell(one.heads['status'])}.",
    ]
    for key, name in (("units", "Columns"), ("note", "Note"), ("check", "Check")):
        if one.heads.get(key):
            lines += ["", f"  {name}: {cell(one.heads[key])}."]
    return "\n".join(lines)


def tables_page() -> str:
    """Return every table file with its source, edition and how it is known."""
    found = all_tables()
    titles = list(dict.fromkeys([*GROUPS.values(), *(_group(one.name) for one in found)]))
    parts = []
    for title in titles:
        own = [one for one in found if _group(one.name) == title]
        if own:
            parts.append(section(title, *(_described(one) for one in own)))
    return "\n".join(parts)


def limits_page() -> str:
    """Return the limits that `plan(limits=…)` replaces."""
    made = filed(ROOT / "planning" / "limits.csv")
    rows = [(f"`{name}`", value, unit, why) for name, value, unit, why in made.rows]
    heads = ("Name", "Value:", "Unit", "What it limits")
    return f"{table(heads, rows)}\nKnown: {made.heads['status']}.\n"


def planning_page() -> str:
    """Return the planning values of planner and methods, whole."""
    parts = []
    for path in sorted(path for stem in PRINTED for path in (ROOT / stem).rglob("*.csv")):
        one = filed(path)
        if path.name == "limits.csv":
            continue
        said = [f"Source: {one.heads['source']}. Known: {one.heads['status']}."]
        said += [f"{one.heads['units']}." for _ in (1,) if one.heads.get("units")]
        title = _title(one.name)
        parts.append(
            section(title, f"`{one.name}`", cell(" ".join(said)), table(one.columns, one.rows))
        )
    return "\n".join(parts)


def symbols() -> list[dict[str, str]]:
    """Return the symbols of the glossary: symbol, name, unit and group."""
    with SYMBOLS.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def glossary_page() -> str:
    """Return the symbols, by group."""
    rows = symbols()
    return "\n".join(
        section(
            group,
            table(
                ("Symbol", "Unit", "Quantity"),
                [
                    (f"`{one['symbol']}`", one["unit"] or "–", one["name"])
                    for one in rows
                    if one["group"] == group
                ],
            ),
        )
        for group in dict.fromkeys(one["group"] for one in rows)
    )
