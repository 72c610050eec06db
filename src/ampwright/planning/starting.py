"""Starting, checked behind the conductors and devices just chosen."""

from collections.abc import Iterator, Sequence
from itertools import takewhile

import attrs

from ampwright.case import Case
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.device import ProtectiveDevice
from ampwright.finding import Finding, parameters
from ampwright.kernels.inrush import asymmetry_factor
from ampwright.kernels.protection import breaker_band, overload_band, passage
from ampwright.method import MotorStart, Proposal, Start
from ampwright.planning.answers import Inquiry
from ampwright.planning.circuits import Equipped, equip
from ampwright.planning.made_lines import blanking
from ampwright.region import Region
from ampwright.step import Figure, Step, Worksheet, rebased
from ampwright.tables import Source

DROP = Source(document="drops along circuits in series", known="derived")
TORQUE = Source(document="starting torque goes with the square of voltage", known="derived")
#: Bands by which a start is judged: as devices are sold, for the standard asks less of B, C and D.
CURVES = {"inverse-time": "ul-489", "B": "B-as-sold", "C": "C-as-sold", "D": "D-as-sold"}
FIRST_CYCLES_S = 0.05
LOCKED_POWER_FACTOR = 0.4  # of a locked rotor: common practice, no source
#: Share of a transformer's rating that a start may draw where neighbours hang on it too: common
#: practice, no source.
SHARED = 0.5
CONSENT = ("supply.start-disturbance", "plan.utility-consent")


def checked(
    proposal: Proposal, equipped: Equipped, inquiry: Inquiry
) -> tuple[Proposal, Finding | None]:
    """Return *proposal* as its method settles it; a method that raises is named.

    What no machine is named for stands on the panel as it is.
    """
    if not proposal.machines:
        return proposal, None
    case = inquiry.case_of(proposal)
    try:
        found = inquiry.methods[proposal.method].settle(case, proposal, equipped.circuits)
        if not isinstance(found, Proposal):
            raise TypeError(f"settled to {type(found).__name__}, not a proposal")
    except Exception as error:  # a stranger's method may raise anything
        said = parameters(plugin=proposal.method, error=f"{type(error).__name__}: {error}")
        return proposal, Finding(
            code="plugin.failed", severity="blocks", where=proposal.machines, parameters=said
        )
    return (proposal if found is proposal else rebased(found, equipped.place)), None


def laid_for(proposal: Proposal, circuits: Sequence[Circuit]) -> tuple[Circuit, ...]:
    """Return those of *circuits* that *proposal* asked for."""
    asked = {one.id for one in proposal.demands}
    return tuple(one for one in circuits if one.id in asked)


def chain(circuits: Sequence[Circuit], name: str) -> tuple[Circuit, ...]:
    """Return the circuits between the panel and what has the id *name*, the last one first."""
    by_id = {one.id: one for one in circuits}
    last = next((one for one in reversed(circuits) if one.feeds == (name,)), None)
    found: list[Circuit] = []
    while last is not None and last not in found:
        found.append(last)
        last = by_id.get(last.fed_from)
    return tuple(found)


def lowered(
    start: Start, circuits: Sequence[Circuit], place: str, margin: Figure
) -> tuple[Start, tuple[Step, ...]]:
    """Return *start* with the drop of its circuits taken off voltage and torque."""
    sheet = Worksheet(f"{place}/starts/{start.id}")
    drops = {
        f"d{n}": Figure(
            one.starting_drop_fraction, f"{place}/circuits/{one.id}/starting_drop_fraction"
        )
        for n, one in enumerate(circuits)
        if one.starting_drop_fraction is not None
    }
    if not drops or start.torque_nm is None or start.needed_torque_nm is None:
        return start, ()
    left = " - ".join(["1", *drops])
    share = sheet.formula("left", "k_U", "", left, drops, source=DROP)
    ahead = f"{sheet.prefix}/at_converter"
    volts = Figure(start.lowest_voltage_v, f"{ahead}/lowest_voltage_v")
    torque = Figure(start.torque_nm, f"{ahead}/torque_nm")
    low = sheet.formula("lowest_voltage_v", "U_min", "V", "k * U", k=share, U=volts, source=DROP)
    force = sheet.formula("torque_nm", "T", "N m", "k ** 2 * T", k=share, T=torque, source=TORQUE)
    runs_up = start.runs_up and force.value >= margin.value * start.needed_torque_nm
    return attrs.evolve(
        start,
        lowest_voltage_v=low.value,
        torque_nm=force.value,
        runs_up=runs_up,
        time_s=start.time_s if runs_up else None,
    ), sheet.steps


