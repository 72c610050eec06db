"""Asking the methods: one question at a time, and a failing one is refused in its own name."""

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

import attrs

from ampwright.case import Case, MachineCase
from ampwright.equipment.circuit import Circuit
from ampwright.finding import Finding, parameters
from ampwright.method import ConversionMethod, Proposal, Refusal
from ampwright.planning.parting import (
    Parted,
    beside,
    from_one_phase,
    in_case,
    on_one_leg,
    takes_one_phase,
    unfit,
    ways,
    weighed,
)
from ampwright.step import HERE, Worksheet


def ask(
    method: ConversionMethod, case: Case, machines: Sequence[MachineCase]
) -> Proposal | Refusal:
    """Ask *method* about *machines*; what raises or answers amiss is a refusal that names it."""
    try:
        answer = method.answer(case, machines)
        if not isinstance(answer, Proposal | Refusal):
            raise TypeError(f"answered {type(answer).__name__}, not a proposal or a refusal")
    except Exception as error:  # a stranger's method may raise anything
        return failed(method.id, machines, error)
    blocking = (
        tuple(one for one in answer.findings if one.severity == "blocks")
        if isinstance(answer, Proposal)
        else ()
    )
    if blocking:
        return Refusal(method=method.id, machines=answer.machines, reasons=blocking)
    return answer


def ask_in_parts(
    method: ConversionMethod, case: Case, machines: Sequence[MachineCase]
) -> tuple[Proposal | Refusal, tuple[Parted, ...]]:
    """Ask a method that converts; what takes one phase of *machines* is kept off it.

    Heaters that can be relinked stay off it, too, where someone said so or it takes the motors only
    without them; one that brings three-phase of its own takes all that it can. One that runs the
    machines from one phase takes them whole or not at all.

    Returns:
        The answer, and the machines that it serves in part only, as they were parted.
    """
    if not any(one.single_phase or one.loads for one in machines):
        return ask(method, case, machines), ()  # three-phase motors alone: nothing to part
    needless = tuple(one.id for one in machines if takes_one_phase(one))
    if needless:
        reasons = tuple(
            Finding(code="machine.takes-one-phase", severity="info", where=(name,))
            for name in needless
        )
        names = tuple(one.id for one in machines)
        return Refusal(method=method.id, machines=names, reasons=reasons), ()
    kept: tuple[Proposal, tuple[Parted, ...]] | None = None
    refusals: list[tuple[int, Refusal]] = []
    for parts in ways(machines):
        sheet = Worksheet(HERE)
        way = tuple(weighed(one, case, sheet) for one in parts)
        divided = tuple(one for one in way if one.divided)
        heaters = sum(load.load.phases == 3 for one in divided for load in one.loads)
        answer = with_steps(ask_one_way(method, case, way), sheet)
        if divided and isinstance(answer, Proposal) and from_one_phase(answer):
            answer, divided = ask_by_voltage(method, case, machines)
        if isinstance(answer, Refusal):
            refusals.append((heaters, answer))
            continue
        if not (answer.own_supply and heaters):
            return answer, divided
        kept = kept or (answer, divided)
    return kept or (max(refusals, key=lambda pair: pair[0])[1], ())


def ask_by_voltage(
    method: ConversionMethod, case: Case, machines: Sequence[MachineCase]
) -> tuple[Proposal | Refusal, tuple[Parted, ...]]:
    """Ask a *method* that feeds machines from one phase; what it has no neutral for stays apart."""
    sheet = Worksheet(HERE)
    way = tuple(weighed(on_one_leg(one, case), case, sheet) for one in machines)
    answer = ask(method, in_case(case, way), tuple(one.rest for one in way))
    return with_steps(answer, sheet), tuple(one for one in way if one.divided)


def with_steps(answer: Proposal | Refusal, sheet: Worksheet) -> Proposal | Refusal:
    """Return a proposal with the steps of *sheet* beside its own; a refusal as it is."""
    if isinstance(answer, Refusal) or not sheet.steps:
        return answer
    return attrs.evolve(answer, steps=(*answer.steps, *sheet.steps))


def ask_one_way(method: ConversionMethod, case: Case, way: Sequence[Parted]) -> Proposal | Refusal:
    """Ask *method* about what of some machines is left for it."""
    reasons = tuple(unfit(way, case))
    if reasons:
        names = tuple(one.whole.id for one in way)
        return Refusal(method=method.id, machines=names, reasons=reasons)
    return ask(method, in_case(case, way), tuple(one.rest for one in way))


def without_figures(machines: Sequence[MachineCase]) -> tuple[Finding, ...]:
    """Return for each machine of which no motor and no load is known that this is so.

    No method is asked about it: it would take what has no motor for a heater.
    """
    return tuple(
        Finding(code="machine.figures-missing", severity="blocks", where=(one.id,))
        for one in machines
        if not (one.motors or one.single_phase or one.loads)
    )


def failed(method: str, machines: Sequence[MachineCase], error: Exception) -> Refusal:
    """Return the refusal of a method that raised *error*."""
    reason = Finding(
        code="plugin.failed",
        severity="blocks",
        where=(method,),
        parameters=parameters(plugin=method, error=f"{type(error).__name__}: {error}"),
    )
    return Refusal(method=method, machines=tuple(one.id for one in machines), reasons=(reason,))


