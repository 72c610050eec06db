"""What a way means for what is ahead of it: the source, and a residual-current device."""

from collections.abc import Iterator
from pathlib import Path

import attrs

from ampwright.case import Case
from ampwright.finding import Finding, parameters
from ampwright.method import Proposal
from ampwright.planning.circuits import Equipped
from ampwright.step import Figure, Worksheet
from ampwright.tables import read_table

RECTIFYING = read_table(Path(__file__).with_name("rectifying.csv"))


def rectifies(proposal: Proposal, case: Case) -> bool:
    """Tell whether a rectifier stands at the supply: the method's, or a machine's fed as it is."""
    row = RECTIFYING.row(proposal.method)
    if row is not None:
        return row["rectifies"] == "yes"
    machines = [case.machine(name) for name in proposal.machines]
    return any(
        one.states("traits", "rectifier-input")
        or one.states("traits", "thyristor-input")
        or any(load.load.kind in ("rectifier", "thyristor") for load in one.loads)
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
            need = sheet.formula(start.id, "S", "VA", "U * I", U=case.supply.voltage, I=drawn)
            yield Finding(
                code="supply.source-surge",
                severity="blocks",
                where=(start.id, "supply"),
                parameters=parameters("need=VA surge=VA", need=need, surge=limit),
            )


def with_consequences(equipped: Equipped, case: Case) -> Equipped:
    """Return *equipped* with what it means for what is ahead of it."""
    proposals = equipped.draft.proposals
    sheet = Worksheet(f"{equipped.place}/surge")
    found = (
        *of_residual_device(case, proposals),
        *of_surge(case, proposals, sheet, equipped.place),
    )
    return attrs.evolve(
        equipped,
        findings=(*equipped.findings, *found),
        steps=(*equipped.steps, *sheet.steps),
    )
