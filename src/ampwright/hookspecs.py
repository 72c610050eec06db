"""The hooks: the whole plugin surface. They register objects, nothing else."""

from collections.abc import Sequence

import pluggy

from ampwright.method import ConversionMethod
from ampwright.region import Region
from ampwright.review import Review

hookspec = pluggy.HookspecMarker("ampwright")
hookimpl = pluggy.HookimplMarker("ampwright")


@hookspec
def ampwright_regions() -> Sequence[Region]:
    """Return the regions this plugin adds.

    Asked once per engine, never at import time. Every plugin is heard and the order of plugins
    carries no meaning. An id offered twice is a problem of the second plugin, by name.
    """


@hookspec
def ampwright_methods() -> Sequence[ConversionMethod]:
    """Return the conversion methods this plugin adds; asked and judged like the regions."""


@hookspec
def ampwright_review() -> Sequence[Review]:
    """Return house rules that look at a finished plan; asked and judged like the regions."""