def with_wishes(
    method: ConversionMethod, machines: Sequence[MachineCase], answer: Proposal | Refusal
) -> Proposal | Refusal:
    """Return a proposal with what it leaves out of what was asked for; a refusal as it is.

    A method that sets the speed of a motor says so with an attribute ``sets_speed``.
    """
    if isinstance(answer, Refusal) or getattr(method, "sets_speed", False):
        return answer
    said = tuple(
        Finding(code="machine.no-speed-control", severity="caution", where=(one.id,))
        for one in machines
        if one.machine.variable_speed and (one.motors or one.single_phase)
    )
    return attrs.evolve(answer, findings=(*answer.findings, *said)) if said else answer


class Weighing(NamedTuple):
    """How the answers of a method are weighed against each other.

    Attributes:
        cost: What a proposal costs over its years.
        may_save: Tell whether a proposal loses enough while it idles to pay for one piece more.
    """

    cost: Callable[[Proposal], float]
    may_save: Callable[[Proposal], bool]


@attrs.frozen
class Weighed:
    """A method that has more than one answer, of which the cheapest counts.

    Attributes:
        method: The method.
        weighing: How its answers are weighed.
    """

    method: ConversionMethod
    weighing: Weighing

    @property
    def id(self) -> str:
        """Id of the method."""
        return self.method.id

    @property
    def shared(self) -> bool:
        """See `ConversionMethod`."""
        return self.method.shared

    @property
    def converts(self) -> bool:
        """See `ConversionMethod`."""
        return self.method.converts

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Return what the method answers, or the cheapest of its variants where one is cheaper."""
        found = self.method.answer(case, machines)
        variants = getattr(self.method, "variants", None)
        if variants is None or not isinstance(found, Proposal) or not self.weighing.may_save(found):
            return found
        others = [
            one
            for one in variants(case, machines, found)
            if not any(each.severity == "blocks" for each in one.findings)
        ]
        return min((found, *others), key=self.weighing.cost) if others else found

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Ask the method."""
        return self.method.settle(case, proposal, circuits)


@attrs.define
class Inquiry:
    """The questions asked so far, so that none is asked twice.

    Attributes:
        case: The shop.
        methods: The methods, by id.
        weighing: How variants of an answer are weighed; ``None``: there are none.
    """

    case: Case
    methods: Mapping[str, ConversionMethod]
    weighing: Weighing | None = None
    _heard: dict[tuple[str, tuple[str, ...]], Proposal | Refusal] = attrs.field(
        factory=dict, init=False
    )
    _parted: dict[tuple[str, tuple[str, ...]], tuple[Parted, ...]] = attrs.field(
        factory=dict, init=False
    )

    def ask(self, method: str, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Return what *method* answers for *machines* on one piece of equipment."""
        key = (method, tuple(one.id for one in machines))
        if key not in self._heard:
            asked = self.methods[method]
            if self.weighing is not None and hasattr(asked, "variants"):
                asked = Weighed(asked, self.weighing)
            answer: Proposal | Refusal
            unknown = without_figures(machines)
            if unknown:
                answer = Refusal(method=method, machines=key[1], reasons=unknown)
                self._parted[key] = ()
            elif asked.converts:
                answer, self._parted[key] = ask_in_parts(asked, self.case, machines)
            else:
                answer, self._parted[key] = ask_by_voltage(asked, self.case, machines)
            self._heard[key] = with_wishes(self.methods[method], machines, answer)
        return self._heard[key]

    def case_of(self, proposal: Proposal) -> Case:
        """Return the shop as the method of *proposal* was asked about it."""
        return in_case(self.case, self._parted.get((proposal.method, proposal.machines), ()))

    def beside(self, proposals: Sequence[Proposal]) -> tuple[Proposal, ...]:
        """Return the circuits for what of their machines *proposals* leave on the panel."""
        return tuple(
            beside(part, self.case)
            for one in proposals
            for part in self._parted.get((one.method, one.machines), ())
        )

    def alone(self, method: str) -> dict[str, Proposal]:
        """Return the proposals of *method* for each machine alone."""
        found = {one.id: self.ask(method, (one,)) for one in self.case.machines}
        return {name: one for name, one in found.items() if isinstance(one, Proposal)}

    def proposals(self) -> tuple[Proposal, ...]:
        """Return every proposal heard so far."""
        return tuple(one for one in self._heard.values() if isinstance(one, Proposal))

    def refusals(self) -> tuple[Refusal, ...]:
        """Return every refusal heard so far, each for the machines that its reasons name.

        A machine that the method serves alone or in a smaller group is not refused.
        """
        order = {one.id: n for n, one in enumerate(self.case.machines)}
        served = {
            (one.method, name)
            for one in self._heard.values()
            if isinstance(one, Proposal)
            for name in one.machines
        }
        found: dict[tuple[str, str], Refusal] = {}
        for one in self._heard.values():
            if not isinstance(one, Refusal):
                continue
            for name in one.machines:
                own = tuple(reason for reason in one.reasons if name in reason.where)
                reasons = one.reasons if len(one.machines) == 1 else own
                if reasons and (one.method, name) not in served:
                    single = Refusal(method=one.method, machines=(name,), reasons=reasons)
                    found.setdefault((one.method, name), single)
        return tuple(found[key] for key in sorted(found, key=lambda key: (key[0], order[key[1]])))
