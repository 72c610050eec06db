"""Methods and regions from outside, wrapped: asked what they are for, believed if sound."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import cast

import attrs

from ampwright.case import Case, MachineCase
from ampwright.decision import Decision
from ampwright.equipment.circuit import Circuit
from ampwright.errors import AmpwrightError, LimitError, PluginContractError
from ampwright.finding import Finding, parameters
from ampwright.guard.answers import faults
from ampwright.guard.border import contained
from ampwright.guard.outsider import Outsider, ended
from ampwright.method import ConversionMethod, Proposal, Refusal
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import (
    CircuitAnswer,
    CircuitDemand,
    ExistingLoad,
    Region,
    ServiceAnswer,
    ServiceDemand,
)
from ampwright.registry import Offers
from ampwright.review import Review
from ampwright.tables import Source, Table
from ampwright.validity import Validity

#: Where code of the library itself stands; a region of data only is made of nothing else.
OWN = "ampwright."


@attrs.frozen(eq=False)
class GuardedMethod:
    """A method from outside.

    Attributes:
        outsider: The method.
        id: Its id, as it stated it when the plan was begun.
        shared: One piece of equipment may serve several machines.
        converts: It makes or brings three-phase.
        validity: What it says that it is meant for.
    """

    outsider: Outsider
    id: str
    shared: bool
    converts: bool
    validity: object

    @classmethod
    def of(cls, method: ConversionMethod, name: str, deadline_s: float | None) -> "GuardedMethod":
        """Return *method* behind a guard, by the *name* under which it was taken in.

        Raises:
            Exception: Whatever the method raises when it is looked at.
        """
        with contained(name):
            return cls(
                outsider=Outsider(method, name, deadline_s),
                id=name,
                shared=bool(method.shared),
                converts=bool(method.converts),
                validity=getattr(method, "validity", None),
            )

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Ask the method, unless the job is none of its kind; check what it answers."""
        names = tuple(one.id for one in machines)
        outside = tuple(self._outside(case, machines))
        if outside:
            return Refusal(method=self.id, machines=names, reasons=outside)
        answer = self.outsider.ask("answer", case, machines)
        if isinstance(answer, Proposal):
            self._judge(answer, case, names)
        return cast("Proposal | Refusal", answer)

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Ask the method to settle; check what it settles to."""
        answer = self.outsider.ask("settle", case, proposal, circuits)
        if isinstance(answer, Proposal) and answer != proposal:
            self._judge(answer, case, proposal.machines)
        return proposal if answer == proposal else cast("Proposal", answer)

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
        stated = self.validity
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


@attrs.frozen(eq=False, kw_only=True)
class GuardedRegion:
    """A region from outside; where it raises, a finding names it and nothing is sized.

    Attributes:
        outsider: The region.
        ours: It is made of the library's own code, and only its data come from outside.
        id: Id, and the rest of its words and tables, as it stated them when the plan was begun.
        edition: Edition in force.
        editions: Editions that can be asked for.
        family: Family of codes.
        title: Name of code and edition.
        terms: Words of the code.
        rules: Source of every rule id.
        tables: Every table by id.
        clauses: Id of the rule behind findings of the planner, by their codes.
    """

    outsider: Outsider
    ours: bool
    id: str
    edition: str
    editions: tuple[str, ...]
    family: str
    title: str
    terms: Mapping[str, str]
    rules: Mapping[str, Source]
    tables: Mapping[str, Table]
    clauses: Mapping[str, str]

    @classmethod
    def of(cls, region: Region, deadline_s: float | None) -> "GuardedRegion":
        """Return *region* behind a guard.

        Raises:
            Exception: Whatever the region raises when it is looked at.
        """
        name = f"region-{region.id}"
        with contained(name):
            return cls(
                outsider=Outsider(region, name, deadline_s),
                ours=type(region).__module__.startswith(OWN),
                id=region.id,
                edition=region.edition,
                editions=tuple(region.editions),
                family=region.family,
                title=region.title,
                terms=dict(region.terms),
                rules=dict(region.rules),
                tables=dict(region.tables),
                clauses=dict(getattr(region, "clauses", {})),
            )

    def in_edition(self, edition: str) -> "GuardedRegion":
        """Return the region in another edition."""
        with contained(self.outsider.name):
            region = cast("Region", self.outsider.one).in_edition(edition)
        return GuardedRegion.of(region, self.outsider.deadline_s)

    def includes(self, supply: Supply) -> bool:
        """Tell whether supplies of this kind exist under it."""
        return bool(self._asked("includes", supply))

    def circuit(
        self, demand: CircuitDemand, site: Site, supply: Supply, place: str
    ) -> CircuitAnswer:
        """Ask for one circuit."""
        try:
            answer = self._asked("circuit", demand, site, supply, place)
            if not isinstance(answer, CircuitAnswer):
                raise TypeError(f"answered {type(answer).__name__}, not a CircuitAnswer")
        except Exception as error:  # a stranger's region may raise anything
            reason = self._failed(error, "blocks", (demand.id, *demand.feeds))
            return CircuitAnswer(circuit=None, findings=(reason,))
        return answer

    def service(self, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
        """Ask about the service."""
        try:
            answer = self._asked("service", demand, site, supply)
            if not isinstance(answer, ServiceAnswer):
                raise TypeError(f"answered {type(answer).__name__}, not a ServiceAnswer")
        except Exception as error:  # a stranger's region may raise anything
            reason = self._failed(error, "caution", ("supply",))
            return ServiceAnswer(enough=None, load_a=0.0, spare_a=None, findings=(reason,))
        return answer

    def existing(self, supply: Supply, place: str) -> ExistingLoad | None:
        """Ask about the load of a dwelling; ``None`` where the region does not calculate it."""
        if not hasattr(self.outsider.one, "existing"):
            return None
        try:
            answer = self._asked("existing", supply, place)
            if not isinstance(answer, ExistingLoad | None):
                raise TypeError(f"answered {type(answer).__name__}, not an ExistingLoad")
        except Exception as error:  # a stranger's region may raise anything
            reason = self._failed(error, "caution", ("supply",))
            return ExistingLoad(load=None, findings=(reason,))
        return answer

    def _asked(self, call: str, *arguments: object) -> object:
        if self.ours:
            return getattr(self.outsider.one, call)(*arguments)
        return self.outsider.ask(call, *arguments)

    def _failed(self, error: Exception, severity: str, where: tuple[str, ...]) -> Finding:
        said = parameters(plugin=self.outsider.name, error=f"{type(error).__name__}: {error}")
        return Finding(code="plugin.failed", severity=severity, where=where, parameters=said)


def guarded(offers: Offers, deadline_s: float | None) -> tuple[Offers, tuple[Finding, ...]]:
    """Return *offers* with every method from outside wrapped, and what could not be."""
    methods: dict[str, ConversionMethod] = {}
    failed: list[Finding] = []
    for name, one in offers.methods.items():
        try:
            strange = offers.strange("method", name)
            methods[name] = GuardedMethod.of(one, name, deadline_s) if strange else one
        except Exception as error:  # a stranger's object may raise when it is looked at
            failed.append(failure(name, error))
    return attrs.evolve(offers, methods=methods), tuple(failed)


def outsiders(offers: Offers, judge: Region) -> Iterator[Outsider]:
    """Yield what comes from outside among *offers* and the region that judges."""
    for one in (judge, *offers.methods.values()):
        if isinstance(one, GuardedMethod | GuardedRegion):
            yield one.outsider


def reviewed(review: Review, decision: Decision, deadline_s: float | None) -> tuple[Finding, ...]:
    """Return what a house rule finds; one that fails, or answers no findings, is named.

    Raises:
        InternalError: It changed the plan that it was shown.
    """
    asked = Outsider(review, review.id, deadline_s)
    try:
        found = tuple(cast("Iterable[Finding]", asked.ask("review", decision)))
        if not all(isinstance(one, Finding) for one in found):
            raise TypeError("answered something that is no finding")
    except Exception as error:  # a stranger's review may raise anything
        found = (failure(review.id, error),)
    ended((asked,))
    return found


def failure(name: str, error: Exception) -> Finding:
    """Return the finding that names a plugin that raised."""
    said = parameters(plugin=name, error=f"{type(error).__name__}: {error}")
    return Finding(code="plugin.failed", severity="caution", where=(name,), parameters=said)
