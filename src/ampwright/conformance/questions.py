"""Questions as plans put them to a wiring code, and the answers that it gave."""

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

import attrs

from ampwright.conformance.shops import Market, random_shop
from ampwright.engine import Engine
from ampwright.families.folder import region_from_folder
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import CircuitAnswer, CircuitDemand, Region, ServiceAnswer, ServiceDemand
from ampwright.tables import Source, Table

SHOPS = 10


class Question(NamedTuple):
    """One circuit that a region was asked for, and its answer."""

    demand: CircuitDemand
    site: Site
    supply: Supply
    place: str
    answer: CircuitAnswer

    def again(self, region: Region) -> CircuitAnswer:
        """Put the same question to *region*."""
        return region.circuit(self.demand, self.site, self.supply, self.place)

    def longer(self, region: Region, times: float) -> CircuitAnswer:
        """Put it with *times* the length."""
        length = self.demand.length._replace(value=self.demand.length.value * times)
        demand = attrs.evolve(self.demand, length=length)
        return region.circuit(demand, self.site, self.supply, self.place)

    def hotter(self, region: Region, ambient: str) -> CircuitAnswer:
        """Put it with another ambient temperature."""
        site = attrs.evolve(self.site, ambient=ambient)
        return region.circuit(self.demand, site, self.supply, self.place)


@attrs.define
class Recorder:
    """A region that answers as *region* does and keeps what it was asked.

    Attributes:
        region: The region that answers.
        asked: What it was asked.
    """

    region: Region
    asked: list[Question] = attrs.field(factory=list)

    @property
    def id(self) -> str:
        """Id of the region."""
        return self.region.id

    @property
    def edition(self) -> str:
        """Edition in force."""
        return self.region.edition

    @property
    def editions(self) -> tuple[str, ...]:
        """Editions that can be asked for."""
        return self.region.editions

    @property
    def family(self) -> str:
        """Family of codes."""
        return self.region.family

    @property
    def title(self) -> str:
        """Name of code and edition."""
        return self.region.title

    @property
    def terms(self) -> Mapping[str, str]:
        """Words of the code."""
        return self.region.terms

    @property
    def rules(self) -> Mapping[str, Source]:
        """Source of every rule id."""
        return self.region.rules

    @property
    def tables(self) -> Mapping[str, Table]:
        """Every table by id."""
        return self.region.tables

    def in_edition(self, edition: str) -> Region:
        """Return the region in another edition, unrecorded."""
        return self.region.in_edition(edition)

    def includes(self, supply: Supply) -> bool:
        """Tell whether supplies of this kind exist under it."""
        return self.region.includes(supply)

    def circuit(
        self, demand: CircuitDemand, site: Site, supply: Supply, place: str
    ) -> CircuitAnswer:
        """Answer, and keep question and answer."""
        answer = self.region.circuit(demand, site, supply, place)
        self.asked.append(Question(demand, site, supply, place, answer))
        return answer

    def service(self, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
        """Answer."""
        return self.region.service(demand, site, supply)


def engine_with(region: Region | str | Path) -> Engine:
    """Return an engine that has a region, in the place of an installed one of the same id.

    Args:
        region: The region, or the folder of one that is data only, which must be sound.

    Raises:
        PluginError: The folder, or another plugin that is installed, cannot be used.
    """
    if isinstance(region, str | Path):
        name = region_from_folder(region).id
        return Engine([region], block=[f"region-{name}"], strict=True)
    return Engine(plugins=[region], block=[f"region-{region.id}"])


def questions(region: Region, market: Market, shops: int = SHOPS) -> tuple[Question, ...]:
    """Return what plans of random *shops* ask *region*, with its answers."""
    recorder = Recorder(region)
    engine = engine_with(recorder)
    for seed in range(shops):
        engine.plan(random_shop(seed, market, region.id), check=False)
    return tuple(recorder.asked)
