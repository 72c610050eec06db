"""Methods and regions from outside, wrapped: asked what they are for, believed if sound."""

import logging
import pickle
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import partial

import attrs

from ampwright.case import Case, MachineCase
from ampwright.equipment.circuit import Circuit
from ampwright.errors import AmpwrightError, InternalError, LimitError, PluginContractError
from ampwright.finding import Finding, parameters
from ampwright.guard.answers import faults
from ampwright.guard.isolation import within
from ampwright.guard.surroundings import kept
from ampwright.method import ConversionMethod, Proposal, Refusal
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import CircuitAnswer, CircuitDemand, Region, ServiceAnswer, ServiceDemand
from ampwright.registry import Offers
from ampwright.tables import Source, Table
from ampwright.validity import Validity

LOG = logging.getLogger("ampwright")
#: A plugin that takes longer than this is named in the log [s].
PATIENCE_S = 10.0


@contextmanager
def watched(name: str) -> Iterator[None]:
    """Name a plugin in the log that takes longer than the patience there is."""
    said = f"the plugin {name} has not answered for {PATIENCE_S:g} s"
    timer = threading.Timer(PATIENCE_S, LOG.warning, (said,))
    timer.daemon = True
    timer.start()
    try:
        with kept():
            yield
    finally:
        timer.cancel()


@attrs.define(eq=False)
class GuardedMethod:
    """A method from outside.

    Attributes:
        method: The method.
        deadline_s: Time that an answer may take, given in a process of its own [s]; ``None``: it
            is asked here, where nothing can end it.
        broken: What must not go on: it changed what it was asked.
    """

    method: ConversionMethod
    deadline_s: float | None = None
    broken: list[InternalError] = attrs.field(factory=list)

    @property
    def id(self) -> str:
        """Id of the method."""
        return self.method.id

    @property
    def shared(self) -> bool:
        """One piece of equipment may serve several machines."""
        return self.method.shared

    @property
    def converts(self) -> bool:
        """It makes or brings three-phase."""
        return self.method.converts

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Ask the method, unless the job is none of its kind; check what it answers."""
        names = tuple(one.id for one in machines)
        outside = tuple(self._outside(case, machines))
        if outside:
            return Refusal(method=self.id, machines=names, reasons=outside)
        before = pickle.dumps((case, machines))
        answer = self._asked(case, machines)
        if pickle.dumps((case, machines)) != before:
            wanted = f"the question as the plugin {self.id} was asked it"
            self.broken.append(InternalError("a changed one", wanted, self.id))
        if isinstance(answer, Proposal):
            self._judge(answer, case, names)
        return answer

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Ask the method to settle."""
        with watched(self.id):
            return self.method.settle(case, proposal, circuits)

    def _asked(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        if self.deadline_s is not None:
            ask = partial(self.method.answer, case, machines)
            return within(self.deadline_s, ask, self.id)
        with watched(self.id):
            return self.method.answer(case, machines)

    def _judge(self, answer: Proposal, case: Case, names: tuple[str, ...]) -> None:
        fault = next(faults(answer, case, names), None)
        if fault is None:
            return
        kind: type[AmpwrightError] = PluginContractError
        if fault.code.startswith("limit."):
            kind = LimitError
        raise kind(fault.found, fault.wanted, self.id, code=fault.code)

    def _outside(self, case: Case, machines: Sequence[MachineCase]) -> Iterator[Finding]:
        """Yield a reason for each figure of the job that the method is not meant for."""
        stated = getattr(self.method, "validity", None)
        if not isinstance(stated, Validity):
            return
        found = [(("supply",), one)
                 for name, unit, value in (("voltage_v", "V", case.supply.voltage.value),
                                           ("frequency_hz", "Hz", case.supply.frequency.value))
                 for one in stated.outside(name, unit, value)]  # fmt: skip
        found += [((machine.id,), one) for machine in machines for motor in machine.motors
                  for one in stated.outside("power_w", "W", motor.demand.power.value)]  # fmt: skip
        names = tuple(one.id for one in machines)
        for where, one in found:
            yield Finding(
                code="method.outside-validity",
                severity="blocks",
                where=where if where != ("supply",) else names,
                parameters=parameters(method=self.id, field=one.name,
                                      value=f"{one.value:g} {one.unit}",
                                      low=f"{one.low:g} {one.unit}",
                                      high=f"{one.high:g} {one.unit}"),
            )  # fmt: skip


@attrs.frozen(eq=False)
class GuardedRegion:
    """A region from outside; where it raises, a finding names it and nothing is sized.

    Attributes:
        region: The region.
    """

    region: Region

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

    def in_edition(self, edition: str) -> "GuardedRegion":
        """Return the region in another edition."""
        return GuardedRegion(self.region.in_edition(edition))

    def includes(self, supply: Supply) -> bool:
        """Tell whether supplies of this kind exist under it."""
        return self.region.includes(supply)

    def circuit(
        self, demand: CircuitDemand, site: Site, supply: Supply, place: str
    ) -> CircuitAnswer:
        """Ask for one circuit."""
        try:
            with watched(self.id):
                answer = self.region.circuit(demand, site, supply, place)
            if not isinstance(answer, CircuitAnswer):
                raise TypeError(f"answered {type(answer).__name__}, not a CircuitAnswer")
        except Exception as error:  # a stranger's region may raise anything
            reason = self._failed(error, "blocks", (demand.id, *demand.feeds))
            return CircuitAnswer(circuit=None, findings=(reason,))
        return answer

    def service(self, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
        """Ask about the service."""
        try:
            with watched(self.id):
                answer = self.region.service(demand, site, supply)
            if not isinstance(answer, ServiceAnswer):
                raise TypeError(f"answered {type(answer).__name__}, not a ServiceAnswer")
        except Exception as error:  # a stranger's region may raise anything
            reason = self._failed(error, "caution", ("supply",))
            return ServiceAnswer(enough=None, load_a=0.0, spare_a=None, findings=(reason,))
        return answer

    def _failed(self, error: Exception, severity: str, where: tuple[str, ...]) -> Finding:
        said = parameters(plugin=f"region-{self.id}", error=f"{type(error).__name__}: {error}")
        return Finding(code="plugin.failed", severity=severity, where=where, parameters=said)


def guarded(offers: Offers, deadline_s: float | None) -> Offers:
    """Return *offers* with every method from outside wrapped."""
    methods: dict[str, ConversionMethod] = {
        name: GuardedMethod(one, deadline_s) if offers.strange("method", name) else one
        for name, one in offers.methods.items()
    }
    return attrs.evolve(offers, methods=methods)


def held(offers: Offers) -> None:
    """Hold that no method from outside changed what it was asked.

    Raises:
        InternalError: One did; nothing that was reckoned beside it can be believed.
    """
    for one in offers.methods.values():
        if isinstance(one, GuardedMethod) and one.broken:
            raise one.broken[0]
