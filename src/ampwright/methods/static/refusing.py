"""Why a machine does not stand behind a static set, whatever its size."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.plugin import Case, Finding, MachineCase, parameters, read_table

FACTS = read_table(Path(__file__).with_name("refusing.csv"))
SAME_HZ = 1.0


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
    yield from of_motors(case, machine)
    for row in FACTS.rows:
        if machine.states(row["field"], row["value"]):
            yield Finding(code=row["code"], severity="blocks", where=where,
                          parameters=parameters(value=row["value"]))  # fmt: skip
    if machine.machine.unbalance_limit is not None:
        yield Finding(code="converter.balance-out-of-limits", severity="blocks", where=where)
    if machine.machine.start == "hard":
        yield Finding(code="converter.static-derate", severity="blocks", where=where)
    if machine.machine.average_load is None:
        yield Finding(code="static.load-not-stated", severity="blocks", where=where)


def of_motors(case: Case, machine: MachineCase) -> Iterator[Finding]:
    """Yield what does not suit between its motors and the supply."""
    where = (machine.id,)
    for motor in machine.motors:
        if not motor.fits:
            yield Finding(code="supply.voltage-mismatch", severity="blocks", where=where,
                          parameters=parameters("rated=V", rated=motor.demand.voltage))  # fmt: skip
        if abs(motor.frequency.value - case.supply.frequency.value) > SAME_HZ:
            yield Finding(code="supply.frequency-mismatch", severity="blocks", where=where,
                          parameters=parameters("rated=Hz", rated=motor.frequency))  # fmt: skip
