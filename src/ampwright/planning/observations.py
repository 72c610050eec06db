"""What the statement itself gives cause to say, whichever way is taken."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.case import Case, MachineCase
from ampwright.finding import Finding, parameters
from ampwright.step import Figure
from ampwright.tables import read_table

FACTS = read_table(Path(__file__).with_name("observations.csv"))
AT_HAND = ("at-meter", "in-building", "in-street")


def holds(machine: MachineCase, field: str, value: str) -> bool:
    """Tell whether *field* of the caller's machine is, or holds, *value*."""
    found = getattr(machine.machine, field)
    if isinstance(found, bool | None):
        return found is not None and str(found).lower() == value
    return value in found if isinstance(found, tuple | frozenset) else found == value


def of_machine(machine: MachineCase) -> Iterator[Finding]:
    """Yield what the facts of one machine call for."""
    for row in FACTS.rows:
        if holds(machine, row["field"], row["value"]):
            yield Finding(code=row["code"], severity=row["severity"], where=(machine.id,),
                          parameters=parameters(value=row["value"]))  # fmt: skip
    if len(machine.motors) > 1 and "two-speed" not in machine.machine.traits:
        yield Finding(
            code="machine.multi-motor",
            severity="caution",
            where=(machine.id,),
            parameters=parameters(count=str(len(machine.motors))),
        )
    if machine.machine.stopping_time_limit_s is not None:
        path = f"shop/machines/{machine.id}/stopping_time_limit_s"
        yield Finding(
            code="safety.braking-time",
            severity="caution",
            where=(machine.id,),
            parameters=parameters(
                "limit=s", limit=Figure(machine.machine.stopping_time_limit_s, path)
            ),
        )


def observed(case: Case) -> tuple[Finding, ...]:
    """Return the findings of all machines, then those of supply and site."""
    found = [one for machine in case.machines for one in of_machine(machine)]
    return (*found, *of_supply(case), *of_site(case))


def of_supply(case: Case) -> Iterator[Finding]:
    """Yield what the supply calls for."""
    supply = case.shop.supply
    three_phase = supply.three_phase
    if three_phase is not None and three_phase.where in AT_HAND:
        yield Finding(
            code="supply.three-phase-already-available",
            severity="info",
            where=("supply",),
            parameters=parameters(place=three_phase.where),
        )
    if supply.arrangement == "line-line":
        yield Finding(code="supply.two-live-conductors", severity="info", where=("supply",))
    if supply.source == "inverter":
        yield Finding(code="supply.inverter-source", severity="caution", where=("supply",))
    if supply.earthing == "tn-c-s" and case.shop.site.detached_building:
        yield Finding(code="supply.earthing-export", severity="caution", where=("supply",))


def of_site(case: Case) -> Iterator[Finding]:
    """Yield what holds for every shop, and what this site calls for."""
    yield Finding(code="plan.permit-inspection", severity="info", where=("shop",))
    if case.shop.site.future_machines:
        yield Finding(
            code="plan.future-machine-margin",
            severity="info",
            where=("shop",),
            parameters=parameters(count=str(case.shop.site.future_machines)),
        )
