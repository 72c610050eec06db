"""A code that comes with the library, and is read when it is first asked for more than its id.

Its modules and tables are many, and most programs ask one code.
"""

from functools import cached_property
from importlib import import_module
from pathlib import Path
from typing import cast

from ampwright.region import Region

#: Module and class of the codes of each family.
CODES = {
    "iec": ("ampwright.families.iec.code", "IecCode"),
    "nec": ("ampwright.families.nec.code", "NecCode"),
}


class Unread:
    """A region that stands for the one that it reads.

    Args:
        name: Id of the region.
        family: Family of codes that it belongs to.
        folder: Folder of its manifest and tables.
    """

    def __init__(self, name: str, family: str, folder: Path) -> None:
        self.id = name
        self.family = family
        self.folder = folder

    @cached_property
    def region(self) -> Region:
        """The region itself."""
        module, name = CODES[self.family]
        found: Region = getattr(import_module(module), name).read(self.folder)
        return found

    def __getattr__(self, name: str) -> object:
        """Return what the region has; what Python itself looks for in any object is not asked."""
        if name.startswith("__"):
            raise AttributeError(name)
        return getattr(self.region, name)

    def __reduce__(self) -> tuple[type, tuple[str, str, Path]]:
        return Unread, (self.id, self.family, self.folder)


def unread(name: str, family: str, folder: Path) -> Region:
    """Return the region *name* of a *family*, whose manifest and tables stand in a *folder*."""
    return cast("Region", Unread(name, family, folder))
