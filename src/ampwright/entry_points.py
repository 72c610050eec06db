"""Entry points of what is installed, read from the folders on the path of modules.

The reader of the standard library loads parsers of mails and archives first, which takes longer
than loading attrs and pluggy. It is asked where anything but plain folders is on the path: an
archive, an egg, or a finder that knows distributions of its own.
"""

import os
import sys
from collections.abc import Iterator
from functools import reduce
from importlib import import_module
from importlib.machinery import PathFinder
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import importlib.metadata

#: What a folder of a distribution ends in, and the file in it that states name and version.
HEADS = {".dist-info": "METADATA", ".egg-info": "PKG-INFO"}


class Distribution(NamedTuple):
    """One distribution that is installed.

    Attributes:
        name: Its name.
        version: Its version, ``""`` where it states none.
        place: Folder on the path of modules that it stands in.
    """

    name: str
    version: str
    place: Path


class EntryPoint(NamedTuple):
    """One entry point.

    Attributes:
        name: Its name.
        value: The module, or module and attribute parted by a colon.
        dist: The distribution that states it, if it is known.
    """

    name: str
    value: str
    dist: Distribution | None = None

    def load(self) -> object:
        """Import what it leads to; whatever the module raises is not caught."""
        module, _, attributes = self.value.partition("[")[0].partition(":")
        names = [name for name in attributes.strip().split(".") if name]
        return reduce(getattr, names, import_module(module.strip()))


def entry_points(group: str) -> list[EntryPoint]:
    """Return the entry points of a *group*; of a distribution that is there twice, the first's."""
    if not _plain():
        return [
            EntryPoint(one.name, one.value, _known(one.dist) if one.dist else None)
            for one in _library().entry_points(group=group)
        ]
    found: list[EntryPoint] = []
    seen: set[str] = set()
    for info in _infos():
        name = _normal(info)
        if name not in seen:
            seen.add(name)
            stated = _stated(f"{info}/entry_points.txt")
            if f"[{group}]" in stated:
                known = _distribution(info)
                found += (EntryPoint(*pair, known) for pair in _pairs(stated, group))
    return found


def distributions(name: str) -> list[Distribution]:
    """Return every distribution of that *name*, in the order of the path."""
    if not _plain():
        return [_known(one) for one in _library().distributions(name=name)]
    wanted = _normal(f"{name.replace('-', '_')}.dist-info")
    return [_distribution(info) for info in _infos() if _normal(info) == wanted]


def _plain() -> bool:
    """Tell whether all that is on the path are folders that hold what is installed as it is."""
    finders = [one for one in sys.meta_path if one is not PathFinder]
    if any(hasattr(one, "find_distributions") for one in finders):
        return False
    return not any(place.endswith(".egg") or Path(place).is_file() for place in _places())


def _places() -> list[str]:
    """Return the path of modules without what is no text: nothing is imported from there."""
    return [place for place in sys.path if isinstance(place, str)]


def _infos() -> Iterator[str]:
    """Yield the folder of each distribution; there are hundreds, and each start reads them all."""
    for place in _places():
        try:
            names = os.listdir(place or ".")  # noqa: PTH208 - pathlib takes twice as long
        except OSError:  # such as the archive of the standard library, which is seldom there
            continue
        for name in names:
            if name.endswith(tuple(HEADS)):
                yield f"{place or '.'}/{name}"


def _normal(info: str) -> str:
    """Return the name of the distribution of a folder, equal for every way to write it."""
    stem = info.rpartition("/")[2].rpartition(".")[0].partition("-")[0]
    return stem.lower().replace(".", "_")


def _stated(path: str) -> str:
    """Return what a file of a distribution states, ``""`` where there is none."""
    try:
        with open(path, encoding="utf-8") as file:  # noqa: PTH123 - pathlib takes twice as long
            return file.read()
    except OSError:
        return ""


def _distribution(info: str) -> Distribution:
    place, _, folder = info.rpartition("/")
    stem, dot, ending = folder.rpartition(".")
    name, _, version = stem.partition("-")
    heads = {"name": name, "version": version}
    for line in _stated(f"{info}/{HEADS[dot + ending]}").splitlines():
        if not line:
            break
        if not line[0].isspace():
            key, _, value = line.partition(":")
            heads[key.lower()] = value.strip()
    return Distribution(heads["name"], heads["version"], Path(place).resolve())


def _pairs(text: str, group: str) -> Iterator[tuple[str, str]]:
    """Yield name and value of what a file of entry points states for a *group*."""
    inside = False
    for line in map(str.strip, text.splitlines()):
        if line.startswith("["):
            inside = line == f"[{group}]"
        elif inside and line and not line.startswith("#"):
            name, _, value = line.partition("=")
            yield name.strip(), value.strip()


def _library() -> ModuleType:
    return import_module("importlib.metadata")


def _known(one: "importlib.metadata.Distribution") -> Distribution:
    """Return what the standard library found, as it is kept here."""
    return Distribution(one.metadata["Name"], one.version, Path(str(one.locate_file(""))).resolve())
