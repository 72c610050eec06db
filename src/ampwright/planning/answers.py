"""Asking the methods: one question at a time, and a failing one is refused in its own name."""

from collections.abc import Mapping, Sequence

import attrs

from ampwright.case import Case, MachineCase
from ampwright.finding import Finding, parameters
from ampwright.method import ConversionMethod, Proposal, Refusal


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


def failed(method: str, machines: Sequence[MachineCase], error: Exception) -> Refusal:
    """Return the refusal of a method that raised *error*."""
    reason = Finding(
        code="plugin.failed",
        severity="blocks",
        where=(method,),
        parameters=parameters(plugin=method, error=f"{type(error).__name__}: {error}"),
    )
    return Refusal(method=method, machines=tuple(one.id for one in machines), reasons=(reason,))


@attrs.define
class Inquiry:
    """The questions asked so far, so that none is asked twice.

    Attributes:
        case: The shop.
        methods: The methods, by id.
    """

    case: Case
    methods: Mapping[str, ConversionMethod]
    _heard: dict[tuple[str, tuple[str, ...]], Proposal | Refusal] = attrs.field(
        factory=dict, init=False
    )

    def ask(self, method: str, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Return what *method* answers for *machines* on one piece of equipment."""
        key = (method, tuple(one.id for one in machines))
        if key not in self._heard:
            self._heard[key] = ask(self.methods[method], self.case, machines)
        return self._heard[key]

    def alone(self, method: str) -> dict[str, Proposal]:
        """Return the proposals of *method* for each machine alone."""
        found = {one.id: self.ask(method, (one,)) for one in self.case.machines}
        return {name: one for name, one in found.items() if isinstance(one, Proposal)}

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
