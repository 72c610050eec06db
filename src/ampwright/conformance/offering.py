"""A plugin made of the objects that it offers."""

from collections.abc import Sequence

import attrs

from ampwright.hookspecs import hookimpl
from ampwright.method import ConversionMethod
from ampwright.region import Region
from ampwright.review import Review


@attrs.frozen(kw_only=True)
class Offering:
    """A plugin for tests: it offers what it holds.

    Attributes:
        name: Its name in messages.
        regions: Regions.
        methods: Methods.
        reviews: House rules.
    """

    name: str = "offering"
    regions: tuple[Region, ...] = ()
    methods: tuple[ConversionMethod, ...] = ()
    reviews: tuple[Review, ...] = ()

    @property
    def __name__(self) -> str:
        """The name that messages use."""
        return self.name

    @hookimpl
    def ampwright_regions(self) -> Sequence[Region]:
        """Offer the regions."""
        return self.regions

    @hookimpl
    def ampwright_methods(self) -> Sequence[ConversionMethod]:
        """Offer the methods."""
        return self.methods

    @hookimpl
    def ampwright_review(self) -> Sequence[Review]:
        """Offer the house rules."""
        return self.reviews
