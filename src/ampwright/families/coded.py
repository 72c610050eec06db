"""A wiring code made from folders of tables and manifests: what every family's has alike."""

from abc import ABC, abstractmethod
from collections.abc import Mapping
from pathlib import Path
from typing import ClassVar, Generic, Self

import attrs

from ampwright.families.drafting import Kind
from ampwright.families.layered import Layers, read_layers
from ampwright.record import Record
from ampwright.records.supply import Supply
from ampwright.region import CircuitAnswer
from ampwright.tables import Source, Table


@attrs.frozen(eq=False, repr=False)
class Code(Record, ABC, Generic[Kind]):
    """A region of some family; see `ampwright.region.Region`.

    Attributes:
        family: Family of codes.
        layers: What its folders state.
        book: The same, in the edition in force.
    """

    family: ClassVar[str]
    layers: Layers = attrs.field(repr=False)
    book: Kind = attrs.field(repr=False, eq=False)

    @classmethod
    def read(cls, folder: Path, edition: str = "") -> Self:
        """Read a code from a *folder*, in an *edition* or the first that its manifest names."""
        return cls.of(read_layers(folder), edition)

    @classmethod
    @abstractmethod
    def of(cls, layers: Layers, edition: str = "") -> Self:
        """Return the code that *layers* state, in an *edition* or the first of its manifest."""

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
    def clauses(self) -> Mapping[str, str]:
        """Id of the rule behind findings that the planner makes itself, by their codes."""
        return dict(self.book.manifest["clauses"])

    @property
    def tables(self) -> Mapping[str, Table]:
        """Every table by id."""
        return self.book.tables

    def in_edition(self, edition: str) -> Self:
        """Return this code in another edition; raises ``KeyError`` for one that it has not."""
        return self.of(self.layers, edition)

    def includes(self, supply: Supply) -> bool:
        """Tell whether supplies of this kind exist under it."""
        return any(
            row["arrangement"] == supply.arrangement
            and row["frequency_hz"] == supply.frequency_hz
            and row["lowest_v"] <= supply.voltage_v <= row["highest_v"]
            for row in self.book.manifest["supplies"]
        )

    def with_base(self, answer: CircuitAnswer) -> CircuitAnswer:
        """Return *answer* with what is to be said of a code on the tables of its family."""
        return attrs.evolve(answer, assumptions=(*self.layers.said, *answer.assumptions))
