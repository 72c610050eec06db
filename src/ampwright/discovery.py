"""What is installed: entry points in a fixed order, versions, copies. Nothing here is imported."""

from collections.abc import Collection, Iterable, Sequence
from importlib import import_module
from pathlib import Path
from typing import NamedTuple

from ampwright.entry_points import EntryPoint, distributions, entry_points
from ampwright.errors import PluginConflictError

GROUP = "ampwright"


class Available(NamedTuple):
    """One plugin that is installed.

    Attributes:
        name: Name of its entry point.
        distribution: Name of its distribution.
        version: Version of its distribution.
        built_in: It comes with the library.
        active: It is asked; one that is not was not even imported.
    """

    name: str
    distribution: str
    version: str
    built_in: bool
    active: bool


def available(asked: Collection[str]) -> tuple[Available, ...]:
    """Return every plugin that is installed, by name; those in *asked* are active."""
    return tuple(
        Available(
            name=entry.name,
            distribution=entry.dist.name if entry.dist else "",
            version=entry.dist.version if entry.dist else "",
            built_in=is_built_in(entry),
            active=entry.name in asked,
        )
        for entry in installed()
    )


def digest(folder: str | Path) -> str:
    """Return a digest of a folder of data: manifest and tables, by name and content."""
    found = import_module("hashlib").sha256()  # here: slow to load, for pinned folders only
    place = Path(folder)
    for path in sorted([*place.glob("*.toml"), *place.glob("*.csv")]):
        content = path.read_bytes()
        found.update(f"{path.name} {len(content)}\n".encode() + content)
    digest: str = found.hexdigest()
    return digest


def installed() -> Sequence[EntryPoint]:
    """Return the entry points of all plugins, in the order of their names."""
    return sorted(entry_points(GROUP), key=lambda entry: (entry.name, entry.value))


def is_built_in(entry: EntryPoint) -> bool:
    """Tell whether an entry point leads to a module of the library itself."""
    return entry.value.split(".", 1)[0] == "ampwright"


def versions(entries: Iterable[EntryPoint]) -> dict[str, str]:
    """Return the version behind each entry point by name."""
    return {entry.name: entry.dist.version if entry.dist else "" for entry in entries}


def labels(entries: Iterable[EntryPoint]) -> dict[str, str]:
    """Return name, distribution and version of each entry point from outside, by name."""
    return {
        entry.name: f"{entry.name} of {entry.dist.name} {entry.dist.version}"
        for entry in entries
        if entry.dist and not is_built_in(entry)
    }


def copies(entry: EntryPoint) -> PluginConflictError | None:
    """Return what is wrong where the distribution of *entry* is installed more than once."""
    if entry.dist is None or is_built_in(entry):
        return None
    name = entry.dist.name
    places = {one.place: one.version for one in distributions(name)}
    if len(places) < 2:
        return None
    found = " and ".join(f"{name} {version} in {place}" for place, version in places.items())
    return PluginConflictError(
        found, f"one copy of {name}", entry.name, code="plugin.installed_twice"
    )
