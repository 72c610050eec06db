"""A wiring code of this family, made from a folder of tables and one manifest."""

from collections.abc import Mapping
from pathlib import Path

import attrs

from ampwright.families.layered import Layers, read_layers
from ampwright.families.nec.answer import answer_circuit
from ampwright.families.nec.book import Book, book_of
from ampwright.families.nec.service import answer_service
from ampwright.record import Record
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import CircuitAnswer, CircuitDemand, ServiceAnswer, ServiceDemand
from ampwright.tables import Source, Table


@attrs.frozen(eq=False, repr=False)
class NecCode(Record):
    """A region of the family ``nec``; see `ampwright.region.Region`.

    Attributes:
        layers: What its folders state.
        book: The same, in the edition in force.
    """

    layers: Layers = attrs.field(repr=False)
    book: Book = attrs.field(repr=False, eq=False)

    @classmethod
    def read(cls, folder: Path, edition: str = "") -> "NecCode":
        """Read a code from a *folder*, in an *edition* or the first that its manifest names."""
        return cls.of(read_layers(folder), edition)

    @classmethod
    def of(cls, layers: Layers, edition: str = "") -> "NecCode":
        """Return the code that *layers* state, in an *edition* or the first of its manifest."""
        return cls(layers, book_of(layers, edition))

    @property
    def folder(self) -> Path:
        """Where its own manifest stands."""
        return self.layers.folders[-1]

    @property
    def id(self) -> str:
        """Id of the region."""
        return self.book.id

    @property
    def edition(self) -> str:
        """Edition in force."""
        return self.book.edition

    @property
    def editions(self) -> tuple[str, ...]:
        """Editions that can be asked for, the default first."""
        return self.book.editions

    @property
    def family(self) -> str:
        """Family of codes."""
        return "nec"

    @property
    def title(self) -> str:
        """Name of code and edition."""
        return f"{self.book.manifest['title']}, {self.book.edition}"

    @property
    def terms(self) -> Mapping[str, str]:
        """Words of this code."""
        return dict(self.book.manifest["terms"])

    @property
    def rules(self) -> Mapping[str, Source]:
        """Source of every rule id."""
        return self.book.rules

    @property
    def tables(self) -> Mapping[str, Table]:
        """Every table by id."""
        return self.book.tables

    def in_edition(self, edition: str) -> "NecCode":
        """Return this code in another edition; raises ``KeyError`` for one that it has not."""
        return NecCode.of(self.layers, edition)

    def includes(self, supply: Supply) -> bool:
        """Tell whether supplies of this kind exist under it."""
        return any(
            row["arrangement"] == supply.arrangement
            and row["frequency_hz"] == supply.frequency_hz
            and row["lowest_v"] <= supply.voltage_v <= row["highest_v"]
            for row in self.book.manifest["supplies"]
        )

    def circuit(
        self, demand: CircuitDemand, site: Site, supply: Supply, place: str
    ) -> CircuitAnswer:
        """Size one circuit; its steps stand below *place*."""
        found = answer_circuit(self.book, demand, site, supply, place)
        return attrs.evolve(found, assumptions=(*self.layers.said, *found.assumptions))

    def service(self, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
        """Check the service, or the existing feeder, against what is added to it."""
        return answer_service(self.book, demand, site, supply)
