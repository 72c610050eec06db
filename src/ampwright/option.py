"""One way to run the shop, and what it costs."""

import attrs

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.equipment.transformer import Transformer
from ampwright.finding import Finding
from ampwright.method import Cost, Limit, Refusal, Start, State
from ampwright.record import Record
from ampwright.step import Step

VERDICTS = ("feasible", "feasible-with-conditions", "not-feasible")


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Assignment(Record):
    """Which method serves a machine.

    Attributes:
        id: Id of the machine.
        method: Id of the method, or ``None``.
        verdict: One of `VERDICTS`.
        reasons: Why not, or under which conditions.
    """

    id: str
    method: str | None
    verdict: str = attrs.field(validator=attrs.validators.in_(VERDICTS))
    reasons: tuple[Finding, ...] = ()


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Option(Record):
    """One way to run the shop.

    Attributes:
        id: Stable id, by methods.
        machines: Method and verdict for each machine.
        feasible: Every required machine runs.
        verdict: That of the worst required machine, or of the whole where the supply does not
            bear it.
        refusals: Which method was refused for which machine, and why.
        converters: What is to be bought or kept.
        transformers: Transformers.
        circuits: Every circuit, from the service to the machines.
        states: Operating points.
        starts: The start of each machine.
        costs: Costs.
        years: Years over which those of a year are weighed against those that are paid once.
        limits: For each sized thing, what each constraint asks for.
        sequence: Order of starting.
        apart: Sets that may not run together; of a stated pair that is in no running set, the pair.
        findings: What there is to say about this way.
        steps: How its numbers came about, those of the circuits apart.
    """

    id: str
    machines: tuple[Assignment, ...]
    feasible: bool
    verdict: str = attrs.field(validator=attrs.validators.in_(VERDICTS))
    refusals: tuple[Refusal, ...] = ()
    converters: tuple[Converter, ...] = ()
    transformers: tuple[Transformer, ...] = ()
    circuits: tuple[Circuit, ...] = ()
    states: tuple[State, ...] = ()
    starts: tuple[Start, ...] = ()
    costs: tuple[Cost, ...] = ()
    years: float = 10.0
    limits: tuple[Limit, ...] = ()
    sequence: tuple[str, ...] = ()
    apart: tuple[tuple[str, ...], ...] = ()
    findings: tuple[Finding, ...] = ()
    steps: tuple[Step, ...] = ()

    @property
    def assignment(self) -> dict[str, str | None]:
        """Method of each machine, by id."""
        return {one.id: one.method for one in self.machines}

    @property
    def verdicts(self) -> dict[str, str]:
        """Verdict of each machine, by id."""
        return {one.id: one.verdict for one in self.machines}
