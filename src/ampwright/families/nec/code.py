"""A wiring code of this family, made from folders of tables and manifests."""

from typing import ClassVar, Self

import attrs

from ampwright.families.coded import Code
from ampwright.families.layered import Layers
from ampwright.families.nec.answer import answer_circuit
from ampwright.families.nec.book import Book, book_of
from ampwright.families.nec.dwelling import existing_load
from ampwright.families.nec.service import answer_service
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import (
    CircuitAnswer,
    CircuitDemand,
    ExistingLoad,
    ServiceAnswer,
    ServiceDemand,
)


@attrs.frozen(eq=False, repr=False)
class NecCode(Code[Book]):
    """A region of the family ``nec``; see `ampwright.region.Region`."""

    family: ClassVar[str] = "nec"

    @classmethod
    def of(cls, layers: Layers, edition: str = "") -> Self:
        """Return the code that *layers* state, in an *edition* or the first of its manifest."""
        return cls(layers, book_of(layers, edition))

    def circuit(
        self, demand: CircuitDemand, site: Site, supply: Supply, place: str
    ) -> CircuitAnswer:
        """Size one circuit; its steps stand below *place*."""
        return self.with_base(answer_circuit(self.book, demand, site, supply, place))

    def service(self, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
        """Check the service, or the existing feeder, against what is added to it."""
        return answer_service(self.book, demand, site, supply)

    def existing(self, supply: Supply, place: str) -> ExistingLoad | None:
        """Calculate the load of the dwelling that *supply* states; its steps below *place*."""
        return existing_load(self.book, supply, place)
