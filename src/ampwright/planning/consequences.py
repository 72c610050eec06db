"""What a way means for what is ahead of it: the source, and a residual-current device."""

from collections.abc import Iterator, Sequence
from pathlib import Path

import attrs

from ampwright.case import VOLTAGE_TOLERANCE, Case
from ampwright.equipment.circuit import Circuit
from ampwright.finding import Finding, parameters
from ampwright.method import Proposal, State
from ampwright.planning.burden import existing
from ampwright.planning.circuits import Equipped
from ampwright.planning.placing import placing
from ampwright.step import Figure, Worksheet
from ampwright.tables import read_table

#: Where controls take their power that dips with the supply.
DIPPING = ("supply-lines", "own-transformer", "made-leg", "line-neutral")
#: Where they dip with the lines of a converter; ``None``: nobody said.
ON_MADE_LINES = ("own-transformer", "made-leg", None)
RECTIFIERS = ("rectifier", "thyristor")
NOTABLE_DROP = 0.03  # from the panel to a machine while running: common practice, no source
DROP = "voltage_drop_fraction"
HOLDS = 0.85  # share of its voltage at which a contactor holds: IEC 60947-4-1, from memory
RECTIFYING = read_table(Path(__file__).with_name("rectifying.csv"))


def rectifies(proposal: Proposal, case: Case) -> bool:
    """Tell whether a rectifier stands at the supply: the method's, or a machine's fed as it is."""
    row = RECTIFYING.row(proposal.method)
    if row is not None:
        return row["rectifies"] == "yes"
    machines = [case.machine(name) for name in proposal.machines]
    kinds: set[str] = {load.load.kind for one in machines for load in one.loads}
    if not machines:  # parts only of machines that something else serves
        kinds = {load.kind for each in proposal.demands for load in each.loads}
    return not kinds.isdisjoint(RECTIFIERS) or any(
        one.states("traits", "rectifier-input") or one.states("traits", "thyristor-input")
        for one in machines
    )


def of_residual_device(case: Case, proposals: tuple[Proposal, ...]) -> Iterator[Finding]:
    """Yield a finding where a device of unknown type stands ahead of a rectifier."""
    supply = case.shop.supply
    if supply.residual_current_a is None or supply.residual_type is not None:
        return
    for one in proposals:
        if not one.own_supply and rectifies(one, case):
            ids = tuple(each.id for each in one.converters) or one.machines
            yield Finding(code="protection.rcd-type", severity="caution", where=("supply", *ids))


def of_surge(
    case: Case, proposals: tuple[Proposal, ...], sheet: Worksheet, place: str
) -> Iterator[Finding]:
    """Yield a finding for each start that asks more power than the source gives for seconds."""
    most = case.shop.supply.surge_va
    if most is None:
        return
    limit = Figure(float(most), "shop/supply/surge_va")
    for start in (start for one in proposals if not one.own_supply for start in one.starts):
        drawn = Figure(start.current_a, f"{place}/starts/{start.id}/current_a")
        if start.current_a * case.supply.voltage.value > most:
            need = sheet.formula(
                f"surge/{start.id}", "S", "VA", "U * I", U=case.supply.voltage, I=drawn
            )
            yield Finding(
                code="supply.source-surge",
                severity="blocks",
                where=(start.id, "supply"),
                parameters=parameters("need=VA surge=VA", need=need, surge=limit),
            )


def of_contract(
    case: Case, totals: Sequence[State], sheet: Worksheet, place: str
) -> Iterator[Finding]:
    """Yield the reason that the contract does not allow what runs at once, if it does not."""
    contract = case.shop.supply.contract_va
    if contract is None or not totals:
        return
    most = max(totals, key=lambda one: one.input_current_a)
    drawn = Figure(most.input_current_a, f"{place}/states/{most.id}/input_current_a")
    there = existing(case, sheet.under("contract"))
    terms = {"E": there} if there is not None else {}
    need = sheet.formula(
        "contract/need_va", "S", "VA", f"U * ({' + '.join(['I', *terms])})", terms,
        U=case.supply.voltage, I=drawn,
    )  # fmt: skip
    if need.value > contract * (1.0 + 1e-9):
        limit = Figure(float(contract), "shop/supply/contract_va")
        said = parameters("need=VA limit=VA", need=need, limit=limit)
        yield Finding(
            code="supply.single-phase-limit", severity="blocks", where=("supply",), parameters=said
        )


