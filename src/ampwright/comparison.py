"""What a changed shop, region or edition changes in the plan."""

from collections.abc import Iterator, Sequence

import attrs

from ampwright.decision import Decision
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.finding import Finding
from ampwright.option import Option
from ampwright.record import Record

SAME = 1e-9  # relative difference of two numbers that is rounding


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Change(Record):
    """One thing that differs.

    Attributes:
        subject: ``"machine"``, ``"converter"``, ``"circuit"``, ``"state"`` or ``"cost"``.
        id: Id of what differs, as it stands in both plans.
        field: Field that differs; ``""`` where the whole thing is new or gone.
        before: Its value in the first plan; ``None``: it was not there.
        after: Its value in the second plan; ``None``: it is there no longer.
    """

    subject: str
    id: str
    field: str
    before: float | str | None
    after: float | str | None


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Changes(Record):
    """What the second plan changes against the first, for the option each advises.

    Attributes:
        verdict: Verdicts before and after.
        option: Ids of the advised options before and after; ``None``: none.
        equipment: Converters that came, went or changed.
        circuits: Circuits that came, went or changed.
        machines: Machines whose method or verdict changed, that came or went.
        costs: Costs that changed.
        appeared: Findings that are new.
        disappeared: Findings that are gone.
    """

    verdict: tuple[str, str]
    option: tuple[str | None, str | None]
    equipment: tuple[Change, ...]
    circuits: tuple[Change, ...]
    machines: tuple[Change, ...]
    costs: tuple[Change, ...]
    appeared: tuple[Finding, ...]
    disappeared: tuple[Finding, ...]

    def __bool__(self) -> bool:
        """Tell whether anything differs."""
        lists = (self.equipment, self.circuits, self.machines, self.costs)
        said = (self.appeared, self.disappeared)
        return (
            self.verdict[0] != self.verdict[1]
            or self.option[0] != self.option[1]
            or any(lists)
            or any(said)
        )


def _of_converter(one: Converter) -> dict[str, float | str | None]:
    parts = ("rating_w", "rating_va", "input_current_a", "output_current_a", "losses_w")
    found: dict[str, float | str | None] = {name: getattr(one, name) for name in parts}
    found["machines"] = ", ".join(one.machines)
    found |= {f"{part.id}/capacitance_f": part.capacitance_f for part in one.capacitors}
    return found


def _of_circuit(one: Circuit) -> dict[str, float | str | None]:
    found: dict[str, float | str | None] = {
        "design_current_a": one.design_current_a,
        "conductor": f"{one.conductor.count} x {one.conductor.size} {one.conductor.material}",
        "protective_conductor": one.protective_conductor.size if one.protective_conductor else None,
        "protective_device": one.protective_device.rating_a,
        "disconnect": one.disconnect.rating_a if one.disconnect else None,
        "raceway": f"{one.raceway.kind} {one.raceway.size}" if one.raceway else None,
        "voltage_drop_fraction": one.voltage_drop_fraction,
    }
    found |= {f"overload {part.id}": part.setting_a for part in one.overloads}
    relays = [part for part in one.guards if part.setting_v is not None]
    found |= {f"{part.kind} setting_v": part.setting_v for part in relays}
    found |= {f"{part.kind} delay_s": part.delay_s for part in relays}
    return found


def _differs(before: float | str | None, after: float | str | None) -> bool:
    if isinstance(before, float) and isinstance(after, float):
        return abs(before - after) > SAME * max(abs(before), abs(after))
    return before != after


def _between(
    subject: str,
    before: dict[str, dict[str, float | str | None]],
    after: dict[str, dict[str, float | str | None]],
) -> Iterator[Change]:
    for name in dict.fromkeys((*before, *after)):
        old, new = before.get(name), after.get(name)
        if old is None or new is None:
            yield Change(subject=subject, id=name, field="", before=_there(old), after=_there(new))
            continue
        for field in dict.fromkeys((*old, *new)):
            was, will = old.get(field), new.get(field)
            if _differs(was, will):
                yield Change(subject=subject, id=name, field=field, before=was, after=will)


def _there(parts: dict[str, float | str | None] | None) -> str | None:
    return None if parts is None else "there"


def _machines(option: Option | None) -> dict[str, dict[str, float | str | None]]:
    if option is None:
        return {}
    return {one.id: {"method": one.method, "verdict": one.verdict} for one in option.machines}


def _costs(option: Option | None) -> dict[str, dict[str, float | str | None]]:
    if option is None:
        return {}
    return {one.id: {"low": one.low, "high": one.high} for one in option.costs}


def _findings(decision: Decision) -> dict[tuple[object, ...], Finding]:
    option = decision.best
    said: Sequence[Finding] = (*decision.findings, *(option.findings if option else ()))
    return {(one.code, one.where): one for one in said}


def compare(plan_a: Decision, plan_b: Decision) -> Changes:
    """Return what *plan_b* changes against *plan_a*, for the option that each advises.

    Findings are the same where code and place are; their figures may differ.
    """
    one, two = plan_a.best, plan_b.best
    old, new = _findings(plan_a), _findings(plan_b)
    return Changes(
        verdict=(plan_a.verdict, plan_b.verdict),
        option=(plan_a.chosen, plan_b.chosen),
        equipment=tuple(
            _between(
                "converter",
                {part.id: _of_converter(part) for part in (one.converters if one else ())},
                {part.id: _of_converter(part) for part in (two.converters if two else ())},
            )
        ),
        circuits=tuple(
            _between(
                "circuit",
                {part.id: _of_circuit(part) for part in (one.circuits if one else ())},
                {part.id: _of_circuit(part) for part in (two.circuits if two else ())},
            )
        ),
        machines=tuple(_between("machine", _machines(one), _machines(two))),
        costs=tuple(_between("cost", _costs(one), _costs(two))),
        appeared=tuple(said for key, said in new.items() if key not in old),
        disappeared=tuple(said for key, said in old.items() if key not in new),
    )
