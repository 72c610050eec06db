"""Region `iec`: IEC 60364 as it stands, without the deviations of any country."""

from collections.abc import Sequence
from pathlib import Path

from ampwright.families.iec.code import IecCode
from ampwright.plugin import Region, hookimpl


@hookimpl
def ampwright_regions() -> Sequence[Region]:
    """Return the region."""
    return [IecCode.read(Path(__file__).parent)]