def of_standby(
    case: Case, totals: Sequence[State], sheet: Worksheet, place: str
) -> Iterator[Finding]:
    """Yield where a second source is too small for what runs, or of another voltage."""
    standby = case.shop.supply.standby
    if standby is None:
        return
    gives = standby.apparent_power_va
    if gives is not None and totals:
        most = max(totals, key=lambda one: one.input_current_a)
        drawn = Figure(most.input_current_a, f"{place}/states/{most.id}/input_current_a")
        need = sheet.formula("standby_va", "S", "VA", "U * I", U=case.supply.voltage, I=drawn)
        if need.value > gives:
            limit = Figure(float(gives), "shop/supply/standby/apparent_power_va")
            said = parameters("need=VA gives=VA", need=need, gives=limit)
            yield Finding(
                code="supply.standby-too-small", severity="caution", where=("supply",),
                parameters=said,
            )  # fmt: skip
    volts = standby.voltage_v
    if volts is not None and abs(volts / case.supply.voltage.value - 1.0) > VOLTAGE_TOLERANCE:
        there = Figure(float(volts), "shop/supply/standby/voltage_v")
        said = parameters("volts=V supply=V", volts=there, supply=case.supply.voltage)
        yield Finding(
            code="supply.standby-voltage", severity="caution", where=("supply",), parameters=said
        )


def of_tolerance(
    case: Case, proposals: tuple[Proposal, ...], sheet: Worksheet, place: str
) -> Iterator[Finding]:
    """Yield where a machine gets voltages farther off than it says that it stands."""
    for machine in case.machines:
        limit = machine.machine.voltage_tolerance
        if limit is None:
            continue
        supply = case.supply
        ends = [(supply.lowest, supply.voltage), (supply.highest, supply.voltage)]
        for one in (one for each in proposals for one in each.states if machine.id in one.running):
            lines = f"{place}/states/{one.id}/line_voltage_v"
            nominal = next((each for each in proposals if machine.id in each.machines), None)
            volts = converter_volts(nominal, place) or supply.voltage
            ends += [
                (Figure(value, f"{lines}/{n}"), volts) for n, value in enumerate(one.line_voltage_v)
            ]
        worst = max(ends, key=lambda pair: abs(pair[0].value / pair[1].value - 1.0))
        off = sheet.formula(f"tolerance/{machine.id}", "d", "", "abs(U / V - 1)", U=worst[0],
                            V=worst[1])  # fmt: skip
        if off.value > limit:
            stated = Figure(float(limit), f"{case.stated_at(machine.id)}/voltage_tolerance")
            yield Finding(code="machine.supply-quality", severity="caution", where=(machine.id,),
                          parameters=parameters(figure=off, limit=stated))  # fmt: skip


def converter_volts(proposal: Proposal | None, place: str) -> Figure | None:
    """Return the output voltage of the converter of a proposal [V]; ``None`` without one."""
    if proposal is None or not proposal.converters:
        return None
    made = proposal.converters[0]
    return Figure(made.output_voltage_v, f"{place}/converters/{made.id}/output_voltage_v")


def of_controls(
    case: Case, proposals: tuple[Proposal, ...], sheet: Worksheet, place: str
) -> Iterator[Finding]:
    """Yield the machines whose coils and electronics may drop out in the dip of the worst start."""
    starts = [one for each in proposals if not each.own_supply for one in each.starts]
    fed = [one.id for one in case.machines if one.machine.controls in DIPPING]
    if not starts or not fed:
        return
    worst = max(starts, key=lambda one: one.current_a)
    current = Figure(worst.current_a, f"{place}/starts/{worst.id}/current_a")
    left = sheet.formula("controls_left", "U", "V", "U - Z * I", U=case.supply.voltage,
                         Z=case.supply.impedance, I=current)  # fmt: skip
    if left.value < HOLDS * case.supply.voltage.value:
        yield Finding(code="control.dropout-at-start", severity="caution", where=tuple(fed),
                      parameters=parameters("voltage=V", voltage=left))  # fmt: skip


def of_running_controls(
    case: Case, proposals: tuple[Proposal, ...], place: str
) -> Iterator[Finding]:
    """Yield the machines whose coils may drop out while another starts on the same converter.

    What lies on a made line, or where nobody said, dips with the converter's lines, which is far
    deeper than the supply. Each machine is named with the start that pulls its lines lowest.
    """
    for one in proposals:
        volts = converter_volts(one, place)
        low = [start for start in one.starts if start.converter and volts is not None
               and start.lowest_voltage_v < HOLDS * volts.value]  # fmt: skip
        found: dict[str, list[str]] = {}
        for name in one.machines if low and any(each.line_voltage_v for each in one.states) else ():
            if case.machine(name).machine.controls not in ON_MADE_LINES:
                continue
            beside = {each for running in case.sets if name in running.machines
                      for each in running.machines if each != name}  # fmt: skip
            worst = min((each for each in low if each.id in beside),
                        key=lambda each: each.lowest_voltage_v, default=None)  # fmt: skip
            if worst is not None:
                found.setdefault(worst.id, []).append(name)
        for starting, running in found.items():
            left = _at_converter(one, starting, place)
            if volts is not None and left.value < HOLDS * volts.value:
                yield Finding(
                    code="control.dropout-while-running", severity="caution", where=tuple(running),
                    parameters=parameters("voltage=V", voltage=left, starting=starting),
                )  # fmt: skip


