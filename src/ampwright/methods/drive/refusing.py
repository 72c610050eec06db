"""Why a machine does not stand behind a drive."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.methods.drive.sizing import figure
from ampwright.plugin import Case, Finding, MachineCase, MotorCase, parameters, read_table

FACTS = read_table(Path(__file__).with_name("refusing.csv"))


def stated(machine: MachineCase, field: str, value: str) -> bool:
    """Tell whether *field* of the caller's machine is, or holds, *value*."""
    found = getattr(machine.machine, field)
    if isinstance(found, bool | None):
        return found is not None and str(found).lower() == value
    return value in found if isinstance(found, tuple | frozenset) else found == value


def within_reach(motor: MotorCase, case: Case) -> bool:
    """Tell whether a drive on this supply reaches the motor's voltage.

    Its output can be set lower than its input, but not higher; a motor of a much lower voltage is
    not made for what the pulses of such a drive reach.
    """
    share = motor.demand.voltage.value / case.supply.voltage.value
    return motor.fits or figure("lowest-output") <= share <= 1.0


def because(case: Case, machine: MachineCase, *, stepped: bool) -> Iterator[Finding]:
    """Yield one finding for each reason; a machine that is *stepped* has a transformer."""
    if len(machine.motors) != 1 or machine.loads:
        yield Finding(
            code="converter.drive-one-motor",
            severity="blocks",
            where=(machine.id,),
            parameters=parameters(motors=str(len(machine.motors)), loads=str(len(machine.loads))),
        )
    for motor in machine.motors:
        if motor.demand.phases != 3:
            yield Finding(code="drive.not-three-phase", severity="blocks", where=(machine.id,))
        if not within_reach(motor, case) and not stepped:
            yield Finding(
                code="supply.voltage-mismatch",
                severity="blocks",
                where=(machine.id,),
                parameters=parameters("rated=V", rated=motor.demand.voltage),
            )
    if machine.machine.fed_from:
        yield Finding(code="drive.fed-from-another", severity="blocks", where=(machine.id,))
    for row in FACTS.rows:
        if stated(machine, row["field"], row["value"]):
            yield Finding(code=row["code"], severity="blocks", where=(machine.id,),
                          parameters=parameters(value=row["value"]))  # fmt: skip


def reasons(case: Case, machine: MachineCase, *, stepped: bool = False) -> tuple[Finding, ...]:
    """Return every reason; none where a drive can serve *machine*.

    A machine that is *stepped* stands behind a transformer that suits it.
    """
    return tuple(because(case, machine, stepped=stepped))