def bearable(
    start: Start, circuits: Sequence[Circuit], place: str, margin: Figure
) -> tuple[Figure, Worksheet] | None:
    """Return the starting drop that the last of *circuits* may have; ``None`` where none is left.

    It is what the torque at the converter bears, less the drop of the circuits ahead.
    """
    if not start.torque_nm or start.needed_torque_nm is None or not circuits:
        return None
    sheet = Worksheet(f"{place}/starts/{start.id}")
    ahead = {
        f"d{n}": Figure(
            one.starting_drop_fraction, f"{place}/circuits/{one.id}/starting_drop_fraction"
        )
        for n, one in enumerate(circuits[1:])
        if one.starting_drop_fraction is not None
    }
    found = sheet.formula(
        "drop_limit", "d_max", "", " - ".join(["1 - sqrt(k * T_b / T)", *ahead]), ahead, k=margin,
        T_b=Figure(start.needed_torque_nm, f"{sheet.prefix}/needed_torque_nm"),
        T=Figure(start.torque_nm, f"{sheet.prefix}/at_converter/torque_nm"), source=TORQUE,
    )  # fmt: skip
    return (found, sheet) if found.value > 0.0 else None


def thickened(
    before: Sequence[Proposal], after: Sequence[Proposal], equipped: Equipped, margin: Figure
) -> tuple[Proposal, ...] | None:
    """Return the proposals with circuits that must drop less; ``None`` where nothing would help.

    A start that succeeds at the converter and fails behind its conductors asks for thicker ones.
    """
    asked: dict[str, Figure] = {}
    steps: list[Step] = []
    for old, new in zip(before, after, strict=True):
        fails = {one.id for one in new.starts if not one.runs_up}
        for start in old.starts:
            circuits = chain(laid_for(new, equipped.circuits), start.id)
            limit = bearable(start, circuits, equipped.place, margin)
            networked = any(one.line_voltage_v for one in old.states)
            if networked and start.runs_up and start.id in fails and limit is not None:
                asked[circuits[0].id] = limit[0]
                steps += limit[1].steps
    if not asked:
        return None
    renewed = []
    for proposal in before:
        demands = tuple(
            attrs.evolve(one, starting_drop_limit=asked[one.id]) if one.id in asked else one
            for one in proposal.demands
        )
        own = {one.id for one in demands}
        mine = [one for one in steps if one.path.split("/")[3] in set(proposal.machines)]
        changed = not own.isdisjoint(asked)
        renewed.append(
            attrs.evolve(proposal, demands=demands, steps=(*proposal.steps, *mine))
            if changed
            else proposal
        )
    return tuple(renewed)


def set_back(steps: Sequence[Step], place: str, names: set[str]) -> tuple[Step, ...]:
    """Return *steps* with voltage and torque of the starts *names* marked as at the converter."""
    moved = {
        f"{place}/starts/{name}/{field}": f"{place}/starts/{name}/at_converter/{field}"
        for name in names
        for field in ("lowest_voltage_v", "torque_nm")
    }
    return tuple(
        attrs.evolve(one, path=moved[one.path]) if one.path in moved else one for one in steps
    )


def opens(device: ProtectiveDevice, start: Start | MotorStart) -> bool | None:
    """Tell whether *device* may open during *start*; ``None`` where its curve is not known.

    The first cycles carry the largest current with its first half wave, the rest of the run-up its
    root mean square.
    """
    amperes, peak, seconds = start.motor_current_a, start.motor_peak_a, start.time_s
    if amperes is None or peak is None or seconds is None:
        return None
    rating = device.setting_a if device.kind == "overload" else device.rating_a
    if not rating:
        return None
    try:
        if device.kind == "overload":
            band = overload_band(device.curve.removeprefix("class "))
        elif device.kind == "breaker":
            band = breaker_band(CURVES.get(device.curve, device.curve), rating)
        else:
            return None
    except ValueError:  # a curve or rating that no band is known of
        return None
    first = min(FIRST_CYCLES_S, seconds)
    found = passage(
        band,
        rating,
        (0.0, first, first, seconds),
        (peak, peak, amperes, amperes),
        preload_a=0.0,
        asymmetry=asymmetry_factor(LOCKED_POWER_FACTOR),
        then_a=0.0,
    )
    return found.earliest_s <= seconds


def judged(start: Start, circuits: Sequence[Circuit]) -> Start:
    """Return *start* with the answer whether its device or an overload opens.

    Of several motors each has its own overload, which its own start alone concerns.
    """
    if not circuits:
        return start
    last = circuits[0]
    device = opens(last.protective_device, start)
    motors = tuple(own_overload(one, last) for one in start.motors)
    found = [one.overload_trips for one in motors]
    if not motors and len(last.overloads) == 1:
        found = [opens(last.overloads[0], start)]
    known = [one for one in found if one is not None]
    return attrs.evolve(
        start,
        device_trips=device if start.device_trips is None else start.device_trips,
        overload_trips=any(known) if known else start.overload_trips,
        motors=motors,
    )


