"""Region `us`: the National Electrical Code, editions 2020 and 2023."""

from collections.abc import Sequence
from pathlib import Path

from ampwright.families.unread import unread
from ampwright.plugin import Region, hookimpl


@hookimpl
def ampwright_regions() -> Sequence[Region]:
    """Return the region in its newest edition; another is asked for by ``in_edition``."""
    return [unread("us", "nec", Path(__file__).parent)]
