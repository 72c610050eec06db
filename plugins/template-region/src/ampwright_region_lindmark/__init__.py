"""Region `lindmark`: an invented country, on the tables of its family."""

from collections.abc import Sequence
from pathlib import Path

from ampwright.plugin import Region, hookimpl, region_from_folder

ampwright_interface = "1.0"
TABLES = Path(__file__).with_name("tables")


@hookimpl
def ampwright_regions() -> Sequence[Region]:
    """Return the region, all of which stands in the folder of tables."""
    return [region_from_folder(TABLES)]
