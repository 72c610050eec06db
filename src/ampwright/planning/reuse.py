"""Equipment that is there already and suffices, so that nothing has to be bought in its place."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from ampwright.case import Case
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.equipment.device import ProtectiveDevice
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
#: Types of residual-current devices, each seeing what those before it see: IEC 60755, from memory.
TYPES = ("ac", "a", "f", "b")
#: What the kinds of owned devices are called in a circuit, where it is otherwise.
KINDS = {"switch": "disconnect"}


def figure(name: str) -> float:
    """Return one planning value."""
    value = FIGURES.number(name, "value")
    if value is None:
        raise KeyError(name)
    return value


def reaches(stated: float | None, wanted: float | None) -> bool:
    """Tell whether a stated figure reaches what is wanted; an unknown one does not."""
    return wanted is None or (stated is not None and stated >= wanted * ENOUGH)


def not_short(stated: float | None, wanted: float | None) -> bool:
    """Tell whether a figure, where it is stated, reaches what is wanted."""
    return stated is None or reaches(stated, wanted)


def suits(stated: float | None, wanted: float) -> bool:
    """Tell whether a voltage, where it is stated, is the one wanted."""
    return stated is None or abs(stated / wanted - 1.0) <= figure("same-voltage") + 1e-9


def converter_suffices(one: OwnedConverter, wanted: Converter) -> bool:
    """Tell whether a phase converter that is there does what *wanted* would."""
    agrees = (
        one.method == wanted.method,
        suits(one.input_voltage_v, wanted.input_voltage_v),
        suits(one.output_voltage_v, wanted.output_voltage_v),
        not_short(one.output_current_a, wanted.output_current_a),
        not_short(one.largest_motor_w, wanted.largest_motor_w),
    )
    if not all(agrees):
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
    return (
        reaches(one.power_w, (wanted.largest_motor_w or 0.0) * times)
        and not_short(one.output_current_a, wanted.output_current_a)
        and not_short(one.output_voltage_v, wanted.output_voltage_v * (1 - figure("same-voltage")))
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
        if wanted.joins is not None:  # an idler, and no converter that could stand for itself
            continue
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


def laid(case: Case, one: OwnedConductor, circuit: Circuit) -> bool:
    """Tell whether a conductor lies where *circuit* would lie; one in store lies anywhere."""
    if one.installation is None:
        return True
    for name in set(circuit.feeds) & set(one.serves):
        route = case.machine(name).machine.route
        wanted = (route.installation if route else None) or case.shop.site.installation
        if wanted in (None, one.installation):
            return True
    return False


def conductor_fits(case: Case, one: OwnedConductor, circuit: Circuit) -> bool:
    """Tell whether *circuit* can be made of a conductor that is there."""
    wanted = circuit.conductor
    return (
        one.size == wanted.size
        and one.material in (None, wanted.material)
        and one.insulation in (None, wanted.insulation)
        and (one.conductors is None or one.conductors >= wanted.count)
        and reaches(one.length_m, wanted.length_m)
        and laid(case, one, circuit)
    )


def sees(one: OwnedDevice, wanted: ProtectiveDevice) -> bool:
    """Tell whether a device trips as *wanted* has to: its curve, or the residual currents it sees.

    The curve of a residual-current device is its delay, ``"S"`` for a selective one.
    """
    kind, _, delay = wanted.curve.removeprefix("type ").partition(" ")
    if one.device != "residual-current" or kind.lower() not in TYPES:
        return one.curve in (None, wanted.curve)
    if one.residual_type is None or (one.curve or "") != delay:
        return False
    return TYPES.index(one.residual_type) >= TYPES.index(kind.lower())


def device_fits(one: OwnedDevice, wanted: ProtectiveDevice, circuit: Circuit) -> bool:
    """Tell whether a device that is there does what *wanted* would in *circuit*."""
    if KINDS.get(one.device, one.device) != wanted.kind:
        return False
    if one.range_a is not None and wanted.setting_a is not None:
        right = one.range_a[0] <= wanted.setting_a <= one.range_a[1]
    elif wanted.kind == "disconnect":
        right = reaches(one.rating_a, wanted.rating_a or circuit.design_current_a)
    else:
        right = one.rating_a is not None and one.rating_a == wanted.rating_a
    most = wanted.breaking_capacity_a or circuit.fault_current_a
    return (
        right
        and one.poles in (None, wanted.poles)
        and not_short(one.breaking_capacity_a, most)
        and sees(one, wanted)
    )


def devices(circuit: Circuit) -> tuple[ProtectiveDevice, ...]:
    """Return every device of *circuit*."""
    found = (circuit.protective_device, *circuit.overloads, *circuit.guards)
    return (*found, circuit.disconnect) if circuit.disconnect else found


def wired(case: Case, circuits: Sequence[Circuit]) -> Iterator[Finding]:
    """Yield a finding for each conductor and device in store that a circuit can be made of."""
    for one in case.shop.equipment:
        if one.fate == "must-go":
            continue
        for circuit in circuits:
            if isinstance(one, OwnedConductor):
                fits = conductor_fits(case, one, circuit)
            elif isinstance(one, OwnedDevice):
                fits = any(device_fits(one, each, circuit) for each in devices(circuit))
            else:
                continue
            if fits:
                yield reuse(one, circuit.id)
                break


def plugged(case: Case, circuits: Sequence[Circuit]) -> Iterator[Finding]:
    """Yield what each outlet that is there is worth to the machines that it serves.

    Where a machine needs a neutral beside the lines, the outlet needs a pole more.
    """
    wanting = {one.id for one in case.machines if one.machine.needs_neutral}
    for one in case.shop.equipment:
        if not isinstance(one, OwnedOutlet) or one.fate == "must-go":
            continue
        for circuit in circuits:
            if circuit.role != "branch" or not set(circuit.feeds) & set(one.serves):
                continue
            between = circuit.phases == 3 or (
                case.supply.to_neutral is not None
                and circuit.voltage_v == case.supply.voltage.value
            )
            lines = 3 if circuit.phases == 3 else 2
            poles = lines + (between and not wanting.isdisjoint(circuit.feeds))
            enough = (
                one.current_a is None or one.current_a >= circuit.design_current_a * ENOUGH,
                one.voltage_v is None or one.voltage_v >= circuit.voltage_v * ENOUGH,
                one.phases in (None, circuit.phases),
                one.poles is None or one.poles >= poles,
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
