"""Region `iec`: IEC 60364 as it stands, without the deviations of any country."""

from collections.abc import Sequence
from pathlib import Path

from ampwright.families.unread import unread
from ampwright.plugin import Region, hookimpl


@hookimpl
def ampwright_regions() -> Sequence[Region]:
    """Return the region."""
    return [unread("iec", "iec", Path(__file__).parent)]
