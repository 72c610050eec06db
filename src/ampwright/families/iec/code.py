"""A wiring code of this family, made from folders of tables and manifests."""

from collections.abc import Mapping
from typing import Any, ClassVar, Self

import attrs

from ampwright.families.coded import Code
from ampwright.families.iec.answer import answer_circuit
from ampwright.families.iec.book import Book, book_of
from ampwright.families.iec.service import answer_service
from ampwright.families.layered import Layers
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import CircuitAnswer, CircuitDemand, ServiceAnswer, ServiceDemand


@attrs.frozen(eq=False, repr=False)
class IecCode(Code[Book]):
    """A region of the family ``iec``; see `ampwright.region.Region`."""

    family: ClassVar[str] = "iec"

    @classmethod
    def of(cls, layers: Layers, edition: str = "") -> Self:
        """Return the code that *layers* state, in an *edition* or the first of its manifest."""
        return cls(layers, book_of(layers, edition))

    @property
    def stated(self) -> Mapping[str, Any]:
        """What its manifests state beside the tables: sizes in use, usual values, devices."""
        return self.book.manifest

    def circuit(
        self, demand: CircuitDemand, site: Site, supply: Supply, place: str
    ) -> CircuitAnswer:
        """Size one circuit; its steps stand below *place*."""
        return self.with_base(answer_circuit(self.book, demand, site, supply, place))

    def service(self, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
        """Check the intake, or the existing feeder, against what is added to it."""
        return answer_service(self.book, demand, site, supply)
