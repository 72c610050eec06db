"""Equipment that is there already and suffices, so that nothing has to be bought in its place."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from ampwright.case import Case
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.finding import Finding, parameters
from ampwright.method import Proposal
from ampwright.planning.costs import Prices
from ampwright.records.equipment import (
    Equipment,
    OwnedCapacitors,
    OwnedConductor,
    OwnedConverter,
    OwnedDevice,
    OwnedDrive,
    OwnedMotor,
    OwnedOutlet,
)
from ampwright.tables import read_table

FIGURES = read_table(Path(__file__).with_name("reuse.csv"))
ENOUGH = 1.0 - 1e-6


def figure(name: str) -> float:
    """Return one planning value."""
    value = FIGURES.number(name, "value")
    if value is None:
        raise KeyError(name)
    return value


def reaches(stated: float | None, wanted: float | None) -> bool:
    """Tell whether a stated figure reaches what is wanted; an unknown one does not."""
    return wanted is None or (stated is not None and stated >= wanted * ENOUGH)


def suits(stated: float | None, wanted: float) -> bool:
    """Tell whether a voltage, where it is stated, is the one wanted."""
    return stated is None or abs(stated / wanted - 1.0) <= figure("same-voltage") + 1e-9


def converter_suffices(one: OwnedConverter, wanted: Converter) -> bool:
    """Tell whether a phase converter that is there does what *wanted* would."""
    if one.method != wanted.method or not suits(one.output_voltage_v, wanted.output_voltage_v):
        return False
    if wanted.rating_va is not None:
        return reaches(one.rating_va, wanted.rating_va)
    size = one.idler_power_w or one.rating_w
    return reaches(size, wanted.idler_power_w or wanted.rating_w)


def drive_suffices(one: OwnedDrive, wanted: Converter) -> bool:
    """Tell whether a drive that is there does what *wanted* would, and may stay where it is put."""
    if wanted.method != "drive" or one.shared:
        return False
    if not suits(one.input_voltage_v, wanted.input_voltage_v):
        return False
    times = 1.0 if one.input_phases == 1 else figure("three-phase-drive")
    enough = reaches(one.power_w, (wanted.largest_motor_w or 0.0) * times)
    return enough and (
        one.output_current_a is None or reaches(one.output_current_a, wanted.output_current_a)
    )


def suffices(one: Equipment, wanted: Converter) -> bool:
    """Tell whether a piece that is there, and need not go, does what *wanted* would."""
    if one.fate == "must-go":
        return False
    if isinstance(one, OwnedConverter):
        return converter_suffices(one, wanted)
    if isinstance(one, OwnedDrive):
        return drive_suffices(one, wanted)
    if isinstance(one, OwnedMotor):
        idler = wanted.idler_power_w
        return idler is not None and one.motor.phases == 3 and reaches(one.motor.power_w, idler)
    return False


def matched(case: Case, proposals: Iterable[Proposal]) -> dict[str, Equipment]:
    """Return by id of the converter the piece that stands for it, each as often as it is there.

    One that serves the machines now comes before others.
    """
    left = Counter({one.id: one.count for one in case.shop.equipment})
    found: dict[str, Equipment] = {}
    for wanted in (one for proposal in proposals for one in proposal.converters):
        fitting = [one for one in case.shop.equipment if left[one.id] > 0 and suffices(one, wanted)]
        best = min(
            fitting, key=lambda one: (set(wanted.machines).isdisjoint(one.serves), one.id),
            default=None,
        )  # fmt: skip
        if best is not None:
            left[best.id] -= 1
            found[wanted.id] = best
    return found


def without_purchase(proposal: Proposal, reused: Mapping[str, Equipment], prices: Prices) -> Prices:
    """Return *prices* at which *proposal* costs no purchase, where all its converters are there."""
    names = [one.id for one in proposal.converters]
    own = prices.by_method.get(proposal.method)
    if not names or own is None or not set(names) <= set(reused):
        return prices
    free = own._replace(fixed=0.0, per_kw=0.0)
    return prices._replace(by_method={**prices.by_method, proposal.method: free})


def wired(case: Case, circuits: Sequence[Circuit]) -> Iterator[Finding]:
    """Yield a finding for each conductor and device in store that a circuit can be made of."""
    for one in case.shop.equipment:
        if one.fate == "must-go":
            continue
        for circuit in circuits:
            conductor, device = circuit.conductor, circuit.protective_device
            if isinstance(one, OwnedConductor):
                fits = (
                    one.size == conductor.size
                    and one.material in (None, conductor.material)
                    and one.insulation in (None, conductor.insulation)
                    and (one.conductors is None or one.conductors >= conductor.count)
                    and reaches(one.length_m, conductor.length_m)
                )
            elif isinstance(one, OwnedDevice):
                fits = (
                    one.device == device.kind
                    and one.rating_a == device.rating_a
                    and one.poles in (None, device.poles)
                    and one.curve in (None, device.curve)
                )
            else:
                continue
            if fits:
                yield reuse(one, circuit.id)
                break


def plugged(case: Case, circuits: Sequence[Circuit]) -> Iterator[Finding]:
    """Yield what each outlet that is there is worth to the machines that it serves."""
    for one in case.shop.equipment:
        if not isinstance(one, OwnedOutlet) or one.fate == "must-go":
            continue
        for circuit in circuits:
            if circuit.role != "branch" or not set(circuit.feeds) & set(one.serves):
                continue
            enough = (
                one.current_a is None or one.current_a >= circuit.design_current_a * ENOUGH,
                one.voltage_v is None or one.voltage_v >= circuit.voltage_v * ENOUGH,
                one.phases in (None, circuit.phases),
                one.poles is None or one.poles >= (3 if circuit.phases == 3 else 2),
            )
            if all(enough):
                yield reuse(one, circuit.id)
            else:
                yield Finding(code="protection.plug-rating", severity="caution",
                              where=(one.id, *circuit.feeds))  # fmt: skip


def stored(case: Case, converters: Sequence[Converter]) -> Iterator[Finding]:
    """Yield what capacitors in store are worth to the converters."""
    wanted = [one for each in converters for one in each.capacitors]
    for box in case.shop.equipment:
        if not isinstance(box, OwnedCapacitors) or box.fate == "must-go":
            continue
        alike = [one for one in wanted if box.purpose in (None, one.purpose)]
        if any(box.rating_v is not None and box.rating_v < one.voltage_v for one in alike):
            yield Finding(code="converter.capacitor-unfit", severity="caution", where=(box.id,),
                          parameters=parameters(what=box.name or box.id))  # fmt: skip
            continue
        fitting = [
            one
            for one in alike
            if box.capacitance_f is not None
            and box.capacitance_f * box.count >= one.capacitance_f * ENOUGH
        ]
        if fitting:
            yield reuse(box, fitting[0].id)


def reuse(one: Equipment, place: str) -> Finding:
    """Return the finding that *one* may stay, in the place of what would be bought."""
    return Finding(
        code="plan.reuse",
        severity="info",
        where=(one.id, place),
        parameters=parameters(what=one.name or one.id),
    )


def remarks(
    case: Case,
    reused: Mapping[str, Equipment],
    converters: Sequence[Converter],
    circuits: Sequence[Circuit],
) -> tuple[Finding, ...]:
    """Return what there is to say about what is there: used, kept without use, or to go."""
    found = [reuse(one, name) for name, one in reused.items()]
    found += [*wired(case, circuits), *plugged(case, circuits), *stored(case, converters)]
    used = {name for one in found for name in one.where}
    for one in case.shop.equipment:
        code = ""
        if one.fate == "must-go":
            code = "plan.goes"
        elif one.fate == "keep" and one.id not in used:
            code = "plan.kept-without-use"
        if code:
            said = parameters(what=one.name or one.id)
            found.append(
                Finding(code=code, severity="info", where=(one.id, *one.serves), parameters=said)
            )
    return tuple(found)
