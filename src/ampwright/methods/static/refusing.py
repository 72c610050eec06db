"""Why a machine does not stand behind a static set, whatever its size."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.plugin import Case, Finding, MachineCase, parameters, read_table

FACTS = read_table(Path(__file__).with_name("refusing.csv"))
#: The load is what it is: nobody can work more slowly for the sake of a weak motor.
FIXED_LOADS = ("fan", "constant", "constant-power")


def because(case: Case, machine: MachineCase) -> Iterator[Finding]:
    """Yield one finding for each reason."""
    where = (machine.id,)
    if len(machine.motors) != 1:
        yield Finding(code="static.one-motor", severity="blocks", where=where,
                      parameters=parameters(motors=str(len(machine.motors))))  # fmt: skip
    if any(one.load.phases == 3 for one in machine.loads):
        yield Finding(code="static.other-loads", severity="blocks", where=where)
    if machine.machine.fed_from:
        yield Finding(code="static.fed-from-another", severity="blocks", where=where)
    for motor in machine.motors:
        if not motor.fits:
            yield Finding(code="supply.voltage-mismatch", severity="blocks", where=where,
                          parameters=parameters("rated=V", rated=motor.demand.voltage))  # fmt: skip
    for row in FACTS.rows:
        if machine.states(row["field"], row["value"]):
            yield Finding(code=row["code"], severity="blocks", where=where,
                          parameters=parameters(value=row["value"]))  # fmt: skip
    if machine.machine.unbalance_limit is not None:
        yield Finding(code="converter.balance-out-of-limits", severity="blocks", where=where)
    fixed = (machine.machine.load_torque or "constant") in FIXED_LOADS
    if fixed and machine.machine.average_load is None:
        yield Finding(code="static.load-not-stated", severity="blocks", where=where)
    del case
