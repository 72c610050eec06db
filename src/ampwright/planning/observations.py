"""What the statement itself gives cause to say and to ask, whichever way is taken."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.case import Case, MachineCase
from ampwright.finding import Finding, Question, parameters
from ampwright.planning.circumstances import circumstances
from ampwright.planning.circumstances import questions as of_circumstances
from ampwright.step import Figure
from ampwright.tables import read_table

FACTS = read_table(Path(__file__).with_name("observations.csv"))
LOADS = read_table(Path(__file__).with_name("load_observations.csv"))
#: Loads that may be made for one phase as well, if their maker says so.
ELECTRONICS = ("rectifier", "thyristor", "welder")


def three_phase(machine: MachineCase) -> bool:
    """Tell whether anything in *machine* needs three lines."""
    return bool(machine.motors) or any(one.load.phases == 3 for one in machine.loads)


def of_machine(case: Case, machine: MachineCase) -> Iterator[Finding]:
    """Yield what the facts of one machine call for."""
    where = (machine.id,)
    for row in FACTS.rows:
        if machine.states(row["field"], row["value"]) and (
            row["field"] != "controls" or three_phase(machine)
        ):
            yield Finding(code=row["code"], severity=row["severity"], where=where,
                          parameters=parameters(value=row["value"]))  # fmt: skip
    if len(machine.motors) > 1 and "two-speed" not in machine.machine.traits:
        yield Finding(
            code="machine.multi-motor",
            severity="caution",
            where=where,
            parameters=parameters(count=str(len(machine.motors))),
        )
    if machine.machine.stopping_time_limit_s is not None:
        path = f"{case.stated_at(machine.id)}/stopping_time_limit_s"
        yield Finding(
            code="safety.braking-time",
            severity="caution",
            where=where,
            parameters=parameters(
                "limit=s", limit=Figure(machine.machine.stopping_time_limit_s, path)
            ),
        )
    for item in machine.machine.plate_lacks:
        yield Finding(code="nameplate.missing-field", severity="caution", where=where,
                      parameters=parameters(field=item))  # fmt: skip
    yield from of_loads(machine)


def of_loads(machine: MachineCase) -> Iterator[Finding]:
    """Yield what the loads on three lines that are no motors call for."""
    kinds = {one.load.kind for one in machine.loads if one.load.phases == 3}
    for row in LOADS.rows:
        if row["kind"] in kinds:
            yield Finding(code=row["code"], severity=row["severity"], where=(machine.id,),
                          parameters=parameters(value=row["kind"]))  # fmt: skip


def observed(case: Case) -> tuple[Finding, ...]:
    """Return the findings of all machines, then those of supply, site and what is there."""
    found = [one for machine in case.machines for one in of_machine(case, machine)]
    return (*found, *circumstances(case))


def asked(case: Case) -> tuple[Question, ...]:
    """Return what should be asked, whichever way is taken."""
    found = [
        Question(
            code="machine.single-phase-input",
            field=f"machines.{machine.id}.loads[{n}].relinkable",
            where=(machine.id,),
            changes="method",
            choices=("true", "false"),
        )
        for machine in case.machines
        for n, one in enumerate(machine.loads)
        if one.load.phases == 3 and one.load.kind in ELECTRONICS and one.load.relinkable is None
    ]
    return (*found, *of_circumstances(case))