def own_overload(one: MotorStart, circuit: Circuit) -> MotorStart:
    """Return the start of a motor with the answer whether its own overload on *circuit* opens."""
    own = next((each for each in circuit.overloads if each.id == one.id), None)
    if own is None:
        return one
    return attrs.evolve(one, overload_trips=opens(own, one))


def behind_circuits(proposal: Proposal, equipped: Equipped, margin: Figure) -> Proposal:
    """Return *proposal* with its starts as they are behind its circuits.

    What a drive starts is held by its own limits, not by the conductors; a converter that regulates
    its output makes good for what drops ahead of it.
    """
    networked = any(one.line_voltage_v for one in proposal.states)
    regulated = {one.id for one in proposal.converters if one.regulates}
    starts: list[Start] = []
    steps: list[Step] = []
    touched: set[str] = set()
    for start in proposal.starts:
        mine = chain(laid_for(proposal, equipped.circuits), start.id)
        if networked:
            behind = tuple(takewhile(lambda one: regulated.isdisjoint(one.feeds), mine))
            found, made = lowered(start, behind, equipped.place, margin)
            if made:
                touched.add(start.id)
                steps += made
        else:
            found = start
        starts.append(judged(found, mine))
    kept = set_back(proposal.steps, equipped.place, touched)
    return attrs.evolve(proposal, starts=tuple(starts), steps=(*kept, *steps))


def disturbances(case: Case, proposals: Sequence[Proposal], place: str) -> Iterator[Finding]:
    """Yield what the largest starting current means for the supply and its operator."""
    starts = [one for each in proposals if not each.own_supply for one in each.starts]
    if not starts:
        return
    supply = case.shop.supply
    worst = max(starts, key=lambda one: one.current_a)
    current = Figure(worst.current_a, f"{place}/starts/{worst.id}/current_a")
    apparent = worst.current_a * case.supply.voltage.value
    reasons = []
    share = SHARED if supply.transformer_sole_use is False else 1.0
    if supply.transformer_va is not None and apparent > share * supply.transformer_va:
        reasons.append("transformer")
    if supply.starting_limit_a is not None and worst.current_a > supply.starting_limit_a:
        reasons.append("limit")
    if supply.starting_limited:
        reasons.append("operator")
    if worst.current_a * case.supply.impedance.value > (
        case.limits["supply-start-drop"].value * case.supply.voltage.value
    ):
        reasons.append("drop")
    for code in CONSENT if reasons else ():
        yield Finding(
            code=code,
            severity="caution",
            where=("supply", worst.id),
            parameters=parameters("current=A", current=current, reason=", ".join(reasons)),
        )


def remarks(proposals: Sequence[Proposal]) -> Iterator[Finding]:
    """Yield a finding for each start that a device or an overload does not let pass."""
    for one in (start for proposal in proposals for start in proposal.starts):
        for trips, code in (
            (one.device_trips, "protection.device-trips-at-start"),
            (one.overload_trips, "protection.overload-trips-at-start"),
        ):
            if trips:
                motors = ", ".join(each.id for each in one.motors if each.overload_trips)
                named = bool(motors) and code == "protection.overload-trips-at-start"
                yield Finding(code=code, severity="caution", where=(one.id,),
                              parameters=parameters(motor=motors) if named else ())  # fmt: skip


def settled(equipped: Equipped, inquiry: Inquiry, region: Region) -> Equipped:
    """Return *equipped* with its starts checked behind its conductors and devices.

    Where a start fails only because of its conductors, the circuits are sized once more; that
    holds where each of them can be laid.
    """
    margin = inquiry.case.limits["start-torque-margin"]
    checks = [checked(one, equipped, inquiry) for one in equipped.draft.proposals]
    before = tuple(one for one, _ in checks)
    after = tuple(behind_circuits(one, equipped, margin) for one in before)
    renewed = thickened(before, after, equipped, margin)
    if renewed is not None:
        again = equip(attrs.evolve(equipped.draft, proposals=renewed), inquiry.case, region)
        # a conductor that no raceway takes is no remedy: then the start is what fails
        if {one.id for one in equipped.circuits} <= {one.id for one in again.circuits}:
            equipped = again
            after = tuple(behind_circuits(one, again, margin) for one in again.draft.proposals)
    said = [
        *(failure for _, failure in checks if failure is not None),
        *disturbances(inquiry.case, after, equipped.place),
        *remarks(after),
        *blanking(after, equipped.circuits, equipped.place),
    ]
    return attrs.evolve(
        equipped,
        draft=attrs.evolve(equipped.draft, proposals=after),
        findings=(*equipped.findings, *said),
    )
