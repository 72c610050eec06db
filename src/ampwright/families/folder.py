"""A region from a folder of data: a manifest and tables that lie on those of a family. No code."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from ampwright.errors import AmpwrightError, PluginContractError
from ampwright.families.iec.book import Book
from ampwright.families.iec.code import IecCode
from ampwright.families.layered import MANIFEST, Layers, laid_over, on_top, read_layers, unsorted
from ampwright.families.nec.code import NecCode
from ampwright.families.soundness import (
    fault,
    manifest_faults,
    manifest_of,
    shape_faults,
    table_faults,
    table_of,
)
from ampwright.region import Region

_REGIONS = Path(__file__).parents[1] / "regions"
#: Folder that holds what a family states, where no country says otherwise.
FAMILIES = {"iec": _REGIONS / "iec", "nec": _REGIONS / "us"}


def region_from_folder(path: str | Path) -> Region:
    """Return the region that a folder states as data; nothing in it is run.

    Args:
        path: A folder with ``manifest.toml`` and any number of CSV tables. The manifest states
            ``schema``, ``id``, ``family``, ``title`` and ``editions``; whatever else it and the
            tables state lies on what the family states. A table stands for the family's table of
            the same name; with the head ``# amends: rows`` it only changes and adds rows.

    Raises:
        PluginContractError: Something in the folder is missing or wrong. ``path`` names file and
            row; ``faults`` holds everything that was found.
    """
    folder = Path(path)
    _raise_any(list(_faults(folder)))
    stated, _ = manifest_of(folder)
    try:
        code = _code(on_top(read_layers(FAMILIES[stated["family"]]), folder))
        gaps = list(_gaps(folder, code.book)) if isinstance(code, IecCode) else []
    except (KeyError, TypeError, ValueError) as error:
        said = f"{type(error).__name__}: {error}"
        raise PluginContractError(said, "tables that fit together", folder.name) from error
    _raise_any(gaps)
    return code


def remarks(path: str | Path) -> list[PluginContractError]:
    """Return what there is to say of a folder that can be used all the same."""
    folder = Path(path)
    stated, _ = manifest_of(folder)
    base = read_layers(FAMILIES[stated["family"]])
    return [
        fault(f"{folder.name}/{name}.csv", "rows out of order", "rows that rise; they were sorted",
              "table.unsorted")
        for name in unsorted(folder, base)
    ]  # fmt: skip


def _raise_any(faults: list[PluginContractError]) -> None:
    """Raise all *faults* in one error, if there are any."""
    if faults:
        first = faults[0]
        every: tuple[AmpwrightError, ...] = tuple(faults) if len(faults) > 1 else ()
        raise PluginContractError(first.value, first.expected, first.path, every, code=first.code)


def _gaps(folder: Path, book: Book) -> Iterator[PluginContractError]:
    """Yield where a way of laying has no ampacities, or no factors."""
    for row in book.tables["installations"].rows:
        place = f"{folder.name}/installations.csv row {row['installation']}"
        method, grouping = row["method"], row["grouping"]
        three = row.get("method_three") or method
        if not {method, three} <= {column.method for column in book.ampacities}:
            yield fault(f"{place} method", method, "a method that the ampacity tables have")
        table = "grouping_ground" if row["ground"] else "grouping"
        if grouping not in book.tables[table].columns[1:]:
            yield fault(f"{place} grouping", grouping, f"a column of the table {table}")
        if row["ground"] and method.lower() not in book.tables["soil"].columns[1:]:
            yield fault(f"{place} method", method, "a method that is a column of the table soil")
        if row["insulation"] and not book.row("insulation", row["insulation"]):
            yield fault(f"{place} insulation", row["insulation"], "a row of the table insulation")


def _code(layers: Layers) -> IecCode | NecCode:
    if layers.manifest["family"] == "nec":
        return NecCode.of(layers)
    return IecCode.of(layers)


def _faults(folder: Path) -> Iterator[PluginContractError]:
    """Yield everything that is wrong with a folder."""
    if not folder.is_dir():
        yield fault(folder.name, str(folder.name), "a folder that is there")
        return
    stated, unreadable = manifest_of(folder)
    yield from unreadable
    if unreadable:
        return
    wrong = list(manifest_faults(folder, stated))
    yield from wrong
    family = stated.get("family")
    if family not in FAMILIES:
        if isinstance(family, str):
            wanted = f"one of {', '.join(FAMILIES)}"
            yield fault(f"{folder.name}/{MANIFEST} family", family, wanted)
        return
    base = read_layers(FAMILIES[family])
    if stated.get("id") == base.manifest["id"]:
        wanted = "an id of its own, not that of the family's region"
        yield fault(f"{folder.name}/{MANIFEST} id", stated["id"], wanted)
    misshapen = list(shape_faults(f"{folder.name}/{MANIFEST}", base.manifest, stated))
    yield from misshapen
    if wrong or misshapen:
        return
    yield from _in_tables(folder, base)
    yield from _together(folder, base, laid_over(base.manifest, stated))


def _in_tables(folder: Path, base: Layers) -> Iterator[PluginContractError]:
    tables = []
    for path in sorted(folder.glob("*.csv")):
        table, unreadable = table_of(path)
        yield from unreadable
        if table is not None:
            tables.append(table)
    own = [row["rule"] for one in tables if one.id == "rules" for row in one.rows if "rule" in row]
    rules = [row["rule"] for row in base.tables["rules"].rows] + own
    for table in tables:
        yield from table_faults(folder, table, base, rules)


def _together(
    folder: Path, base: Layers, manifest: dict[str, Any]
) -> Iterator[PluginContractError]:
    """Yield where the manifest names what no table has."""
    place = f"{folder.name}/{MANIFEST}"
    own = {path.stem for path in folder.glob("*.csv")}

    def values(table: str, column: str) -> set[str] | None:
        """Return what a column of the family holds; ``None``: the folder has a table of its own."""
        return None if table in own else {row[column] for row in base.tables[table].rows}

    choices = {
        "usual.material": {"copper", "aluminum"},
        "usual.insulation": values("insulation", base.tables["insulation"].key),
        "usual.installation": values("installations", "installation"),
    }
    if manifest["family"] == "nec":
        yield from _years(place, manifest["editions"])
    else:
        choices |= {
            "usual.earthing": {"tn-s", "tn-c-s", "tt", "it"},
            "residual_current.lowest_type": values("residual_current_types", "type"),
            "devices.order": values("device_curves", "curve"),
            "neutral.switched": {"tn", "tt", "it"},
        }
        yield from _sizes(place, manifest["sizes"]["mm2"], values("resistance", "size_mm2"))
    rules = {row["rule"] for row in base.tables["rules"].rows} | set(_own_rules(folder))
    for code, rule in manifest["clauses"].items():
        if rule not in rules:
            yield fault(f"{place} clauses.{code}", rule, "a row of the table rules")
    for name, allowed in choices.items():
        section, _, field = name.partition(".")
        found = manifest[section][field]
        for one in found if isinstance(found, list) else [found]:
            if allowed is not None and one not in allowed:
                yield fault(f"{place} {name}", one, f"one of {', '.join(sorted(allowed))}")


def _own_rules(folder: Path) -> Iterator[str]:
    path = folder / "rules.csv"
    table = table_of(path)[0] if path.is_file() else None
    yield from (row["rule"] for row in table.rows if "rule" in row) if table else ()


def _years(place: str, editions: list[str]) -> Iterator[PluginContractError]:
    for one in editions:
        if not one.isdigit():
            yield fault(f"{place} editions", one, "a year; ratings and clauses go by it")


def _sizes(place: str, listed: list[Any], known: set[str] | None) -> Iterator[PluginContractError]:
    numbers = [one for one in listed if isinstance(one, int | float) and not isinstance(one, bool)]
    if numbers != listed or not listed or numbers != sorted(set(numbers)):
        yield fault(f"{place} sizes.mm2", listed, "numbers that rise")
    for size in numbers:
        if known is not None and f"{size:g}" not in known:
            yield fault(f"{place} sizes.mm2", size, "a size that the table resistance has")