def _at_converter(proposal: Proposal, name: str, place: str) -> Figure:
    """Return the lowest voltage of the lines at the converter during the start of *name* [V]."""
    path = f"{place}/starts/{name}/at_converter/lowest_voltage_v"
    for step in proposal.steps:
        if step.path == path and not isinstance(step.value, str):
            return Figure(step.value, path)
    start = next(one for one in proposal.starts if one.id == name)
    return Figure(start.lowest_voltage_v, f"{place}/starts/{name}/lowest_voltage_v")


def of_tariff(case: Case, proposals: tuple[Proposal, ...], sheet: Worksheet) -> Iterator[Finding]:
    """Yield what another supply means for the standing charge of the present one."""
    tariff = case.shop.tariff
    moved = [name for one in proposals if one.own_supply for name in one.machines]
    if tariff is None or tariff.standing_charge is None or not moved:
        return
    month = Figure(float(tariff.standing_charge), "shop/tariff/standing_charge")
    currency = getattr(tariff.standing_charge, "unit", "USD")
    year = sheet.formula("standing", "C", currency, "12 * c", c=month)
    said = parameters(f"charge={currency}", what=tariff.name or "standing-charge", charge=year)
    yield Finding(code="plan.tariff-change", severity="info", where=tuple(moved), parameters=said)


def of_drop(
    case: Case, circuits: Sequence[Circuit], sheet: Worksheet, place: str
) -> Iterator[Finding]:
    """Yield where the drop up to a machine is worth a thought though its size keeps the rules."""
    for machine in case.machines:
        drops = max(
            (drops_of(one, circuits, place) for one in circuits if one.feeds == (machine.id,)),
            key=lambda several: sum(one.value for one in several.values()),
            default={},
        )
        if sum(one.value for one in drops.values()) > NOTABLE_DROP:
            whole = sheet.formula(f"drop/{machine.id}", "u", "", " + ".join(drops), drops)
            yield Finding(code="feeder.voltage-drop", severity="info", where=(machine.id,),
                          parameters=parameters(drop=whole))  # fmt: skip


def drops_of(circuit: Circuit, circuits: Sequence[Circuit], place: str) -> dict[str, Figure]:
    """Return the drops of *circuit* and of all ahead of it, under names for formulas."""
    by_id = {one.id: one for one in circuits}
    chain: list[Circuit] = []
    last: Circuit | None = circuit
    while last is not None and last not in chain:
        chain.append(last)
        last = by_id.get(last.fed_from)
    return {
        f"d{n}": Figure(one.voltage_drop_fraction, f"{place}/circuits/{one.id}/{DROP}")
        for n, one in enumerate(chain)
    }


def of_emergency_stop(case: Case, proposals: tuple[Proposal, ...]) -> Iterator[Finding]:
    """Yield each machine on a drive whose emergency stop has to act on the drive."""
    for one in (one for one in proposals if one.method == "drive"):
        stops = [name for name in one.machines if case.machine(name).machine.emergency_stop]
        if stops:
            yield Finding(code="drive.emergency-stop", severity="caution", where=tuple(stops))


def with_consequences(equipped: Equipped, case: Case) -> Equipped:
    """Return *equipped* with what it means for what is ahead of it."""
    proposals = equipped.draft.proposals
    sheet = Worksheet(f"{equipped.place}/consequences")
    place, totals = equipped.place, equipped.totals
    found = (
        *of_residual_device(case, proposals),
        *of_surge(case, proposals, sheet, place),
        *of_contract(case, totals, sheet, place),
        *of_standby(case, totals, sheet, place),
        *of_tolerance(case, proposals, sheet, place),
        *of_controls(case, proposals, sheet, place),
        *of_running_controls(case, proposals, place),
        *of_drop(case, equipped.circuits, sheet, place),
        *of_emergency_stop(case, proposals),
        *of_tariff(case, proposals, sheet),
        *placing(case, proposals),
    )
    return attrs.evolve(
        equipped,
        findings=(*equipped.findings, *found),
        steps=(*equipped.steps, *sheet.steps),
    )
