"""Region `us`: the National Electrical Code, editions 2020 and 2023."""

from collections.abc import Sequence
from pathlib import Path

from ampwright.families.nec.code import NecCode
from ampwright.plugin import Region, hookimpl


@hookimpl
def ampwright_regions() -> Sequence[Region]:
    """Return the region in its newest edition; another is asked for by ``in_edition``."""
    return [NecCode.read(Path(__file__).parent)]
